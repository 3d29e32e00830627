"""Propeller, motor, controller and cells together: what they give at a throttle and a speed.

Sources
1. M. Drela, *First-Order DC Electric Motor Model*, MIT, 2007.
2. H. Glauert, *Airplane Propellers*, in W. F. Durand (ed.), *Aerodynamic Theory* IV, division L, 1935: T =
   C_T rho n² D⁴, P = C_P rho n³ D⁵ against J = V/(n D).

SI units. All functions broadcast over arrays.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from foldwright.base.types import FloatArray
from foldwright.physics.electric import balance_speed, current_at
from foldwright.physics.propeller import Table

Number = FloatArray | float

ROUNDS = 9
"""Times the advance ratio is put in again: the last change of speed is below 1e-6 (see the tests)."""


@dataclass(frozen=True, slots=True)
class Chain:
    """Motor, controller and cells; every number may be an array.

    kv [rad/(s V)]; motor, controller, cells: resistances [ohm]; idle: no-load current [A]; volt: of the cells
    without load [V]; loss: share of the power that the controller turns into heat besides its resistance.
    """

    kv: Number
    motor: Number
    idle: Number
    volt: Number
    cells: Number
    controller: Number = 0.0
    loss: Number = 0.0


@dataclass(frozen=True, slots=True, eq=False)
class Run:
    """The drive at work; shapes broadcast.

    thrust [N], shaft: power [W], omega [rad/s], motor_current and cell_current [A], cell_volt: under load
    [V], drawn: power from the cells [W], advance: J [-], turns: False where the motor cannot turn it.
    """

    thrust: FloatArray
    shaft: FloatArray
    omega: FloatArray
    motor_current: FloatArray
    cell_current: FloatArray
    cell_volt: FloatArray
    drawn: FloatArray
    advance: FloatArray
    turns: FloatArray

    def efficiency(self, speed: Number) -> FloatArray:
        """Thrust times speed over power drawn [-]; zero where nothing is drawn."""
        useful = self.thrust * np.asarray(speed)
        return np.asarray(
            np.divide(useful, self.drawn, out=np.zeros_like(self.drawn), where=self.drawn > 0.0)
        )


def run(
    propeller: Table, diameter: float, chain: Chain, throttle: Number, speed: Number, density: Number = 1.225
) -> Run:
    """Equilibrium of shaft torque at a throttle (0-1) and a speed through the air [m/s, >= 0].

    The motor's line against C_P(J) rho n² D⁵/(2 pi): for a held J a quadratic (source 1), J put in again
    ROUNDS times. A propeller that the wind would turn (C_P below zero) takes no torque. Where the motor
    cannot turn its own idle current nothing turns and the thrust is zero; a stopped blade's drag is not here.
    """
    d, v = np.broadcast_arrays(np.asarray(throttle, dtype=np.float64), np.asarray(speed, dtype=np.float64))
    scale = np.asarray(density) * diameter**5 / (2.0 * np.pi) ** 3
    resistance = np.asarray(chain.motor) + np.asarray(chain.controller)

    def turning(power: FloatArray) -> FloatArray:
        load = np.maximum(power, 0.0) * scale
        return balance_speed(load, d, chain.volt, chain.kv, resistance, chain.cells, chain.idle)

    omega = turning(propeller.at(0.0)[1] * np.ones_like(d))
    for _ in range(ROUNDS):
        omega = turning(propeller.at(_advance(v, omega, diameter))[1])
    advance = _advance(v, omega, diameter)
    c_t, c_p = propeller.at(advance)
    n = omega / (2.0 * np.pi)
    motor = np.maximum(current_at(omega, d, chain.volt, chain.kv, resistance, chain.cells), 0.0)
    turns = omega > 0.0
    cell = np.where(turns, d * motor / (1.0 - np.asarray(chain.loss)), 0.0)
    under = np.asarray(chain.volt) - cell * np.asarray(chain.cells)
    return Run(
        thrust=np.where(turns, c_t * np.asarray(density) * n**2 * diameter**4, 0.0),
        shaft=np.maximum(c_p, 0.0) * np.asarray(density) * n**3 * diameter**5,
        omega=omega,
        motor_current=np.where(turns, motor, 0.0),
        cell_current=cell,
        cell_volt=np.asarray(under),
        drawn=np.asarray(under * cell),
        advance=advance,
        turns=turns.astype(np.float64),
    )


def _advance(speed: FloatArray, omega: FloatArray, diameter: float) -> FloatArray:
    """J = V/(n D); past every table where nothing turns."""
    still = np.full_like(omega, 1e3)
    return np.asarray(np.divide(2.0 * np.pi * speed, omega * diameter, out=still, where=omega > 0.0))


def throttle_for(
    propeller: Table, diameter: float, chain: Chain, thrust: Number, speed: Number, density: Number = 1.225
) -> FloatArray:
    """Throttle (0-1) that gives a thrust [N] at a speed [m/s]; NaN where full throttle gives less.

    Thrust rises with throttle, so a bisection finds it.
    """
    wanted, v = np.broadcast_arrays(np.asarray(thrust, dtype=np.float64), np.asarray(speed, dtype=np.float64))
    low, high = np.zeros_like(wanted), np.ones_like(wanted)
    most = run(propeller, diameter, chain, high, v, density).thrust
    for _ in range(30):
        middle = 0.5 * (low + high)
        enough = run(propeller, diameter, chain, middle, v, density).thrust >= wanted
        low, high = np.where(enough, low, middle), np.where(enough, middle, high)
    return np.asarray(np.where(most >= wanted, high, np.nan))
