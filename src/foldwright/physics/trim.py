"""Trim of an aeroplane with one pitch control, closed form over any number of samples.

    C_L = C_La a + C_Ld eta f d = m g/(q S)
    C_m = C_m0 - SM C_La a + C_md eta f d + C_mT = 0

a is the incidence from zero lift, d the deflection (trailing edge down positive), C_md taken about the
centre of gravity, SM the static margin as a fraction of the chord. Eliminating a leaves

    d = (SM C_L - C_m0 - C_mT)/(eta f (C_md + SM C_Ld))

where C_md + SM C_Ld is the control's moment about the neutral point. Both equations are linear on the
attached branch, so the answer is unique there; the branch ends where C_L reaches the greatest lift. A
sample whose trim lies beyond that end has no trim: its numbers are NaN.

Source: B. Etkin, L. D. Reid, *Dynamics of Flight*, 3rd ed., 1996, section 2.4 (trim lift and elevator
angle). Limits: small angles; the moment of drag about a centre of gravity off the chord plane is left out.

Angles in radians, SI units, nose-up moments positive. Everything broadcasts.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from foldwright.base.types import BoolArray, FloatArray

Number = FloatArray | float

LINEAR_DEFLECTION = 0.35
"""Deflection up to which a flap's lift is about linear [rad], 20 degrees; beyond it the flap separates."""


@dataclass(frozen=True, slots=True, eq=False)
class Slopes:
    """Coefficients that trim needs; scalars or (n,).

    alpha0: incidence of zero lift [rad]. cl_alpha, cl_delta, cm_delta [1/rad], the last about the centre
    of gravity. cm0: moment at zero lift, controls neutral. margin: static margin, fraction of the chord.
    eta: viscous flap effectiveness. cl_max: greatest lift coefficient of the attached branch.
    """

    alpha0: Number
    cl_alpha: Number
    cl_delta: Number
    cm_delta: Number
    cm0: Number
    margin: Number
    eta: Number
    cl_max: Number


@dataclass(frozen=True, slots=True, eq=False)
class TrimState:
    """Answer, all fields of one shape.

    alpha, delta [rad], NaN where stalled; lift: coefficient wanted; stalled: there is no trim.
    """

    alpha: FloatArray
    delta: FloatArray
    lift: FloatArray
    stalled: BoolArray


def control_power(slopes: Slopes) -> FloatArray:
    """Moment slope of the control about the neutral point [1/rad], before eta and f; negative."""
    return np.asarray(np.asarray(slopes.cm_delta) + np.asarray(slopes.margin) * slopes.cl_delta)


def solve_trim(slopes: Slopes, lift: Number, cm_power: Number = 0.0, stream: Number = 1.0) -> TrimState:
    """Trim at a lift coefficient.

    lift: m g/(q S). cm_power: C_m of the thrust line, nose-up positive. stream: inflow factor f.
    Deflection positive trailing edge down.
    """
    effect = np.asarray(slopes.eta) * stream
    delta = (np.asarray(slopes.margin) * lift - slopes.cm0 - cm_power) / (effect * control_power(slopes))
    alpha = slopes.alpha0 + (lift - slopes.cl_delta * effect * delta) / slopes.cl_alpha
    wanted = np.broadcast_to(np.asarray(lift, dtype=np.float64), delta.shape)
    stalled = np.asarray(~(wanted < slopes.cl_max))
    return TrimState(
        np.asarray(np.where(stalled, np.nan, alpha)),
        np.asarray(np.where(stalled, np.nan, delta)),
        np.asarray(wanted),
        stalled,
    )


def edge_up(delta: Number, chord: Number) -> FloatArray:
    """How far the trailing edge stands above neutral, -E c sin(delta), in the unit of the control's chord.

    chord: from the hinge line to the trailing edge. delta [rad], trailing edge down positive.
    """
    return np.asarray(-np.asarray(chord) * np.sin(delta))


def deflection(up: Number, chord: Number) -> FloatArray:
    """Deflection [rad] that lifts the trailing edge by `up`: the reverse of `edge_up`."""
    return np.asarray(-np.arcsin(np.asarray(up) / chord))


def thrust_moment(thrust: Number, above: Number, aft: Number, tilt: Number) -> FloatArray:
    """Nose-up moment of a thrust line about the centre of gravity, -T (z cos e + l sin e) [N m].

    thrust [N]; above, aft: propeller above and aft of the centre of gravity [m]; tilt: e, positive when
    the thrust vector points nose-up [rad]. First principles: r x F with F = T (-cos e, 0, sin e).
    """
    e = np.asarray(tilt, dtype=np.float64)
    return np.asarray(-np.asarray(thrust) * (np.asarray(above) * np.cos(e) + np.asarray(aft) * np.sin(e)))
