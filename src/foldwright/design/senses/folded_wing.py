"""Checks between the keys of a folded wing."""

from __future__ import annotations

from collections.abc import Iterator

from foldwright.base.finding import Finding
from foldwright.design.keypath import Path
from foldwright.design.raw import Raw, join
from foldwright.design.sense_shared import same_ids, tool
from foldwright.design.sense_wings import controls

KIND = "folded_wing"


def sense(raw: Raw, wing: Path) -> Iterator[Finding]:
    """Findings between the keys of a folded wing."""

    def at(*steps: str) -> Path:
        return join(wing, *steps)

    yield from same_ids(raw, at("control"))
    yield from raw.order(at("spar", "x_mm"), "less than", at("strip", "aft_mm"))
    yield from raw.order(at("spar", "height_mm"), "less than", at("spar", "x_mm"))
    yield from raw.order(at("strip", "aft_mm"), "at most", at("chord_mm"))
    nose = at("nose", "method")
    if raw.text(nose) == "two_fold":
        yield from raw.missing(at("nose", "strip_height_mm"), nose)
    else:
        yield from raw.idle(at("nose", "strip_height_mm"), nose, '"two_fold"')
    yield from tool(raw, at("nose"), "fold")
    yield from tool(raw, at("ridge"), "method")
    runs_on = at("strip", "runs_on")
    if raw.at(runs_on) is True:
        yield from raw.missing(at("strip", "land_mm"), runs_on)
    elif raw.number(at("strip", "land_mm")):
        yield from raw.idle(at("strip", "land_mm"), runs_on, "true")
    yield from controls(raw, wing)
