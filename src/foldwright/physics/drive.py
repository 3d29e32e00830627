"""Propeller, motor, controller and cells together: what they give at a throttle and a speed.

Sources
1. M. Drela, *First-Order DC Electric Motor Model*, MIT, 2007.
2. H. Glauert, *Airplane Propellers*, in W. F. Durand (ed.), *Aerodynamic Theory* IV, division L, 1935: T =
   C_T rho n² D⁴, P = C_P rho n³ D⁵ against J = V/(n D).

SI units. All functions broadcast over arrays.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from foldwright.base.types import BoolArray, FloatArray
from foldwright.physics.electric import balance_speed, current_at
from foldwright.physics.propeller import Table

Number = FloatArray | float

ROUNDS = 6
"""Times the line of C_P is taken anew: the last change of speed is below 1e-9 (see the tests)."""
_STILL = 1e-6
"""Speed of flight taken for none, m/s."""
_ROUNDING = 1e-9
"""Throttle past the whole that rounding alone brings."""


@dataclass(frozen=True, slots=True, eq=False)
class Screw:
    """A propeller of a size. diameter [m]; thrust_factor, power_factor multiply the table's coefficients:
    what a static test found, or samples of how far the table may be trusted.
    """

    table: Table
    diameter: float
    thrust_factor: Number = 1.0
    power_factor: Number = 1.0

    def power_at(self, advance: FloatArray) -> FloatArray:
        """C_P at advance ratios, with its factor; a propeller that the wind would turn takes none."""
        return np.asarray(np.maximum(self.table.power_at(advance), 0.0) * np.asarray(self.power_factor))

    def thrust_at(self, advance: FloatArray) -> FloatArray:
        """C_T at advance ratios, with its factor."""
        return np.asarray(self.table.at(advance)[0] * np.asarray(self.thrust_factor))

    def turns_for(self, thrust: Number, speed: Number, density: Number = 1.225) -> FloatArray:
        """Turns a second for a thrust [N, >= 0] at a speed [m/s]: C_T(J) n² = T/(rho D⁴), J = V/(n D).

        C_T/J² falls with J and says between which points of the table it lies; there C_T = a + s J, so that
        n = (-s V + √(s² V² + 4 a q²))/(2 a D) with q² = T/(rho D²).
        """
        v = np.asarray(speed, dtype=np.float64)
        push = thrust / (np.asarray(density) * self.diameter**2 * np.asarray(self.thrust_factor))
        at, value = self.table.advance, self.table.thrust
        falling = np.maximum(value[1:], 0.0) / at[1:] ** 2
        past = np.full(np.broadcast(push, v).shape, np.inf)
        ratio = np.divide(push, v**2, out=past, where=v > _STILL)
        index = np.searchsorted(-falling, -ratio)
        # past the last point C_T is held
        slope = np.append(np.diff(value) / np.diff(at), 0.0)
        start = np.append(value[:-1] - slope[:-1] * at[:-1], value[-1])
        s, a = slope[index], start[index]
        return np.asarray((np.sqrt((s * v) ** 2 + 4.0 * a * push) - s * v) / (2.0 * a * self.diameter))


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
    turns: BoolArray

    def efficiency(self, speed: Number) -> FloatArray:
        """Thrust times speed over power drawn [-]; zero where nothing is drawn."""
        useful = self.thrust * np.asarray(speed)
        return np.asarray(
            np.divide(useful, self.drawn, out=np.zeros_like(self.drawn), where=self.drawn > 0.0)
        )


def run(screw: Screw, chain: Chain, throttle: Number, speed: Number, density: Number = 1.225) -> Run:
    """Equilibrium of shaft torque at a throttle (0-1) and a speed through the air [m/s, >= 0].

    The motor's line against C_P(J) rho n² D⁵/(2 pi): where C_P runs straight, a + s J, a quadratic (source 1
    and J = V/(n D)); the line is that of the last J, ROUNDS times. Where the motor cannot turn its own idle
    current nothing turns and the thrust is zero; a stopped blade's drag is not here.
    """
    shape = np.broadcast(throttle, speed, chain.volt, chain.kv, screw.power_factor, density)
    d = np.broadcast_to(np.asarray(throttle, dtype=np.float64), shape.shape)
    v = np.broadcast_to(np.asarray(speed, dtype=np.float64), shape.shape)
    diameter = screw.diameter
    scale = np.asarray(density) * diameter**5 / (2.0 * np.pi) ** 3 * np.asarray(screw.power_factor)
    resistance = np.asarray(chain.motor) + np.asarray(chain.controller)
    forward = v * (2.0 * np.pi / diameter)

    omega = np.full(shape.shape, np.inf)
    for _ in range(ROUNDS):
        held, slope = screw.table.power_line(_advance(v, omega, diameter))
        omega = balance_speed(
            held * scale, d, chain.volt, chain.kv, resistance, chain.cells, chain.idle,
            slope * scale * forward,
        )  # fmt: skip
    advance = _advance(v, omega, diameter)
    n, turns = omega / (2.0 * np.pi), omega > 0.0
    through = current_at(omega, d, chain.volt, chain.kv, resistance, chain.cells)
    motor = np.where(turns, np.maximum(through, 0.0), 0.0)
    cell = d * motor / (1.0 - np.asarray(chain.loss))
    under = np.asarray(chain.volt) - cell * np.asarray(chain.cells)
    pull = screw.thrust_at(advance) * np.asarray(density) * n**2 * diameter**4
    return Run(
        thrust=np.where(turns, pull, 0.0),
        shaft=screw.power_at(advance) * np.asarray(density) * n**3 * diameter**5,
        omega=omega,
        motor_current=motor,
        cell_current=cell,
        cell_volt=np.asarray(under),
        drawn=np.asarray(under * cell),
        advance=advance,
        turns=turns,
    )


def _advance(speed: FloatArray, omega: FloatArray, diameter: float) -> FloatArray:
    """J = V/(n D); past every table where nothing turns."""
    still = np.full_like(omega, 1e3)
    return np.asarray(np.divide(2.0 * np.pi * speed, omega * diameter, out=still, where=omega > 0.0))


def throttle_for(
    screw: Screw, chain: Chain, thrust: Number, speed: Number, density: Number = 1.225
) -> FloatArray:
    """Throttle (0-1) that gives a thrust [N] at a speed [m/s]; NaN where full throttle gives less.

    Thrust gives the propeller's speed, that its torque, and that the motor's current I. With c = I R +
    omega/K_v the voltages (electric.current_at) read R_cells I d² - V d + c = 0; the smaller root counts.
    """
    shape = np.broadcast(thrust, speed, chain.volt, chain.kv, screw.power_factor, screw.thrust_factor)
    wanted = np.broadcast_to(np.asarray(thrust, dtype=np.float64), shape.shape)
    omega = 2.0 * np.pi * screw.turns_for(np.maximum(wanted, 0.0), speed, density)
    power = screw.power_at(_advance(np.asarray(speed), omega, screw.diameter))
    torque = power * np.asarray(density) * screw.diameter**5 * omega**2 / (2.0 * np.pi) ** 3
    current = np.asarray(chain.idle) + np.asarray(chain.kv) * torque
    asked = current * (np.asarray(chain.motor) + chain.controller) + omega / np.asarray(chain.kv)
    volt = np.asarray(chain.volt)
    room = volt**2 - 4.0 * np.asarray(chain.cells) * current * asked
    throttle = 2.0 * asked / (volt + np.sqrt(np.maximum(room, 0.0)))
    given = (room >= 0.0) & (throttle <= 1.0 + _ROUNDING)
    found = np.where(given, np.minimum(throttle, 1.0), np.nan)
    return np.asarray(np.where(wanted > 0.0, found, wanted * 0.0))


def fitted(screw: Screw, chain: Chain, thrust: float | None, current: float | None) -> Screw:
    """The propeller with the factors that a static test at full throttle gives it.

    thrust [N], current through the cells [A], None where it was not read. chain: single numbers, its voltage
    that of the test. Of a current the power factor follows, then of a thrust the thrust factor. A thrust
    alone sets both alike: a blade that pushes less than the typical one takes less too [judgement].
    """
    if current is not None:
        screw = _matched(chain, current, _thirsty(screw), "cell_current")
        if thrust is not None:
            plain = float(run(replace(screw, thrust_factor=1.0), chain, 1.0, 0.0).thrust)
            screw = replace(screw, thrust_factor=thrust / plain if plain > 0.0 else 1.0)
    elif thrust is not None:
        screw = _matched(chain, thrust, _alike(screw), "thrust")
    return screw


def _alike(screw: Screw) -> Callable[[float], Screw]:
    return lambda factor: replace(screw, thrust_factor=factor, power_factor=factor)


def _thirsty(screw: Screw) -> Callable[[float], Screw]:
    return lambda factor: replace(screw, power_factor=factor)


def _matched(chain: Chain, wanted: float, made: Callable[[float], Screw], read: str) -> Screw:
    """The propeller of the factor, a fifth to five, that gives a reading which rises with it."""
    low, high = 0.2, 5.0
    for _ in range(40):
        middle = (low * high) ** 0.5
        got = float(getattr(run(made(middle), chain, 1.0, 0.0), read))
        low, high = (middle, high) if got < wanted else (low, middle)
    return made((low * high) ** 0.5)
