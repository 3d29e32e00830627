"""Areas parted along a straight line with dovetail keys, to be pushed together again after printing. mm."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import hypot

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from foldwright.geometry.solid.core import Area, area_of

Point = tuple[float, float]

BUTT_MM = 0.05
"""Gap between butt faces, which touch when pieces are pushed together: what printed walls swell by, mm
[judgement].
"""

FIT_SHARE = 0.5
"""Gap around a key as a share of the clearance of parts that slide: a key is pushed in once [judgement]."""

_MITRE = 6.0
_CRUMB = 1e-6


@dataclass(frozen=True, slots=True)
class Key:
    """A dovetail: `neck` wide on the line, `head` wide (not under the neck) at its end, `depth` long.

    It stands on the left piece and reaches into the right one.
    """

    neck: float
    head: float
    depth: float

    def __post_init__(self) -> None:
        """Raises ValueError for one that does not hold."""
        if not (0.0 < self.neck <= self.head and self.depth > 0.0):
            raise ValueError("a key is no narrower at its end than at its neck, and all of it above zero")


def keyed_cut(
    area: Area, p: Point, q: Point, positions: Sequence[float], key: Key, clearance: float
) -> tuple[Area, Area]:
    """An area in two pieces along the line from p to q: what lies left of it with the keys, and the rest.

    positions: of the keys' middles along the line, mm from p; clearance: of parts that slide, mm. Around a
    key, at flanks and tip, the gap is half of that, square to its sides; elsewhere the two butt with no more
    than `BUTT_MM` between them, so that pushed together they are as long as the area. Half of each gap is
    taken from either piece. The line runs on past p and q. Left, right and `keyed_gap` make the area up
    exactly.

    Raises:
        ValueError: p and q coincide, keys overlap each other, a clearance under zero or too wide for the
            key, or a piece of nothing ("no area is left").
    """
    kept, taken = _sides(area, p, q, positions, key, clearance)
    return area_of(area.intersection(kept)), area_of(area.difference(taken))


def keyed_gap(area: Area, p: Point, q: Point, positions: Sequence[float], key: Key, clearance: float) -> Area:
    """What `keyed_cut` takes away between the pieces. Raises ValueError as there, and without clearance."""
    kept, taken = _sides(area, p, q, positions, key, clearance)
    return area_of(area.intersection(taken.difference(kept)))


def _sides(
    area: Area, p: Point, q: Point, positions: Sequence[float], key: Key, clearance: float
) -> tuple[BaseGeometry, BaseGeometry]:
    """What the left piece keeps of the plane, and what is no part of the right one."""
    if clearance < 0.0 or clearance >= min(key.neck, key.depth):
        raise ValueError(f"a clearance of {clearance:g} mm leaves nothing of the key")
    around = FIT_SHARE * clearance / 2.0
    butt = min(BUTT_MM / 2.0, around)
    half, whole = _left_side(area, p, q, (), key), _left_side(area, p, q, positions, key)
    keys = [key_area(p, q, s, key) for s in sorted(positions)]
    kept = shapely.union_all([_offset(half, -butt), _offset(whole, -around)])
    taken = shapely.union_all([_offset(half, butt), *(_offset(one, around) for one in keys)])
    return kept, taken


def key_area(p: Point, q: Point, position: float, key: Key, around: float = 0.0) -> shapely.Polygon:
    """What a key covers, from the line to its end; `around` it, mm, on all sides but the line's."""
    half_neck, half_head = key.neck / 2.0 + around, key.head / 2.0 + around
    depth = key.depth + around
    ring = [(-half_neck, 0.0), (-half_head, depth), (half_head, depth), (half_neck, 0.0)]
    return shapely.Polygon([_at(p, q, position + s, -d) for s, d in ring])


def chords(area: Area, p: Point, q: Point) -> tuple[tuple[float, float], ...]:
    """Where the line through p and q runs inside an area: from, to, mm from p, in order."""
    reach = _reach(area, p)
    line = shapely.LineString([_at(p, q, -reach, 0.0), _at(p, q, reach, 0.0)])
    cut = [one for one in shapely.get_parts(line.intersection(area)) if one.length > _CRUMB]
    along = _along(p, q)
    ends = [
        sorted(
            float((np.asarray(c) - np.asarray(p)) @ np.asarray(along))
            for c in (one.coords[0], one.coords[-1])
        )
        for one in cut
    ]
    return tuple(sorted((a, b) for a, b in ends))


def key_positions(area: Area, p: Point, q: Point, key: Key, wall: float, pitch: float) -> tuple[float, ...]:
    """Where keys may stand along a line: even in every chord, no more than `pitch` apart where there is room.

    A key with `wall` mm about it lies inside the area, on both sides of the line. A chord too short for one
    gets none.
    """
    found: list[float] = []
    room = key.head + 2.0 * wall
    for start, end in chords(area, p, q):
        count = max(1, round((end - start) / pitch))
        while count and (end - start) / count < room:
            count -= 1
        step = (end - start) / count if count else 0.0
        tries = [start + (k + 0.5) * step for k in range(count)]
        found += [s for s in tries if area.covers(_footing(p, q, s, key, wall))]
    return tuple(found)


def _footing(p: Point, q: Point, position: float, key: Key, wall: float) -> shapely.Polygon:
    """A key with its walls, and as much of the left piece as it stands on."""
    half = key.head / 2.0 + wall
    corners = [(-half, -wall), (half, -wall), (half, key.depth + wall), (-half, key.depth + wall)]
    return shapely.Polygon([_at(p, q, position + s, -d) for s, d in corners])


def _left_side(area: Area, p: Point, q: Point, positions: Sequence[float], key: Key) -> shapely.Polygon:
    """All of the plane that matters left of the line, with the keys that reach over it."""
    reach = _reach(area, p) + key.depth + key.head
    ring = [_at(p, q, reach, reach), _at(p, q, -reach, reach), _at(p, q, -reach, 0.0)]
    last = -reach
    for s in sorted(positions):
        if s - key.head / 2.0 <= last:
            raise ValueError("keys stand too close to each other")
        last = s + key.head / 2.0
        for along, depth in (
            (s - key.neck / 2.0, 0.0), (s - key.head / 2.0, key.depth),
            (s + key.head / 2.0, key.depth), (s + key.neck / 2.0, 0.0),
        ):  # fmt: skip
            ring.append(_at(p, q, along, -depth))
    return shapely.Polygon([*ring, _at(p, q, reach, 0.0)])


def _offset(side: shapely.Polygon, distance: float) -> shapely.Polygon | shapely.MultiPolygon:
    if distance == 0.0:
        return side
    return area_of(side.buffer(distance, join_style="mitre", mitre_limit=_MITRE))


def _along(p: Point, q: Point) -> Point:
    length = hypot(q[0] - p[0], q[1] - p[1])
    if not length > 0.0:
        raise ValueError("a cut line needs two different points")
    return (q[0] - p[0]) / length, (q[1] - p[1]) / length


def _at(p: Point, q: Point, along: float, left: float) -> Point:
    """The point so far along the line from p, so far to its left."""
    x, y = _along(p, q)
    return p[0] + along * x - left * y, p[1] + along * y + left * x


def _reach(area: Area, p: Point) -> float:
    """More than the distance from p to any point of the area, mm."""
    low_x, low_y, high_x, high_y = area.bounds
    return max(hypot(x - p[0], y - p[1]) for x in (low_x, high_x) for y in (low_y, high_y)) + 10.0
