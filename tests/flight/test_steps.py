"""A step of the stick: it starts the right way, and it ends where the trim solver says."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from foldwright.flight.modes import lengthwise
from foldwright.flight.pitching import deflection_per_g, stream_at_cruise
from foldwright.flight.rolling import motion_of
from foldwright.flight.steps import PITCH_S, ROLL_S, STEP, pitch_motion, pitch_step, roll_step, side_motion
from foldwright.flight.sticks import full
from foldwright.flight.trim import slopes_at
from foldwright.physics.answer import acting
from foldwright.physics.modes import lengthwise_matrices
from tests.flight.test_handling import DESIGNS, case, flown


@pytest.mark.parametrize("name", DESIGNS)
def test_stick_back_puts_the_nose_up_at_once(name: str) -> None:
    """The nose rises from the first; a control behind the wing pushes the aeroplane down before it does."""
    step = flown(name).handling.steps.pitch
    assert step.axis == "pitch"
    assert step.rate[0, 0] == 0.0
    assert np.all(step.rate[:, 1:6] > 0.0)
    assert step.answer[0, 0] < 1.0
    assert np.max(step.answer[0]) > 1.5


@pytest.mark.parametrize("name", DESIGNS)
def test_stick_right_banks_to_the_right_at_once(name: str) -> None:
    step = flown(name).handling.steps.roll
    assert step is not None
    assert np.all(step.rate[:, 1:4] > 0.0)
    assert np.all(step.answer[:, 2:8] > 0.0)


@pytest.mark.parametrize("name", DESIGNS)
def test_times_and_bands(name: str) -> None:
    found = flown(name).handling.steps
    assert found.roll is not None
    for step, end in ((found.pitch, PITCH_S), (found.roll, ROLL_S)):
        assert step.time[0] == 0.0
        assert step.time[-1] == pytest.approx(end)
        assert np.diff(step.time) == pytest.approx(STEP)
        for rows in (step.rate, step.answer):
            assert rows.shape == (3, len(step.time))
            assert np.all(rows[1] <= rows[2])
        early = slice(2, 5)
        assert np.all(step.rate[1, early] < step.rate[0, early])
        assert np.all(step.rate[0, early] < step.rate[2, early])


@pytest.mark.parametrize("name", DESIGNS)
def test_the_pull_up_of_the_motion_is_that_of_the_formula(name: str) -> None:
    """With speed held and gravity turned off the motion settles at the load factor that the deflection per
    g promises: two ways to one figure, to 4 % (the motion's lift slope holds the drag, first order).
    """
    one = case(name)
    delta = -0.05
    matrix, column = pitch_motion(one, delta)
    # w' = 0 and q' = 0: what is left of (w, q)
    inner, push = matrix[:, 1:3, 1:3], column[:, 1:3, None]
    settled = np.linalg.solve(inner, -push)[:, 1, 0]
    load = settled * one.cruise.speed / 9.80665
    formula = delta / deflection_per_g(one)
    held = slopes_at(one.lift, one.balance.cg_samples)
    sure = np.asarray(held.margin) > 0.05  # near the manoeuvre point both run away
    assert sure.any()
    assert load[sure] == pytest.approx(formula[sure], rel=0.04)


@pytest.mark.parametrize("name", DESIGNS)
def test_the_end_of_a_pitch_step_is_another_trim(name: str) -> None:
    """Speed at the end of the whole motion against the trim solver: dC_L/d(delta) of it, and C_L as 1/V².

    d(delta)/dC_L = SM/(eta f P), dV/V = -dC_L/(2 C_L); the motion's lift slope holds the drag: 3 %.
    """
    one = case(name)
    delta = -0.002
    matrix, column = pitch_motion(one, delta)
    change = np.linalg.solve(matrix, -column[..., None])[..., 0]
    at = one.cruise
    slopes = slopes_at(one.lift, one.balance.cg_samples)
    power = np.asarray(slopes.cm_delta) + np.asarray(slopes.margin) * slopes.cl_delta
    lift = delta * np.asarray(slopes.eta) * stream_at_cruise(one) * power / np.asarray(slopes.margin)
    wanted = -lift / (2.0 * at.lift) * at.speed
    assert change[0, 0] == pytest.approx(wanted[0], rel=0.03)
    assert change[0, 0] < 0.0  # up elevator flies slower
    assert matrix == pytest.approx(lengthwise_matrices(lengthwise(one.lift, one.balance, at), at.speed))


def test_twice_the_stick_is_twice_the_answer() -> None:
    """Within the linear throw."""
    one = case("marram")
    first, second = pitch_step(one, 0.3), pitch_step(one, 0.6)
    assert second.rate == pytest.approx(2.0 * first.rate, rel=1e-9, abs=1e-9)
    assert second.answer - 1.0 == pytest.approx(2.0 * (first.answer - 1.0), rel=1e-9, abs=1e-9)


def test_a_share_of_a_large_rudder_acts_as_its_turn_does() -> None:
    one = case("teasel")
    motion = motion_of(one)
    assert motion is not None
    whole, half = roll_step(one, motion, 1.0), roll_step(one, motion, 0.5)
    throw = full(one, "yaw")
    part = float(acting(0.5 * throw) / acting(throw))
    assert part > 0.5  # the last of the throw does less
    assert half.rate == pytest.approx(part * whole.rate, rel=1e-9, abs=1e-9)


def test_left_is_right_mirrored() -> None:
    """A rudder answers with the same bank the other way: the column changes its sign and nothing else."""
    one = case("teasel")
    right = side_motion(one, "yaw")
    turned = {key: -value if key.endswith("_yaw") else value for key, value in one.cruise.slopes.items()}
    left = side_motion(replace(one, cruise=replace(one.cruise, slopes=turned)), "yaw")
    assert left.state == pytest.approx(-right.state)
    assert left.matrix == pytest.approx(right.matrix)
