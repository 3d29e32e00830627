"""Drag of this aeroplane, item by item, over the samples of the assumptions.

Every item is a drag area C_D·S [m²]; bodies, legs and gaps rest on handbook forms with wide bands.

Sources
1. S. F. Hoerner, *Fluid-Dynamic Drag*, 1965: ch. 3 (base drag of bodies, 0.029/√C_f,base; flat faces), ch. 5
   (gaps), ch. 6 (form factor of bodies), ch. 8 (junctions); from memory.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from foldwright.airframe.model import Airframe, Body, LiftingSurface
from foldwright.base.types import FloatArray
from foldwright.flight.lift import Samples
from foldwright.flight.planform import M
from foldwright.physics.atmosphere import Air
from foldwright.physics.friction import section_drag, turbulent

if TYPE_CHECKING:
    from foldwright.design.model import Design

FACE = 0.65
"""Drag of a flat face with sharp edges at the front of a body, on its own area [judgement, source 1]."""
LEG = 1.1
"""Drag of a round wire or strip across the flow, on its own area (source 1)."""
LEG_WIDTH_MM = 4.0
"""Width that a leg is reckoned with, mm [judgement]."""
GAP = 0.012
"""Drag of a hinge line, on its length times the board's thickness [judgement]: a taped gap with its bevel."""
JUNCTION = 0.05
"""Share of all other items that junctions add [judgement, source 1]."""


@dataclass(frozen=True, slots=True, eq=False)
class DragItem:
    """One line of the build-up. area (n,): drag area C_D·S [m²]; basis: what it rests on."""

    name: str
    area: FloatArray
    basis: str


@dataclass(frozen=True, slots=True, eq=False)
class Drag:
    """Drag at zero lift at one speed, item by item; speed [m/s]."""

    speed: float
    items: tuple[DragItem, ...]

    @property
    def area(self) -> FloatArray:
        """All of it, (n,) [m²]."""
        return np.asarray(np.sum([item.area for item in self.items], axis=0))


def drag(airframe: Airframe, design: Design, samples: Samples, air: Air, speed: float) -> Drag:
    """Build-up at a speed [m/s] in an air of one density and viscosity."""
    return drags(airframe, design, samples, air, np.array([speed]))[0]


def drags(
    airframe: Airframe, design: Design, samples: Samples, air: Air, speeds: FloatArray
) -> tuple[Drag, ...]:
    """Build-ups at speeds (k,) [m/s] in an air of one density and viscosity."""
    reynolds_m = np.asarray(float(air.density) * speeds / float(air.viscosity))
    items = [_surface(each, samples, reynolds_m) for each in airframe.surfaces]
    items += [_body(each, samples, reynolds_m) for each in airframe.bodies]
    items += _legs(design, samples)
    items += _gaps(airframe, samples)
    shape = (len(speeds), *samples["body_drag_factor"].shape)
    areas = [np.broadcast_to(item.area, shape) for item in items]
    areas.append(JUNCTION * np.sum(areas, axis=0))
    items.append(DragItem("junctions", areas[-1], "a share of all else [judgement]"))
    return tuple(
        Drag(
            float(speed),
            tuple(DragItem(item.name, area[k], item.basis) for item, area in zip(items, areas, strict=True)),
        )
        for k, speed in enumerate(speeds)
    )


def _surface(surface: LiftingSurface, samples: Samples, reynolds_m: FloatArray) -> DragItem:
    """Strip by strip: friction on both faces, form, blunt trailing edge, step. Area (k, n), as of bodies."""
    chord = 0.5 * (surface.chord[1:] + surface.chord[:-1])
    width = np.diff(surface.arc)
    # strips of one chord are one strip: (strips, 1) against the speeds (k, 1, 1) and the samples (n,)
    chord, which = np.unique(chord.round(6), return_inverse=True)
    each = np.bincount(which.ravel(), weights=width) * chord
    c = np.maximum(chord, 1.0)[:, None]
    drag = section_drag(
        reynolds_m[:, None, None] * c * M,
        surface.thickness,
        samples["laminar_share"],
        surface.trailing / c,
        surface.step / c,
        samples["step_factor"],
    )
    halves = 2.0 if surface.symmetric else 1.0
    area = halves * M * M * np.sum(drag * each[:, None], axis=1)
    return DragItem(surface.id, area * samples["section_drag_factor"], "folded section, friction, base, step")


def _body(body: Body, samples: Samples, reynolds_m: FloatArray) -> DragItem:
    """Turbulent friction with its form factor, a flat front face, a blunt aft end (source 1)."""
    x, wide, high = body.x * M, body.width * M, body.height * M
    length = float(x[-1] - x[0])
    around = 2.0 * (wide + high)
    wet = float(np.sum(np.diff(x) * 0.5 * (around[1:] + around[:-1])))
    slender = float(np.sqrt(np.max(wide * high))) / length
    # source 1, ch. 6: 1 + 1.5 (d/l)^1.5 + 7 (d/l)^3
    form = 1.0 + 1.5 * slender**1.5 + 7.0 * slender**3
    skin = turbulent(np.maximum(reynolds_m * length, 1e4)) * form * wet
    base = float(wide[-1] * high[-1])
    # source 1, ch. 3: C_base = 0.029/sqrt(C_f,base), both on the base's area
    behind = 0.029 / np.sqrt(skin / base) * base if base > 0.0 else np.zeros_like(skin)
    area = skin + behind + FACE * float(wide[0] * high[0])
    return DragItem(
        body.id, area[:, None] * samples["body_drag_factor"], "friction, flat front, blunt end (Hoerner)"
    )


def _legs(design: Design, samples: Samples) -> list[DragItem]:
    found = []
    for leg in design.leg:
        count = 2.0 if leg.mirrored else 1.0
        area = count * LEG * LEG_WIDTH_MM * leg.long_mm * M * M
        found.append(DragItem(leg.id, area * samples["body_drag_factor"], "bar across the flow (Hoerner)"))
    return found


def _gaps(airframe: Airframe, samples: Samples) -> list[DragItem]:
    """Hinge lines of all controls together."""
    length = 0.0
    for surface in airframe.surfaces:
        halves = 2.0 if surface.symmetric else 1.0
        length += halves * sum(each.outer - each.inner for each in surface.controls if not each.all_moving)
    if length == 0.0:
        return []
    area = GAP * length * airframe.board.thickness * M * M
    return [DragItem("hinge lines", area * samples["body_drag_factor"], "taped gaps [judgement]")]
