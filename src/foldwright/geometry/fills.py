"""Visible areas of faces, joined wherever they have one shade. Lengths in mm, on paper."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
import shapely
from shapely.geometry.polygon import orient

from foldwright.geometry.scene import Scene, face_polygons

if TYPE_CHECKING:
    from shapely.geometry.base import BaseGeometry

    from foldwright.base.types import FloatArray, IntArray

Ring2 = tuple[tuple[float, float], ...]

_LIGHT = (-0.35, 0.55, 0.76)
_AMBIENT = 0.25
_GRID = 1e-5
_LEAST_AREA = 1e-4


@dataclass(frozen=True, slots=True)
class Fill:
    """A visible area of one shade.

    tone: the word its solids carry. shade: 0 dark to 1 bright. outer: ring of (x, y) in mm, counter-
    clockwise. holes: rings, clockwise. No ring repeats its first point.
    """

    tone: str
    shade: float
    outer: Ring2
    holes: tuple[Ring2, ...]


def shades_of(normals: FloatArray, steps: int) -> FloatArray:
    """Shade (n,) in 0..1 of faces with unit normals (n, 3) in the picture's frame, in `steps` steps.

    Lambert's cosine law, light over the viewer's left shoulder, with an ambient share of 0.25.
    """
    light = np.asarray(_LIGHT) / np.linalg.norm(_LIGHT)
    raw = _AMBIENT + (1.0 - _AMBIENT) * np.clip(normals @ light, 0.0, 1.0)
    stepped: FloatArray = np.round(np.round(raw * steps) / steps, 6)
    return stepped


def visible_fills(
    scene: Scene, tones: Sequence[str], steps: int
) -> tuple[tuple[Fill, ...], tuple[Fill, ...]]:
    """Visible areas joined by tone and shade, and the silhouette of the whole scene (shade 0.5, tone "")."""
    faces = np.flatnonzero(scene.front)
    shapes = np.array(face_polygons(scene, faces), dtype=object)
    seen = visible_areas(scene, faces, shapes)
    shades = shades_of(scene.normals[faces], steps)
    groups: dict[tuple[str, float], list[BaseGeometry]] = defaultdict(list)
    for k, face in enumerate(faces):
        groups[tones[int(scene.owner[face])], float(shades[k])].append(seen[k])
    fills = [
        fill
        for (tone, shade), members in sorted(groups.items(), key=lambda item: item[0])
        for fill in _fills(tone, shade, shapely.union_all(members, grid_size=_GRID))
    ]
    return tuple(fills), tuple(_fills("", 0.5, shapely.union_all(list(seen), grid_size=_GRID)))


def visible_areas(scene: Scene, faces: IntArray, shapes: FloatArray) -> list[BaseGeometry]:
    """What is seen of each face turned to the eye; `shapes`: their polygons on paper, in an object array."""
    if len(faces) == 0:
        return []
    covers: dict[int, list[BaseGeometry]] = defaultdict(list)
    this, other = shapely.STRtree(list(shapes)).query(list(shapes), predicate="intersects")
    this, other = this[this < other], other[this < other]
    shared = shapely.intersection(shapes[this], shapes[other])
    real = shapely.area(shared) > _LEAST_AREA
    this, other, shared = this[real], other[real], shared[real]
    difference = _depth_difference(scene, faces[this], faces[other])
    low, high = _range_over(difference, shared)
    for k in range(len(this)):
        before, behind = int(other[k]), int(this[k])
        if low[k] >= -scene.eps and high[k] > scene.eps:
            covers[behind].append(shared[k])
        elif high[k] <= scene.eps:
            covers[before].append(shared[k])
        else:
            front_part = shared[k].intersection(_half_plane(difference[k], shared[k].bounds))
            covers[behind].append(front_part)
            covers[before].append(shared[k].difference(front_part))
    return [
        shapely.difference(shape, shapely.union_all(covers[k])) if k in covers else shape
        for k, shape in enumerate(shapes)
    ]


def _depth_difference(scene: Scene, this: IntArray, other: IntArray) -> FloatArray:
    """Coefficients (n, 3) of a·x + b·y + c: how far face `other` lies before face `this` at (x, y).

    Scaled to a distance in space, so that rounding counts alike for faces seen almost from their edge.
    """

    def plane(faces: IntArray) -> FloatArray:
        n, c = scene.normals[faces], scene.offsets[faces]
        return np.column_stack([-n[:, 0], -n[:, 1], c]) / n[:, 2:3]

    difference = plane(other) - plane(this)
    scaled: FloatArray = difference / np.hypot(1.0, np.hypot(difference[:, 0], difference[:, 1]))[:, None]
    return scaled


def _range_over(difference: FloatArray, shapes: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Least and greatest value (n,), (n,) of each linear function over its polygon."""
    if len(difference) == 0:
        return np.zeros(0), np.zeros(0)
    points, index = shapely.get_coordinates(list(shapes), return_index=True)
    values = np.einsum("ij,ij->i", difference[index, :2], points) + difference[index, 2]
    starts = np.searchsorted(index, np.arange(len(difference)))
    return np.minimum.reduceat(values, starts), np.maximum.reduceat(values, starts)


def _half_plane(function: FloatArray, bounds: tuple[float, float, float, float]) -> BaseGeometry:
    """The part of a box, widened a little, where a linear function (3,) is above zero."""
    x0, y0, x1, y1 = bounds
    corners = [(x0 - 1.0, y0 - 1.0), (x1 + 1.0, y0 - 1.0), (x1 + 1.0, y1 + 1.0), (x0 - 1.0, y1 + 1.0)]
    values = [float(function[0] * x + function[1] * y + function[2]) for x, y in corners]
    kept: list[tuple[float, float]] = []
    for k in range(4):
        (xa, ya), (xb, yb), a, b = corners[k], corners[k - 3], values[k], values[k - 3]
        if a >= 0.0:
            kept.append((xa, ya))
        if (a >= 0.0) != (b >= 0.0):
            t = a / (a - b)
            kept.append((xa + t * (xb - xa), ya + t * (yb - ya)))
    return shapely.Polygon(kept) if len(kept) > 2 else shapely.Polygon()


def _fills(tone: str, shade: float, area: BaseGeometry) -> list[Fill]:
    """Polygons of an area as fills, in order of place."""
    polygons = [
        orient(shapely.Polygon(part), 1.0)
        for part in shapely.get_parts(area)
        if isinstance(part, shapely.Polygon) and part.area > _LEAST_AREA
    ]
    fills = [
        Fill(tone, shade, _ring(p.exterior), tuple(_ring(hole) for hole in p.interiors)) for p in polygons
    ]
    return sorted(fills, key=_place)


def _place(fill: Fill) -> tuple[float, float, float]:
    """Order of fills in a picture, safe against rounding: lower left corner, then area."""
    low = np.array(fill.outer).min(axis=0)
    return (round(float(low[0]), 4), round(float(low[1]), 4), round(shapely.Polygon(fill.outer).area, 3))


def _ring(ring: shapely.LinearRing) -> Ring2:
    """A ring's points without the repeated last one, in mm to 1e-6."""
    return tuple((round(float(p[0]), 6), round(float(p[1]), 6)) for p in list(ring.coords)[:-1])
