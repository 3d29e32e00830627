"""How a builder sees a thrust line built in: which way the propeller end of the motor points."""

from __future__ import annotations


def tilt_words(tilt_deg: float, rear: bool) -> str:
    """tilt_deg: of the thrust vector, nose-up positive; rear: the propeller is the shaft's aft end."""
    size = round(abs(tilt_deg), 1)
    if size == 0.0:
        return "propeller end level"
    higher = (tilt_deg > 0.0) != rear
    return f"propeller end {size:g}° {'higher' if higher else 'lower'}"


def aside_words(side_deg: float, rear: bool) -> str:
    """side_deg: of this motor's thrust vector, to the right of the aeroplane positive; "" for none."""
    size = round(abs(side_deg), 1)
    if size == 0.0:
        return ""
    right = (side_deg > 0.0) != rear
    return f"{size:g}° to the aeroplane's {'right' if right else 'left'}"


def short_words(tilt_deg: float, side_deg: float, rear: bool) -> tuple[str, str]:
    """What stands on the mount's two sides, short enough for them: "2.9 HI" or "2.9 LO" of the propeller end,
    "2 R" or "2 L" of side thrust, "" for none.
    """
    tilt, side = round(abs(tilt_deg), 1), round(abs(side_deg), 1)
    first = f"{tilt:g} {'HI' if (tilt_deg > 0.0) != rear else 'LO'}" if tilt else "0"
    second = f"{side:g} {'R' if (side_deg > 0.0) != rear else 'L'}" if side else ""
    return first, second
