"""The lines of a blank that a template has to guide a tool along, and when two blanks have the same [mm]."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np
import shapely

from foldwright.base.types import FloatArray
from foldwright.geometry.fold.model import Blank
from foldwright.geometry.solid.core import Area
from foldwright.make.blank_drawing import BlankDrawing, Line, Role
from foldwright.make.drawing import Face, Pen
from foldwright.make.templates.areas import lines

To = Callable[[FloatArray], FloatArray]

SAME_MM = 0.02
"""Lines and outlines no further apart than this are the same: a pencil shows a tenth [judgement]."""

CROSS_MOST_MM = 12.0
"""Two lines of a mark no longer than this that halve each other show a point."""

_LEAST_MM = 0.05


@dataclass(frozen=True, slots=True, eq=False)
class Trace:
    """A line or sign to be traced.

    points (n, 2): as drawn, the first repeated where it is closed. sign: (2,) centre of the cross that stands
    for a point, None for a line. only: as in `Guide`.
    """

    name: str
    pen: Pen
    face: Face
    role: Role
    points: FloatArray
    sign: FloatArray | None = None
    only: str = ""

    @property
    def line(self) -> shapely.LineString:
        """The points as a line."""
        return shapely.LineString(self.points)

    @property
    def corners(self) -> FloatArray | None:
        """(n, 2) of a closed outline, such as the footprint of a fitting; None for anything else."""
        if len(self.points) < 4 or float(np.abs(self.points[0] - self.points[-1]).max()) > SAME_MM:
            return None
        return self.points[:-1]

    @property
    def straight(self) -> bool:
        """Whether it is one stroke from end to end."""
        return len(self.points) == 2

    def moved(self, to: To) -> Trace:
        """The same trace elsewhere."""
        sign = None if self.sign is None else to(self.sign[None, :])[0]
        return replace(self, points=to(self.points), sign=sign)


def traces_of(blank: Blank, drawing: BlankDrawing) -> tuple[Trace, ...]:
    """Everything but outline and holes, which the plate's own edge guides."""
    inside = [line for line in drawing.lines if line.role not in {"outline", "hole"}]
    crosses = _crosses(blank, inside)
    return tuple(
        Trace(line.name, line.pen, line.face, line.role, _points(line), crosses.get(number))
        for number, line in enumerate(inside)
    )


def board_of(drawing: BlankDrawing) -> shapely.Polygon:
    """What is left of the board when the blank is cut out, true size."""
    outer, *holes = drawing.rings
    return shapely.Polygon(outer, holes)


def same_outline(one: Area, other: Area) -> bool:
    """Whether two areas have the same edges."""
    first, second = np.asarray(one.bounds), np.asarray(other.bounds)
    if np.abs(first - second).max() > SAME_MM or abs(one.area - other.area) > SAME_MM * one.length:
        return False
    return bool(shapely.hausdorff_distance(one.boundary, other.boundary) <= SAME_MM)


def unmatched(
    traces: Sequence[Trace], others: Sequence[Trace], to: To
) -> tuple[tuple[Trace, ...], tuple[Trace, ...]]:
    """Traces that, moved by `to`, lie on none of the others; and others on which none lies."""
    free = list(others)
    lone: list[Trace] = []
    for trace in traces:
        moved = trace.moved(to)
        found = next((other for other in free if _same(moved, other)), None)
        if found is None:
            lone.append(trace)
        else:
            free.remove(found)
    return tuple(lone), tuple(free)


def clipped(trace: Trace, within: Area) -> tuple[Trace, ...]:
    """The stretches of a trace that lie in an area; a sign is there whole or not at all."""
    if trace.sign is not None:
        near = shapely.dwithin(within, shapely.Point(trace.sign), SAME_MM)
        return (trace,) if near else ()
    parts = lines(trace.line.intersection(within), _LEAST_MM)
    return tuple(replace(trace, points=np.asarray(line.coords)) for line in parts)


def _points(line: Line) -> FloatArray:
    return np.vstack([line.points, line.points[:1]]) if line.closed else line.points


def _crosses(blank: Blank, drawn: Sequence[Line]) -> dict[int, FloatArray]:
    """Centres of the crosses that stand for points, by the numbers of their lines: marks of one point, and
    pairs of short lines of a name that halve each other.
    """
    singles = {
        (mark.name, mark.face, *_rounded(mark.points[0])) for mark in blank.marks if len(mark.points) == 1
    }
    found: dict[tuple[str, str, float, float], list[int]] = {}
    for number, line in enumerate(drawn):
        if line.role != "mark" or len(line.points) != 2:
            continue
        if float(np.hypot(*(line.points[1] - line.points[0]))) <= CROSS_MOST_MM:
            at = (line.name, line.face, *_rounded(line.points.mean(axis=0)))
            found.setdefault(at, []).append(number)
    return {
        number: drawn[number].points.mean(axis=0)
        for at, numbers in found.items()
        if at in singles or len(numbers) == 2
        for number in numbers
    }


def _rounded(at: FloatArray) -> tuple[float, float]:
    return round(float(at[0]), 2) + 0.0, round(float(at[1]), 2) + 0.0


def _same(one: Trace, other: Trace) -> bool:
    return (one.pen, one.face) == (other.pen, other.face) and same_points(one.points, other.points)


def same_points(one: FloatArray, other: FloatArray) -> bool:
    """Whether two lines lie on each other, drawn either way and, where they are closed, from any corner."""
    if one.shape != other.shape:
        return False
    if len(one) > 2:
        apart = shapely.hausdorff_distance(shapely.LineString(one), shapely.LineString(other))
        return bool(apart <= SAME_MM)
    return bool(min(np.abs(one - other).max(), np.abs(one[::-1] - other).max()) <= SAME_MM)
