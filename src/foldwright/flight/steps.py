"""What a step of the stick does: time histories of the linear motion, over the samples.

The motion is that of `flight.modes` with a column for the control; the stick jumps and stays.

Source: B. Etkin and L. D. Reid, *Dynamics of Flight*, 3rd ed., ch. 7 (response to controls); first principles
for the columns: force and moment of the deflected control over mass and inertia.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from foldwright.base.types import BoolArray, FloatArray
from foldwright.flight.controls import Axis
from foldwright.flight.modes import Trimmed, forces, lengthwise, sideways
from foldwright.flight.pitching import stream_at_cruise
from foldwright.flight.planform import M
from foldwright.flight.sticks import Case, full, moment
from foldwright.flight.trim import slopes_at
from foldwright.physics.answer import GRAVITY, acting, step_response
from foldwright.physics.modes import lengthwise_matrices, sideways_matrices

STEP = 0.04
"""Between the times that are told, s."""
PITCH_S, ROLL_S = 2.0, 1.6
"""How long is told, s."""
SIDE_S = 5.0
"""How long roll is worked out, s: a rudder needs a while to bank an aeroplane."""


@dataclass(frozen=True, slots=True, eq=False)
class Step:
    """axis: "pitch" (stick back), "roll" (stick right) or "yaw" (rudder right). share: of the full throw;
    time (k,) s. rate (3, k): degrees a second, nose up or right wing down, centre, 5 and 95 %. answer (3, k):
    load factor in pitch, bank in degrees else.
    """

    axis: Axis
    share: float
    time: FloatArray
    rate: FloatArray
    answer: FloatArray


@dataclass(frozen=True, slots=True, eq=False)
class SideMotion:
    """Answer in sideslip, roll, yaw and bank to full stick or rudder right in cruise.

    axis: "roll" or "yaw"; matrix (n, 4, 4), column (n, 4): of (v, p, r, phi); state (n, 4, k): every
    `STEP`. state and matrix are NaN and zero for samples that are stalled in cruise.
    """

    axis: Axis
    matrix: FloatArray
    column: FloatArray
    state: FloatArray


@dataclass(frozen=True, slots=True, eq=False)
class Steps:
    """Both; roll None where nothing rolls it. All NaN in the centre that is stalled in cruise."""

    pitch: Step
    roll: Step | None

    @property
    def told(self) -> bool:
        """Whether there is a centre to tell of."""
        return bool(np.isfinite(self.pitch.rate[0]).all())


def steps(case: Case, pitch_share: float, roll: tuple[SideMotion, float] | None) -> Steps:
    """Steps from level cruise of a share of the full throw; at most all of it."""
    return Steps(
        pitch_step(case, _some(pitch_share)),
        None if roll is None else roll_step(case, roll[0], _some(roll[1])),
    )


def _some(share: float) -> float:
    return float(np.clip(share, 0.0, 1.0)) if np.isfinite(share) else 1.0


def pitch_motion(case: Case, delta: float) -> tuple[FloatArray, FloatArray]:
    """A (n, 4, 4) of (u, w, q, theta) in cruise, and the column (n, 4) of a mixed deflection [rad].

    Z_δ = -q S C_Lδ/m, M_δ = q S c C_mδ/I_y; the little drag of the control is left out.
    """
    at = case.cruise
    rate, push, inertia = forces(case.lift, case.balance, at)
    slopes = slopes_at(case.lift, case.balance.cg_samples)
    turned = case.lift.eta * stream_at_cruise(case) * delta
    column = np.zeros((len(rate), 4))
    column[:, 1] = -np.asarray(slopes.cl_delta) * turned * rate * at.speed
    column[:, 2] = np.asarray(slopes.cm_delta) * turned * push * case.lift.mean.chord * M / inertia[1, 1]
    return lengthwise_matrices(lengthwise(case.lift, case.balance, at), at.speed), column


def pitch_step(case: Case, share: float) -> Step:
    """Stick back. The load factor comes from the force: n - 1 = -(Z_u u + Z_w w + Z_q q + Z_δ δ)/g."""
    matrix, column = pitch_motion(case, -float(acting(share * full(case, "pitch"))))
    state = _answer(case, matrix, column, PITCH_S)
    lift_row = matrix[:, 1, :].copy()
    lift_row[:, 2] -= case.cruise.speed  # what turns the axes is no force
    load = 1.0 - (np.einsum("nm,nmk->nk", lift_row, state) + column[:, 1, None]) / GRAVITY
    return Step("pitch", share, *_told(case, state[:, 2], load))


def side_motion(case: Case, axis: Axis) -> SideMotion:
    """Full stick or rudder right from level cruise."""
    at = case.cruise
    rate, push, inertia = forces(case.lift, case.balance, at)
    side, roll, yaw = (moment(case, at.slopes, name, axis) for name in ("CY", "Cl", "Cn"))
    roll, yaw = _turned(at, roll, yaw)
    span = push * case.span
    i_x, i_z, i_xz = inertia[0, 0], inertia[2, 2], -inertia[0, 2]
    between = i_x * i_z - i_xz**2
    column = np.zeros((len(rate), 4))
    column[:, 0] = side * rate * at.speed
    column[:, 1] = (i_z * roll + i_xz * yaw) * span / between
    column[:, 2] = (i_xz * roll + i_x * yaw) * span / between
    matrix = sideways_matrices(sideways(case.lift, case.balance, at), at.speed)
    matrix = np.where(at.flies[:, None, None], matrix, 0.0)
    return SideMotion(axis, matrix, column, _answer(case, matrix, column, SIDE_S))


def _answer(case: Case, matrix: FloatArray, column: FloatArray, until: float) -> FloatArray:
    """States (n, 4, k) every `STEP` until a time [s]; NaN for samples that are stalled in cruise."""
    flies = case.cruise.flies[:, None, None]
    state = step_response(np.where(flies, matrix, 0.0), column, STEP, round(until / STEP) + 1)
    return np.where(flies, state, np.nan)


def _turned(at: Trimmed, roll: FloatArray, yaw: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Moments in the axes of the flight path (flight.modes)."""
    c, s = float(np.cos(at.alpha)), float(np.sin(at.alpha))
    return c * roll + s * yaw, c * yaw - s * roll


def roll_step(case: Case, motion: SideMotion, share: float) -> Step:
    """Stick right, or rudder right where that is what rolls it."""
    whole = full(case, motion.axis)
    part = float(acting(share * whole) / acting(whole)) if whole > 0.0 else 0.0
    state = part * motion.state[..., : round(ROLL_S / STEP) + 1]
    return Step(motion.axis, share, *_told(case, state[:, 1], np.degrees(state[:, 3])))


def _told(case: Case, rate: FloatArray, answer: FloatArray) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Times, rates in degrees and answers as centre, 5 and 95 % of the samples that fly level in cruise."""
    time = np.round(np.arange(rate.shape[1]) * STEP, 9)
    flies = case.cruise.flies
    return time, _spread(np.degrees(rate), flies), _spread(answer, flies)


def _spread(values: FloatArray, flies: BoolArray) -> FloatArray:
    """Centre, 5 and 95 % (3, k) of the samples (n, k) that fly, as numpy's percentile has them but in one
    sorting; NaN where none does.
    """
    if not flies.any():
        return np.full((3, values.shape[1]), np.nan)
    ordered = np.sort(values[flies], axis=0)
    place = np.array([0.05, 0.95]) * (len(ordered) - 1)
    low = np.minimum(place.astype(np.intp), max(len(ordered) - 2, 0))
    part = (place - low)[:, None]
    after = ordered[np.minimum(low + 1, len(ordered) - 1)]
    return np.vstack([values[:1], ordered[low] + part * (after - ordered[low])])
