"""Keyed joints between the pieces of a plate: dovetails on one side of a straight cut, sockets on the other.

Where a cut crosses material, one key or more join the two sides. Seen from above, lengths in mm.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from foldwright.base.types import FloatArray
from foldwright.geometry.solid.core import Area
from foldwright.geometry.solid.keyed import Key, key_area, keyed_cut, keyed_gap

LEAST_NECK_MM = 6.0
"""Least width of a piece anywhere: of a key where it leaves its piece, of a strip beside a cut."""

LEAST_WALL_MM = 1.0
"""Material left beside a socket, mm: a little over two lines of a usual printer [judgement]."""

# A usual key and one for narrow plates: wall beside the socket, least undercut on either side.
_USUAL = (1.2, 1.2)
_SLIM = (LEAST_WALL_MM, 0.0)
# What a head holds by once its play is used up, on either side.
_HOLD = 0.3
_DEPTH = 6.0
_BESIDE_LINE = 1.5
# What a block about a key is larger than it has to be.
_EASE = 0.6
_PITCH = 45.0
_PLACES = (0.5, 0.42, 0.58, 0.34, 0.66, 0.26, 0.74)


@dataclass(frozen=True, slots=True)
class Fit:
    """A size of key. clearance: of parts that slide, mm; a key and its socket have half of it between them
    (`keyed_cut`). wall: least material beside a socket.
    """

    key: Key
    clearance: float
    wall: float

    @property
    def least_width(self) -> float:
        """Of the material that it can join, mm."""
        return self.key.head + self.clearance + 2.0 * self.wall


def fits(clearance: float) -> tuple[Fit, Fit]:
    """The usual key and the one for narrow plates. Its neck is 6 mm or more when printed, after what is taken
    from it for the gap.
    """
    neck = LEAST_NECK_MM + clearance
    usual, slim = (
        Fit(Key(neck, neck + 2.0 * max(least, clearance + _HOLD), _DEPTH + clearance), clearance, wall)
        for wall, least in (_USUAL, _SLIM)
    )
    return usual, slim


@dataclass(frozen=True, slots=True, eq=False)
class Line:
    """A straight cut: a point on it and its unit direction. Keys stand on its left side."""

    at: FloatArray
    along: FloatArray

    @property
    def ends(self) -> tuple[tuple[float, float], tuple[float, float]]:
        """Two points of the line."""
        p, q = self.at, self.at + self.along
        return (float(p[0]), float(p[1])), (float(q[0]), float(q[1]))

    @property
    def left(self) -> FloatArray:
        """Unit vector square to the line, to its left."""
        return np.array([-self.along[1], self.along[0]])

    @property
    def turned(self) -> Line:
        """The same cut with the keys on the other side."""
        return Line(self.at, -self.along)


@dataclass(frozen=True, slots=True, eq=False)
class Ground:
    """What joints are fitted to. body: material of what is cut. fixed: what no joint may touch (holes,
    openings, joints made before); lines: slots and grooves along a line, which a joint may bridge;
    through: all that is cut right through, less what joints made before have bridged; spare: windows that
    may be filled where a bar is too narrow for a key.
    """

    body: Area
    fixed: BaseGeometry
    lines: BaseGeometry
    through: BaseGeometry
    spare: BaseGeometry


@dataclass(frozen=True, slots=True, eq=False)
class Joint:
    """One crossing of a cut with material.

    ends (2, 2): of the straight part. places: of the keys' middles, mm along the cut from its point. zone:
    what has to be whole about the joint; slots are bridged in it.
    """

    ends: FloatArray
    places: tuple[float, ...]
    zone: BaseGeometry

    @property
    def middle(self) -> FloatArray:
        """Middle of the straight part, (2,)."""
        middle: FloatArray = self.ends.mean(axis=0)
        return middle


def padded(chords: list[FloatArray], line: Line, ground: Ground, fit: Fit) -> BaseGeometry:
    """Material to be added about a cut, so that bars too narrow for a key, or that it crosses askew, have
    room for one: a block of the key's size at each, as far as the windows go.
    """
    across = 0.5 * fit.least_width + _EASE
    deep = fit.key.depth + fit.clearance + fit.wall + _EASE
    blocks = []
    for ends in chords:
        middle = ends.mean(axis=0)
        wide = max(across, 0.5 * float(np.hypot(*(ends[1] - ends[0]))))
        corners = ((-wide, -deep), (wide, -deep), (wide, deep), (-wide, deep))
        blocks.append(shapely.Polygon([middle + a * line.along + b * line.left for a, b in corners]))
    return shapely.union_all(blocks).intersection(ground.spare)


def joint_at(ends: FloatArray, line: Line, ground: Ground, fit: Fit) -> Joint | None:
    """A joint where a cut crosses material from ends[0] to ends[1]; None where a key has no room.

    A long crossing has a key about every 45 mm, all of which have to find room near their places.
    """
    start, end = sorted(float(s) for s in (ends - line.at) @ line.along)
    if end - start < fit.least_width - 1e-9:
        return None
    strip = shapely.LineString(ends).buffer(_BESIDE_LINE, cap_style="flat")
    if strip.intersects(ground.fixed):
        return None
    count = max(1, round((end - start) / _PITCH))
    stretch = (end - start) / count
    zones: list[BaseGeometry] = [strip]
    places: list[float] = []
    for number in range(count):
        tries = (start + (number + share) * stretch for share in _PLACES)
        found = next(_with_room(tries, line, ground, fit), None)
        if found is None:
            return None
        places.append(found[0])
        zones.append(found[1])
    return Joint(ends, tuple(places), shapely.union_all(zones))


def _with_room(
    tries: Iterator[float], line: Line, ground: Ground, fit: Fit
) -> Iterator[tuple[float, shapely.Polygon]]:
    """The places where a key with its socket's walls lies in material, and what it takes there."""
    p, q = line.ends
    for place in tries:
        around = key_area(p, q, place, fit.key, 0.5 * fit.clearance + fit.wall)
        if ground.body.covers(around) and not around.intersects(ground.fixed):
            yield place, around


def cut_apart(body: Area, line: Line, joints: tuple[Joint, ...], fit: Fit) -> tuple[Area, Area, Area]:
    """The side to the left with the keys, the other with their sockets, and the gap between; together they
    are the body, to rounding. Without clearance the gap has no area.
    """
    p, q = line.ends
    places = tuple(place for joint in joints for place in joint.places)
    left, right = keyed_cut(body, p, q, places, fit.key, fit.clearance)
    gap: Area = shapely.MultiPolygon()
    if fit.clearance > 0.0:
        gap = keyed_gap(body, p, q, places, fit.key, fit.clearance)
    return left, right, gap


def crossings(body: Area, line: Line) -> list[FloatArray]:
    """Where a cut crosses material: ends (2, 2) each, in order along the cut."""
    x0, y0, x1, y1 = body.bounds
    reach = 2.0 * (x1 - x0 + y1 - y0) + 10.0
    cut = shapely.LineString([line.at - reach * line.along, line.at + reach * line.along])
    parts = [p for p in shapely.get_parts(cut.intersection(body)) if isinstance(p, shapely.LineString)]
    ends = [np.asarray(part.coords, dtype=np.float64)[[0, -1]] for part in parts]
    return sorted(ends, key=lambda one: round(float((one[0] - line.at) @ line.along), 6))


def half_planes(body: Area, line: Line, clear: float) -> tuple[shapely.Polygon, shapely.Polygon]:
    """What lies left and right of a cut, `clear` of it, as far as a body reaches and beyond."""
    x0, y0, x1, y1 = body.bounds
    reach = 2.0 * (x1 - x0 + y1 - y0) + 10.0
    sides = []
    for way in (1.0, -1.0):
        p, q = (line.at + s * reach * line.along + way * clear * line.left for s in (-1.0, 1.0))
        out = way * reach * line.left
        sides.append(shapely.Polygon([p, q, q + out, p + out]))
    return sides[0], sides[1]
