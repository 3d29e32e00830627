"""How far a shape can be pushed along an axis until it meets another: exact, on edges. Lengths in mm."""

from __future__ import annotations

import numpy as np

from foldwright.base.types import FloatArray

_TOUCH = 1e-9
_PRESSED = 5e-5


def edges_of(rings: tuple[FloatArray, ...]) -> FloatArray:
    """Edges (n, 4) as x1, y1, x2, y2 of open rings (m, 2)."""
    return np.concatenate([np.hstack([ring, np.roll(ring, -1, axis=0)]) for ring in rings])


def room_below(moving: FloatArray, fixed: FloatArray, limit: float) -> float:
    """How far `moving` can go down (towards less y) until it meets `fixed`, at most `limit`.

    moving, fixed: edges (n, 4). Two polygons first meet where a corner of one meets an edge of the other.
    What touches at the side counts as being in the way.
    """
    x0 = float(min(moving[:, 0].min(), moving[:, 2].min())) - _TOUCH
    x1 = float(max(moving[:, 0].max(), moving[:, 2].max())) + _TOUCH
    low, high = np.minimum(fixed[:, 0], fixed[:, 2]), np.maximum(fixed[:, 0], fixed[:, 2])
    near = fixed[(high >= x0) & (low <= x1)]
    if len(near) == 0:
        return limit
    return min(limit, _gap(moving, near, 1.0), _gap(near, moving, -1.0))


def room_left(moving: FloatArray, fixed: FloatArray, limit: float) -> float:
    """How far `moving` can go to the left (towards less x) until it meets `fixed`, at most `limit`."""
    swap = [1, 0, 3, 2]
    return room_below(moving[:, swap], fixed[:, swap], limit)


def _gap(corners: FloatArray, edges: FloatArray, sign: float) -> float:
    """Least distance of corners above (sign +1) or below (-1) edges that span them; infinite if none does."""
    x, y = corners[:, 0, None], corners[:, 1, None]
    ax, ay, bx, by = edges.T
    run = bx - ax
    upright = np.abs(run) <= _TOUCH
    t = (x - ax) / np.where(upright, 1.0, run)
    facing = np.maximum(ay, by) if sign > 0.0 else np.minimum(ay, by)
    height = np.where(upright, facing, ay + t * (by - ay))
    spans = (x >= np.minimum(ax, bx) - _TOUCH) & (x <= np.maximum(ax, bx) + _TOUCH)
    gap = sign * (y - height)
    found = gap[spans & (gap >= -_PRESSED)]
    return max(float(found.min()), 0.0) if found.size else float("inf")
