"""Twist of a wing of single board: the block that sets it, what holds it; the spar where the wing bends."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import atan2, degrees, radians, sin

import numpy as np

from foldwright.airframe.flat_checks import JUDGEMENT, finding, least
from foldwright.airframe.model import Note
from foldwright.airframe.plan import PlanBay
from foldwright.base.finding import Finding, Param
from foldwright.base.types import FloatArray
from foldwright.design.wings import PlateWing

HELD_SHARE = 0.75  # [judgement]: of a bay's length that a spar or doubler has to reach to hold its twist
JOINER_EACH_MM = 40.0  # [judgement]: of a joiner on either side of the cut, at least
JOINER_WIDTHS = 12.0  # [judgement]: of a joiner on either side, in widths of the spar
_TURN = radians(0.01)


@dataclass(frozen=True, slots=True)
class Bend:
    """Place where a spar is cut. y: of it from the centre line, mm. rise, plan: angle between its lengths
    seen from ahead (positive: tips up) and from above (positive: swept aft), rad. room: length of the
    shorter of the two, mm.
    """

    y: float
    rise: float
    plan: float
    room: float


def washout_notes(part: PlateWing, bays: Sequence[PlanBay]) -> tuple[Note, ...]:
    """G200: the block that twists a bay while the glue of what holds the twist dries.

    First principles: turned about the leading edge, the trailing edge comes to chord*sin(washout); washed
    in, the leading edge does.
    """
    found = []
    for bay in bays:
        turn, names = bay.outer.washout, _holders(part, bay)
        if abs(turn) < _TURN or not names:
            continue
        params: dict[str, Param] = {
            "bay": bay.number + 1, "y": round(bay.outer.y, 1), "washout": round(degrees(turn), 2),
            "block": round(abs(bay.outer.chord * sin(turn)), 1),
            "edge": "trailing" if turn > 0.0 else "leading", "what": " and ".join(names),
        }  # fmt: skip
        found.append(Note("G200", part.id, params))
    return tuple(found)


def check_washout(part: PlateWing, bays: Sequence[PlanBay]) -> Iterator[Finding]:
    """G201: a bay that is twisted and has nothing that holds the twist."""
    for bay in bays:
        turn = bay.outer.washout - bay.inner.washout
        if abs(turn) < _TURN or _holders(part, bay):
            continue
        reaches = (part.spar is not None and part.spar.reach_mm) or (
            part.doubler is not None and part.doubler.reach_mm
        )
        params: dict[str, Param] = {
            "bay": bay.number + 1, "turn": degrees(abs(turn)), "need": least(_need(bay)),
            "flat": round(degrees(bay.inner.washout), 2),
            "short": f" (what there is ends at {reaches:g} mm)" if reaches else "",
        }  # fmt: skip
        where = f"{part.id}.bay.{bay.number + 1}.washout_deg"
        yield finding(where, "G201", (degrees(abs(turn)), 0.0, "deg"), params, "watch", JUDGEMENT)


def _need(bay: PlanBay) -> float:
    return bay.inner.y + HELD_SHARE * (bay.outer.y - bay.inner.y)


def _holders(part: PlateWing, bay: PlanBay) -> list[str]:
    """What holds a bay's twist once it is glued, in words."""
    names, half, need = [], part.span_mm / 2.0, _need(bay) - 1e-6
    if part.spar is not None and (part.spar.reach_mm or half) >= need:
        names.append("the spar in")
    if part.doubler is not None and (part.doubler.reach_mm or half) >= need:
        names.append("the doubler on")
    if part.camber:
        names.append("the opened camber fold along its length")
    return names


def spar_bends(line: FloatArray, rises: Sequence[tuple[float, float]]) -> tuple[Bend, ...]:
    """Where a spar's line bends, from the centre line outward on the right.

    line (n, 3): from the left tip to the right one in the wing's own frame, mm, straight between its points.
    rises: level distance of each bay's inner end from the centre line, mm, and its rise, rad.
    """
    found = []
    for before, here, after in zip(line, line[1:], line[2:], strict=False):
        if here[1] < -1e-6:
            continue
        into, out = here - before, after - here
        plan = atan2(float(out[0]), float(out[1])) - atan2(float(into[0]), float(into[1]))
        number = int(np.argmin([abs(y - float(here[1])) for y, _ in rises]))
        rise = 2.0 * rises[0][1] if number == 0 else rises[number][1] - rises[number - 1][1]
        room = min(float(np.linalg.norm(into)), float(np.linalg.norm(out)))
        found.append(Bend(rises[number][0], rise, plan, room))
    return tuple(found)


def bay_rises(bays: Sequence[PlanBay]) -> tuple[tuple[float, float], ...]:
    """Level distance of each bay's inner end from the centre line, mm, and its rise, rad."""
    return tuple((bay.inner.y, bay.dihedral) for bay in bays)


def joiner_notes(name: str, bends: Sequence[Bend], width: float) -> tuple[Note, ...]:
    """G202 of every bend: how long a joiner has to be, and to which angle. width: of the spar, mm."""
    return tuple(Note("G202", name, _joiner(bend, width)) for bend in bends)


def _joiner(bend: Bend, width: float) -> dict[str, Param]:
    each = min(max(JOINER_EACH_MM, JOINER_WIDTHS * width), bend.room)
    seen = []
    for angle, ways, view in (
        (bend.rise, ("tips up", "tips down"), "ahead"),
        (bend.plan, ("swept aft", "swept forward"), "above"),
    ):
        if abs(degrees(angle)) >= 0.05:
            seen.append(f"{abs(degrees(angle)):.1f}° seen from {view} ({ways[angle < 0.0]})")
    place = "at the root" if bend.y < 1e-6 else f"{bend.y:.1f} mm from the centre line on both sides"
    return {"place": place, "bend": " and ".join(seen) or "less than 0.1°", "long": round(2.0 * each)}
