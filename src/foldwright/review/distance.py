"""Distances between straight things in space, mm."""

from __future__ import annotations

import numpy as np

from foldwright.base.types import FloatArray


def apart(one: FloatArray, other: FloatArray) -> float:
    """Least distance between two segments, each (2, 3).

    The squared distance is a convex quadratic in the two places along them; its least value on the unit
    square lies inside or on an edge (first principles).
    """
    d, e, r = one[1] - one[0], other[1] - other[0], one[0] - other[0]
    a, b, c, f, g = float(d @ d), float(d @ e), float(e @ e), float(d @ r), float(e @ r)
    tried = []
    square = a * c - b * b
    if square > 1e-12 * max(a * c, 1e-300):
        s, u = (b * g - c * f) / square, (a * g - b * f) / square
        if 0.0 <= s <= 1.0 and 0.0 <= u <= 1.0:
            tried.append((s, u))
    tried.extend((s, _clip((s * b + g) / c if c > 0.0 else 0.0)) for s in (0.0, 1.0))
    tried.extend((_clip((u * b - f) / a if a > 0.0 else 0.0), u) for u in (0.0, 1.0))
    return min(float(np.linalg.norm(r + s * d - u * e)) for s, u in tried)


def _clip(value: float) -> float:
    return min(1.0, max(0.0, value))


def to_box(line: FloatArray, centre: FloatArray, size: FloatArray) -> float:
    """Least distance between a segment (2, 3) and an upright box, 0 where they meet.

    The distance to a convex body is convex along the segment: a ternary search closes in on its least.
    """

    def away(share: float) -> float:
        point = line[0] + share * (line[1] - line[0])
        return float(np.linalg.norm(np.maximum(np.abs(point - centre) - size / 2.0, 0.0)))

    low, high = 0.0, 1.0
    for _ in range(60):
        left, right = low + (high - low) / 3.0, high - (high - low) / 3.0
        if away(left) <= away(right):
            high = right
        else:
            low = left
    return min(away((low + high) / 2.0), away(0.0), away(1.0))
