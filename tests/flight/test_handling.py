"""Answers to the stick: signs with known answers, strips, trim, servos, bands.

Ranges without another origin are common practice, no source.
"""

from __future__ import annotations

from dataclasses import fields, replace
from functools import cache
from math import isnan, radians

import numpy as np
import pytest

from foldwright.airframe.model import Control
from foldwright.base.band import Band
from foldwright.design.resolve import FittedItem
from foldwright.flight.air import Flown, Ready, case_of, fly
from foldwright.flight.balance import balance
from foldwright.flight.controls import rigged
from foldwright.flight.handling import rate_for
from foldwright.flight.lift import derivatives, lift
from foldwright.flight.pitching import deflection_per_g, pitches, stream_at_cruise
from foldwright.flight.rolling import USUAL_RATE, Roll, crosswind, motion_of, rolls
from foldwright.flight.servos import N_CM, greatest, servo_loads
from foldwright.flight.sticks import Case, full, moment, travel
from foldwright.flight.trim import Pull, trim_state, trims
from foldwright.physics.answer import acting, steady_roll
from foldwright.physics.flap import effectiveness, hinge_alpha_slope, hinge_flap_slope
from foldwright.physics.lattice import Flap, Reference, Shape, solve
from tests.flight.layouts import AILERON, FORE_ELEVATOR, RUDDER, RUDDERVATOR, canard, fin, v_tail, wing
from tests.flight.test_level import worked
from tests.physics.lattice_cases import point, rectangle

DESIGNS = ["marram", "teasel", "bracken"]


@cache
def flown(name: str) -> Flown:
    done, results, samples = worked(name)
    ready = Ready(results.airframe, results.lift, results.balance, results.trims, samples)
    return fly(ready, done.design, results.fitted, "interactive")


@cache
def case(name: str) -> Case:
    done, results, samples = worked(name)
    ready = Ready(results.airframe, results.lift, results.balance, results.trims, samples)
    at = [float(getattr(results.trims.launch.state, key)[0]) for key in ("alpha", "delta")]
    slopes = derivatives(results.lift, results.balance.cg, *at)
    return case_of(ready, done.design, flown(name).envelope, slopes)


def rolled(name: str) -> Roll:
    found = flown(name).handling.roll
    assert found is not None
    return found


def uneven(control: Control) -> Control:
    return replace(control, up=radians(20.0), down=radians(10.0))


def bands(value: object) -> list[Band]:
    """Every band inside a result, however deep."""
    if isinstance(value, Band):
        return [value]
    if isinstance(value, tuple):
        return [band for each in value for band in bands(each)]
    if hasattr(value, "__dataclass_fields__"):
        return [band for each in fields(value) for band in bands(getattr(value, each.name))]  # type: ignore[arg-type]
    return []


@pytest.mark.parametrize("name", DESIGNS)
def test_every_band_holds_its_value_and_is_wider_than_nothing(name: str) -> None:
    """But where no stream passes over a control power does nothing to it: that is exact."""
    found = flown(name).handling
    checked = [*bands(found), *bands(flown(name).landing)]
    assert len(checked) > 20
    for band in checked:
        if band is found.pitch.slow.strength and band.value == 1.0:
            continue
        assert band.low <= band.value <= band.high, band
        assert band.low < band.high, band


def test_bands_shrink_with_their_inputs() -> None:
    """The spread of the flap's effectiveness and of the damping taken away, the rate is one number."""
    one = case("marram")
    names = ("flap_effectiveness", "damping_factor")
    sure = dict(one.samples) | {name: np.full(32, one.samples[name][0]) for name in names}
    motion = motion_of(replace(one, samples=sure))
    assert motion is not None
    found = rolls(replace(one, samples=sure), motion)
    assert found.cruise.high - found.cruise.low < 1e-9 * found.cruise.value
    assert found.cruise.value == pytest.approx(rolled("marram").cruise.value)


@pytest.mark.parametrize("name", DESIGNS)
def test_stick_right_puts_the_right_wing_down(name: str) -> None:
    """Roll control itself, or the rudder through the dihedral: the bank grows from the first step on."""
    motion = motion_of(case(name))
    assert motion is not None
    bank = motion.state[:, 3]
    assert np.all(bank[:, 2:8] > 0.0)
    assert np.all(np.diff(bank[:, 1:6], axis=1) > 0.0)


def test_signs_of_full_stick_by_axis() -> None:
    one = case("marram")
    assert np.all(moment(one, one.cruise.slopes, "Cl", "roll") > 0.0)
    trainer = case("teasel")
    assert np.all(moment(trainer, trainer.cruise.slopes, "Cn", "yaw") > 0.0)
    assert np.all(moment(trainer, trainer.cruise.slopes, "Cl", "roll") == 0.0)


def test_travel_is_taken_from_the_side_that_moves() -> None:
    """Stick back is trailing edge up behind the wing and down ahead of it; rudder right is the right way.

    The two travels of a control differ here.
    """
    first, second, third = (uneven(each) for each in (AILERON, FORE_ELEVATOR, RUDDER))
    aileron, fore, rudder = rigged((wing(first), canard(second), fin(third)))
    assert travel(fore, "pitch") == pytest.approx((radians(10.0), radians(20.0)))
    assert travel(rudder, "yaw") == pytest.approx((radians(10.0), radians(20.0)))
    assert travel(aileron, "roll") == pytest.approx((radians(15.0), radians(15.0)))
    (ruddervator,) = rigged((wing(), v_tail(uneven(RUDDERVATOR))))
    assert travel(ruddervator, "pitch") == pytest.approx((radians(20.0), radians(10.0)))
    assert travel(ruddervator, "yaw") == pytest.approx((radians(15.0), radians(15.0)))


@pytest.mark.parametrize(("aspect", "within"), [(100.0, 0.04), (30.0, 0.08), (12.0, 0.14)])
def test_roll_tends_to_that_of_strips(aspect: float, within: float) -> None:
    """Strips of one lift slope: p b/2V = tau delta (1/2)/(1/3), full-span flap, rectangular wing.

    The induced flow takes more of the damping than of the flap's steady load: a wing rolls faster than
    its strips, the more the shorter it is.
    """
    shape = Shape("flap", "wing", Flap(0.78, 0.78), -1)
    size = Reference(aspect, 1.0, aspect, point(0.25))
    slopes = solve([rectangle(aspect, 1.0, 24, 8)], [shape], size).derivatives()
    rate = float(steady_roll(-slopes.get("Cl", "flap") * 0.2, slopes.get("Cl", "p"), 12.0, aspect))
    strips = float(effectiveness(0.22)) * 0.2 * 1.5 * 24.0 / aspect
    assert strips < rate < (1.0 + within) * strips


def test_roll_of_marram_against_strips() -> None:
    """The same with its own elevons, from their inner to their outer ends: an aspect ratio of 3 adds a third
    (own regression of the plank: 1.35).
    """
    one = case("marram")
    control, half = one.lift.rigged[0].control, 0.5 * one.lift.mean.span
    share = control.chord / float(one.airframe.wing.chord[0])
    arms = 0.5 * (min(control.outer, half) ** 2 - control.inner**2) / half**2 * 3.0
    strips = float(effectiveness(share)) * one.lift.flap_eta * full(one, "roll") * arms
    rate = np.degrees(strips * 2.0 * one.cruise.speed / one.span)
    assert rate < rolled("marram").cruise.value < 1.5 * rate


def test_roll_alone_settles_at_the_steady_rate() -> None:
    """With sideslip and yaw held what is left is one lag, its end L_delta/L_p; path axes here: 5 %."""
    motion = motion_of(case("marram"))
    assert motion is not None
    p = -motion.column[0, 1] / motion.matrix[0, 1, 1]
    assert np.degrees(p) == pytest.approx(rolled("marram").cruise.value, rel=0.05)


def test_roll_bank_time_share_and_target_go_together() -> None:
    """A share of full stick for the rate that full stick itself reaches is 1."""
    for name in DESIGNS:
        one, motion = case(name), motion_of(case(name))
        assert motion is not None
        found = rolls(one, motion)
        assert found.wanted == USUAL_RATE[found.by]
        targets = one.targets.model_copy(update={"roll_rate_deg_s": 45.0 / found.bank.value})
        again = rolls(replace(one, targets=targets), motion)
        assert again.share.value == pytest.approx(1.0, abs=0.02)


def test_rudder_rolls_a_trainer_more_slowly_than_elevons_a_plank() -> None:
    trainer, tailless = rolled("teasel"), rolled("marram")
    assert (trainer.by, tailless.by) == ("yaw", "roll")
    assert trainer.bank.value > 2.0 * tailless.bank.value


def test_a_pull_up_is_a_change_of_trim() -> None:
    """Without damping in pitch one more g at one speed is the trim of twice the lift coefficient.

    Trim solver at a weight twice as great, no thrust; the stream of cruise taken out.
    """
    for name in DESIGNS:
        one = case(name)
        slopes = dict(one.cruise.slopes) | {"Cm_q": 0.0, "CL_q": 0.0}
        still = replace(one, cruise=replace(one.cruise, slopes=slopes))
        calm = Pull(np.zeros_like(one.weight), one.cruise.speed, one.found.density)
        parts = (one.airframe, one.lift, one.balance, one.samples, calm)
        once, twice = trim_state(*parts), trim_state(*parts, -one.weight)
        change = deflection_per_g(still) * stream_at_cruise(one)
        there = ~twice.stalled
        assert there.any()
        assert change[there] == pytest.approx((twice.delta - once.delta)[there], rel=1e-6, abs=1e-9)


@pytest.mark.parametrize("name", DESIGNS)
def test_pitch_authority(name: str) -> None:
    """Up elevator pulls; what pulls harder needs more of the stick; full stick never passes the stall."""
    found, one = flown(name).handling.pitch, case(name)
    assert found.per_g.value > 0.0
    assert 1.0 < found.load.value <= found.top.value
    gentle = pitches(replace(one, targets=one.targets.model_copy(update={"pitch_load_g": 1.3})))
    assert gentle.share.value < found.share.value
    slow = found.slow
    assert slow.lift_power.value >= slow.lift_glide.value - 1e-12
    assert slow.reach_power >= slow.reach_glide
    assert slow.slow_up.value < slow.full_up.value  # full up is more than the stall asks for
    assert slow.strength.value >= 1.0


def test_elevons_of_marram_are_weaker_without_power() -> None:
    """Common practice, no source: noticeably so; its pusher draws air over their inner part."""
    assert 1.05 < flown("marram").handling.pitch.slow.strength.value < 1.5
    assert flown("teasel").handling.pitch.slow.strength.value > 1.3  # a tail in the slipstream


def test_less_travel_takes_authority_away() -> None:
    one = case("marram")
    small = tuple(
        replace(each, control=replace(each.control, up=radians(3.0), down=radians(3.0)))
        for each in one.lift.rigged
    )
    found = pitches(replace(one, lift=replace(one.lift, rigged=small)))
    whole = flown("marram").handling.pitch
    assert found.share.value == pytest.approx(5.0 * whole.share.value, rel=1e-6)
    assert found.load.value < whole.load.value
    assert found.slow.reach_glide < whole.slow.reach_glide


def test_rates() -> None:
    """Full stick of twice the answer wanted: half the throw, half the slope."""
    half = rate_for("pitch", 0.5)
    assert (half.ratio, half.rate, half.expo, half.short) == (2.0, 0.5, 0.5, False)
    assert rate_for("roll", 0.1).rate == 0.4
    assert rate_for("roll", 0.1).expo == 0.5
    short = rate_for("roll", 1.4)
    assert (short.rate, short.expo, short.short) == (1.0, 0.0, True)
    none = rate_for("roll", float("nan"))
    assert isnan(none.ratio)
    assert none.rate == 1.0
    assert not none.short


def test_throws_are_those_of_the_design_times_the_share() -> None:
    found = flown("marram").handling
    pitch, roll = found.throws
    assert (pitch.axis, roll.axis) == ("pitch", "roll")
    assert pitch.now_mm == pytest.approx(48.0 * np.sin(radians(15.0)))
    assert pitch.wanted_mm.value == pytest.approx(
        48.0 * np.sin(radians(15.0) * found.pitch.share.value), rel=1e-9
    )


def test_mixing_adds_both_sticks() -> None:
    (mix,) = flown("marram").handling.mixing
    assert mix.axes == ("pitch", "roll")
    assert mix.full == pytest.approx(2.0)
    assert mix.used == pytest.approx(sum(mix.wanted))
    assert flown("teasel").handling.mixing == ()


def test_hinge_moment_by_hand() -> None:
    """Glauert's slopes for Marram's elevon: the finite wing takes some off, the trim adds some: 40 %."""
    one = case("marram")
    (load,) = flown("marram").handling.servos
    hinge = one.lift.lattice.hinge("elevon/pitch")
    share = one.lift.rigged[0].control.chord / float(one.airframe.wing.chord[0])
    alpha = float(one.trims.cruise.state.alpha[0]) - one.lift.pitch.alpha0
    slope = float(hinge_flap_slope(share)) * radians(15.0), float(hinge_alpha_slope(share)) * alpha
    pressure = 0.5 * one.found.density * one.cruise.speed**2
    by_hand = N_CM * pressure * hinge.area * hinge.chord * max(abs(sum(slope)), abs(slope[0] - slope[1]))
    assert load.hinge_cruise.value == pytest.approx(by_hand, rel=0.4)
    assert load.hinge_top.value > load.hinge_cruise.value


def test_torque_is_hinge_moment_by_the_gear() -> None:
    for name in DESIGNS:
        for load in flown(name).handling.servos:
            wanted = load.hinge_top.value * load.gear * load.halves
            assert load.torque_top.value == pytest.approx(wanted)
            assert load.stall is not None
            assert load.used is not None
            assert load.used.value == pytest.approx(load.torque_top.value / load.stall)
    assert greatest(flown("marram").handling.servos) < 1.0 / 3.0


def test_which_servo_turns_what() -> None:
    """By name first, then by place; a servo on either side turns its own piece, one alone turns both."""
    (elevon,) = flown("marram").handling.servos
    assert (elevon.servo, elevon.halves) == ("servo/right", 1)
    elevator, rudder = flown("teasel").handling.servos
    assert (elevator.servo, elevator.halves) == ("elevator-servo", 2)
    assert (rudder.servo, rudder.halves) == ("rudder-servo", 1)


def items(name: str) -> tuple[FittedItem, ...]:
    return worked(name)[1].fitted.items


def test_servos_that_are_weak_unknown_or_missing() -> None:
    one = case("marram")
    weak = [replace(item, torque_n_cm=0.5) if item.kind == "servo" else item for item in items("marram")]
    (load,) = servo_loads(one, weak)
    assert load.used is not None
    assert load.used.value > 1.0
    unknown = [replace(item, torque_n_cm=0.0) for item in items("marram")]
    (load,) = servo_loads(one, unknown)
    assert load.stall is None
    assert load.used is None
    (load,) = servo_loads(one, [])
    assert load.servo is None
    assert load.halves == 2
    assert isnan(greatest((load,)))
    single = [item for item in items("marram") if item.id != "servo/left"]
    (load,) = servo_loads(one, single)
    assert (load.servo, load.halves) == ("servo/right", 2)


def test_crosswind_by_hand() -> None:
    """15 degrees of sideslip is V sin 15; what the controls hold comes from one balance of moments."""
    one = case("marram")
    found = crosswind(one)
    assert found.launch.value == pytest.approx(one.targets.launch_speed_m_s * np.sin(radians(15.0)))
    rolling = float(moment(one, one.launch, "Cl", "roll")[0])
    slip = rolling / abs(one.launch["Cl_beta"])
    assert radians(found.slip_deg) == pytest.approx(float(acting(slip)))
    assert (found.by, crosswind(case("teasel")).by) == ("roll", "yaw")


def test_a_sample_alone_is_what_it_is_among_the_others() -> None:
    """Vectorised is scalar: the design worked out with the one sample as its only one."""
    done, results, samples = worked("bracken")
    lone = {key: values[:1] for key, values in samples.items()}
    air = lift(results.airframe, "interactive", lone)
    weighed = balance(results.airframe, results.fitted, done.design.targets, air, lone)
    trimmed, _ = trims(results.airframe, air, weighed, done.design.targets, lone)
    assert trimmed is not None
    alone = fly(
        Ready(results.airframe, air, weighed, trimmed, lone), done.design, results.fitted, "interactive"
    )
    pairs = zip(bands(alone.handling), bands(flown("bracken").handling), strict=True)
    for one, many in [*pairs, *zip(bands(alone.landing), bands(flown("bracken").landing), strict=True)]:
        assert one.value == pytest.approx(many.value, rel=1e-6)
