"""Lines that lie on or beside each other, which share one slot [mm].

Two lines nearer to each other than two slots have room share a slot whose side walls they are; a third
between them runs from point to point of its ends.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from foldwright.base.types import FloatArray
from foldwright.make.templates.traces import Trace, same_points

_PARALLEL = 0.9995
_OVERLAP = 0.6
_MOST = 3
_UNEVEN = 6.0

SHORT_MM = 40.0
"""Lines no longer than this may differ in length and still share a slot."""


@dataclass(frozen=True, slots=True, eq=False)
class Unit:
    """Lines under one slot.

    rows: their numbers; those that lie on one another stand in one row. points (n, 2): the middle between the
    outermost. gap: from one outermost to the other, 0 for one line. third: where between them the middle
    one lies, mm to the left of `points`; None without one. walls: the outermost, from right to left.
    """

    rows: tuple[tuple[int, ...], ...]
    points: FloatArray
    gap: float = 0.0
    third: float | None = None
    walls: tuple[FloatArray, ...] = ()

    @property
    def members(self) -> tuple[int, ...]:
        """The numbers of all lines."""
        return tuple(number for row in self.rows for number in row)


def units_of(traces: Sequence[Trace], numbers: Sequence[int], near: float) -> tuple[Unit, ...]:
    """The lines of some numbers by the slots they share. near: two lines closer than this share one, mm."""
    rows = _coincident(traces, numbers)
    left = list(rows)
    found: list[Unit] = []
    while left:
        some = [left.pop(0)]
        grown = True
        while grown:
            more = [row for row in left if any(_beside(traces[row[0]], traces[one[0]], near) for one in some)]
            grown = bool(more)
            some += more
            left = [row for row in left if not any(row is one for one in more)]
        found += _shared(traces, some)
    return tuple(found)


def _coincident(traces: Sequence[Trace], numbers: Sequence[int]) -> list[list[int]]:
    rows: list[list[int]] = []
    for number in numbers:
        row = next((row for row in rows if same_points(traces[row[0]].points, traces[number].points)), None)
        if row is None:
            rows.append([number])
        else:
            row.append(number)
    return rows


def _beside(one: Trace, other: Trace, near: float) -> bool:
    """Whether two straight lines run side by side."""
    if not (one.straight and other.straight):
        return False
    run = one.points[1] - one.points[0]
    length = float(np.hypot(*run))
    along = run / length
    way = other.points[1] - other.points[0]
    if abs(float(along @ way)) < _PARALLEL * float(np.hypot(*way)):
        return False
    off = other.points - one.points[0]
    across = np.abs(off[:, 1] * along[0] - off[:, 0] * along[1])
    low, high = sorted((off @ along).tolist())
    shared = min(length, high) - max(0.0, low)
    if not across.max() < near:
        return False
    if max(length, high - low) <= SHORT_MM:
        return bool(shared > _OVERLAP * min(length, high - low))
    return bool(abs(low) < _UNEVEN and abs(high - length) < _UNEVEN)


def _shared(traces: Sequence[Trace], rows: list[list[int]]) -> list[Unit]:
    """Units of up to three rows from rows that lie side by side."""
    first = traces[rows[0][0]].points
    if len(rows) == 1:
        return [Unit((tuple(rows[0]),), first)]
    along = (first[1] - first[0]) / np.hypot(*(first[1] - first[0]))
    left = np.array([-along[1], along[0]])
    ordered = sorted(rows, key=lambda row: round(float(traces[row[0]].points.mean(axis=0) @ left), 6))
    return [_unit(traces, ordered[k : k + _MOST], along, left) for k in range(0, len(ordered), _MOST)]


def _unit(traces: Sequence[Trace], rows: list[list[int]], along: FloatArray, left: FloatArray) -> Unit:
    lines = [_same_way(traces[row[0]].points, along) for row in rows]
    members = tuple(tuple(row) for row in rows)
    if len(rows) == 1:
        return Unit(members, lines[0])
    gap = float(((lines[-1] - lines[0]) @ left).mean())
    longest = max(lines, key=lambda line: round(float((line[1] - line[0]) @ along), 3))
    sides = [float((line @ left).mean()) for line in lines]
    if all(np.hypot(*(line - longest).T).max() < gap + _UNEVEN for line in lines):
        middle = (lines[0] + lines[-1]) / 2.0
    else:
        middle = longest + left * ((sides[0] + sides[-1]) / 2.0 - float((longest @ left).mean()))
    third = None if len(rows) == 2 else sides[1] - float((middle @ left).mean())
    return Unit(members, middle, gap, third, (lines[0], lines[-1]))


def _same_way(points: FloatArray, along: FloatArray) -> FloatArray:
    return points if float((points[1] - points[0]) @ along) > 0.0 else points[::-1]
