"""Checks between the keys of a profile body."""

from __future__ import annotations

from collections.abc import Iterator

from foldwright.base.finding import Finding
from foldwright.design.keypath import Path
from foldwright.design.raw import Raw, join
from foldwright.design.sense_shared import outline_findings, same_ids

KIND = "profile_body"


def sense(raw: Raw, body: Path) -> Iterator[Finding]:
    """Findings between the keys of a profile body."""
    yield from same_ids(raw, join(body, "doubler"))
    yield from same_ids(raw, join(body, "opening"))
    yield from outline_findings(raw, join(body, "polygon_mm"))
    for path, _row in raw.rows(join(body, "doubler")):
        yield from raw.order(join(path, "from_mm"), "less than", join(path, "to_mm"))
