"""Whether a thing lies on the printer's bed, and turned by how much. Lengths in mm, angles in rad."""

from __future__ import annotations

from collections.abc import Sequence
from math import atan2, pi

import numpy as np
import shapely

from foldwright.base.types import FloatArray
from foldwright.design.workshop import Printer
from foldwright.geometry.solid.core import Solid
from foldwright.geometry.transform import turn
from foldwright.make.printing import laid

_HAIR = 1e-6
_STEPS = 90
"""Directions that are tried over half a turn, besides those of its own edges."""


def room_of(printer: Printer) -> tuple[float, float, float]:
    """Length, width and height that may be printed on: the bed less its margin on every side."""
    length, width, height = printer.bed_mm
    return length - 2.0 * printer.margin_mm, width - 2.0 * printer.margin_mm, height


def room_text(printer: Printer) -> str:
    """The same in words."""
    return size_text(room_of(printer))


def size_text(size: Sequence[float]) -> str:
    """Such as "120 x 80 x 12"; tenths where there are any."""
    return " x ".join(f"{round(value, 1):g}" for value in size)


def footprint(body: Solid) -> FloatArray:
    """(n, 2) corners of the convex area that a body covers of the bed."""
    mesh = body.form.to_mesh()
    points = np.asarray(mesh.vert_properties, dtype=np.float64)[:, :2]
    ring = shapely.convex_hull(shapely.MultiPoint(points))
    if not isinstance(ring, shapely.Polygon):
        raise ValueError("a body without extent has no footprint")  # noqa: TRY004 - it is flat, not another type
    corners: FloatArray = np.asarray(ring.exterior.coords)[:-1]
    return corners


def seating(corners: FloatArray, length: float, width: float) -> float | None:
    """Angle about z, 0 ≤ a < π, that puts a convex footprint into length x width; None for none.

    As it lies goes before a quarter turn, and that before anything askew; among askew ones the least.
    """
    edges = np.diff(np.vstack([corners, corners[:1]]), axis=0)
    own = [(-atan2(dy, dx)) % pi for dx, dy in edges.tolist()]
    own += [(angle + pi / 2.0) % pi for angle in own]
    steps = [pi * k / _STEPS for k in range(_STEPS)]
    for angle in (0.0, pi / 2.0, *sorted({round(a, 9) for a in (*own, *steps)})):
        c, s = np.cos(angle), np.sin(angle)
        turned = corners @ np.array([[c, s], [-s, c]])
        extent = turned.max(axis=0) - turned.min(axis=0)
        if extent[0] <= length + _HAIR and extent[1] <= width + _HAIR:
            return float(angle)
    return None


def seated(body: Solid, printer: Printer) -> tuple[Solid, FloatArray] | None:
    """A laid body turned about z so that it lies on the bed, and the 4x4 back; None where it does not."""
    length, width, height = room_of(printer)
    if float(body.size[2]) > height + _HAIR:
        return None
    angle = seating(footprint(body), length, width)
    if angle is None:
        return None
    if angle == 0.0:
        return body, np.eye(4)
    return laid(body, turn(np.zeros(3), np.array([0.0, 0.0, 1.0]), angle))
