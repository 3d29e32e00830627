"""Notches at a plate's edge where lines leave it: a rule laid from notch to notch draws the line [mm].

One line ends in the point of a V. Two that lie closer than two V's have room share a notch whose side walls
they are; three, one whose side walls are the outer two and whose pointed ground is the middle one.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from foldwright.base.types import FloatArray

DEEP_MM = 3.0
"""How far a notch reaches in [judgement]."""

_HALF_MOUTH = 1.1
_APART = 3.2
_REACH = 2.0
_BACK = 6.0
_OUT = 1.2
_PARALLEL = 0.98
_LEAST_GAP = 0.8
_STEEP = 0.35


@dataclass(frozen=True, slots=True, eq=False)
class End:
    """Where a line leaves the plate.

    trace: which line, which: its first (0) or last (1) point. at (2,): on the plate's edge. inward (2,):
    unit, along the line.
    """

    trace: int
    which: int
    at: FloatArray
    inward: FloatArray


def ends_at_edge(lines: Sequence[FloatArray], edge: shapely.Polygon) -> tuple[End, ...]:
    """The ends of lines (n, 2) that meet the plate's edge: on it, short of it or past it by up to 2 mm."""
    boundary = edge.boundary
    shapely.prepare(boundary)
    found: list[End] = []
    for number, points in enumerate(lines):
        for which, (end, before) in enumerate(((points[0], points[1]), (points[-1], points[-2]))):
            run = before - end
            length = float(np.hypot(*run))
            inward = run / length
            at = _meets(boundary, end, inward, min(length, _BACK))
            if at is not None and _steep(boundary, at, inward):
                found.append(End(number, which, at, inward))
    return tuple(found)


def notches(ends: Sequence[End], offset: float) -> tuple[shapely.Polygon, ...]:
    """The notches of all ends. offset: what the tool keeps from a wall that it is led along."""
    return tuple(_notch(some, offset) for some in _clusters(ends))


def _meets(boundary: BaseGeometry, end: FloatArray, inward: FloatArray, back: float) -> FloatArray | None:
    """Where the line, a little prolonged, crosses the edge nearest to its end."""
    ray = shapely.LineString([end - _REACH * inward, end + back * inward])
    met = shapely.get_coordinates(ray.intersection(boundary))
    if not len(met):
        return None
    return np.asarray(met[int(np.argmin(np.hypot(*(met - end).T)))])


def _steep(boundary: BaseGeometry, at: FloatArray, inward: FloatArray) -> bool:
    """Whether the edge there runs across the line, not along it."""
    near = shapely.get_coordinates(boundary.intersection(shapely.Point(at).buffer(0.5, quad_segs=2)))
    if len(near) < 2:
        return True
    off = near - at
    across = np.abs(off[:, 0] * inward[1] - off[:, 1] * inward[0])
    return bool(across.max() > _STEEP * 0.5)


def _clusters(ends: Sequence[End]) -> list[list[End]]:
    """Ends side by side on one edge, nearer to each other than two V's have room."""
    left = list(ends)
    found: list[list[End]] = []
    while left:
        some = [left.pop(0)]
        grown = True
        while grown:
            near = [end for end in left if any(_beside(end, one) for one in some)]
            grown = bool(near)
            some += near
            left = [end for end in left if not any(end is one for one in near)]
        found += _threes(some)
    return found


def _beside(one: End, other: End) -> bool:
    return float(np.hypot(*(one.at - other.at))) < _APART and float(one.inward @ other.inward) > _PARALLEL


def _threes(some: list[End]) -> list[list[End]]:
    """At most three in a row share a notch."""
    across = np.array([-some[0].inward[1], some[0].inward[0]])
    row = sorted(some, key=lambda end: round(float(end.at @ across), 6))
    return [row[start : start + 3] for start in range(0, len(row), 3)]


def _notch(row: list[End], offset: float) -> shapely.Polygon:
    inward = row[0].inward
    across = np.array([-inward[1], inward[0]])
    sides = [float(end.at @ across) for end in row]
    ground = max(float(end.at @ inward) for end in row)
    mouth = min(float(end.at @ inward) for end in row) - _OUT
    low, high = sides[0], sides[-1]
    if high - low < 1e-6:
        flat = [(mouth, low - _HALF_MOUTH), (ground, low - _HALF_MOUTH), (ground + DEEP_MM, low),
                (ground, low + _HALF_MOUTH), (mouth, low + _HALF_MOUTH)]  # fmt: skip
        return _placed(flat, inward, across)
    wider = max(offset, (_LEAST_GAP - (high - low)) / 2.0)
    low, high = low - wider, high + wider
    if len(row) == 2:
        flat = [(mouth, low), (ground + DEEP_MM, low), (ground + DEEP_MM, high), (mouth, high)]
    else:
        wall = ground + 0.6 * DEEP_MM
        flat = [(mouth, low), (wall, low), (ground + DEEP_MM, sides[1]), (wall, high), (mouth, high)]
    return _placed(flat, inward, across)


def _placed(flat: list[tuple[float, float]], inward: FloatArray, across: FloatArray) -> shapely.Polygon:
    return shapely.Polygon(np.array(flat) @ np.stack([inward, across]))
