"""Rigid bodies flown step by step, against what mechanics knows without steps."""

from __future__ import annotations

import numpy as np
import pytest

from foldwright.base.types import FloatArray
from foldwright.physics.trajectory import (
    EAST,
    GRAVITY,
    HEADING,
    HEIGHT,
    NORTH,
    PITCH,
    ROLL,
    P,
    Q,
    R,
    Rigid,
    U,
    V,
    W,
    energy,
    fly,
    start,
)


def rigid(i_xz: float = 0.0) -> Rigid:
    """About Marram's size: 0.4 kg, inertias of some thousandths of a kg m²."""
    return Rigid(*(np.asarray(value) for value in (0.4, 0.006, 0.004, 0.0095, i_xz)))


def nothing(state: FloatArray, _time: float) -> tuple[FloatArray, FloatArray]:
    return np.zeros((3, state.shape[1])), np.zeros((3, state.shape[1]))


def test_a_thrown_stone() -> None:
    """First principles: x = V cos t, h = V sin t - g t²/2, exact for a step of fourth order."""
    pitch = np.array([0.0, 0.3, -0.5])
    track = fly(nothing, start(3, 9.0, pitch, 2.0), rigid(), 0.02, 50)
    time = 1.0
    assert track[-1, NORTH] == pytest.approx(9.0 * np.cos(pitch) * time, abs=1e-9)
    assert track[-1, HEIGHT] == pytest.approx(2.0 + 9.0 * np.sin(pitch) * time - GRAVITY / 2.0, abs=1e-9)
    assert np.all(track[-1, EAST] == 0.0)


@pytest.mark.parametrize("i_xz", [0.0, 0.0012, -0.0012])
def test_free_spinning_keeps_energy_and_momentum(i_xz: float) -> None:
    """First principles: without force or moment, energy and angular momentum stay."""
    body = rigid(i_xz)
    state = start(1, 9.0, 0.2, 10.0)
    state[P], state[Q], state[R] = 3.0, -2.0, 1.5
    track = fly(nothing, state, body, 0.005, 200)
    before, after = energy(track[0], body), energy(track[-1], body)
    assert after == pytest.approx(before, rel=1e-7)

    def momentum(at: FloatArray) -> float:
        p, q, r = at[P], at[Q], at[R]
        h = np.stack([body.i_x * p - body.i_xz * r, body.i_y * q, body.i_z * r - body.i_xz * p])
        return float(np.linalg.norm(h))

    assert momentum(track[-1]) == pytest.approx(momentum(track[0]), rel=1e-7)


def test_signs_of_the_axes() -> None:
    """First principles: a moment about x drops the right wing, about y raises the nose, about z turns the
    nose to the right; a force along y pushes it right (east when heading north), along z down.
    """

    def pushed(force: tuple[float, float, float], moment: tuple[float, float, float]) -> FloatArray:
        def push(state: FloatArray, _time: float) -> tuple[FloatArray, FloatArray]:
            ones = np.ones((1, state.shape[1]))
            return np.array(force)[:, None] * ones, np.array(moment)[:, None] * ones

        track = fly(push, start(1, 10.0, 0.0), rigid(), 0.01, 10)
        return np.asarray(track[-1])

    weight = -0.4 * GRAVITY
    assert pushed((0, 0, weight), (1e-3, 0, 0))[ROLL, 0] > 0.0
    assert pushed((0, 0, weight), (0, 1e-3, 0))[PITCH, 0] > 0.0
    assert pushed((0, 0, weight), (0, 0, 1e-3))[HEADING, 0] > 0.0
    assert pushed((0, 1.0, weight), (0, 0, 0))[EAST, 0] > 0.0
    assert pushed((0, 0, weight + 1.0), (0, 0, 0))[HEIGHT, 0] < 0.0
    assert pushed((0, 0, weight), (0, 0, 0))[HEIGHT, 0] == pytest.approx(0.0, abs=1e-12)


def test_a_banked_aeroplane_with_lift_turns_to_the_low_wing() -> None:
    """First principles: lift along -z of a body banked right has a part to the right."""

    def lifting(state: FloatArray, _time: float) -> tuple[FloatArray, FloatArray]:
        force = np.zeros((3, state.shape[1]))
        force[2] = -0.4 * GRAVITY / np.cos(0.5)
        return force, np.zeros_like(force)

    state = start(2, 10.0, 0.0)
    state[ROLL] = [0.5, -0.5]
    end = fly(lifting, state, rigid(), 0.01, 20)[-1]
    assert end[EAST, 0] > 0.0 > end[EAST, 1]
    assert end[EAST, 0] == pytest.approx(-end[EAST, 1])
    assert end[HEIGHT] == pytest.approx(0.0, abs=1e-2)


def test_halving_the_step_changes_next_to_nothing() -> None:
    """Fourth order: half the step, a sixteenth of the error."""

    def push(state: FloatArray, _time: float) -> tuple[FloatArray, FloatArray]:
        force, moment = np.zeros((3, state.shape[1])), np.zeros((3, state.shape[1]))
        force[2] = -0.12 * state[U] * (state[W] + 0.3)
        force[0] = -0.004 * state[U] ** 2
        moment[1] = -0.02 * state[W] - 0.02 * state[Q]
        return force, moment

    ends = [fly(push, start(1, 9.0, 0.1), rigid(), 3.0 / n, n)[-1] for n in (75, 150, 300)]
    coarse, fine = (np.abs(ends[i] - ends[i + 1])[[NORTH, HEIGHT, PITCH]].max() for i in (0, 1))
    assert fine < coarse / 10.0
    assert fine < 1e-3


def test_columns_fly_alone() -> None:
    """First principles: a column is what it would be by itself."""
    pitch = np.array([0.0, 0.2])
    both = fly(nothing, start(2, 9.0, pitch), rigid(), 0.02, 20)
    for k in range(2):
        one = fly(nothing, start(1, 9.0, pitch[k]), rigid(), 0.02, 20)
        assert np.array_equal(both[:, :, k], one[:, :, 0])
    assert np.all(both[:, V] == 0.0)
