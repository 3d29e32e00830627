"""How much of a blank a plate covers: all, or the half that is slid or turned over for the other [mm]."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
import shapely

from foldwright.base.types import FloatArray
from foldwright.geometry.solid.core import Area
from foldwright.make.templates.areas import lines, polygons
from foldwright.make.templates.group import Group
from foldwright.make.templates.model import Use
from foldwright.make.templates.traces import SAME_MM, Trace, clipped, same_outline, unmatched

MOST_ALONE = 6
"""Lines on one half only that a half plate carries with their own labels; more make it whole [judgement]."""

LEAST_MM = 25.0
"""A half narrower than this is no easier to make or to handle than the whole [judgement]."""

_FAR = 1e5
FIRST, SECOND = "first half", "second half"


@dataclass(frozen=True, slots=True, eq=False)
class Cover:
    """What of a blank a plate covers.

    area: with holes, true size. traces: those it guides. middle: (2, 2) the middle line where it crosses
    the plate. shift: (2,) from the half covered to the other, where the plate is slid. cut: lines where
    the plate ends within the blank, which are no outline; None for a whole one.
    """

    use: Use
    area: shapely.Polygon
    traces: tuple[Trace, ...]
    middle: FloatArray | None = None
    shift: FloatArray | None = None
    cut: shapely.MultiLineString | None = None


def whole(group: Group) -> Cover:
    """All of the blank."""
    return Cover("whole", group.area, group.traces)


def half(group: Group, beyond: float) -> Cover | None:
    """The half from which a blank can be traced: of its length, else of its width; None where neither is
    alike.

    beyond: how far a plate that is turned over reaches past the middle line, so that notches at both its
    edges can mark that line, mm. A plate that can be slid needs no turning and is preferred.
    """
    low, high = np.asarray(group.area.bounds).reshape(2, 2)
    longer = int((high - low)[1] > (high - low)[0])
    for axis in (longer, 1 - longer):
        middle = float(low[axis] + high[axis]) / 2.0
        if middle - float(low[axis]) < LEAST_MM:
            continue
        found = _slid(group, axis, middle) or _turned(group, axis, middle, beyond)
        if found is not None:
            return found
    return None


def mirror_about(axis: int, middle: float, points: FloatArray) -> FloatArray:
    """Points (n, 2) mirrored in the line where coordinate `axis` is `middle`."""
    mirrored = points.copy()
    mirrored[:, axis] = 2.0 * middle - points[:, axis]
    return mirrored


def _slid(group: Group, axis: int, middle: float) -> Cover | None:
    """The upper half, if sliding it along by half the length gives the lower one line for line."""
    upper, lower = (_beyond(axis, middle, up=up) for up in (True, False))
    low, high = np.asarray(group.area.bounds).reshape(2, 2)
    shift = np.zeros(2)
    shift[axis] = -float(high[axis] - low[axis]) / 2.0
    mine, other = (_one(group.area.intersection(side)) for side in (upper, lower))
    if mine is None or other is None or not same_outline(_moved(mine, shift), other):
        return None
    traces = [part for trace in group.traces for part in clipped(trace, upper)]
    below = [part for trace in group.traces for part in clipped(trace, lower)]
    if any(unmatched(traces, below, lambda points: points + shift)):
        return None
    return Cover("slide", mine, tuple(traces), _line(group, axis, middle), shift,
                 _ends(group, axis, middle))  # fmt: skip


def _turned(group: Group, axis: int, middle: float, beyond: float) -> Cover | None:
    """The upper half and a little more, if the blank mirrors itself about its middle line."""

    def to(points: FloatArray) -> FloatArray:
        return mirror_about(axis, middle, points)

    if not same_outline(group.area, shapely.transform(group.area, to)):
        return None
    lone, _ = unmatched(group.traces, group.traces, to)
    if len(lone) > MOST_ALONE:
        return None
    reach = _beyond(axis, middle - beyond, up=True)
    area = _one(group.area.intersection(reach))
    if area is None:
        return None
    upper = _beyond(axis, middle, up=True)
    paired = [trace for trace in group.traces if not any(trace is one for one in lone)]
    traces = [part for trace in paired for part in clipped(trace, reach)]
    traces += _alone(lone, upper, FIRST)
    traces += _alone([one.moved(to) for one in lone], upper, SECOND)
    return Cover("turn over", area, tuple(traces), _line(group, axis, middle), None,
                 _ends(group, axis, middle - beyond))  # fmt: skip


def _alone(traces: Sequence[Trace], upper: Area, only: str) -> list[Trace]:
    return [
        replace(part, only=f"{only}, {part.only}" if part.only else only)
        for trace in traces
        for part in clipped(trace, upper)
    ]


def _beyond(axis: int, middle: float, *, up: bool) -> shapely.Polygon:
    """The half plane on one side of a line."""
    ends = np.array([[-_FAR, -_FAR], [_FAR, _FAR]])
    ends[0 if up else 1, axis] = middle
    (u0, v0), (u1, v1) = ends.tolist()
    plane: shapely.Polygon = shapely.box(u0, v0, u1, v1)
    return plane


def _line(group: Group, axis: int, middle: float) -> FloatArray:
    """The middle line between the outermost edges that it meets."""
    ends = np.array([[-_FAR, -_FAR], [_FAR, _FAR]])
    ends[:, axis] = middle
    met = np.asarray(shapely.LineString(ends).intersection(group.area).bounds).reshape(2, 2)
    met[:, axis] = middle
    return met


def _ends(group: Group, axis: int, at: float) -> shapely.MultiLineString:
    """Where the blank is cut through by a plate that covers a part of it."""
    ends = np.array([[-_FAR, -_FAR], [_FAR, _FAR]])
    ends[:, axis] = at
    met = shapely.LineString(ends).intersection(group.area)
    return shapely.MultiLineString(lines(met))


def _moved(area: shapely.Polygon, step: FloatArray) -> shapely.Polygon:
    return shapely.transform(area, lambda points: points + step)


def _one(area: shapely.Geometry) -> shapely.Polygon | None:
    """An area in one piece, specks left out."""
    parts = polygons(area, SAME_MM)
    return parts[0] if len(parts) == 1 else None
