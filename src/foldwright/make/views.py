"""Views of the folded aeroplane: three-quarter, top, side and section, as drawings.

Controls stand at neutral. A view is a picture at a stated scale, not a sheet to measure on; figures stand
beside the lines.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Literal

import numpy as np

from foldwright.airframe.model import Airframe, MassItem
from foldwright.base.types import FloatArray
from foldwright.geometry.cut_view import section
from foldwright.geometry.facets import Solid, box
from foldwright.geometry.hidden import Picture
from foldwright.geometry.views import View, side, three_quarter, top
from foldwright.make.dimension import across, balance_sign, text_width, upright
from foldwright.make.drawing import Drawing, Fill, Item, Path, Point, Text
from foldwright.make.formats.pdf import to_pdf
from foldwright.make.formats.svg import to_svg
from foldwright.make.view_drawing import (
    Bounds,
    Plot,
    cut_bounds,
    joined_bounds,
    picture_items,
    points_bounds,
    ratio_for,
    section_items,
    see,
    wire_items,
)
from foldwright.make.view_solids import (
    bar_solids,
    board_solids,
    is_outside,
    outside_solids,
    propeller_discs,
)

ViewName = Literal["three-quarter", "top", "side", "section"]
NAMES: tuple[ViewName, ...] = ("three-quarter", "top", "side", "section")

Paper = Literal["A4", "Letter"]
PAPERS: dict[Paper, tuple[float, float]] = {"A4": (210.0, 297.0), "Letter": (215.9, 279.4)}
"""Sheets that a page of views or a card is made for: ISO 216, ANSI/ASME Y14.1."""

MARGIN_MM = 5.0
_PAGE_EDGE = 11.0
_ROWS: tuple[tuple[float, tuple[ViewName, ...]], ...] = (
    (0.36, ("three-quarter",)), (0.35, ("top",)), (0.29, ("side", "section")),
)  # fmt: skip
_NO_ROOM = (0.0, 0.0, 0.0, 0.0)
# left, right, below, above the picture for dimension lines
_ROOMS = {"top": (12.0, 2.0, 7.0, 0.0), "side": (0.0, 4.0, 14.0, 7.0)}
_LETTER = 2.6
_ROW = 4.5
_STRAIGHT = 1e-6
_BESIDE = 0.5


@dataclass(frozen=True, slots=True, eq=False)
class Gear:
    """One piece of equipment as a view shows it: an upright box. centre, size (3,): mm."""

    id: str
    centre: FloatArray
    size: FloatArray

    @property
    def low(self) -> FloatArray:
        """Corner of least coordinates."""
        return np.asarray(self.centre - 0.5 * self.size)

    @property
    def high(self) -> FloatArray:
        """Corner of greatest coordinates."""
        return np.asarray(self.centre + 0.5 * self.size)


@dataclass(frozen=True, slots=True, eq=False)
class Shown:
    """What a view shows besides the board.

    gear: equipment, in sections and drawn through the side in side views. balance: (3,) mm, or None.
    lettered: title and scale under the picture. dimensioned: span, chord, length and balance point in mm.
    """

    gear: tuple[Gear, ...] = ()
    balance: FloatArray | None = None
    dimensioned: bool = False
    lettered: bool = True


PLAIN = Shown()


def gear_of(items: Sequence[MassItem]) -> tuple[Gear, ...]:
    """Equipment that has a size, as boxes; not the propeller, drawn as its disc, nor what is printed, which
    has pictures of its own.
    """
    return tuple(
        Gear(item.id, item.moments[:3, 3] / item.moments[3, 3], np.array(item.size))
        for item in items
        if item.group == "equipment"
        and all(length > 0.0 for length in item.size)
        and item.moments[3, 3] > 0.0
        and item.id.partition("/")[0] != "propeller"
    )


def view(
    airframe: Airframe,
    name: ViewName,
    width_mm: float = 160.0,
    shown: Shown = PLAIN,
    height_mm: float = 220.0,
) -> Drawing:
    """A named view with its own defaults; see the functions of the same names."""
    if name == "section":
        return section_view(airframe, 0.0, width_mm, shown, height_mm)
    camera = {"three-quarter": three_quarter(), "top": top(), "side": side()}[name]
    return outside_view(airframe, camera, name, width_mm, shown, height_mm)


def picture_svg(airframe: Airframe, name: ViewName, width_mm: float = 160.0, shown: Shown = PLAIN) -> bytes:
    """A named view as SVG."""
    return to_svg(view(airframe, name, width_mm, shown))


def views_pdf(airframe: Airframe, title: str, shown: Shown = PLAIN, paper: Paper = "A4") -> bytes:
    """All views on one page, top and side ones dimensioned."""
    width, height = page_size(paper)
    items: list[Item] = [Text("letter", "", (_PAGE_EDGE, height - _PAGE_EDGE - 4.0), 4.0, title)]
    room, top_edge = height - 2.0 * _PAGE_EDGE - 8.0, height - _PAGE_EDGE - 8.0
    for share, names in _ROWS:
        column = (width - 2.0 * _PAGE_EDGE) / len(names)
        for k, name in enumerate(names):
            measured = replace(shown, dimensioned=name in _ROOMS)
            drawing = view(airframe, name, column, measured, share * room)
            right = _PAGE_EDGE + (k + 0.5) * column - 0.5 * drawing.width_mm
            up = top_edge - 0.5 * (share * room + drawing.height_mm)
            items += [moved(item, right, up) for item in drawing.items]
        top_edge -= share * room
    return to_pdf([Drawing(f"{title}, views", width, height, tuple(items))])


def page_size(paper: Paper) -> tuple[float, float]:
    """Width and height of a sheet of paper, upright, mm."""
    return PAPERS[paper]


def outside_view(
    airframe: Airframe,
    camera: View,
    name: str,
    width_mm: float,
    shown: Shown = PLAIN,
    height_mm: float = 220.0,
) -> Drawing:
    """The aeroplane from outside, hidden lines removed, no wider and no higher than wanted on paper.

    name: "top" and "side" can be dimensioned and carry the balance sign at its true place; other names are
    titles only.
    """
    solids, seen = _seen(airframe, camera)
    discs = propeller_discs(airframe.thrust)
    bounds = joined_bounds([seen.bounds, *_more_bounds(airframe, name, shown, camera, discs)])
    rooms = _ROOMS.get(name, _NO_ROOM) if shown.dimensioned else _NO_ROOM
    plot, page = _frame(bounds, width_mm, height_mm, shown, rooms)
    items = picture_items(seen, plot)
    for disc in discs:
        items += wire_items(disc, solids, camera, plot)
    if name == "side":
        items += _through(shown.gear, camera, plot)
    if shown.dimensioned and name in _ROOMS:
        items += _dimensions(airframe, name, shown, bounds, plot)
    items += _balance(shown, camera, plot)
    return _drawing(items, f"{name} view", page, plot, shown)


@lru_cache(maxsize=8)
def _seen(airframe: Airframe, camera: View) -> tuple[tuple[Solid, ...], Picture]:
    """What stands outside, and how it looks; the last ones are remembered, since a page and a picture show
    the same.
    """
    solids = outside_solids(airframe)
    return solids, see(solids, camera)


def section_view(
    airframe: Airframe, y: float, width_mm: float, shown: Shown = PLAIN, height_mm: float = 220.0
) -> Drawing:
    """The board and the equipment cut at a distance y from the centre line, seen from the left.

    Raises ValueError where nothing stands there.
    """
    bought = tuple(solid for solid in outside_solids(airframe) if solid.tone != "equipment")
    solids = bought + tuple(
        box(gear.id, gear.low.tolist(), gear.high.tolist(), tone="equipment") for gear in shown.gear
    )
    # panels that meet at the centre line have no section in that very plane
    cuts = section(solids, side(), (0.0, y or -_BESIDE, 0.0))
    bounds = cut_bounds(cuts)
    named = [gear for gear in shown.gear if gear.low[1] < y < gear.high[1]]
    ratio, right = _label_room(named, bounds, width_mm - 2.0 * MARGIN_MM)
    rows = _label_rows(named, ratio)
    rooms = (0.0, right, _ROW * (max(rows.values(), default=-1) + 1), 0.0)
    plot, page = _frame(bounds, width_mm, height_mm, shown, rooms)
    items = section_items(cuts, plot)
    items += _labels(named, rows, bounds, plot)
    items += _balance(shown, side(), plot)
    hand = "right" if y > 0.0 else "left"
    where = "the centre line" if y == 0.0 else f"{abs(y):g} mm {hand} of the centre line"
    return _drawing(items, f"section at {where}", page, plot, shown)


def _more_bounds(
    airframe: Airframe, name: str, shown: Shown, camera: View, discs: Sequence[FloatArray]
) -> list[Bounds]:
    """Bounds on paper of what is drawn besides the solids: discs, equipment, ends of dimensions."""
    rows = [np.empty((0, 3)), *discs]
    if name == "side":
        rows += [np.array([gear.low, gear.high]) for gear in shown.gear]
        if shown.dimensioned:
            z = float(airframe.wing.le[0, 2])
            rows.append(np.array([(x, 0.0, z) for x in _length_ends(airframe)]))
    points = camera.project(np.concatenate(rows))[:, :2].tolist()
    return [points_bounds([(x, y) for x, y in points])] if points else []


def _length_ends(airframe: Airframe) -> tuple[float, float]:
    """Foremost and aftmost x of the board and of what is bought, without motor and propeller."""
    solids = (*board_solids(airframe), *bar_solids(airframe))
    x = np.concatenate([solid.points[:, 0] for solid in solids])
    return float(x.min()), float(x.max())


def _frame(
    bounds: Bounds,
    width_mm: float,
    height_mm: float,
    shown: Shown,
    rooms: tuple[float, float, float, float],
) -> tuple[Plot, tuple[float, float]]:
    """Plot and page size: the picture with room (left, right, below, above) for letters and dimensions."""
    left, right, low, high = (MARGIN_MM + room for room in rooms)
    low += 6.0 if shown.lettered else 0.0
    ratio = ratio_for(bounds, width_mm - left - right, height_mm - low - high)
    plot = Plot(ratio, (left - bounds[0] / ratio, low - bounds[1] / ratio))
    size = ((bounds[2] - bounds[0]) / ratio + left + right, (bounds[3] - bounds[1]) / ratio + low + high)
    return plot, size


def _drawing(items: list[Item], title: str, page: tuple[float, float], plot: Plot, shown: Shown) -> Drawing:
    if shown.lettered:
        words = f"{title[:1].upper()}{title[1:]}, {plot.says}"
        items = [*items, Text("letter", "", (MARGIN_MM, MARGIN_MM), _LETTER, words)]
        page = (max(page[0], text_width(words, _LETTER) + 2.0 * MARGIN_MM), page[1])
    return Drawing(title, round(page[0], 3), round(page[1], 3), tuple(items))


def _through(gear: Sequence[Gear], camera: View, plot: Plot) -> list[Item]:
    """Equipment inside the body, drawn through its side."""
    items: list[Item] = []
    for one in gear:
        if is_outside(one.id):
            continue
        corners = camera.project(np.array([one.low, one.high]))[:, :2].tolist()
        (x0, y0), (x1, y1) = corners
        items.append(Path("thin", "", plot.ring(((x0, y0), (x1, y0), (x1, y1), (x0, y1))), closed=True))
    return items


def _balance(shown: Shown, camera: View, plot: Plot) -> list[Item]:
    if shown.balance is None:
        return []
    x, y, _ = camera.project(np.asarray(shown.balance)).tolist()
    return balance_sign(plot.at(x, y), 2.2)


def _dimensions(airframe: Airframe, name: str, shown: Shown, bounds: Bounds, plot: Plot) -> list[Item]:
    wing = airframe.wing
    x0, chord = float(wing.le[0, 0]), float(wing.chord[0])
    bottom, highest = plot.at(0.0, bounds[1])[1], plot.at(0.0, bounds[3])[1]
    if name == "side":
        first, last = _length_ends(airframe)
        z = float(wing.le[0, 2])
        level = bottom - 5.0
        items = across(plot.at(first, z), plot.at(x0, z), level, f"{x0 - first:.1f}") if x0 > first else []
        items += across(plot.at(x0, z), plot.at(x0 + chord, z), level, f"{chord:.1f}")
        items += across(plot.at(first, z), plot.at(last, z), level - 6.0, f"{last - first:.1f}")
        if shown.balance is not None:
            x, _, z_cg = shown.balance.tolist()
            top_line = highest + 4.0
            items += across(plot.at(x0, z), plot.at(x, z_cg), top_line, f"{abs(x - x0):.1f}")
        return items
    return _top_dimensions(airframe, shown, bottom, plot)


def _top_dimensions(airframe: Airframe, shown: Shown, bottom: float, plot: Plot) -> list[Item]:
    """Span, tip chord and balance point behind the root's leading edge. Paper x is y, paper y is -x."""
    wing = airframe.wing
    x0, half = float(wing.le[0, 0]), float(np.abs(wing.le[:, 1]).max())
    tip = float(wing.le[int(np.argmax(np.abs(wing.le[:, 1]))), 0])
    items = across(plot.at(-half, -tip), plot.at(half, -tip), bottom - 5.0, f"{2.0 * half:.1f}")
    left = plot.at(-half, 0.0)[0]
    trailing = plot.at(-half, -tip - float(wing.chord[-1]))
    items += upright(plot.at(-half, -tip), trailing, left - 10.0, f"{wing.chord[-1]:.1f}")
    if shown.balance is not None:
        x = float(shown.balance[0])
        root = -half if abs(tip - x0) < _STRAIGHT else 0.0
        items += upright(plot.at(root, -x0), plot.at(0.0, -x), left - 4.0, f"{abs(x - x0):.1f}")
    return items


def _label_room(gear: Sequence[Gear], bounds: Bounds, width_mm: float) -> tuple[float, float]:
    """Scale of a section within a width, and the room that its labels need to the right of it, mm."""
    right = 0.0
    while True:
        ratio = ratio_for(bounds, max(width_mm - right, 1.0))
        ends = [
            text_width(one.id, _LETTER) + 1.0 - (bounds[2] - float(one.centre[0])) / ratio for one in gear
        ]
        needed = max([0.0, *ends])
        if needed <= right + 1e-9:
            return ratio, right
        right = needed


def _label_rows(gear: Sequence[Gear], ratio: float) -> dict[str, int]:
    """Row of each label under a section so that no two stand over each other."""
    taken: list[float] = []
    rows: dict[str, int] = {}
    # from right to left, so that no leader runs through a label of a row above its own
    for one in sorted(gear, key=lambda each: (-float(each.centre[0]), each.id)):
        start = float(one.centre[0]) / ratio
        end = start + text_width(one.id, _LETTER) + 2.0
        row = next((k for k, before in enumerate(taken) if end < before), len(taken))
        taken[row : row + 1] = [start]
        rows[one.id] = row
    return rows


def _labels(gear: Sequence[Gear], rows: dict[str, int], bounds: Bounds, plot: Plot) -> list[Item]:
    items: list[Item] = []
    for one in gear:
        x, y = plot.at(float(one.centre[0]), float(one.low[2]))
        level = plot.at(0.0, bounds[1])[1] - _ROW * (rows[one.id] + 1)
        items.append(Path("dimension", "", ((x, y), (x, level - 0.2))))
        items.append(Text("letter", "", (x + 0.8, level), _LETTER, one.id))
    return items


def moved(item: Item, right: float, up: float) -> Item:
    """An item shifted on paper, mm."""

    def shifted(points: Sequence[Point]) -> tuple[Point, ...]:
        return tuple((x + right, y + up) for x, y in points)

    if isinstance(item, Fill):
        return replace(item, rings=tuple(shifted(ring) for ring in item.rings))
    if isinstance(item, Path):
        return replace(item, points=shifted(item.points))
    return replace(item, at=(item.at[0] + right, item.at[1] + up))


__all__ = [
    "NAMES", "PLAIN", "Gear", "Shown", "ViewName", "gear_of", "moved",
    "outside_view", "picture_svg", "section_view", "view", "views_pdf",
]  # fmt: skip
