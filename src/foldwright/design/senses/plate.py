"""Checks between the keys of a plate."""

from __future__ import annotations

from collections.abc import Iterator

from foldwright.base.finding import Finding
from foldwright.design.keypath import Path
from foldwright.design.raw import Raw, join
from foldwright.design.sense_shared import centre_line, either, outline_findings, same_ids, tool

KIND = "plate"


def sense(raw: Raw, part: Path) -> Iterator[Finding]:
    """Findings between the keys of a plate."""
    if not raw.has(join(part, "drawing")):
        yield from either(raw, part, "taper", "polygon_mm", both=False)
    yield from outline_findings(raw, join(part, "polygon_mm"))
    for key in ("fold", "mark", "cutout"):
        yield from same_ids(raw, join(part, key))
    for place, _row in raw.rows(join(part, "cutout")):
        yield from outline_findings(raw, join(place, "polygon_mm"))
    for place, _row in raw.rows(join(part, "fold")):
        yield from tool(raw, place, "method")
    if raw.text(join(part, "plane")) != "upright":
        yield from raw.idle(join(part, "lean_deg"), join(part, "plane"), '"upright"')
    yield from centre_line(raw, part)
