"""A printed part that stays in the aeroplane, known before it is made: parameters, place, mass.

A shape is a frozen dataclass of plain numbers in its own frame (mm, rad) with closed forms for volume and
surface; make.fittings makes the solid of the same numbers. The frame of a shape is chosen so that `placement`
takes it into the aeroplane without mirroring; the other hand of a pair is a number of the shape.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Protocol

import numpy as np

from foldwright.base.types import FloatArray
from foldwright.design.resolve import FittedFilament
from foldwright.geometry.solid.fill import filled_mm3
from foldwright.geometry.transform import apply

SOLID = 1.0
"""Infill of what must not be hollow."""


class Shape(Protocol):
    """Numbers of one fitting, in its own frame."""

    @property
    def volume(self) -> float:
        """Closed form, mm³."""
        ...

    @property
    def surface(self) -> float:
        """Closed form, mm²; an estimate is enough: it only says how much of the volume walls take."""
        ...

    @property
    def box(self) -> tuple[tuple[float, float, float], tuple[float, float, float]]:
        """Least and greatest corner in its own frame, mm."""
        ...


@dataclass(frozen=True, slots=True)
class PrintedIn:
    """How a fitting is printed. filament: of the stock; infill: 0-1; shell: of walls and covers, mm."""

    filament: FittedFilament
    infill: float
    shell: float


@dataclass(frozen=True, slots=True, eq=False)
class Fitting:
    """One printed fitting where it sits.

    id: of its table, "/right" or "/left" for one of a pair. kind: of its table. title: the trade's words.
    placement: 4x4 from its own frame into the aeroplane. extra_g: screws and the like. blank: name of the
    blank it sits on, "" where it is none. figures: what the builder or a check wants to know, keys with their
    unit ("tilt_deg", "hole_mm"). spine: (n, 3) line in its own frame along which its mass lies evenly, of
    things that their box says little of (a bent leg); such a one is drawn along it, wide_mm by thick_mm.
    """

    id: str
    kind: str
    title: str
    shape: Shape
    placement: FloatArray
    printed: PrintedIn
    extra_g: float = 0.0
    blank: str = ""
    figures: Mapping[str, float] = field(default_factory=dict)
    spine: FloatArray | None = None

    @property
    def plastic_g(self) -> float:
        """Mass of the plastic, from the closed forms, g."""
        filled = filled_mm3(self.shape.volume, self.shape.surface, self.printed.shell, self.printed.infill)
        return filled * self.printed.filament.density_g_cm3 / 1000.0

    @property
    def mass_g(self) -> float:
        """With screws, g."""
        return self.plastic_g + self.extra_g

    @property
    def corners(self) -> FloatArray:
        """(8, 3) corners of its box in the aeroplane, mm."""
        low, high = self.shape.box
        points = np.array([[(low, high)[(i >> axis) & 1][axis] for axis in range(3)] for i in range(8)])
        return apply(self.placement, points)
