"""Checks between the keys of a plate wing."""

from __future__ import annotations

from collections.abc import Iterator

from foldwright.base.finding import Finding
from foldwright.design.keypath import Path
from foldwright.design.raw import Raw, join
from foldwright.design.sense_shared import same_ids
from foldwright.design.sense_wings import controls

KIND = "plate_wing"


def sense(raw: Raw, wing: Path) -> Iterator[Finding]:
    """Findings between the keys of a plate wing."""
    yield from same_ids(raw, join(wing, "control"))
    yield from controls(raw, wing)
