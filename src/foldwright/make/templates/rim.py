"""What a rim frame is made of: a rim along the outline, bars under lines, bars that tie and stiffen [mm]."""

from __future__ import annotations

from collections.abc import Sequence
from math import ceil

import numpy as np
import shapely

from foldwright.base.types import FloatArray
from foldwright.geometry.solid.core import Area
from foldwright.make.templates.areas import area_of, joined, largest, polygons

NECK_MM = 8.0
"""No part of a frame is narrower."""

BAR_SHARE = 0.7
"""A bar is narrower than the rim: nothing is traced along its edge [judgement]."""

_WINDOW_MM2 = 250.0
_EASE = 3.0
_CLOSE, _OPEN = 150.0, 200.0
_NARROW = 110.0
_FAR = 1e4
_TIES = 40


def bar_width(rim: float, slot: float, beside: float) -> float:
    """Of a bar with a slot in it, mm."""
    return max(NECK_MM, BAR_SHARE * rim, slot + 2.0 * beside + 0.2)


def frame(edge: shapely.Polygon, rim: float, pads: Sequence[shapely.Polygon], bar: float) -> shapely.Polygon:
    """A plate less its windows, all in one piece.

    edge: of the plate. rim: its width along every edge. pads: where material is needed inside. bar: width
    of the bars that tie what stands alone to the rest, and of those across long windows.
    """
    inner: Area = shapely.Polygon(edge.exterior).buffer(-rim, join_style="mitre")
    holes = [shapely.Polygon(ring).buffer(NECK_MM, join_style="mitre") for ring in edge.interiors]
    inner = area_of(inner.difference(shapely.union_all(holes)))
    if inner.is_empty or inner.area < _WINDOW_MM2:
        return edge
    solid = area_of(joined([edge.difference(inner), *pads]).intersection(edge))
    solid = _tied(solid, edge, bar)
    solid = _stiffened(solid, edge, bar)
    windows = edge.difference(solid).buffer(-_EASE, quad_segs=3).buffer(_EASE, quad_segs=3)
    return largest(edge.difference(joined(polygons(windows, _WINDOW_MM2))))


def _tied(solid: Area, edge: shapely.Polygon, bar: float) -> Area:
    """Every island joined to the rest, along an axis where that is the shorter way."""
    for _ in range(_TIES):
        parts = polygons(solid)
        if len(parts) == 1:
            break
        island = parts[-1]
        rest = joined(parts[:-1])
        tie = _tie(island, rest).buffer(bar / 2.0, cap_style="square").intersection(edge)
        solid = joined([solid, tie])
    return solid


def _tie(island: shapely.Polygon, rest: Area) -> shapely.LineString:
    """From the middle of an island to what it is tied to: both ways along the axis that is shorter."""
    middle = np.asarray(island.representative_point().coords[0])
    ways: list[tuple[float, shapely.LineString]] = []
    for axis in np.eye(2):
        ends = [_hit(middle, sign * axis, rest) for sign in (1.0, -1.0)]
        met = [end for end in ends if end is not None]
        if met:
            far = met[0] if len(met) == 1 else min(met, key=lambda end: float(np.hypot(*(end - middle))))
            ways.append((float(np.hypot(*(far - middle))), shapely.LineString([middle, far])))
    shortest = shapely.shortest_line(island, rest)
    if ways and min(ways, key=lambda way: round(way[0], 6))[0] <= 3.0 * shortest.length + 40.0:
        return min(ways, key=lambda way: round(way[0], 6))[1]
    return shortest


def _hit(start: FloatArray, way: FloatArray, rest: Area) -> FloatArray | None:
    ray = shapely.LineString([start, start + _FAR * way]).intersection(rest)
    points = shapely.get_coordinates(ray)
    if not len(points):
        return None
    return np.asarray(points[int(np.argmin(np.hypot(*(points - start).T)))])


def _stiffened(solid: Area, edge: shapely.Polygon, bar: float) -> Area:
    """Bars across windows longer than a frame stays true over."""
    bars: list[shapely.Geometry] = []
    for window in polygons(edge.difference(solid)):
        low, high = np.asarray(window.bounds).reshape(2, 2)
        axis = int((high - low)[1] > (high - low)[0])
        long, short = float((high - low)[axis]), float((high - low)[1 - axis])
        count = ceil(long / (_CLOSE if short <= _NARROW else _OPEN)) - 1
        for number in range(count):
            at = float(low[axis]) + long * (number + 1) / (count + 1)
            ends = np.array([low - 1.0, high + 1.0])
            ends[:, axis] = [at - bar / 2.0, at + bar / 2.0]
            bars.append(shapely.box(*ends.ravel()).intersection(window.buffer(0.5)))
    return joined([solid, *bars])
