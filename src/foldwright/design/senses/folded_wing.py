"""Checks between the keys of a folded wing."""

from __future__ import annotations

from collections.abc import Iterator

from foldwright.base.finding import Finding
from foldwright.design.keypath import Path
from foldwright.design.raw import Raw, join
from foldwright.design.sense_shared import same_ids, tool
from foldwright.design.sense_wings import bays, controls

KIND = "folded_wing"


def sense(raw: Raw, wing: Path) -> Iterator[Finding]:
    """Findings between the keys of a folded wing."""

    def at(*steps: str) -> Path:
        return join(wing, *steps)

    yield from same_ids(raw, at("control"))
    yield from raw.order(at("spar", "x_mm"), "less than", at("strip", "aft_mm"))
    yield from raw.order(at("spar", "height_mm"), "less than", at("spar", "x_mm"))
    yield from raw.order(at("strip", "aft_mm"), "at most", at("chord_mm"))
    yield from raw.order(at("spar", "reach_mm"), "at most", at("span_mm"), 0.5)
    nose = at("nose", "method")
    if raw.text(nose) == "two_fold":
        yield from _strip_height(raw, wing, nose)
    else:
        yield from raw.idle(at("nose", "strip_height_mm"), nose, '"two_fold"')
    yield from tool(raw, at("nose"), "fold")
    yield from tool(raw, at("ridge"), "method")
    runs_on = at("strip", "runs_on")
    if raw.at(runs_on) is True:
        yield from raw.missing(at("strip", "land_mm"), runs_on)
    elif raw.number(at("strip", "land_mm")):
        yield from raw.idle(at("strip", "land_mm"), runs_on, "true")
    yield from bays(raw, wing)
    yield from _bays(raw, wing, nose)
    yield from controls(raw, wing)


def _strip_height(raw: Raw, wing: Path, nose: Path) -> Iterator[Finding]:
    """The nose strip's height is needed, unless spar heights at both ends of every bay give it."""
    key = join(wing, "nose", "strip_height_mm")
    free = [join(path, "spar_height_mm") for path, _ in raw.rows(join(wing, "bay"))]
    given = [path for path in free if raw.has(path)]
    if not given or len(given) < len(free):
        yield from raw.missing(key, nose)
    else:
        yield from raw.idle(key, given[0], "left out")


def _bays(raw: Raw, wing: Path, nose: Path) -> Iterator[Finding]:
    """Spar and strip of every bay stand in the order of the section and on its chord."""
    for path, _ in raw.rows(join(wing, "bay")):
        if raw.text(nose) != "two_fold":
            yield from raw.idle(join(path, "spar_height_mm"), nose, '"two_fold"')
        yield from raw.order(join(path, "spar_x_mm"), "less than", join(path, "chord_mm"))
        yield from raw.order(join(path, "spar_x_mm"), "less than", join(path, "strip_aft_mm"))
        yield from raw.order(join(path, "strip_aft_mm"), "less than", join(path, "chord_mm"))
        yield from raw.order(join(path, "spar_height_mm"), "less than", join(path, "spar_x_mm"))
