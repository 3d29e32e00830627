"""The battery stop as a solid. Printed on its side, so that its layers run round the corner."""

from __future__ import annotations

from math import pi

import numpy as np
import shapely

from foldwright.airframe.fittings.battery_stop import BatteryStopShape
from foldwright.design.workshop import Printer
from foldwright.geometry.solid.core import Area, Solid, extrude, union
from foldwright.geometry.transform import turn
from foldwright.make.printing import Made

SHAPE = BatteryStopShape

_UPRIGHT = turn(np.zeros(3), np.array([1.0, 0.0, 0.0]), pi / 2.0)
"""An area of (x, z) raised along y: (x, y, z) to (x, -z, y)."""


def across(area: Area, low: float, high: float) -> Solid:
    """An area of the plane (x, z) raised along y from `low` to `high`."""
    return extrude(area, high - low, -high).placed(_UPRIGHT)


def solid(shape: BatteryStopShape, _printer: Printer) -> Made:
    """An angle with a cheek on the side that lies on the bed: on the other it would be printed on air."""
    half, t = shape.wide / 2.0, shape.thick
    angle = shapely.Polygon([
        (0.0, 0.0), (shape.foot, 0.0), (shape.foot, t), (t, t), (t, shape.high), (0.0, shape.high),
    ])  # fmt: skip
    cheek = shapely.Polygon([
        (0.0, 0.0), (shape.foot, 0.0), (shape.foot, t), (t + shape.leg, t), (t, t + shape.leg),
        (t, shape.high), (0.0, shape.high),
    ])  # fmt: skip
    # y = -half comes to lie on the bed
    body = union([across(angle, -half, half), across(cheek, -half, shape.cheek - half)])
    return Made(
        body,
        turn(np.zeros(3), np.array([1.0, 0.0, 0.0]), pi / 2.0),
        "on its side, the corner upright",
        notes=("Glue its foot down; a strip of soft tape on the wall spares the battery's skin.",),
    )
