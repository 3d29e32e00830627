"""Marks that the results ask for: balance point and its window, battery place, spar line, centre line."""

from __future__ import annotations

import numpy as np

from foldwright.airframe.model import Direction, MarkRequest
from foldwright.airframe.wing import placement
from foldwright.airframe.wing_section import solve
from foldwright.design.parts import Box
from foldwright.geometry.transform import apply
from foldwright.review.subject import Subject

REACH_MM = 40.0
"""Balance marks start this far outside the body, where a finger tip has room, mm."""
LONG_MM, SHORT_MM = 24.0, 12.0
HELP = 0.0
"""Marks that help in putting together may fall away where they find no good face."""
CROSS_MM = 8.0
_SIDEWAYS: tuple[Direction, Direction] = ("+y", "-y")


def mark_requests(subject: Subject) -> tuple[MarkRequest, ...]:
    """All marks of an aeroplane; names are printed on the sheets."""
    return (
        *_balance(subject),
        *_wing_lines(subject),
        *_battery(subject),
        *_formers(subject),
        *_decks(subject),
        *_motor(subject),
    )


def mark_station(subject: Subject) -> float:
    """Distance of the balance marks from the centre line, mm: outside the body, within the wing."""
    half = max((float(body.width.max()) / 2.0 for body in subject.airframe.bodies), default=0.0)
    return min(half + REACH_MM, subject.wing_part.span_mm / 2.0 - LONG_MM)


def _balance(subject: Subject) -> list[MarkRequest]:
    """On the underside of the wing, left and right: the balance point long, the window's ends short."""
    wing, at, balance = f"{subject.wing_part.id}/main", mark_station(subject), subject.balance
    lines = [("balance", balance.placed.x, LONG_MM)]
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


def _boxes(subject: Subject) -> list[Box]:
    return [part for part in subject.design.part if isinstance(part, Box)]


def _formers(subject: Subject) -> list[MarkRequest]:
    """Where the formers stand on the floor's inner face: the lower edge of both their faces."""
    placed = {one.blank.name: one for one in subject.airframe.placed}
    found = []
    for part in _boxes(subject):
        for former in part.former:
            one = placed.get(f"{part.id}/{former.id}")
            if one is None:
                continue
            for w in (0.0, one.blank.thickness):
                flat = one.blank.panels[0].polygon
                points = apply(one.transforms[one.blank.root], np.column_stack([flat, np.full(len(flat), w)]))
                low = points[points[:, 2] < points[:, 2].min() + 0.5]
                x, y = float(low[:, 0].mean()), float(np.abs(low[:, 1]).max())
                line = ((x, -y, 0.0), (x, y, 0.0))
                found.append(MarkRequest(former.id, f"{part.id}/main", "-z", line, "b", HELP))
    return found


def _decks(subject: Subject) -> list[MarkRequest]:
    """Where the under face of a tray meets the sides' inner faces."""
    t = subject.airframe.board.thickness
    return [
        MarkRequest(
            deck.id,
            f"{part.id}/main",
            direction,
            ((deck.from_mm, 0.0, deck.z_mm - t), (deck.to_mm, 0.0, deck.z_mm - t)),
            "b",
            HELP,
        )
        for part in _boxes(subject)
        for deck in part.deck
        if deck.role == "tray" and deck.z_mm is not None
        for direction in _SIDEWAYS
    ]


def _motor(subject: Subject) -> list[MarkRequest]:
    """A cross where the thrust line passes through the motor former, on the face the motor stands on."""
    line, found = subject.airframe.thrust, []
    aft = subject.thrust.side == "rear"
    for part in _boxes(subject):
        for former in part.former:
            if former.role != "motor":
                continue
            face_x = former.x_mm + (subject.airframe.board.thickness if aft else 0.0)
            # the thrust line rises toward the propeller of a rear motor whose propeller end is higher
            z = line.z + (line.x - face_x) * float(np.tan(line.tilt))
            for dy, dz in ((CROSS_MM, 0.0), (0.0, CROSS_MM)):
                ends = ((0.0, line.y - dy, z - dz), (0.0, line.y + dy, z + dz))
                look: Direction = "-x" if aft else "+x"
                found.append(MarkRequest("thrust-line", f"{part.id}/{former.id}", look, ends, None, HELP))
    return found
