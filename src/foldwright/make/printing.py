"""One thing to be printed: its solid as it lies on the bed, settings, minutes and grams.

Frame of a print: x right, y back, z up, the bed at z = 0, mm.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property
from math import ceil
from typing import Literal

import numpy as np

from foldwright.base.types import FloatArray
from foldwright.design.resolve import FittedFilament
from foldwright.design.workshop import Printer
from foldwright.geometry.solid.check import mesh_of
from foldwright.geometry.solid.core import Mesh, Solid
from foldwright.geometry.solid.fill import filled_mm3
from foldwright.geometry.transform import inverse

Group = Literal["templates", "fittings", "dummies", "tools", "coupons"]


@dataclass(frozen=True, eq=False)
class Made:
    """A solid in the frame of its shape, and how it is printed.

    lay: 4x4 that turns it for printing (it is set down on z = 0 afterwards). orientation: in words.
    support: where support goes, "" for none. notes: what the builder should know, one sentence each.
    """

    body: Solid
    lay: FloatArray = field(default_factory=lambda: np.eye(4))
    orientation: str = "as drawn, flat side down"
    support: str = ""
    notes: tuple[str, ...] = ()
    bodies: int = 1

    @cached_property
    def laid(self) -> tuple[Solid, FloatArray]:
        """The solid as it is printed, and the 4x4 back: `laid`, reckoned once."""
        return laid(self.body, self.lay)


@dataclass(frozen=True, slots=True, eq=False)
class Extra:
    """Something printed along with a fitting that does not fly with it: a dummy, a drilling guide."""

    name: str
    title: str
    group: Group
    made: Made
    infill: float | None = None
    figures: Mapping[str, float] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Settings:
    """How a thing is printed. infill: 0-1; shell_mm follows from walls and line."""

    filament: FittedFilament
    layer_mm: float
    line_mm: float
    walls: int
    infill: float
    brim: bool = False

    @property
    def shell_mm(self) -> float:
        """Thickness of its walls."""
        return self.walls * self.line_mm


@dataclass(frozen=True, eq=False)
class Print:
    """One thing to print.

    name: as its file and object are called ("motor-mount", "wing-main-1"). title: for people. body: as it
    lies on the bed, its least corner at the origin. place: 4x4 from `body` back to the frame of what it is
    made from (the aeroplane for fittings, the blank for templates), None where there is none. of: id of the
    fitting or name of the blank. copies: printed that often. mirror_of: name of the print whose mirror image
    it is. figures: for checks and pages, keys with their unit.
    """

    name: str
    title: str
    group: Group
    body: Solid
    settings: Settings
    orientation: str
    support: str = ""
    notes: tuple[str, ...] = ()
    copies: int = 1
    bodies: int = 1
    of: str = ""
    place: FloatArray | None = None
    mirror_of: str = ""
    figures: Mapping[str, float] = field(default_factory=dict)

    @cached_property
    def mesh(self) -> Mesh:
        """Triangles of its body for files and pictures: `mesh_of`, reckoned once. Errors as there."""
        return mesh_of(self.body)

    @property
    def filled(self) -> float:
        """Plastic of one copy, mm³."""
        body = self.body
        return filled_mm3(body.volume, body.area, self.settings.shell_mm, self.settings.infill)

    @property
    def grams(self) -> float:
        """Of one copy."""
        return self.filled * self.settings.filament.density_g_cm3 / 1000.0


def minutes_for(filled_mm3: float, height_mm: float, printer: Printer) -> float:
    """Minutes that one bed takes: heating up, layers, plastic laid down.

    filled_mm3: plastic of all that lies on it; height_mm: of the highest. t = t₀ + n t_layer + V / flow.
    """
    layers = ceil(height_mm / printer.layer_mm - 1e-9)
    seconds = layers * printer.layer_s + filled_mm3 / printer.flow_mm3_s
    return printer.start_min + seconds / 60.0


def laid(body: Solid, lay: FloatArray) -> tuple[Solid, FloatArray]:
    """A solid turned for printing and set down with its least corner at the origin, and the 4x4 back."""
    turned = body.placed(lay)
    low, _ = turned.bounds
    down = np.eye(4)
    down[:3, 3] = -low
    return turned.moved(*(-low).tolist()), inverse(down @ lay)
