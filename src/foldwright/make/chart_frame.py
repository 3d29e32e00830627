"""Axes, curves, bands and labels of a chart on paper, in mm.

A chart is told apart by line style and words, never by colour: full, long dashes, short dashes, dash and dot,
thin. Bands are pale fills. Every line carries its name beside it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import floor, log10
from typing import Literal

import numpy as np
import shapely

from foldwright.base.types import FloatArray
from foldwright.make.dimension import text_width
from foldwright.make.drawing import Align, Fill, Item, Path, Pen, Point, Text
from foldwright.make.formats.pens import DEFAULT_STYLES, PenStyle

FULL: Pen = "outline"
LONG: Pen = "crush"
SHORT: Pen = "mark"
DOT: Pen = "sheet_edge"
THIN: Pen = "thin"
AXIS: Pen = "dimension"
"""What each line style is drawn with."""

CHART_STYLES = DEFAULT_STYLES.overridden(
    {
        FULL: PenStyle("#222222", 0.50),
        LONG: PenStyle("#222222", 0.40, (4.0, 1.4)),
        SHORT: PenStyle("#222222", 0.40, (1.4, 0.9)),
        DOT: PenStyle("#444444", 0.30, (4.0, 1.0, 0.8, 1.0)),
        THIN: PenStyle("#777777", 0.13),
        AXIS: PenStyle("#555555", 0.18),
        "letter": PenStyle("#222222", 0.25),
    }
)
"""Pens of a chart: greys, told apart by dashes and width."""

PALE, PALER = 0.86, 0.93
SMALL, NAME, TITLE = 2.0, 2.2, 3.0
"""Heights of letters, mm: figures along the axes, names beside lines, the chart's title."""
_TICK = 1.2
_STEPS = (1.0, 2.0, 2.5, 5.0, 10.0)
_BESIDE = 0.9
_ABOVE = 4.0


@dataclass(frozen=True, slots=True)
class Axis:
    """low, high: ends, in the unit that the label names; step: between figures; digits: decimals of them."""

    label: str
    low: float
    high: float
    step: float
    digits: int

    @property
    def ticks(self) -> tuple[float, ...]:
        """Where figures stand."""
        first = int(np.ceil(self.low / self.step - 1e-6))
        last = int(np.floor(self.high / self.step + 1e-6))
        return tuple(k * self.step for k in range(first, last + 1))

    def says(self, value: float) -> str:
        """A figure of it."""
        return f"{round(value, self.digits) + 0.0:.{self.digits}f}"


def axis(label: str, low: float, high: float, figures: int = 7, *, whole: bool = True) -> Axis:
    """An axis from low to high with about so many round figures; whole: its ends are round figures too."""
    reach = max(high - low, 1e-6)
    size = 10.0 ** floor(log10(reach / figures))
    step = next(each * size for each in _STEPS if reach / (each * size) <= figures)
    digits = 0
    while digits < 4 and abs(round(step, digits) - step) > 1e-9:
        digits += 1
    if whole:
        low, high = floor(low / step + 1e-6) * step, -floor(-high / step + 1e-6) * step
    return Axis(label, low, high if high > low else low + step, step, digits)


@dataclass(frozen=True, slots=True)
class Frame:
    """A field of a chart: its lower left corner and size on paper [mm], its axes."""

    left: float
    bottom: float
    width: float
    height: float
    x: Axis
    y: Axis

    def at(self, x: float, y: float) -> Point:
        """Place on paper."""
        return (
            self.left + (x - self.x.low) / (self.x.high - self.x.low) * self.width,
            self.bottom + (y - self.y.low) / (self.y.high - self.y.low) * self.height,
        )

    @property
    def right(self) -> float:
        """On paper, mm."""
        return self.left + self.width

    @property
    def top(self) -> float:
        """On paper, mm."""
        return self.bottom + self.height


def axes(frame: Frame, *, figures: bool = True) -> list[Item]:
    """The frame's axes with figures and labels; figures: also up the left side."""
    corners = ((frame.left, frame.top), (frame.left, frame.bottom), (frame.right, frame.bottom))
    items: list[Item] = [Path(AXIS, "", corners)]
    for value in frame.x.ticks:
        x, y = frame.at(value, frame.y.low)
        items.append(Path(AXIS, "", ((x, y), (x, y - _TICK))))
        items.append(Text("letter", "", (x, y - _TICK - 2.7), SMALL, frame.x.says(value), 0.0, "centre"))
    middle = frame.left + 0.5 * frame.width
    items.append(Text("letter", "", (middle, frame.bottom - 7.6), SMALL, frame.x.label, 0.0, "centre"))
    if not figures:
        return items
    for value in frame.y.ticks:
        x, y = frame.at(frame.x.low, value)
        items.append(Path(AXIS, "", ((x, y), (x - _TICK, y))))
        at = (x - _TICK - 0.8, y - 0.5 * SMALL)
        items.append(Text("letter", "", at, SMALL, frame.y.says(value), 0.0, "right"))
    at = (frame.left - 9.5, frame.bottom + 0.5 * frame.height)
    items.append(Text("letter", "", at, SMALL, frame.y.label, 90.0, "centre"))
    return items


def level_line(frame: Frame, value: float, pen: Pen = AXIS) -> list[Item]:
    """A line right across at a value of the y axis."""
    return [Path(pen, "", (frame.at(frame.x.low, value), frame.at(frame.x.high, value)))]


def runs(x: FloatArray, *values: FloatArray) -> list[slice]:
    """Stretches of x on which all values exist, two points at least."""
    good = np.isfinite(np.stack([x, *values])).all(axis=0)
    edges = np.flatnonzero(np.diff(np.concatenate([[False], good, [False]]).astype(np.int8)))
    return [slice(int(a), int(b)) for a, b in zip(edges[::2], edges[1::2], strict=True) if b - a > 1]


def curve(frame: Frame, x: FloatArray, y: FloatArray, pen: Pen) -> list[Item]:
    """A line through points, broken where there is no value, clipped to the frame."""
    found: list[Item] = []
    for run in runs(x, y):
        points = [frame.at(float(a), float(b)) for a, b in zip(x[run], y[run], strict=True)]
        kept = shapely.clip_by_rect(
            shapely.LineString(points), frame.left, frame.bottom, frame.right, frame.top
        )
        found += [
            Path(pen, "", tuple((float(a), float(b)) for a, b in line.coords))
            for line in shapely.get_parts(kept)
            if isinstance(line, shapely.LineString) and line.length > 0.0
        ]
    return found


def between(frame: Frame, x: FloatArray, low: FloatArray, high: FloatArray, shade: float) -> list[Item]:
    """A pale fill between two lines, clipped to the frame."""
    field = shapely.box(frame.left, frame.bottom, frame.right, frame.top)
    found: list[Item] = []
    for run in runs(x, low, high):
        there = [frame.at(float(a), float(b)) for a, b in zip(x[run], high[run], strict=True)]
        back = [frame.at(float(a), float(b)) for a, b in zip(x[run], low[run], strict=True)]
        shape = shapely.make_valid(shapely.Polygon([*there, *reversed(back)])).intersection(field)
        found += [
            Fill((tuple((float(a), float(b)) for a, b in part.exterior.coords[:-1]),), shade)
            for part in shapely.get_parts(shape)
            if isinstance(part, shapely.Polygon) and part.area > 0.0
        ]
    return found


def block(frame: Frame, x: tuple[float, float], y: tuple[float, float], shade: float) -> Fill:
    """A filled rectangle between two values of each axis, kept within the frame."""
    (x0, y0), (x1, y1) = frame.at(x[0], y[0]), frame.at(x[1], y[1])
    x0, x1 = (min(max(value, frame.left), frame.right) for value in (x0, x1))
    return Fill((((x0, y0), (x1, y0), (x1, y1), (x0, y1)),), shade)


def uprights(frame: Frame, marked: Sequence[tuple[float, str]], pen: Pen = AXIS) -> list[Item]:
    """Upright lines at values of x with their names above the frame, in two rows where they would meet.

    Values that are none, or outside the frame, are left out.
    """
    items: list[Item] = []
    ends = [-1e9, -1e9]
    for value, name in sorted(marked):
        if not frame.x.low <= value <= frame.x.high:
            continue
        x, _ = frame.at(value, frame.y.low)
        half = 0.5 * text_width(name, SMALL)
        middle = min(max(x, frame.left + half), frame.right - half)
        row = 0 if middle - half > ends[0] else 1
        ends[row] = middle + half
        level = frame.top + 0.9 + 2.9 * row
        items.append(Path(pen, "", ((x, frame.bottom), (x, level - 0.4))))
        items.append(Text("letter", "", (middle, level), SMALL, name, 0.0, "centre"))
    return items


@dataclass(frozen=True, slots=True, eq=False)
class Named:
    """A line that wants its name beside it: places on it, the words.

    side: where the name may stand; where two lines run close together, that of the upper one above.
    """

    x: FloatArray
    y: FloatArray
    words: str = ""
    side: Literal["above", "below", ""] = ""


def across_all(frame: Frame, levels: Sequence[float], marked: Sequence[tuple[float, str]]) -> list[Named]:
    """Level and upright lines as lines that no name may cover."""
    ends, rise = np.array([frame.x.low, frame.x.high]), np.array([frame.y.low, frame.y.high])
    return [
        *(Named(ends, np.full(2, level)) for level in levels),
        *(Named(np.full(2, x), rise) for x, _ in marked if frame.x.low <= x <= frame.x.high),
    ]


def names(frame: Frame, wanted: Sequence[Named], others: Sequence[Named] = ()) -> list[Item]:
    """Names beside their lines where they cover no line and no other name, as far right as that allows.

    others: lines without a name that must not be covered either.
    """
    lines = [line for each in (*wanted, *others) for line in _lines(frame, each)]
    tree = shapely.STRtree(lines)
    taken: list[shapely.Polygon] = []
    items: list[Item] = []
    for each in wanted:
        best: tuple[float, Point, Align, shapely.Polygon] | None = None
        for rank, (at, align, room) in enumerate(_rooms(frame, each)):
            met = len(tree.query(room, predicate="intersects"))
            over = sum(room.intersects(other) for other in taken)
            cost = 100.0 * over + 10.0 * met + 0.01 * rank
            if best is None or cost < best[0]:
                best = (cost, at, align, room)
            if cost < 1.0:
                break
        if best is not None:
            _, at, align, room = best
            taken.append(room)
            items.append(Text("letter", "", at, NAME, each.words, 0.0, align))
    return items


def _lines(frame: Frame, each: Named) -> list[shapely.LineString]:
    """A line in short pieces."""
    found = []
    for run in runs(each.x, each.y):
        points = [frame.at(float(a), float(b)) for a, b in zip(each.x[run], each.y[run], strict=True)]
        found += [shapely.LineString(pair) for pair in pairwise(points)]
    return found


def _heights(y: float, side: str) -> tuple[float, ...]:
    """Baselines beside a place, the nearest first."""
    up, down = (y + _BESIDE, y + _ABOVE), (y - _BESIDE - NAME, y - _ABOVE - NAME)
    if side:
        return up if side == "above" else down
    return (up[0], down[0], up[1], down[1])


def _rooms(frame: Frame, each: Named) -> list[tuple[Point, Align, shapely.Polygon]]:
    """Places where a name could stand, the best first: beside the points from right to left."""
    found: list[tuple[Point, Align, shapely.Polygon]] = []
    wide = text_width(each.words, NAME)
    good = np.flatnonzero(np.isfinite(each.x) & np.isfinite(each.y))
    for k in good[::-1].tolist():
        px, py = frame.at(float(each.x[k]), float(each.y[k]))
        if not (frame.left <= px <= frame.right and frame.bottom <= py <= frame.top):
            continue
        sides: tuple[tuple[Align, float], ...] = (
            ("right", px - wide),
            ("left", px),
            ("centre", px - wide / 2),
        )
        for align, x0 in sides:
            for y0 in _heights(py, each.side):
                if (
                    x0 < frame.left + 0.5
                    or x0 + wide > frame.right
                    or not (frame.bottom + 0.5 <= y0 <= frame.top - NAME)
                ):
                    continue
                room = shapely.box(x0 - 0.3, y0 - 0.4, x0 + wide + 0.3, y0 + NAME + 0.4)
                found.append(((px, y0), align, room))
    return found
