"""The flat blank: outline, inner cuts, the lines of each fold."""

from __future__ import annotations

from dataclasses import replace
from math import pi, tan

import numpy as np
import pytest
from hypothesis import given
from shapely.geometry import LineString, MultiPolygon, Polygon

from foldwright.base.types import FloatArray
from foldwright.geometry.fold.flat import SpaceFold, SpacePanel, unfold
from foldwright.geometry.fold.flatcheck import (
    FoldLine,
    cut_lines,
    flat_overlaps,
    fold_lines,
    outline,
    panel_shape,
)
from foldwright.geometry.fold.model import Blank, Face, Method
from tests.strategies import X_AXIS, Box, box_blank, random_strip, seeds, strip_blank

UPWARD = np.array([0.0, 0.0, 1.0])


def plate_with_flap(gap: float) -> Blank:
    """A plate 200 wide and 100 long with a flap of 80 by 30 mm in its aft edge, `gap` at each end."""
    wing = np.array([
        (0, -100, 0), (100, -100, 0), (100, -40, 0), (70, -40, 0), (70, 40, 0), (100, 40, 0), (100, 100, 0),
        (0, 100, 0),
    ], dtype=np.float64)  # fmt: skip
    y = 40.0 - gap
    flap = np.array([(70, -y, 0), (100, -y, 0), (100, y, 0), (70, y, 0)], dtype=np.float64)
    hinge = SpaceFold("hinge", "wing", "flap", 3, 3, "live", "a", limit=0.5)
    panels = (SpacePanel("wing", UPWARD, 0.0, wing), SpacePanel("flap", UPWARD, 0.0, flap))
    return unfold("tail", 5.0, panels, (hinge,), X_AXIS)


def test_the_outline_keeps_the_gaps_beside_a_control() -> None:
    blank = plate_with_flap(1.0)
    shape = outline(blank)
    assert isinstance(shape, Polygon)
    # First principles: the whole plate less two slots of 1 by 30 mm
    assert shape.area == pytest.approx(200.0 * 100.0 - 2.0 * 30.0, abs=1e-6)
    assert shape.length == pytest.approx(2.0 * 300.0 + 4.0 * 30.0, abs=1e-6)
    assert cut_lines(blank) == ()


def test_without_a_gap_the_ends_are_cut_lines() -> None:
    blank = plate_with_flap(0.0)
    assert outline(blank).area == pytest.approx(200.0 * 100.0, abs=1e-6)
    lines = cut_lines(blank)
    assert len(lines) == 2
    assert sorted(float(np.hypot(*(line[-1] - line[0]))) for line in lines) == pytest.approx(
        [30.0, 30.0], abs=1e-9
    )


@given(seeds())
def test_a_strip_is_one_piece(rng: np.random.Generator) -> None:
    blank = random_strip(rng)
    shape = outline(blank)
    assert isinstance(shape, Polygon)
    assert not shape.interiors
    assert shape.area == pytest.approx(sum(panel_shape(panel).area for panel in blank.panels), rel=1e-9)
    assert cut_lines(blank) == ()
    assert flat_overlaps(blank) == ()


@pytest.mark.parametrize("off", [1e-9, 8e-8, 4e-7])
def test_corners_off_by_a_little_leave_no_gap_along_a_fold(off: float) -> None:
    """Panels found by trial meet to 1e-7 mm, not to the last digit: no line runs in from the rim and back.

    First principles: such a strip is as long round its rim as one whose panels meet to the last digit.
    Regression: a rolled deck over tapering sides was cut 39 mm into its folds.
    """
    widths, skews, turns = (
        np.array([7.1, 7.3, 6.9]),
        np.array([0.0, 0.014, 0.028, 0.04]),
        np.array([0.1, 0.1]),
    )
    blank = strip_blank(widths, skews, turns, ("crush",) * 2, ("a",) * 2, 5.0)
    away = np.array([-off, off])
    first, middle, last = blank.panels
    moved = replace(
        blank,
        panels=(
            replace(first, polygon=first.polygon + away), middle, replace(last, polygon=last.polygon - away)
        ),
    )  # fmt: skip
    shape, whole = outline(moved), outline(blank)
    assert isinstance(shape, Polygon)
    assert shape.length == pytest.approx(whole.length, abs=1e-4)
    assert shape.area == pytest.approx(whole.area, abs=1e-4)


def test_holes_and_loose_pieces_show() -> None:
    blank = box_blank(Box(80.0, 50.0, 300.0, 5.0))
    floor = blank.panel("floor")
    middle = floor.polygon.mean(axis=0)
    hole = middle + 5.0 * np.array([(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)])
    pierced = replace(blank, panels=(replace(floor, holes=(hole,)), *blank.panels[1:]))
    shape = outline(pierced)
    assert isinstance(shape, Polygon)
    assert len(shape.interiors) == 1
    side = blank.panel("left")
    away = replace(side, polygon=side.polygon + np.array([0.0, 500.0]))
    apart = replace(blank, panels=(floor, away, blank.panel("right")))
    assert isinstance(outline(apart), MultiPolygon)


def test_a_blank_on_itself_is_found() -> None:
    blank = box_blank(Box(80.0, 50.0, 300.0, 5.0))
    side = blank.panel("left")
    off = replace(side, polygon=side.polygon + np.array([0.0, 10.0]))
    moved = replace(blank, panels=(blank.panel("floor"), off, blank.panel("right")))
    off_down = replace(side, polygon=side.polygon - np.array([0.0, 10.0]))
    other = replace(blank, panels=(blank.panel("floor"), off_down, blank.panel("right")))
    found = [*flat_overlaps(moved), *flat_overlaps(other)]
    # one of the two ways lies 10 mm on to the floor, the other leaves a gap
    assert [(hit.panel, hit.other_panel) for hit in found] == [("floor", "left")]
    assert found[0].area == pytest.approx(10.0 * 300.0, rel=1e-9)


def lines_of(method: Method, hinge: Face, angle: float = pi / 2, limit: float = 0.0) -> tuple[FoldLine, ...]:
    blank = strip_blank(np.array([60.0, 60.0]), np.zeros(3), np.array([angle]), (method,), (hinge,), 5.0)
    if method == "live":
        blank = plate_with_flap(1.0)
        return fold_lines(blank)[0].lines
    assert limit == 0.0
    return fold_lines(blank)[0].lines


def places(lines: tuple[FoldLine, ...]) -> list[tuple[str, float]]:
    return sorted((line.kind, round(float(line.p[0]), 9)) for line in lines)


@pytest.mark.parametrize("hinge", ["a", "b"])
def test_lines_of_each_method(hinge: Face) -> None:
    # First principles at 90 degrees and t = 5: groove 5 mm on each side, crush band 5 mm wide, rebate 5 mm
    # into the parent (which lies at smaller u), slit one line. The fold is at u = 60.
    assert places(lines_of("groove", hinge)) == [
        ("edge", 55.0), ("edge", 65.0), ("fold", 60.0)
    ]  # fmt: skip
    assert places(lines_of("crush", hinge)) == [("edge", 57.5), ("edge", 62.5)]
    assert places(lines_of("rebate", hinge)) == [("edge", 55.0), ("fold", 60.0)]
    assert places(lines_of("slit", hinge)) == [("fold", 60.0)]
    for method in ("groove", "crush", "rebate", "slit"):
        assert {line.face for line in lines_of(method, hinge)} == {"b" if hinge == "a" else "a"}


def test_lines_of_a_live_hinge() -> None:
    lines = lines_of("live", "a")
    assert [(line.kind, line.face) for line in lines] == [("fold", "b"), ("edge", "b")]
    fold, edge = lines
    assert np.hypot(*(fold.q - fold.p)) == pytest.approx(78.0, abs=1e-9)
    assert edge.p[0] - fold.p[0] == pytest.approx(5.0 * tan(0.5), abs=1e-9)


@given(seeds())
def test_lines_stay_on_their_panels(rng: np.random.Generator) -> None:
    blank = random_strip(rng)
    shape = outline(blank).buffer(1e-6)
    for drawn in fold_lines(blank):
        assert drawn.lines
        for line in drawn.lines:
            assert shape.covers(LineString([line.p, line.q]))
            assert line.face == drawn.fold.opened


def test_lines_keep_out_of_holes() -> None:
    blank = strip_blank(np.array([60.0, 60.0]), np.zeros(3), np.array([pi / 2]), ("groove",), ("a",), 5.0)
    hole: FloatArray = np.array([(50.0, 40.0), (58.0, 40.0), (58.0, 80.0), (50.0, 80.0)])
    first = replace(blank.panels[0], holes=(hole,))
    drawn = fold_lines(replace(blank, panels=(first, blank.panels[1])))[0]
    at_55 = [line for line in drawn.lines if abs(line.p[0] - 55.0) < 1e-9]
    assert sorted(float(np.hypot(*(line.q - line.p))) for line in at_55) == pytest.approx([40.0, 40.0])


def test_a_fold_across_a_hole_is_drawn_beside_it_or_not_at_all() -> None:
    blank = strip_blank(np.array([60.0, 60.0]), np.zeros(3), np.array([pi / 2]), ("groove",), ("a",), 5.0)
    everything: FloatArray = np.array([(50.0, -1.0), (59.0, -1.0), (59.0, 121.0), (50.0, 121.0)])
    first = replace(blank.panels[0], holes=(everything,))
    drawn = fold_lines(replace(blank, panels=(first, blank.panels[1])))[0]
    assert sorted(round(float(line.p[0]), 9) for line in drawn.lines) == [60.0, 65.0]


def test_a_panel_too_narrow_for_its_cut_has_no_line_there() -> None:
    blank = strip_blank(np.array([60.0, 60.0]), np.zeros(3), np.array([pi / 2]), ("groove",), ("a",), 5.0)
    wedge = np.array([(60.0, 0.0), (63.0, 60.0), (60.0, 120.0)])
    square, opened = blank.panels[1].cuts[0], blank.panels[1].cuts[3]
    child = replace(blank.panels[1], polygon=wedge, cuts=(square, square, opened))
    drawn = fold_lines(replace(blank, panels=(blank.panels[0], child)))[0]
    assert [round(float(line.p[0]), 9) for line in drawn.lines] == [60.0, 55.0]


def test_a_blank_without_panels_has_no_outline() -> None:
    with pytest.raises(TypeError, match="GeometryCollection"):
        outline(Blank("nothing", 5.0, (), (), "p", np.eye(4)))


def test_a_crush_without_a_tool_is_one_line() -> None:
    blank = box_blank(Box(80.0, 50.0, 300.0, 5.0, "crush", 0.0))
    assert [line.kind for line in fold_lines(blank)[0].lines] == ["fold"]
