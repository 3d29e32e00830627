"""Checks between the keys of a plate."""

from __future__ import annotations

from collections.abc import Iterator

from foldwright.base.finding import Finding
from foldwright.design.keypath import Path
from foldwright.design.raw import Raw, join
from foldwright.design.sense_shared import centre_line, either, outline_findings

KIND = "plate"


def sense(raw: Raw, part: Path) -> Iterator[Finding]:
    """Findings between the keys of a plate."""
    yield from either(raw, part, "taper", "polygon_mm", both=False)
    yield from outline_findings(raw, join(part, "polygon_mm"))
    yield from centre_line(raw, part)
