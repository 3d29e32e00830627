"""Clearance gauge for the printer: a square pin, and holes that are wider than it in steps."""

from __future__ import annotations

import shapely

from foldwright.design.workshop import Printer, Template
from foldwright.geometry.solid.core import Solid, box, extrude
from foldwright.geometry.solid.letters import least_height, letters, letters_size
from foldwright.geometry.solid.shape import at_place, middle_of, recess, rounded
from foldwright.make.printing import Made

PIN_MM, PIN_LONG_MM, GRIP_MM, GRIP_HIGH_MM = 8.0, 14.0, 15.0, 6.0
STEP_MM, STEPS = 0.05, 10
PLATE_MM = 4.0
COLUMNS, PITCH_X, PITCH_Y = 5, 19.0, 22.0
KEY = "printer.clearance_mm"
_FOOT_MM, _FOOT_HIGH_MM = 0.4, 0.6  # the first layers spread: the holes are wider there
_EDGE = 3.0


def clearances() -> tuple[float, ...]:
    """Clearances all round that the holes have, mm."""
    return tuple(round(STEP_MM * (k + 1), 2) for k in range(STEPS))


def hole_for(clearance: float) -> float:
    """Side of the hole with that clearance all round the pin, mm."""
    return PIN_MM + 2.0 * clearance


def places() -> tuple[tuple[float, float], ...]:
    """Middles of the holes, the least clearance first: rows from the top."""
    return tuple(
        ((k % COLUMNS - (COLUMNS - 1) / 2.0) * PITCH_X, (0.5 - k // COLUMNS) * PITCH_Y) for k in range(STEPS)
    )


def gauge_plate(template: Template) -> Solid:
    """The plate: holes, the clearance of each under it, the key along the lower edge."""
    stem = template.stem_mm
    words = letters(KEY, least_height(stem, KEY), stem)
    figures = [f"{one:.2f}" for one in clearances()]
    high = max(least_height(stem, text) for text in figures)
    wide = max((COLUMNS - 1) * PITCH_X + max(letters_size(t, high, stem)[0] for t in figures),
               words.bounds[2] - words.bounds[0]) + 2.0 * _EDGE  # fmt: skip
    top, bottom = PITCH_Y / 2.0 + 8.5, -PITCH_Y / 2.0 - 22.0
    solid = extrude(rounded(wide, top - bottom, 3.0, (0.0, (top + bottom) / 2.0)), PLATE_MM)
    for clearance, (x, y) in zip(clearances(), places(), strict=True):
        solid = solid - _square(hole_for(clearance), x, y, -1.0, PLATE_MM + 1.0)
        solid = solid - _square(hole_for(clearance) + 2.0 * _FOOT_MM, x, y, -1.0, _FOOT_HIGH_MM)
    sunk = [
        at_place(middle_of(letters(text, high, stem)), (x, y - hole_for(0.5) / 2.0 - 2.0 - high / 2.0))
        for text, (x, y) in zip(figures, places(), strict=True)
    ]
    sunk.append(at_place(middle_of(words), (0.0, bottom + 5.5)))
    whole = shapely.union_all(sunk)
    if not isinstance(whole, shapely.MultiPolygon):
        raise TypeError("letters in one piece")
    return recess(solid, whole, template.recess_mm, PLATE_MM)


def gauge_pin() -> Solid:
    """The pin on its grip, its free end narrowed for the first half millimetre."""
    half, grip = PIN_MM / 2.0, GRIP_MM / 2.0
    handle = extrude(rounded(2.0 * grip, 2.0 * grip, 2.0), GRIP_HIGH_MM)
    end = GRIP_HIGH_MM + PIN_LONG_MM
    body = box((-half, -half, GRIP_HIGH_MM - 0.01), (half, half, end - 0.5))
    tip = box((-half + 0.4, -half + 0.4, end - 0.51), (half - 0.4, half - 0.4, end))
    return handle + body + tip


def _square(side: float, x: float, y: float, low: float, high: float) -> Solid:
    half = side / 2.0
    return box((x - half, y - half, low), (x + half, y + half, high))


def clearance_gauge(printer: Printer, template: Template) -> tuple[tuple[str, str, Made, str], ...]:
    """Plate and pin: name, title, solid, use."""
    use = (
        "Print both as you print everything else, brush crumbs off, and try the pin in the holes from the"
        f" narrow end: the least figure whose hole it slides through by itself is {KEY}: foldwright workshop"
        f" measure FILE clearance FIGURE (the file says {printer.clearance_mm:g} now)."
    )
    return (
        ("clearance-gauge-plate", "Clearance gauge, plate",
         Made(gauge_plate(template), orientation="flat, letters up"), use),
        ("clearance-gauge-pin", "Clearance gauge, pin", Made(gauge_pin(), orientation="on its grip"), use),
    )  # fmt: skip
