"""A layout drawn: one drawing for each sheet, and a second where the sheet has to be turned over.

The side underneath is done first, with three small holes cut through; the sheet is then turned over about its
upper long edge, the holes show how it lies, and the last thing cut is the outline. Lengths in mm.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from math import hypot

import numpy as np

from foldwright.base.finding import Finding, Param
from foldwright.base.types import FloatArray
from foldwright.design.workshop import Workshop
from foldwright.geometry.fold.model import Method
from foldwright.layout.from_airframe import Laid, Lying, sheet_points
from foldwright.layout.model import Placement, SheetLayout
from foldwright.make.blank_drawing import BlankDrawing, draw_blank
from foldwright.make.drawing import Drawing, Item, Path, Pen
from foldwright.make.fold_table import left_to_a_knife
from foldwright.make.formats.dxf import refused_lines
from foldwright.make.legend import legend
from foldwright.make.sheet_marks import Ask, Titles, furnish
from foldwright.make.sheet_part import Naming, PartItems, grain_in_view, part_items, points_of


@dataclass(frozen=True, slots=True)
class Piece:
    """A rectangle of a sheet that the cutter takes at once: the whole sheet, or a bed's worth of it.

    board: number of the sheet, from 1. x0, y0: its lower left corner on the sheet.
    """

    board: int
    stock: str
    x0: float
    y0: float
    width: float
    height: float
    whole: bool
    placements: tuple[Placement, ...]


@dataclass(frozen=True, slots=True)
class Sheet:
    """One sheet (or bed's worth), drawn.

    name: of its files, "sheet-1". up: the side above, with all cuts. down: the side underneath as it looks
    when turned over, None where nothing is to be done there. shadow: outlines and names of the parts, for the
    side underneath on paper.
    """

    name: str
    piece: Piece
    up: Drawing
    down: Drawing | None
    shadow: tuple[Item, ...] = ()

    @property
    def drawings(self) -> tuple[tuple[str, Drawing], ...]:
        """File name (without ending) and drawing of each side, in the order they are cut."""
        return (((f"{self.name}-b", self.down),) if self.down else ()) + ((self.name, self.up),)

    def on_paper(self, drawing: Drawing) -> Drawing:
        """One of the drawings as it is printed: the side underneath with the parts' outlines, faintly."""
        if drawing is not self.down:
            return drawing
        return replace(drawing, items=(*self.shadow, *drawing.items))


@dataclass(frozen=True, slots=True)
class Sheets:
    """All sheets, and what cannot be made as drawn."""

    sheets: tuple[Sheet, ...]
    findings: tuple[Finding, ...]


def draw_sheets(laid: Laid, workshop: Workshop, titles: Titles) -> Sheets:
    """Draw a layout for a workshop."""
    drawings = {item.blank.name: draw_blank(item.blank, workshop.cutter) for item in laid.lying}
    pieces = [p for number, sheet in enumerate(laid.layout.sheets, 1) for p in _pieces(number, sheet, laid)]
    findings = [*laid.findings, *_cutter_findings(laid, drawings, workshop)]
    sheets: list[Sheet] = []
    for number, piece in enumerate(pieces, 1):
        sheet, lost = _draw(number, len(pieces), piece, laid, drawings, workshop, titles)
        sheets.append(sheet)
        findings += [*lost, *_twice(sheet, drawings)]
    return Sheets(tuple(sheets), tuple(findings))


def _twice(sheet: Sheet, drawings: Mapping[str, BlankDrawing]) -> list[Finding]:
    """S10: blanks of a sheet with lines that would be cut or pressed twice; the sheet itself where no blank
    has them alone.
    """
    count = sum(len(refused_lines(drawing)) for _, drawing in sheet.drawings)
    if not count:
        return []
    found: list[Finding] = []
    for name in sorted({spot.part for spot in sheet.piece.placements}):
        lines = refused_lines(_alone(drawings[name]))
        if lines:
            found.append(Finding("S10", "no-go", name, {"count": len(lines)}))
    return found or [Finding("S10", "no-go", sheet.name, {"count": count})]


def _alone(drawing: BlankDrawing) -> Drawing:
    """A blank's lines in its own frame; the size does not matter."""
    items = tuple(Path(line.pen, line.face, points_of(line.points), line.closed) for line in drawing.lines)
    return Drawing(drawing.name, 1.0, 1.0, items)


def _pieces(board: int, sheet: SheetLayout, laid: Laid) -> list[Piece]:
    """The bed-sized rectangles of a sheet that hold parts; a cut between two runs midway between their
    areas.
    """
    xs = _bounds({(area.x0_mm, area.x1_mm) for area in sheet.areas}, sheet.width_mm)
    ys = _bounds({(area.y0_mm, area.y1_mm) for area in sheet.areas}, sheet.height_mm)
    whole = len(xs) == len(ys) == 1
    middles = [(spot, _middle(laid.of(spot.part), spot)) for spot in sheet.placements]
    found: list[Piece] = []
    for y0, y1 in ys:
        for x0, x1 in xs:
            inside = tuple(spot for spot, (x, y) in middles if x0 <= x < x1 and y0 <= y < y1)
            if inside:
                found.append(Piece(board, sheet.stock, x0, y0, x1 - x0, y1 - y0, whole, inside))
    return found


def _bounds(intervals: set[tuple[float, float]], length: float) -> list[tuple[float, float]]:
    """Whole stretches around usable intervals: from 0 to the length, cut midway between neighbours."""
    runs = sorted(intervals)
    cuts = [0.0, *((before[1] + after[0]) / 2.0 for before, after in pairwise(runs)), length]
    return list(pairwise(cuts))


def _middle(lying: Lying, spot: Placement) -> tuple[float, float]:
    points = sheet_points(lying, spot, np.concatenate([panel.polygon for panel in lying.blank.panels]))
    x, y = ((points.min(axis=0) + points.max(axis=0)) / 2.0).tolist()
    return float(x), float(y)


def _draw(
    number: int, count: int, piece: Piece, laid: Laid, drawings: Mapping[str, BlankDrawing],
    workshop: Workshop, titles: Titles,
) -> tuple[Sheet, list[Finding]]:  # fmt: skip
    """Sheet `number` of `count`, both sides, and what could not be drawn on it."""
    name = f"sheet-{number}"
    parts = [_part(laid, spot, piece, drawings[spot.part], workshop, titles) for spot in piece.placements]
    both = any(part.down for part in parts)
    asked = Ask(
        name,
        number,
        count,
        piece.width,
        piece.height,
        piece.board,
        piece.x0,
        piece.y0,
        piece.whole,
        both,
        _meanings([item for part in parts for item in part.up], laid, piece, workshop, below=False),
        _meanings([item for part in parts for item in part.down], laid, piece, workshop, below=True),
    )
    extra = furnish(asked, [part.ground for part in parts], workshop, titles, _better_side(laid, workshop))
    up = _drawing(name, piece, titles, [*extra.up, *(item for part in parts for item in part.up)])
    down = _drawing(
        f"{name}-b", piece, titles, [*extra.down, *(item for part in parts for item in part.down)]
    )
    shadow = tuple(item for part in parts for item in part.shadow) if both else ()
    return Sheet(name, piece, up, down if both else None, shadow), list(extra.findings)


def _meanings(
    items: Sequence[Item], laid: Laid, piece: Piece, workshop: Workshop, *, below: bool
) -> tuple[str, ...]:
    """The legend of one side: its pens, the fold methods that are opened on it."""
    pens: set[Pen] = {item.pen for item in items if isinstance(item, Path)}
    methods: set[Method] = set()
    for lying in {spot.part: laid.of(spot.part) for spot in piece.placements}.values():
        face = lying.down if below else lying.up
        methods |= {fold.method for fold in lying.blank.folds if fold.opened == face}
    lines = legend(pens | {"cut"}, methods, workshop)
    return (*lines, "thin outlines, on paper only: the parts as they lie") if below else tuple(lines)


def _drawing(name: str, piece: Piece, titles: Titles, items: Sequence[Item]) -> Drawing:
    title = f"{titles.design} rev {titles.revision}, {name}, {titles.workshop}"
    return Drawing(title, piece.width, piece.height, tuple(items))


def _part(
    laid: Laid, spot: Placement, piece: Piece, drawing: BlankDrawing, workshop: Workshop, titles: Titles
) -> PartItems:
    lying = laid.of(spot.part)
    origin = np.array([piece.x0, piece.y0])

    def to_up(points: FloatArray) -> FloatArray:
        moved: FloatArray = sheet_points(lying, spot, points) - origin
        return moved

    def to_down(points: FloatArray) -> FloatArray:
        return turned_over(to_up(points), piece.height)

    copies = laid.kits * lying.blank.copies
    naming = Naming(titles.revision, spot.copy, copies, grain_in_view(workshop.board.grain))
    return part_items(lying, drawing, to_up, to_down, naming)


def turned_over(points: FloatArray, height: float) -> FloatArray:
    """Points (n, 2) of a sheet as they lie once it is turned over about its upper long edge, and back."""
    below: FloatArray = points * np.array([1.0, -1.0]) + np.array([0.0, height])
    return below


def _better_side(laid: Laid, workshop: Workshop) -> bool | None:
    """True where the board's better side lies up, None where both are alike."""
    if workshop.board.show_face == "both" or not laid.lying:
        return None
    return laid.lying[0].up == workshop.board.show_face


def _cutter_findings(laid: Laid, drawings: Mapping[str, BlankDrawing], workshop: Workshop) -> list[Finding]:
    """Fold lines this cutter cannot make, gaps narrower than its kerf, marks it cannot draw."""
    found: list[Finding] = []
    for item in laid.lying:
        names = sorted({f.name for f in item.blank.folds if left_to_a_knife(f.method, workshop.cutter)})
        if names:
            params: dict[str, Param] = {"folds": ", ".join(names), "count": len(names)}
            found.append(Finding("S04", "watch", item.blank.name, params))
        for place in drawings[item.blank.name].narrow:
            kerf = workshop.cutter.kerf_mm
            params = {"u": round(float(place[0]), 1), "v": round(float(place[1]), 1), "kerf": kerf}
            found.append(Finding("S06", "watch", item.blank.name, params, None, kerf, "mm"))
    if not workshop.cutter.engraves and laid.lying:
        found.append(Finding("S08", "clear", "cutter.engraves", {"paper": workshop.paper}))
    return found


def lengths(sheet: Sheet) -> dict[str, float]:
    """Length of line by pen over both sides of a sheet, registration holes included, mm."""
    total: dict[str, float] = {}
    for _, drawing in sheet.drawings:
        for item in drawing.items:
            if isinstance(item, Path):
                points = [*item.points, item.points[0]] if item.closed else list(item.points)
                length = sum(hypot(b[0] - a[0], b[1] - a[1]) for a, b in pairwise(points))
                total[item.pen] = total.get(item.pen, 0.0) + length
    return total
