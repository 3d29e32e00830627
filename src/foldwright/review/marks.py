"""Marks that the results ask for: balance point and its window, battery place, spar line, centre line."""

from __future__ import annotations

import numpy as np

from foldwright.airframe.marking import MarkRequest
from foldwright.airframe.wing import placement
from foldwright.airframe.wing_section import solve
from foldwright.design.parts import Box
from foldwright.geometry.transform import apply
from foldwright.review.subject import Subject

REACH_MM = 40.0
"""Balance marks start this far outside the body, where a finger tip has room, mm."""
LONG_MM, SHORT_MM = 24.0, 12.0


def mark_requests(subject: Subject) -> tuple[MarkRequest, ...]:
    """All marks of an aeroplane; names are printed on the sheets."""
    return (*_balance(subject), *_wing_lines(subject), *_battery(subject))


def mark_station(subject: Subject) -> float:
    """Distance of the balance marks from the centre line, mm: outside the body, within the wing."""
    half = max((float(body.width.max()) / 2.0 for body in subject.airframe.bodies), default=0.0)
    return min(half + REACH_MM, subject.wing_part.span_mm / 2.0 - LONG_MM)


def _balance(subject: Subject) -> list[MarkRequest]:
    """On the underside of the wing, left and right: the balance point long, the window's ends short."""
    wing, at, balance = f"{subject.wing_part.id}/main", mark_station(subject), subject.balance
    lines = [("balance", balance.wanted.x, LONG_MM)]
    if balance.first_window:
        lines += [("window-fore", balance.forward.x, SHORT_MM), ("window-aft", balance.first_aft.x, SHORT_MM)]
    return [
        MarkRequest(
            name, wing, "+z", ((x, side * (at - length / 2.0), 0.0), (x, side * (at + length / 2.0), 0.0))
        )
        for name, x, length in lines
        for side in (1.0, -1.0)
    ]


def _wing_lines(subject: Subject) -> list[MarkRequest]:
    """Where the spar stands on the strip's inner face, and the centre line on the outside."""
    part = subject.wing_part
    half, t = part.span_mm / 2.0, subject.airframe.board.thickness
    width = part.spar.width_mm or t
    section, place = solve(part, t), placement(part, t)
    blank = f"{part.id}/main"

    def at(*points: tuple[float, float]) -> tuple[tuple[float, float, float], ...]:
        """Section (x, y) on the strip's inner face, in the aeroplane."""
        moved = apply(place, np.array([(x, y, 0.0) for x, y in points]))
        return tuple((float(x), float(y), float(z)) for x, y, z in moved)

    # seen from below, the first inner face is the strip's
    spar = [
        MarkRequest("spar", blank, "+z", at((x, -half), (x, half)), "b")
        for x in (part.spar.x_mm - width / 2.0, part.spar.x_mm + width / 2.0)
    ]
    centre = MarkRequest(
        "centre", blank, "+z", at((section.start + 2.0, 0.0), (part.strip.aft_mm - 2.0, 0.0))
    )
    return [*spar, centre]


def _battery(subject: Subject) -> list[MarkRequest]:
    """Front face of the battery on the tray or, without one, on the floor's inner face: the battery stop."""
    x, y = subject.balance.battery.front, subject.fitted.battery_y_mm
    half = 0.5 * subject.fitted.battery.size_mm[1]
    line = ((x, y - half, 0.0), (x, y + half, 0.0))
    for part in subject.design.part:
        if not isinstance(part, Box):
            continue
        for deck in part.deck:
            if deck.role == "tray" and deck.from_mm < x < deck.to_mm:
                return [MarkRequest("battery-front", f"{part.id}/{deck.id}", "-z", line, "a")]
        if part.station[0].x_mm < x < part.station[-1].x_mm:
            return [MarkRequest("battery-front", f"{part.id}/main", "-z", line, "b")]
    return []
