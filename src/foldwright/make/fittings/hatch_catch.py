"""The hatch catch as a solid. Printed on its side, so that its layers run along pad, riser and tongue."""

from __future__ import annotations

from math import pi

import numpy as np

from foldwright.airframe.fittings.hatch_catch import HatchCatchShape
from foldwright.design.workshop import Printer
from foldwright.geometry.transform import turn
from foldwright.make.fittings.battery_stop import across
from foldwright.make.printing import Made

SHAPE = HatchCatchShape


def solid(shape: HatchCatchShape, _printer: Printer) -> Made:
    """The section raised across."""
    return Made(
        across(shape.section, -shape.wide / 2.0, shape.wide / 2.0),
        turn(np.zeros(3), np.array([1.0, 0.0, 0.0]), pi / 2.0),
        "on its side, the section upright",
        notes=(
            "Put the hatch in rear edge first: the tongue goes under the wing, then press the front down.",
        ),
    )
