"""Marks that the results ask for: balance point and its window, battery place, thrust line, hand, legs.

What helps in putting a part together (formers, spar, centre line) comes with the part: `Airframe.guides`.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

import numpy as np

from foldwright.airframe.marking import targets_of
from foldwright.airframe.model import Direction, LiftingSurface, MarkRequest, Placed
from foldwright.base.types import FloatArray
from foldwright.design.resolve import FittedItem
from foldwright.geometry.fold.marks import land, outside
from foldwright.geometry.fold.model import Face, Mark, Panel
from foldwright.review.extents import FAR_MM, box_of, extents, first_from_below, under
from foldwright.review.handling_rules import leg_places
from foldwright.review.subject import Subject
from foldwright.review.tails import has_tail

REACH_MM = 40.0
"""Balance marks start this far outside the body, where a finger tip has room, mm."""
LONG_MM, SHORT_MM = 24.0, 12.0
HELP = 0.0
"""Marks that help in putting together may fall away where they find no good face."""
CROSS_MM = 8.0
STEP_MM = 6.0
"""Balance marks that find no board are moved along the span in steps of this."""
EDGE_MM = 3.0
MARKED = ("servo", "receiver", "controller")
"""Kinds of equipment whose place is marked on the board that they are fixed to."""
NEAR_MM = 8.0
"""Board further from a piece of equipment than this is not what it is fixed to, mm."""
_ON_IT = 1.0
_WAYS: tuple[tuple[Direction, Direction], ...] = (("-x", "+x"), ("-y", "+y"), ("-z", "+z"))
_SIDEWAYS: tuple[Direction, Direction] = ("+y", "-y")
Line = tuple[tuple[float, float, float], ...]


def mark_requests(subject: Subject) -> tuple[MarkRequest, ...]:
    """All marks of an aeroplane; names are printed on the sheets."""
    return (
        *_balance(subject),
        *_battery(subject),
        *subject.airframe.guides,
        *_motor(subject),
        *_grip(subject),
        *_legs(subject),
        *_items(subject),
    )


@dataclass(frozen=True, slots=True)
class _Spot:
    """Where balance marks go on the wing: distance from the centre line, mm; the blank at either side (+1
    right, -1 left), none where no board takes them; the lines that it takes: name, x and length, mm.
    """

    at: float
    blanks: Mapping[float, str]
    lines: tuple[tuple[str, float, float], ...]


def _wished(subject: Subject) -> float:
    """Where the marks would best be: outside the body, within the wing."""
    half = max((float(body.width.max()) / 2.0 for body in subject.airframe.bodies), default=0.0)
    return min(half + REACH_MM, float(subject.airframe.wing.le[-1, 1]) - LONG_MM)


def _lines(subject: Subject) -> list[tuple[str, float, float]]:
    """Name, x and length of the balance marks: the balance point long, the window's ends short."""
    balance = subject.balance
    lines = [("balance", balance.placed.x, LONG_MM)]
    if balance.first_window:
        lines += [("window-fore", balance.forward.x, SHORT_MM), ("window-aft", balance.first_aft.x, SHORT_MM)]
    return lines


def _line(x: float, at: float, length: float, side: float) -> Line:
    return ((x, side * (at - length / 2.0), 0.0), (x, side * (at + length / 2.0), 0.0))


def _places(wished: float, wing: LiftingSurface) -> Iterator[float]:
    """Stations to be tried: the wished one, then outward to the tip, then inward to the centre line."""
    tip = float(wing.le[-1, 1]) - LONG_MM / 2.0 - EDGE_MM
    yield wished
    yield from np.arange(wished + STEP_MM, tip, STEP_MM).tolist()
    yield from np.arange(wished - STEP_MM, LONG_MM / 2.0, -STEP_MM).tolist()


def _spot(subject: Subject) -> _Spot:
    """The place of the balance marks.

    One x across the span is right whatever the wing's sweep; the marks go where all of them, balance and
    window, land on its underside. Where nowhere all do, the balance marks alone; where not even they do, as
    on a canard that balances ahead of its wing, no blank is named.
    """
    wing, wished, lines = subject.airframe.wing, _wished(subject), _lines(subject)
    for wanted in (lines, lines[:1]):
        for at in _places(wished, wing):
            if not all(_within(wing, x, at) for _, x, _ in wanted):
                continue
            right, left = (_blank(subject, wanted, at, side) for side in (1.0, -1.0))
            if right is not None and left is not None:
                return _Spot(at, {1.0: right, -1.0: left}, tuple(wanted))
    return _Spot(wished, {}, tuple(lines[:1]))


def _within(wing: LiftingSurface, x: float, at: float) -> bool:
    """Whether x lies between the wing's edges there; quick, so asked before board is."""
    front = float(np.interp(at, wing.le[:, 1], wing.le[:, 0]))
    return front < x < front + float(np.interp(at, wing.le[:, 1], wing.chord))


def _blank(subject: Subject, lines: list[tuple[str, float, float]], at: float, side: float) -> str | None:
    """The one blank of the wing that all lines land on from below, or None."""
    wing = subject.airframe.wing.id
    found = {first_from_below(subject.airframe, wing, _line(x, at, long, side), 0.9) for _, x, long in lines}
    return found.pop() if len(found) == 1 else None


def _balance(subject: Subject) -> list[MarkRequest]:
    """On the underside of the wing, left and right, and where those do not do on the sides of the body.

    Under a high wing with a tail both: there the body hides nothing and a builder looks there first. Where
    neither takes them, the wing is asked all the same, so that the finding says so.
    """
    spot = _spot(subject)
    beside = _balance_on_body(subject, bare=not spot.blanks)
    if not spot.blanks and beside:
        return beside
    wing = subject.airframe.wing.id
    under_wing = [
        MarkRequest(name, spot.blanks.get(side, wing), "+z", _line(x, spot.at, length, side))
        for name, x, length in spot.lines
        for side in (1.0, -1.0)
    ]
    return [*under_wing, *beside]


def _balance_on_body(subject: Subject, bare: bool) -> list[MarkRequest]:
    """Upright lines on both sides of every body that reaches there; bare: also where the wing is low."""
    tailed = has_tail(subject.tail)
    x, found = subject.balance.placed.x, []
    for body in subject.airframe.bodies:
        box = box_of(subject.airframe, (body.id,))
        if box is None or not body.x[0] < x < body.x[-1]:
            continue
        bottom = _bottom(subject, body.id, x, float(box[0][2]))
        height = float(np.interp(x, body.x, body.height))
        high = float(subject.airframe.wing.le[0, 2]) > bottom + height / 2.0
        if bare or (tailed and high):
            line = ((x, 0.0, bottom + 0.2 * height), (x, 0.0, bottom + 0.6 * height))
            found += [MarkRequest("balance", body.id, way, line, None, HELP) for way in _SIDEWAYS]
    return found


def _bottom(subject: Subject, body: str, x: float, otherwise: float) -> float:
    """Height of the body's underside at x on the centre line, mm."""
    met = under(subject.airframe, x, 0.0)
    return met[1] if met is not None and met[0].split("/")[0] == body else otherwise


def _battery(subject: Subject) -> list[MarkRequest]:
    """Front face of the battery on what it stands on, trays before floors: the battery stop."""
    x, y = subject.balance.battery.front, subject.fitted.battery_y_mm
    half = 0.5 * subject.fitted.battery.size_mm[1]
    line = ((x, y - half, 0.0), (x, y + half, 0.0))
    floors = sorted(subject.airframe.floors, key=lambda floor: not floor.first)
    for floor in floors:
        if floor.fore < x < floor.aft:
            return [MarkRequest("battery-front", floor.blank, "-z", line, floor.face)]
    return []


def _motor(subject: Subject) -> list[MarkRequest]:
    """A cross where the thrust line passes through what a motor stands on, on the face it stands on."""
    line, found = subject.airframe.thrust, []
    aft = subject.thrust.side == "rear"
    look: Direction = "-x" if aft else "+x"
    for mount in subject.airframe.mounts:
        face_x = mount.aft if aft else mount.fore
        # the thrust line rises toward the propeller of a rear motor whose propeller end is higher
        z = line.z + (line.x - face_x) * float(np.tan(line.tilt))
        for y in (line.y, -line.y)[: line.count]:
            for dy, dz in ((CROSS_MM, 0.0), (0.0, CROSS_MM)):
                ends = ((0.0, y - dy, z - dz), (0.0, y + dy, z + dz))
                found.append(MarkRequest("thrust-line", mount.blank, look, ends, None, HELP))
    return found


def _grip(subject: Subject) -> list[MarkRequest]:
    """Both ends of the hand's place, across the underside of the body and up its sides."""
    grip, found = subject.design.grip, []
    if grip is None:
        return []
    for body in subject.airframe.bodies:
        for x in (grip.x_mm - grip.width_mm / 2.0, grip.x_mm + grip.width_mm / 2.0):
            if not body.x[0] < x < body.x[-1]:
                continue
            wide, high = (float(np.interp(x, body.x, each)) for each in (body.width, body.height))
            low = _bottom(subject, body.id, x, 0.0)
            half = max(wide / 2.0 - EDGE_MM, 1.0)
            found.append(MarkRequest("hand", body.id, "+z", ((x, -half, 0.0), (x, half, 0.0)), None, HELP))
            up = ((x, 0.0, low + EDGE_MM), (x, 0.0, low + 0.4 * high))
            found += [MarkRequest("hand", body.id, way, up, None, HELP) for way in _SIDEWAYS]
    return found


def _legs(subject: Subject) -> list[MarkRequest]:
    """A cross on the underside wherever a leg is fixed."""
    found = []
    for leg in subject.design.leg:
        for x, y in leg_places(leg):
            met = under(subject.airframe, x, y)
            if met is None:
                continue
            for dx, dy in ((CROSS_MM, 0.0), (0.0, CROSS_MM)):
                ends = ((x - dx, y - dy, 0.0), (x + dx, y + dy, 0.0))
                found.append(MarkRequest(f"leg-{leg.id}", met[0], "+z", ends, None, HELP))
    return found


def _items(subject: Subject) -> list[MarkRequest]:
    """A cross where a servo, a receiver or a controller is fixed, on the face that it touches or is near;
    none where a servo's printed frame has its outline round it.
    """
    found = []
    for item in subject.fitted.items:
        if item.kind not in MARKED or (item.kind == "servo" and _framed(subject, item)):
            continue
        seat = _seat(subject, item)
        if seat is None:
            continue
        blank, face, look, axis = seat
        for other in (k for k in range(3) if k != axis):
            ends = np.array([item.place_mm, item.place_mm])
            ends[:, other] += (-CROSS_MM / 2.0, CROSS_MM / 2.0)
            low, high = ((float(x), float(y), float(z)) for x, y, z in ends)
            found.append(MarkRequest(item.kind, blank, look, (low, high), face, HELP))
    return found


def _framed(subject: Subject, item: FittedItem) -> bool:
    """Whether a closed outline among the guides goes round an item's middle, on board that it reaches."""
    for guide in subject.airframe.guides:
        ring, axis = np.array(guide.points), "xyz".index(guide.direction[1])
        across = [k for k in range(3) if k != axis]
        if len(ring) < 4 or not np.allclose(ring[0], ring[-1]):
            continue
        away = np.abs(ring[:, axis] - item.place_mm[axis]).max() - item.size_mm[axis] / 2.0
        if away <= NEAR_MM and outside(ring[:, across], np.array(item.place_mm)[across]) < 0.0:
            return True
    return False


def _seat(subject: Subject, item: FittedItem) -> tuple[str, Face, Direction, int] | None:
    """What an item is fixed to: blank, face, way the eye looks, that axis; what is below goes first, then
    what is beside, then what is above. None where no board is near.
    """
    place, half = np.array(item.place_mm), np.array(item.size_mm) / 2.0
    low, high = place - half - NEAR_MM, place + half + NEAR_MM
    near: list[tuple[float, int, str, Placed, Panel, Face, int]] = []
    for one, panel, least, most in extents(subject.airframe):
        if (least > high).any() or (most < low).any():
            continue
        met = _beside(one.transforms[panel.name], panel, one.blank.thickness, place, half)
        if met is not None:
            gap, face, normal = met
            axis = int(np.argmax(np.round(np.abs(normal), 6)))
            rank = (3, 1, 0 if normal[2] > 0.0 else 2)[axis]
            gap = 0.0 if gap < _ON_IT else round(gap, 3)
            near.append((gap, rank, one.blank.name, one, panel, face, axis))
    for *_, one, panel, face, axis in sorted(near, key=lambda row: row[:3]):
        look = _looked_at(one, panel, face, place, axis)
        if look is not None:
            return one.blank.name, face, look, axis
    return None


def _beside(
    frame: FloatArray, panel: Panel, thickness: float, place: FloatArray, half: FloatArray
) -> tuple[float, Face, FloatArray] | None:
    """How far an item's box is from a panel that its middle stands over, mm; the face that looks to it and
    that face's normal in the aeroplane. None where it stands beside the panel or too far off.
    """
    turn = frame[:3, :3]
    u, v, w = (turn.T @ (place - frame[:3, 3])).tolist()
    above = w > thickness / 2.0
    gap = (w - thickness if above else -w) - float(np.abs(turn[:, 2]) @ half)
    spot = np.array([u, v])
    if gap > NEAR_MM or outside(panel.polygon, spot) > -CROSS_MM / 2.0:
        return None
    if any(outside(hole, spot) < CROSS_MM / 2.0 for hole in panel.holes):
        return None
    return gap, "a" if above else "b", turn[:, 2] if above else -turn[:, 2]


def _looked_at(one: Placed, panel: Panel, face: Face, place: FloatArray, axis: int) -> Direction | None:
    """From which side a ray along an axis lands on this face of this panel first; None from neither."""
    for way, sign in zip(_WAYS[axis], (-1.0, 1.0), strict=True):
        ray = np.zeros(3)
        ray[axis] = sign
        start = place.copy()
        start[axis] = -sign * FAR_MM
        met = land(one.blank, start, ray, "probe", face, one.transforms, targets_of(one, face))
        if isinstance(met, Mark) and met.panel == panel.name:
            return way
    return None
