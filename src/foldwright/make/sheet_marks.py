"""What a sheet carries beside its parts: its edge, a square and a bar of 100 mm, words, holes to lie by
[mm].
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import cos, pi, sin

import numpy as np
import shapely

from foldwright.base.finding import Finding
from foldwright.base.types import FloatArray
from foldwright.design.workshop import Workshop
from foldwright.geometry.lettering import width_mm
from foldwright.make.drawing import Item, Path, Point, Text
from foldwright.make.free_space import FreeSpace
from foldwright.make.kerf import with_kerf
from foldwright.make.legend_room import ELSEWHERE, along_the_right, block_items, find_block

SCALE_MM = 100.0
"""Length of the bar and side of the square that a builder measures."""

HOLE_RADIUS_MM = 1.5
EDGE_WORDS = "turn the sheet over about this edge"

_ROOM = 8.0
_CORNERS = 24
_WORD, _MEANING = 3.0, 2.5
_STEP = 5.0
# Above this height in the square its bar has no ticks.
_BAR_TOP = 17.0
_WIDER = 1.15
_EDGE_SHARE = 0.72  # of the lower edge: middle of the words along it, clear of the bar and its words


@dataclass(frozen=True, slots=True)
class Titles:
    """What the sheets say of themselves."""

    design: str
    revision: str
    workshop: str


@dataclass(frozen=True, slots=True)
class Ask:
    """The sheet that is furnished. number of count; board, x0, y0: where it is cut from; both: it is
    turned over. meanings, meanings_below: the legends of its two sides, a line each.
    """

    name: str
    number: int
    count: int
    width: float
    height: float
    board: int
    x0: float
    y0: float
    whole: bool
    both: bool
    meanings: tuple[str, ...] = ()
    meanings_below: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Furniture:
    """Items beside the parts, seen from above and from below, and what found no room."""

    up: tuple[Item, ...]
    down: tuple[Item, ...]
    findings: tuple[Finding, ...]


def furnish(
    ask: Ask, grounds: Sequence[shapely.Polygon], workshop: Workshop, titles: Titles, better_up: bool | None
) -> Furniture:
    """Everything of a sheet but its parts. better_up: the board's better side lies up (None: both alike)."""
    border = workshop.board.border_mm
    space = FreeSpace(ask.width, ask.height, border, grounds, max(2.0, workshop.spacing_mm / 2.0))
    edge = Path("sheet_edge", "", _box((0.0, 0.0), ask.width, ask.height), closed=True)
    up: list[Item] = [edge]
    down: list[Item] = [edge]
    findings: list[Finding] = []
    if ask.both:
        holes = _holes(ask, space, border)
        if len(holes) < 3:
            findings.append(Finding("S07", "watch", ask.name, {"found": len(holes)}))
        for x, y in holes:
            up.append(_hole(x, y, workshop.cutter.kerf_mm))
            down.append(_hole(x, ask.height - y, workshop.cutter.kerf_mm))
        up += _edge_words(ask, border, ask.height)
        down += _edge_words(ask, border, 0.0)
    corner = space.find(SCALE_MM + 4.0, SCALE_MM + 4.0, (ask.width, ask.height))
    said = [_words(ask, titles, workshop, better_up, below=below) for below in (False, True)]
    if corner is None:
        for side, items in zip((up, down), _without_square(ask, space, border, said), strict=True):
            side.extend(items)
        return Furniture(tuple(up), tuple(down), tuple(findings))
    up += _square(corner[0] + 2.0, corner[1] + 2.0, said[0], ask.meanings)
    under = ask.height - corner[1] - SCALE_MM - 2.0
    down += _square(corner[0] + 2.0, under, said[1], ask.meanings_below)
    return Furniture(tuple(up), tuple(down), tuple(findings))


def _without_square(
    ask: Ask, space: FreeSpace, border: float, said: Sequence[Sequence[str]]
) -> tuple[list[Item], list[Item]]:
    """Bars and words in the border, the legend where there is room for all of it: a side each."""
    ends = (ask.width, _edge_start(ask, border) if ask.both else ask.width)
    fits = [_fitting(border, words, end) for words, end in zip(said, ends, strict=True)]
    meanings = (ask.meanings, ask.meanings_below if ask.both else ())
    lists = [[*words[fit:], *means] for words, fit, means in zip(said, fits, meanings, strict=True)]
    if not ask.both:
        lists[1] = []
    block = find_block(space, lists, (ask.width, ask.height))
    sides: list[list[Item]] = []
    for number, below_of in enumerate((None, ask.height)):
        words, rest = list(said[number][: fits[number]]), lists[number]
        more = block_items(block, rest, below_of) if block else []
        if block is None:
            more = along_the_right(ask.width, ask.height, border, rest)
            more = more or along_the_right(ask.width, ask.height, border, meanings[number])
        if not more and meanings[number]:
            while len(words) > 1 and _fitting(border, [*words, ELSEWHERE], ends[number]) <= len(words):
                words.pop()
            words.append(ELSEWHERE)
        sides.append([*_in_border(border, words), *more])
    return sides[0], sides[1]


def _box(low: Point, width: float, height: float) -> tuple[Point, ...]:
    (x, y), right, top = low, low[0] + width, low[1] + height
    return ((x, y), (right, y), (right, top), (x, top))


def _words(ask: Ask, titles: Titles, workshop: Workshop, better_up: bool | None, *, below: bool) -> list[str]:
    """Lines of the title block, the most important first."""
    name = f"{ask.name}-b" if below else ask.name
    place = "" if ask.whole else f", cut from board {ask.board} at x {ask.x0:g}, y {ask.y0:g}"
    lines = [
        f"{titles.design} rev {titles.revision}: {name} of {ask.count}",
        f"{ask.width:g} x {ask.height:g} mm{place}",
        titles.workshop,
    ]
    if ask.both:
        lines += (
            ["This side first, holes cut through.", f"Then turn over and do {ask.name}."]
            if below
            else [f"Do {ask.name}-b first, then turn over.", "The holes show how the sheet lies."]
        )
    if better_up is not None:
        lines.append(f"The board's better side lies {'up' if better_up != below else 'underneath'}.")
    if workshop.board.grain != "none":
        lines.append("Arrows on the parts: the board's grain.")
    return lines


def _square(x: float, y: float, words: Sequence[str], meanings: Sequence[str]) -> list[Item]:
    """The square with the bar, the words and the legend in it."""
    items: list[Item] = [Path("mark", "", _box((x, y), SCALE_MM, SCALE_MM), closed=True)]
    items += bar(x, y + 12.0)
    items.append(
        Text("letter", "", (x + SCALE_MM / 2.0, y + 5.0), _WORD, "bar and square: 100 mm", 0.0, "centre")
    )
    top = y + SCALE_MM - 8.0
    items += _column(x + 4.0, top, words, _WORD, _STEP)
    if meanings:
        top -= _STEP * len(words) + 1.0
        step = min(_STEP, (top - y - _BAR_TOP) / max(len(meanings) - 1, 1))
        items += _column(x + 4.0, top, meanings, min(_MEANING, step / 1.5), step)
    return items


def _column(x: float, top: float, lines: Sequence[str], tall: float, step: float) -> list[Item]:
    """Lines under each other, each in letters small enough for the square's width."""
    items: list[Item] = []
    for index, line in enumerate(lines):
        height = min(tall, tall * (SCALE_MM - 8.0) / (_WIDER * width_mm(line, tall)))
        items.append(Text("letter", "", (x, top - step * index), round(height, 3), line))
    return items


def bar(x: float, y: float, *, upright: bool = False) -> list[Item]:
    """A line of exactly 100 mm from (x, y), with ticks every 10 mm."""
    items: list[Item] = [_stroke(x, y, 0.0, 0.0, SCALE_MM, 0.0, upright=upright)]
    for k in range(11):
        tall = 3.0 if k % 5 == 0 else 1.5
        items.append(_stroke(x, y, 10.0 * k, 0.0, 10.0 * k, tall, upright=upright))
    return items


def _stroke(x: float, y: float, a0: float, b0: float, a1: float, b1: float, *, upright: bool) -> Path:
    ends = ((x + b0, y + a0), (x + b1, y + a1)) if upright else ((x + a0, y + b0), (x + a1, y + b1))
    return Path("mark", "", ends)


def _fitting(border: float, words: Sequence[str], end: float) -> int:
    """How many of the words stand behind the lower bar before the place `end` [mm]; the first always."""
    height, room = min(_WORD, border - 2.0), end - SCALE_MM - 20.0
    fit = 1
    while fit < len(words) and _WIDER * width_mm(_joined(words[: fit + 1]), height) <= room:
        fit += 1
    return fit


def _joined(words: Sequence[str]) -> str:
    return "; ".join(word.removesuffix(".") for word in words)


def _in_border(border: float, words: Sequence[str]) -> list[Item]:
    """Bars along the lower and the left edge of the sheet, words behind the lower one.

    A border under 4 mm has no room: the bars then stand on the sheet's edge itself.
    """
    inside = 0.5 if border >= 4.0 else 0.0
    items: list[Item] = [*bar(10.0, inside), *bar(inside, 10.0, upright=True)]
    height = min(_WORD, border - 2.0)
    if height >= 1.5:
        items.append(Text("letter", "", (14.0 + SCALE_MM, 1.2), round(height, 3), _joined(words)))
    return items


def _edge_words(ask: Ask, border: float, edge: float) -> list[Item]:
    """Says about which edge the sheet is turned, along that edge."""
    height = min(_WORD, border - 2.0)
    if height < 1.5:
        return []
    y = edge - 1.0 - height if edge > 0.0 else 1.0
    x = ask.width * _EDGE_SHARE if edge == 0.0 else ask.width / 2.0
    return [Text("letter", "", (x, y), round(height, 3), EDGE_WORDS, 0.0, "centre")]


def _edge_start(ask: Ask, border: float) -> float:
    """Where the words along the lower edge begin, mm."""
    return ask.width * _EDGE_SHARE - _WIDER * width_mm(EDGE_WORDS, min(_WORD, border - 2.0)) / 2.0


def _holes(ask: Ask, space: FreeSpace, border: float) -> list[Point]:
    """Middles of three holes in three corners: no wrong way of laying the sheet down fits them."""
    near = ((0.0, 0.0), (ask.width, 0.0), (0.0, ask.height))
    found: list[Point] = []
    for x, y in near:
        corner = space.find(_ROOM, _ROOM, (x, y))
        if corner is not None:
            found.append((corner[0] + _ROOM / 2.0, corner[1] + _ROOM / 2.0))
        elif border >= 2.0 * HOLE_RADIUS_MM + 1.0:
            found.append((abs(x - border / 2.0), abs(y - border / 2.0)))
    return found


def _hole(x: float, y: float, kerf: float) -> Path:
    """A round hole, kerf inward."""
    ring: FloatArray = np.array(
        [
            (HOLE_RADIUS_MM * cos(2.0 * pi * k / _CORNERS), HOLE_RADIUS_MM * sin(2.0 * pi * k / _CORNERS))
            for k in range(_CORNERS)
        ]
    )
    moved = with_kerf(ring, -kerf / 2.0)
    ring = ring if moved is None else moved
    return Path("cut", "", tuple((float(px + x), float(py + y)) for px, py in ring), closed=True)
