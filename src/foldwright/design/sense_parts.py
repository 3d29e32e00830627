"""Checks between the keys of one part: wing, box, plate."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from foldwright.base.finding import Finding
from foldwright.design import words
from foldwright.design.keypath import Path, id_of
from foldwright.design.mistakes import is_number
from foldwright.design.outline import Point, area, crossing, opened
from foldwright.design.parts import MOST_CORNERS
from foldwright.design.raw import Raw, join

LEAST_AREA_MM2 = 25.0  # the least part of 5 mm by 5 mm (common practice, no source)


def part_findings(raw: Raw) -> Iterator[Finding]:
    """All findings between the keys of each part."""
    for wing in raw.parts("folded_wing"):
        yield from _wing(raw, wing)
    for body in raw.parts("box"):
        yield from _box(raw, body)
    for plate in raw.parts("plate"):
        yield from _plate(raw, plate)


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


def _wing(raw: Raw, wing: Path) -> Iterator[Finding]:
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
    yield from _tool(raw, at("nose"), "fold")
    yield from _tool(raw, at("ridge"), "method")
    runs_on = at("strip", "runs_on")
    if raw.at(runs_on) is True:
        yield from raw.missing(at("strip", "land_mm"), runs_on)
    elif raw.number(at("strip", "land_mm")):
        yield from raw.idle(at("strip", "land_mm"), runs_on, "true")
    yield from _controls(raw, wing)


def _tool(raw: Raw, table: Path, key: str) -> Iterator[Finding]:
    """A tool width says something of a crushed fold only; left out there, the workshop's tool is used."""
    if raw.text(join(table, key)) != "crush":
        yield from raw.idle(join(table, "tool_width_mm"), join(table, key), '"crush"')


def _controls(raw: Raw, wing: Path) -> Iterator[Finding]:
    spans: list[tuple[float, float, Path]] = []
    for path, _row in raw.rows(join(wing, "control")):
        inner, outer = raw.number(join(path, "inner_mm")), raw.number(join(path, "outer_mm"))
        yield from raw.order(join(path, "inner_mm"), "less than", join(path, "outer_mm"))
        yield from raw.order(join(path, "outer_mm"), "at most", join(wing, "span_mm"), 0.5)
        yield from raw.order(join(path, "chord_mm"), "less than", join(wing, "chord_mm"))
        if inner is not None and outer is not None and inner < outer:
            spans.append((inner, outer, path))
    spans.sort(key=lambda s: (s[0], s[1]))
    for (a, b, first), (c, d, second) in pairwise(spans):
        if c < b:
            yield raw.finding(
                "F28", first, other=raw.where(second), first_from=words.number(a), first_to=words.number(b),
                second_from=words.number(c), second_to=words.number(d), overlap=words.number(min(b, d) - c),
            )  # fmt: skip


def _box(raw: Raw, body: Path) -> Iterator[Finding]:
    yield from same_ids(raw, join(body, "former"))
    yield from same_ids(raw, join(body, "deck"))
    yield from _tool(raw, body, "corner")
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


def _plate(raw: Raw, plate: Path) -> Iterator[Finding]:
    yield from _either(raw, plate, "taper", "polygon_mm", both=False)
    yield from _outline(raw, join(plate, "polygon_mm"))
    yield from centre_line(raw, plate)


def _either(raw: Raw, table: Path, first: str, second: str, *, both: bool) -> Iterator[Finding]:
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


def _points(value: object) -> tuple[Point, ...] | None:
    if not isinstance(value, tuple) or len(value) > MOST_CORNERS:
        return None
    for point in value:
        if not (isinstance(point, tuple) and len(point) == 2 and all(map(is_number, point))):
            return None
    return tuple((float(x), float(y)) for x, y in value)


def _outline(raw: Raw, path: Path) -> Iterator[Finding]:
    """F26 for crossing edges, F27 for an outline without area. The model puts the orientation right."""
    points = _points(raw.at(path))
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
