"""A wing seated in a body: the cut-out against the wing's own section, what is left, what is in the way."""

from __future__ import annotations

from math import cos, radians, tan
from typing import Any

import numpy as np
import pytest
import shapely
from shapely.geometry.base import BaseGeometry

from foldwright.airframe.box import build_box
from foldwright.airframe.model import PartBuild
from foldwright.airframe.saddle import LEAST_BELOW, seat
from foldwright.airframe.saddle_cut import FINE, lowest
from foldwright.airframe.section import placed, slice_contour
from foldwright.airframe.trim import owners, trimmed
from foldwright.airframe.wing import build_wing
from foldwright.base.finding import Finding
from foldwright.base.messages import words
from foldwright.design.parts import FoldedWing, Saddle
from foldwright.geometry.fold.flat import transforms
from foldwright.geometry.fold.model import SQUARE, EdgeCut, Panel
from foldwright.geometry.transform import apply
from tests.airframe.boxes import board, box, random_box, station
from tests.airframe.solids import overlaps

T = 5.0
STRAIGHT = (station(0, 56, -30, 22), station(250, 56, -30, 22), station(385, 40, -18, 22))
X0, X1 = -2000.0, 2000.0


def wing(**changes: Any) -> PartBuild:
    table: dict[str, Any] = {
        "kind": "folded_wing",
        "id": "wing",
        "x_mm": 40,
        "z_mm": 4,
        "incidence_deg": 2,
        "span_mm": 660,
        "chord_mm": 200,
        "spar": {"x_mm": 60, "height_mm": 14},
        "strip": {"aft_mm": 130},
        "control": ({"id": "elevon", "chord_mm": 44, "inner_mm": 60, "outer_mm": 320},),
    }
    return build_wing(FoldedWing.model_validate({**table, **changes}), board(T))


def body(**changes: Any) -> PartBuild:
    return build_box(box(**{"station": STRAIGHT, "former": (), "deck": (), **changes}), board(T))


def joint(clearance: float = 0.3, *, glued: bool = True) -> Saddle:
    table = {
        "kind": "saddle",
        "id": "seat",
        "parts": ("wing", "body"),
        "clearance_mm": clearance,
        "glued": glued,
    }
    return Saddle.model_validate(table)


def seated(
    one: PartBuild, other: PartBuild, clearance: float = 0.3
) -> tuple[PartBuild, tuple[Finding, ...], dict[str, np.ndarray[Any, Any]]]:
    done = seat(one, other, joint(clearance), board(T))
    return done.body, done.findings, {seam.id: seam.points for seam in done.seams}


def side_shape(build: PartBuild, name: str) -> BaseGeometry:
    """A side seen from the right, (x, z), on its outer face."""
    main = build.blanks[0]
    polygon = main.panel(name).polygon
    points = apply(transforms(main)[name], np.column_stack([polygon, np.full(len(polygon), T)]))
    return shapely.Polygon(points[:, [0, 2]])


@pytest.mark.parametrize("clearance", [0.0, 0.3, 1.0])
def test_the_cut_out_is_the_section_plus_clearance(clearance: float) -> None:
    """Against the wing's slice at the side's outer face, widened here and swept upward by many copies."""
    one, other = wing(), body()
    new, found, _ = seated(one, other, clearance)
    assert not found
    section = slice_contour((placed("wing", blank) for blank in one.blanks), 28.0)
    wide = section.buffer(clearance, join_style="mitre", mitre_limit=2.0)
    before, after = side_shape(other, "right"), side_shape(new, "right")
    gone = before.difference(after)
    assert gone.covers(wide.intersection(before).buffer(-2 * FINE))
    # nothing is cut below the wing: the lower edge of what is gone is the lower edge of the widened section
    low_gone = [np.asarray(part.exterior.coords)[:-1] for part in shapely.get_parts(gone)]
    low_wide = [np.asarray(part.exterior.coords)[:-1] for part in shapely.get_parts(wide)]
    x = np.linspace(wide.bounds[0] + 1.0, wide.bounds[2] - 1.0, 400)
    wanted = np.minimum(lowest(low_wide, x), 22.0)
    assert lowest(low_gone, x) == pytest.approx(wanted, abs=FINE + 1e-6)
    assert gone.bounds[3] == pytest.approx(22.0, abs=1e-9)


def test_the_wing_goes_in_without_touching() -> None:
    one, other = wing(), body()
    new, _, _ = seated(one, other)
    together = overlaps(PartBuild("both", one.blanks + new.blanks))
    assert not [pair for pair in together if ("wing" in pair[0]) != ("wing" in pair[1])]
    raised = [
        shapely.affinity.translate(slice_contour((placed("wing", b) for b in one.blanks), y), 0.0, lift)
        for y in (28.0, 23.0)
        for lift in range(0, 60, 3)
    ]
    side = side_shape(new, "right")
    assert max(shape.intersection(side).area for shape in raised) < 1e-6


def test_where_the_seat_lies() -> None:
    """Under the strip: its under face (z = 4 at the leading edge, 2 degrees nose-up) less the clearance."""
    one, other = wing(), body()
    seams = seated(one, other)[2]
    run = seams["seat/right/2"]
    flat = run[np.abs(run[:, 2] - 4.0) < 8.0][:2]
    slope = (flat[1, 2] - flat[0, 2]) / (flat[1, 0] - flat[0, 0])
    assert slope == pytest.approx(-tan(radians(2.0)), abs=1e-4)
    x = flat[0, 0]
    expected = 4.0 - (x - 40.0) * tan(radians(2.0)) - 0.3 / cos(radians(2.0))
    assert flat[0, 2] == pytest.approx(expected, abs=0.05)


def test_left_is_right_mirrored() -> None:
    new, _, seams = seated(wing(), body())
    right, left = side_shape(new, "right"), side_shape(new, "left")
    assert right.symmetric_difference(left).area == pytest.approx(0.0, abs=1e-6)
    assert seams["seat/right/1"][:, 1] == pytest.approx(25.5, abs=1e-9)
    assert {name.split("/")[1] for name in seams} == {"right", "left"}


def test_cuts_and_folds_outside_the_seat_stay() -> None:
    other = body()
    new, _, _ = seated(wing(), other)
    old_main, main = other.blanks[0], new.blanks[0]
    assert [fold.name for fold in main.folds] == [fold.name for fold in old_main.folds]
    for old, fold in zip(old_main.folds, main.folds, strict=True):
        assert np.allclose(old.p, fold.p, atol=1e-9)
        assert np.allclose(old.q, fold.q, atol=1e-9)
    for old_panel, panel in zip(old_main.panels, main.panels, strict=True):
        kept = sorted(cut.b for cut in panel.cuts if cut.b > 0)
        assert kept == pytest.approx(sorted(cut.b for cut in old_panel.cuts if cut.b > 0), abs=1e-12)


def test_a_bend_under_the_wing_is_shortened() -> None:
    other = body()
    new, found, _ = seated(wing(x_mm=120), other)
    assert not found
    old = {fold.name: fold.length for fold in other.blanks[0].folds}
    now = {fold.name: fold.length for fold in new.blanks[0].folds}
    assert old["right/right-2"] == pytest.approx(52.0, abs=1e-9)
    assert 20.0 < now["right/right-2"] < 40.0
    assert now["floor/right"] == pytest.approx(old["floor/right"], abs=1e-9)
    assert not overlaps(new)


def test_formers_under_the_wing_make_room() -> None:
    formers = (
        {"id": "one", "x_mm": 100, "hole": ({"width_mm": 10, "z_mm": -18},)},
        {"id": "two", "x_mm": 300},
    )
    one, other = wing(), body(former=formers)
    new, found, seams = seated(one, other)
    assert not found
    together = overlaps(PartBuild("both", one.blanks + new.blanks))
    assert not [pair for pair in together if ("wing" in pair[0]) != ("wing" in pair[1])]
    high = {b.name: np.ptp(b.panels[0].polygon[:, 1]) for b in new.blanks[1:]}
    assert high["body/two"] == pytest.approx(np.ptp(other.blanks[2].panels[0].polygon[:, 1]), abs=1e-9)
    # from the floor's inner face (-25) to the seat at the aft face, x = 105: 65 mm behind the leading edge
    assert high["body/one"] == pytest.approx(25 + 4 - 65 * tan(radians(2)) - 0.3 / cos(radians(2)), abs=0.01)
    assert len(new.blanks[1].panels[0].holes) == 1
    assert np.ptp(seams["seat/one/1"][:, 1]) == pytest.approx(45.8, abs=0.01)
    glue = {seam.id: seam.points for seam in new.seams}
    assert glue["body/one"][:, 2].max() == pytest.approx(-25 + high["body/one"], abs=0.01)


def test_a_weak_saddle() -> None:
    """22 - 26 + ... the strip's aft end hangs lowest: 130 sin 2 deg below its front (first principles)."""
    new, found, _ = seated(wing(z_mm=-20), body())
    codes = {(item.code, item.verdict, item.where) for item in found}
    assert codes == {("G58", "watch", "body/main/right"), ("G58", "watch", "body/main/left")}
    left = found[0].value
    expected = -20 - 130 * tan(radians(2)) - 0.3 + 30
    assert left == pytest.approx(expected, abs=0.1)
    assert words(found[0]).cure.startswith(f"Raise the wing by {found[0].params['lift']} mm")
    lift = float(found[0].params["lift"])
    again = seated(wing(z_mm=-20 + lift), body())[1]
    assert not again
    assert LEAST_BELOW - float(left or 0.0) <= lift < LEAST_BELOW - float(left or 0.0) + 0.2
    assert new.blanks


def test_a_saddle_that_cuts_through() -> None:
    _, found, _ = seated(wing(z_mm=-34), body())
    assert {item.code for item in found} >= {"G59"}
    assert all(item.verdict == "no-go" for item in found)


def test_a_wing_above_the_body() -> None:
    other = body()
    new, found, seams = seated(wing(z_mm=40), other)
    assert [item.code for item in found] == ["G70"]
    assert found[0].params["lower"] == pytest.approx(40 - 22 - 200 * tan(radians(2)), abs=6.0)
    assert new.blanks == other.blanks
    assert not seams
    assert words(found[0]).says


def test_decks_in_the_way() -> None:
    decks: tuple[dict[str, Any], ...] = (
        {"id": "fore", "from_mm": 5, "to_mm": 60},
        {"id": "deep", "role": "tray", "from_mm": 5, "to_mm": 200, "z_mm": -16},
    )
    _, found, _ = seated(wing(), body(deck=decks))
    assert [(item.code, item.where) for item in found] == [("G71", "body.deck.fore.to_mm")]
    ahead = float(found[0].params["ahead"])
    assert 39.0 < ahead < 41.0
    cured = seated(wing(), body(deck=({**decks[0], "to_mm": ahead}, decks[1])))[1]
    assert not cured
    assert words(found[0]).cure


def test_a_former_that_vanishes() -> None:
    shallow = (station(0, 56, -30, 22), station(250, 56, -30, 22))
    _, found, _ = seated(wing(z_mm=-22), body(station=shallow, former=({"id": "one", "x_mm": 140},)))
    lost = [item for item in found if item.code == "G72"]
    assert [item.where for item in lost] == ["body.former.one.x_mm"]
    assert words(lost[0]).cure


def test_a_leaning_former_at_the_trailing_edge() -> None:
    """Its sides are a little wider apart at the top; that is no board lost."""
    former = {"id": "mount", "x_mm": 379, "role": "motor", "tilt_deg": -2.9}
    rows = (station(0, 56, -25, 30), station(305, 56, -25, 30), station(385, 44, -15, 30))
    one = wing(
        x_mm=165,
        z_mm=25,
        incidence_deg=0,
        chord_mm=220,
        strip={"aft_mm": 132},
        spar={"x_mm": 62, "height_mm": 12},
    )
    new, found, _ = seated(one, body(station=rows, former=(former,)))
    assert not found
    assert [blank.name for blank in new.blanks] == ["body/main", "body/mount"]


@pytest.mark.parametrize("seed", range(40))
def test_random_seats(seed: int) -> None:
    """Whatever the place: wing and body never share board unless a finding says so; folds keep their ends."""
    rng = np.random.default_rng(seed)
    one = wing(
        x_mm=float(rng.uniform(-50, 250)),
        z_mm=float(rng.uniform(-25, 25)),
        incidence_deg=float(rng.uniform(-3, 5)),
    )
    part, _, tilt = random_box(rng)
    other = build_box(part, board(T), tilt)
    new, found, _ = seated(one, other)
    for item in found:
        assert words(item).says
        assert words(item).cure
    excused = {"G71", "G59", "G70"}
    pairs = overlaps(PartBuild("both", one.blanks + new.blanks))
    shared = [pair for pair in pairs if ("wing" in pair[0]) != ("wing" in pair[1])]
    assert not shared or {item.code for item in found} & excused
    assert not overlaps(new)
    for blank in new.blanks:
        placed_now = transforms(blank)
        for fold in blank.folds:
            w = T if fold.hinge == "a" else 0.0
            line = np.array([[*fold.p, w], [*fold.q, w]])
            assert np.allclose(
                apply(placed_now[fold.parent], line), apply(placed_now[fold.child], line), atol=1e-9
            )


def test_nothing_to_seat() -> None:
    empty = PartBuild("wing", ())
    done = seat(empty, body(), joint(), board())
    assert (done.findings, done.seams, done.cut) == ((), (), ())


def test_unglued_has_no_glue() -> None:
    assert not seat(wing(), body(), joint(glued=False), board(T)).seams


def test_trimmed_keeps_cuts_and_opens_holes() -> None:
    square = np.array([[0.0, 0], [10, 0], [10, 10], [0, 10]])
    outline = np.array([[0.0, 0], [100, 0], [100, 50], [0, 50]])
    cuts = (EdgeCut(b=3.0), SQUARE, SQUARE, EdgeCut(a=1.0))
    panel = Panel("p", outline, cuts, (square + np.array([10, 10]), square + np.array([60, 35])))
    new = trimmed(panel, shapely.box(50, 40, 120, 90))
    assert new is not None
    assert len(new.holes) == 1
    assert shapely.Polygon(new.polygon).area == pytest.approx(5000 - 500 - 50, abs=1e-9)
    owner = owners(panel.polygon, new.polygon)
    assert {(new.cuts[i].b, new.cuts[i].a) for i in range(len(owner)) if owner[i] == 0} == {(3.0, 0.0)}
    assert {(new.cuts[i].b, new.cuts[i].a) for i in range(len(owner)) if owner[i] == 3} == {(0.0, 1.0)}
    assert all(new.cuts[i] == SQUARE for i in range(len(owner)) if owner[i] < 0)
    assert trimmed(panel, shapely.box(-1, -1, 101, 51)) is None
