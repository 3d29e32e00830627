"""What the aeroplane can do: handbook examples, balances that must hold, ranges of common practice.

H. Smith, *Aircraft Flight Mechanics* (open textbook, read): S 20 m², C_D0 0.015, K 0.04 at 6 km, W 51.0 kN:
least drag at 112.36 m/s; with a tenth more thrust level at 90.0 and 140.3 m/s.
"""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest

from foldwright.base.band import Band
from foldwright.flight.envelope import FIRST_WIND, Envelope, _crossing, _peak, along, envelope
from foldwright.physics.atmosphere import STANDARD_GRAVITY, standard_air
from tests.flight.test_level import worked


@cache
def of(name: str) -> Envelope:
    done, results, samples = worked(name)
    parts = (results.lift, results.balance, samples)
    return envelope(results.airframe, done.design, results.fitted, parts, standard_air(0.0), "interactive")


def test_textbook_speeds_of_least_drag_and_of_a_tenth_more_thrust() -> None:
    speeds = np.linspace(80.0, 160.0, 161)
    pressure = 0.5 * float(standard_air(6000.0).density) * speeds**2
    weight, area = 51.0e3, 20.0
    lift = weight / (pressure * area)
    drag = (pressure * area * (0.015 + 0.04 * lift**2))[:, None]
    least, at = _peak(-drag, speeds)
    assert at[0] == pytest.approx(112.36, abs=0.1)
    spare = -1.1 * least - drag
    assert _crossing(spare, speeds)[0] == pytest.approx(140.3, abs=0.1)
    assert -_crossing(spare[::-1], -speeds[::-1])[0] == pytest.approx(90.0, abs=0.1)


def test_stall_is_where_all_lift_is_used() -> None:
    """First principles: ½ ρ V² S C_Lmax = W."""
    _, results, _ = worked("marram")
    stall = of("marram").stall.value
    weight = results.balance.mass.value * 1e-3 * STANDARD_GRAVITY
    assert 0.5 * 1.225 * stall**2 * results.lift.mean.area * 1e-6 * 1.0 == pytest.approx(weight, rel=1e-3)
    assert of("marram").wind_first.value == pytest.approx(FIRST_WIND * stall)


@pytest.mark.parametrize("name", ["marram", "teasel", "bracken"])
def test_ranges_of_such_aeroplanes(name: str) -> None:
    """L/D 5-8, stall 6-9 m/s (common practice, no source)."""
    found = of(name)
    assert 5.0 <= found.glide.value <= 8.0
    assert 6.0 <= found.stall.value <= 9.0
    assert found.sink_speed.value < found.glide_speed.value < found.top.value
    assert found.climb_speed.value < found.top.value


@pytest.mark.parametrize("name", ["marram", "teasel", "bracken"])
def test_every_band_holds_its_value_and_has_a_width(name: str) -> None:
    found = of(name)
    bands = [value for key in found.__slots__ if isinstance(value := getattr(found, key), Band)]
    assert len(bands) > 15
    for band in bands:
        assert band.low <= band.value <= band.high, band
        assert band.low < band.high, band


def test_top_speed_is_where_thrust_meets_drag() -> None:
    """First principles: at the top speed of the centre, full thrust equals level drag."""
    found = of("teasel")
    spare = found.full - found.level.force
    at = along(spare, found.level.speeds, found.top.value)
    assert at[0] == pytest.approx(0.0, abs=0.02)


def test_time_aloft_follows_from_current() -> None:
    """First principles: charge over current; the reserve of the targets is kept."""
    done, results, _ = worked("marram")
    found = of("marram")
    hours = results.fitted.battery.capacity_mah / 1000.0 * 0.8 / found.cruise_current.value
    assert done.design.targets.reserve_pct == 20.0
    assert found.time_cruise.value == pytest.approx(60.0 * hours)
    assert found.reach.value == pytest.approx(3.6 * done.design.targets.cruise_speed_m_s * hours)
    assert found.time_flown.value < found.time_cruise.value


def test_no_answer_is_never_a_number() -> None:
    values = np.array([[np.nan, 1.0], [np.nan, 3.0], [np.nan, 2.0]])
    speeds = np.array([1.0, 2.0, 3.0])
    best, at = _peak(values, speeds)
    assert np.isnan(best[0])
    assert np.isnan(at[0])
    # parabola through 1, 3, 2: first principles
    assert best[1] == pytest.approx(3.0 + 1.0 / 24.0)
    assert at[1] == pytest.approx(2.0 + 1.0 / 6.0)
    assert np.isnan(_crossing(-np.ones((3, 1)), speeds)[0])
    assert _crossing(np.ones((3, 1)), speeds)[0] == 3.0
    assert np.all(np.isnan(along(values, speeds, 5.0)))
