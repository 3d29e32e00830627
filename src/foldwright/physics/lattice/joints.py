"""Where one surface stands on another: both need a vortex line there.

A fin whose foot falls between two vortex lines of the wing has its root vortices beside the wing's control
points; in trials that spoiled even CL_alpha by up to a third. With a line under the foot CL_alpha keeps
within about 2 % of a fine lattice. A foot that is tight wants `Surface.root_inset` 0 (and the wing
`tip_inset` 0 under a fin at its tip): the load then runs on round the corner, and side force, neutral point
and rolling moments keep within 2 % from the coarse grids to a fine one. With the default quarter panel the
side force is a fifth low, and at a tip the neutral point creeps up by 4 % of the chord as panels shrink.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import product

import numpy as np

from foldwright.physics.lattice.surface import Surface

REACH = 0.75
"""A foot this near to another surface, in its panel widths, stands on it."""
SPACING = 0.35
"""Lines closer to one another or to the root than this many panel widths are one."""
END = 0.02
"""Lines closer to the tip than this many panel widths are the tip; a narrow strip outside a fin counts."""


@dataclass(frozen=True, slots=True)
class _Trace:
    """A surface seen from ahead: its stations as y + iz and their arc lengths."""

    surface: Surface
    points: list[complex]
    arc: list[float]

    @classmethod
    def of(cls, surface: Surface) -> _Trace:
        points = [complex(y, z) for y, z in surface.le[:, 1:].tolist()]
        return cls(surface, points, surface.arc.tolist())

    def chord_at(self, place: float) -> tuple[float, float]:
        """Leading and trailing edge x at an arc length."""
        front = float(np.interp(place, self.arc, self.surface.le[:, 0]))
        return front, front + float(np.interp(place, self.arc, self.surface.chord))


def joined(surfaces: Sequence[Surface]) -> tuple[Surface, ...]:
    """The surfaces with a vortex line added wherever another one stands on or crosses them.

    Surfaces meet where their leading-edge lines, seen from ahead, come within REACH and their chords
    overlap there. n_span is kept unless the pieces outnumber it.
    """
    traces = [_Trace.of(surface) for surface in surfaces]
    return tuple(
        _with_lines(
            mine.surface, [place for other in traces if other is not mine for place in _meets(mine, other)]
        )
        for mine in traces
    )


def _with_lines(surface: Surface, places: list[float]) -> Surface:
    """Surface with further lines, those that fall on another or on an end left out."""
    apart, end = SPACING / surface.n_span, END / surface.n_span
    lines = list(surface.lines)
    for place in places:
        if place < 1.0 - end and all(abs(place - taken) > apart for taken in (0.0, *lines)):
            lines.append(place)
    if len(lines) == len(surface.lines):
        return surface
    return replace(surface, lines=tuple(sorted(lines)), n_span=max(surface.n_span, len(lines) + 1))


def _meets(mine: _Trace, other: _Trace) -> list[float]:
    """Fractions of the half span at which the other surface stands on or crosses mine, nearest first.

    Neighbouring pieces that see the same foot count once: places keep further apart than the reach.
    """
    length = mine.arc[-1]
    reach = REACH * length / mine.surface.n_span
    near: list[tuple[float, float]] = []
    for i, j in product(range(len(mine.arc) - 1), range(len(other.arc) - 1)):
        share, share_other, distance = _closest(*mine.points[i : i + 2], *other.points[j : j + 2])
        place = mine.arc[i] + share * (mine.arc[i + 1] - mine.arc[i])
        place_other = other.arc[j] + share_other * (other.arc[j + 1] - other.arc[j])
        if distance < reach and _overlap(mine.chord_at(place), other.chord_at(place_other)):
            near.append((distance, place))
    found: list[float] = []
    for _, place in sorted(near):
        if all(abs(place - taken) > reach for taken in found):
            found.append(place)
    return [place / length for place in found]


def _overlap(one: tuple[float, float], two: tuple[float, float]) -> bool:
    return min(one[1], two[1]) > max(one[0], two[0])


def _closest(a0: complex, a1: complex, b0: complex, b1: complex) -> tuple[float, float, float]:
    """Shares along two plane segments where they come closest, and the distance there."""
    a, b, gap = a1 - a0, b1 - b0, b0 - a0
    cross = (a.conjugate() * b).imag
    if abs(cross) > 1e-9 * abs(a) * abs(b):
        s = (gap.conjugate() * b).imag / cross
        t = (gap.conjugate() * a).imag / cross
        if 0.0 <= s <= 1.0 and 0.0 <= t <= 1.0:
            return s, t, 0.0
    ends = [(_foot(gap + t * b, a), t) for t in (0.0, 1.0)]
    ends += [(s, _foot(s * a - gap, b)) for s in (0.0, 1.0)]
    distance, s, t = min((abs(gap + t * b - s * a), s, t) for s, t in ends)
    return s, t, distance


def _foot(point: complex, along: complex) -> float:
    """Share along a segment from 0 that lies nearest to a point."""
    return min(1.0, max(0.0, (along.conjugate() * point).real / abs(along) ** 2))
