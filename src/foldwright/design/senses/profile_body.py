"""Checks between the keys of a profile body."""

from __future__ import annotations

from collections.abc import Iterator

from foldwright.base.finding import Finding
from foldwright.design.keypath import Path
from foldwright.design.raw import Raw, join
from foldwright.design.sense_shared import outline_findings, points_of, same_ids
from foldwright.design.senses.box import height

KIND = "profile_body"


def sense(raw: Raw, body: Path) -> Iterator[Finding]:
    """Findings between the keys of a profile body."""
    yield from same_ids(raw, join(body, "doubler"))
    yield from same_ids(raw, join(body, "opening"))
    yield from outline_findings(raw, join(body, "polygon_mm"))
    points = points_of(raw.at(join(body, "polygon_mm")))
    places = [x for x, _ in points or ()]
    low, high = (min(places), max(places)) if places else (None, None)
    name = f"the body {raw.where(body)}"
    for path, _row in raw.rows(join(body, "doubler")):
        yield from raw.order(join(path, "from_mm"), "less than", join(path, "to_mm"))
        yield from raw.inside(join(path, "from_mm"), low, high, name)
        yield from raw.inside(join(path, "to_mm"), low, high, name)
    for path, _row in raw.rows(join(body, "opening")):
        yield from raw.inside(join(path, "x_mm"), low, high, name)
        yield from height(raw, path)
