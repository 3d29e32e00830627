"""Whether a flat piece fits the printer's bed, and turned how. Lengths in mm, angles in rad."""

from __future__ import annotations

from dataclasses import dataclass
from math import cos, inf, pi, sin

import numpy as np
import shapely

from foldwright.base.types import FloatArray
from foldwright.design.workshop import Printer
from foldwright.geometry.solid.core import Area

_FITS = 1e-6
_STEPS = 181
# What a skew piece keeps to the bed's usable edge, so that rounding of its placement cannot put it over.
_SLACK = 1e-3


@dataclass(frozen=True, slots=True)
class Room:
    """What of the bed can be used: width (x), depth (y), height (z), mm."""

    width: float
    depth: float
    height: float

    @property
    def long(self) -> float:
        """The longer of width and depth."""
        return max(self.width, self.depth)

    @property
    def short(self) -> float:
        """The shorter of width and depth."""
        return min(self.width, self.depth)


def room_of(printer: Printer) -> Room:
    """The bed less its margin on every edge; the height is all of it."""
    x, y, z = printer.bed_mm
    return Room(x - 2.0 * printer.margin_mm, y - 2.0 * printer.margin_mm, z)


def turn_to_fit(area: Area, room: Room) -> float | None:
    """How far a flat piece has to be turned to fit: 0 where it does as it is or by a quarter turn, else the
    angle that leaves most room, in (0, π/2); None where it fits at no angle.
    """
    points = hull_points(area)
    angles = _angles(points)
    slack = _slack(*_extents(points, angles), room)
    if slack[0] >= -_FITS:
        return 0.0
    best = int(np.argmax(np.round(slack, 6)))
    return float(angles[best]) if slack[best] >= _SLACK else None


def least_square(area: Area) -> float:
    """Side of the least square that holds a flat piece at some angle, mm."""
    points = hull_points(area)
    width, depth = _extents(points, _angles(points))
    return float(np.maximum(width, depth).min())


def longest(across: float, room: Room) -> float:
    """Length of the longest bar of a given width that fits, straight or askew; 0 where none does, mm.

    A bar L x b turned by θ takes L cos θ + b sin θ by L sin θ + b cos θ.
    """
    if across > room.long:
        return 0.0
    best = 0.0
    for k in range(181):
        angle = 0.5 * pi * k / 180.0
        c, s = cos(angle), sin(angle)
        by_width = (room.width - across * s) / c if c > _FITS else inf
        by_depth = (room.depth - across * c) / s if s > _FITS else inf
        if across * s <= room.width + _FITS and across * c <= room.depth + _FITS:
            best = max(best, min(by_width, by_depth))
    return best


def hull_points(area: Area) -> FloatArray:
    """Corners of the convex hull (n, 2)."""
    points: FloatArray = np.asarray(shapely.get_coordinates(area.convex_hull), dtype=np.float64)
    return points


def _angles(points: FloatArray) -> FloatArray:
    """Turns worth trying, from 0: even steps, and those that lay an edge of the hull along the bed's."""
    edges = np.diff(points, axis=0)
    along = np.mod(-np.arctan2(edges[:, 1], edges[:, 0]), 0.5 * pi)
    angles: FloatArray = np.concatenate([np.linspace(0.0, 0.5 * pi, _STEPS)[:-1], np.unique(along)])
    return angles


def _extents(points: FloatArray, angles: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Width and depth of the points at each turn."""
    c, s = np.cos(angles)[:, None], np.sin(angles)[:, None]
    x = c * points[:, 0] - s * points[:, 1]
    y = s * points[:, 0] + c * points[:, 1]
    return np.ptp(x, axis=1), np.ptp(y, axis=1)


def _slack(width: FloatArray, depth: FloatArray, room: Room) -> FloatArray:
    """Room left at each turn, the bed as it is or turned by a quarter, whichever is more."""
    plain = np.minimum(room.width - width, room.depth - depth)
    turned = np.minimum(room.width - depth, room.depth - width)
    slack: FloatArray = np.maximum(plain, turned)
    return slack
