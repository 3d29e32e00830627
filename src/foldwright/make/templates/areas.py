"""What shapely gives back, as areas: points and lines that a cut leaves behind are dropped [mm]."""

from __future__ import annotations

from collections.abc import Iterable

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


def lines(shape: shapely.Geometry | None, least: float = 0.0) -> list[shapely.LineString]:
    """The lines of a shape longer than `least`, those that meet end to end put together."""
    whole = shapely.line_merge(shape) if isinstance(shape, shapely.MultiLineString) else shape
    return [
        one for one in shapely.get_parts(whole) if isinstance(one, shapely.LineString) and one.length > least
    ]
