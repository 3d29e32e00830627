"""How two halves of a surface are joined at the centre line, and bays that are blanks of their own: what the
builder is told.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import atan2, cos, sin

from foldwright.airframe.model import LiftingSurface, Note
from foldwright.base.finding import Param

LEVEL_MM = 0.5
"""[judgement] a tip that stands lower than this lies on the table."""
STEP_MM = 0.5
"""[judgement] blocks are made to this: two layers of card."""


@dataclass(frozen=True, slots=True)
class BayJoint:
    """Two blanks of a half that are glued end to end.

    inner, outer: their names on the right. y: of the joint from the centre line, mm. rise: of the bay inboard
    of it against level, rad. bays: length along itself in mm and rise in rad of every bay of the outer blank,
    outward.
    """

    inner: str
    outer: str
    y: float
    rise: float
    bays: tuple[tuple[float, float], ...]


def tip_block(surface: LiftingSurface) -> float:
    """How high one tip stands over a table that the other half's inmost bay lies flat on, mm.

    First principles: the aeroplane rolled by the rise of that bay; along the leading edge, root to tip. A
    half that droops stands on the table by its tip: negative.
    """
    out, up = (surface.le[1, axis] - surface.le[0, axis] for axis in (1, 2))
    rise = atan2(float(up), float(out))
    tip = surface.le[-1] - surface.le[0]
    return float(tip[1]) * sin(rise) + float(tip[2]) * cos(rise)


def halves_note(surface: LiftingSurface) -> Note:
    """G198 for halves that meet at an angle, G199 for halves that meet level."""
    block = tip_block(surface)
    if abs(block) < LEVEL_MM:
        return Note("G199", surface.id)
    return Note("G198", surface.id, {"block": round(block)})


def bay_block(joint: BayJoint) -> float:
    """How high the outer blank's end stands over a table that the bay inboard of the joint lies flat on, mm.

    First principles: each bay of length l adds l*sin(its rise - the inner bay's). Negative where it droops.
    """
    return sum(length * sin(rise - joint.rise) for length, rise in joint.bays)


def bay_notes(part: str, joints: Sequence[BayJoint]) -> tuple[Note, ...]:
    """G34 for a blank that rises from the one inboard of it, G35 for one that lies level with it, G36 for one
    that droops.
    """
    found = []
    for joint in joints:
        block = bay_block(joint)
        names: dict[str, Param] = {"inner": joint.inner, "outer": joint.outer, "y": round(joint.y, 1)}
        if abs(block) < LEVEL_MM:
            found.append(Note("G35", part, names))
            continue
        high = round(abs(block) / STEP_MM) * STEP_MM
        found.append(Note("G34" if block > 0.0 else "G36", part, {**names, "block": high}))
    return tuple(found)
