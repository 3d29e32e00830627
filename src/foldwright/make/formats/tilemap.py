"""First page of a tiled sheet: which page goes where, and lengths to check the printer by."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from foldwright.geometry.lettering import width_mm
from foldwright.make.drawing import Drawing, Fill, Item, Path, Pen, Point, Text
from foldwright.make.formats.clip import Box

if TYPE_CHECKING:
    from collections.abc import Callable

# Pens of the sheet that the map shows, thin: it is a picture, nothing to cut by.
_SHOWN: frozenset[Pen] = frozenset({"cut", "outline", "sheet_edge", "thin"})
_CHECK_MM = 100.0
_TITLE_MM, _WORDS_MM, _SMALL_MM = 5.0, 3.0, 2.2
_EMPTY_SHADE = 0.9
_APART_MM = 0.4

_ADVICE = (
    "Print at 100 %, not fit to page.",
    "Print this page first. Measure the",
    "square both ways and the bar with",
    "a ruler: each is 100 mm. If not, set",
    "the printer's scale and print again.",
)
_JOINING = (
    "Cut a page along one of its join lines (tick to tick), lay it on its neighbour so that ticks and",
    "rings meet, and fix it with tape. Grey pages of the map are empty and are not printed.",
)


@dataclass(frozen=True, slots=True)
class Cell:
    """A tile of the map: its row and column from 0, its part of the drawing, and whether it is empty."""

    row: int
    column: int
    box: Box
    empty: bool


def map_page(
    drawing: Drawing, cells: list[Cell], overlap_mm: float, page: tuple[float, float], margin_mm: float
) -> Drawing:
    """The map of a tiled drawing on a page [mm], upright.

    Raises:
        ValueError: a square of 100 mm with words and a map above it does not fit the page.
    """
    width, height = min(page), max(page)
    low, right, top = margin_mm, width - margin_mm, height - margin_mm
    if right - low < _CHECK_MM + 40 or top - low < _CHECK_MM + 80:
        raise ValueError(f"paper of {width:g} × {height:g} mm has no room for a 100 mm square and a map")
    items: list[Item] = [_fitted(drawing.title, (low, top - 1.3 * _TITLE_MM), _TITLE_MM, right - low)]
    items += _lines(_JOINING, (low, top - 14.0), _WORDS_MM, right - low)
    items += _check_lengths((low + 2.0, low + 12.0), right)
    room = Box(low + 2.0, low + 12.0 + _CHECK_MM + 10.0, right - 2.0, top - 26.0)
    items += _map(drawing, cells, overlap_mm, room)
    return Drawing(f"{drawing.title}, map of the pages", width, height, tuple(items))


def _fitted(words: str, at: Point, height_mm: float, room_mm: float) -> Text:
    size = min(height_mm, height_mm * room_mm / max(width_mm(words, height_mm), 1e-9))
    return Text("letter", "", at, size, words)


def _lines(lines: tuple[str, ...], at: Point, height_mm: float, room_mm: float) -> list[Item]:
    x, y = at
    return [_fitted(line, (x, y - 1.8 * height_mm * k), height_mm, room_mm) for k, line in enumerate(lines)]


def _check_lengths(at: Point, right: float) -> list[Item]:
    """The square with its lower left corner at `at`, the bar under it, the advice beside them."""
    x, y = at
    corners = ((x, y), (x + _CHECK_MM, y), (x + _CHECK_MM, y + _CHECK_MM), (x, y + _CHECK_MM))
    items: list[Item] = [Path("outline", "", corners, closed=True)]
    items.append(
        Text(
            "letter", "", (x + _CHECK_MM / 2, y + _CHECK_MM / 2), _WORDS_MM, "100 mm × 100 mm", 0.0, "centre"
        )
    )
    bar = y - 7.0
    items.append(Path("outline", "", ((x, bar), (x + _CHECK_MM, bar))))
    for k in range(11):
        tick = 3.0 if k % 5 == 0 else 1.5
        items.append(Path("dimension", "", ((x + 10.0 * k, bar), (x + 10.0 * k, bar + tick))))
    items.append(Text("letter", "", (x + _CHECK_MM + 4.0, bar), _WORDS_MM, "100 mm"))
    beside = x + _CHECK_MM + 6.0
    return items + _lines(_ADVICE, (beside, y + _CHECK_MM - _WORDS_MM), _WORDS_MM, right - beside)


def _map(drawing: Drawing, cells: list[Cell], overlap_mm: float, room: Box) -> list[Item]:
    covered = Box(
        min(c.box.left for c in cells),
        min(c.box.bottom for c in cells),
        max(c.box.right for c in cells),
        max(c.box.top for c in cells),
    )
    scale = min(room.width / covered.width, room.height / covered.height)
    left = room.left + (room.width - scale * covered.width) / 2

    def placed(point: Point) -> Point:
        return left + scale * (point[0] - covered.left), room.top - scale * (covered.top - point[1])

    items: list[Item] = [
        Path("thin", "", tuple(placed(p) for p in item.points), item.closed)
        for item in drawing.items
        if isinstance(item, Path) and item.pen in _SHOWN
    ]
    edge = Box(0.0, 0.0, drawing.width_mm, drawing.height_mm)
    items.append(Path("outline", "", tuple(placed(p) for p in _corners(edge)), closed=True))
    for cell in cells:
        items += _cell(cell, covered, overlap_mm, placed)
    return items


def _cell(cell: Cell, covered: Box, overlap_mm: float, placed: Callable[[Point], Point]) -> list[Item]:
    """A page on the map, from join line to join line, drawn a little smaller so that pages stand apart."""
    half, box = overlap_mm / 2, cell.box
    left, bottom = placed(
        (
            box.left + (half if box.left > covered.left else 0.0),
            box.bottom + (half if box.bottom > covered.bottom else 0.0),
        )
    )
    right, top = placed(
        (
            box.right - (half if box.right < covered.right else 0.0),
            box.top - (half if box.top < covered.top else 0.0),
        )
    )
    shown = Box(left + _APART_MM, bottom + _APART_MM, right - _APART_MM, top - _APART_MM)
    ring = _corners(shown)
    names = [f"row {cell.row + 1}", f"column {cell.column + 1}"] + (["empty"] if cell.empty else [])
    size = min(_SMALL_MM, 0.8 * shown.width / width_mm("column 10", 1.0), shown.height / 6)
    middle = ((shown.left + shown.right) / 2, (shown.bottom + shown.top) / 2 + size)
    items: list[Item] = [Fill((ring,), _EMPTY_SHADE)] if cell.empty else []
    items.append(Path("dimension", "", ring, closed=True))
    for k, name in enumerate(names):
        items.append(Text("letter", "", (middle[0], middle[1] - 1.7 * size * k), size, name, 0.0, "centre"))
    return items


def _corners(box: Box) -> tuple[Point, ...]:
    return ((box.left, box.bottom), (box.right, box.bottom), (box.right, box.top), (box.left, box.top))
