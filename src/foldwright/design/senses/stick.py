"""Checks between the keys of a stick."""

from __future__ import annotations

from collections.abc import Iterator

from foldwright.base.finding import Finding
from foldwright.design.keypath import Path
from foldwright.design.raw import Raw, join
from foldwright.design.sense_shared import centre_line

KIND = "stick"


def sense(raw: Raw, body: Path) -> Iterator[Finding]:
    """Findings between the keys of a stick."""
    yield from raw.order(join(body, "from_mm"), "less than", join(body, "to_mm"))
    yield from centre_line(raw, body)
