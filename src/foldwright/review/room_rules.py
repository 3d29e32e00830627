"""Rules G85-G86: equipment stands in the aeroplane and not in its board."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from foldwright.base.finding import Finding, Verdict
from foldwright.base.types import FloatArray
from foldwright.design.resolve import FittedBattery
from foldwright.flight.battery import BatteryPlace
from foldwright.geometry.fold.model import SQUARE, Blank, Panel
from foldwright.geometry.fold.solids import Piece, meeting, pieces
from foldwright.geometry.transform import inverse, shift
from foldwright.review.extents import box_of, extents
from foldwright.review.keys import battery_keys
from foldwright.review.subject import CureKey, Rule, Subject, judged

PRESS_MM, STUCK_MM = 1.0, 2.5
"""[judgement] how far foam gives way to a box, and from where a battery plainly does not go in."""
FAR_MM = 20.0
"""[judgement] how far outside the aeroplane's own box the middle of a piece of equipment may be."""


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
    length, width, height = box.size
    outline = np.array([(0.0, 0.0), (length, 0.0), (length, width), (0.0, width)])
    corner = box.centre - box.size / 2.0
    place = shift(*corner.tolist())
    blank = Blank(box.name, float(height), (Panel("box", outline, (SQUARE,) * 4),), (), "box", place)
    mine: Piece | None = None
    worst = ("", 0.0)
    for one, panel, low, high in extents(subject.airframe):
        if np.any(low >= corner + box.size - PRESS_MM) or np.any(high <= corner + PRESS_MM):
            continue
        mine = mine or pieces(blank)["box"]
        other = pieces(one.blank).get(panel.name)
        if other is None:
            continue
        bite = meeting(mine, other, inverse(place) @ one.transforms[panel.name])
        if bite.thickness > worst[1]:
            worst = (f"{one.blank.name} {panel.name}", bite.thickness)
    return worst


def outside(subject: Subject) -> tuple[Finding, ...]:
    """G86: every piece of equipment is in or on the aeroplane."""
    reach = box_of(subject.airframe)
    if reach is None:
        return ()
    low, high = reach
    found: list[Finding] = []
    for item in subject.fitted.items:
        middle = np.array(item.place_mm)
        off = float(np.max(np.maximum(low - middle, middle - high)))
        found += judged(
            "G86", "clear" if off <= FAR_MM else "watch", f"equipment.{item.item}.x_mm", max(off, 0.0),
            FAR_MM, "mm", "[judgement]", name=item.id, off=round(max(off, 0.0)),
        )  # fmt: skip
    return tuple(found)


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


__all__ = ["PRESS_MM", "RULES", "STUCK_MM", "Thing", "boxes", "deepest", "extents", "in_board", "outside"]

RULES = (Rule("G85", in_board, _keys), Rule("G86", outside, _inside_keys))
