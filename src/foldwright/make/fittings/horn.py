"""The control horn as a solid. Printed on the blade's side, so that the layers lie along the load."""

from __future__ import annotations

from math import isnan, pi, sin

import numpy as np
import shapely
from shapely import affinity

from foldwright.airframe.fitting_model import Fitting
from foldwright.airframe.fittings.horn import GLUE_HOLE_MM, HornShape
from foldwright.airframe.fittings.horn_words import up_down
from foldwright.base.types import FloatArray
from foldwright.design.workshop import Printer
from foldwright.evaluate import Results
from foldwright.geometry.solid.core import Area, Solid, box, extrude, rod, without
from foldwright.geometry.solid.letters import letters
from foldwright.geometry.transform import turn
from foldwright.make.card_controls import controls
from foldwright.make.printing import Made
from foldwright.review.linkage_rules import riggings

SHAPE = HornShape

LETTER_MM, STEM_MM, DEEP_MM = 4.5, 0.9, 0.5
EDGE_MM = 0.8
"""A letter keeps this far off the blade's edge and the foot, mm."""
_OVER = 0.01
_X = np.array([1.0, 0.0, 0.0])


def solid(shape: HornShape, printer: Printer) -> Made:
    """Blade with its eye, foot to one side, letter on the side that the foot is on."""
    del printer
    x0, x1, y0, y1 = shape.foot
    half = shape.thick / 2.0
    body = _plate(shape.blade, -half, half) + box((x0, y0, 0.0), (x1, y1, shape.deep))
    holes = [rod((0.0, -half - 1.0, shape.height), (0.0, half + 1.0, shape.height), shape.hole)]
    holes += [rod((x, y, -1.0), (x, y, shape.deep + 1.0), GLUE_HOLE_MM) for x, y in shape.glue_holes]
    letter = _letter(shape)
    if letter is not None:
        top = shape.hand * half
        low, high = sorted((top - shape.hand * DEEP_MM, top + shape.hand * _OVER))
        holes.append(_plate(letter, low, high))
    notes: tuple[str, ...] = ("solid: at less infill the eye tears out",)
    if shape.mark:
        notes += (f"{'right' if shape.mark == 'R' else 'left'} horn: the letter {shape.mark} says so",)
    return Made(
        without(body, holes),
        _lay(shape),
        "on the blade's flat side, the foot standing up as a wall",
        notes=notes,
    )


def notes(fitting: Fitting, results: Results) -> tuple[str, ...]:
    """The rod for the card's neutral, and how far servo travel takes the trailing edge with it; where the
    card has no neutral, the rod for the control in line.
    """
    found = riggings(results.subject).get(fitting.id)
    if found is None:
        rod = f"{fitting.figures['rod_mm']:.1f} mm"
        return (f"push rod of {fitting.id}: for the control in line {rod} between the holes",)
    drive, one = found
    line, (up, down) = drive.line, up_down(drive)
    chord = next(
        (
            float(row["chord_mm"])
            for row in controls(results)
            if row["control"] == line.control.id and line.placed.part in row["parts"]
        ),
        line.control.chord,
    )
    edge, ends = chord * sin(one.neutral), (chord * sin(one.up), chord * sin(one.down))
    stands = f"{abs(edge):.1f} mm {up if edge >= 0.0 else down}"
    reach = " and ".join(
        f"to where the rod locks {way}" if isnan(end) else f"{end:.1f} mm {way}"
        for end, way in zip(ends, (up, down), strict=True)
    )
    wants = f"wants {one.rod:.1f} mm between the holes"
    rod = f"push rod of {fitting.id}: neutral as on the card, {stands}, {wants}"
    return (f"{rod}; the servo's full travel then reaches {reach}, from in line",)


def _lay(shape: HornShape) -> FloatArray:
    """Turns the side that the foot is on upward."""
    return turn(np.zeros(3), _X, shape.hand * pi / 2.0)


def _plate(area: Area, low: float, high: float) -> Solid:
    """An area in (x, z) as a plate from y = low to y = high."""
    # turned by +90° about x, (x, y, z) goes to (x, -z, y): the area's second axis becomes z
    return extrude(area, high - low, -high).placed(turn(np.zeros(3), _X, pi / 2.0))


def _letter(shape: HornShape) -> Area | None:
    """The mark in (x, z), to be read from the foot's side; None without one or without room for it."""
    if not shape.mark:
        return None
    area = letters(shape.mark, LETTER_MM, STEM_MM)
    if shape.hand > 0:  # seen from +y with z up, x runs to the left
        area = affinity.scale(area, -1.0, 1.0, origin=(0.0, 0.0))
    eye = shapely.Point(0.0, shape.height).buffer(shape.hole / 2.0 + 1.2)
    room = shape.blade.difference(eye).difference(
        shapely.box(shape.fore - 50.0, -1.0, shape.fore + 50.0, shape.deep)
    )
    room = room.buffer(-EDGE_MM)
    x0, y0, x1, y1 = area.bounds
    for z in np.arange(shape.deep + EDGE_MM, shape.height, 0.5).tolist():
        row = room.intersection(shapely.box(-100.0, z, 100.0, z + y1 - y0))
        if row.is_empty:
            continue
        for x in np.arange(row.bounds[0], row.bounds[2] - (x1 - x0) + 0.25, 0.25).tolist():
            moved = affinity.translate(area, x - x0, z - y0)
            if room.covers(moved):
                return moved
    return None
