"""Wings, tailplanes and canards of single board.

Expected numbers: first principles (plane geometry of board of thickness t) unless a line says otherwise.
"""

from __future__ import annotations

from math import cos, hypot, radians, sin, tan
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings

from foldwright.airframe.area_glue import AREA_GLUE_G_M2
from foldwright.airframe.bench import Bench, Bought
from foldwright.airframe.flat_wing import build_plate_wing
from foldwright.airframe.marking import place_marks
from foldwright.airframe.model import Airframe, PartBuild, Placed, Thrust
from foldwright.base.messages import told, words
from foldwright.design.load import built_in_stock, load_design, starter
from foldwright.geometry.fold.checks import FoldRules, check_blank
from foldwright.geometry.fold.flat import transforms
from foldwright.geometry.fold.mass import mass_properties
from foldwright.geometry.fold.solids import overlaps as fold_overlaps
from tests.airframe.flats import (
    CLOSES,
    asymmetry,
    bench,
    corners,
    face,
    mass_error,
    plate_wing,
    random_wing,
    round_trip,
)
from tests.airframe.solids import overlaps
from tests.examples import examples
from tests.geometry.fold.test_random_wings import worst_mark
from tests.strategies import seeds

TAPER = {"chord_mm": 120.0, "aft_mm": 20.0}
AILERON: dict[str, Any] = {
    "id": "aileron", "kind": "aileron", "chord_mm": 40.0, "inner_mm": 200.0, "outer_mm": 390.0,
}  # fmt: skip
ELEVATOR: dict[str, Any] = {
    "id": "elevator", "kind": "elevator", "chord_mm": 40.0, "inner_mm": 0.0, "outer_mm": 400.0,
}  # fmt: skip
HORN = {"length_mm": 30.0, "ahead_mm": 25.0}


def built(t: float = 5.0, **changes: Any) -> PartBuild:
    made = build_plate_wing(plate_wing(**changes), bench(t))
    assert made.findings == (), [words(found).says for found in made.findings]
    return made


def airframe(build: PartBuild, t: float = 5.0) -> Airframe:
    placed = tuple(Placed(build.id, blank, transforms(blank)) for blank in build.blanks)
    return Airframe(
        bench(t).board, placed, build.surfaces, (), build.masses, Thrust(0, 0, 0, 0, None, 0.0), (),
        guides=build.guides,
    )  # fmt: skip


# --- where the board lies -----------------------------------------------------------------------------------


@pytest.mark.parametrize("t", [3.0, 5.0, 6.0])
def test_a_level_plate_lies_on_its_under_face_whatever_the_board(t: float) -> None:
    made = built(t)
    (blank,) = made.blanks
    assert face(blank, "plate", "b")[:, 2] == pytest.approx(20.0)
    assert face(blank, "plate", "a")[:, 2] == pytest.approx(20.0 + t)
    points = corners(blank)["plate"]
    assert np.ptp(points, axis=0) == pytest.approx([180.0, 800.0, 0.0])
    (surface,) = made.surfaces
    assert surface.le == pytest.approx(np.array([(100, 0, 20 + t / 2), (100, 400, 20 + t / 2)]))
    assert surface.thickness == pytest.approx(t / 180.0)
    assert surface.main
    assert surface.symmetric
    assert not surface.camber.any()


def test_positive_incidence_lowers_the_trailing_edge() -> None:
    made = built(incidence_deg=2.0)
    points = corners(made.blanks[0])["plate"]
    aft = points[points[:, 0].argmax()]
    assert aft[2] == pytest.approx(20.0 - 180.0 * sin(radians(2.0)))
    assert made.surfaces[0].twist == pytest.approx(radians(2.0))


@pytest.mark.parametrize("centre", ["one", "two"])
@pytest.mark.parametrize("dihedral", [6.0, -6.0])
def test_dihedral_rises_from_the_under_face_and_keeps_the_span(centre: str, dihedral: float) -> None:
    made = built(centre=centre, bay=(TAPER | {"dihedral_deg": dihedral},))
    right = made.blanks[0].panel("plate-right" if centre == "one" else "plate")
    points = corners(made.blanks[0])[right.name]
    under = face(made.blanks[0], right.name, "b")
    tip = under[under[:, 1].argmax()]
    assert tip[1] == pytest.approx(400.0)
    assert tip[2] == pytest.approx(20.0 + 400.0 * tan(radians(dihedral)))
    root = under[under[:, 1].argmin()]
    assert root[1:] == pytest.approx([0.0, 20.0], abs=1e-9)
    assert points[:, 1].max() == pytest.approx(400.0)
    if centre == "one":
        (fold,) = made.blanks[0].folds
        # the paper that stays whole is the one on the outside of the bend
        assert (fold.hinge, fold.toward) == (("b", "a") if dihedral > 0 else ("a", "b"))
        assert fold.angle == pytest.approx(2.0 * radians(abs(dihedral)))


def test_halves_are_bevelled_to_meet_in_the_middle() -> None:
    made = built(centre="two", bay=(TAPER | {"dihedral_deg": 6.0},))
    right, left = made.blanks
    assert left.mirror_of == right.name
    for side in ("a", "b"):
        inner = np.sort(face(right, "plate", side)[:, 1])[:2]
        assert inner == pytest.approx([0.0, 0.0], abs=1e-9)
    assert {seam.id for seam in made.seams} == {"wing/centre"}


def test_polyhedral_breaks_turn_by_the_difference() -> None:
    bays = (
        {"end_mm": 240.0, "chord_mm": 180.0, "dihedral_deg": 2.0},
        TAPER | {"end_mm": 400.0, "dihedral_deg": 14.0},
    )
    made = built(bay=bays)
    turns = {fold.name: fold.angle for fold in made.blanks[0].folds}
    assert turns["centre"] == pytest.approx(radians(4.0))
    assert turns["break-plate-right-2"] == pytest.approx(radians(12.0))
    under = face(made.blanks[0], "plate-right-2", "b")
    assert under[:, 1].max() == pytest.approx(400.0)
    assert under[:, 2].max() == pytest.approx(20.0 + 240 * tan(radians(2)) + 160 * tan(radians(14)))


def test_a_swept_level_plate_is_one_polygon() -> None:
    made = built(bay=({"chord_mm": 120.0, "aft_mm": 150.0},))
    (blank,) = made.blanks
    assert [panel.name for panel in blank.panels] == ["plate"]
    assert len(blank.panels[0].polygon) == 6
    assert blank.folds == ()


def test_cut_corners_take_their_length_along_both_edges() -> None:
    made = built(tip_cut_mm=25.0)
    points = corners(made.blanks[0])["plate"]
    tip = points[points[:, 1] > 399.9]
    assert np.ptp(tip[:, 0]) == pytest.approx(180.0 - 50.0)
    lead = points[points[:, 0] < 100.1]
    assert lead[:, 1].max() == pytest.approx(375.0)
    assert made.surfaces[0].chord == pytest.approx([180.0, 180.0, 130.0])


def test_washout_is_warped_in_and_told_apart_from_folding() -> None:
    surface = built(bay=(TAPER | {"washout_deg": 3.0},), camber=({"x_mm": 50.0, "turn_deg": 8.0},)).surfaces[
        0
    ]
    assert surface.washout == pytest.approx([0.0, radians(3.0)])
    assert surface.folding_twist is not None
    assert surface.twist == pytest.approx(surface.twist[0] + surface.folding_twist - surface.washout)


# --- camber -------------------------------------------------------------------------------------------------


def test_a_camber_fold_turns_down_what_lies_behind_it() -> None:
    """The front stays level; behind the fold the upper face falls by the turn (hinge on face A)."""
    made = built(camber=({"x_mm": 60.0, "turn_deg": 8.0},))
    (blank,) = made.blanks
    (fold,) = blank.folds
    assert (fold.hinge, fold.toward, fold.opened) == ("a", "b", "b")
    assert face(blank, "front", "b")[:, 2] == pytest.approx(20.0)
    upper = corners(blank, 5.0)["aft"]
    assert upper[:, 0].max() == pytest.approx(280.0, abs=0.8)  # the plan's chord, on the middle of the board
    assert upper[:, 2].min() == pytest.approx(25.0 - 120.0 * tan(radians(8.0)), abs=0.2)
    surface = made.surfaces[0]
    # chord line from the middle of the nose to the middle of the tail; greatest height of a two-sided roof
    nose, fore, tail = np.array([0, 0.0]), np.array([60.0, 0.0]), np.array([180.0, -120 * tan(radians(8))])
    run = tail - nose
    high = abs(float(run[0] * fore[1] - run[1] * fore[0])) / float(np.hypot(*run)) / 180.0
    assert surface.camber.max() == pytest.approx(high, rel=0.03)
    assert surface.camber.min() >= 0.0
    assert surface.twist == pytest.approx(np.arctan(120.0 * tan(radians(8.0)) / 180.0), rel=0.02)


def test_camber_keeps_the_planform_on_tapered_swept_bays() -> None:
    made = built(
        bay=(TAPER | {"aft_mm": 90.0},),
        camber=({"x_mm": 50.0, "turn_deg": 8.0}, {"x_mm": 100.0, "turn_deg": 6.0}),
    )
    surface = made.surfaces[0]
    tail_x = surface.le[:, 0] + np.sqrt(surface.chord**2 * np.cos(surface.twist) ** 2)
    assert tail_x == pytest.approx([280.0, 100.0 + 90.0 + 120.0], abs=0.6)


def test_a_wedge_opens_behind_the_fold_of_a_wing_with_dihedral() -> None:
    """Two halves lean apart by L*sin(turn)*tan(dihedral) on each side (L: what lies behind the fold)."""
    made = built(camber=({"x_mm": 60.0, "turn_deg": 10.0},), bay=({"chord_mm": 180.0, "dihedral_deg": 6.0},))
    (note,) = made.notes
    assert note.code == "G138"
    gap = 2.0 * 120.0 / cos(radians(10.0)) * sin(radians(10.0)) * sin(radians(6.0))
    assert float(note.params["gap"]) == pytest.approx(gap, abs=0.1)
    assert told(note.code, note.about, note.params).cure


# --- doubler and spar ---------------------------------------------------------------------------------------


def test_a_doubler_lies_on_the_upper_face_and_weighs_with_its_glue() -> None:
    made = built(doubler={"to_mm": 60.0}, bay=(TAPER | {"dihedral_deg": 5.0},))
    board, doubler = made.blanks
    normal = np.array([0.0, -sin(radians(5.0)), cos(radians(5.0))])
    top = face(board, "plate-right", "a") @ normal
    assert face(doubler, "doubler-right", "b") @ normal == pytest.approx(top[0])
    surface = made.surfaces[0]
    assert surface.step == 5.0
    assert surface.step_x == pytest.approx(surface.le[:, 0] + surface.chord / 3.0, abs=0.2)
    assert surface.thickness == pytest.approx(10.0 / 150.0, rel=0.01)  # in the middle of the half
    (glue,) = made.masses
    area = (60.0 + 40.0) / 2.0 * 400.0 / cos(radians(5.0)) * 2.0
    assert glue.group == "joint"
    assert glue.moments[3, 3] == pytest.approx(area * AREA_GLUE_G_M2 * 1e-6, rel=0.01)


def test_a_straight_spar_is_one_length_in_the_under_face() -> None:
    made = built(spar={"x_mm": 54.0, "stock": "rod-3"})
    (bar,) = made.bars
    assert bar.ends == pytest.approx(np.array([(154.0, -400.0, 21.5), (154.0, 400.0, 21.5)]))
    (mass,) = made.masses
    read = mass_properties(mass.moments)
    assert read.mass == pytest.approx(0.8 * 14.0)
    assert read.cg == pytest.approx([154.0, 0.0, 21.5], abs=1e-9)


def test_a_spar_bends_with_the_wing_in_pieces() -> None:
    made = built(
        spar={"x_mm": 54.0, "stock": "rod-3", "reach_mm": 300.0}, bay=(TAPER | {"dihedral_deg": 5.0},)
    )
    assert len(made.bars) == 2
    assert [note.code for note in made.notes] == ["G136", "G202"]
    assert made.notes[0].params["pieces"] == 2
    assert max(bar.ends[:, 1].max() for bar in made.bars) == pytest.approx(300.0, abs=0.2)


def test_a_strip_higher_than_the_board_is_laid_flat() -> None:
    bought = Bought(1.0, 6.0, 9.0, "carbon", "strip")
    used = Bench(bench().board, (("wing", bought),), 0.0)
    made = build_plate_wing(plate_wing(spar={"x_mm": 54.0, "stock": "strip"}), used)
    assert made.findings == ()
    assert (made.bars[0].width, made.bars[0].height) == (6.0, 1.0)


@pytest.mark.parametrize("centre", ["one", "two"])
def test_marks_land_on_the_faces_they_are_for(centre: str) -> None:
    made = built(centre=centre, spar={"x_mm": 54.0, "stock": "rod-3"}, bay=(TAPER | {"dihedral_deg": 5.0},))
    marked, missed = place_marks(airframe(made), made.guides)
    assert missed == ()
    faces = {mark.face for one in marked.placed for mark in one.blank.marks}
    assert faces == {"b"}
    level, missed = place_marks(airframe(built(pivot={"x_mm": 45.0})), built(pivot={"x_mm": 45.0}).guides)
    assert missed == ()
    assert {mark.name for mark in level.placed[0].blank.marks} >= {"centre-line", "pivot-right", "pivot-left"}


# --- controls -----------------------------------------------------------------------------------------------


def test_ailerons_lie_where_they_are_asked() -> None:
    made = built(control=(AILERON,))
    (blank,) = made.blanks
    right, left = corners(blank)["aileron-right"], corners(blank)["aileron-left"]
    assert right[:, 1].min() == pytest.approx(201.0)
    assert right[:, 1].max() == pytest.approx(389.0)
    assert left[:, 1].max() == pytest.approx(-201.0)
    assert right[:, 0].min() == pytest.approx(240.0)
    down = corners(blank, 0.0, {"aileron-right": radians(15.0)})["aileron-right"]
    assert down[:, 2].min() < 20.0 - 40.0 * sin(radians(15.0)) + 2.0  # hinge on top: toward B is down
    (control,) = made.surfaces[0].controls
    assert control.hinge == pytest.approx((140.0 / 180.0, 140.0 / 180.0))
    assert (control.inner, control.outer) == pytest.approx((200.0, 390.0))
    assert control.fold_names == ("aileron-right", "aileron-left")


def test_a_control_under_dihedral_is_measured_level_and_told_along_the_surface() -> None:
    made = built(control=(AILERON,), bay=(TAPER | {"dihedral_deg": 20.0},))
    (control,) = made.surfaces[0].controls
    arc = made.surfaces[0].arc[-1]
    assert control.inner / arc == pytest.approx(0.5, abs=1e-9)
    assert control.hinge[0] == pytest.approx(1.0 - 40.0 / 150.0)


def test_an_elevator_over_the_middle_is_one_piece_with_a_horn_at_each_end() -> None:
    made = built(role="tailplane", control=(ELEVATOR | {"horn": HORN},))
    (blank,) = made.blanks
    assert [panel.name for panel in blank.panels] == ["plate", "elevator"]
    points = corners(blank)["elevator"]
    assert points[:, 0].min() == pytest.approx(100.0 + 180.0 - 40.0 - 25.0)
    assert np.ptp(points[:, 1]) == pytest.approx(800.0)
    (surface,) = made.surfaces
    assert not surface.main
    assert surface.role == "tailplane"
    assert surface.controls[0].fold_names == ("elevator",)
    assert surface.controls[0].horn_area == pytest.approx(750.0)
    fold = blank.folds[0]
    assert fold.length == pytest.approx(800.0 - 2.0 * 31.0)


@pytest.mark.parametrize("hinge", ["a", "b"])
@pytest.mark.parametrize("travel", [-15.0, 15.0])
def test_a_control_turns_clear_of_its_board_horn_and_all(hinge: str, travel: float) -> None:
    for control in (AILERON | {"horn": HORN}, ELEVATOR | {"horn": HORN | {"ahead_mm": 8.0}}):
        (blank,) = built(control=(control | {"hinge_face": hinge},)).blanks
        live = {fold.name: radians(travel) for fold in blank.folds}
        assert fold_overlaps([(blank, transforms(blank, deflection=live))]) == ()


def test_elevator_halves_with_dihedral_are_told_to_be_joined() -> None:
    control = ELEVATOR | {"end_gap_mm": 2.0}
    made = built(role="tailplane", control=(control,), bay=(TAPER | {"dihedral_deg": 5.0},))
    assert {note.code for note in made.notes} == {"G139"}
    assert {fold.name for fold in made.blanks[0].folds} == {"centre", "elevator-right", "elevator-left"}


def test_two_controls_that_meet_leave_one_line_between_them() -> None:
    second = {"id": "flap", "kind": "flap", "chord_mm": 50.0, "inner_mm": 40.0, "outer_mm": 200.0}
    made = built(control=(AILERON, second))
    (blank,) = made.blanks
    assert check_blank(blank, FoldRules()) == ()
    assert overlaps(made) == []


def test_an_all_moving_tailplane_turns_about_its_pivot() -> None:
    made = built(role="tailplane", pivot={"x_mm": 45.0})
    (control,) = made.surfaces[0].controls
    assert control.all_moving
    assert control.hinge == pytest.approx((0.25, 0.25))
    assert control.fold_names == ()
    assert {note.code for note in made.notes} == {"G137"}


# --- what cannot be built -----------------------------------------------------------------------------------

CREASE = {"x_mm": 50.0, "turn_deg": 8.0}


@pytest.mark.parametrize(
    ("changes", "code", "cured"),
    [
        ({"control": (AILERON | {"outer_mm": 420.0},)}, "G120",
         {"control": (AILERON | {"outer_mm": 400.0},)}),
        ({"control": (AILERON | {"chord_mm": 178.0},)}, "G121",
         {"control": (AILERON | {"chord_mm": 175.0},)}),
        ({"control": (AILERON | {"chord_mm": 7.0},)}, "G122", {"control": (AILERON | {"chord_mm": 7.9},)}),
        ({"control": (AILERON | {"down_deg": 35.0},)}, "G123",
         {"control": (AILERON | {"down_deg": 35.0, "bevel_limit_deg": 35.0},)}),
        ({"control": (AILERON | {"outer_mm": 206.0},)}, "G124",
         {"control": (AILERON | {"outer_mm": 207.0},)}),
        ({"control": (AILERON | {"horn": HORN | {"ahead_mm": 139.0}},)}, "G125",
         {"control": (AILERON | {"horn": HORN | {"ahead_mm": 133.9}},)}),
        ({"camber": (CREASE | {"turn_deg": 30.0},)}, "G126", {"camber": (CREASE | {"turn_deg": 25.0},)}),
        ({"camber": (CREASE | {"x_mm": 139.0},), "control": (AILERON,)}, "G127",
         {"camber": (CREASE | {"x_mm": 134.6},), "control": (AILERON,)}),
        ({"camber": (CREASE, CREASE | {"x_mm": 53.0})}, "G128",
         {"camber": (CREASE, CREASE | {"x_mm": 56.0})}),
        ({"doubler": {"to_mm": 60.0}, "camber": (CREASE,)}, "G129",
         {"doubler": {"to_mm": 50.0}, "camber": (CREASE,)}),
        ({"doubler": {"to_mm": 60.0, "reach_mm": 500.0}}, "G129",
         {"doubler": {"to_mm": 60.0, "reach_mm": 400.0}}),
        ({"spar": {"x_mm": 177.0, "stock": "rod-3"}}, "G130", {"spar": {"x_mm": 173.5, "stock": "rod-3"}}),
        ({"spar": {"x_mm": 150.0, "stock": "rod-3"}, "control": (AILERON,)}, "G131",
         {"spar": {"x_mm": 133.5, "stock": "rod-3"}, "control": (AILERON,)}),
        ({"spar": {"x_mm": 51.0, "stock": "rod-3"}, "camber": (CREASE,)}, "G131",
         {"spar": {"x_mm": 48.1, "stock": "rod-3"}, "camber": (CREASE,)}),
        ({"tip_cut_mm": 90.0}, "G132", {"tip_cut_mm": 87.5}),
        ({"bay": ({"end_mm": 8.0, "chord_mm": 180.0, "dihedral_deg": 45.0}, TAPER)}, "G134",
         {"bay": ({"end_mm": 12.0, "chord_mm": 180.0, "dihedral_deg": 45.0}, TAPER)}),
        ({"control": (ELEVATOR,), "bay": (TAPER | {"dihedral_deg": 15.0},)}, "G135",
         {"control": (ELEVATOR | {"inner_mm": 4.2},), "bay": (TAPER | {"dihedral_deg": 15.0},)}),
    ],
)  # fmt: skip
def test_what_cannot_be_built_says_so_and_its_cure_clears(
    changes: dict[str, Any], code: str, cured: dict[str, Any]
) -> None:
    """One deliberately unbuildable version each, and the nearest that the finding's own numbers allow."""
    made = build_plate_wing(plate_wing(**changes), bench())
    assert {found.code for found in made.findings} == {code}
    assert bool(made.blanks) == (code == "G135")  # a watch: it can be built, and jams
    for found in made.findings:
        said = words(found)
        assert all((said.title, said.says, said.expected, said.got, said.cure))
        assert found.where.startswith("wing.")
    again = build_plate_wing(plate_wing(**cured), bench())
    assert code not in {found.code for found in again.findings}


@pytest.mark.parametrize("x", [5.0, 120.0])
def test_an_odd_pivot_is_a_watch(x: float) -> None:
    made = build_plate_wing(plate_wing(role="tailplane", pivot={"x_mm": x}), bench())
    (found,) = made.findings
    assert (found.code, found.verdict) == ("G133", "watch")
    assert made.blanks
    low, high = float(found.params["from"]), float(found.params["to"])
    assert (low, high) == (27.0, 81.0)  # 15 and 45 % of 180 mm


def test_a_pivot_off_the_board_is_refused() -> None:
    made = build_plate_wing(plate_wing(role="tailplane", pivot={"x_mm": 190.0}), bench())
    assert [(found.code, found.verdict) for found in made.findings] == [("G133", "no-go")]


# --- keys that do not go together ---------------------------------------------------------------------------

HEAD = """
[[part]]
kind = "plate_wing"
id = "tail"
role = "tailplane"
x_mm = 500.0
z_mm = 60.0
span_mm = 300.0
chord_mm = 100.0
"""
WHOLE = '{id = "e", kind = "elevator", chord_mm = 30.0, inner_mm = 0.0, outer_mm = 140.0}'


@pytest.mark.parametrize(
    ("rows", "code", "where"),
    [
        ("bay = [{chord_mm = 90.0}, {chord_mm = 80.0}]", "F30", "tail.bay.1.end_mm"),
        ("bay = [{end_mm = 90.0, chord_mm = 90.0}, {end_mm = 60.0, chord_mm = 80.0}]", "F29",
         "tail.bay.2.end_mm"),
        ("bay = [{end_mm = 160.0, chord_mm = 90.0}, {chord_mm = 80.0}]", "F29", "tail.bay.1.end_mm"),
        ("bay = [{end_mm = 140.0, chord_mm = 90.0}]", "F29", "tail.bay.1.end_mm"),
        ("camber = [{x_mm = 50.0, turn_deg = 5.0}, {x_mm = 40.0, turn_deg = 5.0}]", "F29",
         "tail.camber.2.x_mm"),
        ('camber = [{x_mm = 50.0, turn_deg = 5.0, method = "groove", tool_width_mm = 3.0}]', "F32",
         "tail.camber.1.tool_width_mm"),
        ("doubler = {from_mm = 30.0, to_mm = 20.0}", "F29", "tail.doubler.from_mm"),
        ("doubler = {to_mm = 20.0, reach_mm = 200.0}", "F29", "tail.doubler.reach_mm"),
        ('spar = {x_mm = 120.0, stock = "carbon-rod-2"}', "F29", "tail.spar.x_mm"),
        (f"pivot = {{x_mm = 30.0}}\ncontrol = [{WHOLE}]", "F31", "tail.pivot"),
    ],
)  # fmt: skip
def test_keys_that_do_not_go_together(rows: str, code: str, where: str) -> None:
    loaded = load_design(f"{starter()}{HEAD}{rows}\n".encode(), stock=built_in_stock())
    found = [(found.code, found.where) for found in loaded.findings if found.where.startswith("tail")]
    assert (code, where) in found
    assert load_design(f"{starter()}{HEAD}".encode(), stock=built_in_stock()).value is not None


@pytest.mark.parametrize(("past", "kept"), [(0.2, 0.0), (4.9, 0.0), (5.1, 5.1)])
def test_a_doubler_leaves_no_sliver_past_a_break(past: float, kept: float) -> None:
    """Common practice, no source: least part of foam board 5 mm. The bays are level, so places are y."""
    made = build_plate_wing(
        plate_wing(
            span_mm=600.0,
            chord_mm=160.0,
            centre="two",
            bay=({"end_mm": 150.0, "chord_mm": 160.0}, {"chord_mm": 120.0}),
            doubler={"to_mm": 50.0, "reach_mm": 150.0 + past},
        ),
        bench(),
    )
    doubler = next(blank for blank in made.blanks if blank.name.endswith("doubler-right"))
    assert max(points[:, 1].max() for points in corners(doubler).values()) == pytest.approx(150.0 + kept)


# --- at random ----------------------------------------------------------------------------------------------


@pytest.mark.slow
@pytest.mark.untraced
@settings(max_examples=examples(2000))
@given(seeds())
def test_what_holds_of_every_plate_wing(rng: np.random.Generator) -> None:
    """One wing or tail drawn and folded, then asked all that is promised; refused ones say why."""
    used = bench(float(rng.uniform(3.0, 6.0)), spar=2.0)
    made = build_plate_wing(random_wing(rng), used)
    for found in made.findings:
        assert words(found).cure
    assert bool(made.blanks) != any(found.verdict == "no-go" for found in made.findings)
    if not made.blanks:
        return
    for blank in made.blanks:
        assert round_trip(blank) <= CLOSES
        assert mass_error(blank, used.board.material) <= 1e-9
    assert asymmetry(made) <= CLOSES
    assert overlaps(made) == []
    assert worst_mark(max(made.blanks, key=lambda blank: len(blank.panels)), rng) <= CLOSES


@settings(max_examples=examples(150))
@given(seeds())
def test_blanks_of_random_plate_wings_have_no_findings(rng: np.random.Generator) -> None:
    made = build_plate_wing(random_wing(rng), bench(float(rng.uniform(3.0, 6.0)), spar=2.0))
    for blank in made.blanks:
        assert check_blank(blank, FoldRules(), path=False) == ()


@settings(max_examples=examples(300))
@given(seeds())
def test_controls_of_random_plate_wings_lie_where_asked(rng: np.random.Generator) -> None:
    part = random_wing(rng)
    made = build_plate_wing(part, bench(float(rng.uniform(3.0, 6.0)), spar=2.0))
    # what droops behind a camber fold leans outward with dihedral; level bays tell the same of the blank
    if not made.blanks or not part.control or part.camber:
        return
    table = part.control[0]
    blank = made.blanks[0]
    name = next(n for n in (f"{table.id}-right", table.id) if n in {p.name for p in blank.panels})
    y = corners(blank)[name][:, 1]
    slack = table.end_gap_mm + 1.5  # bevels of a break, and a board's thickness turned by dihedral
    assert y.max() <= table.outer_mm + 1.5
    assert y.max() >= table.outer_mm - slack - 4.0
    if name != table.id:
        assert y.min() >= table.inner_mm - 1.5
        assert y.min() <= table.inner_mm + slack + 4.0
    fold = next(f for f in blank.folds if f.name == name)
    panel = blank.panel(name).polygon
    across = np.array([fold.p - fold.q, panel[panel[:, 0].argmax()] - fold.q])
    chord = abs(float(across[0, 0] * across[1, 1] - across[0, 1] * across[1, 0])) / hypot(*across[0])
    assert chord <= max(table.chord_mm, table.outer_chord_mm or 0.0) + 1e-6
