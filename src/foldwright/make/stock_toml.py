"""The stock entries that a plan set uses, as a stock file: enough to make the set again anywhere."""

from __future__ import annotations

import json
from collections.abc import Iterator
from typing import Any

from foldwright.design.model import Design
from foldwright.design.stock import Entry, Stock, StockFilament, StockMotor
from foldwright.design.workshop import Workshop

FORMAT = 1


def used_entries(design: Design, workshop: Workshop, stock: Stock) -> tuple[Entry, ...]:
    """Every entry that the design or the workshop names, and what those entries name; sorted by id.

    All filaments are among them: a fitting takes one that it wants without anybody naming it.
    """
    named = set(_words(design.model_dump(mode="json"))) | set(_words(workshop.fit.model_dump(mode="json")))
    used = {
        key: entry for key, entry in stock.by_id.items() if key in named or isinstance(entry, StockFilament)
    }
    for entry in list(used.values()):
        if isinstance(entry, StockMotor) and entry.static_propeller in stock.by_id:
            used[entry.static_propeller] = stock.by_id[entry.static_propeller]
    return tuple(used[key] for key in sorted(used))


def stock_toml(entries: tuple[Entry, ...]) -> bytes:
    """The file's bytes, readable as a user's own stock file."""
    lines = ["# The stock entries that this plan set was made from.", f"format = {FORMAT}"]
    for entry in entries:
        lines += ["", "[[entry]]"]
        lines += [
            f"{key} = {_value(value)}"
            for key, value in entry.model_dump(mode="json").items()
            if value is not None
        ]
    return ("\n".join(lines) + "\n").encode()


def _words(value: object) -> Iterator[str]:
    """Every text inside nested lists and tables."""
    if isinstance(value, str):
        yield value
    elif isinstance(value, dict):
        for inner in value.values():
            yield from _words(inner)
    elif isinstance(value, list):
        for inner in value:
            yield from _words(inner)


def _value(value: Any) -> str:  # noqa: ANN401 - whatever an entry holds
    """A value in TOML: JSON's numbers, texts and lists of numbers are TOML too."""
    return json.dumps(value, ensure_ascii=False)
