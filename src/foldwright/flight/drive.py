"""The drive of this aeroplane over the samples of the assumptions: what it gives and draws."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np

from foldwright.base.band import Band
from foldwright.base.types import FloatArray
from foldwright.design.model import Design
from foldwright.design.resolve import Resolved
from foldwright.flight.lift import Samples
from foldwright.flight.planform import M
from foldwright.physics.drive import Chain, Run, Screw, fitted, run, throttle_for
from foldwright.physics.electric import RPM
from foldwright.physics.propeller import table

CELL_VOLT = 3.8
"""Resting voltage of a cell in the middle of its charge, V; a full one has 4.2 (typical, from memory)."""
FRESH_VOLT = 4.0
"""Resting voltage of a cell in a static test soon after charging, V [judgement]."""
SEA_LEVEL = 1.225
BASIS = "blade elements, three-constant motor, cells by their resistance"
STATED = "static thrust of the stock entry"
TESTED = "static test of the design file"


@dataclass(frozen=True, slots=True, eq=False)
class Drive:
    """Motor, controller, cells and propeller. n is the number of samples.

    screw, chain: of one motor, (n,); chain.cells: resistance times the motors that share the battery. count:
    motors. basis: what thrust and current rest on. cells: in series; capacity: A h. limits:
    greatest current of motor and controller, A, None where not stated.
    """

    screw: Screw
    chain: Chain
    count: int
    basis: str
    cells: int
    capacity: float
    motor_limit: float
    controller_limit: float | None

    def at(self, throttle: FloatArray | float, speed: FloatArray | float, density: float) -> Run:
        """One motor at a throttle (0-1) and a speed [m/s]; arrays broadcast against (..., n)."""
        return run(self.screw, self.chain, throttle, speed, density)

    def throttle(self, thrust: FloatArray, speed: FloatArray | float, density: float) -> FloatArray:
        """Throttle for a thrust [N] of all motors together; NaN where they give less."""
        return throttle_for(self.screw, self.chain, thrust / self.count, speed, density)

    def fresh(self) -> Drive:
        """The same with a battery soon after charging."""
        volt = np.asarray(self.chain.volt) * (FRESH_VOLT / CELL_VOLT)
        return replace(self, chain=replace(self.chain, volt=volt))


@dataclass(frozen=True, slots=True, eq=False)
class Static:
    """Full throttle at rest, fresh battery, all motors: thrust [N], current through the cells [A], power
    drawn [W], speed [1/min].
    """

    thrust: Band
    current: Band
    watts: Band
    rpm: Band


def drive_of(design: Design, equipment: Resolved, samples: Samples) -> Drive:
    """The fitted drive.

    What thrust and current rest on, the first that is there: the design's static test, the stock entry's
    static thrust where it was stated with this propeller and these cells, the model alone. Tests are of one
    motor alone on the battery.
    """
    motor, battery, size = equipment.motor, equipment.battery, equipment.propeller
    controllers = [item for item in equipment.items if item.kind == "controller"]
    chain = Chain(
        kv=motor.kv_rpm_v * RPM,
        motor=motor.resistance_ohm,
        idle=motor.idle_a,
        volt=CELL_VOLT * battery.cells,
        cells=battery.resistance_ohm,
        controller=max((item.resistance_ohm for item in controllers), default=0.0),
        loss=float(samples["controller_loss"][0]),
    )
    test = _test(design, equipment)
    screw = _anchored(size.diameter_mm * M, size.pitch_mm * M, size.blades, chain, test)
    thrust, power = _uncertain(test, samples)
    count = 2 if design.motor.mirrored else 1
    stated = [item.max_current_a for item in controllers if item.max_current_a > 0.0]
    return Drive(
        screw=replace(
            screw,
            thrust_factor=screw.thrust_factor * thrust,
            power_factor=screw.power_factor * power,
        ),
        chain=replace(
            chain,
            # one battery carries the current of every motor: each sees the sag of all (first principles)
            cells=count * battery.resistance_ohm * samples["cell_resistance_factor"],
            loss=samples["controller_loss"],
            volt=np.full_like(samples["controller_loss"], CELL_VOLT * battery.cells),
        ),
        count=count,
        basis=test.basis,
        cells=battery.cells,
        capacity=battery.capacity_mah / 1000.0,
        motor_limit=motor.max_current_a,
        controller_limit=min(stated) if stated else None,
    )


@dataclass(frozen=True, slots=True)
class _Test:
    """A static test: thrust [N] and current [A], None where there is none; volt: under load, None for fresh
    cells.
    """

    basis: str
    thrust: float | None = None
    current: float | None = None
    volt: float | None = None


def _test(design: Design, equipment: Resolved) -> _Test:
    """The design's own static test, else the stock entry's where it holds, else none."""
    own, motor = design.measured, equipment.motor
    if own is not None and (own.static_thrust_n is not None or own.static_current_a is not None):
        return _Test(TESTED, own.static_thrust_n, own.static_current_a, own.static_volt_v)
    return _Test(STATED, motor.static_thrust_n) if motor.static_holds else _Test(BASIS)


def _uncertain(test: _Test, samples: Samples) -> tuple[FloatArray, FloatArray]:
    """Factors (n,) on thrust and power: what was measured on this drive is not guessed again."""
    tested = test.basis == TESTED
    if test.thrust is None:
        thrust = samples["propeller_thrust_factor"]
    else:
        thrust = samples["static_test_factor" if tested else "thrust_factor"]
    power = samples["propeller_power_factor"]
    return thrust, np.ones_like(power) if test.current is not None else power


@lru_cache(maxsize=64)
def _anchored(diameter: float, pitch: float, blades: int, chain: Chain, test: _Test) -> Screw:
    """The propeller with the factors of a static test; the last ones are remembered."""
    volt = np.asarray(chain.volt) * (FRESH_VOLT / CELL_VOLT)
    at = replace(chain, volt=float(volt)) if test.volt is None else replace(chain, volt=test.volt, cells=0.0)
    return fitted(Screw(table(diameter, pitch, blades), diameter), at, test.thrust, test.current)


def static(drive: Drive, density: float = SEA_LEVEL) -> Static:
    """Full throttle at rest with a fresh battery."""
    got = drive.fresh().at(1.0, 0.0, density)
    n = drive.count
    return Static(
        thrust=Band.of(got.thrust * n, "N", drive.basis),
        current=Band.of(got.cell_current * n, "A", drive.basis),
        watts=Band.of(got.drawn * n, "W", drive.basis),
        rpm=Band.of(got.omega / RPM, "1/min", drive.basis),
    )
