"""Sections: solids with planar faces cut by a plane. Lengths in mm."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
import shapely
from shapely.geometry.polygon import orient

from foldwright.geometry.facets import Solid, ring_normal, unit
from foldwright.geometry.scene import triangulate

if TYPE_CHECKING:
    from foldwright.base.types import FloatArray
    from foldwright.geometry.views import Vector, View

_LEAST_AREA = 1e-9
_STRAIGHT = 1e-8


@dataclass(frozen=True, slots=True)
class Cut:
    """One connected piece of the section of one solid.

    name, tone: the solid's. outer: ring of (x, y) in mm, counter-clockwise; holes: rings, clockwise; no
    ring repeats its first point.
    """

    name: str
    tone: str
    outer: tuple[tuple[float, float], ...]
    holes: tuple[tuple[tuple[float, float], ...], ...]


def section(solids: Sequence[Solid], view: View, through: Vector) -> tuple[Cut, ...]:
    """Cuts of solids by the plane through a point (mm) square to the view, on paper as that view sees it.

    Origin on paper: the scene's origin, as in `hidden.picture`, so that a section lies over its view. A face
    that lies in the plane counts as lying on the eye's side of it.
    """
    depth = float(view.project(np.asarray(through, dtype=np.float64))[2])
    return tuple(cut for solid in solids for cut in _cuts(solid, view.project(solid.points), depth))


def _cuts(solid: Solid, points: FloatArray, depth: float) -> list[Cut]:
    """The pieces of one solid's section, in order of place."""
    height = points[:, 2] - depth
    height = np.where(np.abs(height) < 1e-9 * max(float(np.ptp(points, axis=0).max()), 1.0), 0.0, height)
    above = height >= 0.0
    if above.all() or not above.any():
        return []
    normals = [unit(ring_normal(points[list(face[0])])) for face in solid.faces]
    pieces = [
        triangulate(face, points, normal)
        for face, normal in zip(solid.faces, normals, strict=True)
        if normal.any() and len({bool(above[k]) for k in face[0]}) == 2
    ]
    segments = [
        segment
        for triangle in np.concatenate([np.empty((0, 3), dtype=np.int64), *pieces])
        if (segment := _segment(triangle.tolist(), points, height)) is not None
    ]
    area = shapely.simplify(shapely.build_area(shapely.MultiLineString(segments)), _STRAIGHT)
    polygons = [
        orient(part, 1.0)
        for part in shapely.get_parts(area)
        if isinstance(part, shapely.Polygon) and part.area > _LEAST_AREA
    ]
    cuts = [
        Cut(solid.name, solid.tone, _ring(p.exterior), tuple(_ring(hole) for hole in p.interiors))
        for p in polygons
    ]
    return sorted(cuts, key=lambda cut: tuple(round(v, 6) for v in np.array(cut.outer).min(axis=0).tolist()))


def _segment(
    triangle: list[int], points: FloatArray, height: FloatArray
) -> tuple[tuple[float, float], tuple[float, float]] | None:
    """Where the plane (height 0) cuts a triangle, on paper; None where it does not or only touches it."""
    ends = [
        _crossing(min(a, b), max(a, b), points, height)
        for a, b in zip(triangle, triangle[1:] + triangle[:1], strict=True)
        if (height[a] >= 0.0) != (height[b] >= 0.0)
    ]
    return (ends[0], ends[1]) if len(ends) == 2 and ends[0] != ends[1] else None


def _crossing(a: int, b: int, points: FloatArray, height: FloatArray) -> tuple[float, float]:
    """Where the plane cuts the edge a-b; the same for both faces of the edge to the last bit."""
    t = height[a] / (height[a] - height[b])
    x, y = points[a, :2] + t * (points[b, :2] - points[a, :2])
    return (round(float(x), 9), round(float(y), 9))


def _ring(ring: shapely.LinearRing) -> tuple[tuple[float, float], ...]:
    """A ring's points without the repeated last one."""
    return tuple((float(p[0]), float(p[1])) for p in list(ring.coords)[:-1])
