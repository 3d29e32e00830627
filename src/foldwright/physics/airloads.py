"""Forces and moments of the air on an aeroplane in any attitude that a launch passes through.

Linear derivatives on the attached branch; past the greatest lift the lift falls off, the drag rises like that
of a plate, and the nose is pushed down.

SI units; body axes x forward, y right, z down; every coefficient may be an array (n,), one aeroplane a
column.

Sources
1. B. Etkin and L. D. Reid, *Dynamics of Flight*, 3rd ed., ch. 4 and 5: forces in body axes, derivatives by
   rates per q c/2V and p b/2V.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from foldwright.base.types import FloatArray
from foldwright.physics.trajectory import P, Q, R, U, V, W

Number = FloatArray | float

FALL = 0.25
"""Lift lost past the stall, per unit of what the attached branch would go on to give [judgement]."""
LEAST_SHARE = 0.6
"""Lift that is left in a deep stall, of the greatest [judgement]."""
LEAST_SPEED = 0.5
"""Below this speed [m/s] the rates over it are not let grow."""


@dataclass(frozen=True, slots=True, eq=False)
class Shape:
    """Coefficients about the centre of gravity, 1/rad; rates per c q/2V, b p/2V, b r/2V.

    area [m²], chord, span [m]. cl0: lift with the x axis along the flight, cm0: moment then; cl_delta,
    cm_delta: of the mixed pitch control, trailing edge down, with its effectiveness. cl_max, cd0; rise: C_D =
    cd0 + rise C_L². roll0, yaw0: of a warp. Cl right wing down, Cm nose-up, Cn nose right, CY right.
    """

    area: Number
    chord: Number
    span: Number
    cl0: Number
    cl_alpha: Number
    cl_q: Number
    cl_delta: Number
    cm0: Number
    cm_alpha: Number
    cm_q: Number
    cm_delta: Number
    cl_max: Number
    cd0: Number
    rise: Number
    cy_beta: Number
    roll_beta: Number
    roll_p: Number
    roll_r: Number
    yaw_beta: Number
    yaw_p: Number
    yaw_r: Number
    roll0: Number = 0.0
    yaw0: Number = 0.0


def air_loads(
    state: FloatArray, shape: Shape, delta: Number, stream: Number, density: float
) -> tuple[FloatArray, FloatArray]:
    """Force (3, n) [N] and moment (3, n) [N m] of the air on states (12, n).

    delta: mixed pitch control [rad], trailing edge down; stream: what the propeller's stream makes of its
    effectiveness.
    """
    u, v, w = state[U], state[V], state[W]
    speed = np.sqrt(u * u + v * v + w * w)
    v_safe = np.maximum(speed, LEAST_SPEED)
    alpha, beta = np.arctan2(w, np.maximum(u, 1e-6)), np.arcsin(np.clip(v / v_safe, -1.0, 1.0))
    q = np.asarray(shape.chord) * state[Q] / (2.0 * v_safe)
    half = np.asarray(shape.span) / (2.0 * v_safe)
    p, r = half * state[P], half * state[R]
    turned = np.asarray(delta) * stream
    free = shape.cl0 + shape.cl_alpha * alpha + shape.cl_q * q + shape.cl_delta * turned
    lift, past = _stalling(free, np.asarray(shape.cl_max))
    drag = shape.cd0 + shape.rise * lift**2 + 2.0 * np.sin(past / np.asarray(shape.cl_alpha)) ** 2
    pressure = 0.5 * density * speed * speed * shape.area
    sin_a, cos_a = np.sin(alpha), np.cos(alpha)
    force = np.empty((3, *speed.shape))
    force[0] = pressure * (lift * sin_a - drag * cos_a)
    force[1] = pressure * (shape.cy_beta * beta)
    force[2] = -pressure * (lift * cos_a + drag * sin_a)
    moment = np.empty_like(force)
    moment[0] = (pressure * shape.span) * (
        shape.roll0 + shape.roll_beta * beta + shape.roll_p * p + shape.roll_r * r
    )
    moment[1] = (pressure * shape.chord) * (
        shape.cm0 + shape.cm_alpha * alpha + shape.cm_q * q + shape.cm_delta * turned
    )
    moment[2] = (pressure * shape.span) * (
        shape.yaw0 + shape.yaw_beta * beta + shape.yaw_p * p + shape.yaw_r * r
    )
    return force, moment


def _stalling(free: FloatArray, most: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Lift coefficient, and how far the attached branch would have gone past the greatest one."""
    past = np.maximum(np.abs(free) - most, 0.0)
    size = np.where(past > 0.0, np.maximum(most - FALL * past, LEAST_SHARE * most), np.abs(free))
    return np.sign(free) * size, past
