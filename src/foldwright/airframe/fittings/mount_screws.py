"""Screws of a motor mount: the motor's own, and those that hold the mount to its former."""

from __future__ import annotations

from math import cos, hypot, radians, sin

import shapely

from foldwright.airframe.fitting_places import area_of
from foldwright.airframe.fittings.mount_backing import least_rim
from foldwright.airframe.fittings.mount_room import fitted_rect, rect_sides
from foldwright.airframe.fittings.mount_shape import EAR_MM, Rect, rect_area
from foldwright.design.resolve import FittedMotor
from foldwright.geometry.solid.core import Area

HEAD_SHARE, HEAD_MORE = 1.5, 1.0
"""Diameter of a screw's head: 1.5 d + 1 mm (ISO 4762: M2 3.8, M3 5.5, M4 7)."""
HEAD_PLAY = 0.6
EARS_MM = (1.0, 1.5, 2.0, 2.5, 3.0, 3.5, 4.5)
"""How far the block may reach past the motor, so that screws find room beside it, mm: the least that does."""
SCREW_MM = 2.0
"""Screws through the former, mm: M2."""
SCREW_G = 0.55
"""One of them, 16 mm long, with its nut: steel, from its volume."""
SCREW_IN_MM = EAR_MM
"""Their middles from the block's edges, mm."""


def motor_holes(motor: FittedMotor) -> tuple[tuple[float, float], ...]:
    """Middles of the motor's screws, see `mount_shape`."""
    return tuple(
        (across / 2.0 * sin(radians(angle)), across / 2.0 * cos(radians(angle)))
        for across, angle in motor.bolts_mm
    )


def head_room(motor: FittedMotor) -> float:
    """Room for the head of a motor's screw, mm."""
    return HEAD_SHARE * motor.bolt_mm + HEAD_MORE + HEAD_PLAY


def pocket_of(motor: FittedMotor, shaft: float) -> Rect:
    """Room for the heads of the motor's screws and for what stands out behind it, mm."""
    half, spots = head_room(motor) / 2.0, motor_holes(motor)
    reach = [
        max(shaft / 2.0, *(sign * at[axis] + half for at in spots)) for sign in (-1.0, 1.0) for axis in (0, 1)
    ]
    return -reach[0], -reach[1], reach[2], reach[3]


def former_screws(
    outline: Rect, motor: FittedMotor, pocket: Rect, room: Area, screw: float
) -> tuple[tuple[float, float], ...]:
    """Screws through the former: as far apart as mount and plate behind it have room, where a driver gets
    past the motor and the pocket leaves a wall. room: behind the former.
    """
    plate = room.buffer(-least_rim(screw) / 2.0 - 0.05)
    both = rect_area(rect_sides(outline, -SCREW_IN_MM)).intersection(plate)
    far, off = (motor.diameter_mm + HEAD_SHARE * SCREW_MM + HEAD_MORE) / 2.0, SCREW_MM / 2.0 + 1.2
    spread = fitted_rect(area_of(both), (-off, -off, off, off), hypot(*outline[2:]) + far)
    if spread is None:
        return ()
    x0, y0, x1, y1 = spread
    open_to = rect_area(pocket, head_room(motor) / 2.0)
    corners = [(x, y) for x in (x0, x1) for y in (y0, y1)]
    return tuple(at for at in corners if hypot(*at) > far and open_to.distance(shapely.Point(*at)) > off)
