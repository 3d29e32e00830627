"""What a layout comes to: board used, lengths cut, minutes, cost."""

from __future__ import annotations

from dataclasses import dataclass

from foldwright.design.workshop import Workshop
from foldwright.layout.check import statistics
from foldwright.layout.from_airframe import Laid, stocks
from foldwright.make.sheets import Sheets, lengths


@dataclass(frozen=True, slots=True)
class Sums:
    """Of all sheets together.

    boards: sheets of board taken. used_share: 0 to 1. cut_mm, to_paper_mm, crush_mm, mark_mm: lengths of
    line. minutes: of cutting at the cutter's speed, moves between cuts and marks not counted. cost: of the
    board, None where a price is missing.
    """

    boards: int
    used_share: float
    cut_mm: float
    to_paper_mm: float
    crush_mm: float
    mark_mm: float
    minutes: float
    cost: float | None
    currency: str


def sums(laid: Laid, sheets: Sheets, workshop: Workshop) -> Sums:
    """Add up a layout and its drawings."""
    total: dict[str, float] = {}
    for sheet in sheets.sheets:
        for pen, length in lengths(sheet).items():
            total[pen] = total.get(pen, 0.0) + length
    cut, to_paper = total.get("cut", 0.0), total.get("to_paper", 0.0)
    used = statistics(laid.layout, laid.parts)
    return Sums(
        used.sheets,
        used.used_share,
        cut,
        to_paper,
        total.get("crush", 0.0),
        total.get("mark", 0.0),
        (cut + to_paper) / workshop.cutter.speed_mm_s / 60.0,
        _cost(laid, workshop),
        workshop.board.currency,
    )


def _cost(laid: Laid, workshop: Workshop) -> float | None:
    prices = {
        stock.name: sheet.price for stock, sheet in zip(stocks(workshop), workshop.board.sheet, strict=True)
    }
    paid = [prices[sheet.stock] for sheet in laid.layout.sheets]
    known = [price for price in paid if price is not None]
    return float(sum(known)) if len(known) == len(paid) else None
