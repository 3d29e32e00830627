"""Propellers against momentum theory and against measured ranges of small ones.

Ranges: 9x6 inch, two blades, C_T0 0.10-0.11, C_P0 0.045-0.05, zero thrust at J 0.75-0.8 (Deters, Ananda &
Selig, AIAA 2014-2151; Brandt & Selig 2011; from memory). Static expectation of a 2300 rpm/V motor on three
cells with 5x4.5: 4-5 N and 10-13 A (common practice, no source).
"""

from __future__ import annotations

from math import pi

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from foldwright.physics.electric import RPM, balance_speed, current_at
from foldwright.physics.propeller import ADVANCE_MOST, Blade, Table, lift_drag, table

INCH = 0.0254
DENSITY = 1.225


def of(diameter: float, pitch: float, blades: int = 2) -> Table:
    return table(diameter * INCH, pitch * INCH, blades)


def test_a_nine_by_six_lies_in_the_measured_range() -> None:
    found = of(9.0, 6.0)
    thrust, power = found.at(0.0)
    assert 0.10 <= thrust <= 0.11
    assert 0.045 <= power <= 0.05
    assert 0.75 <= found.zero_thrust <= 0.8


@settings(max_examples=30, deadline=None)
@given(st.floats(4.0, 12.0), st.floats(0.4, 1.0), st.integers(2, 4))
def test_never_better_than_momentum_allows(diameter: float, ratio: float, blades: int) -> None:
    """Glauert 1935: T V + T v_i <= P, T = 2 rho A (V + v_i) v_i; figure of merit below 1 at rest."""
    found = of(diameter, ratio * diameter, blades)
    pulling = found.thrust > 0.0
    j, thrust, power = found.advance[pulling], found.thrust[pulling], found.power[pulling]
    # with n = D = rho = 1: V = J, A = pi/4
    added = -j / 2.0 + np.sqrt(j**2 / 4.0 + thrust / (2.0 * pi / 4.0))
    assert np.all(power >= thrust * (j + added) - 1e-12)
    assert thrust[0] ** 1.5 / power[0] * np.sqrt(2.0 / pi) < 1.0


@pytest.mark.parametrize(("low", "high"), [(3.0, 4.0), (4.0, 5.0), (5.0, 7.0)])
def test_more_pitch_pulls_longer(low: float, high: float) -> None:
    """First principles: a steeper blade runs out of thrust at a higher advance ratio."""
    assert of(8.0, low).zero_thrust < of(8.0, high).zero_thrust


def test_the_same_shape_has_the_same_table() -> None:
    """First principles: coefficients depend on the ratio of pitch to diameter only; more blades push more."""
    assert of(5.0, 4.0).thrust == pytest.approx(of(10.0, 8.0).thrust, rel=1e-12)
    assert of(8.0, 4.0, 3).thrust[0] > of(8.0, 4.0, 2).thrust[0]


def test_thrust_falls_with_speed() -> None:
    found = of(5.0, 4.5)
    assert np.all(np.diff(found.thrust[found.advance > 0.4]) < 0.0)
    assert found.at(2.0)[0] == found.thrust[-1]
    assert found.advance[-1] == ADVANCE_MOST


def test_static_thrust_and_current_of_a_small_motor() -> None:
    thrust, power = (float(value) for value in of(5.0, 4.5).at(0.0))
    d = 5.0 * INCH
    load = power * DENSITY * d**5 / (2.0 * pi) ** 3
    kv = 2300.0 * RPM
    omega = float(balance_speed(load, 1.0, 11.4, kv, 0.12, 0.05, 0.6))
    current = float(current_at(omega, 1.0, 11.4, kv, 0.12, 0.05))
    newton = thrust * DENSITY * (omega / (2.0 * pi)) ** 2 * d**4
    assert 4.0 <= newton <= 5.0
    assert 10.0 <= current <= 13.0


def test_section_at_small_angles_and_past_the_stall() -> None:
    """First principles: the slope holds about zero lift; lift never passes its greatest; drag rises."""
    blade = Blade()
    angles = np.array([0.0, 0.01, 0.5, 1.2])
    lift, drag = lift_drag(blade, angles)
    assert lift[1] == pytest.approx(blade.slope * 0.01, rel=1e-3)
    assert np.all(np.abs(lift) <= blade.lift_most)
    assert drag[3] > drag[2] > drag[1]


def test_a_propeller_that_never_stops_pulling_says_so() -> None:
    flat = Table(np.array([0.0, 1.0]), np.array([0.2, 0.1]), np.array([0.1, 0.1]))
    assert flat.zero_thrust == 1.0
