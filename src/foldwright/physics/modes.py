"""Motions of an aeroplane about steady flight: modes of a linear system, and what they are called by.

Sources
1. B. Etkin and L. D. Reid, *Dynamics of Flight*, 3rd ed., ch. 6.
2. F. W. Lanchester, *Aerodonetics*, 1908: phugoid of constant energy.
3. R. C. Nelson, *Flight Stability and Automatic Control*, ch. 4.

SI units; body axes x forward, y right, z down; angles in rad.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import pi, sqrt

import numpy as np
import numpy.typing as npt

from foldwright.base.types import FloatArray

Number = FloatArray | float
ComplexArray = npt.NDArray[np.complex128]
GRAVITY = 9.80665


@dataclass(frozen=True, slots=True)
class Mode:
    """One mode. root: 1/s, of a pair the one with positive imaginary part.

    frequency: undamped, rad/s; damping: ratio; half: s to half the amplitude, negative: to double it; period:
    s, infinite for one that does not swing.
    """

    root: complex

    @property
    def swings(self) -> bool:
        """Whether it oscillates."""
        return self.root.imag != 0.0

    @property
    def frequency(self) -> float:
        """|root|, rad/s."""
        return abs(self.root)

    @property
    def damping(self) -> float:
        """-Re/|root|; +1 or -1 for one that does not swing."""
        return -self.root.real / abs(self.root) if self.root else 0.0

    @property
    def half(self) -> float:
        """Ln 2 / -Re, s: positive to half, negative to double, infinite where nothing changes."""
        return float(np.log(2.0) / -self.root.real) if self.root.real else float("inf")

    @property
    def period(self) -> float:
        """2 pi / |Im|, s."""
        return 2.0 * pi / abs(self.root.imag) if self.root.imag else float("inf")


def modes(matrix: FloatArray) -> tuple[Mode, ...]:
    """Modes of x' = A x, (n, n): one for each real root and each pair, fastest first (source 1)."""
    roots: ComplexArray = np.linalg.eigvals(np.asarray(matrix, dtype=np.float64)).astype(np.complex128)
    kept = [complex(root) for root in roots if root.imag >= 0.0]
    return tuple(Mode(root) for root in sorted(kept, key=lambda root: (-abs(root), root.real, root.imag)))


def lanchester_period(speed: float) -> float:
    """Period of the phugoid of constant energy [s], pi sqrt(2) V / g (source 2). speed [m/s]."""
    return pi * sqrt(2.0) * speed / GRAVITY


@dataclass(frozen=True, slots=True)
class Lengthwise:
    """Derivatives for motion in the plane of symmetry, per unit of mass or inertia (source 3).

    x_u, x_w, z_u, z_w [1/s]; z_q [m/s]; m_u, m_w [1/(m s)]; m_wdot [1/m]; m_q [1/s].
    """

    x_u: Number
    x_w: Number
    z_u: Number
    z_w: Number
    m_u: Number
    m_w: Number
    m_wdot: Number
    m_q: Number
    z_q: Number = 0.0


def lengthwise_matrices(d: Lengthwise, speed: float, pitch: float = 0.0) -> FloatArray:
    """A (..., 4, 4) of (u, w, q, theta) about level or climbing flight (source 3, eq. 4.51).

    speed [m/s]; pitch: angle of the flight path against the horizon [rad].
    """
    c, s = float(np.cos(pitch)), float(np.sin(pitch))
    w_row = _row(d.z_u, d.z_w, speed + np.asarray(d.z_q), -GRAVITY * s)
    m_row = _row(d.m_u, d.m_w, d.m_q, 0.0) + np.asarray(d.m_wdot)[..., None] * w_row
    return _rows(_row(d.x_u, d.x_w, 0.0, -GRAVITY * c), w_row, m_row, _row(0.0, 0.0, 1.0, 0.0))


def _row(*values: Number) -> FloatArray:
    return np.stack(np.broadcast_arrays(*(np.asarray(v, dtype=np.float64) for v in values)), axis=-1)


def _rows(*rows: FloatArray) -> FloatArray:
    return np.stack(np.broadcast_arrays(*rows), axis=-2)


@dataclass(frozen=True, slots=True)
class Sideways:
    """Derivatives for motion out of the plane of symmetry, per unit of mass or inertia (source 3).

    y_v, l_p, l_r, n_p, n_r [1/s]; y_p, y_r [m/s]; l_v, n_v [1/(m s)]. The product of inertia is worked in.
    """

    y_v: Number
    l_v: Number
    n_v: Number
    l_p: Number
    l_r: Number
    n_p: Number
    n_r: Number
    y_p: Number = 0.0
    y_r: Number = 0.0


def sideways_matrices(d: Sideways, speed: float, pitch: float = 0.0) -> FloatArray:
    """A (..., 4, 4) of (v, p, r, phi) about level or climbing flight (source 3, eq. 5.33)."""
    fall = GRAVITY * float(np.cos(pitch))
    return _rows(
        _row(d.y_v, d.y_p, np.asarray(d.y_r) - speed, fall),
        _row(d.l_v, d.l_p, d.l_r, 0.0),
        _row(d.n_v, d.n_p, d.n_r, 0.0),
        _row(0.0, 1.0, float(np.tan(pitch)), 0.0),
    )
