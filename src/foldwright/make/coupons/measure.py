"""From what was read off a coupon to key and value of the workshop file."""

from __future__ import annotations

from dataclasses import dataclass
from math import isfinite
from typing import Literal

from foldwright.base.finding import Finding
from foldwright.design.workshop import Workshop
from foldwright.make.coupons.clearance_gauge import PIN_MM, hole_for
from foldwright.make.coupons.fold_strips import TURN_DEG
from foldwright.make.coupons.kerf_comb import TAB_MM, slot_for
from foldwright.make.coupons.readings import (
    clearance_from_fit,
    kerf_from_fit,
    outer_radius_from,
    squeeze_share_from,
)

What = Literal["kerf", "radius", "squeeze", "clearance"]

KEYS: dict[What, str] = {
    "kerf": "cutter.kerf_mm",
    "radius": "fold.outer_radius_mm",
    "squeeze": "fold.squeeze_share",
    "clearance": "printer.clearance_mm",
}
_SHORT_MM = 0.5
"""[judgement] error of a length measured with a steel rule: legs shorter than flat by more are a mistake."""


@dataclass(frozen=True, slots=True)
class Reading:
    """What was read. figure: written beside the slot, hole or band that was right; flat, outside: of a fold
    strip, both legs together, mm; angle: turn of the fold, degrees; band: width of the narrowest good one,
    mm.
    """

    figure: float | None = None
    flat: float | None = None
    outside: float | None = None
    angle: float = TURN_DEG
    band: float | None = None


def missing(what: What, reading: Reading) -> str:
    """What has to be given besides, in words; "" for nothing."""
    if what == "radius":
        return "" if reading.flat is not None and reading.outside is not None else "--flat and --outside"
    if what == "squeeze" and reading.band is not None:
        return ""
    more = " or --band" if what == "squeeze" else ""
    return "" if reading.figure is not None else f"the figure on the coupon{more}"


def value_of(what: What, reading: Reading, workshop: Workshop) -> float | Finding:
    """The key's value, mm rounded to 0.01 (a share to 0.01); P82 for a reading that cannot be, P84 without a
    printer.

    Raises ValueError where something is missing.
    """
    lack = missing(what, reading)
    if lack:
        raise ValueError(f"{what} needs {lack}")
    if what == "clearance" and workshop.printer is None:
        return Finding("P84", "no-go", "printer")
    wrong = _wrong(what, reading)
    if wrong is not None:
        return wrong
    return round(_value(what, reading, workshop), 2) + 0.0


def _value(what: What, reading: Reading, workshop: Workshop) -> float:
    figure = reading.figure or 0.0
    if what == "kerf":
        return kerf_from_fit(TAB_MM, slot_for(figure))
    if what == "clearance":
        return clearance_from_fit(hole_for(figure), PIN_MM)
    if what == "radius":
        return outer_radius_from(reading.flat or 0.0, reading.outside or 0.0, reading.angle)
    if reading.band is not None:
        return squeeze_share_from(reading.band, workshop.board.thickness, reading.angle)
    return figure


def _wrong(what: What, reading: Reading) -> Finding | None:
    """P82 for the first figure that cannot be what was measured."""
    flat, outside = reading.flat, reading.outside
    for name, value in (("the figure", reading.figure), ("--flat", flat), ("--outside", outside),
                        ("--band", reading.band), ("--angle", reading.angle)):  # fmt: skip
        if value is not None and not (isfinite(value) and value >= 0.0):
            return _cannot(what, name, f"{value:g}", "a length or share is no less than zero", "0 or more")
    if not 0.0 < reading.angle < 180.0:
        return _cannot(
            what, "--angle", f"{reading.angle:g}°", "a fold turns less than half round", "0 to 180°"
        )
    if what == "radius" and flat is not None and outside is not None:
        if flat == 0.0:
            return _cannot(what, "--flat", "0 mm", "the strip has a length", "about 160 mm")
        if outside < flat - _SHORT_MM:
            why = f"both legs measured outside are no shorter than the flat strip of {flat:g} mm"
            return _cannot(what, "--outside", f"{outside:g} mm", why, f"{flat:g} mm or more")
    return None


def _cannot(what: What, name: str, got: str, why: str, expected: str) -> Finding:
    params = {"what": name, "got": got, "why": why, "expected": expected}
    return Finding("P82", "no-go", KEYS[what], params)
