"""Blanks on paper at true scale: cut out or pricked through on to the board. Lengths in mm.

Small blanks share pages; a large one lies on pages that overlap, with a map of how they join. Face A is drawn
as seen from above; where face B has lines of its own a second page shows that side as it looks when the board
is turned over.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from foldwright.base.types import FloatArray
from foldwright.design.workshop import Cutter, Workshop
from foldwright.evaluate import Evaluation
from foldwright.geometry.fold.model import Blank, Method
from foldwright.geometry.lettering import width_mm
from foldwright.layout.as_cut import contours
from foldwright.layout.from_airframe import Lying
from foldwright.layout.model import Part, Placement, SheetStock, turned
from foldwright.layout.place import place
from foldwright.make.blank_drawing import BlankDrawing, draw_blank
from foldwright.make.drawing import Drawing, Face, Item, Path, Pen, Text
from foldwright.make.formats.pdf import to_pdf
from foldwright.make.formats.pens import PenStyle
from foldwright.make.formats.tiles import PAPERS, tile
from foldwright.make.legend import legend, pen_styles
from foldwright.make.sheet_marks import SCALE_MM
from foldwright.make.sheet_part import Naming, PartItems, part_items

FILE = "templates/templates-sheet.pdf"
"""Path in the plan set."""

MARGIN_MM = 10.0
"""What printers cannot reach, and a little more."""

_HEAD, _FOOT = 12.0, 14.0
_APART = 6.0
_AROUND = 4.0
_TITLE, _WORDS = 4.5, 3.0
_STEP = 1.7
_WIDER = 1.15
_FAINT = PenStyle("#999999", 0.18)
_SIDES = {"a": "face A up", "b": "face B up, as it looks when turned over"}
_ADVICE = (
    "Print at 100 %, not fit to page, and measure the bar below: it is 100 mm.",
    "Lay a page on the board, fix it with tape, and prick through corners and ends of lines;",
    "or stick it on with glue that comes off, and cut through it.",
    "Join the pricks with a ruler. Cut away from your fingers, in several light strokes,",
    "with a fresh blade.",
    "Face B: turn the board over and lay the part's second page on the same outline.",
)


@dataclass(frozen=True, slots=True, eq=False)
class _Sheeted:
    """A blank on paper: its drawing without kerf, the face up, and where it lies on its page."""

    drawing: BlankDrawing
    lying: Lying
    page: tuple[float, float]
    spot: Placement

    def up(self, points: FloatArray) -> FloatArray:
        """Blank frame to the page that shows face A."""
        moved: FloatArray = turned(points, self.spot.turn_deg) + np.array([self.spot.x_mm, self.spot.y_mm])
        return moved

    def down(self, points: FloatArray) -> FloatArray:
        """Blank frame to the page that shows face B, turned over about its upper edge."""
        below: FloatArray = self.up(points) * np.array([1.0, -1.0]) + np.array([0.0, self.page[1]])
        return below

    def items(self, revision: str) -> PartItems:
        """Lines and words of both faces."""
        naming = Naming(revision, 1, 1, None)
        return part_items(self.lying, self.drawing, self.up, self.down, naming)


def paper_files(blanks: Sequence[Blank], evaluation: Evaluation) -> dict[str, bytes]:
    """The file of templates on paper by its path; nothing for no blanks. blanks: as cut."""
    if not blanks:
        return {}
    workshop = evaluation.workshop
    styles = pen_styles(workshop)
    if "thin" not in dict(styles.special):
        styles = styles.overridden({"thin": _FAINT})
    title = f"{evaluation.design.design.name} rev {evaluation.design.design.revision}, templates on paper"
    return {FILE: to_pdf(paper_pages(blanks, evaluation), styles, title)}


def paper_pages(blanks: Sequence[Blank], evaluation: Evaluation) -> list[Drawing]:
    """The pages: what the lines mean, the small blanks, then each large one with its map."""
    workshop, about = evaluation.workshop, evaluation.design.design
    paper = PAPERS[workshop.paper]
    cutter = workshop.cutter.model_copy(update={"kerf_mm": 0.0})
    few = [_small(blank, paper) for blank in blanks]
    small = [blank for blank, is_small in zip(blanks, few, strict=True) if is_small]
    large = [blank for blank, is_small in zip(blanks, few, strict=True) if not is_small]
    name = f"{about.name} rev {about.revision}"
    pages = _small_pages(small, paper, cutter, name, about.revision)
    for blank in large:
        pages += _large_pages(blank, workshop, cutter, name, about.revision)
    return [_first_page(blanks, workshop, name), *pages]


def _room(paper: tuple[float, float]) -> tuple[float, float]:
    """Width and height for parts on a page."""
    return paper[0] - 2.0 * MARGIN_MM, paper[1] - 2.0 * MARGIN_MM - _HEAD - _FOOT


def _small(blank: Blank, paper: tuple[float, float]) -> bool:
    """Whether a blank goes on one page, either way round."""
    size = np.ptp(contours(blank)[0], axis=0)
    width, height = _room(paper)
    return bool((size[0] <= width and size[1] <= height) or (size[1] <= width and size[0] <= height))


def _lying(blank: Blank) -> Lying:
    # the name goes on face A: work on face B is on a page of its own
    return Lying(blank, "a", 0, (1.0, 0.0))


def _small_pages(
    blanks: Sequence[Blank], paper: tuple[float, float], cutter: Cutter, name: str, revision: str
) -> list[Drawing]:
    """Several to a page, with a second page for face B where that has lines."""
    if not blanks:
        return []
    width, height = _room(paper)
    parts = [Part(one.name, contours(one)[0], ()) for one in blanks]
    found = place(parts, [SheetStock("page", width, height)], spacing_mm=_APART)
    by_name = {one.name: one for one in blanks}
    pages: list[Drawing] = []
    for sheet in found.sheets:
        laid = [
            _Sheeted(
                draw_blank(by_name[spot.part], cutter),
                _lying(by_name[spot.part]),
                paper,
                Placement(spot.part, 1, spot.x_mm + MARGIN_MM, spot.y_mm + MARGIN_MM + _FOOT, spot.turn_deg),
            )
            for spot in sheet.placements
        ]
        pages += _both_faces([one.items(revision) for one in laid], paper, name)
    return pages


def _both_faces(items: Sequence[PartItems], paper: tuple[float, float], name: str) -> list[Drawing]:
    """A page with face A of its parts, and one with face B of those that have lines there."""
    faces: list[tuple[Face, list[Item]]] = [("a", [item for one in items for item in one.up])]
    below = [item for one in items if one.down for item in (*one.shadow, *one.down)]
    if below:
        faces.append(("b", below))
    pages = []
    for face, drawn in faces:
        title = f"{name}, {_SIDES[face]}"
        pages.append(Drawing(title, *paper, (*drawn, *_furniture(title, paper))))
    return pages


def _large_pages(blank: Blank, workshop: Workshop, cutter: Cutter, name: str, revision: str) -> list[Drawing]:
    """A blank over several pages, each face with lines on pages of its own."""
    ring = contours(blank)[0]
    low, high = ring.min(axis=0), ring.max(axis=0)
    size = (float(high[0] - low[0]) + 2.0 * _AROUND, float(high[1] - low[1]) + 2.0 * _AROUND)
    spot = Placement(blank.name, 1, _AROUND - float(low[0]), _AROUND - float(low[1]), 0)
    found = _Sheeted(draw_blank(blank, cutter), _lying(blank), size, spot).items(revision)
    sides: list[tuple[Face, tuple[Item, ...]]] = [("a", found.up)]
    if found.down:
        sides.append(("b", (*found.shadow, *found.down)))
    return [
        page
        for face, items in sides
        for page in tile(Drawing(f"{name}, {blank.name}, {_SIDES[face]}", *size, items), workshop.paper)
    ]


def _furniture(title: str, paper: tuple[float, float]) -> list[Item]:
    """Title above, a bar of 100 mm below."""
    top = paper[1] - MARGIN_MM - _TITLE
    return [_line(title, (MARGIN_MM, top), _WORDS, paper), *_bar(paper)]


def _bar(paper: tuple[float, float]) -> list[Item]:
    """A line of 100 mm with ticks every 10 mm, as solid as can be, and what it is for."""
    x, y = MARGIN_MM, MARGIN_MM
    items: list[Item] = [Path("outline", "", ((x, y), (x + SCALE_MM, y)))]
    for k in range(11):
        at = x + 10.0 * k
        items.append(Path("dimension", "", ((at, y), (at, y + (3.0 if k % 5 == 0 else 1.5)))))
    return [*items, _line("100 mm: measure before cutting", (x + SCALE_MM + 4.0, y), _WORDS, paper)]


def _line(words: str, at: tuple[float, float], height: float, paper: tuple[float, float]) -> Text:
    """Words in letters low enough for the page's width."""
    return Text("letter", "", at, round(min(height, _height(words, height, at, paper)), 3), words)


def _height(words: str, height: float, at: tuple[float, float], paper: tuple[float, float]) -> float:
    """The height at which words fill what is left of the page's width."""
    return height * (paper[0] - MARGIN_MM - at[0]) / (_WIDER * width_mm(words, height))


def _first_page(blanks: Sequence[Blank], workshop: Workshop, name: str) -> Drawing:
    """Which blanks follow, what to do with the pages, what their lines mean."""
    paper = PAPERS[workshop.paper]
    pens: set[Pen] = {"cut"}
    methods: set[Method] = set()
    for blank in blanks:
        drawing = draw_blank(blank, workshop.cutter.model_copy(update={"kerf_mm": 0.0}))
        pens |= {line.pen for line in drawing.lines}
        methods |= {fold.method for fold in blank.folds}
    lines = [
        *_ADVICE,
        "",
        *legend(pens, methods, workshop),
        "",
        "On paper:",
        *(blank.name for blank in blanks),
    ]
    title = f"{name}, templates on paper"
    y = paper[1] - MARGIN_MM - _TITLE
    items: list[Item] = [_line(title, (MARGIN_MM, y), _TITLE, paper), *_bar(paper)]
    y -= 2.5 * _TITLE
    step = min(_STEP * _WORDS, (y - MARGIN_MM - _FOOT) / max(len(lines), 1))
    start = (MARGIN_MM, y)
    high = min(_WORDS, step / 1.4, *(_height(one, _WORDS, start, paper) for one in _ADVICE))
    for number, words in enumerate(lines):
        if words:
            items.append(_line(words, (MARGIN_MM, y - step * number), high, paper))
    return Drawing(title, *paper, tuple(items))
