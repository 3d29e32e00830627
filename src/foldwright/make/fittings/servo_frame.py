"""The servo frame as a solid. Printed on its rim."""

from __future__ import annotations

from foldwright.airframe.fittings.servo_frame import ServoFrameShape
from foldwright.design.workshop import Printer
from foldwright.geometry.solid.core import box, rod, union, without
from foldwright.make.printing import Made

SHAPE = ServoFrameShape
_FAR = 1.0


def solid(shape: ServoFrameShape, printer: Printer) -> Made:
    """Rim, posts or collar, less pocket, screw holes and the notch for the leads."""
    del printer
    (long, wide), (x0, x1, y0, y1) = shape.pocket, shape.rect
    parts = [box((x0, y0, 0.0), (x1, y1, shape.deep))]
    length, across, high = shape.post
    if high > shape.deep:
        parts.extend(
            box((low, -across / 2.0, 0.0), (low + length, across / 2.0, high))
            for low in (-long / 2.0 - length, long / 2.0)
        )
    if shape.wall > 0.0:
        a, b = long / 2.0 + shape.wall, wide / 2.0 + shape.wall
        parts.append(box((-a, -b, 0.0), (a, b, shape.collar)))
    top = max(shape.deep, high, shape.collar) + _FAR
    taken = [box((-long / 2.0, -wide / 2.0, -_FAR), (long / 2.0, wide / 2.0, top))]
    notch, into = shape.lead
    if notch > 0.0:
        taken.append(box((long / 2.0 - _FAR, -notch / 2.0, -_FAR), (long / 2.0 + into, notch / 2.0, top)))
    if shape.screws > 0.0:
        taken += [
            rod((s * shape.screws, 0.0, -_FAR), (s * shape.screws, 0.0, top), shape.pilot)
            for s in (-1.0, 1.0)
        ]
    return Made(without(union(parts), taken), orientation="on its rim, as it is glued to the board")
