"""Drela's worked motor: 11.1 V, 1000 rpm/V, 0.1 ohm, 0.6 A idle, 10 A -> 10,100 rpm, 0.08976 N m, 94.94 W,
0.8553; best efficiency 0.8584 at 8.161 A (M. Drela, First-Order DC Electric Motor Model, MIT 2007;
recomputed).
"""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from foldwright.physics.electric import RPM, at_current, balance_speed, best_current, current_at

KV = 1000.0 * RPM


def test_drelas_motor() -> None:
    state = at_current(11.1, 10.0, KV, 0.1, 0.6)
    assert state.omega / RPM == pytest.approx(10_100.0, rel=1e-9)
    assert state.torque == pytest.approx(0.08976, rel=1e-3)
    assert state.shaft == pytest.approx(94.94, rel=1e-3)
    assert state.efficiency == pytest.approx(0.8553, rel=1e-3)
    best = best_current(11.1, 0.1, 0.6)
    assert best == pytest.approx(8.161, rel=1e-3)
    assert at_current(11.1, best, KV, 0.1, 0.6).efficiency == pytest.approx(0.8584, rel=1e-3)


@given(
    st.floats(0.05, 1.0), st.floats(5.0, 20.0), st.floats(0.02, 0.5), st.floats(0.0, 0.2), st.floats(0.0, 2.0)
)
def test_torques_balance(throttle: float, volt: float, motor: float, cells: float, idle: float) -> None:
    """First principles: at the speed found, motor torque equals the load's, and the cells' power is spent."""
    load = 4e-8
    omega = balance_speed(load, throttle, volt, KV, motor, cells, idle)
    current = current_at(omega, throttle, volt, KV, motor, cells)
    if omega > 0.0:
        assert (current - idle) / KV == pytest.approx(load * omega**2, rel=1e-9, abs=1e-12)
        drawn = throttle * current
        given_out = volt * drawn - cells * drawn**2
        assert given_out == pytest.approx(current * (omega / KV + current * motor), rel=1e-9)
    else:
        assert current <= idle * (1.0 + 1e-12)


def test_without_load_it_runs_at_its_idle_speed() -> None:
    """First principles: no load, no idle current: omega = Kv d V."""
    assert balance_speed(0.0, 0.5, 12.0, KV, 0.1, 0.05, 0.0) == pytest.approx(KV * 6.0)


def test_arrays_give_what_single_numbers_give() -> None:
    throttle = np.linspace(0.1, 1.0, 7)
    many = balance_speed(3e-8, throttle, 11.1, KV, 0.1, 0.03, 0.6)
    ones = [float(balance_speed(3e-8, float(d), 11.1, KV, 0.1, 0.03, 0.6)) for d in throttle]
    assert many == pytest.approx(ones, rel=1e-15)
