"""The stream of a propeller disc, and what it does to a control that stands in it.

Actuator disc in axial flow; the velocity on the axis is that of a semi-infinite vortex tube.

Sources
1. H. Glauert, *Airplane Propellers*, in W. F. Durand (ed.), *Aerodynamic Theory* IV, division L, 1935.
2. B. W. McCormick, *Aerodynamics of V/STOL Flight*, 1967, ch. 4 (velocity along the axis of the tube).

SI units. All functions broadcast over arrays.
"""

from __future__ import annotations

import numpy as np

from foldwright.base.types import FloatArray

Number = FloatArray | float


def induced_velocity(thrust: Number, speed: Number, density: Number, area: Number) -> FloatArray:
    """Velocity that the disc adds in its own plane [m/s], v_i = -V/2 + sqrt(V^2/4 + T/(2 rho A)) (source 1).

    thrust [N, >= 0], speed along the axis [m/s, >= 0], density [kg/m^3], area of the disc [m^2].
    """
    half = 0.5 * np.asarray(speed, dtype=np.float64)
    # source 1: T = 2 rho A (V + v_i) v_i
    return np.asarray(-half + np.sqrt(half**2 + np.asarray(thrust) / (2.0 * np.asarray(density) * area)))


def axial_share(ahead: Number, radius: Number) -> FloatArray:
    """Added velocity on the axis over that at the disc, 1 - s/sqrt(s^2 + R^2) [-] (source 2).

    ahead: s, distance ahead of the disc [m], negative behind it. radius of the disc [m, > 0].
    One at the disc, none far ahead, two far behind.
    """
    s = np.asarray(ahead, dtype=np.float64)
    return np.asarray(1.0 - s / np.hypot(s, radius))


def contraction(
    thrust: Number, speed: Number, density: Number, radius: Number, ahead: Number, scale: Number = 1.0
) -> FloatArray:
    """Radius of the stream over the disc's [-]: 1 at the disc and ahead of it, less behind.

    Arguments as `inflow_factor`. Continuity of an axial stream (source 1): (r/R)^2 = (V + v_i)/(V + w). Ahead
    of the disc the inflow has no edge; the disc's own radius is kept there.
    """
    r = np.asarray(radius, dtype=np.float64)
    added = np.asarray(scale) * induced_velocity(thrust, speed, density, np.pi * r**2)
    here = np.asarray(speed) + added * np.maximum(axial_share(ahead, r), 1.0)
    return np.asarray(np.sqrt((np.asarray(speed) + added) / here))


def inflow_factor(
    thrust: Number,
    speed: Number,
    density: Number,
    radius: Number,
    ahead: Number,
    share: Number,
    scale: Number = 1.0,
) -> FloatArray:
    """Factor f on the effectiveness of a control partly in the stream, 1 + phi ((1 + w/V)^2 - 1) [-].

    thrust [N], speed [m/s, > 0], density [kg/m^3], radius of the disc [m]; ahead: control ahead of the
    disc [m], negative behind (a control ahead of a rear propeller stands in its inflow); share: phi, part
    of the control's span in the stream, 0-1; scale: judgement factor on w. w = v_i (1 - s/sqrt(s^2 + R^2)).
    The factor is 1 without thrust.
    """
    r = np.asarray(radius, dtype=np.float64)
    w = np.asarray(scale) * induced_velocity(thrust, speed, density, np.pi * r**2) * axial_share(ahead, r)
    return np.asarray(1.0 + np.asarray(share) * ((1.0 + w / np.asarray(speed)) ** 2 - 1.0))
