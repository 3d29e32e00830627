"""Forces of the air on an aeroplane in any attitude, with answers from first principles."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from foldwright.base.types import FloatArray
from foldwright.physics.airloads import Shape, air_loads
from foldwright.physics.trajectory import P, Q, R, V, W, start

PLAIN = Shape(
    area=0.15, chord=0.2, span=0.7, cl0=0.1, cl_alpha=3.5, cl_q=0.0, cl_delta=1.5, cm0=0.01, cm_alpha=-0.25,
    cm_q=-1.5, cm_delta=-0.5, cl_max=1.0, cd0=0.04, rise=0.12, cy_beta=-0.3, roll_beta=-0.05, roll_p=-0.4,
    roll_r=0.1, yaw_beta=0.05, yaw_p=-0.05, yaw_r=-0.05,
)  # fmt: skip


def at(u: float = 10.0, v: float = 0.0, w: float = 0.0, **rates: float) -> FloatArray:
    state = start(1, u, 0.0)
    state[V], state[W] = v, w
    for name, row in (("p", P), ("q", Q), ("r", R)):
        state[row] = rates.get(name, 0.0)
    return state


def loads(state: FloatArray, delta: float = 0.0, shape: Shape = PLAIN) -> tuple[FloatArray, FloatArray]:
    force, moment = air_loads(state, shape, delta, 1.0, 1.225)
    return force[:, 0], moment[:, 0]


def test_lift_is_across_the_flight_and_drag_along_it() -> None:
    """First principles: work done by the air is drag times way."""
    state = at(9.8, 0.0, 1.2)
    force, _ = loads(state)
    speed = float(np.hypot(9.8, 1.2))
    pressure = 0.5 * 1.225 * speed**2 * 0.15
    lift = 0.1 + 3.5 * np.arctan2(1.2, 9.8)
    drag = 0.04 + 0.12 * lift**2
    power = force @ np.array([9.8, 0.0, 1.2])
    assert power == pytest.approx(-pressure * drag * speed)
    assert np.hypot(force[0], force[2]) == pytest.approx(pressure * np.hypot(lift, drag))
    assert force[2] < 0.0


def test_signs() -> None:
    """Elevator down pitches down and lifts; wind from the right pushes left, turns the nose right, rolls
    left; every rate is damped.
    """
    base, moment = loads(at())
    force, down = loads(at(), delta=0.1)
    assert force[2] < base[2]
    assert down[1] < moment[1]
    slip, turn = loads(at(9.9, 1.0))
    assert slip[1] < 0.0
    assert turn[2] > 0.0
    assert turn[0] < 0.0
    for name, axis in (("p", 0), ("q", 1), ("r", 2)):
        _, damped = loads(at(**{name: 2.0}))
        assert damped[axis] < moment[axis]


def test_past_the_stall_lift_falls_and_drag_rises() -> None:
    steep, _ = loads(at(9.0, 0.0, 4.5))
    edge, _ = loads(at(9.0, 0.0, 9.0 * np.tan(0.9 / 3.5)))
    assert abs(steep[2]) < abs(edge[2]) * 1.3
    nose_down = loads(at(9.0, 0.0, 4.5))[1][1]
    assert nose_down < 0.0
    flat = replace(PLAIN, cl_max=10.0)
    assert abs(loads(at(9.0, 0.0, 4.5), shape=flat)[0][2]) > abs(steep[2])


def test_at_rest_nothing_pushes() -> None:
    force, moment = loads(at(0.0))
    assert np.all(force == 0.0)
    assert np.all(moment == 0.0)
