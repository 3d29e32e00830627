"""Modes of this aeroplane in level cruise at a held throttle, over the samples, judged as guidance against
published limits for full-size aeroplanes, with time scaled by the root of the span.

Sources
1. R. C. Nelson, *Flight Stability and Automatic Control*, tables 3.5 and 5.1: dimensional derivatives.
2. MIL-F-8785C, class I, category B (read in a textbook copy; short period and phugoid from memory).
3. Froude scaling: times of dynamically similar bodies go with the root of their length.

What is not in it: the lag of the downwash at a tail (C_m,alpha-dot), which damps the short period a
little more.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from math import inf, log

import numpy as np

from foldwright.base.band import Band
from foldwright.base.types import BoolArray, FloatArray
from foldwright.flight.balance import Balance
from foldwright.flight.lift import Lift, Samples
from foldwright.flight.planform import M
from foldwright.physics.modes import (
    ComplexArray,
    Lengthwise,
    Sideways,
    lengthwise_matrices,
    sideways_matrices,
)

FULL_SPAN_M = 10.0
"""Span of the full-size aeroplanes that the limits are for [judgement]."""
BASIS = "lattice derivatives at cruise trim, inertia of the folded masses, assumptions sampled"
SHORT_PERIOD, PHUGOID_LEAST = (0.30, 2.0), 0.04
"""Damping of the short period, level 1 category B; least damping of the phugoid (source 2)."""
ROLL_MOST_S, DUTCH_LEAST, DUTCH_SLOW = 1.4, 0.08, 0.4
"""Greatest roll time constant [s]; least damping and frequency [rad/s] of the Dutch roll, level 1 (source
2)."""
_STILL = 1e-9
"""Imaginary part [1/s] up to which a root does not swing."""
SPIRAL_DOUBLE_S = 20.0
"""Least time in which a spiral may double [s], level 1 (source 2)."""
GROWS_DOUBLE_S = 55.0
"""Least time in which a phugoid may double [s], level 3 (source 2): here for all that grows in pitch without
a swing."""


@dataclass(frozen=True, slots=True, eq=False)
class Swing:
    """A pair of roots. period [s] and damping ratio: missing where it does not swing; growth: greatest real
    part [1/s], positive where it grows.
    """

    period: Band
    damping: Band
    growth: Band


@dataclass(frozen=True, slots=True, eq=False)
class Modes:
    """speed [m/s]. roll: time constant, s; spiral: rate at which a bank grows [1/s], negative: it dies away
    (`halving`). All are missing for samples that are stalled at the speed.
    """

    speed: float
    short_period: Swing
    phugoid: Swing
    dutch_roll: Swing
    roll: Band
    spiral: Band
    scale: float


@dataclass(frozen=True, slots=True, eq=False)
class Trimmed:
    """Where the modes are worked out: speed [m/s], density; alpha [rad] of the centre, zero where that is
    stalled; lift and drag coefficients (n,); drag_slope: dC_D/dalpha (n,); pull_slope: dT/dV at the throttle
    held [N s/m] (n,); slopes: `flight.lift.derivatives` at it; samples: of the assumptions. What depends on
    the sample is NaN where it is stalled.
    """

    speed: float
    density: float
    alpha: float
    lift: FloatArray
    drag: FloatArray
    drag_slope: FloatArray
    pull_slope: FloatArray
    slopes: Mapping[str, float]
    samples: Samples

    @property
    def flies(self) -> BoolArray:
        """(n,) whether the sample flies level at the speed."""
        return np.asarray(np.isfinite(self.lift) & np.isfinite(self.drag))

    @property
    def uncertain(self) -> Mapping[str, FloatArray]:
        """Derivatives (n,) of moments with what is not known of them."""
        damping = self.samples["damping_factor"]
        factors = {
            "Cl_p": damping,
            "Cm_q": damping,
            "Cn_r": damping,
            "Cl_beta": self.samples["dihedral_factor"],
            "Cn_beta": self.samples["directional_factor"],
        }
        one = np.ones_like(damping)
        return {
            name: np.asarray(slope * factors.get(name, one))
            for name, slope in self.slopes.items()
            if name.startswith(("Cl_", "Cm_", "Cn_"))
        }


def halving(rate: float) -> float:
    """Time [s] in which what grows at a rate [1/s] halves, negative: doubles; infinite where nothing changes.

    t = ln 2/-rate.
    """
    return -log(2.0) / rate if rate else inf


def modes_of(lift: Lift, balance: Balance, at: Trimmed) -> Modes:
    """All five modes over the samples."""
    long = _roots(lengthwise_matrices(lengthwise(lift, balance, at), at.speed))
    side = _roots(sideways_matrices(sideways(lift, balance, at), at.speed))
    fast, slow = _pairs(long)
    dutch, (roll, spiral) = _side(side)
    return Modes(
        at.speed,
        _swing(fast),
        _swing(slow),
        _swing(dutch),
        Band.of(-1.0 / roll, "s", BASIS),
        Band.of(spiral, "1/s", BASIS),
        float(np.sqrt(lift.mean.span * M / FULL_SPAN_M)),
    )


def _roots(matrices: FloatArray) -> ComplexArray:
    """Eigenvalues (n, 4) of (n, 4, 4); NaN of a matrix that is not there."""
    there: BoolArray = np.asarray(np.isfinite(matrices).all(axis=(-2, -1)))
    found = np.linalg.eigvals(np.where(there[:, None, None], matrices, np.eye(matrices.shape[-1])))
    return np.asarray(np.where(there[:, None], found, complex(np.nan, np.nan)), dtype=np.complex128)


def forces(lift: Lift, balance: Balance, at: Trimmed) -> tuple[FloatArray, float, FloatArray]:
    """Q S/(m V) (n,) [1/s], q S [N] and the inertia in stability axes [kg m²] (3, 3, n)."""
    push = 0.5 * at.density * at.speed**2 * lift.mean.area * M * M
    mass = balance.mass_samples * M
    c, s = np.cos(at.alpha), np.sin(at.alpha)
    turn = np.array([[c, 0.0, s], [0.0, 1.0, 0.0], [-s, 0.0, c]])
    inertia = turn @ (balance.inertia * 1e-9) @ turn.T
    return push / (mass * at.speed), push, inertia[..., None] * at.samples["inertia_factor"]


def lengthwise(lift: Lift, balance: Balance, at: Trimmed) -> Lengthwise:
    """Source 1, table 3.5; a propeller pulls less the faster it flies."""
    rate, push, inertia = forces(lift, balance, at)
    chord = lift.mean.chord * M
    spin = push * chord / inertia[1, 1]
    cm_alpha = -lift.margin(balance.cg_samples) * lift.pitch.cl_alpha
    return Lengthwise(
        x_u=-2.0 * at.drag * rate + at.pull_slope / (balance.mass_samples * M),
        x_w=(at.lift - at.drag_slope) * rate,
        z_u=-2.0 * at.lift * rate,
        z_w=-(lift.pitch.cl_alpha + at.drag) * rate,
        z_q=-at.slopes["CL_q"] * rate * chord / 2.0,
        m_u=0.0,
        m_w=cm_alpha * spin / at.speed,
        m_wdot=0.0,
        m_q=at.uncertain["Cm_q"] * spin * chord / (2.0 * at.speed),
    )


def sideways(lift: Lift, balance: Balance, at: Trimmed) -> Sideways:
    """Source 1, table 5.1, in stability axes, the product of inertia worked in."""
    rate, push, inertia = forces(lift, balance, at)
    span = lift.mean.span * M
    table = _stability(at)
    i_x, i_z, i_xz = inertia[0, 0], inertia[2, 2], -inertia[0, 2]
    whole = i_x * i_z - i_xz**2

    def turned(state: str, scale: float) -> tuple[FloatArray, FloatArray]:
        roll, yaw = table["Cl", state] * push * span * scale, table["Cn", state] * push * span * scale
        return (i_z * roll + i_xz * yaw) / whole, (i_xz * roll + i_x * yaw) / whole

    beat = span / (2.0 * at.speed)
    (l_v, n_v), (l_p, n_p), (l_r, n_r) = (
        turned("beta", 1.0 / at.speed), turned("p", beat), turned("r", beat)
    )  # fmt: skip
    return Sideways(
        y_v=(at.slopes["CY_beta"] - at.drag) * rate,
        y_p=at.slopes["CY_p"] * rate * span / 2.0,
        y_r=at.slopes["CY_r"] * rate * span / 2.0,
        l_v=l_v, n_v=n_v, l_p=l_p, l_r=l_r, n_p=n_p, n_r=n_r,
    )  # fmt: skip


def _stability(at: Trimmed) -> Mapping[tuple[str, str], FloatArray]:
    """Rolling and yawing moments by sideslip and rates, turned into the axes of the flight path.

    With the nose up by alpha the path's roll axis lies below the body's: C_l,s = C_l cos + C_n sin, C_n,s =
    C_n cos - C_l sin; p = p_s cos - r_s sin, r = r_s cos + p_s sin (first principles).
    """
    c, s = float(np.cos(at.alpha)), float(np.sin(at.alpha))
    slopes = at.uncertain
    found: dict[tuple[str, str], FloatArray] = {}
    for state, weights in {
        "beta": {"beta": 1.0},
        "p": {"p": c, "r": s},
        "r": {"r": c, "p": -s},
    }.items():
        roll = sum(gain * slopes[f"Cl_{name}"] for name, gain in weights.items())
        yaw = sum(gain * slopes[f"Cn_{name}"] for name, gain in weights.items())
        found["Cl", state] = np.asarray(c * roll + s * yaw)
        found["Cn", state] = np.asarray(c * yaw - s * roll)
    return found


def _pairs(roots: ComplexArray) -> tuple[ComplexArray, ComplexArray]:
    """Roots (n, 4) of the longitudinal motion as its faster and slower pair, (n, 2) each.

    Conjugates stay together, and of one pair that swings the two real roots are the other; which is the
    faster the product of their sizes says.
    """
    swings: BoolArray = np.asarray(np.abs(roots.imag) > _STILL)
    lone = swings.sum(axis=1, keepdims=True) == 2
    # the one swinging pair first, else by size: conjugates are of one size and one imaginary part
    first = np.where(lone, ~swings, np.abs(roots))
    order = np.lexsort((np.abs(roots.imag), first), axis=1)
    ordered = np.take_along_axis(roots, order, axis=1)
    one, two = ordered[:, :2], ordered[:, 2:]
    sizes = [np.prod(np.abs(pair), axis=1, keepdims=True) for pair in (one, two)]
    swap = sizes[0] > sizes[1]
    return np.where(swap, one, two), np.where(swap, two, one)


def _side(roots: ComplexArray) -> tuple[ComplexArray, tuple[FloatArray, FloatArray]]:
    """The swinging pair (n, 2), and the faster and slower real root (n,) of the lateral motion.

    A sample with two pairs, or none, has no roll and spiral root of its own: NaN.
    """
    swings = np.abs(roots.imag) > _STILL
    usual = swings.sum(axis=1) == 2
    order = np.argsort(np.where(swings, -1.0, 0.0), axis=1, kind="stable")
    ordered = np.take_along_axis(roots, order, axis=1)
    real = np.sort(ordered[:, 2:].real, axis=1)
    none = np.where(usual, 1.0, np.nan)
    return ordered[:, :2], (real[:, 0] * none, real[:, 1] * none)


def _swing(pair: ComplexArray) -> Swing:
    """Period, damping and growth of pairs (n, 2) of roots."""
    root = pair[:, 0]
    size = np.abs(root)
    swings = np.abs(root.imag) > _STILL
    period = np.where(swings, 2.0 * np.pi / np.where(swings, np.abs(root.imag), 1.0), np.nan)
    damping = np.where(swings, -root.real / np.where(size > 0.0, size, 1.0), np.nan)
    growth = np.max(pair.real, axis=1)
    return Swing(*(Band.of(v, unit, BASIS) for v, unit in ((period, "s"), (damping, ""), (growth, "1/s"))))
