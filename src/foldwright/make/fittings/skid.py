"""The solid of a skid."""

from __future__ import annotations

from math import pi

import numpy as np
import shapely

from foldwright.airframe.fittings.skid import ROUND_MM, SkidShape
from foldwright.design.workshop import Printer
from foldwright.geometry.solid.core import extrude
from foldwright.geometry.solid.shape import OVER, rounded
from foldwright.geometry.transform import turn
from foldwright.make.printing import Made

SHAPE = SkidShape
_QUARTER = 24


def solid(shape: SkidShape, _printer: Printer) -> Made:
    """A foot with a blade whose ends are round; printed on its foot, blade up, without support."""
    foot = extrude(
        rounded(shape.long, shape.foot, ROUND_MM, (shape.long / 2.0, 0.0)), shape.base, -shape.base
    )
    # drawn in x and downward, then stood up: y of the drawing becomes z
    blade = extrude(_side(shape), shape.thick, -shape.thick / 2.0).placed(_STOOD)
    over = turn(np.zeros(3), np.array([1.0, 0.0, 0.0]), pi)
    return Made(foot + blade, over, "on its foot, blade up")


_STOOD = turn(np.zeros(3), np.array([1.0, 0.0, 0.0]), pi / 2.0)


def _side(shape: SkidShape) -> shapely.Polygon:
    """The blade from the side: its lower corners are quarter circles; it reaches a hair into the foot."""
    r, low = shape.blade, -shape.high
    angles = np.linspace(0.0, pi / 2.0, _QUARTER + 1)
    aft = np.column_stack([shape.long - r + r * np.cos(angles), low + r - r * np.sin(angles)])
    fore = np.column_stack([r - r * np.sin(angles), low + r - r * np.cos(angles)])
    top = -shape.base + OVER
    return shapely.Polygon([(0.0, top), *fore[::-1].tolist(), *aft[::-1].tolist(), (shape.long, top)])
