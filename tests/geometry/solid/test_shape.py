"""Shapes against closed forms (first principles), each sign with a case of which the answer is known."""

from __future__ import annotations

from collections.abc import Callable
from math import hypot, pi, radians, sin, sqrt, tan

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from foldwright.geometry.solid import shape
from foldwright.geometry.solid.check import faults
from foldwright.geometry.solid.core import SIDES, Solid, box
from foldwright.geometry.solid.shape import Plane
from tests.examples import examples


def block() -> Solid:
    return box((0, 0, 0), (40, 30, 8))


def round_area(diameter: float) -> float:
    """Of the polygon that stands for a circle: n/2 r² sin(2π/n)."""
    return SIDES / 2 * (diameter / 2) ** 2 * sin(2 * pi / SIDES)


def test_recesses_go_in_from_the_side_that_is_said() -> None:
    area = shapely.box(5, 5, 15, 25)
    sunk = shape.recess(block(), area, 0.6)
    assert block().volume - sunk.volume == pytest.approx(200 * 0.6)
    assert sunk.slice_at(7.7).area == pytest.approx(1000.0)
    assert sunk.slice_at(0.3).area == pytest.approx(1200.0)
    under = shape.recess_below(block(), area, 0.6)
    assert block().volume - under.volume == pytest.approx(200 * 0.6)
    assert under.slice_at(0.3).area == pytest.approx(1000.0)
    stepped = block() + box((0, 0, 8), (5, 30, 20))
    assert stepped.volume - shape.recess(stepped, area, 0.6, 8.0).volume == pytest.approx(120.0)
    raised = shape.emboss(block(), area, 1.5)
    assert raised.volume - block().volume == pytest.approx(300.0)
    assert faults(raised) == faults(sunk) == faults(under) == ()


@settings(max_examples=examples(30))
@given(st.floats(-1, 1), st.floats(-1, 1), st.floats(-0.3, 0.3))
def test_a_hole_goes_through_along_any_axis(a: float, b: float, c: float) -> None:
    plate = box((-50, -50, 0), (50, 50, 4))
    axis = (0.5 * a, 0.5 * b, 1.0)
    # A plane cuts an upright prism of the hole's section in area over the cosine to the axis.
    cosine = 1.0 / sqrt(1.0 + axis[0] ** 2 + axis[1] ** 2)
    bored = shape.hole(plate, (10 * c, 5, 2), 5.0, axis)
    assert plate.volume - bored.volume == pytest.approx(round_area(5.0) / cosine * 4.0, rel=1e-6)
    assert bored.form.genus() == 1
    middle = shapely.Polygon(shapely.get_parts(bored.slice_at(2.0))[0].interiors[0]).centroid
    assert (middle.x, middle.y) == pytest.approx((10 * c, 5.0), abs=1e-6)


def test_many_holes_and_holes_along_x() -> None:
    bored = shape.holes(block(), [(10, 10, 0), (30, 10, 0)], 3.2)
    assert block().volume - bored.volume == pytest.approx(2 * round_area(3.2) * 8)
    across = shape.hole(block(), (0, 15, 4), 3.0, (1, 0, 0))
    assert block().volume - across.volume == pytest.approx(round_area(3.0) * 40)
    blind = shape.blind(block(), (20, 15, 8), 3.0, 5.0)
    assert block().volume - blind.volume == pytest.approx(round_area(3.0) * 5)
    assert blind.slice_at(7.0).area < 1200 < blind.slice_at(2.0).area + 1e-6
    from_below = shape.blind(block(), (20, 15, 0), 3.0, 5.0, (0, 0, -1))
    assert from_below.slice_at(2.0).area < 1200 - 1 < from_below.slice_at(7.0).area


def test_heads_of_screws_and_nuts_sink_where_they_are_put() -> None:
    sunk = shape.countersink(block(), (20, 15, 8), 6.0)
    # A cone of 90°: as deep as its radius; a third of the base times the height.
    assert block().volume - sunk.volume == pytest.approx(round_area(6.0) * 3.0 / 3.0, rel=1e-6)
    deep = shape.countersink(block(), (20, 15, 8), 6.0, cylinder=2.0)
    assert block().volume - deep.volume == pytest.approx(round_area(6.0) * (1.0 + 2.0), rel=1e-6)
    assert deep.slice_at(6.5).area == pytest.approx(1200 - round_area(6.0))
    nut = shape.hex_pocket(block(), (20, 15, 0), 5.5, 2.4, (0, 0, -1))
    # Area of a hexagon across flats s: s² √3 / 2.
    assert block().volume - nut.volume == pytest.approx(5.5**2 * sqrt(3) / 2 * 2.4)
    assert nut.slice_at(1.0).area < nut.slice_at(4.0).area
    with pytest.raises(ValueError, match="countersink"):
        shape.countersink(block(), (0, 0, 0), 5.0, angle=pi)
    with pytest.raises(ValueError, match="nut"):
        shape.hexagon(0.0)


def test_placing_brings_z_to_the_axis() -> None:
    matrix = shape.placing((1, 2, 3), (0, -1, 0), toward=(0, 0, 1))
    np.testing.assert_allclose(matrix @ [0, 0, 1, 1], [1, 1, 3, 1], atol=1e-12)
    np.testing.assert_allclose(matrix @ [1, 0, 0, 1], [1, 2, 4, 1], atol=1e-12)
    assert np.linalg.det(matrix) == pytest.approx(1.0)
    assert np.linalg.det(shape.placing((0, 0, 0), (1, 0, 0))) == pytest.approx(1.0)
    with pytest.raises(ValueError, match="side direction"):
        shape.placing((0, 0, 0), (1, 0, 0), toward=(2, 0, 0))
    with pytest.raises(ValueError, match="direction"):
        shape.placing((0, 0, 0), (0, 0, 0))


def test_areas() -> None:
    # Slot: a rectangle and two half polygons.
    assert shape.slot((0, 0), (3, 4), 2.0).area == pytest.approx(5 * 2 + round_area(2.0))
    assert shape.slot((1, 1), (1, 1), 2.0).area == pytest.approx(round_area(2.0))
    assert shape.rounded(20, 10, 3).area == pytest.approx(200 - 36 + round_area(6.0))
    assert shape.rounded(20, 10, 0).area == pytest.approx(200)
    assert shape.rounded(20, 10, 3, (5, 5)).bounds == pytest.approx((-5, 0, 15, 10))
    assert shape.rectangle(4, 2, (1, 1), pi / 2).bounds == pytest.approx((0, -1, 2, 3))
    assert shape.eased(shapely.box(0, 0, 20, 10), 2.0).area == pytest.approx(
        200 - 16 + round_area(4.0), abs=0.02
    )
    arrow = shape.arrow(12, 6)
    assert arrow.bounds == pytest.approx((0, -3, 12, 3))
    assert arrow.area == pytest.approx(6 * 2 + 0.5 * 6 * 6)
    # It points along +x: slim at the tip, its shaft at the tail.
    assert arrow.contains(shapely.Point(11.5, 0))
    assert not arrow.contains(shapely.Point(11.5, 1))
    assert arrow.contains(shapely.Point(0.5, 0.9))
    assert shape.arrow(6, 6).area == pytest.approx(18)
    moved = shape.at_place(arrow, (1, 2), pi / 2)
    assert moved.bounds == pytest.approx((-2, 2, 4, 14))
    assert shape.middle_of(moved).bounds == pytest.approx((-3, -6, 3, 6))


@pytest.mark.parametrize(
    ("wrong", "says"),
    [
        (lambda: shape.slot((0, 0), (1, 0), 0), "width"),
        (lambda: shape.rounded(4, 4, 3), "do not fit"),
        (lambda: shape.arrow(3, 6), "no arrow"),
        (lambda: shape.eased(shapely.box(0, 0, 1, 1), 2), "no area"),
        (lambda: shape.disc((0, 0), 0), "diameter"),
    ],
)
def test_areas_that_cannot_be_are_refused(wrong: Callable[[], object], says: str) -> None:
    with pytest.raises(ValueError, match=says):
        wrong()


ANGLE = st.floats(-20.0, 20.0).map(radians)


@settings(max_examples=examples(60))
@given(ANGLE, st.floats(0, 2 * pi), st.floats(-5, 5), st.floats(-5, 5))
def test_a_tilted_plate_has_its_area_times_the_height_at_its_centroid(
    angle: float, way: float, x: float, y: float
) -> None:
    area = shapely.Polygon([(0, 0), (18, 2), (12, 14), (3, 9)])
    axis = (np.cos(way), np.sin(way))
    plate = shape.tilt(area, 12.0, angle, axis, (x, y))
    # Right-handed about the axis, what lies to its left rises: left = ẑ × axis.
    left = (area.centroid.x - x) * -axis[1] + (area.centroid.y - y) * axis[0]
    assert plate.volume == pytest.approx(area.area * (12.0 + left * tan(angle)), rel=1e-7)
    assert faults(plate) == ()


def test_which_side_of_a_tilted_plate_is_high() -> None:
    area = shapely.box(-10, -10, 10, 10)
    about_x = shape.tilt(area, 5.0, radians(3))
    assert (about_x & box((-10, 5, 0), (10, 10, 20))).volume > (
        about_x & box((-10, -10, 0), (10, -5, 20))
    ).volume
    about_y = shape.tilt(area, 5.0, radians(3), (0, 1))
    assert (about_y & box((5, -10, 0), (10, 10, 20))).volume < (
        about_y & box((-10, -10, 0), (-5, 10, 20))
    ).volume
    assert about_x.bounds[1][2] == pytest.approx(5 + 10 * tan(radians(3)))


def test_a_wedge_between_two_slopes() -> None:
    area = shapely.box(0, 0, 10, 20)
    lower = Plane((0, 0, 1), (0.0, -0.1, 1.0))
    upper = Plane((0, 0, 6), (0.2, 0.0, -1.0))  # which way round its normal points does not matter
    solid = shape.wedge(area, lower, upper)
    # Heights at the centroid (5, 10): 6 + 0.2·5 and 1 + 0.1·10.
    assert solid.volume == pytest.approx(200 * (7.0 - 2.0))
    assert solid.bounds[0][2] == pytest.approx(1.0)
    with pytest.raises(ValueError, match="meet"):
        shape.wedge(area, lower, Plane((0, 0, 1.5), (0, 0, 1)))
    with pytest.raises(ValueError, match="upright"):
        shape.wedge(area, lower, Plane((0, 0, 9), (1, 0, 0)))
    with pytest.raises(ValueError, match="meet"):
        shape.tilt(area, 0.5, radians(-10))


@settings(max_examples=examples(40))
@given(st.floats(-1, 1), st.floats(-1, 1), st.floats(0.1, 1), st.floats(0.2, 0.8))
def test_halves_make_the_whole(a: float, b: float, c: float, share: float) -> None:
    solid = shape.hole(block(), (20, 15, 0), 9.0) - box((0, 0, 3), (12, 30, 5))
    low, high = solid.bounds
    at = low + share * (high - low)
    front, back = shape.split(solid, at.tolist(), (a, b, c))
    assert front.volume + back.volume == pytest.approx(solid.volume, rel=1e-9)
    middle = [np.mean(0.5 * (part.bounds[0] + part.bounds[1]) @ [a, b, c]) for part in (front, back)]
    assert (front & back).volume == pytest.approx(0.0, abs=1e-6)
    assert middle[0] > middle[1] - 1e-9 or hypot(a, b) > 0.05


def test_split_says_which_half_is_which_and_pins_fit() -> None:
    front, back = shape.split(block(), (10, 0, 0), (1, 0, 0))
    assert front.volume == pytest.approx(30 * 30 * 8)
    assert back.bounds[1][0] == pytest.approx(10.0)
    with pytest.raises(ValueError, match="does not cut"):
        shape.split(block(), (99, 0, 0), (1, 0, 0))
    first, second = shape.pinned(block(), (10, 0, 0), (1, 0, 0), [(0, 8, 4), (0, 22, 4)], 2.0, 5.0)
    assert front.volume - first.volume == pytest.approx(2 * 5 * round_area(2.0))
    assert back.volume - second.volume == pytest.approx(2 * 5 * round_area(2.0))
    assert isinstance(first, Solid)


def test_depths_of_nothing_are_refused() -> None:
    for cut in (shape.recess, shape.recess_below, shape.emboss):
        with pytest.raises(ValueError, match="above zero"):
            cut(block(), shapely.box(0, 0, 1, 1), 0.0)
