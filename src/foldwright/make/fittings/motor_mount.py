"""The motor mount as a solid. Printed on its motor face, pocket and slanted foot upward: no support."""

from __future__ import annotations

from math import pi

import numpy as np
import shapely
from shapely import affinity

from foldwright.airframe.fittings.mount_shape import MotorMountShape
from foldwright.design.workshop import Printer
from foldwright.geometry.solid.core import Solid, extrude, rod, without
from foldwright.geometry.solid.shape import OVER, Plane, arrow, wedge
from foldwright.geometry.transform import turn
from foldwright.make.fittings.side_words import face_at, sunk
from foldwright.make.printing import Made

SHAPE = MotorMountShape

ARROW_MM = (3.4, 4.0)
"""Length and width of the arrow that points up on the motor's face."""
ARROW_DEEP_MM = 0.6
_BEFORE = 0.8
MARKED = (
    "The arrow and UP point to the top of the aeroplane. On its sides: degrees by which the propeller end of"
    " the motor stands higher (HI) or lower (LO), and points to the aeroplane's right (R) or left (L)."
)
THROUGH = (
    "The motor's screws go in from the pocket, through {plate:g} mm. Try their length first: one that is too"
    " long runs into the winding."
)


def solid(shape: MotorMountShape, _printer: Printer) -> Made:
    """Block less pocket and holes, an arrow up on the motor's face, words on its sides."""
    h0, hx, hy = shape.foot
    foot = Plane((0.0, 0.0, -h0), (hx, hy, 1.0))
    body = wedge(shape.block_area, foot, Plane((0.0, 0.0, 0.0), (0.0, 0.0, 1.0)))
    deep = shape.depths[1] + 1.0
    pocket = extrude(shape.pocket_area, deep - shape.plate, -deep)
    holes = [rod((x, y, -deep), (x, y, OVER), shape.bolt) for x, y in shape.bolts]
    holes += [rod((x, y, -deep), (x, y, OVER), shape.screw) for x, y in shape.screws]
    holes.append(rod((0.0, 0.0, -deep), (0.0, 0.0, OVER), shape.shaft))
    body = without(body, [pocket, *holes, _arrow(shape)])
    return Made(
        _worded(body, shape),
        turn(np.zeros(3), np.array([1.0, 0.0, 0.0]), pi),
        "motor face down, the open pocket and the foot upward",
        notes=(MARKED, THROUGH.format(plate=shape.plate)),
    )


def _arrow(shape: MotorMountShape) -> Solid:
    """Sunk into the motor's face at the upper edge, or at the lower one where the leads go out above."""
    length, width = ARROW_MM
    above = shape.notch is None or shape.notch[3] < shape.outline[3]
    tail = shape.trunk[3] - 0.8 - length if above else shape.trunk[1] + 0.8
    area = affinity.translate(affinity.rotate(arrow(length, width, length), 90.0, (0.0, 0.0)), 0.0, tail)
    return extrude(area, ARROW_DEEP_MM + OVER, -ARROW_DEEP_MM)


def _worded(body: Solid, shape: MotorMountShape) -> Solid:
    """Words on top, right and left side, upright toward the propeller; not where the leads go out."""
    x0, y0, x1, y1 = shape.trunk
    room_x, room_y = x1 - x0 - 6.0, y1 - y0 - 6.0
    cx, cy = (x0 + x1) / 2.0, (y0 + y1) / 2.0
    sides = (((cx, y1), (0.0, 1.0), room_x), ((x1, cy), (1.0, 0.0), room_y), ((x0, cy), (-1.0, 0.0), room_y))
    for text, (at, out, wide) in zip(shape.words, sides, strict=False):
        if shape.notch is not None and _at_notch(shape, out):
            continue
        here, free = _clear_of_ears(shape, at, out, wide)
        if free <= 0.0:
            continue
        half = free / 2.0
        high = min(shape.depth((here[0] - out[1] * s * half, here[1] + out[0] * s * half)) for s in (1, -1))
        middle = (here[0], here[1], -high / 2.0)
        body = sunk(body, text, face_at(middle, (*out, 0.0), (0.0, 0.0, 1.0)), (free, high))
    return body


def _clear_of_ears(
    shape: MotorMountShape, at: tuple[float, float], out: tuple[float, float], wide: float
) -> tuple[tuple[float, float], float]:
    """Middle and length of the longest part of a side that no ear stands before; length 0 without one."""
    half = wide / 2.0
    ends = [
        (at[0] + out[0] * _BEFORE - out[1] * s * half, at[1] + out[1] * _BEFORE + out[0] * s * half)
        for s in (1.0, -1.0)
    ]
    seen = shapely.LineString(ends).difference(shape.block_area.buffer(_BEFORE / 2.0))
    parts = [part for part in shapely.get_parts(seen) if part.length > 0.0]
    if not parts:
        # nothing stands out there, or the whole side is covered
        return at, 0.0
    part = max(parts, key=lambda one: (round(one.length, 6), -one.centroid.x, -one.centroid.y))
    return (part.centroid.x - out[0] * _BEFORE, part.centroid.y - out[1] * _BEFORE), float(part.length)


def _at_notch(shape: MotorMountShape, out: tuple[float, float]) -> bool:
    """Whether the leads go out on the side that looks to `out`."""
    if shape.notch is None:
        return False
    x0, _, x1, y1 = shape.outline
    nx0, _, nx1, ny1 = shape.notch
    return bool((out[0] > 0 and nx1 > x1) or (out[0] < 0 and nx0 < x0) or (out[1] > 0 and ny1 > y1))
