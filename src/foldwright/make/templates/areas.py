"""What shapely gives back, as areas: points and lines that a cut leaves behind are dropped [mm]."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import numpy as np
import shapely

from foldwright.geometry.solid.core import Area

SPECK_MM2 = 1e-6


def area_of(shape: shapely.Geometry | None, least: float = SPECK_MM2) -> Area:
    """The parts of a shape that have more area than `least`, mm²; perhaps none."""
    parts = polygons(shape, least)
    if len(parts) == 1:
        return parts[0]
    return shapely.MultiPolygon(parts) if parts else shapely.Polygon()


def polygons(shape: shapely.Geometry | None, least: float = SPECK_MM2) -> list[shapely.Polygon]:
    """The same one by one, the largest first."""
    parts = [one for one in shapely.get_parts(shape) if isinstance(one, shapely.Polygon) and one.area > least]
    return sorted(parts, key=lambda one: -round(one.area, 6))


def largest(shape: shapely.Geometry | None) -> shapely.Polygon:
    """The largest part of a shape; an empty one of a shape without area."""
    parts = polygons(shape)
    return parts[0] if parts else shapely.Polygon()


def joined(shapes: Iterable[shapely.Geometry]) -> Area:
    """All of them together."""
    return area_of(shapely.union_all(list(shapes)))


def apart(shapes: Sequence[Area]) -> Area:
    """All of them together: areas that are known to lie apart need no union, others get one."""
    some = [one for one in shapes if not one.is_empty]
    low_x, low_y, high_x, high_y = np.array([one.bounds for one in some]).reshape(-1, 4).T
    meet = (low_x[:, None] <= high_x) & (low_x <= high_x[:, None])
    meet &= (low_y[:, None] <= high_y) & (low_y <= high_y[:, None])
    alone = meet.sum(axis=1) == 1
    rest = [one for one, free in zip(some, alone, strict=True) if not free]
    parts = [part for one, free in zip(some, alone, strict=True) if free for part in polygons(one)]
    parts += polygons(shapely.union_all(rest)) if rest else []
    return parts[0] if len(parts) == 1 else shapely.MultiPolygon(parts)


def lines(shape: shapely.Geometry | None, least: float = 0.0) -> list[shapely.LineString]:
    """The lines of a shape longer than `least`, those that meet end to end put together."""
    whole = shapely.line_merge(shape) if isinstance(shape, shapely.MultiLineString) else shape
    return [
        one for one in shapely.get_parts(whole) if isinstance(one, shapely.LineString) and one.length > least
    ]
