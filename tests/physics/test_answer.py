"""Answers to the controls: against first principles and another library's exponential."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.linalg import expm

from foldwright.physics.answer import (
    GRAVITY,
    acting,
    flare_height,
    pull_slope,
    solved,
    steady_roll,
    step_response,
    turned_for,
)
from foldwright.physics.trim import LINEAR_DEFLECTION


@given(st.floats(-1.2, 1.2))
def test_acting_and_its_reverse(delta: float) -> None:
    assert float(turned_for(acting(delta))) == pytest.approx(delta, abs=1e-12)
    assert abs(float(acting(delta))) <= abs(delta)


def test_a_small_turn_acts_in_full_and_a_large_one_less() -> None:
    assert float(acting(-0.2)) == -0.2
    assert float(acting(LINEAR_DEFLECTION + 0.1)) == pytest.approx(LINEAR_DEFLECTION + 0.05)
    assert acting(np.array([[0.1, -0.6]])).shape == (1, 2)


def test_a_singular_system_has_no_answer() -> None:
    matrix = np.array([[[2.0, 0.0], [0.0, 4.0]], [[1.0, 2.0], [2.0, 4.0]], [[0.0, 0.0], [0.0, 0.0]]])
    found = solved(matrix, np.array([[2.0, 2.0]] * 3))
    assert found[0] == pytest.approx([1.0, 0.5])
    assert np.isnan(found[1:]).all()


def test_steady_roll_has_the_sign_of_the_moment() -> None:
    """First principles: C_l + C_l,p p b/2V = 0."""
    rate = float(steady_roll(0.05, -0.4, 12.0, 0.7))
    assert 0.05 - 0.4 * rate * 0.7 / 24.0 == pytest.approx(0.0, abs=1e-12)
    assert rate > 0.0 > float(steady_roll(-0.05, -0.4, 12.0, 0.7))


def test_pull_of_a_neutral_aeroplane_is_its_damping() -> None:
    """Without a margin only the damping in pitch asks for control; with one, so does the lift."""
    assert float(pull_slope(0.0, 0.4, 3.0, -2.0, 0.01)) == pytest.approx(0.02)
    assert float(pull_slope(0.1, 0.4, 0.0, 0.0, 0.01)) == pytest.approx(0.04)
    assert pull_slope(np.array([0.0, 0.1]), 0.4, 3.0, -2.0, 0.01).shape == (2,)


def test_flare_against_energy() -> None:
    """Half the square of the sinking speed is the work of the spare acceleration over the height."""
    height = float(flare_height(1.5, 1.6))
    assert height * 0.6 * GRAVITY == pytest.approx(0.5 * 1.5**2)
    assert np.isnan(flare_height(1.5, np.array([1.0, 0.8]))).all()


def systems() -> tuple[np.ndarray[tuple[int, ...], np.dtype[np.float64]], ...]:
    spread = np.random.default_rng(3)
    return spread.normal(0.0, 4.0, (5, 4, 4)) - 3.0 * np.eye(4), spread.normal(0.0, 2.0, (5, 4))


def test_step_response_against_another_library() -> None:
    """scipy.linalg.expm of the augmented matrix at every time, to 1e-9 of the greatest."""
    matrix, column = systems()
    found = step_response(matrix, column, 0.05, 21)
    for one in range(5):
        whole = np.zeros((5, 5))
        whole[:4, :4], whole[:4, 4] = matrix[one], column[one]
        wanted = np.stack([expm(whole * 0.05 * k)[:4, 4] for k in range(21)], axis=-1)
        assert found[one] == pytest.approx(wanted, abs=1e-9 * np.max(np.abs(wanted)))


def test_step_response_of_one_is_that_of_many() -> None:
    matrix, column = systems()
    many = step_response(matrix, column, 0.02, 40)
    for one in range(5):
        alone = step_response(matrix[one], column[one], 0.02, 40)
        assert alone == pytest.approx(many[one], rel=1e-7, abs=1e-9)


def test_step_response_begins_at_rest_and_settles() -> None:
    """First principles: x' = -a x + b settles at b/a, with 1 - 1/e of it after 1/a."""
    found = step_response(np.array([[-2.0]]), np.array([3.0]), 0.5, 24)[0]
    assert found[0] == 0.0
    assert found[1] == pytest.approx(1.5 * (1.0 - np.exp(-1.0)))
    assert found[-1] == pytest.approx(1.5, rel=1e-6)
    assert np.all(step_response(np.zeros((2, 2)), np.zeros(2), 0.1, 3) == 0.0)
