"""Rules G80-G89: board, room for the equipment, clearance of the propeller."""

from __future__ import annotations

from itertools import combinations

import numpy as np

from foldwright.airframe.model import MassItem
from foldwright.base.finding import Finding, Verdict
from foldwright.base.types import FloatArray
from foldwright.design.resolve import FittedBattery
from foldwright.flight.battery import BatteryPlace
from foldwright.geometry.transform import apply
from foldwright.review.extents import extents
from foldwright.review.keys import number_at
from foldwright.review.subject import PRACTICE, CureKey, Rule, Subject, judged

SPREAD_MM = 0.4
"""Spread of measured board thickness that slots still take; common practice, no source."""
PROPELLER_LEAST_MM, PROPELLER_GOOD_MM = 5.0, 10.0
"""Gap from propeller to foam, least and better; common practice, no source."""
HAND_LEAST_MM = 100.0
"""Hand ahead of a rear propeller, least; common practice, no source."""
CLASH_MM = 0.5
"""Boxes that overlap by less are taken to touch."""


def board_spread(subject: Subject) -> tuple[Finding, ...]:
    """G80: the board's measured thickness is even enough for the slots."""
    values = subject.workshop.board.thickness_mm
    spread = max(values) - min(values)
    return judged(
        "G80",
        "clear" if spread <= SPREAD_MM else "watch",
        "board.thickness_mm",
        spread,
        SPREAD_MM,
        "mm",
        PRACTICE,
        spread=round(spread, 2),
        mean=round(subject.workshop.board.thickness, 2),
    )


def battery_room(subject: Subject) -> tuple[Finding, ...]:
    """G81: every battery goes between the body's sides where it stands."""
    balance, fitted = subject.balance, subject.fitted
    found = _battery_width(subject, balance.battery, fitted.battery, subject.names("battery"), "no-go")
    for place, battery in zip(balance.alternatives, fitted.alternatives, strict=True):
        where = f"battery.alternatives.{battery.id}"
        found += _battery_width(subject, place, battery, where, "watch")
    return found


def _battery_width(
    subject: Subject, place: BatteryPlace, battery: FittedBattery, where: str, grave: Verdict
) -> tuple[Finding, ...]:
    t = subject.airframe.board.thickness
    room = _inside_width(subject, place.front, place.rear)
    if room is None:
        return ()
    width = battery.size_mm[1]
    return judged(
        "G81",
        "clear" if width <= room else grave,
        where,
        width,
        room,
        "mm",
        "geometry",
        battery=battery.id,
        width=width,
        room=round(room, 1),
        wall=round(t, 1),
        widen=round(width - room, 1),
    )


def _inside_width(subject: Subject, front: float, rear: float) -> float | None:
    """Least inner width of the hollow body that holds the battery between two x, mm; None outside any.

    A body is hollow where something may stand in it, on a floor or a tray.
    """
    rooms, hollow = [], {floor.blank.split("/", maxsplit=1)[0] for floor in subject.airframe.floors}
    for body in subject.airframe.bodies:
        if body.id in hollow and body.x[0] <= rear and front <= body.x[-1]:
            at = np.clip(np.array([front, rear]), body.x[0], body.x[-1])
            inner = body.x[(body.x > at[0]) & (body.x < at[1])]
            rooms.append(float(np.interp(np.concatenate([at, inner]), body.x, body.width).min()))
    return min(rooms) - 2.0 * subject.airframe.board.thickness if rooms else None


def clashes(subject: Subject) -> tuple[Finding, ...]:
    """G82: no two pieces of equipment stand in the same place, the battery included."""
    boxes = equipment_boxes(subject)
    found: list[Finding] = []
    worst = 0.0
    for (name, low, high), (other, low_o, high_o) in combinations(boxes, 2):
        depth = float(np.min(np.minimum(high, high_o) - np.maximum(low, low_o)))
        worst = max(worst, depth)
        if depth > CLASH_MM and {"propeller", "motor"} != {plain(name), plain(other)}:
            found += judged(
                "G82",
                "watch",
                f"equipment.{plain(name)}",
                depth,
                0.0,
                "mm",
                "geometry",
                one=name,
                other=other,
                depth=round(depth, 1),
            )
    return tuple(found) or judged(
        "G82", "clear", "equipment", worst, 0.0, "mm", "geometry", one="Equipment", other="battery", depth=0.0
    )


def plain(name: str) -> str:
    """The name of an item without the side of a mirrored one."""
    return name.split("/", maxsplit=1)[0]


def equipment_boxes(subject: Subject) -> list[tuple[str, FloatArray, FloatArray]]:
    """Name, least and greatest corner (3,), mm, of every piece of equipment, the battery last."""
    boxes = [
        _box(item) for item in subject.airframe.masses if item.group == "equipment" and min(item.size) > 0.0
    ]
    return [*boxes, _battery_box(subject)]


def _box(item: MassItem) -> tuple[str, FloatArray, FloatArray]:
    centre = item.moments[:3, 3] / item.moments[3, 3]
    half = np.array(item.size) / 2.0
    return item.id, centre - half, centre + half


def _battery_box(subject: Subject) -> tuple[str, FloatArray, FloatArray]:
    fitted, place = subject.fitted, subject.balance.battery
    centre = np.array([place.x, fitted.battery_y_mm, fitted.battery_z_mm])
    half = np.array(fitted.battery.size_mm) / 2.0
    return "battery", centre - half, centre + half


def propeller_gap(subject: Subject) -> tuple[Finding, ...]:
    """G83: air between the propeller's disc and every board, controls at rest."""
    gap, nearest = _disc_gap(subject)
    verdict: Verdict = (
        "clear" if gap >= PROPELLER_GOOD_MM - 1e-6 else ("watch" if gap >= PROPELLER_LEAST_MM else "no-go")
    )
    return judged(
        "G83",
        verdict,
        "motor.x_mm",
        gap,
        PROPELLER_GOOD_MM,
        "mm",
        PRACTICE,
        gap=round(gap, 1),
        nearest=nearest,
        good=PROPELLER_GOOD_MM,
        least=PROPELLER_LEAST_MM,
    )


def _disc_gap(subject: Subject) -> tuple[float, str]:
    """Least distance along x between a disc and board that lies within its radius, mm, and whose it is."""
    line = subject.airframe.thrust
    radius = line.disc_diameter_mm / 2.0
    best, nearest = 1e3, ""
    for one, panel, low, high in extents(subject.airframe):
        if max(low[0] - line.x, line.x - high[0]) >= best:
            continue
        for y in (line.y, -line.y)[: line.count]:
            middle = np.array([y, line.z])
            if np.any(low[1:] - middle > radius) or np.any(middle - high[1:] > radius):
                continue
            flat = _dense(panel.polygon)
            both = [np.column_stack([flat, np.full(len(flat), w)]) for w in (0.0, one.blank.thickness)]
            points = apply(one.transforms[panel.name], np.concatenate(both))
            across = np.hypot(points[:, 1] - y, points[:, 2] - line.z)
            near = np.abs(points[across <= radius + 1e-9, 0] - line.x)
            if near.size and near.min() < best:
                best, nearest = float(near.min()), f"{one.blank.name} {panel.name}"
    return best, nearest


def _dense(ring: FloatArray, step: float = 4.0) -> FloatArray:
    """Points along a closed ring at most `step` mm apart."""
    after = np.roll(ring, -1, axis=0)
    pieces = []
    for start, stop in zip(ring, after, strict=True):
        count = max(1, int(np.ceil(np.hypot(*(stop - start)) / step)))
        pieces.append(start + np.linspace(0.0, 1.0, count, endpoint=False)[:, None] * (stop - start))
    return np.concatenate(pieces)


def hand_place(subject: Subject) -> tuple[Finding, ...]:
    """G84: room for the hand, at its grip or under the balance point, clear of a rear propeller."""
    if subject.thrust.side != "rear":
        return ()
    grip = subject.design.grip
    hand = float(subject.balance.cg[0]) if grip is None else grip.x_mm + grip.width_mm / 2.0
    value = subject.airframe.thrust.x - hand
    return judged(
        "G84",
        "clear" if value >= HAND_LEAST_MM else "no-go",
        "motor.x_mm" if grip is None else "grip.x_mm",
        value,
        HAND_LEAST_MM,
        "mm",
        PRACTICE,
        room=round(value),
        least=HAND_LEAST_MM,
        hand="the balance point" if grip is None else "the rear edge of the hand",
    )


def _grip_keys(subject: Subject) -> tuple[CureKey, ...]:
    grip = subject.design.grip
    return () if grip is None else (CureKey("grip.x_mm", grip.x_mm - 100.0, grip.x_mm + 50.0, 1.0),)


def _motor_keys(subject: Subject) -> tuple[CureKey, ...]:
    x = subject.design.motor.x_mm
    return (CureKey("motor.x_mm", x - 40.0, x + 40.0, 1.0),)


def _body_keys(subject: Subject) -> tuple[CureKey, ...]:
    """Width of every section of every body that is drawn by its sections."""
    return tuple(
        CureKey(f"{part.id}.station.{index}.width_mm", width, width + 30.0, 1.0)
        for part in subject.design.part
        for index, station in enumerate(getattr(part, "station", ()), start=1)
        if (width := number_at(station, "width_mm")) is not None
    )


def _item_keys(subject: Subject) -> tuple[CureKey, ...]:
    return tuple(
        CureKey(f"equipment.{i.id}.x_mm", i.x_mm - 60.0, i.x_mm + 60.0, 1.0) for i in subject.design.equipment
    )


RULES = (
    Rule("G80", board_spread),
    Rule("G81", battery_room, _body_keys),
    Rule("G82", clashes, _item_keys),
    Rule("G83", propeller_gap, _motor_keys),
    Rule("G84", hand_place, lambda s: (*_grip_keys(s), *_motor_keys(s))),
)
