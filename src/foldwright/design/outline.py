"""Closed outlines of straight edges: area, orientation, crossing edges."""

from __future__ import annotations

import numpy as np

from foldwright.base.types import BoolArray, FloatArray

Point = tuple[float, float]
Outline = tuple[Point, ...]


def area(points: Outline) -> float:
    """Signed area of a closed outline, positive counter-clockwise (shoelace), square units of the input."""
    pairs = zip(points, points[1:] + points[:1], strict=True)
    return 0.5 * sum(x1 * y2 - x2 * y1 for (x1, y1), (x2, y2) in pairs)


def opened(points: Outline) -> Outline:
    """The outline without a last corner that repeats the first."""
    return points[:-1] if len(points) > 1 and points[0] == points[-1] else points


def counter_clockwise(points: Outline) -> Outline:
    """The outline counter-clockwise, starting at the same corner."""
    return points if area(points) >= 0 else (points[0], *reversed(points[1:]))


def _side(a: FloatArray, b: FloatArray, c: FloatArray) -> FloatArray:
    """Twice the signed area of triangles: positive where c lies left of a→b. Broadcasts over (…, 2)."""
    left: FloatArray = (b[..., 0] - a[..., 0]) * (c[..., 1] - a[..., 1])
    right: FloatArray = (b[..., 1] - a[..., 1]) * (c[..., 0] - a[..., 0])
    return left - right


def _within(a: FloatArray, b: FloatArray, c: FloatArray) -> BoolArray:
    """Whether c lies in the upright rectangle over a and b."""
    both = (np.minimum(a, b) <= c) & (c <= np.maximum(a, b))
    inside: BoolArray = both[..., 0] & both[..., 1]
    return inside


def _meetings(p: FloatArray) -> BoolArray:
    """(n, n): whether edge i and edge j of an outline (n, 2) share a point, neighbours apart."""
    n = len(p)
    a, b = p[:, None, :], np.roll(p, -1, axis=0)[:, None, :]
    c, d = a.transpose(1, 0, 2), b.transpose(1, 0, 2)
    s1, s2, s3, s4 = _side(a, b, c), _side(a, b, d), _side(c, d, a), _side(c, d, b)
    met: BoolArray = (s1 * s2 < 0) & (s3 * s4 < 0)
    for s, start, end, corner in ((s1, a, b, c), (s2, a, b, d), (s3, c, d, a), (s4, c, d, b)):
        met |= (s == 0) & _within(start, end, corner)
    i, j = np.indices((n, n))
    apart = (i - j) % n
    strangers: BoolArray = met & (apart != 0) & (apart != 1) & (apart != n - 1)
    return strangers


def _backward(p: FloatArray) -> BoolArray:
    """(n,): whether the edge after corner i + 1 runs back over the edge from corner i."""
    b, c = np.roll(p, -1, axis=0), np.roll(p, -2, axis=0)
    back: BoolArray = (_side(p, b, c) == 0) & (((b - p) * (c - b)).sum(axis=-1) < 0)
    return back


def crossing(points: Outline) -> tuple[int, int, Point] | None:
    """The first two edges that meet without being neighbours, or that run back over each other.

    Returns the numbers (from 0) of their first corners and a point near the place, or None. Corners
    written twice in a row do not count as a crossing.
    """
    p = np.asarray([q for k, q in enumerate(points) if q != points[k - 1]], dtype=np.float64)
    if len(p) < 3:
        return None
    names = [k for k, q in enumerate(points) if q != points[k - 1]]
    for i in np.flatnonzero(_backward(p)):
        after = (int(i) + 1) % len(p)
        return names[int(i)], names[after], (float(p[after, 0]), float(p[after, 1]))
    for i, j in np.argwhere(_meetings(p)):
        q, r = p[i], p[(i + 1) % len(p)]
        s, t = p[j], p[(j + 1) % len(p)]
        middle = (q + r + s + t) / 4.0
        from_s, from_t = _side(q, r, s), _side(q, r, t)
        if from_s != from_t:
            middle = s + (t - s) * (from_s / (from_s - from_t))
        return names[int(i)], names[int(j)], (float(middle[0]), float(middle[1]))
    return None
