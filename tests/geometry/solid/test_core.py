"""Solids against closed forms (first principles). Sections are kept to 1e-8 mm by the library."""

from __future__ import annotations

from math import pi, sin

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from foldwright.geometry.solid.core import SIDES, Solid, area_of, box, extrude, hull, rod, union, without
from foldwright.geometry.solid.fill import filled_mm3
from foldwright.geometry.transform import turn
from tests.examples import examples

SIZE = st.floats(0.5, 300.0)


@settings(max_examples=examples(40))
@given(SIZE, SIZE, st.floats(0.2, 50.0), st.floats(-20.0, 20.0))
def test_an_extruded_area_has_its_area_times_its_height(w: float, h: float, height: float, z: float) -> None:
    area = area_of(shapely.box(-w, -h, w, h).difference(shapely.box(-w / 2, -h / 2, w / 3, h / 4)), 0.0)
    solid = extrude(area, height, z)
    assert solid.volume == pytest.approx(area.area * height, rel=1e-7)
    assert solid.area == pytest.approx(2 * area.area + area.length * height, rel=1e-7)
    low, high = solid.bounds
    assert low[2] == pytest.approx(z)
    assert high[2] == pytest.approx(z + height)


def test_a_ring_may_run_either_way_round() -> None:
    clockwise = shapely.Polygon([(0, 0), (0, 4), (5, 4), (5, 0)])
    assert not clockwise.exterior.is_ccw
    assert extrude(clockwise, 2.0).volume == pytest.approx(40.0)


def test_nothing_is_refused() -> None:
    with pytest.raises(ValueError, match="height"):
        extrude(shapely.box(0, 0, 1, 1), 0.0)
    with pytest.raises(ValueError, match="section"):
        extrude(shapely.Polygon(), 1.0)
    with pytest.raises(ValueError, match="block"):
        box((0, 0, 0), (1, 0, 1))
    with pytest.raises(ValueError, match="bar"):
        rod((0, 0, 0), (0, 0, 0), 1.0)
    with pytest.raises(ValueError, match="nothing"):
        union([])
    one = box((0, 0, 0), (1, 1, 1))
    with pytest.raises(ValueError, match="bounds"):
        _ = (one - one).bounds


@settings(max_examples=examples(30))
@given(
    st.tuples(*[st.floats(-20, 20)] * 3),
    st.tuples(*[st.floats(-20, 20)] * 3).filter(lambda v: max(map(abs, v)) > 1),
)
def test_a_bar_is_a_prism_of_its_polygon(start: tuple[float, ...], way: tuple[float, ...]) -> None:
    end = tuple(a + b for a, b in zip(start, way, strict=True))
    bar = rod(start, end, 6.0)
    # Area of a regular polygon of n corners on a circle: n/2 r² sin(2π/n).
    section = SIDES / 2 * 9.0 * sin(2 * pi / SIDES)
    assert bar.volume == pytest.approx(section * float(np.linalg.norm(way)), rel=1e-9)
    low, high = bar.bounds
    middle = 0.5 * (np.asarray(start) + np.asarray(end))
    np.testing.assert_allclose(0.5 * (low + high), middle, atol=0.02)


def test_turning_is_right_handed_and_mirrors_are_refused() -> None:
    stick = box((0, 0, 0), (10, 1, 1))
    assert stick.turned(z=pi / 2).bounds[1][1] == pytest.approx(10.0)  # x to y
    assert stick.turned(y=pi / 2).bounds[0][2] == pytest.approx(-10.0)  # x to -z
    assert stick.moved(y=2.0).bounds[0][1] == pytest.approx(2.0)
    about = turn(np.zeros(3), np.array([0.0, 0.0, 1.0]), pi / 2)
    assert stick.placed(about).bounds[1][1] == pytest.approx(10.0)
    with pytest.raises(ValueError, match="mirrored"):
        stick.placed(np.diag([-1.0, 1.0, 1.0, 1.0]))
    assert stick.mirrored((1, 0, 0)).bounds[0][0] == pytest.approx(-10.0)


def test_sets() -> None:
    one, other = box((0, 0, 0), (2, 2, 2)), box((1, 0, 0), (3, 2, 2))
    assert (one + other).volume == pytest.approx(12.0)
    assert (one & other).volume == pytest.approx(4.0)
    assert (one - other).volume == pytest.approx(4.0)
    assert without(one, []) is one
    assert without(one, [other, other.moved(x=-2)]).volume == pytest.approx(0.0)
    apart = union([one, other.moved(x=5)])
    assert [body.volume for body in apart.bodies()] == pytest.approx([8.0, 8.0])
    assert hull([one, other.moved(x=5)]).volume == pytest.approx(8.0 * 4)


def test_sections_and_shadows() -> None:
    tube = extrude(area_of(shapely.box(0, 0, 10, 10).difference(shapely.box(3, 3, 7, 7))), 5.0)
    assert tube.slice_at(2.0).area == pytest.approx(84.0)
    assert tube.shadow().area == pytest.approx(84.0)
    two = tube + tube.moved(x=20)
    assert isinstance(two.slice_at(1.0), shapely.MultiPolygon)
    np.testing.assert_allclose(two.size, [30, 10, 5])
    assert isinstance(two, Solid)


def test_plastic_is_shell_and_a_share_of_the_rest() -> None:
    assert filled_mm3(1000.0, 600.0, 0.9, 0.2) == pytest.approx(540.0 + 0.2 * 460.0)
    assert filled_mm3(1000.0, 600.0, 5.0, 0.2) == pytest.approx(1000.0)
    assert filled_mm3(1000.0, 600.0, 0.9, 1.0) == pytest.approx(1000.0)


def test_the_polygons_of_a_shape() -> None:
    mixed = shapely.GeometryCollection(
        [shapely.box(0, 0, 1, 1), shapely.Point(3, 3), shapely.box(5, 0, 6, 1)]
    )
    assert area_of(mixed).area == pytest.approx(2.0)
    assert (
        area_of(shapely.union_all([shapely.box(0, 0, 1, 1), shapely.box(5, 0, 5.01, 0.01)]), 0.1).area == 1.0
    )
    with pytest.raises(ValueError, match="no area is left"):
        area_of(shapely.LineString([(0, 0), (1, 1)]))
