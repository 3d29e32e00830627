"""Leads as they are run: from what to what, how long they have to be and how long they are, mm.

A wire of the design is run past its points; where the design has none between battery, controller and
motor, the straight way between the two is taken.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from foldwright.base.types import FloatArray
from foldwright.design.equipment import Wire
from foldwright.design.resolve import FittedItem
from foldwright.review.subject import Subject

SLACK = 1.1
"""Lead over the straight way: bends and a plug that has to be reached; [judgement]."""
TO_MOTOR_MM = 50.0
"""Leads that a controller has on its motor side; typical."""
CONTROLLER = "controller"


@dataclass(frozen=True, slots=True, eq=False)
class Run:
    """One lead. ends: what it joins; needed: with slack, mm; there: None where nothing is known of it.

    where: key path that says so. connector: width and height of the plug that passes, None if unknown.
    through: ids of the gaps that it passes.
    """

    id: str
    ends: tuple[str, str]
    needed: float
    there: float | None
    where: str
    connector: tuple[float, float] | None
    through: tuple[str, ...]


@dataclass(frozen=True, slots=True, eq=False)
class _Thing:
    """Something with a lead: where the lead comes out (3,), its length and plug."""

    point: FloatArray
    lead: float
    connector: tuple[float, float] | None


def runs(subject: Subject) -> tuple[Run, ...]:
    """All leads: the design's wires, then battery to controller and controller to motor where it has none."""
    wires = [_written(subject, wire) for wire in subject.design.wire]
    known = {frozenset(run.ends) for run in wires if run is not None}
    own = [run for run in _drive(subject) if frozenset(run.ends) not in known]
    return tuple([run for run in wires if run is not None] + own)


def missing_ends(subject: Subject) -> tuple[tuple[str, str], ...]:
    """(key path, name) of every end of a wire that is nothing in the aeroplane."""
    return tuple(
        (f"wire.{wire.id}.ends", end)
        for wire in subject.design.wire
        for end in wire.ends
        if _thing(subject, end, np.zeros(3)) is None
    )


def _drive(subject: Subject) -> list[Run]:
    """Battery to each controller, and each controller to the motor at its side."""
    found = []
    for item in subject.fitted.items:
        if item.kind != CONTROLLER:
            continue
        battery, motor = _battery(subject), _motor(subject, item.place_mm[1])
        foot = _Thing(_nearest(item, battery.point), item.lead_mm, item.connector_mm)
        where = f"equipment.{item.item}.x_mm"
        found.append(_run(f"battery-{item.id}", ("battery", item.id), battery, foot, where))
        head = _Thing(_nearest(item, motor.point), TO_MOTOR_MM, None)
        found.append(_run(f"{item.id}-motor", (item.id, "motor"), head, motor, "motor.lead_mm"))
    return found


def _run(name: str, ends: tuple[str, str], one: _Thing, other: _Thing, where: str) -> Run:
    way = float(np.linalg.norm(one.point - other.point)) * SLACK
    return Run(name, ends, way, one.lead + other.lead, where, one.connector or other.connector, ())


def _written(subject: Subject, wire: Wire) -> Run | None:
    """A wire of the design; None where one of its ends is nothing in the aeroplane."""
    via = [np.array(point) for point in wire.via_mm]
    other = _thing(subject, wire.ends[1], np.zeros(3))
    if other is None:
        return None
    first = _thing(subject, wire.ends[0], via[0] if via else other.point)
    last = _thing(subject, wire.ends[1], via[-1] if via else np.zeros(3) if first is None else first.point)
    if first is None or last is None:
        return None
    line = np.array([first.point, *via, last.point])
    way = float(np.linalg.norm(np.diff(line, axis=0), axis=1).sum()) * SLACK
    own = first.lead + last.lead
    there = wire.length_mm if wire.length_mm is not None else (own if own > 0.0 else None)
    plug = wire.connector_mm or first.connector or last.connector
    return Run(wire.id, wire.ends, way, there, f"wire.{wire.id}.length_mm", plug, wire.through)


def _thing(subject: Subject, name: str, near: FloatArray) -> _Thing | None:
    """What an end of a wire is; near: the point that the lead goes to, which decides its side."""
    if name == "battery":
        return _battery(subject)
    if name == "motor":
        return _motor(subject, float(near[1]))
    for item in subject.fitted.items:
        if name in {item.id, item.item}:
            return _Thing(_nearest(item, near), item.lead_mm, item.connector_mm)
    return None


def _battery(subject: Subject) -> _Thing:
    """The battery in its place, at the end that its lead comes out of."""
    fitted, place = subject.fitted, subject.balance.battery
    x = place.rear if subject.design.battery.lead_from == "rear" else place.front
    point = np.array([x, fitted.battery_y_mm, fitted.battery_z_mm])
    return _Thing(point, fitted.battery.lead_mm, fitted.battery.connector_mm)


def _motor(subject: Subject, side: float) -> _Thing:
    """The motor on the side of y = `side`, at its mounting face."""
    fitted = subject.fitted.motor
    x, y, z = fitted.place_mm
    aft = 1.0 if subject.thrust.side == "rear" else -1.0
    sign = -1.0 if subject.design.motor.mirrored and side < 0.0 else 1.0
    return _Thing(np.array([x - aft * fitted.length_mm, sign * y, z]), fitted.lead_mm, None)


def _box(item: FittedItem) -> tuple[FloatArray, FloatArray]:
    return np.array(item.place_mm), np.array(item.size_mm) / 2.0


def _nearest(item: FittedItem, point: FloatArray) -> FloatArray:
    """The point of an item's box that lies nearest to another."""
    centre, half = _box(item)
    return np.asarray(np.clip(point, centre - half, centre + half))
