"""Dimension lines and the sign of the balance point, on paper in mm.

Dimension lines follow common drawing practice: thin lines, arrowheads, the figure above its line and read
from below or from the right.
"""

from __future__ import annotations

from math import atan2, cos, degrees, hypot, pi, sin

from foldwright.make.drawing import Align, Fill, Item, Path, Point, Text

ARROW_MM = 2.0
HEIGHT_MM = 2.4
_HALF_ARROW = 0.22
_BEYOND = 1.0
_GAP = 0.8
_ROOM = 5.0


def arrow(tip: Point, angle: float, length: float = ARROW_MM) -> Fill:
    """A filled arrowhead whose tip points along `angle` [rad]."""
    half = length * _HALF_ARROW
    back = (tip[0] - length * cos(angle), tip[1] - length * sin(angle))
    across = (-half * sin(angle), half * cos(angle))
    ring = (tip, (back[0] + across[0], back[1] + across[1]), (back[0] - across[0], back[1] - across[1]))
    return Fill((ring,), 0.2)


def text_width(text: str, height_mm: float) -> float:
    """About how wide a line of text is, on the wide side [mm]."""
    return 0.78 * height_mm * len(text)


def across(
    start: Point, end: Point, level: float, text: str, height_mm: float = HEIGHT_MM, *, beyond: bool = False
) -> list[Item]:
    """A horizontal dimension at y = level, with extension lines down or up to it.

    Where the line is too short for its figure, or `beyond` is wanted, the figure stands outside, beyond the
    second end, and for a very short one the arrows point inwards.
    """
    a, b = (start[0], level), (end[0], level)
    return [*_extensions((start, a), (end, b)), *line(a, b, text, height_mm, beyond=beyond)]


def upright(start: Point, end: Point, level: float, text: str, height_mm: float = HEIGHT_MM) -> list[Item]:
    """An upright dimension at x = level, with extension lines to it."""
    a, b = (level, start[1]), (level, end[1])
    return [*_extensions((start, a), (end, b)), *line(a, b, text, height_mm)]


def line(a: Point, b: Point, text: str, height_mm: float = HEIGHT_MM, *, beyond: bool = False) -> list[Item]:
    """The line itself with arrowheads and its figure."""
    length, angle = hypot(b[0] - a[0], b[1] - a[1]), atan2(b[1] - a[1], b[0] - a[0])
    outside = beyond or length < text_width(text, height_mm) + 2.0 * ARROW_MM
    ux, uy = cos(angle), sin(angle)
    items: list[Item] = []
    if length < 3.0 * ARROW_MM:
        ends = ((a[0] - _ROOM * ux, a[1] - _ROOM * uy), (b[0] + _ROOM * ux, b[1] + _ROOM * uy))
        items += [arrow(a, angle), arrow(b, angle + pi), Path("dimension", "", ends)]
    else:
        items += [arrow(a, angle + pi), arrow(b, angle), Path("dimension", "", (a, b))]
    turned = degrees(angle)
    if turned > 90.0 + 1e-6 or turned <= -90.0 + 1e-6:
        turned += 180.0 if turned < 0.0 else -180.0
    if outside:
        start = _ROOM + 1.0 if length < 3.0 * ARROW_MM else 1.5
        at = (b[0] + start * ux + 0.4 * height_mm * uy, b[1] + start * uy - 0.4 * height_mm * ux)
        align: Align = "right" if abs(turned - degrees(angle)) > 90.0 else "left"
        return [*items, Text("letter", "", at, height_mm, text, round(turned, 4), align)]
    nx, ny = -sin(turned * pi / 180.0), cos(turned * pi / 180.0)
    at = (0.5 * (a[0] + b[0]) + _GAP * nx, 0.5 * (a[1] + b[1]) + _GAP * ny)
    return [*items, Text("letter", "", at, height_mm, text, round(turned, 4), "centre")]


def _extensions(*pairs: tuple[Point, Point]) -> list[Item]:
    """Lines from just beside each point to just beyond the dimension line."""
    items: list[Item] = []
    for point, end in pairs:
        length = hypot(end[0] - point[0], end[1] - point[1])
        if length > _GAP:
            ux, uy = (end[0] - point[0]) / length, (end[1] - point[1]) / length
            first = (point[0] + _GAP * ux, point[1] + _GAP * uy)
            items.append(Path("dimension", "", (first, (end[0] + _BEYOND * ux, end[1] + _BEYOND * uy))))
    return items


def balance_sign(at: Point, radius: float) -> list[Item]:
    """A circle in quarters, two of them dark: the trade's sign of a centre of gravity."""
    disc = tuple(
        (at[0] + radius * cos(k * pi / 24.0), at[1] + radius * sin(k * pi / 24.0)) for k in range(48)
    )
    quarters = [(at, *disc[12 * k : 12 * k + 13]) for k in (0, 2)]
    items: list[Item] = [Fill((disc,), 1.0)]
    items += [Fill((quarter,), 0.1) for quarter in quarters]
    items.append(Path("thin", "", disc, closed=True))
    return items
