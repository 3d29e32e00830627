"""Fins: rudders, all-moving, leaning. Expected numbers: first principles unless a line says otherwise."""

from __future__ import annotations

from math import cos, radians, sin
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings

from foldwright.airframe.kinds.plate import build
from foldwright.airframe.marking import place_marks
from foldwright.airframe.model import Airframe, PartBuild, Placed, Thrust
from foldwright.airframe.plate import build_plate
from foldwright.base.messages import words
from foldwright.geometry.fold.checks import FoldRules, check_blank
from foldwright.geometry.fold.flat import transforms
from foldwright.geometry.fold.solids import overlaps as fold_overlaps
from tests.airframe.flats import CLOSES, asymmetry, bench, corners, mass_error, random_fin, round_trip
from tests.airframe.parts import board, fin
from tests.airframe.solids import overlaps
from tests.examples import examples
from tests.strategies import seeds

GIVES = 0.15  # mm that foam gives way (judgement, as where parts are pressed on each other)

RUDDER: dict[str, Any] = {
    "id": "rudder", "kind": "rudder", "chord_mm": 25.0, "inner_mm": 10.0, "outer_mm": 90.0,
}  # fmt: skip
MIDDLE: dict[str, Any] = {"y_mm": 0.0, "mirrored": False}


def built(**changes: Any) -> PartBuild:
    made = build_plate(fin(**changes), board())
    assert made.findings == (), [words(found).says for found in made.findings]
    return made


def test_a_plain_pair_stays_as_it_was() -> None:
    """Regression: names and outlines of the fins of the first aeroplane."""
    right, left = built().blanks
    assert (right.name, left.name, left.mirror_of) == ("fin/right", "fin/left", "fin/right")
    assert [panel.name for panel in right.panels] == ["plate"]
    assert right.panels[0].polygon.tolist() == [[30.0, -90.0], [80.0, -90.0], [80.0, 0.0], [0.0, 0.0]]
    assert left.panels[0].polygon.tolist() == [[0.0, 0.0], [80.0, 0.0], [80.0, 90.0], [30.0, 90.0]]
    (surface,) = built().surfaces
    assert surface.role == "fin"
    assert surface.chord == pytest.approx([80.0, 50.0])
    assert surface.controls == ()


def test_the_rudder_is_cut_from_the_trailing_edge() -> None:
    made = built(control=(RUDDER,))
    for blank, name, side in zip(made.blanks, ("rudder-right", "rudder-left"), (1.0, -1.0), strict=True):
        points = corners(blank)[name]
        # root at z 20, end gap 1 mm at the inner end, none at the open tip
        assert points[:, 2].min() == pytest.approx(20.0 + 10.0 + 1.0)
        assert points[:, 2].max() == pytest.approx(20.0 + 90.0)
        assert points[:, 0].min() == pytest.approx(285.0 + 80.0 - 25.0)
        assert np.sign(points[:, 1]).tolist() == [side] * len(points)
    (control,) = made.surfaces[0].controls
    assert control.kind == "rudder"
    assert control.fold_names == ("rudder-right", "rudder-left")
    assert (control.inner, control.outer) == (10.0, 90.0)
    chord = 80.0 - 30.0 * 10.0 / 90.0
    assert control.hinge[0] == pytest.approx(1.0 - 25.0 / chord)
    assert {seam.kind for seam in made.seams} == {"tape"}


@pytest.mark.parametrize(("y", "side"), [(0.0, 1.0), (-60.0, -1.0), (60.0, 1.0)])
def test_the_hinge_paper_is_on_the_outer_face_and_turns_inward(y: float, side: float) -> None:
    """Face A is outside, on the centre line to the right; a hinge there closes toward face B."""
    made = built(control=(RUDDER,), y_mm=y, mirrored=False)
    (blank,) = made.blanks
    (fold,) = blank.folds
    assert (fold.hinge, fold.toward) == ("a", "b")
    outer = corners(blank, 5.0)["rudder"]
    assert outer[:, 1] == pytest.approx(y + side * 2.5)
    turned = corners(blank, 5.0, {"rudder": radians(15.0)})["rudder"]
    aft = turned[turned[:, 0].argmax()]
    assert aft[1] == pytest.approx(y + side * (2.5 - 25.0 * sin(radians(15.0))))


@pytest.mark.parametrize(("y", "side"), [(0.0, 1.0), (80.0, 1.0), (-80.0, -1.0)])
def test_a_leaning_fin_leans_outward_about_its_root(y: float, side: float) -> None:
    made = built(lean_deg=20.0, y_mm=y, mirrored=False)
    middle = (corners(made.blanks[0], 0.0)["plate"] + corners(made.blanks[0], 5.0)["plate"]) / 2.0
    tip = middle[middle[:, 2].argmax()]
    assert tip[1] == pytest.approx(y + side * 90.0 * sin(radians(20.0)))
    assert tip[2] == pytest.approx(20.0 + 90.0 * cos(radians(20.0)))
    surface = made.surfaces[0]
    assert surface.le[-1, 1:] == pytest.approx(tip[1:], abs=1e-6)
    assert surface.arc[-1] == pytest.approx(90.0)


def test_an_all_moving_fin_turns_about_an_upright_line() -> None:
    made = built(pivot={"kind": "rudder", "x_mm": 33.0}, **MIDDLE)
    (control,) = made.surfaces[0].controls
    assert control.all_moving
    assert control.hinge == pytest.approx((33.0 / 80.0, 3.0 / 50.0), abs=1e-6)
    placed = tuple(Placed("fin", blank, transforms(blank)) for blank in made.blanks)
    frame = Airframe(board(), placed, made.surfaces, (), (), Thrust(0, 0, 0, 0, None, 0.0), ())
    marked, missed = place_marks(frame, made.guides)
    assert missed == ()
    assert [mark.face for mark in marked.placed[0].blank.marks] == ["a"]
    assert {note.code for note in made.notes} == {"G137"}


def test_a_horn_eases_the_rudder() -> None:
    made = built(control=(RUDDER | {"horn": {"length_mm": 15.0, "ahead_mm": 12.0}},), **MIDDLE)
    points = corners(made.blanks[0])["rudder"]
    fore = points[points[:, 0] < points[:, 0].min() + 1e-6]
    assert np.ptp(fore[:, 2]) == pytest.approx(15.0)
    assert made.surfaces[0].controls[0].horn_area == pytest.approx(180.0)
    assert check_blank(made.blanks[0], FoldRules()) == ()


def test_a_polygon_may_carry_a_rudder_and_a_level_plate_a_flap() -> None:
    corner = ((0.0, 0.0), (90.0, 0.0), (100.0, 60.0), (70.0, 100.0), (30.0, 100.0))
    made = built(taper=None, polygon_mm=corner, control=(RUDDER | {"outer_mm": 55.0},), **MIDDLE)
    points = corners(made.blanks[0])["rudder"]
    assert points[:, 2].max() == pytest.approx(20.0 + 54.0)
    flat = built(plane="level", control=(RUDDER | {"kind": "flap"},), **MIDDLE)
    down = corners(flat.blanks[0], 0.0, {"rudder": radians(10.0)})["rudder"]
    assert down[:, 2].min() < 20.0  # hinge on top: toward the under face is down


@pytest.mark.parametrize(
    ("changes", "code"),
    [
        ({"outer_mm": 95.0}, "G120"),
        ({"chord_mm": 60.0, "outer_chord_mm": 48.0}, "G121"),
        ({"chord_mm": 7.0}, "G122"),
        ({"down_deg": 40.0}, "G123"),
        ({"outer_mm": 16.0}, "G124"),
        ({"horn": {"length_mm": 15.0, "ahead_mm": 25.0}}, "G125"),
    ],
)
def test_rudders_that_cannot_be(changes: dict[str, Any], code: str) -> None:
    made = build_plate(fin(control=(RUDDER | changes,)), board())
    assert code in {found.code for found in made.findings}
    assert made.blanks == ()
    for found in made.findings:
        assert words(found).cure
        assert found.where.startswith("fin.control.rudder.")


def test_free_shapes_go_their_own_way() -> None:
    plain = build(fin(), bench())
    assert [blank.name for blank in plain.blanks] == ["fin/right", "fin/left"]
    cut = {"id": "window", "polygon_mm": ((20.0, 20.0), (40.0, 20.0), (40.0, 40.0), (20.0, 40.0))}
    assert build(fin(cutout=(cut,)), bench()).blanks[0].panels[0].holes != ()


@settings(max_examples=examples(150))
@given(seeds())
def test_rudders_of_random_fins_turn_clear_of_their_fins(rng: np.random.Generator) -> None:
    """No more than foam gives: a slanted hinge moves the ends along itself by less than their gaps."""
    (blank, *_) = build_plate(random_fin(rng), bench(float(rng.uniform(3.0, 6.0))).board).blanks or (None,)
    live = [fold.name for fold in blank.folds] if blank is not None else []
    for travel in (-15.0, 15.0):
        if blank is not None:
            turned = transforms(blank, deflection=dict.fromkeys(live, radians(travel)))
            assert all(bite.thickness < GIVES for bite in fold_overlaps([(blank, turned)]))


@settings(max_examples=examples(300))
@given(seeds())
def test_random_fins(rng: np.random.Generator) -> None:
    """Round trip, mirror image, mass against a mesh library, no overlap, every check of a blank."""
    used = bench(float(rng.uniform(3.0, 6.0)))
    part = random_fin(rng)
    made = build_plate(part, used.board)
    if part.mirrored and made.blanks:
        assert asymmetry(made) <= CLOSES
    assert overlaps(made) == []
    for blank in made.blanks:
        assert round_trip(blank) <= CLOSES
        assert mass_error(blank, used.board.material) <= 1e-9
        assert check_blank(blank, FoldRules(), path=False) == ()


@settings(max_examples=examples(300))
@given(seeds())
def test_rudders_of_random_fins_lie_where_asked(rng: np.random.Generator) -> None:
    part = random_fin(rng)
    made = build_plate(part, bench(float(rng.uniform(3.0, 6.0))).board)
    if not made.blanks or not part.control:
        return
    (table,) = part.control
    (control,) = made.surfaces[0].controls
    right = next(one for one in made.blanks if not one.name.endswith("/left"))
    ring = right.panel(control.fold_names[0]).polygon
    along = np.abs(ring[:, 1])
    height = part.taper.height_mm if part.taper is not None else 0.0
    assert along.min() == pytest.approx(table.inner_mm + table.end_gap_mm)
    tip = height - table.outer_mm < 1e-9
    gap = 0.0 if height - table.outer_mm < 5.0 else table.end_gap_mm
    assert along.max() == pytest.approx(height if tip else table.outer_mm - gap)
