"""Trim of an airframe: the trim table through the whole room, bands, counting, and power.

Sources
1. Project notes on flight physics: trim table, 0.4 mm.
2. First principles.
3. Issue, common practice: a plank of this kind wants about one board thickness of up elevon at launch.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from foldwright.airframe.model import Airframe, Control, Thrust
from foldwright.base.messages import words
from foldwright.design.model import Targets
from foldwright.flight.balance import Balance, balance
from foldwright.flight.lift import Lift, Samples, lift
from foldwright.flight.trim import Condition, Trims, span_share, trim, trims
from tests.flight.plank import CHORD, EXACT, airframe, battery, equipment, mass, samples, targets, wing

MASSES = (mass("a", 140.0, 180.0, 0.0, 20.0), mass("b", 140.0, 60.0, 0.0, 20.0))
"""280 g at 120; with a battery of 100 g the table's 380 g."""


def setup(
    wanted: Targets | None = None, n: int = 1, frame: Airframe | None = None, **centres: float
) -> tuple[Airframe, Lift, Balance, Targets, Samples]:
    body = frame or airframe(masses=MASSES)
    goal = wanted or targets()
    drawn = samples(n, **centres)
    air = lift(body, "final", drawn)
    return body, air, balance(body, equipment(slide=(-300.0, 500.0)), goal, air, drawn), goal, drawn


def trimmed(state: tuple[Airframe, Lift, Balance, Targets, Samples]) -> Trims:
    found, _ = trims(*state)
    assert found is not None
    return found


@pytest.mark.parametrize(
    ("cm0", "margin", "launch", "cruise"),
    [(0.015, 5.0, 1.7, -0.1), (0.0, 8.0, 5.2, 2.4), (0.0, 10.0, 6.5, 3.1), (-0.01, 12.0, 8.8, 4.7)],
)
def test_trim_table_through_the_whole_room(cm0: float, margin: float, launch: float, cruise: float) -> None:
    # Source 1: 8 and 12 m/s.
    found = trimmed(setup(targets(static_margin_pct=margin), cm0_shift=cm0))
    assert found.launch.up.value == pytest.approx(launch, abs=0.4)
    assert found.cruise.up.value == pytest.approx(cruise, abs=0.4)
    assert found.launch.up.unit == "mm"


def test_launch_wants_about_one_board_thickness() -> None:
    # Source 3: 3 to 8 mm at 8 % margin and no section moment.
    assert 3.0 < trimmed(setup()).launch.up.value < 8.0


def test_lift_is_weight_over_dynamic_pressure_and_area() -> None:
    # Source 2.
    found = trimmed(setup()).launch
    assert found.lift.value == pytest.approx(0.38 * 9.80665 / (0.5 * 1.225 * 64.0 * 0.1452))
    assert found.reserve.value == pytest.approx(1.0 - found.lift.value)
    assert found.below_stall


def test_heavier_air_wants_less() -> None:
    # Source 2: more density, less lift coefficient, less up elevon.
    thin, thick = (trimmed(setup(targets(field_density_kg_m3=rho))).launch.up.value for rho in (1.0, 1.225))
    assert thin > thick


def test_bands_hold_their_centre() -> None:
    found = trimmed(setup(n=256))
    one = trimmed(setup(n=1))
    for many, single in ((found.launch, one.launch), (found.cruise, one.cruise)):
        assert many.up.value == pytest.approx(single.up.value, abs=1e-12)
        for band in (many.up, many.delta, many.alpha, many.reserve):
            assert band.low < band.value < band.high
    # Spread on c_m0 alone (0.012) is 1.3 mm a standard deviation; the margin adds.
    assert 3.0 < found.cruise.up.high - found.cruise.up.low < 12.0


def test_samples_without_trim_are_counted() -> None:
    # Source 2: at 6.6 m/s the lift coefficient is 0.96, about half of the samples have less to give.
    state = setup(targets(launch_speed_m_s=6.6), n=256)
    found = trimmed(state).launch
    needed, most = found.lift.value, state[4]["c_lmax"]
    assert found.below_stall
    assert 0.2 < found.stalled < 0.7
    assert found.up.missing == found.stalled == found.alpha.missing
    assert found.stalled == pytest.approx(float(np.mean(most <= needed)), abs=0.05)
    assert found.state.delta.shape == (256,)
    assert found.reserve.missing == 0.0


def test_a_launch_below_stall_has_no_trim_and_says_by_how_much() -> None:
    found = trimmed(setup(targets(launch_speed_m_s=5.0))).launch
    assert not found.below_stall
    assert np.isnan(found.up.value)
    assert found.stalled == found.up.missing == 1.0
    assert found.reserve.value == pytest.approx(1.0 - found.lift.value)
    assert found.reserve.value < -0.5


def test_trim_beyond_the_linear_range_is_said() -> None:
    # A wing with a control of 8 % chord has to turn it much further.
    surface = wing()
    small = Control("elevon", "elevon", ("r", "l"), 0.08 * CHORD, 0.0, 330.0, (0.92, 0.92), 0.2, 0.2)
    frame = airframe((replace(surface, controls=(small,)),), masses=MASSES)
    goal = targets(static_margin_pct=20.0, static_margin_most_pct=25.0, launch_speed_m_s=7.0)
    found, findings = trims(*setup(goal, frame=frame))
    assert found is not None
    assert [finding.code for finding in findings] == ["T02"]
    assert words(findings[0]).says.startswith("Trim at 7 m/s turns the controls by")
    assert abs(found.launch.delta.value) > 12.0


def test_no_control_no_trim() -> None:
    body = airframe((wing(controls=False),), masses=MASSES)
    state = setup(frame=body)
    found, findings = trims(*state)
    assert found is None
    assert [(finding.code, finding.verdict) for finding in findings] == [("T01", "no-go")]
    assert "cannot be trimmed" in words(findings[0]).says
    with pytest.raises(LookupError):
        trim(*state[:3], state[4], Condition(8.0, 1.225))


def test_two_controls_share_the_work() -> None:
    # Source 2: one control cut in two at half the span is the same control.
    surface = wing()
    (whole,) = surface.controls
    parts = (replace(whole, id="inner", outer=165.0), replace(whole, id="outer", inner=165.0))
    split = trimmed(setup(frame=airframe((replace(surface, controls=parts),), masses=MASSES)))
    assert split.launch.up.value == pytest.approx(trimmed(setup()).launch.up.value, abs=1e-6)
    assert split.launch.station.control == "inner"


def test_power_through_the_centre_of_gravity_changes_only_the_stream() -> None:
    # Source 2: f > 1, so the same moment needs less travel.
    level = setup()
    height = float(level[2].cg[2])
    frame = airframe(masses=MASSES, thrust=Thrust(345.0, 0.0, height, 0.0, 4.4, 127.0))
    found = trimmed(setup(frame=frame))
    assert 0.0 < found.launch_power.up.value < found.launch.up.value
    assert found.launch_power.condition.power == 1.0


def test_power_that_pitches_up_wants_less_up_elevon() -> None:
    frames = [
        airframe(masses=MASSES, thrust=Thrust(345.0, 0.0, 20.0, tilt, 4.4, 127.0))
        for tilt in (-0.05, 0.0, 0.05)
    ]
    ups = [trimmed(setup(frame=frame)).launch_power.up.value for frame in frames]
    assert ups[0] < ups[1] < ups[2]


def test_no_static_thrust_means_no_power() -> None:
    frame = airframe(masses=MASSES, thrust=Thrust(345.0, 0.0, 20.0, -0.05, None, 0.0))
    found = trimmed(setup(frame=frame))
    assert found.launch_power.up.value == pytest.approx(found.launch.up.value)


def test_share_of_a_control_in_the_stream() -> None:
    # Source 2: disc of radius 63.5; a control from 40 to 320 has 23.5 mm in it, one 20 mm lower less.
    radii = np.array([63.5, 500.0])
    assert span_share((40.0, 320.0), radii, 0.0, 0.0) == pytest.approx([23.5 / 280.0, 1.0])
    lower = (np.sqrt(63.5**2 - 400.0) - 40.0) / 280.0
    assert span_share((40.0, 320.0), radii[:1], 20.0, 0.0) == pytest.approx(lower)
    assert span_share((40.0, 320.0), radii[:1], 80.0, 0.0) == 0.0


def test_no_spread_no_band() -> None:
    found = trimmed(setup(None, 16, None, **EXACT)).launch
    assert found.up.low == pytest.approx(found.up.high)


def test_battery_of_the_fixture_is_the_tables() -> None:
    assert battery().mass_g + sum(float(item.moments[3, 3]) for item in MASSES) == pytest.approx(380.0)
