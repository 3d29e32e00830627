"""Lift and pitching moment summed from strip loads: strictly linear in the state.

The lattice's near-field forces are quadratic: they also hold what one surface's vortices do to the load of
another. Where a fin stands on a wing that product is dominated by vortices that pass each other at the joint
as near as chance will have it, and moves by tens of percent with the panels. Lift and pitching moment of
thin surfaces are linear, so trim and neutral point use the strips' loads (Kutta-Joukowski with the free
stream), which hold the interference in their circulation and converge.
"""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass

import numpy as np

from foldwright.airframe.model import LiftingSurface
from foldwright.base.types import FloatArray
from foldwright.flight.planform import M, placed
from foldwright.physics.lattice import Lattice, Loads, StripLoads


@dataclass(frozen=True, slots=True)
class Rows:
    """C_L and C_m (nose-up, about the lattice's reference point) as rows (m,) of the lattice's state."""

    lift: FloatArray
    moment: FloatArray
    states: tuple[str, ...]

    def get(self, state: str) -> tuple[float, float]:
        """(C_L, C_m) per unit of a state, rates per length. Raises ValueError for an unknown name."""
        column = self.states.index(state)
        return float(self.lift[column]), float(self.moment[column])


def strip_rows(
    lattice: Lattice | Loads, surfaces: tuple[LiftingSurface, ...], only: Collection[str] | None = None
) -> Rows:
    """Sum the strip loads of all mirrored surfaces; upright ones and odd states add nothing.

    only: ids of the surfaces to sum; all of them where left out.
    """
    lift, moment = np.zeros(len(lattice.states)), np.zeros(len(lattice.states))
    for loads, surface in _loaded(lattice, surfaces, only):
        if surface.symmetric:
            force, turn = _surface_rows(loads, surface, surfaces, float(lattice.reference.point[0]))
            lift, moment = lift + force, moment + turn
    even = 2.0 * (lattice.parity > 0.0) / lattice.reference.area
    return Rows(lift * even, moment * even / lattice.reference.chord, lattice.states)


def side_rows(
    lattice: Lattice | Loads, surfaces: tuple[LiftingSurface, ...], only: Collection[str] | None = None
) -> Rows:
    """C_Y (right) and C_n (nose right, about the reference point) from strip loads, as `strip_rows`.

    What the panels' own loads give; the sideways tilt of a level wing's lift in sideslip is not in them.
    """
    force, moment = np.zeros(len(lattice.states)), np.zeros(len(lattice.states))
    for loads, surface in _loaded(lattice, surfaces, only):
        twice = 2.0 if surface.symmetric else 1.0
        quarter, along = _strips(loads, surface, surfaces)
        side = -along[:, 1] * loads.width * loads.chord  # the normal is (-rise, run)
        push = side[:, None] * loads.cl
        force = force + twice * push.sum(axis=0)
        arm = (quarter - float(lattice.reference.point[0]))[:, None]
        turn = arm * push - (side * loads.chord)[:, None] * loads.cm
        moment = moment - twice * turn.sum(axis=0)  # a push to the right behind the point: nose left
    odd = (lattice.parity < 0.0) / lattice.reference.area
    return Rows(force * odd, moment * odd / lattice.reference.span, lattice.states)


def _loaded(
    lattice: Lattice | Loads, surfaces: tuple[LiftingSurface, ...], only: Collection[str] | None
) -> list[tuple[StripLoads, LiftingSurface]]:
    known = {surface.id: surface for surface in surfaces if only is None or surface.id in only}
    return [(loads, known[loads.surface]) for loads in lattice.strips if loads.surface in known]


def _surface_rows(
    loads: StripLoads, surface: LiftingSurface, surfaces: tuple[LiftingSurface, ...], point: float
) -> tuple[FloatArray, FloatArray]:
    """Lift [m²] and moment [m³] about x = point of the right half, over dynamic pressure."""
    quarter, along = _strips(loads, surface, surfaces)
    weight = loads.chord * loads.width * along[:, 0]
    force = weight[:, None] * loads.cl
    turn = (weight * loads.chord)[:, None] * loads.cm - (quarter - point)[:, None] * force
    return np.asarray(force.sum(axis=0)), np.asarray(turn.sum(axis=0))


def _strips(
    loads: StripLoads, surface: LiftingSurface, surfaces: tuple[LiftingSurface, ...]
) -> tuple[FloatArray, FloatArray]:
    """X (n,) [m] of the strips' quarter points, and (n, 2) run and rise of the span per length there."""
    le = placed(surface, surfaces) * M
    step = np.diff(le[:, 1:], axis=0)
    length = np.hypot(step[:, 0], step[:, 1])
    arc = np.concatenate(([0.0], np.cumsum(length)))
    piece = np.clip(np.searchsorted(arc, loads.arc, side="right") - 1, 0, len(length) - 1)
    return np.interp(loads.arc, arc, le[:, 0]) + 0.25 * loads.chord, (step / length[:, None])[piece]
