"""How an aeroplane answers its controls: steady roll, pull-up, flare, and linear motion after a step.

SI units and radians; everything broadcasts.

Sources
1. B. Etkin and L. D. Reid, *Dynamics of Flight*, 3rd ed., sections 3.1 (deflection per g) and 7.6 (steady
   response in roll); read in part, the equations follow from first principles.
2. R. C. Nelson, *Flight Stability and Automatic Control*, section 5.3: one degree of freedom in roll.
3. First principles: a push of (n - 1) g takes a sinking speed w away within w²/(2 (n - 1) g) of height.
"""

from __future__ import annotations

import numpy as np

from foldwright.base.types import FloatArray
from foldwright.physics.trim import LINEAR_DEFLECTION

Number = FloatArray | float
GRAVITY = 9.80665

BEYOND = 0.5
"""Share of a deflection past `LINEAR_DEFLECTION` that still acts [judgement]: the flap's flow separates."""
_TERMS = 10


def acting(delta: Number) -> FloatArray:
    """Deflection [rad] that a linear flap would need to do as much as a real one at `delta` [rad]."""
    size = np.abs(np.asarray(delta, dtype=np.float64))
    past = np.maximum(size - LINEAR_DEFLECTION, 0.0)
    return np.asarray(np.sign(delta) * (size - (1.0 - BEYOND) * past))


def turned_for(acts: Number) -> FloatArray:
    """Deflection [rad] whose `acting` is given: its reverse."""
    size = np.abs(np.asarray(acts, dtype=np.float64))
    past = np.maximum(size - LINEAR_DEFLECTION, 0.0)
    return np.asarray(np.sign(acts) * (size + (1.0 / BEYOND - 1.0) * past))


def solved(matrix: FloatArray, right: FloatArray) -> FloatArray:
    """X (..., m) of A X = b; NaN where A (..., m, m) is singular: what it stands for does not exist.

    right: b (..., m).
    """
    size = np.prod(np.max(np.abs(matrix), axis=-1), axis=-1)
    flat = ~(np.abs(np.linalg.det(matrix)) > 1e-12 * size)
    safe = np.where(flat[..., None, None], np.eye(matrix.shape[-1]), matrix)
    return np.asarray(np.where(flat[..., None], np.nan, np.linalg.solve(safe, right[..., None])[..., 0]))


def steady_roll(moment: Number, damping: Number, speed: Number, span: Number) -> FloatArray:
    """Steady rate of roll [rad/s], p = -C_l/C_l,p 2V/b (source 2), right wing down positive.

    moment: rolling moment coefficient of the controls, right wing down positive; damping: C_l,p per p b/2V,
    negative; speed [m/s]; span [m].
    """
    return np.asarray(-np.asarray(moment) / damping * 2.0 * np.asarray(speed) / span)


def pull_slope(margin: Number, lift: Number, cl_q: Number, cm_q: Number, turn: Number) -> FloatArray:
    """Moment coefficient that one more g of load asks of the pitch control, nose-up (source 1).

    SM (C_L - C_Lq k) - C_mq k with k = g c/(2V²) (`turn`), the pitch rate q c/2V of a pull-up by one g.
    margin: static margin; lift: C_L of level flight; cl_q, cm_q per q c/2V. Over the control's moment about
    the neutral point (negative, trailing edge down) it is the deflection for each g. Zero or negative past
    the manoeuvre point.
    """
    return np.asarray(
        np.asarray(margin) * (np.asarray(lift) - np.asarray(cl_q) * turn) - np.asarray(cm_q) * turn
    )


def flare_height(sink: Number, load: Number) -> FloatArray:
    """Height [m] within which a load factor takes away a sinking speed [m/s] (source 3).

    NaN for a load factor of one or less: the sinking does not end.
    """
    spare = np.asarray(load, dtype=np.float64) - 1.0
    good = spare > 0.0
    return np.asarray(
        np.where(good, np.asarray(sink) ** 2 / (2.0 * GRAVITY * np.where(good, spare, 1.0)), np.nan)
    )


def step_response(matrix: FloatArray, column: FloatArray, step: float, count: int) -> FloatArray:
    """States (..., m, k) of x' = A x + B at times 0, step, … for a push that begins at rest.

    matrix: A (..., m, m); column: B (..., m), both [1/s] of the states' units; step: s; count: k. Exact at
    those times: the exponential of the augmented matrix by its series, and its squares.
    """
    size = matrix.shape[-1]
    whole = np.zeros((*matrix.shape[:-2], size + 1, size + 1))
    whole[..., :size, :size], whole[..., :size, size] = matrix, column
    power = _exponential(whole * step)
    found = np.zeros((*matrix.shape[:-2], size + 1, 1))
    found[..., size, 0] = 1.0
    while found.shape[-1] < count:
        found = np.concatenate([found, power @ found], axis=-1)
        power = power @ power
    return np.asarray(found[..., :size, :count])


def _exponential(matrix: FloatArray) -> FloatArray:
    """e^M of (..., m, m), by halving until the series converges and squaring back."""
    most = float(np.max(np.sum(np.abs(matrix), axis=-1), initial=0.0))
    halves = max(0, int(np.ceil(np.log2(most))) + 1) if most > 0.0 else 0
    small = matrix / 2.0**halves
    one = np.eye(matrix.shape[-1])
    total = one + small / _TERMS
    for k in range(_TERMS - 1, 0, -1):  # Horner: 1 + M (1 + M/2 (1 + M/3 (…)))
        total = one + small @ total / k
    for _ in range(halves):
        total = total @ total
    return np.asarray(total)
