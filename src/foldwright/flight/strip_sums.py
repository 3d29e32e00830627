"""Lift and pitching moment summed from strip loads: strictly linear in the state.

The lattice's near-field forces are quadratic: they also hold what one surface's vortices do to the load of
another. Where a fin stands on a wing that product is dominated by vortices that pass each other at the joint
as near as chance will have it, and moves by tens of percent with the panels. Lift and pitching moment of
thin surfaces are linear, so trim and neutral point use the strips' loads (Kutta-Joukowski with the free
stream), which hold the interference in their circulation and converge.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from foldwright.airframe.model import LiftingSurface
from foldwright.base.types import FloatArray
from foldwright.flight.planform import M
from foldwright.physics.lattice import Lattice, StripLoads


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


def strip_rows(lattice: Lattice, surfaces: tuple[LiftingSurface, ...]) -> Rows:
    """Sum the strip loads of all mirrored surfaces; upright ones and odd states add nothing."""
    lift, moment = np.zeros(len(lattice.states)), np.zeros(len(lattice.states))
    known = {surface.id: surface for surface in surfaces if surface.symmetric}
    for loads in lattice.strips:
        if loads.surface in known:
            force, turn = _surface_rows(loads, known[loads.surface], float(lattice.reference.point[0]))
            lift, moment = lift + force, moment + turn
    even = 2.0 * (lattice.parity > 0.0) / lattice.reference.area
    return Rows(lift * even, moment * even / lattice.reference.chord, lattice.states)


def _surface_rows(loads: StripLoads, surface: LiftingSurface, point: float) -> tuple[FloatArray, FloatArray]:
    """Lift [m²] and moment [m³] about x = point of the right half, over dynamic pressure."""
    steps = np.hypot(np.diff(surface.le[:, 1]), np.diff(surface.le[:, 2]))
    arc = np.concatenate(([0.0], np.cumsum(steps))) * M
    level = np.diff(surface.le[:, 1]) / steps  # cosine of the dihedral of every piece
    piece = np.clip(np.searchsorted(arc, loads.arc, side="right") - 1, 0, len(steps) - 1)
    quarter = np.interp(loads.arc, arc, surface.le[:, 0]) * M + 0.25 * loads.chord
    weight = loads.chord * loads.width * level[piece]
    force = weight[:, None] * loads.cl
    turn = (weight * loads.chord)[:, None] * loads.cm - (quarter - point)[:, None] * force
    return np.asarray(force.sum(axis=0)), np.asarray(turn.sum(axis=0))
