"""Marks land on the right face of the right panel, and come back to where they were wanted."""

from __future__ import annotations

from math import cos, sin

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from foldwright.base.types import FloatArray
from foldwright.geometry.fold.flat import transforms
from foldwright.geometry.fold.marks import MarkMiss, land, land_line, outside, station_of
from foldwright.geometry.fold.model import SQUARE, Blank, Face, Mark, Panel
from foldwright.geometry.transform import apply
from tests.strategies import Box, Section, box_blank, section_blank, sections

UP, DOWN = np.array([0.0, 0.0, 1.0]), np.array([0.0, 0.0, -1.0])
LEFT, RIGHT = np.array([0.0, -1.0, 0.0]), np.array([0.0, 1.0, 0.0])
AFT = np.array([1.0, 0.0, 0.0])
BOX = Box(80.0, 50.0, 300.0, 5.0)
WING = Section(0.3, 50.0, 130.0, 180.0, 650.0, 5.0)
CLOSES = 1e-9


def landed(blank: Blank, x: float, y: float, z: float, way: FloatArray, face: Face | None = None) -> Mark:
    found = land(blank, np.array([x, y, z]), way, "m", face)
    assert isinstance(found, Mark), found
    return found


def missed(blank: Blank, x: float, y: float, z: float, way: FloatArray, face: Face | None = None) -> MarkMiss:
    found = land(blank, np.array([x, y, z]), way, "m", face)
    assert isinstance(found, MarkMiss), found
    return found


@pytest.mark.parametrize(
    ("place", "way", "face", "panel", "on", "station"),
    [
        ((100, 10, -99), UP, None, "floor", "a", (100, 10, 0)),  # underside of the floor
        ((100, 10, 99), DOWN, None, "floor", "b", (100, 10, 5)),  # from above, the box is open
        ((100, 10, -99), UP, "b", "floor", "b", (100, 10, 5)),  # the inner face, through the board
        ((100, 99, 30), LEFT, None, "right", "a", (100, 40, 30)),
        ((100, -99, 30), RIGHT, None, "left", "a", (100, -40, 30)),
        ((100, 0, 30), RIGHT, None, "right", "b", (100, 35, 30)),  # from inside
        ((100, 99, 30), LEFT, "b", "right", "b", (100, 35, 30)),
    ],
)
def test_marks_on_a_box(
    place: tuple[float, float, float], way: FloatArray, face: Face | None, panel: str, on: str,
    station: tuple[float, float, float],
) -> None:  # fmt: skip
    blank = box_blank(BOX)
    mark = landed(blank, *place, way, face)
    assert (mark.panel, mark.face) == (panel, on)
    assert np.abs(station_of(blank, mark) - station).max() <= CLOSES


def test_a_balance_mark_under_the_wing_lies_on_strip_or_trailing_part() -> None:
    # First principles: the strip's outer face is its A at z = -t; behind it the trailing part's inner face
    # B at z = 0 looks down.
    blank = section_blank(WING)
    on_strip = landed(blank, 60.0, 100.0, -200.0, UP)
    assert (on_strip.panel, on_strip.face) == ("strip", "a")
    assert np.abs(station_of(blank, on_strip) - (60.0, 100.0, -5.0)).max() <= CLOSES
    on_trailing = landed(blank, 150.0, 100.0, -200.0, UP)
    assert (on_trailing.panel, on_trailing.face) == ("trailing", "b")
    assert np.abs(station_of(blank, on_trailing) - (150.0, 100.0, 0.0)).max() <= CLOSES


def test_marks_on_top_of_the_wing() -> None:
    blank = section_blank(WING)
    for x, panel in ((25.0, "front"), (90.0, "aft"), (160.0, "trailing")):
        mark = landed(blank, x, -40.0, 300.0, DOWN)
        assert (mark.panel, mark.face) == (panel, "a")
        assert np.abs(station_of(blank, mark)[0, :2] - (x, -40.0)).max() <= CLOSES
    inner = landed(blank, 90.0, -40.0, 300.0, DOWN, "b")
    assert (inner.panel, inner.face) == ("aft", "b")
    # between strip and aft panel, looking up
    assert (landed(blank, 90.0, 0.0, 1.0, UP).panel, landed(blank, 90.0, 0.0, 1.0, UP).face) == ("aft", "b")


@given(sections(), st.floats(0.02, 0.98), st.floats(-0.49, 0.49), st.booleans())
def test_marks_close(section: Section, along: float, across: float, below: bool) -> None:
    blank = section_blank(section)
    x, y = along * section.chord, across * section.span
    way, z = (UP, -300.0) if below else (DOWN, 300.0)
    found = land(blank, np.array([x, y, z]), way, "m")
    if isinstance(found, Mark):
        back = station_of(blank, found)[0]
        assert np.abs(back[:2] - (x, y)).max() <= CLOSES
    else:  # only the nose's slit and the corners of the ridges are no good places
        assert found.reason in {"on a bevel", "off the part"}
        lands = (section.thickness * sin(section.slope), section.spar, section.strip_end)
        assert min(abs(x - edge) for edge in lands) < 2.0 * section.thickness


def test_off_the_part_says_how_far() -> None:
    blank = box_blank(BOX)
    ahead = missed(blank, -12.0, 0.0, -99.0, UP)
    assert (ahead.reason, ahead.panel) == ("off the part", "floor")
    assert ahead.distance == pytest.approx(12.0, abs=1e-9)
    assert missed(blank, 100.0, 0.0, -99.0, DOWN).distance == np.inf
    assert missed(blank, -10.0, 99.0, 60.0, LEFT).distance == pytest.approx(np.hypot(10.0, 10.0), abs=1e-9)


def test_on_a_bevel_says_how_far() -> None:
    # First principles: the groove's mitre takes t*tan(45 degrees) = 5 mm of the inner face.
    blank = box_blank(BOX)
    hit = missed(blank, 100.0, 37.0, -99.0, UP, "b")
    assert (hit.reason, hit.panel, hit.face) == ("on a bevel", "floor", "b")
    assert hit.distance == pytest.approx(2.0, abs=1e-9)
    assert np.allclose(hit.place, (100.0, 37.0, 5.0))
    # the outer face runs on to the mould line
    assert landed(blank, 100.0, 39.9, -99.0, UP).face == "a"


def test_a_ray_goes_through_a_hole() -> None:
    hole = np.array([(40.0, 40.0), (60.0, 40.0), (60.0, 60.0), (40.0, 60.0)])
    ring = np.array([(0.0, 0.0), (100.0, 0.0), (100.0, 100.0), (0.0, 100.0)])
    blank = Blank("plate", 5.0, (Panel("p", ring, (SQUARE,) * 4, (hole,)),), (), "p", np.eye(4))
    assert missed(blank, 50.0, 47.0, 99.0, DOWN).distance == pytest.approx(7.0, abs=1e-9)
    assert landed(blank, 30.0, 50.0, 99.0, DOWN).face == "a"
    edge_on = missed(blank, 50.0, 50.0, 2.0, AFT)
    assert (edge_on.panel, edge_on.distance) == ("", np.inf)


def test_a_deflected_control_carries_its_mark() -> None:
    blank = box_blank(BOX)
    flat = transforms(blank, 0.0)
    mark = land(blank, np.array([100.0, -60.0, -99.0]), UP, "m", transforms=flat)
    assert isinstance(mark, Mark)
    assert mark.panel == "left"
    assert np.abs(station_of(blank, mark, flat) - (100.0, -60.0, 0.0)).max() <= CLOSES


def test_a_line_is_split_at_the_ridge() -> None:
    blank = section_blank(WING)
    line = np.array([(20.0, 10.0, 300.0), (170.0, 60.0, 300.0)])
    pieces = land_line(blank, line, DOWN, "line")
    marks = [piece for piece in pieces if isinstance(piece, Mark)]
    assert [mark.panel for mark in marks] == ["front", "aft", "trailing"]
    assert all(mark.face == "a" for mark in marks)
    stations = np.concatenate([station_of(blank, mark) for mark in marks])
    # every point lies under the line, and the pieces begin and end where it does
    share = (stations[:, 0] - 20.0) / 150.0
    assert np.abs(stations[:, 1] - (10.0 + 50.0 * share)).max() <= CLOSES
    assert (stations[0, 0], stations[-1, 0]) == pytest.approx((20.0, 170.0), abs=CLOSES)
    # the crease is cut from face A, but its groove is closed when it is folded: nothing is missed
    assert len(marks) == len(pieces)
    flat = transforms(blank, 0.0)
    way = -flat["aft"][:3, 2]
    open_line = np.array([apply(flat["aft"], np.array([u, 9.0, 300.0])) for u in (60.0, 95.0)])
    pieces = land_line(blank, open_line, way, "line", transforms=flat)
    crease = 2.0 * WING.thickness * np.tan(WING.aft_slope / 2.0)
    assert [type(piece) for piece in pieces] == [Mark, MarkMiss, Mark]
    assert isinstance(pieces[1], MarkMiss)
    assert pieces[1].reason == "on a bevel"
    assert pieces[1].distance == pytest.approx(crease, abs=1e-9)


def test_a_line_that_runs_off_reports_the_stretch() -> None:
    blank = box_blank(BOX)
    line = np.array([(-30.0, 0.0, -9.0), (100.0, 0.0, -9.0), (200.0, 10.0, -9.0)])
    pieces = land_line(blank, line, UP, "line")
    assert [type(piece) for piece in pieces] == [MarkMiss, Mark]
    first, second = pieces
    assert isinstance(first, MarkMiss)
    assert isinstance(second, Mark)
    assert first.distance == pytest.approx(30.0, abs=1e-9)
    assert len(second.points) == 3
    assert np.abs(station_of(blank, second)[:, :2] - ((0, 0), (100, 0), (200, 10))).max() <= CLOSES


def test_a_point_on_a_straight_line_is_left_out() -> None:
    blank = box_blank(BOX)
    line = np.array([(10.0, 0.0, -9.0), (100.0, 0.0, -9.0), (200.0, 0.0, -9.0)])
    (mark,) = land_line(blank, line, UP, "line")
    assert isinstance(mark, Mark)
    assert len(mark.points) == 2


@given(st.floats(0.0, 6.28), st.floats(0.0, 3.0), st.booleans())
def test_distance_from_a_ring(angle: float, reach: float, clockwise: bool) -> None:
    # First principles: a square of half side 1 and a point on a ray from its middle.
    ring = np.array([(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)])
    point = reach * np.array([cos(angle), sin(angle)])
    over = np.abs(point) - 1.0
    expected = float(over.max()) if over.max() <= 0.0 else float(np.hypot(*np.maximum(over, 0.0)))
    assert outside(ring[::-1] if clockwise else ring, point) == pytest.approx(expected, abs=1e-12)
