"""The propeller's stream.

Sources
1. Project check values, section Drive: momentum theory, rho 1.225, D 0.2032 m, T 5 N (recomputed there).
2. First principles: limits on the axis of a vortex tube; T = 2 rho A (V + v_i) v_i.
"""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from foldwright.physics.stream import axial_share, induced_velocity, inflow_factor

AREA = np.pi * 0.1016**2


# Source 1: speed, induced velocity at 5 N.
MOMENTUM = ((0.0, 7.933), (10.0, 4.377))


@pytest.mark.parametrize(("speed", "induced"), MOMENTUM)
def test_published_induced_velocities(speed: float, induced: float) -> None:
    assert float(induced_velocity(5.0, speed, 1.225, AREA)) == pytest.approx(induced, abs=5e-4)


@given(st.floats(0.0, 30.0), st.floats(0.0, 40.0))
def test_momentum_balance(thrust: float, speed: float) -> None:
    # Source 2.
    v = float(induced_velocity(thrust, speed, 1.225, AREA))
    assert 2.0 * 1.225 * AREA * (speed + v) * v == pytest.approx(thrust, abs=1e-9)


def test_share_along_the_axis() -> None:
    # Source 2: nothing far ahead, one at the disc, two far behind; one radius ahead 1 - 1/sqrt 2.
    places = np.array([1e6, 0.1, 0.0, -0.1, -1e6])
    expected = [0.0, 1.0 - 0.5**0.5, 1.0, 1.0 + 0.5**0.5, 2.0]
    assert axial_share(places, 0.1) == pytest.approx(expected, abs=1e-9)


def test_no_thrust_and_no_share_leave_controls_as_they_are() -> None:
    assert float(inflow_factor(0.0, 8.0, 1.225, 0.0635, 0.05, 0.5)) == 1.0
    assert float(inflow_factor(4.4, 8.0, 1.225, 0.0635, 0.05, 0.0)) == 1.0
    assert float(inflow_factor(4.4, 8.0, 1.225, 0.0635, 0.05, 0.5, 0.0)) == 1.0


def test_a_worked_inflow_factor() -> None:
    # Source 2, by hand: A = 0.012668 m2, v_i = -4 + sqrt(16 + 4.4/(2*1.225*0.012668)) = 8.5626 m/s,
    # s/sqrt(s2 + R2) = 0.05/0.080820 = 0.61866, w = 3.2653, f = 1 + 0.3 (1.40816^2 - 1) = 1.29487.
    assert float(inflow_factor(4.4, 8.0, 1.225, 0.0635, 0.05, 0.3)) == pytest.approx(1.2949, abs=2e-4)


def test_a_control_behind_the_disc_feels_more_than_one_ahead() -> None:
    ahead = float(inflow_factor(4.4, 8.0, 1.225, 0.0635, 0.05, 0.3))
    behind = float(inflow_factor(4.4, 8.0, 1.225, 0.0635, -0.05, 0.3))
    assert 1.0 < ahead < behind


def test_arrays_broadcast() -> None:
    values = inflow_factor(np.array([0.0, 4.4]), 8.0, 1.225, 0.0635, 0.05, np.array([[0.0], [0.3]]))
    assert values.shape == (2, 2)
    assert float(values[1, 1]) == float(inflow_factor(4.4, 8.0, 1.225, 0.0635, 0.05, 0.3))
