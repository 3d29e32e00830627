"""Trim of the fixed aeroplane: the whole table of the flight-physics notes, and the closed form itself.

Sources
1. Project notes on flight physics, section Trim: table of mm up, tried out with an earlier prototype
   (tolerance 0.4 mm by agreement).
2. First principles: the two equations of trim, r x F for the thrust line.
"""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from foldwright.base.types import FloatArray
from foldwright.physics.lattice import Flap, Lattice, Reference, Shape, Surface, solve
from foldwright.physics.trim import (
    Slopes,
    control_power,
    deflection,
    edge_up,
    solve_trim,
    thrust_moment,
)

SPAN, CHORD, SHARE, DENSITY, MASS, ETA = 0.66, 0.22, 0.22, 1.225, 0.38, 0.8
SPEEDS = (12.0, 9.0, 8.0)
MARGINS = (0.05, 0.08, 0.10, 0.12)
GRAVITY = 9.80665

# Source 1: rows c_m0, then static margin 5, 8, 10, 12 %, each at 12, 9, 8 m/s; mm up.
TABLE: dict[float, tuple[tuple[float, float, float], ...]] = {
    0.015: ((-0.1, 1.1, 1.7), (0.8, 2.7, 3.7), (1.5, 3.7, 5.0), (2.1, 4.8, 6.3)),
    0.0: ((1.5, 2.7, 3.3), (2.4, 4.2, 5.2), (3.1, 5.3, 6.5), (3.7, 6.3, 7.8)),
    -0.010: ((2.6, 3.7, 4.3), (3.5, 5.3, 6.3), (4.1, 6.3, 7.6), (4.7, 7.4, 8.8)),
}


def plank(n_span: int, n_chord: int) -> Lattice:
    """The fixed aeroplane's wing, moments about the quarter chord."""
    surface = Surface(
        name="wing",
        le=np.array([[0.0, 0.0, 0.0], [0.0, SPAN / 2, 0.0]]),
        chord=np.full(2, CHORD),
        xi=np.array([0.0, 1.0]),
        camber=np.zeros((2, 2)),
        twist=np.zeros(2),
        n_chord=n_chord,
        n_span=n_span,
    )
    shape = Shape("pitch", "wing", Flap(1.0 - SHARE, 1.0 - SHARE))
    point = np.array([CHORD / 4, 0.0, 0.0])
    return solve((surface,), (shape,), Reference(SPAN * CHORD, CHORD, SPAN, point))


def slopes(lattice: Lattice, cm0: FloatArray | float, margin: FloatArray | float) -> Slopes:
    slope = lattice.derivatives()
    neutral = lattice.neutral_point() / CHORD
    arm = neutral - np.asarray(margin) - 0.25
    lift = slope.get("CL", "pitch")
    moment = slope.get("Cm", "pitch") + lift * arm
    return Slopes(0.0, slope.get("CL", "alpha"), lift, moment, cm0, margin, ETA, 1.0)


def lift_at(speed: float, mass: float = MASS) -> float:
    return mass * GRAVITY / (0.5 * DENSITY * speed**2 * SPAN * CHORD)


FINAL = plank(16, 12)
INTERACTIVE = plank(8, 8)


@pytest.mark.parametrize("lattice", [FINAL, INTERACTIVE], ids=["final", "interactive"])
@pytest.mark.parametrize("cm0", TABLE)
@pytest.mark.parametrize("column", range(4))
@pytest.mark.parametrize("row", range(3))
def test_trim_table(lattice: Lattice, cm0: float, column: int, row: int) -> None:
    # Source 1, 36 numbers, 0.4 mm.
    state = solve_trim(slopes(lattice, cm0, MARGINS[column]), lift_at(SPEEDS[row]))
    up = float(edge_up(state.delta, SHARE * CHORD * 1e3))
    assert up == pytest.approx(TABLE[cm0][column][row], abs=0.4)


def test_trim_satisfies_both_equations() -> None:
    # Source 2: put the answer back into lift and moment.
    s, f, power = slopes(FINAL, 0.01, 0.08), 1.2, 0.004
    state = solve_trim(s, 0.5, power, f)
    alpha, delta = float(state.alpha), float(state.delta)
    effect = ETA * f * delta
    lift = s.cl_alpha * alpha + s.cl_delta * effect
    moment = 0.01 - 0.08 * s.cl_alpha * alpha + s.cm_delta * effect + power
    assert lift == pytest.approx(0.5, abs=1e-12)
    assert moment == pytest.approx(0.0, abs=1e-12)


def test_scalar_and_array_agree_and_order_does_not_matter() -> None:
    lifts, margins = np.array([0.3, 0.5, 0.7]), np.array([0.05, 0.08, 0.12])
    many = solve_trim(slopes(FINAL, 0.0, margins), lifts)
    for i in range(3):
        one = solve_trim(slopes(FINAL, 0.0, float(margins[i])), float(lifts[i]))
        assert float(one.delta) == float(many.delta[i])
        assert float(one.alpha) == float(many.alpha[i])
        assert one.delta.shape == ()


def test_lift_beyond_the_greatest_has_no_trim() -> None:
    # First principles: the attached branch ends at the greatest lift, itself excluded.
    state = solve_trim(slopes(FINAL, 0.0, 0.08), np.array([0.99, 1.0, 1.2, np.nan]))
    assert state.stalled.tolist() == [False, True, True, True]
    assert np.isfinite(state.delta).tolist() == [True, False, False, False]
    assert np.isfinite(state.alpha).tolist() == [True, False, False, False]


def test_signs_of_trim() -> None:
    # First principles: more margin, slower flight and nose-down moments all want more up elevon.
    base = float(solve_trim(slopes(FINAL, 0.0, 0.08), 0.4).delta)
    assert base < 0.0
    assert float(edge_up(base, 48.4)) > 0.0
    assert float(solve_trim(slopes(FINAL, 0.0, 0.10), 0.4).delta) < base
    assert float(solve_trim(slopes(FINAL, 0.0, 0.08), 0.5).delta) < base
    assert float(solve_trim(slopes(FINAL, -0.01, 0.08), 0.4).delta) < base
    assert float(solve_trim(slopes(FINAL, 0.0, 0.08), 0.4, -0.01).delta) < base
    assert abs(float(solve_trim(slopes(FINAL, 0.0, 0.08), 0.4, 0.0, 1.5).delta)) < abs(base)


def test_control_power_is_the_moment_about_the_neutral_point() -> None:
    # First principles: independent of where the centre of gravity lies.
    powers = [float(control_power(slopes(FINAL, 0.0, margin))) for margin in MARGINS]
    assert powers == pytest.approx([powers[0]] * 4, abs=1e-12)
    assert powers[0] < 0.0


@given(st.floats(-0.6, 0.6), st.floats(10.0, 90.0))
def test_edge_and_deflection_are_inverse(delta: float, chord: float) -> None:
    assert float(deflection(edge_up(delta, chord), chord)) == pytest.approx(delta, abs=1e-12)


def test_five_millimetres_up_is_a_negative_deflection() -> None:
    # First principles: sin(delta) = -5/48.4.
    assert float(deflection(5.0, 48.4)) == pytest.approx(-0.10349, abs=1e-5)


@given(st.floats(0.0, 20.0), st.floats(-0.1, 0.1), st.floats(-0.4, 0.4), st.floats(-0.2, 0.2))
def test_thrust_moment_is_the_vector_product(thrust: float, above: float, aft: float, tilt: float) -> None:
    # Source 2, in axes x aft, y right, z up, where +y is nose-up.
    force = thrust * np.array([-np.cos(tilt), 0.0, np.sin(tilt)])
    moment = np.cross(np.array([aft, 0.0, above]), force)[1]
    assert float(thrust_moment(thrust, above, aft, tilt)) == pytest.approx(float(moment), abs=1e-12)


# Source 1: speed [m/s], mm of trailing edge that 3 degrees of tilt are worth.
TILT_AS_EDGE = ((8.0, 4.0), (12.0, 1.7))


def test_tilt_and_offset_and_elevon_that_are_worth_the_same() -> None:
    # Source 1: 3 degrees of tilt = 11 mm of offset = 4 mm of trailing edge at 8 m/s, 1.7 mm at 12 m/s, at a
    # constant 4.4 N. The motor 0.21 m behind the centre of gravity, as on a plank of this size.
    tilt = float(thrust_moment(4.4, 0.0, 0.21, -np.radians(3.0)))
    assert tilt == pytest.approx(float(thrust_moment(4.4, -0.011, 0.21, 0.0)), rel=0.01)
    for speed, expected in TILT_AS_EDGE:
        cm = tilt / (0.5 * DENSITY * speed**2 * SPAN * CHORD**2)
        delta = cm / (ETA * control_power(slopes(FINAL, 0.0, 0.08)))
        assert float(edge_up(delta, SHARE * CHORD * 1e3)) == pytest.approx(expected, abs=0.1)
