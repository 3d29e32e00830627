"""Lines that a joint must not close: openings that its bridge would take away. Lengths in mm."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from foldwright.make.templates.model import Guide, Plate
from foldwright.make.templates.slots import UNBRIDGED_MM

# Of a line that is ruled from opening to opening, or drawn in one that is long enough.
_LEAST_OPEN, _LEAST_REACH = 0.35, 0.6
# How far from an end of a line its first opening may be, and as a share of a short line's length.
_END_MM, _END_SHARE = 20.0, 0.75
_SAME = 0.01
_WALL = 0.35


def guided_lines(plate: Plate) -> dict[int, shapely.LineString]:
    """Lines that slots or grooves guide, by the number of their guide."""
    return {
        number: shapely.LineString(guide.points)
        for number, guide in enumerate(plate.guides)
        if _along(guide) and len(guide.points) > 1
    }


def unbridged(lines: Mapping[int, shapely.LineString]) -> frozenset[int]:
    """Lines so short that their openings are bridged nowhere."""
    return frozenset(number for number, line in lines.items() if line.length <= UNBRIDGED_MM)


def closed(
    plate: Plate, lines: Mapping[int, shapely.LineString], zones: Iterable[BaseGeometry]
) -> frozenset[int]:
    """Numbers of the lines that could no longer be drawn if the zones were filled."""
    filled = shapely.union_all(list(zones))
    shapely.prepare(filled)
    near = [number for number, line in lines.items() if filled.dwithin(line, _WALL)]
    if not near:
        return frozenset()
    openings = shapely.union_all([plate.through, plate.grooves])
    left = openings.difference(filled)
    return frozenset(number for number in near if not _drawn(lines[number], openings, left))


def _along(guide: Guide) -> bool:
    return guide.how in {"slot", "groove"}


def _drawn(line: shapely.LineString, before: BaseGeometry, after: BaseGeometry) -> bool:
    """Whether enough of a line stays open: all of a short one, of a long one its ends and a good share."""
    strip = line.buffer(_WALL)
    whole, left = (_opened(line, strip.intersection(some)) for some in (before, after))
    if line.length <= UNBRIDGED_MM:
        return left.length > whole.length - _SAME
    if left.is_empty:
        return whole.is_empty
    reach = min(_END_MM, _END_SHARE * line.length)
    for end in (line.coords[0], line.coords[-1]):
        there = shapely.Point(end)
        if left.distance(there) > max(reach, whole.distance(there) + _SAME):
            return False
    places = shapely.line_locate_point(line, shapely.points(shapely.get_coordinates(left)))
    share = left.length / line.length
    return bool(share >= _LEAST_OPEN or float(np.ptp(places)) >= _LEAST_REACH * line.length)


def _opened(line: shapely.LineString, openings: BaseGeometry) -> BaseGeometry:
    """The stretches of a line that lie over an opening, or beside the wall of one."""
    return line.intersection(openings.buffer(_WALL, quad_segs=2))
