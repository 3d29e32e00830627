"""Propeller, motor and cells together: torque and power balance, limits, what is known of small drives."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from foldwright.physics.drive import Chain, Screw, fitted, run, throttle_for
from foldwright.physics.electric import RPM, current_at
from foldwright.physics.propeller import table

INCH = 0.0254
D = 0.127
PROP = table(D, 0.1143, 2)
SCREW = Screw(PROP, D)
CHAIN = Chain(2300.0 * RPM, 0.11, 0.6, 11.4, 0.036, 0.008, 0.03)


@given(st.floats(0.1, 1.0), st.floats(0.0, 25.0))
def test_torque_and_power_balance(throttle: float, speed: float) -> None:
    """First principles: motor torque equals the propeller's; what the cells give is shaft, copper, iron and
    the controller's loss."""
    got = run(SCREW, CHAIN, throttle, speed)
    n = got.omega / (2.0 * np.pi)
    c_t, c_p = PROP.at(speed / (n * D))
    torque = max(float(c_p), 0.0) * 1.225 * n**2 * D**5 / (2.0 * np.pi)
    assert (got.motor_current - CHAIN.idle) / CHAIN.kv == pytest.approx(float(torque), rel=1e-4, abs=1e-6)
    assert got.thrust == pytest.approx(float(c_t * 1.225 * n**2 * D**4), rel=1e-6, abs=1e-9)
    heat = got.motor_current**2 * (CHAIN.motor + CHAIN.controller) + CHAIN.idle * got.omega / CHAIN.kv
    lossless = run(SCREW, replace(CHAIN, loss=0.0), throttle, speed)
    assert lossless.drawn == pytest.approx(float(got.shaft + heat), rel=1e-3, abs=1e-3)
    assert got.drawn >= lossless.drawn


def test_static_thrust_and_current_are_those_of_the_trade() -> None:
    """4-5 N and 10-13 A of a 22 x 4 mm, 2300 rpm/V motor on three cells (common practice, no source)."""
    got = run(SCREW, CHAIN, 1.0, 0.0)
    assert 4.0 <= got.thrust <= 5.0
    assert 10.0 <= got.cell_current <= 13.5


def test_faster_pulls_less_and_draws_less() -> None:
    speeds = np.linspace(0.0, 25.0, 26)
    got = run(SCREW, CHAIN, 1.0, speeds)
    assert np.all(np.diff(got.thrust) < 0.05)
    assert got.thrust[20] < got.thrust[0]
    assert got.cell_current[25] < got.cell_current.max()
    assert np.all((got.efficiency(speeds) >= 0.0) & (got.efficiency(speeds) < 1.0))


def test_no_throttle_no_thrust() -> None:
    """First principles: without voltage nothing turns, and what does not turn does not pull."""
    got = run(SCREW, CHAIN, np.array([0.0, 0.02]), 10.0)
    assert got.thrust[0] == got.cell_current[0] == got.drawn[0] == 0.0
    assert not got.turns[0]
    assert not np.any(np.isnan(got.efficiency(10.0)))


@given(st.floats(0.15, 1.0), st.floats(0.0, 15.0))
def test_throttle_is_found_again(throttle: float, speed: float) -> None:
    got = run(SCREW, CHAIN, throttle, speed)
    if got.thrust > 0.05:
        again = throttle_for(SCREW, CHAIN, got.thrust, speed)
        assert again == pytest.approx(throttle, abs=1e-6)


@pytest.mark.parametrize(("inches", "pitch"), [(5.0, 4.5), (7.0, 4.0), (10.0, 4.7), (10.0, 10.0)])
def test_motor_and_propeller_have_one_torque(inches: float, pitch: float) -> None:
    """First principles: (I - I0)/Kv against C_P rho n² D⁵/(2 pi), also where the wind almost turns it."""
    screw = Screw(table(inches * INCH, pitch * INCH, 2), inches * INCH, 1.1, 0.9)
    chain = Chain(1500.0 * RPM, 0.1, 0.6, 11.0, 0.04, 0.01, 0.05)
    speed, throttle = np.linspace(0.0, 25.0, 26)[:, None], np.linspace(0.1, 1.0, 19)
    got = run(screw, chain, throttle, speed)
    asked = got.shaft / np.where(got.turns, got.omega, 1.0)
    current = current_at(got.omega, throttle, 11.0, 1500.0 * RPM, 0.11, 0.04)
    given = np.where(got.turns, (current - 0.6) / (1500.0 * RPM), 0.0)
    assert given == pytest.approx(asked, rel=1e-6, abs=1e-9)


def test_turns_for_a_thrust_give_it() -> None:
    """First principles: C_T rho n² D⁴ at J = V/(n D), from a hundredth of a newton on, at rest and fast."""
    speed, thrust = np.array([0.0, 1e-9, 3.0, 12.0, 25.0])[:, None], np.geomspace(0.01, 8.0, 30)
    turns = SCREW.turns_for(thrust, speed)
    pull = SCREW.thrust_at(speed / (turns * SCREW.diameter)) * 1.225 * turns**2 * SCREW.diameter**4
    assert pull == pytest.approx(np.broadcast_to(thrust, pull.shape), rel=1e-9)


def test_more_than_it_can_give_is_no_throttle() -> None:
    assert np.isnan(throttle_for(SCREW, CHAIN, 50.0, 5.0))


def test_samples_are_worked_out_side_by_side() -> None:
    """Vectorised equals one by one; a speed for each row and a sample of kv for each column."""
    kv = np.array([2000.0, 2300.0, 2600.0]) * RPM
    chain = Chain(kv, 0.11, 0.6, 11.4, 0.036)
    speeds = np.array([[0.0], [6.0], [12.0]])
    many = run(SCREW, chain, 0.7, speeds).thrust
    for i in range(3):
        for j in range(3):
            one = run(SCREW, Chain(float(kv[j]), 0.11, 0.6, 11.4, 0.036), 0.7, float(speeds[i, 0]))
            assert many[i, j] == pytest.approx(float(one.thrust), rel=1e-12)


def test_a_static_test_replaces_the_factors() -> None:
    """First principles: with the factors found, the model gives what was read."""
    tested = fitted(SCREW, CHAIN, thrust=4.1, current=11.0)
    got = run(tested, CHAIN, 1.0, 0.0)
    assert got.thrust == pytest.approx(4.1, rel=1e-6)
    assert got.cell_current == pytest.approx(11.0, rel=1e-6)
    assert fitted(SCREW, CHAIN, None, None) is SCREW
    only = fitted(SCREW, CHAIN, thrust=4.1, current=None)
    assert only.power_factor == only.thrust_factor
    assert run(only, CHAIN, 1.0, 0.0).thrust == pytest.approx(4.1, rel=1e-9)
