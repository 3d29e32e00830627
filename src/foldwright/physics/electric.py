"""Brushless motor, speed controller and cells in equilibrium with a propeller's torque.

Sources
1. M. Drela, *First-Order DC Electric Motor Model*, MIT, 2007: torque (I - I0)/Kv, voltage I R + omega/Kv.

SI units: Kv in rad/s per V. All functions broadcast over arrays.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from foldwright.base.types import FloatArray

Number = FloatArray | float

RPM = 2.0 * np.pi / 60.0
"""rad/s in one revolution a minute."""


@dataclass(frozen=True, slots=True)
class MotorState:
    """What a motor gives at one current; shapes broadcast.

    omega [rad/s], torque [N m], shaft: power at the shaft [W], efficiency: shaft over electric power [-].
    """

    omega: FloatArray
    torque: FloatArray
    shaft: FloatArray
    efficiency: FloatArray


def at_current(volt: Number, current: Number, kv: Number, resistance: Number, idle: Number) -> MotorState:
    """A motor at a voltage [V] and current [A] at its terminals (source 1).

    kv [rad/(s V)], resistance [ohm], idle: no-load current [A]. omega = Kv (V - I R), Q = (I - I0)/Kv.
    """
    v, i = np.asarray(volt, dtype=np.float64), np.asarray(current, dtype=np.float64)
    omega = np.asarray(kv) * (v - i * np.asarray(resistance))
    torque = (i - np.asarray(idle)) / np.asarray(kv)
    shaft = omega * torque
    return MotorState(omega, torque, shaft, shaft / (v * i))


def best_current(volt: Number, resistance: Number, idle: Number) -> FloatArray:
    """Current of best efficiency [A], sqrt(V I0 / R) (source 1)."""
    return np.asarray(np.sqrt(np.asarray(volt) * np.asarray(idle) / np.asarray(resistance)))


def current_at(
    omega: Number, throttle: Number, open_volt: Number, kv: Number, motor: Number, battery: Number
) -> FloatArray:
    """Current through the motor [A] at a speed omega [rad/s].

    The controller passes on a share `throttle` (0-1) of the cells' voltage and draws that share of the
    motor's current from them, so that their resistance counts with its square:
    I = (d V_oc - omega/Kv) / (R_motor + d^2 R_battery). motor: with the controller's own resistance [ohm];
    battery: cells and leads [ohm]. Negative where the propeller would drive the motor.
    """
    d = np.asarray(throttle, dtype=np.float64)
    volt = d * np.asarray(open_volt) - np.asarray(omega) / np.asarray(kv)
    return np.asarray(volt / (np.asarray(motor) + d**2 * np.asarray(battery)))


def balance_speed(
    load: Number,
    throttle: Number,
    open_volt: Number,
    kv: Number,
    motor: Number,
    battery: Number,
    idle: Number,
    wind: Number = 0.0,
) -> FloatArray:
    """Speed omega [rad/s] at which motor torque equals a propeller's k omega^2 + w omega.

    load: k [N m s^2]; wind: w [N m s], from the speed of flight. (I(omega) - I0)/Kv = k omega^2 + w omega is
    quadratic in omega; its positive root. Zero where the motor cannot turn its own idle current (source 1).
    """
    d, r = np.asarray(throttle, dtype=np.float64), np.asarray(motor, dtype=np.float64)
    total = r + d**2 * np.asarray(battery)
    k = np.asarray(kv, dtype=np.float64)
    drive = d * np.asarray(open_volt) / total - np.asarray(idle)
    slope = 1.0 / (k * total) + k * np.asarray(wind)
    curve, spare = np.asarray(load) * k, np.maximum(drive, 0.0)
    # curve omega^2 + slope omega - drive = 0, written so that a vanishing load gives drive/slope
    sums = slope + np.sqrt(np.maximum(slope**2 + 4.0 * curve * spare, 0.0))
    return np.asarray(np.divide(2.0 * spare, sums, out=np.zeros(np.shape(spare + sums)), where=sums > 0.0))
