"""Checks between the keys of a plate wing."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from foldwright.base.finding import Finding
from foldwright.design.keypath import Path
from foldwright.design.raw import Raw, join
from foldwright.design.sense_shared import same_ids, tool
from foldwright.design.sense_wings import bays, controls

KIND = "plate_wing"


def sense(raw: Raw, wing: Path) -> Iterator[Finding]:
    """Findings between the keys of a plate wing."""
    yield from same_ids(raw, join(wing, "control"))
    yield from controls(raw, wing)
    yield from bays(raw, wing)
    yield from _folds(raw, wing)
    yield from _extras(raw, wing)
    if raw.has(join(wing, "pivot")):
        for path, _row in raw.rows(join(wing, "control")):
            # what turns as a whole carries no hinge of its own
            yield raw.finding("F31", join(wing, "pivot"), other=raw.where(path))


def _folds(raw: Raw, wing: Path) -> Iterator[Finding]:
    """Camber folds lie behind one another on the chord; a tool width says something of crushed ones."""
    folds = [path for path, _ in raw.rows(join(wing, "camber"))]
    for path in folds:
        yield from tool(raw, path, "method")
        yield from raw.order(join(path, "x_mm"), "less than", join(wing, "chord_mm"))
    for before, after in pairwise(folds):
        yield from raw.order(join(after, "x_mm"), "more than", join(before, "x_mm"))


def _extras(raw: Raw, wing: Path) -> Iterator[Finding]:
    """Doubler, spar and pivot lie on the board."""

    def at(*steps: str) -> Path:
        return join(wing, *steps)

    yield from raw.order(at("doubler", "from_mm"), "less than", at("doubler", "to_mm"))
    yield from raw.order(at("doubler", "to_mm"), "at most", at("chord_mm"))
    yield from raw.order(at("spar", "x_mm"), "less than", at("chord_mm"))
    for key in ("doubler", "spar"):
        yield from raw.order(at(key, "reach_mm"), "at most", at("span_mm"), 0.5)
