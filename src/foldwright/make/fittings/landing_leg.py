"""The solid of a landing leg."""

from __future__ import annotations

import numpy as np
import shapely

from foldwright.airframe.fittings.landing_leg import CHAMFER_MM, SCREW_MM, LegShape
from foldwright.base.types import FloatArray
from foldwright.design.workshop import Printer
from foldwright.geometry.solid.core import Solid, extrude, hull, union
from foldwright.geometry.solid.shape import disc, holes
from foldwright.make.printing import Made

SHAPE = LegShape
_SMOOTH = 96
_THIN = 1e-3


def solid(shape: LegShape, _printer: Printer) -> Made:
    """A bent strip with a pad, its screw holes and a toe round every way; printed on its side.

    On its side the lines of the print run along the strip, which is how it is loaded; no support.
    """
    flat = _strip(shape)
    flat = (
        flat if shape.hand > 0.0 else shapely.transform(flat, lambda points: points * np.array([-1.0, 1.0]))
    )
    bar = extrude(shapely.Polygon(flat), shape.wide, -shape.wide / 2.0)
    toe = np.array([shape.hand, 1.0]) * shape.middle()[-1]
    whole = union((bar, _toe(shape, (float(toe[0]), float(toe[1])))))
    drilled = holes(whole.placed(_UPRIGHT), _spots(shape), SCREW_MM, _axis(shape))
    return Made(
        drilled, _UPRIGHT.T.copy(), "on its side, so that the lines run along the bend",
        notes=("Solid: walls fill the whole section. Printed hollow, or standing up, it breaks at landing.",),
    )  # fmt: skip


_UPRIGHT = np.array([[0.0, 0.0, 1.0, 0.0], [1.0, 0.0, 0.0, 0.0], [0.0, 1.0, 0.0, 0.0], [0.0, 0.0, 0.0, 1.0]])
"""From the strip's plane (y, z) and the width along x to x, y, z."""


def _strip(shape: LegShape) -> shapely.Polygon:
    """The strip in its plane: its middle line widened to both sides, fine enough to be smooth."""
    line = shape.middle(_SMOOTH)
    step = np.gradient(line, axis=0) if len(line) < 3 else _tangents(line)
    normal = np.column_stack([-step[:, 1], step[:, 0]]) * shape.thick / 2.0
    return shapely.Polygon(np.concatenate([line + normal, (line - normal)[::-1]]))


def _tangents(line: FloatArray) -> FloatArray:
    """Unit tangents at the points of a line: halfway between its neighbours' directions."""
    along = np.diff(line, axis=0)
    unit = along / np.linalg.norm(along, axis=1)[:, None]
    both = np.concatenate([unit[:1], unit[:-1] + unit[1:], unit[-1:]])
    found: FloatArray = both / np.linalg.norm(both, axis=1)[:, None]
    return found


def _toe(shape: LegShape, at: tuple[float, float]) -> Solid:
    """A round bar across the strip, its edges at 45 degrees."""
    half, d = shape.wide / 2.0, shape.toe
    outer, inner = disc(at, d - 2.0 * CHAMFER_MM), disc(at, d)
    return hull((
        extrude(outer, _THIN, -half), extrude(inner, shape.wide - 2.0 * CHAMFER_MM, CHAMFER_MM - half),
        extrude(outer, _THIN, half - _THIN),
    ))  # fmt: skip


def _spots(shape: LegShape) -> list[tuple[float, float, float]]:
    if shape.upright:
        return [(0.0, 0.0, spot) for spot in shape.spots]
    return [(0.0, -shape.hand * spot, 0.0) for spot in shape.spots]


def _axis(shape: LegShape) -> tuple[float, float, float]:
    return (0.0, 1.0, 0.0) if shape.upright else (0.0, 0.0, 1.0)
