"""Kerf comb: tabs and slots in steps, drawn without kerf; the slot that just holds a tab says the kerf."""

from __future__ import annotations

from math import ceil

from foldwright.design.workshop import Workshop
from foldwright.make.coupons.model import MARGIN_MM, ring, rows, tall
from foldwright.make.drawing import Drawing, Item, Path, Text

NAME = "kerf-comb"
TAB_MM, STEP_MM = 20.0, 0.05
TABS = 2
_MOST_MM, _ROOM_MM = 0.6, 0.8
_COLUMNS, _PITCH_X, _LABEL, _TAB_LONG = 4, 30.0, 3.0, 32.0
_BAR_MM = 100.0


def steps(workshop: Workshop) -> tuple[float, ...]:
    """Kerfs that the comb tells apart, mm: from none to well past the workshop's own."""
    most = max(_MOST_MM, 1.6 * workshop.cutter.kerf_mm)
    return tuple(round(k * STEP_MM, 2) for k in range(min(ceil(most / STEP_MM - 1e-9), 40) + 1))


def slot_for(kerf: float) -> float:
    """Length of the slot that a tab just holds in with this kerf, as drawn, mm: s = d - 2 k."""
    return TAB_MM - 2.0 * kerf


def kerf_comb(workshop: Workshop) -> Drawing:
    """The comb with two tabs. Slots are as wide as the board is thick and a little more: only their length
    is tried, a tab put through upright, its end first.
    """
    thickness = workshop.board.thickness
    values = steps(workshop)
    words = (
        "Put a tab upright through the slots. The slot",
        "with the greatest figure that it goes into and",
        "still holds in gives cutter.kerf_mm:",
        "foldwright workshop measure FILE kerf FIGURE",
    )
    lines = ceil(len(values) / _COLUMNS)
    pitch_y = thickness + _ROOM_MM + 10.0
    wide = _COLUMNS * _PITCH_X + 6.0
    head = tall(words, wide - 8.0) + 9.0
    high = lines * pitch_y + head + 16.0
    x0, y0 = MARGIN_MM, MARGIN_MM
    items: list[Item] = [ring("cut", (x0, y0), (x0 + wide, y0 + high))]
    items += rows(words, (x0 + 4.0, y0 + high - 4.0), wide - 8.0)
    items += _bar(x0 + (wide - _BAR_MM) / 2.0, y0 + 6.0)
    for number, kerf in enumerate(values):
        column, row = number % _COLUMNS, number // _COLUMNS
        x = x0 + 3.0 + (column + 0.5) * _PITCH_X
        y = y0 + high - head - (row + 0.5) * pitch_y
        half, deep = slot_for(kerf) / 2.0, (thickness + _ROOM_MM) / 2.0
        items.append(ring("cut", (x - half, y - deep), (x + half, y + deep)))
        items.append(Text("letter", "", (x, y - deep - 1.5 - _LABEL), _LABEL, f"{kerf:.2f}", 0.0, "centre"))
    tabs = x0 + wide + 6.0
    for number in range(TABS):
        low = y0 + number * (_TAB_LONG + 6.0)
        items.append(ring("cut", (tabs, low), (tabs + TAB_MM, low + _TAB_LONG)))
        middle = tabs + TAB_MM / 2.0
        items.append(Text("letter", "", (middle, low + _TAB_LONG / 2.0), _LABEL, "tab", 0.0, "centre"))
    return Drawing(
        f"Kerf comb, {workshop.name}", tabs + TAB_MM + MARGIN_MM, y0 + high + MARGIN_MM, tuple(items)
    )


def _bar(x: float, y: float) -> list[Item]:
    """A line of exactly 100 mm to measure, drawn only."""
    marks = [Path("mark", "", ((at, y - 1.5), (at, y + 1.5))) for at in (x, x + _BAR_MM)]
    words = Text("letter", "", (x + _BAR_MM / 2.0, y + 1.5), 2.5, "100 mm", 0.0, "centre")
    return [Path("mark", "", ((x, y), (x + _BAR_MM, y))), *marks, words]
