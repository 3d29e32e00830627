"""Rules G85-G86: equipment stands in the aeroplane and not in its board."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from foldwright.airframe.model import Airframe
from foldwright.base.finding import Finding, Verdict
from foldwright.base.types import FloatArray
from foldwright.design.resolve import FittedBattery
from foldwright.flight.battery import BatteryPlace
from foldwright.review.contact import moves_text
from foldwright.review.extents import box_of, stacked
from foldwright.review.in_the_way import met
from foldwright.review.keys import battery_keys
from foldwright.review.subject import CureKey, Rule, Subject, judged

PRESS_MM, STUCK_MM = 1.0, 2.5
"""[judgement] how far foam gives way to a box, and from where a battery plainly does not go in."""
FAR_MM = 20.0
"""[judgement] how far the box of a piece of equipment may be from that of the nearest board."""


@dataclass(frozen=True, slots=True, eq=False)
class Thing:
    """Something to put in: name, key that places it, middle and size, mm; grave: what being stuck means."""

    name: str
    where: str
    centre: FloatArray
    size: FloatArray
    grave: Verdict


def boxes(subject: Subject) -> Iterator[Thing]:
    """The battery, every alternative in its place, and equipment; servos stand in pockets cut for them."""
    fitted, balance = subject.fitted, subject.balance
    yield _battery(subject, balance.battery, fitted.battery, "battery.z_mm", "no-go")
    for place, battery in zip(balance.alternatives, fitted.alternatives, strict=True):
        yield _battery(subject, place, battery, f"battery.alternatives.{battery.id}", "watch")
    for item in fitted.items:
        if item.kind != "servo":
            where = f"equipment.{item.item}.x_mm"
            yield Thing(item.id, where, np.array(item.place_mm), np.array(item.size_mm), "watch")


def _battery(
    subject: Subject, place: BatteryPlace, battery: FittedBattery, where: str, grave: Verdict
) -> Thing:
    fitted = subject.fitted
    z = fitted.battery_z_mm + (battery.size_mm[2] - fitted.battery.size_mm[2]) / 2.0
    return Thing(
        battery.id, where, np.array([place.x, fitted.battery_y_mm, z]), np.array(battery.size_mm), grave
    )


def in_board(subject: Subject) -> tuple[Finding, ...]:
    """G85: no battery and no equipment stands in a former, tray, deck, side or wing."""
    found: list[Finding] = []
    for box in boxes(subject):
        panel, depth = deepest(subject, box)
        verdict: Verdict = "clear" if depth <= PRESS_MM else ("watch" if depth <= STUCK_MM else box.grave)
        found += judged(
            "G85", verdict, box.where, depth, PRESS_MM, "mm", "geometry", name=box.name,
            panel=panel or "any board", depth=round(depth, 1), limit_mm=PRESS_MM,
        )  # fmt: skip
    return tuple(found)


def deepest(subject: Subject, box: Thing) -> tuple[str, float]:
    """Panel that a box stands in furthest, and how thick what they share is, mm; "" and 0 for none."""
    low, high = box.centre - box.size / 2.0, box.centre + box.size / 2.0
    worst = ("", 0.0)
    for name, thickness in met(subject.airframe, low, high, PRESS_MM):
        if thickness > worst[1]:
            worst = (name, thickness)
    return worst


def outside(subject: Subject) -> tuple[Finding, ...]:
    """G86: every piece of equipment is in or on the aeroplane, near board or a spar."""
    names, low, high = _all_boxes(subject.airframe)
    if not names:
        return ()
    found: list[Finding] = []
    for item in subject.fitted.items:
        middle, half = np.array(item.place_mm), np.array(item.size_mm) / 2.0
        apart = np.maximum(np.maximum(low - (middle + half), (middle - half) - high), 0.0)
        away = np.linalg.norm(apart, axis=1)
        nearest = int(np.argmin(away))
        off = float(away[nearest])
        found += judged(
            "G86", "clear" if off <= FAR_MM else "watch", f"equipment.{item.item}.x_mm", off,
            FAR_MM, "mm", "[judgement]", name=item.id, off=round(off), panel=names[nearest],
            help=_nearer(apart[nearest], low[nearest] - middle) if off > FAR_MM else "Nothing to do",
        )  # fmt: skip
    return tuple(found)


def _all_boxes(airframe: Airframe) -> tuple[tuple[str, ...], FloatArray, FloatArray]:
    """Names and boxes (n, 3) of panels and bars."""
    every, low, high = stacked(airframe)
    names = [f"{one.blank.name} {panel.name}" for one, panel in every]
    for bar in airframe.bars:
        names.append(bar.id)
        half = max(bar.width, bar.height) / 2.0
        low = np.vstack([low, bar.ends.min(axis=0) - half])
        high = np.vstack([high, bar.ends.max(axis=0) + half])
    return tuple(names), low, high


def _nearer(apart: FloatArray, way: FloatArray) -> str:
    """How far to move an item until it touches, along each axis."""
    return f"Move it {moves_text(np.where(way > 0.0, apart, -apart).tolist())} to touch"


def _keys(subject: Subject) -> tuple[CureKey, ...]:
    battery = subject.design.battery
    return (CureKey("battery.z_mm", battery.z_mm - 25.0, battery.z_mm + 25.0, 0.5), *battery_keys(subject))


def _inside_keys(subject: Subject) -> tuple[CureKey, ...]:
    """Places of the items that are outside, along each axis, as far as the aeroplane reaches."""
    reach = box_of(subject.airframe)
    if reach is None:
        return ()
    low, high = reach[0].tolist(), reach[1].tolist()
    lost = {finding.where.split(".")[1] for finding in outside(subject) if finding.verdict != "clear"}
    return tuple(
        CureKey(f"equipment.{item.id}.{axis}_mm", min(low[at], place), max(high[at], place), 1.0)
        for item in subject.design.equipment
        if item.id in lost
        for at, (axis, place) in enumerate((("x", item.x_mm), ("y", item.y_mm), ("z", item.z_mm)))
    )


__all__ = ["PRESS_MM", "RULES", "STUCK_MM", "Thing", "boxes", "deepest", "in_board", "outside"]

RULES = (Rule("G85", in_board, _keys), Rule("G86", outside, _inside_keys))
