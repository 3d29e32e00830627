"""Sections of folded board, against arithmetic and against an independent mesh library."""

from __future__ import annotations

import manifold3d
import numpy as np
import pytest
import shapely

from foldwright.airframe.box import build_box
from foldwright.airframe.section import cut_panels, placed, plane_frame, prisms, slice_contour
from foldwright.geometry.fold.model import SQUARE, Blank, EdgeCut, Panel
from foldwright.geometry.transform import turn
from tests.airframe.boxes import random_box
from tests.airframe.solids import solids

PLATE = Panel(
    "plate",
    np.array([[0.0, 0.0], [100.0, 0.0], [100.0, 40.0], [0.0, 40.0]]),
    (SQUARE, EdgeCut(b=5.0), SQUARE, EdgeCut(a=2.0)),
    (np.array([[40.0, 10.0], [60.0, 10.0], [60.0, 30.0], [40.0, 30.0]]),),
)
BLANK = Blank("part/plate", 5.0, (PLATE,), (), "plate", np.eye(4))


def test_a_bevelled_plate_with_a_hole() -> None:
    section = slice_contour([placed("part", BLANK)], 20.0)
    expected = shapely.MultiPolygon(
        [
            shapely.Polygon([(0, 0), (40, 0), (40, 5), (2, 5)]),
            shapely.Polygon([(60, 0), (95, 0), (100, 5), (60, 5)]),
        ]
    )
    assert section.symmetric_difference(expected).area == pytest.approx(0.0, abs=1e-9)


def test_a_plane_in_an_edge_belongs_to_one_side() -> None:
    edge = [slice_contour([placed("part", BLANK)], y).area for y in (0.0, 40.0)]
    assert sorted(edge) == pytest.approx([0.0, 500.0 - 12.5 - 5.0], abs=1e-9)


def test_a_plane_through_corners_of_a_hole() -> None:
    areas = [slice_contour([placed("part", BLANK)], y).area for y in (10.0, 30.0)]
    for area in areas:
        assert min(abs(area - full) for full in (382.5, 482.5)) < 1e-9


def test_a_plane_in_the_board() -> None:
    """Halfway through the thickness the bevels have lost half their width."""
    plane = np.eye(4)
    plane[2, 3] = 2.5
    section = cut_panels(prisms([placed("part", BLANK)]), plane)["part/plate/plate"]
    assert section.area == pytest.approx((100 - 2.5 - 1.0) * 40 - 400, abs=1e-9)


def test_nothing_beside_the_board() -> None:
    assert slice_contour([placed("part", BLANK)], 41.0).is_empty


@pytest.mark.parametrize("seed", range(12))
def test_areas_agree_with_a_mesh_library(seed: int) -> None:
    """Slices of random bodies in random planes; the library slices its own mesh of each panel."""
    rng = np.random.default_rng(seed)
    build = build_box(*random_box(rng))
    angle = turn(np.array([100.0, 0, 0]), rng.normal(size=3), float(rng.uniform(0, 3)))
    for plane in (plane_frame(float(rng.uniform(-30, 30))), angle):
        inverse = np.linalg.inv(plane)
        ours = cut_panels(prisms(placed("body", blank) for blank in build.blanks), plane)
        for name, body in solids(build).items():
            moved = body.transform(inverse[:3])
            area = manifold3d.CrossSection(moved.slice(0.0).to_polygons(), manifold3d.FillRule.EvenOdd).area()
            mine = ours[name].area if name in ours else 0.0
            assert mine == pytest.approx(abs(area), abs=2e-3), name
