"""Checks between the keys of parts that several kinds share."""

from __future__ import annotations

from collections.abc import Iterator

from foldwright.base.finding import Finding
from foldwright.design import words
from foldwright.design.bodies import MOST_CORNERS
from foldwright.design.keypath import Path, id_of
from foldwright.design.mistakes import is_number
from foldwright.design.outline import Point, area, crossing, opened
from foldwright.design.raw import Raw, join

LEAST_AREA_MM2 = 25.0  # the least part of 5 mm by 5 mm (common practice, no source)


def same_ids(raw: Raw, path: Path) -> Iterator[Finding]:
    """F19: an id that stands twice in one list."""
    first: dict[str, Path] = {}
    for place, row in raw.rows(path):
        name = id_of(row)
        if name is None:
            continue
        if name in first:
            other = raw.where(join(first[name], "id"))
            yield raw.finding("F19", join(place, "id"), got=f'"{name}"', other=other)
        first.setdefault(name, place)


def tool(raw: Raw, table: Path, key: str) -> Iterator[Finding]:
    """A tool width says something of a crushed fold only; left out there, the workshop's tool is used."""
    if raw.text(join(table, key)) != "crush":
        yield from raw.idle(join(table, "tool_width_mm"), join(table, key), '"crush"')


def either(raw: Raw, table: Path, first: str, second: str, *, both: bool) -> Iterator[Finding]:
    """F43 where neither key is written, F31 where both are and only one may be."""
    one, two = raw.has(join(table, first)), raw.has(join(table, second))
    if not one and not two:
        yield raw.finding("F43", table, first=first, second=second)
    elif one and two and not both:
        yield raw.finding("F31", join(table, first), other=raw.where(join(table, second)))


def centre_line(raw: Raw, path: Path) -> Iterator[Finding]:
    """F39: something mirrored on the centre line."""
    if raw.at(join(path, "mirrored")) is True and raw.number(join(path, "y_mm")) == 0.0:
        yield raw.finding("F39", path, got="0 mm")


def points_of(value: object) -> tuple[Point, ...] | None:
    """Corners of a raw outline, or None where it is not one."""
    if not isinstance(value, tuple) or len(value) > MOST_CORNERS:
        return None
    for point in value:
        if not (isinstance(point, tuple) and len(point) == 2 and all(map(is_number, point))):
            return None
    return tuple((float(x), float(y)) for x, y in value)


def outline_findings(raw: Raw, path: Path) -> Iterator[Finding]:
    """F26 for crossing edges, F27 for an outline without area. The model puts the orientation right."""
    points = points_of(raw.at(path))
    if points is None or max((abs(v) for point in points for v in point), default=0.0) > 1e6:
        return  # what is wrong with its corners has findings of its own
    points = opened(points)
    size = abs(area(points)) if len(points) >= 3 else 0.0
    met = crossing(points) if len(points) > 3 else None
    if met is not None:
        first, second, (x, y) = met
        near_x, near_y = words.number(round(x, 2)), words.number(round(y, 2))
        yield raw.finding("F26", path, first=first + 1, second=second + 1, x=near_x, y=near_y)
    elif size < LEAST_AREA_MM2:
        yield raw.finding("F27", path, got=words.number(round(size, 2)), least=words.number(LEAST_AREA_MM2))
