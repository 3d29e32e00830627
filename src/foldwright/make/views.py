"""Views of the folded aeroplane: three-quarter, top, side and section, as drawings.

Controls stand at neutral. A view is a picture at a stated scale, not a sheet to measure on; figures stand
beside the lines.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from math import cos, pi, sin
from typing import Literal

import numpy as np

from foldwright.airframe.model import Airframe, MassItem, Placed, Thrust
from foldwright.base.types import FloatArray
from foldwright.geometry.cut_view import section
from foldwright.geometry.facets import Solid, box, prismatoid
from foldwright.geometry.fold.model import Blank, Panel
from foldwright.geometry.fold.rings import solid_rings
from foldwright.geometry.hidden import Picture
from foldwright.geometry.transform import frame
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
_DISC_SIDES = 72
_MOTOR_SIDES = 24
_OUTSIDE = ("motor",)
_NOT_BODIES = ("propeller",)


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


@lru_cache(maxsize=2)
def board_solids(airframe: Airframe) -> tuple[Solid, ...]:
    """Every panel of every blank, folded, controls neutral; the last ones are remembered (by identity)."""
    return tuple(_panel(one, panel) for one in airframe.placed for panel in one.blank.panels)


def outside_solids(airframe: Airframe) -> tuple[Solid, ...]:
    """Board, and what stands outside it: the motor along its thrust line."""
    motors = [item for item in airframe.masses if item.id in _OUTSIDE and item.size[0] > 0.0]
    return (*board_solids(airframe), *(_motor(item, airframe.thrust) for item in motors))


def gear_of(items: Sequence[MassItem]) -> tuple[Gear, ...]:
    """Equipment and fittings that have a size, as boxes; not the propeller, which is drawn as its disc."""
    return tuple(
        Gear(item.id, item.moments[:3, 3] / item.moments[3, 3], np.array(item.size))
        for item in items
        if item.group in {"equipment", "fitting"}
        and all(length > 0.0 for length in item.size)
        and item.moments[3, 3] > 0.0
        and item.id not in _NOT_BODIES
    )


def propeller_disc(thrust: Thrust) -> FloatArray:
    """Rim (n, 3) of the propeller disc, mm; no rows where the airframe has no propeller."""
    if thrust.disc_diameter_mm <= 0.0:
        return np.empty((0, 3))
    matrix = _thrust_frame(thrust)
    turn = np.arange(_DISC_SIDES) * 2.0 * pi / _DISC_SIDES
    radius = 0.5 * thrust.disc_diameter_mm
    rim = radius * (np.outer(np.cos(turn), matrix[:3, 0]) + np.outer(np.sin(turn), matrix[:3, 1]))
    return np.asarray(rim + matrix[:3, 3])


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
    disc = propeller_disc(airframe.thrust)
    bounds = joined_bounds([seen.bounds, *_more_bounds(airframe, name, shown, camera, disc)])
    rooms = _ROOMS.get(name, _NO_ROOM) if shown.dimensioned else _NO_ROOM
    plot, page = _frame(bounds, width_mm, height_mm, shown, rooms)
    items = picture_items(seen, plot)
    if len(disc):
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
    solids = board_solids(airframe) + tuple(
        box(gear.id, gear.low.tolist(), gear.high.tolist(), tone="equipment") for gear in shown.gear
    )
    cuts = section(solids, side(), (0.0, y, 0.0))
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


def _more_bounds(airframe: Airframe, name: str, shown: Shown, camera: View, disc: FloatArray) -> list[Bounds]:
    """Bounds on paper of what is drawn besides the solids: disc, equipment, ends of dimensions."""
    rows = [disc]
    if name == "side":
        rows += [np.array([gear.low, gear.high]) for gear in shown.gear]
        if shown.dimensioned:
            z = float(airframe.wing.le[0, 2])
            rows.append(np.array([(x, 0.0, z) for x in _length_ends(airframe)]))
    points = camera.project(np.concatenate(rows))[:, :2].tolist()
    return [points_bounds([(x, y) for x, y in points])] if points else []


def _length_ends(airframe: Airframe) -> tuple[float, float]:
    """Foremost and aftmost x of the bodies and the wing."""
    wing = airframe.wing
    first = [float(body.x[0]) for body in airframe.bodies] + [float(wing.le[:, 0].min())]
    last = [float(body.x[-1]) for body in airframe.bodies] + [float((wing.le[:, 0] + wing.chord).max())]
    return min(first), max(last)


def _panel(one: Placed, panel: Panel) -> Solid:
    ring_b, ring_a = solid_rings(panel)
    return prismatoid(
        f"{one.blank.name}/{panel.name}",
        ring_a,
        ring_b,
        one.transforms[panel.name],
        one.blank.thickness,
        holes=panel.holes,
        fold_edges=_fold_edges(one.blank, panel, ring_a, ring_b),
    )


def _fold_edges(blank: Blank, panel: Panel, ring_a: FloatArray, ring_b: FloatArray) -> list[int]:
    """Edges of a panel's rings that lie on a fold's line, on the face that is its hinge."""
    found = []
    for fold in blank.folds:
        if panel.name not in {fold.parent, fold.child}:
            continue
        ring = ring_a if fold.hinge == "a" else ring_b
        run = (fold.q - fold.p) / fold.length
        gap = ring - fold.p
        off = np.abs(run[0] * gap[:, 1] - run[1] * gap[:, 0])
        on_line = off <= 0.5 * abs(fold.gain) + 1e-6
        middle = 0.5 * (gap + np.roll(gap, -1, axis=0)) @ run
        within = (middle > 0.0) & (middle < fold.length)
        found += np.flatnonzero(on_line & np.roll(on_line, -1) & within).tolist()
    return sorted(set(found))


def _thrust_frame(thrust: Thrust) -> FloatArray:
    """Frame at the propeller plane whose z axis is the thrust vector."""
    vector = np.array([-cos(thrust.tilt), 0.0, sin(thrust.tilt)])
    return frame(np.array([thrust.x, thrust.y, thrust.z]), np.array([0.0, 1.0, 0.0]), vector)


def _motor(item: MassItem, thrust: Thrust) -> Solid:
    """A cylinder along the thrust line: length size[0], diameter size[1]."""
    length, diameter, _ = item.size
    turn = np.arange(_MOTOR_SIDES) * 2.0 * pi / _MOTOR_SIDES
    ring = 0.5 * diameter * np.column_stack([np.cos(turn), np.sin(turn)])
    matrix = _thrust_frame(thrust)
    # behind the propeller plane of a tractor, ahead of a pusher's: as the masses have it
    centre = item.moments[:3, 3] / item.moments[3, 3]
    ahead = float((centre - matrix[:3, 3]) @ matrix[:3, 2])
    matrix[:3, 3] += (ahead - 0.5 * length) * matrix[:3, 2]
    return prismatoid(item.id, ring, ring, matrix, length, tone="equipment")


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
        if one.id in _OUTSIDE:
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
    half = float(np.abs(wing.le[:, 1]).max())
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
            items += across(plot.at(x0, z), plot.at(x, z_cg), top_line, f"{x - x0:.1f}")
        return items
    # top: paper x = y, paper y = -x
    tip = float(wing.le[int(np.argmax(np.abs(wing.le[:, 1]))), 0])
    items = across(plot.at(-half, -tip), plot.at(half, -tip), bottom - 5.0, f"{2.0 * half:.1f}")
    left = plot.at(-half, 0.0)[0]
    trailing = plot.at(-half, -tip - float(wing.chord[-1]))
    items += upright(plot.at(-half, -tip), trailing, left - 10.0, f"{wing.chord[-1]:.1f}")
    if shown.balance is not None:
        x = float(shown.balance[0])
        items += upright(plot.at(-half, -x0), plot.at(0.0, -x), left - 4.0, f"{x - x0:.1f}")
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
    "NAMES", "PLAIN", "Gear", "Shown", "ViewName", "board_solids", "gear_of", "moved", "outside_solids",
    "outside_view", "picture_svg", "propeller_disc", "section_view", "view", "views_pdf",
]  # fmt: skip
