"""Deterministic layout of parts on sheets: large parts first, each as low and as far left as it will go.

A grid of cells tells where a part is free to lie (it never errs towards overlap); exact edges then push it
home. Nothing here knows aeroplanes. Lengths in mm.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from math import ceil

import numpy as np

from foldwright.layout.bins import Bin, Place, Shape
from foldwright.layout.model import (
    TURNS,
    Area,
    Bed,
    Layout,
    Part,
    Placement,
    Reason,
    SheetLayout,
    SheetStock,
    Unplaced,
)

_LEAST_CELL = 2.0
_CELLS_ACROSS = 220
_DECIMALS = 4
_FITS = 1e-6

Sizer = Callable[[Shape], float]


@dataclass(slots=True)
class _Sheet:
    """A sheet being filled."""

    stock: SheetStock
    bins: list[Bin]
    placements: list[Placement] = field(default_factory=list)


@dataclass(frozen=True, slots=True)
class _Plan:
    """One way of filling: the order of the parts, rows or columns, and the bed turned or not."""

    size: Sizer
    columns_first: bool
    bed: Bed | None


def place(
    parts: Sequence[Part], stocks: Sequence[SheetStock], *, spacing_mm: float, bed: Bed | None = None
) -> Layout:
    """All copies of all parts on as few sheets as this finds.

    stocks: in order of preference; a new sheet is the first in which the part fits. spacing_mm: least
    distance between parts, after kerf. bed: a sheet larger than it is divided into pieces of its size.
    A few ways of filling are tried; the one with the fewest copies left over, then the least board, then the
    most compact last sheet is taken. Same input, same layout.
    Raises ValueError where two parts have one name or a part's rings are no polygon.
    """
    if len({part.name for part in parts}) != len(parts):
        raise ValueError("part names must differ")
    shapes = {part.name: _shapes(part) for part in parts}
    tries = [_fill(parts, shapes, stocks, spacing_mm, plan) for plan in _plans(bed, stocks)]
    return min(tries, key=lambda found: _cost(found, shapes))


def areas_of(stock: SheetStock, bed: Bed | None, spacing_mm: float) -> tuple[Area, ...]:
    """Usable rectangles of a sheet: one for each piece of the bed's size, from the lower left.

    The sheet's border is left out; at a cut between two pieces each keeps half the spacing.
    """
    xs = _pieces(stock.width_mm, bed.width_mm if bed else stock.width_mm, stock.border_mm, 0.5 * spacing_mm)
    ys = _pieces(
        stock.height_mm, bed.height_mm if bed else stock.height_mm, stock.border_mm, 0.5 * spacing_mm
    )
    return tuple(Area(x0, y0, x1, y1) for y0, y1 in ys for x0, x1 in xs)


def _pieces(length: float, piece: float, border: float, half_gap: float) -> list[tuple[float, float]]:
    """Usable intervals of a length cut into pieces; those with nothing usable are left out."""
    count = max(ceil((length - _FITS) / piece), 1)
    ends = [
        (
            max(k * piece + (half_gap if k else 0.0), border),
            min((k + 1) * piece - half_gap if k + 1 < count else length, length - border),
        )
        for k in range(count)
    ]
    return [(a, b) for a, b in ends if b > a]


def _plans(bed: Bed | None, stocks: Sequence[SheetStock]) -> list[_Plan]:
    """The ways of filling that are tried; the bed is turned too where a sheet is larger than it."""
    beds: list[Bed | None] = [bed]
    if bed and any(s.width_mm > bed.width_mm + _FITS or s.height_mm > bed.height_mm + _FITS for s in stocks):
        beds.append(Bed(bed.height_mm, bed.width_mm))
    return [
        _Plan(size, columns_first, one)
        for one in beds
        for size in (_by_area, _by_length)
        for columns_first in (False, True)
    ]


def _by_area(shape: Shape) -> float:
    """Size of a part by the area of its outline."""
    return shape.area + sum(abs(_ring_area(ring)) for ring in shape.rings[1:])


def _by_length(shape: Shape) -> float:
    """Size of a part by its longer side."""
    return max(shape.width, shape.height)


def _ring_area(ring: np.ndarray[tuple[int, ...], np.dtype[np.float64]]) -> float:
    """Signed area of a ring (n, 2)."""
    following = np.roll(ring, -1, axis=0)
    return 0.5 * float(np.sum(ring[:, 0] * following[:, 1] - following[:, 0] * ring[:, 1]))


def _shapes(part: Part) -> list[Shape]:
    """The part at every turn that differs from the ones before."""
    shapes: list[Shape] = []
    for turn in TURNS[part.turn]:
        shape = Shape(part, turn)
        if not any(_alike(shape, other) for other in shapes):
            shapes.append(shape)
    return shapes


def _alike(one: Shape, other: Shape) -> bool:
    """True where two turns give the same figure."""
    if abs(one.width - other.width) > _FITS or abs(one.height - other.height) > _FITS:
        return False
    return bool(one.polygon.symmetric_difference(other.polygon).area < _FITS * one.area)


def _fill(
    parts: Sequence[Part],
    shapes: dict[str, list[Shape]],
    stocks: Sequence[SheetStock],
    spacing: float,
    plan: _Plan,
) -> Layout:
    """One layout, by one plan."""
    order = sorted(parts, key=lambda part: (-round(plan.size(shapes[part.name][0]), 6), part.name))
    sheets: list[_Sheet] = []
    unplaced: list[Unplaced] = []
    for part in order:
        mine = shapes[part.name]
        unplaced += [
            _left_over(part, copy, mine, stocks, spacing, plan.bed)
            for copy in range(1, part.copies + 1)
            if not _place_one(part, copy, mine, sheets, stocks, spacing, plan)
        ]
    done = tuple(
        SheetLayout(
            s.stock.name,
            s.stock.width_mm,
            s.stock.height_mm,
            s.stock.border_mm,
            tuple(b.area for b in s.bins),
            tuple(s.placements),
        )
        for s in sheets
    )
    return Layout(done, tuple(unplaced), spacing)


def _place_one(
    part: Part,
    copy: int,
    shapes: list[Shape],
    sheets: list[_Sheet],
    stocks: Sequence[SheetStock],
    spacing: float,
    plan: _Plan,
) -> bool:
    """Put one copy into the first sheet that has room, or a new one; False where there is none."""
    for sheet in sheets:
        if _into(sheet, part, copy, shapes):
            return True
    for stock in stocks:
        used = sum(sheet.stock == stock for sheet in sheets)
        if stock.count is not None and used >= stock.count:
            continue
        cell = max(_LEAST_CELL, max(stock.width_mm, stock.height_mm) / _CELLS_ACROSS)
        areas = areas_of(stock, plan.bed, spacing)
        sheet = _Sheet(stock, [Bin(a, spacing, cell, columns_first=plan.columns_first) for a in areas])
        if _into(sheet, part, copy, shapes):
            sheets.append(sheet)
            return True
    return False


def _into(sheet: _Sheet, part: Part, copy: int, shapes: list[Shape]) -> bool:
    """Put one copy into a sheet at the turn that reaches least far; False where it has no room."""
    for area in sheet.bins:
        found = [(shape, spot) for shape in shapes if (spot := area.find(shape)) is not None]
        if not found:
            continue
        shape, spot = min(found, key=lambda pair: (area.cost(*pair), pair[0].turn_deg))
        sheet.placements.append(_commit(area, part, copy, shape, spot))
        return True
    return False


def _commit(area: Bin, part: Part, copy: int, shape: Shape, spot: Place) -> Placement:
    """Push a shape home, take its place, and say where it lies in the sheet's frame."""
    x, y = area.settle(shape, spot)
    area.put(shape, (x, y))
    return Placement(
        part.name,
        copy,
        round(area.area.x0_mm + x - float(shape.corner[0]), _DECIMALS) + 0.0,
        round(area.area.y0_mm + y - float(shape.corner[1]), _DECIMALS) + 0.0,
        shape.turn_deg,
    )


def _left_over(
    part: Part, copy: int, shapes: list[Shape], stocks: Sequence[SheetStock], spacing: float, bed: Bed | None
) -> Unplaced:
    """Why a copy found no place, and what would hold it."""
    least = max(shapes, key=lambda shape: (shape.width >= shape.height, -shape.turn_deg))
    border = min((stock.border_mm for stock in stocks), default=0.0)

    def fits(one: Bed | None) -> bool:
        return any(
            shape.width <= area.width_mm + _FITS and shape.height <= area.height_mm + _FITS
            for stock in stocks
            for area in areas_of(stock, one, spacing)
            for shape in shapes
        )

    reason: Reason = "no sheet left"
    if not fits(None):
        reason = "larger than every sheet"
    elif not fits(bed):
        reason, border = "larger than the bed", 0.0
    width, height = least.width + 2.0 * border, least.height + 2.0 * border
    return Unplaced(part.name, copy, reason, round(width, 3), round(height, 3))


def _cost(layout: Layout, shapes: dict[str, list[Shape]]) -> tuple[int, float, float]:
    """What layouts are compared by: copies left over, board taken, and what the last sheet's parts span."""
    board = sum(sheet.width_mm * sheet.height_mm for sheet in layout.sheets)
    if not layout.sheets:
        return (len(layout.unplaced), 0.0, 0.0)
    corners: list[tuple[float, float]] = []
    for spot in layout.sheets[-1].placements:
        shape = next(s for s in shapes[spot.part] if s.turn_deg == spot.turn_deg)
        corners.append(
            (
                spot.x_mm + float(shape.corner[0]) + shape.width,
                spot.y_mm + float(shape.corner[1]) + shape.height,
            )
        )
    reach = np.array(corners).max(axis=0)
    return (len(layout.unplaced), round(board, 3), round(float(reach[0] * reach[1]), 1))
