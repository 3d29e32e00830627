"""A page of pictures of all that is printed, with name, size, grams, minutes, filament and orientation.

Every picture is as large as its cell allows, so no two are to one scale; the size stands under each.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from foldwright.design.workshop import Printer
from foldwright.geometry.lettering import width_mm
from foldwright.geometry.solid.check import GRID
from foldwright.geometry.solid.picture import SolidPicture, paper_size, solid_picture, view_of
from foldwright.make.drawing import Drawing, Fill, Item, Path, Point, Text
from foldwright.make.formats.pdf import to_pdf
from foldwright.make.formats.pens import DEFAULT_STYLES, PenStyle
from foldwright.make.formats.svg import to_svg
from foldwright.make.printing import Print, minutes_for

PAPERS = {"A4": (210.0, 297.0), "A3": (297.0, 420.0), "Letter": (215.9, 279.4)}

_MARGIN = 12.0
_HEAD = 12.0
_CELL = (60.0, 65.0)
_PICTURE = (54.0, 36.0)
_NAME, _WORDS, _STEP, _TITLE = 2.4, 1.75, 3.1, 3.6
_MOST_ROWS = 6
_MOST_NAMES = 3
_COLUMNS = 4
# Faces run from this shade, turned from the light, to white paper's.
_PALE = (0.70, 0.985)
# Printed letters are narrower than single strokes of the same height, by a quarter to a third.
_WIDER = 0.8
# A small print is not drawn larger than this many times its size.
_LARGEST = 3.0

_STYLES = DEFAULT_STYLES.overridden({"outline": PenStyle("#333333", 0.28), "thin": PenStyle("#333333", 0.13)})


@dataclass(frozen=True, slots=True)
class Cell:
    """A picture and the lines under it, the first `names` of them its name."""

    picture: SolidPicture
    lines: tuple[str, ...]
    names: int = 1


PDF, SVG = "prints.pdf", "gallery.svg"


def gallery_files(
    prints: Sequence[Print], printer: Printer, title: str, paper: str = "A4"
) -> dict[str, bytes]:
    """Both files of `gallery_pdf` and `gallery_svg` by name, each picture made once. Errors as there."""
    cells = gallery_cells(prints, printer)
    return {PDF: to_pdf(_pages(cells, title, paper), _STYLES, title), SVG: _svg(cells, title)}


def gallery_pdf(prints: Sequence[Print], printer: Printer, title: str, paper: str = "A4") -> bytes:
    """All prints on pages of a paper size ("A4", "A3", "Letter"), as many as fit a page.

    title: heading of every page. Minutes are those of one print alone on the bed of `printer`. Raises
    ValueError for no prints or an unknown paper.
    """
    return to_pdf(gallery_pages(prints, printer, title, paper), _STYLES, title)


def gallery_svg(prints: Sequence[Print], printer: Printer, title: str) -> bytes:
    """All prints in one picture as high as it needs to be. Raises ValueError for no prints."""
    return _svg(gallery_cells(prints, printer), title)


def gallery_pages(
    prints: Sequence[Print], printer: Printer, title: str, paper: str = "A4"
) -> tuple[Drawing, ...]:
    """The pages of `gallery_pdf` as drawings. Errors as there."""
    return _pages(gallery_cells(prints, printer), title, paper)


def _svg(cells: Sequence[Cell], title: str) -> bytes:
    columns = min(_COLUMNS, len(cells))
    rows = -(-len(cells) // columns)
    size = (2.0 * _MARGIN + max(2, columns) * _CELL[0], 2.0 * _MARGIN + _HEAD + rows * _CELL[1])
    return to_svg(_page(cells, title, size, columns), _STYLES)


def _pages(cells: Sequence[Cell], title: str, paper: str) -> tuple[Drawing, ...]:
    if paper not in PAPERS:
        raise ValueError(f"no paper called {paper!r}")
    width, height = PAPERS[paper]
    columns = int((width - 2.0 * _MARGIN) // _CELL[0])
    share = columns * int((height - 2.0 * _MARGIN - _HEAD) // _CELL[1])
    pages = [cells[k : k + share] for k in range(0, len(cells), share)]
    return tuple(
        _page(page, title if len(pages) == 1 else f"{title}, {k} of {len(pages)}", (width, height), columns)
        for k, page in enumerate(pages, start=1)
    )


def gallery_cells(prints: Sequence[Print], printer: Printer) -> tuple[Cell, ...]:
    """Picture and words of each print. Raises ValueError for none."""
    if not prints:
        raise ValueError("a gallery needs something printed")
    return tuple(Cell(_picture(one), *_lines(one, printer)) for one in prints)


def _picture(one: Print) -> SolidPicture:
    """As large as its place allows, up to three times its size."""
    mesh, view = one.mesh, view_of(one.body.size)
    width, height = paper_size(mesh, view)
    ratio = max(width / _PICTURE[0], height / _PICTURE[1], 1.0 / _LARGEST)
    return solid_picture(mesh, view, ratio, GRID)


def _lines(one: Print, printer: Printer) -> tuple[tuple[str, ...], int]:
    """The name, and what is to know about the print, no wider than the cell; how many lines the name has."""
    x, y, z = (f"{value:.1f}".removesuffix(".0") for value in one.body.size.tolist())
    minutes = minutes_for(one.filled, float(one.body.size[2]), printer)
    each = " each" if one.copies > 1 else ""
    rows = [
        f"{x} × {y} × {z} mm, {_copies(one.copies)}",
        f"{one.grams:.1f} g, {_time(minutes)}{each}, {one.settings.filament.name}",
        one.orientation,
        *([f"support: {one.support}"] if one.support else []),
    ]
    words = [line for row in rows for line in _wrapped(row, _WORDS)]
    names = _first(_wrapped(_title(one), _NAME), _MOST_NAMES)
    return (*names, *_first(words, _MOST_ROWS + 1 - len(names))), len(names)


def _title(one: Print) -> str:
    """Its title; of a plate's piece the number first, which must not be cut off."""
    pieces = one.figures.get("pieces", 1.0)
    if one.group != "templates" or pieces <= 1.0:
        return one.title
    numbered = f"piece {one.figures['piece']:.0f} of {pieces:.0f}"
    return f"{numbered}, {one.title.removesuffix(f', {numbered}')}"


def _first(lines: list[str], most: int) -> list[str]:
    """No more than so many lines; the last one shows that something is missing."""
    return lines if len(lines) <= most else [*lines[: most - 1], f"{lines[most - 1]} ..."]


def _copies(count: int) -> str:
    return "once" if count == 1 else "twice" if count == 2 else f"{count} times"


def _time(minutes: float) -> str:
    whole = max(1, round(minutes))
    return f"{whole} min" if whole < 60 else f"{whole // 60} h {whole % 60:02d} min"


def _wrapped(text: str, height: float) -> list[str]:
    """Lines of whole words that fit a cell; a word that is too long is cut short."""
    lines: list[str] = []
    for word in text.split():
        longer = f"{lines[-1]} {word}" if lines else word
        if lines and _width(longer, height) <= _PICTURE[0]:
            lines[-1] = longer
        else:
            lines.append(_cut(word, height))
    return lines or [""]


def _cut(word: str, height: float) -> str:
    kept = word
    while len(kept) > 4 and _width(kept, height) > _PICTURE[0]:
        kept = f"{kept.rstrip('.')[:-1]}..."
    return kept


def _width(text: str, height: float) -> float:
    return _WIDER * width_mm(text, height)


def _page(cells: Sequence[Cell], title: str, size: Point, columns: int) -> Drawing:
    width, height = size
    note = (
        "Pictures are not to one scale; width × depth × height as printed, minutes for one alone on the bed."
    )
    items: list[Item] = [
        Text("letter", "", (_MARGIN, height - _MARGIN - _TITLE), _TITLE, title),
        Text("letter", "", (_MARGIN, height - _MARGIN - _TITLE - 4.0), _WORDS, note),
    ]
    step = (width - 2.0 * _MARGIN) / columns
    for k, cell in enumerate(cells):
        row, column = divmod(k, columns)
        left = _MARGIN + column * step
        top = height - _MARGIN - _HEAD - row * _CELL[1]
        items += _cell_items(cell, left + 0.5 * (step - _PICTURE[0]), top)
    return Drawing(title, width, height, tuple(items))


def _cell_items(cell: Cell, left: float, top: float) -> list[Item]:
    """The picture in the middle of its place, the lines under it."""
    picture = cell.picture
    x = left + 0.5 * (_PICTURE[0] - picture.width)
    y = top - 0.5 * (_PICTURE[1] + picture.height)

    def at(ring: Sequence[Point]) -> tuple[Point, ...]:
        return tuple([(x + a, y + b) for a, b in ring])

    low, high = _PALE
    items: list[Item] = [
        Fill(tuple(at(ring) for ring in face.rings), round(low + (high - low) * face.shade, 4))
        for face in picture.fills
    ]
    items += [Path("thin", "", at(line)) for line in picture.lines]
    items += [Path("outline", "", at(line)) for line in picture.outlines]
    level = top - _PICTURE[1] - _STEP - 1.0
    for k, line in enumerate(cell.lines):
        named = k < cell.names
        items.append(Text("letter", "", (left, level), _NAME if named else _WORDS, line))
        level -= _STEP + 0.5 if named else _STEP
    return items
