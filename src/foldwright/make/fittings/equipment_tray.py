"""The solid of an equipment tray."""

from __future__ import annotations

from math import atan2, hypot

import numpy as np
import shapely

from foldwright.airframe.tray_shape import TAPER, Peg, TrayShape
from foldwright.base.types import FloatArray
from foldwright.design.workshop import Printer
from foldwright.geometry.solid.core import Solid, extrude, hull, rod, union, without
from foldwright.geometry.solid.shape import OVER, Plane, disc, placing, wedge
from foldwright.geometry.transform import inverse
from foldwright.make.printing import Made

SHAPE = TrayShape
_THIN = 1e-3
_SUNK = 0.3
"""Pegs reach so far into their pads, mm; it joins them and adds nothing."""


def solid(shape: TrayShape, _printer: Printer) -> Made:
    """A plate along the floor with all that stands on it; printed on its underside, without support.

    Roofs of the cable ties' tunnels and of the straps' grooves are bridged.
    """
    plate = wedge(shape.area, _floor(shape, 0.0), _floor(shape, shape.thick))
    parts = [plate]
    middle = _floor(shape, shape.thick / 2.0)
    for one, area in shape.stacked():
        top = Plane((0.0, 0.0, one.top), (0.0, 0.0, 1.0)) if one.level else _floor(shape, one.top)
        parts += [wedge(part, middle, top) for part in shapely.get_parts(area) if part.area > 1e-6]
    parts += [_peg(peg) for peg in shape.pegs]
    cut = [
        wedge(
            shapely.Polygon(hollow.ring),
            _floor(shape, hollow.low if hollow.low > 0.0 else -OVER),
            _floor(shape, hollow.high),
        )
        for hollow in shape.hollows
    ]
    return Made(
        without(union(parts), cut), _level(shape), "flat side down, pegs and rims up",
        notes=("The roofs of the tunnels and grooves are short bridges: no support in them.",),
    )  # fmt: skip


def _floor(shape: TrayShape, over: float) -> Plane:
    """The floor, raised upright by `over`."""
    return Plane((0.0, 0.0, over), (-shape.slope[0], -shape.slope[1], 1.0))


def _level(shape: TrayShape) -> FloatArray:
    """4x4 that lays its sloping underside flat, its x axis kept as nearly as can be."""
    lean: FloatArray = inverse(placing((0.0, 0.0, 0.0), (-shape.slope[0], -shape.slope[1], 1.0)))
    return lean if atan2(hypot(*shape.slope), 1.0) > 1e-9 else np.eye(4)


def _peg(peg: Peg) -> Solid:
    """Cylinder and cone."""
    top = peg.z + peg.high
    foot = rod((peg.x, peg.y, peg.z - _SUNK), (peg.x, peg.y, top), peg.diameter)
    return foot + cone((peg.x, peg.y, top), peg.diameter, peg.diameter - TAPER, TAPER)


def cone(at: tuple[float, float, float], low: float, high: float, tall: float) -> Solid:
    """A frustum that stands at a point: diameters of its foot and top."""
    x, y, z = at
    foot = extrude(disc((x, y), low), _THIN, z)
    return hull((foot, extrude(disc((x, y), high), _THIN, z + tall - _THIN)))
