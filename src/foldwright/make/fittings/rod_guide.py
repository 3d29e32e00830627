"""The push rod guide as a solid. Printed on its end, so that bore and clip come out round."""

from __future__ import annotations

from math import pi, tan

import numpy as np

from foldwright.airframe.fittings.rod_guide import LONG_MM, RodGuideShape
from foldwright.base.types import FloatArray
from foldwright.design.workshop import Printer
from foldwright.geometry.solid.core import Area, Solid, extrude
from foldwright.geometry.transform import turn
from foldwright.make.printing import Made

SHAPE = RodGuideShape
_OVER = 1.0


def solid(shape: RodGuideShape, printer: Printer) -> Made:
    """Section drawn along x, less bore and mouth, which rise along x as the rod does."""
    del printer
    body = _drawn(shape.solid_area, LONG_MM)
    bore = _drawn(shape.bore_area, LONG_MM + 2.0 * _OVER)
    rises = np.eye(4)[:3]
    rises[2, 0] = tan(shape.lean)
    leaned = Solid(bore.form.transform(rises))
    lay = turn(np.zeros(3), np.array([0.0, 1.0, 0.0]), -pi / 2.0)
    notes = ("the tube snaps in from the top",)
    return Made(body - leaned, lay, "standing on its end, the bore upright", notes=notes)


def _drawn(area: Area, length: float) -> Solid:
    """An area in (y, z) drawn out along x, its middle at x = 0."""
    frame: FloatArray = np.eye(4)
    frame[:3, :3] = np.array([[0.0, 0.0, 1.0], [1.0, 0.0, 0.0], [0.0, 1.0, 0.0]])
    return extrude(area, length, -length / 2.0).placed(frame)
