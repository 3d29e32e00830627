"""Clipping of segments by half-planes, and what is left of them: parts of a line as intervals of 0 to 1."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from foldwright.base.types import FloatArray, IntArray


def clip_parameters(starts: FloatArray, ends: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Interval (n,), (n,) of t in [0, 1] where every one of m linear functions is at least zero.

    starts, ends: values (n, m) of the functions at t = 0 and t = 1. An interval whose start is not below its
    end is empty. Cyrus & Beck 1978: each function shortens the segment from its entering or leaving side.
    """
    change = starts - ends
    crossing = starts / np.where(change == 0.0, 1.0, change)
    low = np.where((starts < 0.0) & (ends >= 0.0), crossing, 0.0).max(axis=1)
    high = np.where((starts >= 0.0) & (ends < 0.0), crossing, 1.0).min(axis=1)
    outside = ((starts < 0.0) & (ends < 0.0)).any(axis=1)
    return np.where(outside, 1.0, low), np.where(outside, 0.0, high)


def uncovered(
    index: IntArray, low: FloatArray, high: FloatArray, count: int
) -> tuple[IntArray, FloatArray, FloatArray]:
    """What n covering intervals leave open of each of `count` unit segments.

    index (n,): the segment an interval lies on; low, high (n,): its ends within [0, 1].
    Returns segment, start and end of every open part, in order of segment and start.
    """
    ones = np.arange(count)
    segment = np.concatenate([ones, index, ones])
    first = np.concatenate([np.full(count, -0.5), low, np.ones(count)]) + 2.0 * segment
    last = np.concatenate([np.zeros(count), high, np.full(count, 1.5)]) + 2.0 * segment
    order = np.argsort(first, kind="stable")
    reach = np.maximum.accumulate(last[order])[:-1]
    following = first[order][1:]
    gap = following > reach
    owner = np.floor(reach[gap] / 2.0).astype(np.int64)
    return owner, reach[gap] - 2.0 * owner, following[gap] - 2.0 * owner


def joined(low: FloatArray, high: FloatArray, gap: float) -> list[tuple[float, float]]:
    """Intervals made one wherever they overlap or stand no further apart than `gap`."""
    whole: list[tuple[float, float]] = []
    for k in np.argsort(low, kind="stable"):
        start, end = float(low[k]), float(high[k])
        if whole and start <= whole[-1][1] + gap:
            whole[-1] = (whole[-1][0], max(whole[-1][1], end))
        else:
            whole.append((start, end))
    return whole


def without(
    parts: list[tuple[float, float]], cover: list[tuple[float, float]], least: float
) -> list[tuple[float, float]]:
    """Intervals less the intervals of `cover` (sorted, apart); remainders shorter than `least` go."""
    left: list[tuple[float, float]] = []
    for start, end in parts:
        here = start
        for a, b in cover:
            if b <= here or a >= end:
                continue
            if a - here > least:
                left.append((here, a))
            here = max(here, b)
        if end - here > least:
            left.append((here, end))
    return left
