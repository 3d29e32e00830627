"""How two halves of a surface are joined at the centre line: what the builder is told."""

from __future__ import annotations

from math import atan2, cos, sin

from foldwright.airframe.model import LiftingSurface, Note

LEVEL_MM = 0.5
"""[judgement] a tip that stands lower than this lies on the table."""


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
