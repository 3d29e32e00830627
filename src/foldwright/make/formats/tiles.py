"""A sheet too large for the printer, on pages that overlap, with a map of how they join.

Rows are counted from the top, columns from the left. Neighbouring pages share a strip of the drawing; the
join line runs along its middle, at the same place of the drawing on both pages: cut one page there, lay it
on the other, tick to tick and ring to ring.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from foldwright.geometry.lettering import width_mm
from foldwright.make.drawing import Drawing, Fill, Item, Path, Point, Text
from foldwright.make.formats.clip import Box, clip_path, clip_rings
from foldwright.make.formats.islands import Place, joined
from foldwright.make.formats.stroked import baseline, text_paths
from foldwright.make.formats.tilemap import Cell, map_page

PaperName = Literal["A4", "A3", "Letter"]
# ISO 216 and ANSI/ASME Y14.1 size A; portrait, width × height in mm.
PAPERS: dict[PaperName, tuple[float, float]] = {
    "A4": (210.0, 297.0),
    "A3": (297.0, 420.0),
    "Letter": (215.9, 279.4),
}

# Strip around the drawing inside the printable area: ticks and names of neighbours.
_RIM_MM = 6.0
_LABEL_MM = 2.2
# The head of a page: heights of letters that are tried, on one line and on two; the typeface's letters are up
# to 15 % wider than the strokes.
_ONE_LINE_MM, _TWO_LINES_MM, _LEAST_MM = 2.8, (2.1, 1.9), 1.6
_WIDER = 1.15
_HEAD_STEP = 1.3
_RING_MM = 1.5


@dataclass(frozen=True, slots=True)
class Grid:
    """Pages over a drawing.

    page: width and height of the paper as turned [mm].
    margin_mm: border that the printer cannot reach.
    window: width and height of the part of the drawing on one page [mm].
    overlap_mm: shared by neighbours.
    origin: upper left corner of the drawing [mm].
    rows, columns: number of pages.
    """

    page: tuple[float, float]
    margin_mm: float
    window: tuple[float, float]
    overlap_mm: float
    origin: Point
    rows: int
    columns: int

    def box(self, row: int, column: int) -> Box:
        """Part of the drawing on the page of a row and column, both from 0 [mm]."""
        left = self.origin[0] + column * (self.window[0] - self.overlap_mm)
        top = self.origin[1] - row * (self.window[1] - self.overlap_mm)
        return Box(left, top - self.window[1], left + self.window[0], top)


def tile(
    drawing: Drawing,
    paper: PaperName | tuple[float, float] = "A4",
    overlap_mm: float = 10.0,
    margin_mm: float = 8.0,
) -> list[Drawing]:
    """A drawing at true scale on pages of a paper size: the map page first, then the tiles by row.

    A named paper is turned to whichever way needs fewer pages; a size is taken as given. Tiles that hold
    nothing but the sheet's edge are left out and named as empty on the map, unless they join others to the
    rest. A text that lies across the
    border of a page is drawn in strokes there, and cut exactly like any line.

    Raises:
        ValueError: the paper leaves no room for the drawing or the map.
    """
    grid = layout(drawing, paper, overlap_mm, margin_mm)
    places = [(row, column) for row in range(grid.rows) for column in range(grid.columns)]
    contents = {place: tile_content(drawing, grid.box(*place)) for place in places}
    full = frozenset(place for place in places if not _is_empty(contents[place]))
    printed = joined(full, grid.rows, grid.columns)
    cells = [Cell(*place, grid.box(*place), place not in printed) for place in places]
    size = PAPERS[paper] if isinstance(paper, str) else paper
    pages = [_page(drawing.title, grid, place, contents[place], printed) for place in sorted(printed)]
    return [map_page(drawing, cells, overlap_mm, size, margin_mm), *pages]


def _is_empty(content: tuple[Item, ...]) -> bool:
    return all(isinstance(item, Path) and item.pen == "sheet_edge" for item in content)


def layout(
    drawing: Drawing, paper: PaperName | tuple[float, float], overlap_mm: float, margin_mm: float
) -> Grid:
    """The pages that `tile` lays over a drawing. Raises ValueError if the paper leaves no room."""
    if not (overlap_mm > 0 and margin_mm >= 0):
        raise ValueError(f"overlap {overlap_mm} must be over 0 mm and margin {margin_mm} not below")
    if not isinstance(paper, str):
        return _grid(drawing, paper, overlap_mm, margin_mm)
    upright = PAPERS[paper]
    grids = [_grid(drawing, size, overlap_mm, margin_mm) for size in (upright, upright[::-1])]
    return min(grids, key=lambda grid: grid.rows * grid.columns)


def tile_content(drawing: Drawing, box: Box) -> tuple[Item, ...]:
    """The items of a drawing within a box, cut exactly at its border, still at their place in the drawing."""
    content: list[Item] = []
    for item in drawing.items:
        if isinstance(item, Path):
            content.extend(clip_path(item, box))
        elif isinstance(item, Fill):
            content.extend(Fill(rings, item.shade) for rings in clip_rings(item.rings, box))
        else:
            content.extend(_clip_text(item, box))
    return tuple(content)


def _grid(drawing: Drawing, page: tuple[float, float], overlap_mm: float, margin_mm: float) -> Grid:
    rim = 2 * (margin_mm + _RIM_MM)
    window = (page[0] - rim, page[1] - rim)
    if min(window) < 3 * overlap_mm:
        raise ValueError(f"paper of {page[0]:g} × {page[1]:g} mm leaves no room for tiles")
    columns, rows = (
        max(1, math.ceil((size - overlap_mm) / (extent - overlap_mm) - 1e-9))
        for size, extent in zip((drawing.width_mm, drawing.height_mm), window, strict=True)
    )
    return Grid(page, margin_mm, window, overlap_mm, (0.0, drawing.height_mm), rows, columns)


def _clip_text(text: Text, box: Box) -> list[Item]:
    """The text as it is where it lies within the box, else what of its strokes does."""
    start, end = baseline(text)
    # Descenders and brackets reach a third of the capitals' height below the line and a fifth above;
    # the typeface's letters are up to 15 % wider than the strokes.
    more = (0.15 * (end[0] - start[0]), 0.15 * (end[1] - start[1]))
    angle = math.radians(text.angle_deg)
    up = (-math.sin(angle), math.cos(angle))
    corners = [
        (x + high * text.height_mm * up[0], y + high * text.height_mm * up[1])
        for x, y in ((start[0] - more[0], start[1] - more[1]), (end[0] + more[0], end[1] + more[1]))
        for high in (-0.35, 1.2)
    ]
    if box.misses(corners):
        return []
    if all(box.holds(corner) for corner in corners):
        return [text]
    return [piece for path in text_paths(text) for piece in clip_path(path, box)]


def _page(
    title: str, grid: Grid, place: Place, content: tuple[Item, ...], printed: frozenset[Place]
) -> Drawing:
    box = grid.box(*place)
    rim = grid.margin_mm + _RIM_MM
    shift = (rim - box.left, rim - box.bottom)
    items = [_moved(item, shift) for item in content]
    items += _joins(grid, place, printed)
    name = _name(place)
    # between the tick of the left join and the name of the neighbour above
    x, right = rim + grid.overlap_mm / 2 + 3.0, rim + 0.8 * grid.window[0] - 23.0
    items += _head(f"{name}   {title}", (x, grid.page[1] - grid.margin_mm), max(right - x, 10.0))
    return Drawing(f"{title}, {name}", grid.page[0], grid.page[1], tuple(items))


def _name(place: Place) -> str:
    return f"row {place[0] + 1} / column {place[1] + 1}"


def _head(words: str, corner: Point, room_mm: float) -> list[Item]:
    """Words under an upper left corner, on one line or wrapped to two; what even small letters cannot hold is
    cut short with dots.
    """
    lines, height = [words], _ONE_LINE_MM
    if _too_wide(words, height, room_mm):
        for height in (*_TWO_LINES_MM, _LEAST_MM):
            lines = _wrapped(words, height, room_mm)
            if len(lines) <= 2:
                break
    if len(lines) > 2:
        lines = [lines[0], _cut_short(" ".join(lines[1:]), height, room_mm)]
    x, top = corner
    return [
        Text("letter", "", (x, top - height * (1.2 + _HEAD_STEP * k)), height, line)
        for k, line in enumerate(lines)
    ]


def _too_wide(words: str, height: float, room_mm: float) -> bool:
    return _WIDER * width_mm(words, height) > room_mm


def _wrapped(words: str, height: float, room_mm: float) -> list[str]:
    """Lines of whole words; a word too long for a line is cut short."""
    lines: list[str] = []
    for word in words.split(" "):
        longer = f"{lines[-1]} {word}" if lines else word
        if lines and _too_wide(longer, height, room_mm):
            lines.append(_cut_short(word, height, room_mm))
        elif lines:
            lines[-1] = longer
        else:
            lines.append(_cut_short(word, height, room_mm))
    return lines


def _cut_short(words: str, height: float, room_mm: float) -> str:
    while _too_wide(words, height, room_mm) and len(words) > 4:
        words = words[:-4] + "..."
    return words


def _joins(grid: Grid, place: Place, printed: frozenset[Place]) -> list[Item]:
    """Ticks, rings and neighbours' names of the joins with the pages that are printed."""
    rim = grid.margin_mm + _RIM_MM
    frame = Box(rim, rim, rim + grid.window[0], rim + grid.window[1])
    half = grid.overlap_mm / 2
    row, column = place
    items: list[Item] = []
    for neighbour, x, name_x in (
        ((row, column - 1), frame.left + half, frame.left - 1.5),
        ((row, column + 1), frame.right - half, frame.right + 3.5),
    ):
        if neighbour in printed:
            items += _join((x, frame.bottom), (x, frame.top))
            items.append(_neighbour(neighbour, (name_x, (frame.bottom + frame.top) / 2), 90.0))
    for neighbour, y, name_y in (
        ((row - 1, column), frame.top - half, frame.top + 2.0),
        ((row + 1, column), frame.bottom + half, frame.bottom - 4.0),
    ):
        if neighbour in printed:
            items += _join((frame.left, y), (frame.right, y))
            items.append(_neighbour(neighbour, (frame.right - 0.2 * frame.width, name_y), 0.0))
    return items


def _join(start: Point, end: Point) -> list[Item]:
    """Ticks beyond both ends of a join line, three rings on it."""
    length = math.dist(start, end)
    along = ((end[0] - start[0]) / length, (end[1] - start[1]) / length)

    def at(distance: float) -> Point:
        return start[0] + distance * along[0], start[1] + distance * along[1]

    items: list[Item] = [
        Path("dimension", "", (at(from_), at(to)))
        for from_, to in ((-5.0, -1.0), (length + 1.0, length + 5.0))
    ]
    for part in (0.25, 0.5, 0.75):
        items += _ring(at(part * length))
    return items


def _neighbour(place: Place, at: Point, angle_deg: float) -> Text:
    return Text("letter", "", at, _LABEL_MM, f"joins {_name(place)}", angle_deg, "centre")


def _ring(at: Point) -> list[Item]:
    """A ring with a cross in it."""
    x, y = at
    steps = 24
    ring = tuple(
        (x + _RING_MM * math.cos(math.tau * k / steps), y + _RING_MM * math.sin(math.tau * k / steps))
        for k in range(steps)
    )
    arm = 2 * _RING_MM
    return [
        Path("dimension", "", ring, closed=True),
        Path("dimension", "", ((x - arm, y), (x + arm, y))),
        Path("dimension", "", ((x, y - arm), (x, y + arm))),
    ]


def _moved(item: Item, shift: Point) -> Item:
    dx, dy = shift
    if isinstance(item, Path):
        return Path(item.pen, item.face, tuple((x + dx, y + dy) for x, y in item.points), item.closed)
    if isinstance(item, Fill):
        rings = tuple(tuple((x + dx, y + dy) for x, y in ring) for ring in item.rings)
        return Fill(rings, item.shade)
    at = (item.at[0] + dx, item.at[1] + dy)
    return Text(item.pen, item.face, at, item.height_mm, item.text, item.angle_deg, item.align)
