"""Moment of a slender body from the apparent mass of its cross-sections, with a wing over part of it.

    dM/d(alpha) = 2 q  integral  k (pi/4) w^2  (d beta/d alpha)  dx

which is Munk's 2 q Vol for a body of revolution alone in the stream (k = 1, d beta/d alpha = 1, source 1).
beta is the local direction of the flow along the body (source 2): within the wing's chord the wing turns
the flow along itself, so those sections take no part; ahead of the leading edge the wing's upwash adds to
the incidence and behind the trailing edge its downwash takes from it.

Sources
1. M. M. Munk, *The Aerodynamic Forces on Airship Hulls*, NACA TR 184, 1924.
2. H. Multhopp, *Zur Aerodynamik des Flugzeugrumpfes*, 1941; in English NACA TM 1036, 1942.
3. J. N. Newman, *Marine Hydrodynamics*, 1977, table 4.3, and C. E. Brennen, *A Review of Added Mass*,
   1982, appendix: apparent mass of rectangular sections (from memory; the square recomputed in the tests).

Limits: attached cross-flow. A blunt rear end keeps less of the couple than ideal flow gives.
"""

from __future__ import annotations

import numpy as np

from foldwright.base.types import FloatArray

RECTANGLE_ASPECT = (0.1, 0.2, 0.5, 1.0, 2.0, 5.0, 10.0)
"""Width across the stream over depth along it, for RECTANGLE_FACTOR (source 3)."""
RECTANGLE_FACTOR = (2.23, 1.98, 1.70, 1.51, 1.36, 1.21, 1.14)
"""Apparent mass of a rectangle over that of the circle on its width, rho pi w^2/4 (source 3)."""


def rectangle_factor(across: FloatArray, along: FloatArray) -> FloatArray:
    """Apparent mass of a rectangular section over rho (pi/4) across^2 [-], any shape.

    across, along: sides square to the cross-flow and along it, same unit; a side of zero gives a flat
    plate's or a needle's limit, held at the table's ends. Interpolated in the logarithm of the aspect.
    """
    tiny = np.finfo(np.float64).tiny
    aspect = np.log(np.maximum(across, tiny)) - np.log(np.maximum(along, tiny))
    return np.asarray(np.interp(aspect, np.log(RECTANGLE_ASPECT), RECTANGLE_FACTOR))


def upwash_slope(x: FloatArray, quarter: float, lift_slope: float, area: float, span: float) -> FloatArray:
    """d(w/V)/d(alpha) in the plane of symmetry from the wing's vortex system [-], upward positive.

    x (n,): places, aft positive; quarter: x of the wing's quarter chord; lift_slope: C_L,alpha [1/rad];
    area, span of the wing in the same unit as x. One horseshoe with the span of an elliptic loading's
    vortex pair, 2 s = (pi/4) b, and Gamma = V S C_L/(4 s): w = Gamma (R - d)/(2 pi s d), d the distance
    ahead of the quarter chord, negative behind, R^2 = s^2 + d^2 (Biot-Savart).
    """
    s = np.pi / 8.0 * span
    gamma = area * lift_slope / (4.0 * s)
    d = quarter - np.asarray(x, dtype=np.float64)
    safe = np.where(d == 0.0, np.inf, d)
    return np.asarray(gamma * (np.hypot(s, d) - d) / (2.0 * np.pi * s * safe))


def flow_slope(
    x: FloatArray, leading: float, trailing: float, lift_slope: float, area: float, span: float
) -> FloatArray:
    """Turn d beta/d alpha of the flow along a body with a wing (source 2) [-]; see `upwash_slope`.

    leading, trailing: x of the wing's leading and trailing edge at the body. Zero between them; never
    negative behind the trailing edge, where the flow leaves along the wing.
    """
    quarter = leading + 0.25 * (trailing - leading)
    slope = 1.0 + upwash_slope(x, quarter, lift_slope, area, span)
    covered = (np.asarray(x) > leading) & (np.asarray(x) < trailing)
    return np.asarray(np.where(covered, 0.0, np.maximum(slope, 0.0)))


def apparent_volume(x: FloatArray, across: FloatArray, along: FloatArray, slope: FloatArray) -> float:
    """Integral of k (pi/4) w^2 (d beta/d alpha) dx by the trapezium rule, length unit cubed.

    All (n,), x rising. dM/d(alpha) of the body is 2 q times this, nose-up (source 1).
    """
    section = rectangle_factor(across, along) * 0.25 * np.pi * across**2 * slope
    return float(np.sum(0.5 * (section[1:] + section[:-1]) * np.diff(x)))


def moment_slope(volume: float, area: float, length: float) -> float:
    """C_m,alpha = 2 Vol/(S c) [1/rad], nose-up positive (source 1): apparent volume over area and chord."""
    return 2.0 * volume / (area * length)
