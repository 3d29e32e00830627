"""Rolled decks and noses. Expected numbers: the circle through two ends and a crown (first principles)."""

from __future__ import annotations

from math import asin, degrees, hypot, pi, sin
from typing import Any

import numpy as np
import pytest

from foldwright.airframe.box import build_box
from foldwright.airframe.model import PartBuild
from foldwright.airframe.rolled import end_slope, mould, radius_of, rise_of, slope_for
from foldwright.base.finding import Finding
from foldwright.base.messages import catalogue, words
from foldwright.base.types import FloatArray
from foldwright.geometry.fold.checks import FoldRules, check_blank
from foldwright.geometry.fold.flat import transforms
from foldwright.geometry.fold.model import Blank
from foldwright.geometry.transform import apply
from tests.airframe.boxes import board, box, station
from tests.airframe.solids import overlaps

BARE = ({"kind": "bare", "face": "b", "panel": "dome"},)
STRAIGHT = (station(0, 56, -30, 22), station(250, 56, -30, 22))


def rolled(t: float = 5.0, **changes: Any) -> PartBuild:
    dome = {"id": "dome", "role": "rolled", "from_mm": 10, "to_mm": 200, "rise_mm": 17, **changes}
    return build_box(box(station=STRAIGHT, former=(), deck=(dome,), work=BARE), board(t))


def nose(**changes: Any) -> PartBuild:
    dome = {"id": "dome", "role": "rolled_nose", "from_mm": -22, "to_mm": 0, **changes}
    former = ({"id": "wall", "x_mm": 0, "role": "nose"},)
    return build_box(box(station=STRAIGHT, former=former, deck=(dome,), work=BARE), board())


def blank_of(build: PartBuild, name: str = "dome") -> Blank:
    return next(blank for blank in build.blanks if blank.name == f"body/{name}")


def outer(blank: Blank) -> FloatArray:
    placed = transforms(blank)
    return np.concatenate(
        [
            apply(placed[p.name], np.column_stack([p.polygon, np.full(len(p.polygon), blank.thickness)]))
            for p in blank.panels
        ]
    )


def only(build: PartBuild) -> Finding:
    assert len(build.findings) == 1, build.findings
    return build.findings[0]


def test_the_arch_of_a_known_circle() -> None:
    """t = 0: chord 56, rise 14 is a circle of radius (28² + 14²)/28 = 35 (intersecting chords)."""
    slope = end_slope(56.0, 14.0, 1e-12)
    assert slope is not None
    assert radius_of(56.0, slope) == pytest.approx(35.0, abs=1e-9)
    assert slope == pytest.approx(asin(28 / 35), abs=1e-9)
    # a board of 5 mm on its inner corners stands 5 cos(slope) = 3 mm higher
    assert rise_of(56.0, asin(28 / 35), 5.0) == pytest.approx(17.0, abs=1e-9)
    assert end_slope(56.0, 28.0, 5.0) == pytest.approx(pi / 2, abs=1e-9)
    assert end_slope(56.0, 28.1, 5.0) is None
    assert end_slope(56.0, 5.0, 5.0) is None
    assert slope_for(56.0, 35.0) == pytest.approx(asin(0.8), abs=1e-12)


@pytest.mark.parametrize("facets", [3, 6, 8, 16])
def test_the_facets_touch_the_arch_in_their_middles(facets: int) -> None:
    points = mould(56.0, asin(0.8), facets)
    centre = np.array([0.0, -35.0 * 0.6])
    for index in range(1, facets - 1):
        middle = (points[index] + points[index + 1]) / 2.0
        assert hypot(*(middle - centre)) == pytest.approx(35.0, abs=1e-9)
    assert points[0] == pytest.approx([-28.0, 0.0])
    assert points[-1] == pytest.approx([28.0, 0.0])


@pytest.mark.parametrize("facets", [6, 7, 8, 16])
def test_the_flat_board_is_as_wide_as_the_arch_is_long(facets: int) -> None:
    """Arc 2 * slope * R = 2 * asin(0.8) * 35 = 64.911 mm, however many lines."""
    blank = blank_of(rolled(facets=facets))
    points = np.concatenate([panel.polygon for panel in blank.panels])
    assert np.ptp(points, axis=0) == pytest.approx([190.0, 2 * asin(0.8) * 35.0], abs=1e-9)
    assert len(blank.folds) == facets - 1
    turns = [degrees(fold.angle) for fold in blank.folds]
    assert turns == pytest.approx([degrees(2 * asin(0.8) / (facets - 1))] * (facets - 1), abs=1e-9)
    assert {(fold.method, fold.hinge, fold.toward) for fold in blank.folds} == {("crush", "a", "b")}


@pytest.mark.parametrize("t", [3.0, 4.2, 5.0])
def test_outer_dimensions_hold_when_the_board_changes(t: float) -> None:
    build = rolled(t)
    assert not build.findings
    points = outer(blank_of(build))
    assert points[:, 0].min() == pytest.approx(10.0, abs=1e-9)
    assert points[:, 0].max() == pytest.approx(200.0, abs=1e-9)
    assert np.abs(points[:, 1]).max() == pytest.approx(28.0, abs=1e-9)
    # mould lines stand R(1/cos(turn/2) - 1) outside the arch, whose crown is 17 mm over the sides; the
    # rounded corner takes some hundredths off them
    slope = end_slope(56.0, 17.0, t)
    assert slope is not None
    beyond = radius_of(56.0, slope) * (1.0 / np.cos(slope / 7.0) - 1.0)
    assert points[:, 2].max() == pytest.approx(22.0 + 17.0 + beyond, abs=0.02)
    assert not overlaps(build)


def test_faces_and_folds() -> None:
    build = rolled()
    blank = blank_of(build)
    placed = transforms(blank)
    for panel in blank.panels:
        middle = apply(placed[panel.name], np.array([*panel.polygon.mean(axis=0), 5.0]))
        assert placed[panel.name][2, 2] > 0.0
        assert placed[panel.name][1, 2] * middle[1] >= -1e-9  # face A leans outward on both sides
        assert np.linalg.det(placed[panel.name][:3, :3]) == pytest.approx(1.0)
    assert not check_blank(blank, FoldRules())


def test_a_tapered_and_climbing_deck_is_a_cone_of_flat_facets() -> None:
    rows = (station(0, 60, -30, 15), station(70, 60, -30, 15), station(300, 40, -30, 30))
    dome = {"id": "dome", "role": "rolled", "from_mm": 70, "to_mm": 295, "rise_mm": 14}
    build = build_box(box(station=rows, former=(), deck=(dome,), work=BARE), board(4.0))
    assert not build.findings
    assert not overlaps(build)
    points = outer(blank_of(build))
    for x, half in ((70.0, 30.0), (295.0, 30.0 - 10.0 * 225 / 230)):
        assert np.abs(points[np.abs(points[:, 0] - x) < 1e-6][:, 1]).max() == pytest.approx(half, abs=1e-6)
    blank = blank_of(build)
    assert not check_blank(blank, FoldRules())


def test_glue_stands_on_the_upper_edges() -> None:
    seams = {seam.id: seam.points for seam in rolled().seams}
    right = seams["body/dome/right"]
    assert right[:, 2] == pytest.approx(22.0, abs=1e-9)
    assert right[:, 1] == pytest.approx(28.0 - 5.0 * 0.8, abs=1e-9)  # t sin(slope) inside the outer edge
    assert seams["body/dome/left"][:, 1] == pytest.approx(-24.0, abs=1e-9)


def test_the_body_is_higher_under_the_arch() -> None:
    body = rolled().bodies[0]
    heights = dict(zip(body.x.round(3).tolist(), body.height.tolist(), strict=True))
    assert heights[0.0] == pytest.approx(52.0)
    assert heights[10.0] == pytest.approx(52.0 + 17.0)
    assert heights[200.1] == pytest.approx(52.0)


def test_a_rolled_nose_closes_the_front() -> None:
    """Depth 22, height 52: the arch stands on the plane x = 0; cheeks fill it to the right and left."""
    build = nose()
    assert not build.findings
    assert not overlaps(build)
    points = outer(blank_of(build))
    assert np.abs(points[:, 1]).max() == pytest.approx(28.0, abs=1e-9)
    assert (points[:, 2].min(), points[:, 2].max()) == pytest.approx((-30.0, 22.0), abs=1e-9)
    slope = end_slope(52.0, 22.0, 5.0)
    assert slope is not None
    front = -22.0 - radius_of(52.0, slope) * (1.0 / np.cos(slope / 7.0) - 1.0)
    assert points[:, 0].min() == pytest.approx(front, abs=0.02)
    right, left = blank_of(build, "dome-right"), blank_of(build, "dome-left")
    assert right.placement[:3, 2] == pytest.approx([0.0, 1.0, 0.0])
    assert left.placement[:3, 2] == pytest.approx([0.0, -1.0, 0.0])
    cheek = outer(right)
    assert cheek[:, 1] == pytest.approx(28.0, abs=1e-9)
    assert cheek[:, 0].max() == pytest.approx(0.0, abs=1e-9)
    assert left.mirror_of == "body/dome-right"
    body = build.bodies[0]
    assert (np.diff(body.x) > 0).all()
    assert body.x[0] == pytest.approx(-22.0)


def test_rolled_too_tightly() -> None:
    """R = 35 mm: enough with the inner paper peeled (25 mm), too tight with both papers on (60 mm)."""
    dome = {"id": "dome", "role": "rolled", "from_mm": 10, "to_mm": 200, "rise_mm": 17}
    part = box(station=STRAIGHT, former=(), deck=(dome,))
    item = only(build_box(part, board()))
    assert (item.code, item.where, item.value, item.limit) == ("G146", "body.deck.dome.rise_mm", 35.0, 60.0)
    assert words(item).cure == "Set rise_mm to 11.3, or peel the inner paper (work, face b, panel dome)."
    assert not rolled().findings
    lower = build_box(box(station=STRAIGHT, former=(), deck=({**dome, "rise_mm": 11.3},)), board())
    assert not lower.findings
    slope = end_slope(56.0, 11.3, 5.0)
    assert slope is not None
    assert 28.0 / sin(slope) >= 60.0


@pytest.mark.parametrize(("rise", "need"), [(4.0, 6.1), (29.0, 28.0)])
def test_no_arch_of_that_rise(rise: float, need: float) -> None:
    item = only(rolled(rise_mm=rise))
    assert (item.code, item.params["need"]) == ("G145", need)
    assert end_slope(56.0, need, 5.0) is not None


def test_too_few_and_too_many_lines() -> None:
    few = only(rolled(facets=3))
    assert (few.code, few.params["need"]) == ("G147", 5)  # 106.3 degrees in turns of at most 30: 4 lines
    assert not rolled(facets=5).findings
    narrow = (station(0, 32, -30, 22), station(250, 32, -30, 22))
    dome = {"id": "dome", "role": "rolled", "from_mm": 10, "to_mm": 200, "rise_mm": 8, "facets": 16}
    many = only(build_box(box(station=narrow, former=(), deck=(dome,), work=BARE), board(3.0)))
    assert many.code == "G147"
    assert many.params["apart"] < 3.0  # type: ignore[operator]


def test_rolled_over_a_bend_off_the_front_and_into_another() -> None:
    dome = {"id": "dome", "role": "rolled", "from_mm": 200, "to_mm": 300, "rise_mm": 14}
    bent = only(build_box(box(former=(), deck=(dome,), work=BARE), board()))
    assert (bent.code, bent.value) == ("G148", 250.0)
    # most of it stays: the longer run behind or ahead of the bend
    for ends, where, says in (
        ((240.0, 300.0), "from_mm", "Set from_mm to 250: 50.0 mm"),
        ((190.0, 260.0), "to_mm", "Set to_mm to 250: 60.0 mm"),
    ):
        long = dome | {"from_mm": ends[0], "to_mm": ends[1]}
        stub = only(build_box(box(former=(), deck=(long,), work=BARE), board()))
        assert (stub.code, stub.where) == ("G148", f"body.deck.dome.{where}")
        assert words(stub).cure.startswith(says)
        cured = build_box(box(former=(), deck=(long | {where: 250.0},), work=BARE), board())
        assert "G148" not in {found.code for found in cured.findings}
    off = only(nose(to_mm=5))
    assert (off.code, off.where) == ("G149", "body.deck.dome.to_mm")
    assert only(rolled(to_mm=260)).code == "G51"
    assert only(rolled(to_mm=12)).code == "G50"
    on = {"id": "lid", "from_mm": 150, "to_mm": 240, "seat": "on"}
    dome = {"id": "dome", "role": "rolled", "from_mm": 10, "to_mm": 200, "rise_mm": 17}
    both = build_box(box(station=STRAIGHT, former=(), deck=(on, dome), work=BARE), board())
    assert (only(both).code, only(both).where, only(both).value) == ("G54", "body.deck.dome.from_mm", 50.0)
    assert "body/dome" not in {blank.name for blank in both.blanks}


def test_the_builder_is_told_how_to_roll() -> None:
    (note,) = rolled().notes
    said = catalogue()[note.code].says.format(**note.params)
    assert said.startswith("The inner paper is peeled off first. Press 7 lines into the inner face")
    assert "radius of 35.0 mm" in said
