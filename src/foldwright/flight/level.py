"""Level flight with power on at every speed: trim, drag, thrust, throttle, current, over the samples.

Thrust carries a part of the weight, pitches the aeroplane and streams over its controls, and all of these ask
for another thrust; a few rounds settle it.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from foldwright.airframe.model import Airframe
from foldwright.base.types import BoolArray, FloatArray
from foldwright.flight.balance import Balance
from foldwright.flight.controls import mixed
from foldwright.flight.drive import Drive
from foldwright.flight.lift import Lift, Samples
from foldwright.flight.planform import M
from foldwright.flight.trim import Pull, trim_state
from foldwright.physics.atmosphere import STANDARD_GRAVITY
from foldwright.physics.lattice.quadratic import evaluate
from foldwright.physics.trim import TrimState

ROUNDS = 4
"""Rounds of thrust and trim: what is left is under 1e-3 of the drag (tests)."""


@dataclass(frozen=True, slots=True, eq=False)
class Plane:
    """What level flight is worked out from. drag_area (k, n): at zero lift, at the speeds (k,) [m²]."""

    airframe: Airframe
    lift: Lift
    balance: Balance
    samples: Samples
    drive: Drive
    density: float
    speeds: FloatArray
    drag_area: FloatArray

    @property
    def weight(self) -> FloatArray:
        """(n,) N."""
        return np.asarray(self.balance.mass_samples * M * STANDARD_GRAVITY)

    @property
    def wing(self) -> float:
        """Reference area, m²."""
        return self.lift.mean.area * M * M


@dataclass(frozen=True, slots=True, eq=False)
class Level:
    """Level flight at speeds (k,) [m/s] for every sample, (k, n) each.

    lift, drag: coefficients; force: drag [N]; alpha, delta: as in physics.trim [rad]; thrust: of all motors
    [N]; throttle 0-1, current: through the cells [A], watts: from them. NaN where it is stalled, or where the
    drive gives too little: stalled and weak say which.
    """

    speeds: FloatArray
    lift: FloatArray
    drag: FloatArray
    force: FloatArray
    alpha: FloatArray
    delta: FloatArray
    thrust: FloatArray
    throttle: FloatArray
    current: FloatArray
    watts: FloatArray
    stalled: BoolArray
    weak: BoolArray


def drag_coefficient(plane: Plane, state: TrimState, speeds: slice | int = slice(None)) -> FloatArray:
    """C_D of trimmed states: parts at zero lift, induced drag of the lattice, and the drag of lost suction.

    C_D = ΣC_D + s C_Di + (1 - s) C_L²/C_Lα, s the share of the leading-edge suction that is kept.
    """
    lattice, lift = plane.lift.lattice, plane.lift
    u = np.zeros((*state.alpha.shape, len(lattice.states)))
    u[..., 0], u[..., lattice.index("alpha")] = 1.0, state.alpha
    for name, gain in mixed(lift.rigged, "pitch").items():
        u[..., lattice.index(name)] = gain * lift.eta * state.delta
    induced = evaluate(lattice.form("CD"), u)
    kept = plane.samples["suction_share"]
    plate = state.lift**2 / lift.pitch.cl_alpha
    return np.asarray(plane.drag_area[speeds] / plane.wing + kept * induced + (1.0 - kept) * plate)


def level(plane: Plane) -> Level:
    """Level flight at every speed of the plane."""
    v = plane.speeds[:, None]
    pressure = 0.5 * plane.density * v**2
    thrust = np.zeros((len(plane.speeds), len(plane.weight)))
    tilt = plane.airframe.thrust.tilt
    borne = np.zeros_like(thrust)
    for _ in range(ROUNDS):
        pull = Pull(np.nan_to_num(thrust), v, plane.density)
        state = trim_state(plane.airframe, plane.lift, plane.balance, plane.samples, pull, borne)
        drag = drag_coefficient(plane, state)
        force = drag * pressure * plane.wing
        lean = np.nan_to_num(state.alpha) + tilt
        thrust = force / np.cos(lean)
        borne = np.nan_to_num(thrust) * np.sin(lean)
    throttle = plane.drive.throttle(thrust, v, plane.density)
    run = plane.drive.at(np.nan_to_num(throttle), v, plane.density)
    gone = np.isnan(throttle)
    count = plane.drive.count
    return Level(
        speeds=plane.speeds,
        lift=state.lift,
        drag=drag,
        force=force,
        alpha=state.alpha,
        delta=state.delta,
        thrust=thrust,
        throttle=throttle,
        current=np.where(gone, np.nan, run.cell_current * count),
        watts=np.where(gone, np.nan, run.drawn * count),
        stalled=state.stalled,
        weak=np.asarray(gone & ~state.stalled),
    )
