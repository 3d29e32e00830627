"""Checks between the keys of a V-tail."""

from __future__ import annotations

from collections.abc import Iterator

from foldwright.base.finding import Finding
from foldwright.design.keypath import Path
from foldwright.design.raw import Raw, join

KIND = "v_tail"


def sense(raw: Raw, tail: Path) -> Iterator[Finding]:
    """Findings between the keys of a V-tail."""
    for path, _row in raw.rows(join(tail, "control")):
        yield from raw.order(join(path, "inner_mm"), "less than", join(path, "outer_mm"))
        yield from raw.order(join(path, "outer_mm"), "at most", join(tail, "length_mm"))
        yield from raw.order(join(path, "chord_mm"), "less than", join(tail, "root_mm"))
