"""Ids that a file takes from the stock: are they there, and of the right kind?"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import TYPE_CHECKING

from foldwright.base.finding import Finding
from foldwright.design import words

if TYPE_CHECKING:
    from foldwright.design.stock import Stock

# Where an id stands → kinds of stock entry that may stand there.
STOCK_KINDS: Mapping[str, tuple[str, ...]] = MappingProxyType(
    {
        "motor": ("motor",),
        "propeller": ("propeller",),
        "battery": ("battery",),
        "item": ("servo", "receiver", "controller", "camera", "video_transmitter", "item"),
        "spar": ("spar",),
        "filament": ("filament",),
    }
)


def stock_finding(name: str, where: str, kinds: tuple[str, ...], stock: Stock, file: str) -> Finding | None:
    """F22 for an id that is not in the stock, F23 for an entry of another kind, otherwise None.

    where: key path of the reference. kinds: what may stand there.
    """
    entry = stock.by_id.get(name)
    if entry is not None and entry.kind in kinds:
        return None
    fitting = [key for key, other in stock.by_id.items() if other.kind in kinds]
    near = words.nearest(name, fitting)
    slip = words.close(name, fitting)
    facts = {
        "file": file,
        "got": words.shorten(name),
        "wanted": " or ".join(kinds) if len(kinds) < 3 else "piece of equipment",
        "known": words.listed(near) or "none",
        "nearest": slip or (f"one of {words.listed(near)}" if near else "another"),
    }
    if entry is None:
        return Finding("F22", "no-go", where, facts)
    return Finding("F23", "no-go", where, {**facts, "found": entry.kind})
