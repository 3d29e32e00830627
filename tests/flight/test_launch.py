"""Launches: signs with known answers, energy, and what the trade knows of throwing such an aeroplane.

Common practice, no source: Marram climbs away at 60-70 % throttle with about 5 mm up, dives with too little.
"""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from foldwright.flight.drag import drag
from foldwright.flight.drive import drive_of
from foldwright.flight.first_throw import THROTTLES, FirstThrow, first_throw
from foldwright.flight.launch import HAND_M, Launches, Thrower, Thrown
from foldwright.physics.atmosphere import standard_air
from foldwright.physics.trajectory import EAST, HEIGHT, PITCH, ROLL
from tests.flight.test_level import worked


@cache
def thrower(name: str = "marram") -> Thrower:
    done, results, samples = worked(name)
    speed = done.design.targets.launch_speed_m_s
    area = drag(results.airframe, done.design, samples, standard_air(0.0), speed).area
    drive = drive_of(done.design, results.fitted, samples)
    return Thrower(
        results.airframe, results.lift, results.balance, drive, samples, 1.225, area, results.slopes
    )


def throw(throttle: float, up: float, name: str = "marram", **other: float) -> Launches:
    """Centre sample, once."""
    values = {"speed": 9.0, "pitch": np.radians(5.0), "bank": 0.0, "warp": 0.0, **other}
    one = {key: np.array([float(value)]) for key, value in values.items()}
    return thrower(name).only(0, 1).launches(Thrown(throttle=np.array([throttle]), up=np.array([up]), **one))


def test_enough_up_climbs_away_and_too_little_dives() -> None:
    assert throw(0.65, 4.5).good[0]
    assert not throw(0.65, 0.0).climbs[0]
    assert throw(0.65, 0.0).lost[0] == HAND_M  # down to the ground


def test_more_throttle_gains_more_height() -> None:
    heights = [throw(throttle, 4.0).track[-1, HEIGHT, 0] for throttle in (0.4, 0.55, 0.7)]
    assert heights == sorted(heights)


def test_motor_torque_banks_to_the_left() -> None:
    """First principles: a propeller clockwise seen from behind turns the aeroplane anticlockwise, left wing
    down; more throttle, more bank; none without power; a pair that mirrors each other cancels.
    """
    assert throw(0.0, 5.0).bank[0] == pytest.approx(0.0, abs=1e-9)
    assert throw(0.9, 4.0).bank[0] < throw(0.5, 4.0).bank[0] < 0.0
    pair = thrower().airframe.thrust
    two = replace(thrower(), airframe=replace(thrower().airframe, thrust=replace(pair, mirrored=True)))
    ones = {key: np.zeros(1) for key in ("bank", "warp")}
    level = Thrown(
        speed=np.full(1, 9.0), pitch=np.full(1, 0.1), throttle=np.full(1, 0.6), up=np.full(1, 4.0), **ones
    )
    assert two.only(0, 1).launches(level).bank[0] == pytest.approx(0.0, abs=1e-9)


def test_a_warp_with_the_right_tip_up_rolls_to_the_left() -> None:
    """First principles: the right half lifts more."""
    assert throw(0.0, 5.0, warp=np.radians(1.0)).bank[0] < 0.0
    assert throw(0.0, 5.0, warp=np.radians(-1.0)).bank[0] > 0.0


def test_a_banked_throw_goes_to_that_side() -> None:
    track = throw(0.0, 5.0, bank=np.radians(15.0)).track
    assert track[-1, EAST, 0] > 0.0
    assert track[1, ROLL, 0] > 0.0


def test_up_elevon_raises_the_nose() -> None:
    more, less = (throw(0.0, up).track[5, PITCH, 0] for up in (8.0, 0.0))
    assert more > less


def test_a_headwind_is_speed() -> None:
    """First principles: what counts is the speed through the air."""
    assert throw(0.6, 4.0, speed=11.0).track[8, HEIGHT, 0] > throw(0.6, 4.0, speed=7.0).track[8, HEIGHT, 0]


def test_columns_are_launches_of_their_own() -> None:
    n = 32
    s = thrower().samples
    thrown = Thrown(
        9.0 + s["throw_speed_shift_m_s"], np.radians(s["throw_pitch_deg"]), np.zeros(n), np.full(n, 0.6),
        4.0 + s["trim_error_mm"], np.zeros(n),
    )  # fmt: skip
    many = thrower().launches(thrown)
    for k in (0, 7, 31):
        one = Thrown(*(getattr(thrown, key)[k : k + 1] for key in thrown.__slots__))
        alone = thrower().only(k, 1).launches(one)
        assert alone.lost[0] == pytest.approx(many.lost[k], abs=1e-9)


@cache
def recommended(name: str) -> FirstThrow:
    done, results, _ = worked(name)
    found = first_throw(
        thrower(name), done.design.targets.launch_speed_m_s, results.trims.launch.up.value, "final"
    )
    assert found is not None
    return found


def test_the_recommended_throw_of_marram() -> None:
    """Throttle 60-70 %, about 5 mm up; 2 mm less than the least of the window is no good launch."""
    found = recommended("marram")
    assert found.throttle is not None
    assert found.trim is not None
    assert 0.5 <= found.throttle <= 0.8
    assert 3.0 <= found.trim <= 6.0
    row = int(np.argmin(np.abs(THROTTLES - found.throttle)))
    assert not found.window[row, np.argmin(np.abs(found.trims - (found.trim_range[0] - 2.0)))]
    assert 0.0 < found.good <= 1.0
    assert found.lost.low <= found.lost.value <= found.lost.high


@pytest.mark.parametrize("name", ["marram", "teasel", "bracken"])
def test_every_demo_aeroplane_has_a_throw(name: str) -> None:
    found = recommended(name)
    assert found.throttle is not None
    assert found.trim_range[0] <= (found.trim or 0.0) <= found.trim_range[1]


def test_the_interactive_detail_flies_none() -> None:
    assert first_throw(thrower(), 9.0, 5.0, "interactive") is None
