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

    x_u: float
    x_w: float
    z_u: float
    z_w: float
    m_u: float
    m_w: float
    m_wdot: float
    m_q: float
    z_q: float = 0.0


def lengthwise_matrix(d: Lengthwise, speed: float, pitch: float = 0.0) -> FloatArray:
    """A (4, 4) of (u, w, q, theta) about level or climbing flight (source 3, eq. 4.51).

    speed [m/s]; pitch: angle of the flight path against the horizon [rad].
    """
    u0, c, s = speed, float(np.cos(pitch)), float(np.sin(pitch))
    w_row = np.array([d.z_u, d.z_w, u0 + d.z_q, -GRAVITY * s])
    m_row = np.array([d.m_u, d.m_w, d.m_q, 0.0]) + d.m_wdot * w_row
    return np.array([[d.x_u, d.x_w, 0.0, -GRAVITY * c], w_row, m_row, [0.0, 0.0, 1.0, 0.0]])


@dataclass(frozen=True, slots=True)
class Sideways:
    """Derivatives for motion out of the plane of symmetry, per unit of mass or inertia (source 3).

    y_v, l_p, l_r, n_p, n_r [1/s]; y_p, y_r [m/s]; l_v, n_v [1/(m s)]. The product of inertia is worked in.
    """

    y_v: float
    l_v: float
    n_v: float
    l_p: float
    l_r: float
    n_p: float
    n_r: float
    y_p: float = 0.0
    y_r: float = 0.0


def sideways_matrix(d: Sideways, speed: float, pitch: float = 0.0) -> FloatArray:
    """A (4, 4) of (v, p, r, phi) about level or climbing flight (source 3, eq. 5.33)."""
    fall = GRAVITY * float(np.cos(pitch))
    return np.array([
        [d.y_v, d.y_p, d.y_r - speed, fall],
        [d.l_v, d.l_p, d.l_r, 0.0],
        [d.n_v, d.n_p, d.n_r, 0.0],
        [0.0, 1.0, float(np.tan(pitch)), 0.0],
    ])  # fmt: skip
