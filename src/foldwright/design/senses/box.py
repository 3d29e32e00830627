"""Checks between the keys of a box."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from foldwright.base.finding import Finding
from foldwright.design.keypath import Path
from foldwright.design.raw import Raw, join
from foldwright.design.sense_shared import same_ids, tool

KIND = "box"


def sense(raw: Raw, body: Path) -> Iterator[Finding]:
    """Findings between the keys of a box."""
    yield from same_ids(raw, join(body, "former"))
    yield from same_ids(raw, join(body, "deck"))
    yield from tool(raw, body, "corner")
    stations = [path for path, _ in raw.rows(join(body, "station"))]
    for before, after in pairwise(stations):
        yield from raw.order(join(after, "x_mm"), "more than", join(before, "x_mm"))
    for path in stations:
        yield from raw.order(join(path, "top_mm"), "more than", join(path, "bottom_mm"))
    places = [x for path in stations if (x := raw.number(join(path, "x_mm"))) is not None]
    low, high = (min(places), max(places)) if len(places) > 1 else (None, None)
    name = f"the body {raw.where(body)}"
    for path, _row in raw.rows(join(body, "former")):
        yield from raw.inside(join(path, "x_mm"), low, high, name)
        for hole, _ in raw.rows(join(path, "hole")):
            yield from _hole(raw, hole)
    for path, _row in raw.rows(join(body, "deck")):
        yield from raw.order(join(path, "from_mm"), "less than", join(path, "to_mm"))
        yield from raw.inside(join(path, "from_mm"), low, high, name)
        yield from raw.inside(join(path, "to_mm"), low, high, name)
        if raw.text(join(path, "role")) == "tray":
            yield from raw.missing(join(path, "z_mm"), join(path, "role"))
        else:
            yield from raw.idle(join(path, "z_mm"), join(path, "role"), '"tray"')


def _hole(raw: Raw, hole: Path) -> Iterator[Finding]:
    shape = join(hole, "shape")
    if raw.text(shape) == "rectangle":
        yield from raw.missing(join(hole, "height_mm"), shape)
    else:
        yield from raw.idle(join(hole, "height_mm"), shape, '"rectangle"')
