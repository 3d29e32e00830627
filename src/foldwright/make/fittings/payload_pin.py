"""The locking pin of a payload carrier as a solid. Printed on its head."""

from __future__ import annotations

from math import pi

import numpy as np

from foldwright.airframe.fittings.payload_shape import PinShape
from foldwright.design.workshop import Printer
from foldwright.geometry.solid.core import rod
from foldwright.geometry.transform import turn
from foldwright.make.printing import Made

SHAPE = PinShape


def solid(shape: PinShape, _printer: Printer) -> Made:
    """A shank and a head."""
    shank = rod((0.0, 0.0, -shape.long), (0.0, 0.0, shape.thick / 2.0), shape.diameter)
    head = rod((0.0, 0.0, 0.0), (0.0, 0.0, shape.thick), shape.head)
    return Made(
        shank + head,
        turn(np.zeros(3), np.array([1.0, 0.0, 0.0]), pi),
        "standing on its head",
        notes=("Tape over its head before each flight; lost, a 3 mm screw does as well.",),
    )
