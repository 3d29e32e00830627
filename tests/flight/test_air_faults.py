"""What has no answer says so, what shares is shared, and what is measured is believed."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from pathlib import Path

import numpy as np
import pytest

from foldwright.base.band import Band
from foldwright.base.finding import Finding
from foldwright.base.messages import words
from foldwright.cli.inputs import read_inputs
from foldwright.design.equipment import Measured
from foldwright.evaluate import Results, evaluate
from foldwright.flight.drive import CELL_VOLT, FRESH_VOLT, drive_of, static
from foldwright.flight.envelope import along
from foldwright.flight.first_throw import _COARSE, _best, _ends, first_throw
from foldwright.flight.launch import Thrower
from foldwright.flight.modes import Swing, _pairs, halving
from foldwright.flight.thrust_line import thrust_line
from foldwright.review import air_rules as rules
from foldwright.review.handling_air_rules import RULES as HANDLING
from foldwright.review.subject import Subject
from tests.flight.test_level import worked

ROOT = Path(__file__).resolve().parents[2]
STARTERS = ROOT / "src" / "foldwright" / "design" / "data" / "starters"


@cache
def starter(name: str, **targets: float) -> Results:
    """A starter design with other targets or measured figures."""
    inputs = read_inputs(
        STARTERS / f"{name}.toml", ROOT / "examples" / "workshops" / "school-laser.toml", None
    )
    assert inputs.usable is not None
    design, workshop, stock = inputs.usable[:3]
    changed = design.targets.model_copy(update=targets)
    found = evaluate(design.model_copy(update={"targets": changed}), workshop, stock, detail="interactive")
    assert found.results is not None
    return found.results


def slow() -> Results:
    """Marram thrown and cruising below its stall of 7 m/s."""
    return starter("marram", launch_speed_m_s=6.5, cruise_speed_m_s=6.5)


def test_a_stalled_cruise_has_no_modes_and_no_steps() -> None:
    """First principles: what does not fly level has no motion about level flight."""
    flown = slow().flown
    assert flown.envelope.stall.value > 6.5
    modes = flown.modes
    swings = (modes.short_period, modes.phugoid, modes.dutch_roll)
    for band in (modes.roll, modes.spiral, *(b for s in swings for b in (s.period, s.damping, s.growth))):
        assert np.isnan(band.value)
        assert band.missing > 0.5
    for step in (flown.handling.steps.pitch, flown.handling.steps.roll):
        assert step is not None
        assert np.isnan(step.rate[0]).all()
    assert not flown.handling.steps.told
    assert flown.handling.roll is not None
    assert np.isnan(flown.handling.roll.cruise.value)
    assert np.isnan(flown.handling.wind.held.value)
    assert not any(
        "nan" in words(each).says for rule in (*rules.RULES, *HANDLING) for each in rule.judge(slow().subject)
    )
    subject = slow().subject
    assert all(not judge(subject) for judge in (rules.short_period, rules.phugoid, rules.dutch_roll))


def test_samples_that_fly_keep_their_modes() -> None:
    """A little above the stall some samples are stalled: counted as missing, the others told."""
    modes = starter("marram", cruise_speed_m_s=7.4).flown.modes
    assert 0.0 < modes.phugoid.period.missing < 0.6
    assert np.isfinite(modes.phugoid.period.value)
    assert modes.phugoid.damping.low <= modes.phugoid.damping.value <= modes.phugoid.damping.high


def test_just_above_the_stall_the_climb_is_told() -> None:
    """Launch and cruise have rows of their own: a stalled neighbour takes nothing away."""
    stall = starter("marram").flown.envelope.stall.value
    found = starter("marram", launch_speed_m_s=round(stall + 0.02, 3)).flown
    assert np.isfinite(found.power.climb.value)
    assert stall + 0.02 in found.envelope.level.speeds.round(3) or np.any(
        np.abs(found.envelope.level.speeds - round(stall + 0.02, 3)) < 1e-6
    )


def test_a_row_of_the_table_is_itself() -> None:
    values = np.array([[np.nan], [2.0], [np.nan]])
    assert along(values, np.array([1.0, 2.0, 3.0]), 2.0)[0] == 2.0
    assert np.isnan(along(values, np.array([1.0, 2.0, 3.0]), 1.5)[0])


def test_two_motors_share_the_sag_of_one_battery() -> None:
    """Ohm's law: the cells lie lower by their resistance times the current of both motors."""
    done, results, samples = worked("marram")
    twin = done.design.model_copy(update={"motor": done.design.motor.model_copy(update={"mirrored": True})})
    two, one = (drive_of(design, results.fitted, samples) for design in (twin, done.design))
    run = two.fresh().at(1.0, 0.0, 1.225)
    battery = results.fitted.battery
    sag = FRESH_VOLT * battery.cells - 2.0 * float(run.cell_current[0]) * battery.resistance_ohm
    assert float(run.cell_volt[0]) == pytest.approx(sag, rel=1e-9)
    assert CELL_VOLT < FRESH_VOLT
    assert static(two).thrust.value < 2.0 * static(one).thrust.value
    # one motor alone still gives what its test says
    assert static(one).thrust.value == pytest.approx(4.4, rel=1e-6)


def test_slightly_nose_up_is_nose_up_on_a_canard() -> None:
    """At that tilt the thrust line's own chapter says up, its edge goes down as much."""
    results = starter("sedge")
    subject, flown = results.subject, results.flown
    tilted = replace(
        results.airframe.thrust,
        tilt=float(np.radians(flown.power.slight_tilt)),
        static_n=float(along(flown.envelope.full, flown.envelope.level.speeds,
                             results.trims.launch.condition.speed)[0]) / results.airframe.thrust.count,
    )  # fmt: skip
    frame = replace(results.airframe, thrust=tilted)
    samples = subject.flown.envelope.drive.screw.thrust_factor
    assert np.shape(samples) == (32,)
    _, _, drawn = worked("marram")
    line = thrust_line(frame, results.lift, results.balance, subject.design.targets, drawn)
    assert line.direction == "up"
    assert line.edge_launch.value == pytest.approx(-1.5, rel=1e-3)


def test_a_canard_tries_trims_on_its_nose_up_side() -> None:
    """Nose-up is trailing edge down there: the coarse search reaches 8 mm that way and 4 the other."""
    results = starter("sedge")
    _, _, drawn = worked("marram")
    thrower = Thrower(
        results.airframe, results.lift, results.balance, results.flown.envelope.drive, drawn, 1.225,
        results.flown.envelope.drags[5].area, results.slopes,
    )  # fmt: skip
    station = results.lift.station
    assert station is not None
    assert station.sense == -1.0
    launch = results.trims.launch
    found = first_throw(thrower, launch.condition.speed, launch.up.value, "final")
    assert found is not None
    assert found.trim is not None
    assert found.trim <= launch.up.value + 4.0
    assert np.all(np.diff(found.trims) == 0.5)
    assert len(found.throttles) * len(found.trims) + 3 * len(_COARSE) <= 120


def test_a_static_test_reaches_the_thrust_line_and_narrows_the_bands() -> None:
    """4.0 N measured stand in place of the stock's 4.4 N; current measured: no power is guessed."""
    inputs = read_inputs(
        STARTERS / "marram.toml", ROOT / "examples" / "workshops" / "school-laser.toml", None
    )
    assert inputs.usable is not None
    design, workshop, stock = inputs.usable[:3]
    test = Measured(static_thrust_n=4.0, static_current_a=11.0)
    found = evaluate(
        design.model_copy(update={"measured": test}), workshop, stock, detail="interactive"
    ).results
    assert found is not None
    plain = starter("marram")
    assert found.thrust.thrust.value == pytest.approx(4.0)
    assert "static test" in found.thrust.thrust.basis
    assert plain.thrust.thrust.value == pytest.approx(4.4)
    for name in ("thrust", "current"):
        own, stock = (getattr(each.flown.envelope.static, name) for each in (found, plain))
        assert own.high - own.low < 0.6 * (stock.high - stock.low)


def test_the_trim_change_is_of_the_thrust_in_flight() -> None:
    """The propeller pulls less in flight than at rest: so does the trim change."""
    results = starter("marram")
    at_rest = results.trims.launch_power.up.value - results.trims.launch.up.value
    change = results.flown.power.trim_change.value
    assert at_rest < change < 0.0
    assert results.flown.power.changes[0] == pytest.approx(change)


def test_bands_of_the_lateral_modes_are_as_wide_as_what_is_not_known() -> None:
    """Roll: 1 over damping and inertia, 10 and 8 % each: some 40 % from end to end (first principles)."""
    modes = starter("marram").flown.modes
    assert 0.25 < (modes.roll.high - modes.roll.low) / modes.roll.value < 0.7
    assert modes.spiral.unit == "1/s"
    assert modes.spiral.low < modes.spiral.value < modes.spiral.high
    assert halving(np.log(2.0)) == pytest.approx(-1.0)
    assert halving(0.0) == np.inf


def test_conjugates_stay_together() -> None:
    """A pair of |root| 3 between real roots of 1 and 8: by size alone it would be torn apart."""
    roots = np.array([[-8.0, -1.0 + 2.8j, 1.0, -1.0 - 2.8j], [-2.0 + 1j, -2.0 - 1j, 0.1j, -0.1j]])
    fast, slow_pair = _pairs(roots.astype(np.complex128))
    assert set(slow_pair[0].tolist()) == {-8.0 + 0j, 1.0 + 0j}
    assert fast[0, 0] == np.conj(fast[0, 1])
    assert fast[1, 0] == np.conj(fast[1, 1])
    assert abs(slow_pair[1, 0]) == pytest.approx(0.1)


def with_modes(**changes: object) -> Subject:
    one = worked("marram")[1].subject
    modes = replace(one.flown.modes, **changes)  # type: ignore[arg-type]
    return replace(one, flown=replace(one.flown, modes=modes))


def only(findings: tuple[Finding, ...]) -> Finding:
    (found,) = findings
    assert "nan" not in words(found).says
    return found


def banded(value: float) -> Band:
    return Band(value, value, value, "", "test")


def test_a_motion_that_grows_without_a_swing_is_judged() -> None:
    grows = Swing(banded(np.nan), banded(np.nan), banded(0.7))
    for found in (
        only(rules.short_period(with_modes(short_period=grows))),
        only(rules.phugoid(with_modes(phugoid=grows))),
    ):
        assert found.verdict == "watch"
        assert "doubles in 0.99 s" in words(found).says
    dies = replace(grows, growth=banded(-0.7))
    assert only(rules.short_period(with_modes(short_period=dies))).verdict == "clear"


def test_a_slow_dutch_roll_and_a_spiral_that_grows_are_watched() -> None:
    slowly = Swing(banded(20.0), banded(0.3), banded(-0.1))
    found = only(rules.dutch_roll(with_modes(dutch_roll=slowly)))
    assert found.verdict == "watch"
    assert found.value == 20.0
    assert (
        only(rules.dutch_roll(with_modes(dutch_roll=replace(slowly, period=banded(1.0))))).verdict == "clear"
    )
    assert only(rules.roll_and_spiral(with_modes(spiral=banded(0.5)))).verdict == "watch"
    for rate in (1e-9, 0.0, -1e-9):  # through infinity without a jump
        assert only(rules.roll_and_spiral(with_modes(spiral=banded(rate)))).verdict == "clear"


def test_the_pick_and_its_ranges() -> None:
    """Full throttle is no cliff; of equals the one with more good about it; ranges end at a gap."""
    window = np.zeros((4, 7), dtype=bool)
    window[2:, 1:4] = True
    assert _best(window) == (3, 2)
    window[1, 1:4] = True
    assert _best(window) == (2, 2)
    assert _best(np.zeros((2, 2), dtype=bool)) is None
    single = np.zeros((3, 7), dtype=bool)
    single[0, 0] = single[1, 4] = single[1, 5] = True
    assert _best(single) == (1, 5)
    values = np.arange(6.0)
    assert _ends(values, np.array([1, 0, 1, 1, 0, 1], dtype=bool), 2) == (2.0, 3.0)
    assert _ends(values, np.zeros(6, dtype=bool), 2) == (2.0, 2.0)
