"""Where on a plate letters have room: its free material on a grid, asked for boxes [mm]."""

from __future__ import annotations

from collections.abc import Sequence
from copy import copy
from dataclasses import dataclass
from math import ceil, cos, sin

import numpy as np
import numpy.typing as npt
import shapely

from foldwright.base.types import FloatArray
from foldwright.geometry.solid.core import Area

CELL_MM, FINE_MM = 1.0, 0.5
"""Size of a cell, and on plates so small that every half millimetre counts."""

_FINE_MM2 = 40000.0
_MOST = 1e6
# Sine of the angle between two directions that count as one.
_SAME_WAY = 0.2
_FIRST_MM = 100.0

Bits = npt.NDArray[np.bool_]


@dataclass(frozen=True, slots=True)
class Spot:
    """A free box: its middle, and the angle that its long side is turned by, rad."""

    at: tuple[float, float]
    angle: float


class Grid:
    """Free material in a frame turned by an angle; what is put there is taken."""

    def __init__(self, area: Area, angle: float, cell: float) -> None:
        """area: free material. angle: of the frame's x axis, rad. cell: mm."""
        self._cell = cell
        self.angle = angle
        self._turn = np.array([[cos(angle), sin(angle)], [-sin(angle), cos(angle)]])
        rings = [self._own(ring) for ring in _rings(area)]
        every = np.concatenate(rings)
        self._low = every.min(axis=0) - self._cell
        columns, rows = (ceil(v) for v in ((every.max(axis=0) - self._low) / self._cell + 1.0).tolist())
        self.free = _filled([(ring - self._low) / cell for ring in rings], rows, columns)
        self.sums = _summed(self.free)

    def take(self, corners: FloatArray) -> None:
        """Take a convex ring (n, 2), counter-clockwise, out of what is free."""
        own = (self._own(corners) - self._low) / self._cell
        low = np.maximum(np.floor(own.min(axis=0)).astype(int) - 1, 0)
        high = np.ceil(own.max(axis=0)).astype(int) + 1
        block = self.free[low[1] : high[1], low[0] : high[0]]
        if not block.size:
            return
        y, x = np.mgrid[0 : block.shape[0], 0 : block.shape[1]] + 0.5
        x, y = x + low[0], y + low[1]
        inside = np.ones(block.shape, dtype=bool)
        for p, q in zip(own, np.roll(own, -1, axis=0), strict=True):
            inside &= (q[0] - p[0]) * (y - p[1]) - (q[1] - p[1]) * (x - p[0]) > -0.8 * np.hypot(*(q - p))
        block[inside] = False
        # only the sums above and right of the block change
        y0, x0 = int(low[1]), int(low[0])
        corner = self.sums[y0, x0]
        left, below = self.sums[y0 + 1 :, x0, None], self.sums[y0, None, x0 + 1 :]
        self.sums[y0 + 1 :, x0 + 1 :] = _summed(self.free[y0:, x0:])[1:, 1:] + left + below - corner

    def copy(self) -> Grid:
        """The same, to be taken from on its own."""
        other = copy(self)
        other.free, other.sums = self.free.copy(), self.sums.copy()
        return other

    def find(
        self, width: float, height: float, near: FloatArray, reach: float, *, upright: bool
    ) -> tuple[float, Spot] | None:
        """The free box nearest to a place, and its distance; None where there is none within reach.

        upright: the box's width runs along the frame's y.
        """
        across, along = (height, width) if upright else (width, height)
        columns, rows = ceil(across / self._cell), ceil(along / self._cell)
        own = self._own(near[None, :])[0]
        # corners of boxes whose middles lie within reach
        half = np.array([columns, rows]) / 2.0
        first = np.floor((own - reach - self._low) / self._cell - half)
        last = np.ceil((own + reach - self._low) / self._cell + half) + 1.0
        (x0, y0), (x1, y1) = np.clip([first, last], 0.0, _MOST).astype(int)
        sums = self.sums[y0:y1, x0:x1]
        if rows >= sums.shape[0] or columns >= sums.shape[1]:
            return None
        full = (
            sums[rows:, columns:] - sums[:-rows, columns:] - sums[rows:, :-columns] + sums[:-rows, :-columns]
        )
        y, x = np.nonzero(full == rows * columns)
        if not len(x):
            return None
        middle = np.stack([x + x0 + columns / 2.0, y + y0 + rows / 2.0], axis=1) * self._cell + self._low
        away = np.hypot(*(middle - own).T)
        best = int(np.argmin(np.round(away, 3)))
        if away[best] > reach:
            return None
        at = middle[best] @ self._turn
        angle = self.angle + (np.pi / 2.0 if upright else 0.0)
        # read from below or from the right, never upside down
        angle -= np.pi if angle > np.pi / 2.0 + 1e-9 else 0.0
        return float(away[best]), Spot((float(at[0]), float(at[1])), float(angle))

    def _own(self, points: FloatArray) -> FloatArray:
        own: FloatArray = points @ self._turn.T
        return own


class Room:
    """Free material of one side of a plate, in the frames of its main directions."""

    def __init__(self, area: Area, angles: Sequence[float]) -> None:
        """area: where letters may stand, margins taken off. angles: of the frames, rad in (-π/4, π/4]."""
        low_x, low_y, high_x, high_y = area.bounds
        cell = FINE_MM if (high_x - low_x) * (high_y - low_y) < _FINE_MM2 else CELL_MM
        # a cell counts by its middle: half its diagonal is kept off
        inside = area.buffer(-0.71 * cell, quad_segs=2)
        self.grids = [] if inside.is_empty else [Grid(inside, angle, cell) for angle in angles]

    def copy(self) -> Room:
        """The same, to be taken from on its own."""
        other = copy(self)
        other.grids = [grid.copy() for grid in self.grids]
        return other

    def find(self, width: float, height: float, near: FloatArray, reach: float) -> Spot | None:
        """The free box nearest to a place, lying or upright in any frame, taken at once."""
        # near by first: asking all of a large plate takes its time
        tries = (_FIRST_MM, reach) if reach > 2.0 * _FIRST_MM else (reach,)
        found = next((some for far in tries if (some := self._all(width, height, near, far))), [])
        if not found:
            return None
        spot = min(found, key=lambda one: (round(one[0], 2), round(one[1].angle, 6)))[1]
        self.take(box_at(spot, width, height))
        return spot

    def find_along(
        self, width: float, height: float, near: FloatArray, reach: float, angle: float
    ) -> Spot | None:
        """The free box nearest to a place whose width runs along a direction [rad] or against it, taken at
        once; its angle is the one asked for.
        """
        found = [
            one
            for one in self._all(width, height, near, reach)
            if abs(np.sin(one[1].angle - angle)) < _SAME_WAY
        ]
        if not found:
            return None
        spot = Spot(min(found, key=lambda one: (round(one[0], 2), round(one[1].angle, 6)))[1].at, angle)
        self.take(box_at(spot, width, height))
        return spot

    def fits(self, width: float, height: float, near: FloatArray, reach: float) -> bool:
        """Whether there is a free box within reach; nothing is taken."""
        return any(
            grid.find(width, height, near, reach, upright=upright) is not None
            for grid in self.grids
            for upright in (False, True)
        )

    def _all(self, width: float, height: float, near: FloatArray, reach: float) -> list[tuple[float, Spot]]:
        return [
            one
            for grid in self.grids
            for upright in (False, True)
            if (one := grid.find(width, height, near, reach, upright=upright)) is not None
        ]

    def take(self, corners: FloatArray) -> None:
        """Take a convex ring (n, 2), counter-clockwise, out of what is free."""
        for grid in self.grids:
            grid.take(corners)


def box_at(spot: Spot, width: float, height: float) -> FloatArray:
    """Corners (4, 2) of a box about its middle, counter-clockwise."""
    half = np.array([(-width, -height), (width, -height), (width, height), (-width, height)]) / 2.0
    turn = np.array([[cos(spot.angle), sin(spot.angle)], [-sin(spot.angle), cos(spot.angle)]])
    corners: FloatArray = half @ turn + np.asarray(spot.at)
    return corners


def main_angles(area: Area, most: int = 3) -> tuple[float, ...]:
    """Directions of an area's longest edges, modulo a quarter turn, rad; 0 always among them."""
    steps = np.concatenate([np.diff(ring, axis=0, append=ring[:1]) for ring in _rings(area)])
    length = np.hypot(*steps.T)
    long = steps[length > 30.0]
    weights: dict[float, float] = {0.0: 0.0}
    for step in long:
        angle = float(np.arctan2(step[1], step[0]))
        angle = (angle + np.pi / 4.0) % (np.pi / 2.0) - np.pi / 4.0
        near = next((known for known in weights if abs(known - angle) < 0.02), round(angle, 4))
        weights[near] = weights.get(near, 0.0) + float(np.hypot(*step))
    others = sorted(
        (angle for angle in weights if angle), key=lambda angle: (-round(weights[angle], 3), angle)
    )
    return (0.0, *others[: most - 1])


def _rings(area: Area) -> list[FloatArray]:
    return [
        np.asarray(ring.coords)[:-1]
        for part in shapely.get_parts(area)
        for ring in (part.exterior, *part.interiors)
    ]


def _filled(rings: Sequence[FloatArray], rows: int, columns: int) -> Bits:
    """Cells of side 1 whose middle lies inside, by the even-odd rule along each row."""
    p = np.concatenate(rings)
    q = np.concatenate([np.roll(ring, -1, axis=0) for ring in rings])
    middle = np.arange(rows) + 0.5
    crosses = (p[:, 1, None] > middle) != (q[:, 1, None] > middle)
    edge, row = np.nonzero(crosses)
    share = (middle[row] - p[edge, 1]) / (q[edge, 1] - p[edge, 1])
    at = p[edge, 0] + share * (q[edge, 0] - p[edge, 0])
    column = np.clip(np.ceil(at - 0.5).astype(int), 0, columns)
    flips = np.zeros((rows, columns + 1), dtype=np.int32)
    np.add.at(flips, (row, column), 1)
    filled: Bits = np.cumsum(flips, axis=1)[:, :columns] % 2 == 1
    return filled


def _summed(free: Bits) -> npt.NDArray[np.int32]:
    """Sums over all cells below and left of each corner."""
    sums = np.zeros((free.shape[0] + 1, free.shape[1] + 1), dtype=np.int32)
    np.cumsum(free, axis=0, dtype=np.int32, out=sums[1:, 1:])
    np.cumsum(sums[1:, 1:], axis=1, dtype=np.int32, out=sums[1:, 1:])
    return sums
