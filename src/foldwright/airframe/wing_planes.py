"""Panels as planes: outlines whose every edge lies in another plane.

A panel is the board between n.X = d (inner skin, face B) and n.X = d + t (outer skin, face A). Its outline
is worked out in its own plane: an edge is the line in which one skin meets another plane, a corner the
meeting of two such lines. Plain floats: for single numbers they are several times faster than arrays.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import hypot

import numpy as np

from foldwright.base.types import FloatArray
from foldwright.geometry.fold.model import SQUARE, EdgeCut

Vector = tuple[float, float, float]
Line = tuple[float, float, float]
"""a, b, c of a*u + b*v = c in a sheet's plane, (a, b) of length 1."""
Spot = tuple[float, float]

PARALLEL = 1e-12
SAME_NORMAL = 1e-9
SAME_PLACE = 1e-7  # mm
SHORT = 1e-7  # mm: corners nearer than this are one


@dataclass(frozen=True, slots=True)
class Plane:
    """Points X with normal.X = offset; normal (3,) of length 1; offset in mm."""

    normal: Vector
    offset: float

    def flipped(self) -> Plane:
        """The same plane, looking the other way."""
        x, y, z = self.normal
        return Plane((-x, -y, -z), -self.offset)

    def mirrored(self) -> Plane:
        """Its mirror image in y = 0."""
        x, y, z = self.normal
        return Plane((x, -y, z), self.offset)

    def moved(self, out: float) -> Plane:
        """The plane `out` mm further along its normal."""
        return Plane(self.normal, self.offset + out)

    def same(self, other: Plane) -> bool:
        """Whether two planes are one, within rounding."""
        near = max(abs(a - b) for a, b in zip(self.normal, other.normal, strict=True))
        return near < SAME_NORMAL and abs(self.offset - other.offset) < SAME_PLACE


def dot(one: Vector, other: Vector) -> float:
    """Scalar product."""
    return one[0] * other[0] + one[1] * other[1] + one[2] * other[2]


@dataclass(frozen=True, slots=True)
class Sheet:
    """A panel's inner skin with axes u (aft as far as it can) and v = n x u in it."""

    plane: Plane
    u: Vector
    v: Vector

    @classmethod
    def of(cls, plane: Plane) -> Sheet:
        """Axes of a plane: u along x, or along z where the plane stands across x."""
        n = plane.normal
        start: Vector = (1.0, 0.0, 0.0) if abs(n[0]) < 0.9 else (0.0, 0.0, 1.0)
        along = dot(start, n)
        raw = tuple(s - along * c for s, c in zip(start, n, strict=True))
        length = (raw[0] ** 2 + raw[1] ** 2 + raw[2] ** 2) ** 0.5
        u = (raw[0] / length, raw[1] / length, raw[2] / length)
        v = (n[1] * u[2] - n[2] * u[1], n[2] * u[0] - n[0] * u[2], n[0] * u[1] - n[1] * u[0])
        return cls(plane, u, v)

    def line(self, other: Plane, add: float = 0.0) -> Line:
        """Where the skin `add` mm above the inner one meets another plane, dropped on to the inner one."""
        across = dot(self.plane.normal, other.normal)
        a, b = dot(self.u, other.normal), dot(self.v, other.normal)
        length = hypot(a, b)
        return a / length, b / length, (other.offset - across * (self.plane.offset + add)) / length

    def cut(self, edge: Plane, t: float, *, bevelled: bool) -> tuple[Line, EdgeCut]:
        """Outline edge and edge cut of a panel that ends at a plane looking outward.

        bevelled: the end face lies in the plane; else the edge is square to the board and just reaches it.
        """
        a, b, low = self.line(edge)
        high = self.line(edge, t)[2]
        if not bevelled or abs(high - low) < SHORT:
            return (a, b, min(low, high)), SQUARE
        cut = EdgeCut(a=low - high) if low > high else EdgeCut(b=high - low)
        return (a, b, max(low, high)), cut

    def flat(self, point: FloatArray) -> Spot:
        """U and v of a point (3,) dropped on to the sheet."""
        x, y, z = point.tolist()
        return dot(self.u, (x, y, z)), dot(self.v, (x, y, z))

    def space(self, spots: list[Spot]) -> FloatArray:
        """Points (n, 3) of the inner skin."""
        flat = np.array([(u, v, self.plane.offset) for u, v in spots])
        points: FloatArray = flat @ np.array([self.u, self.v, self.plane.normal])
        return points


def meet(one: Line, other: Line) -> Spot:
    """Where two lines of a sheet meet. Raises ValueError for parallel ones."""
    det = one[0] * other[1] - one[1] * other[0]
    if abs(det) < PARALLEL:
        raise ValueError("two edges of one corner are parallel")
    return (one[2] * other[1] - one[1] * other[2]) / det, (one[0] * other[2] - one[2] * other[0]) / det


def one_line(one: Line, other: Line) -> bool:
    """Whether two lines are the same, whichever way their normals point."""
    sine = one[0] * other[1] - one[1] * other[0]
    sign = 1.0 if one[0] * other[0] + one[1] * other[1] > 0.0 else -1.0
    return abs(sine) < SAME_NORMAL and abs(one[2] - sign * other[2]) < SAME_PLACE


def apart(one: Spot, other: Spot) -> float:
    """Distance of two spots, mm."""
    return hypot(one[0] - other[0], one[1] - other[1])


def through(one: Spot, other: Spot) -> Line:
    """Line through two spots."""
    du, dv = other[0] - one[0], other[1] - one[1]
    length = hypot(du, dv)
    a, b = dv / length, -du / length
    return a, b, a * one[0] + b * one[1]


def signed_area(ring: list[Spot]) -> float:
    """Area of a ring, positive counter-clockwise, mm²."""
    pairs = zip(ring, [*ring[1:], ring[0]], strict=True)
    return 0.5 * sum(p[0] * q[1] - p[1] * q[0] for p, q in pairs)
