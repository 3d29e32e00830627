"""A rigid aeroplane flown step by step: many launches at once, one in each column.

State (12, n), SI: place north, east [m] and height [m, up]; speeds u, v, w along the body's axes [m/s]; roll,
pitch and heading [rad]; rates p, q, r [rad/s]. Body axes x forward, y right, z down. Flat earth;
the pitch stays within 89 degrees, where the angles hold.

Sources
1. B. Etkin and L. D. Reid, *Dynamics of Flight*, 3rd ed., ch. 4: equations of motion, Euler angles.
2. W. H. Press et al., *Numerical Recipes*, ch. 17.1: classical Runge-Kutta of fourth order.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from foldwright.base.types import FloatArray

GRAVITY = 9.80665
NORTH, EAST, HEIGHT, U, V, W, ROLL, PITCH, HEADING, P, Q, R = range(12)
"""Rows of the state."""

_STEEP = np.radians(89.0)

Push = Callable[[FloatArray, float], tuple[FloatArray, FloatArray]]
"""state (12, n), time [s] → force (3, n) [N] without weight and moment (3, n) [N m] about the centre of
gravity, body axes."""


@dataclass(frozen=True, slots=True, eq=False)
class Rigid:
    """mass (n,) or () [kg]; moments of inertia i_x, i_y, i_z and the product i_xz [kg m²], body axes."""

    mass: FloatArray
    i_x: FloatArray
    i_y: FloatArray
    i_z: FloatArray
    i_xz: FloatArray


def start(
    columns: int, speed: FloatArray | float, pitch: FloatArray | float, height: FloatArray | float = 0.0
) -> FloatArray:
    """States (12, n) on leaving the hand: speed along the body's x axis [m/s], pitch [rad], height [m]."""
    state = np.zeros((12, columns))
    state[U], state[PITCH], state[HEIGHT] = speed, pitch, height
    return state


def rates(state: FloatArray, force: FloatArray, moment: FloatArray, body: Rigid) -> FloatArray:
    """Time derivative (12, n) of a state under force and moment (3, n), weight added (source 1)."""
    u, v, w = state[U], state[V], state[W]
    p, q, r = state[P], state[Q], state[R]
    sin_r, cos_r = np.sin(state[ROLL]), np.cos(state[ROLL])
    pitch = np.clip(state[PITCH], -_STEEP, _STEEP)
    sin_p, cos_p = np.sin(pitch), np.cos(pitch)
    sin_h, cos_h = np.sin(state[HEADING]), np.cos(state[HEADING])
    out = np.empty_like(state)
    # source 1, eq. 4.5,4: speeds in earth axes; down is minus height
    level = cos_r * w + sin_r * v
    ahead = cos_p * u + sin_p * level
    aside = cos_r * v - sin_r * w
    out[NORTH] = cos_h * ahead - sin_h * aside
    out[EAST] = sin_h * ahead + cos_h * aside
    out[HEIGHT] = sin_p * u - cos_p * level
    # source 1, eq. 4.5,8
    out[U] = force[0] / body.mass - GRAVITY * sin_p + r * v - q * w
    out[V] = force[1] / body.mass + GRAVITY * cos_p * sin_r + p * w - r * u
    out[W] = force[2] / body.mass + GRAVITY * cos_p * cos_r + q * u - p * v
    # source 1, eq. 4.4,7
    turning = q * sin_r + r * cos_r
    out[ROLL] = p + turning * sin_p / cos_p
    out[PITCH] = q * cos_r - r * sin_r
    out[HEADING] = turning / cos_p
    # source 1, eq. 4.5,9 with I_xy = I_yz = 0
    roll = moment[0] - (body.i_z - body.i_y) * q * r + body.i_xz * p * q
    yaw = moment[2] - (body.i_y - body.i_x) * p * q - body.i_xz * q * r
    whole = body.i_x * body.i_z - body.i_xz**2
    out[P] = (body.i_z * roll + body.i_xz * yaw) / whole
    out[Q] = (moment[1] - (body.i_x - body.i_z) * p * r - body.i_xz * (p**2 - r**2)) / body.i_y
    out[R] = (body.i_x * yaw + body.i_xz * roll) / whole
    return out


def fly(push: Push, state: FloatArray, body: Rigid, step: float, steps: int) -> FloatArray:
    """States (steps + 1, 12, n) from a start (12, n), step by step of `step` seconds (source 2)."""
    track = np.empty((steps + 1, *state.shape))
    track[0] = here = np.array(state, dtype=np.float64)

    def slope(at: FloatArray, time: float) -> FloatArray:
        return rates(at, *push(at, time), body)

    for k in range(steps):
        now = k * step
        k1 = slope(here, now)
        k2 = slope(here + 0.5 * step * k1, now + 0.5 * step)
        k3 = slope(here + 0.5 * step * k2, now + 0.5 * step)
        k4 = slope(here + step * k3, now + step)
        here = here + step / 6.0 * (k1 + 2.0 * (k2 + k3) + k4)
        track[k + 1] = here
    return track


def energy(state: FloatArray, body: Rigid) -> FloatArray:
    """Kinetic and potential energy (n,) [J] of states (12, n)."""
    speed = state[U] ** 2 + state[V] ** 2 + state[W] ** 2
    p, q, r = state[P], state[Q], state[R]
    turning = body.i_x * p**2 + body.i_y * q**2 + body.i_z * r**2 - 2.0 * body.i_xz * p * r
    return np.asarray(0.5 * body.mass * speed + 0.5 * turning + body.mass * GRAVITY * state[HEIGHT])
