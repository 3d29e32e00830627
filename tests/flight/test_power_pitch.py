"""Thrust lines that do nothing and propellers that are compared, with answers from first principles."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from foldwright.design.stock import StockPropeller
from foldwright.flight.power_pitch import SLIGHTLY_MM, PowerPitch, power_pitch
from foldwright.flight.propellers import propeller_table, with_propeller
from foldwright.flight.thrust_line import passes_above, thrust_line
from tests.flight.test_envelope import of
from tests.flight.test_level import worked

DESIGNS = ["marram", "teasel", "bracken"]


def found_for(name: str) -> PowerPitch:
    _, results, samples = worked(name)
    return power_pitch(results.airframe, results.lift, results.balance, results.trims, of(name), samples)


@pytest.mark.parametrize("name", DESIGNS)
def test_at_the_neutral_tilt_or_offset_the_line_passes_through_the_balance_point(name: str) -> None:
    _, results, _ = worked(name)
    found = found_for(name)
    line, cg = results.airframe.thrust, results.balance.cg
    tilted = replace(line, tilt=float(np.radians(found.neutral_tilt)))
    assert passes_above(tilted, cg) == pytest.approx(0.0, abs=1e-9)
    moved = replace(line, z=line.z + found.neutral_offset)
    assert passes_above(moved, cg) == pytest.approx(0.0, abs=1e-9)


@pytest.mark.parametrize("name", DESIGNS)
def test_at_the_slight_tilt_power_acts_like_so_much_up(name: str) -> None:
    """The same thrust at launch speed, its moment in trailing edge, by the thrust line's own chapter."""
    done, results, samples = worked(name)
    flown = of(name)
    speed = results.trims.launch.condition.speed
    newton = float(np.interp(speed, flown.level.speeds, flown.full[:, 0]))
    line = replace(
        results.airframe.thrust,
        tilt=float(np.radians(found_for(name).slight_tilt)),
        static_n=newton / results.airframe.thrust.count,
    )
    frame = replace(results.airframe, thrust=line)
    again = thrust_line(frame, results.lift, results.balance, done.design.targets, samples)
    assert again.edge_launch.value == pytest.approx(SLIGHTLY_MM, rel=1e-3)
    assert again.direction == "up"


def test_marram_wants_less_up_with_power() -> None:
    """Common practice, no source: a nose-up tendency with power at a little under 3 degrees of tilt, rear
    propeller end higher.
    """
    found = found_for("marram")
    assert found.trim_change.value < 0.0
    assert found.slight_says.endswith("higher")
    assert -2.9 < found.slight_tilt < found.neutral_tilt
    assert found.climb.value > 0.0


def test_the_fitted_propeller_has_the_envelopes_figures() -> None:
    done, results, _ = worked("marram")
    flown, targets = of("marram"), done.design.targets
    speeds = (targets.launch_speed_m_s, targets.cruise_speed_m_s)
    rows = propeller_table(flown, done.stock, results.fitted.propeller.id, speeds)
    own = next(row for row in rows if row.fitted)
    assert own.static_n == pytest.approx(flown.static.thrust.value)
    assert own.static_a == pytest.approx(flown.static.current.value)
    assert own.cruise_a == pytest.approx(flown.cruise_current.value, rel=0.02)
    assert own.minutes == pytest.approx(flown.time_flown.value, rel=0.02)
    assert not own.over
    assert next(row for row in rows if row.id == "prop-10x45").over
    minutes = [row.minutes or 0.0 for row in rows if not row.over]
    assert minutes == sorted(minutes, reverse=True)


def test_a_larger_propeller_pulls_more_at_rest() -> None:
    done, _, _ = worked("marram")
    thrusts = []
    for name in ("prop-5x3", "prop-6x3"):
        entry = done.stock.by_id[name]
        assert isinstance(entry, StockPropeller)
        thrusts.append(float(with_propeller(of("marram").drive, entry).at(1.0, 0.0, 1.225).thrust[0]))
    assert thrusts[0] < thrusts[1]
