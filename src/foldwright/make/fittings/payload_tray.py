"""The payload carrier's tray as a solid. Printed upside down: the rail narrows toward the foot."""

from __future__ import annotations

from math import pi

import numpy as np

from foldwright.airframe.fittings.payload_shape import HEAD_MM, TrayShape
from foldwright.design.workshop import Printer
from foldwright.geometry.solid.core import box, rod, union
from foldwright.geometry.transform import turn
from foldwright.make.fittings.payload_carrier import along
from foldwright.make.printing import Made

SHAPE = TrayShape


def solid(shape: TrayShape, _printer: Printer) -> Made:
    """Stem and two dovetailed heads, with the pin's hole."""
    r = shape.rail
    half = r.half_long
    stem = box((-half, -r.stem, 0.0), (half + r.tab, r.stem, r.top))
    heads = [along(shape.head_area, start, start + HEAD_MM) for start in (-half, half - HEAD_MM)]
    hole = rod((r.pin_x, 0.0, -1.0), (r.pin_x, 0.0, r.top + 1.0), shape.hole)
    return Made(
        union([stem, *heads]) - hole,
        turn(np.zeros(3), np.array([1.0, 0.0, 0.0]), pi),
        "upside down, the rail's top on the bed",
        notes=("Slide the carrier on and lock it before you glue the tray down, so that it sits straight.",),
    )
