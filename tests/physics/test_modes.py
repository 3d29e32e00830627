"""Modes against worked examples.

Etkin & Reid, *Dynamics of Flight*, Boeing 747, ft-s (longitudinal matrix read, lateral one from memory).
Nelson, *Flight Stability and Automatic Control*, NAVION (data read in the textbook).
"""

from __future__ import annotations

import math

import numpy as np
import pytest

from foldwright.physics.modes import (
    Lengthwise,
    Mode,
    Sideways,
    lanchester_period,
    lengthwise_matrices,
    modes,
    sideways_matrices,
)

B747_LONG = np.array(
    [
        [-0.006868, 0.01395, 0.0, -32.2],
        [-0.09055, -0.3151, 773.98, 0.0],
        [0.0001187, -0.001026, -0.4285, 0.0],
        [0.0, 0.0, 1.0, 0.0],
    ]
)
B747_LAT = np.array(
    [
        [-0.0558, 0.0, -774.0, 32.2],
        [-0.003865, -0.4342, 0.4136, 0.0],
        [0.001086, -0.006112, -0.1458, 0.0],
        [0.0, 1.0, 0.0, 0.0],
    ]
)


def near(mode: Mode, wanted: complex, share: float = 0.01) -> bool:
    return abs(mode.root - wanted) <= share * abs(wanted)


def test_747_lengthwise() -> None:
    """Published: -0.3719 +- 0.8875i, -0.003289 +- 0.06723i."""
    short, phugoid = modes(B747_LONG)
    assert near(short, -0.3719 + 0.8875j)
    assert near(phugoid, -0.003289 + 0.06723j)


def test_747_sideways() -> None:
    """Published (memory): -0.0330 +- 0.9465i, -0.5625, -0.0073."""
    dutch, roll, spiral = modes(B747_LAT)
    assert near(dutch, -0.0330 + 0.9465j)
    assert near(roll, -0.5625 + 0j)
    assert near(spiral, -0.0073 + 0j, 0.02)


def navion() -> Lengthwise:
    """Nelson's NAVION: dimensional derivatives from its coefficients (his table 3.5)."""
    weight, inertia, area, chord, speed = 12224.0, 4067.5, 17.1, 1.74, 53.64
    mass, pressure = weight / 9.80665, 0.5 * 1.225 * speed**2
    lift, drag, lift_a, drag_a, m_a, m_adot, m_q = 0.41, 0.05, 4.44, 0.33, -0.683, -4.36, -9.96
    push, turn = pressure * area / (mass * speed), pressure * area * chord / inertia
    beat = chord / (2.0 * speed)
    return Lengthwise(
        x_u=-2.0 * drag * push,
        x_w=-(drag_a - lift) * push,
        z_u=-2.0 * lift * push,
        z_w=-(lift_a + drag) * push,
        m_u=0.0,
        m_w=m_a * turn / speed,
        m_wdot=m_adot * beat * turn / speed,
        m_q=m_q * beat * turn,
    )


def test_navion() -> None:
    """Published: -2.51 +- 2.59i, -0.017 +- 0.213i (three figures)."""
    short, phugoid = modes(lengthwise_matrices(navion(), 53.64))
    assert near(short, -2.51 + 2.59j)
    assert near(phugoid, -0.017 + 0.213j)


def test_phugoid_tends_to_lanchesters() -> None:
    """Lanchester: pi sqrt 2 V/g, 4.53 s at 10 m/s. Without drag and with the nose held to the wind by a stiff
    and damped short period the slow root swings at sqrt 2 g/V."""
    speed = 10.0
    assert lanchester_period(speed) == pytest.approx(4.53, abs=0.005)
    lift = 9.80665 / speed
    stiff = Lengthwise(
        x_u=0.0, x_w=lift, z_u=-2.0 * lift, z_w=-40.0, m_u=0.0, m_w=-4000.0, m_wdot=0.0, m_q=-40.0
    )
    phugoid = modes(lengthwise_matrices(stiff, speed))[-1]
    assert phugoid.period == pytest.approx(lanchester_period(speed), rel=0.02)


def test_words_of_a_mode() -> None:
    """First principles: root -1 + i: frequency sqrt 2, damping 1/sqrt 2, half time ln 2, period 2 pi."""
    mode = Mode(-1.0 + 1.0j)
    assert mode.swings
    assert mode.frequency == pytest.approx(math.sqrt(2.0))
    assert mode.damping == pytest.approx(1.0 / math.sqrt(2.0))
    assert mode.half == pytest.approx(math.log(2.0))
    assert mode.period == pytest.approx(2.0 * math.pi)
    slow = Mode(0.1 + 0j)
    assert not slow.swings
    assert slow.half < 0.0
    assert math.isinf(slow.period)
    assert slow.damping == -1.0
    still = Mode(0j)
    assert math.isinf(still.half)
    assert still.damping == 0.0


def test_pure_roll_and_pure_yaw() -> None:
    """First principles: uncoupled, roll decays at l_p; yaw swings at sqrt(n_v V)."""
    d = Sideways(y_v=0.0, l_v=0.0, n_v=1.6, l_p=-9.0, l_r=0.0, n_p=0.0, n_r=0.0)
    found = modes(sideways_matrices(d, 10.0))
    assert any(abs(mode.root + 9.0) < 1e-9 for mode in found)
    assert any(mode.swings and abs(mode.frequency - 4.0) < 1e-9 for mode in found)
