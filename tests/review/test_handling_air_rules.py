"""Rules T40-T47: clear on the demo aeroplanes, and each fires with its numbers where it should."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from foldwright.base.band import Band
from foldwright.base.finding import Finding
from foldwright.base.messages import words
from foldwright.flight.handling import Handling, Mix, rate_for
from foldwright.review import handling_air_rules as rules
from foldwright.review.rules import RULES, cure_keys
from foldwright.review.subject import Subject
from tests.flight.test_level import worked
from tests.world import judge, with_values

NAMES = ("marram", "teasel", "bracken")
CODES = tuple(rule.code for rule in rules.RULES)


def subject(name: str = "marram") -> Subject:
    return worked(name)[1].subject


def with_handling(one: Subject, **changes: object) -> Subject:
    handling: Handling = replace(one.flown.handling, **changes)  # type: ignore[arg-type]
    return replace(one, flown=replace(one.flown, handling=handling))


def banded(value: float) -> Band:
    return Band(value, 0.9 * value, 1.1 * value, "", "test")


def only(findings: tuple[Finding, ...]) -> Finding:
    (found,) = findings
    assert words(found).says
    assert words(found).cure
    return found


@pytest.mark.parametrize("name", NAMES)
def test_the_demo_aeroplanes_are_clear(name: str) -> None:
    one = subject(name)
    found = [finding for rule in rules.RULES for finding in rule.judge(one)]
    assert [finding.code for finding in found if finding.verdict != "clear"] == []
    assert {finding.code for finding in found} >= set(CODES) - {"T44"}
    assert all(words(finding).says for finding in found)


def test_they_stand_in_the_list() -> None:
    assert set(CODES) <= {rule.code for rule in RULES}
    assert tuple(f"T{number}" for number in range(40, 48)) == CODES


def test_too_quick_a_roll_wanted_is_not_reached() -> None:
    """The whole way through: a target that full stick cannot give, and keys that could."""
    found = judge(with_values(targets__roll_rate_deg_s=400.0))
    said = next(each for each in found.findings if each.code == "T40")
    assert said.verdict == "watch"
    assert "400" in words(said).expected
    keys = [key.key for key in cure_keys("T40", subject())]
    assert keys == ["wing.control.elevon.up_deg", "wing.control.elevon.down_deg"]


def test_nothing_that_rolls() -> None:
    said = only(rules.roll(with_handling(subject(), roll=None)))
    assert said.verdict == "watch"
    assert "neither ailerons nor rudder" in words(said).says
    assert rules.RULES[0].cures(with_handling(subject(), roll=None)) == ()


def test_little_pitch_authority() -> None:
    found = judge(with_values(wing__control__elevon__up_deg=2.0, wing__control__elevon__down_deg=2.0))
    said = {each.code: each for each in found.findings if each.code in CODES and each.verdict != "clear"}
    assert {"T40", "T41"} <= set(said)
    assert said["T41"].verdict == "watch"


def test_slow_flight_and_flare_need_up_elevator() -> None:
    one = subject()
    slow = replace(one.flown.handling.pitch.slow, lift_glide=banded(0.4))
    weak = with_handling(one, pitch=replace(one.flown.handling.pitch, slow=slow))
    assert only(rules.slow_flight(weak)).verdict == "watch"
    none = Band(np.nan, np.nan, np.nan, "m", "test", 1.0)
    for flare, verdict in ((none, "watch"), (banded(1.5), "watch"), (banded(0.2), "clear")):
        landed = replace(one, flown=replace(one.flown, landing=replace(one.flown.landing, flare=flare)))
        assert only(rules.flare(landed)).verdict == verdict


def test_far_too_much_throw() -> None:
    quick = with_handling(subject(), rates=(rate_for("pitch", 0.1),))
    said = only(rules.rates(quick))
    assert (said.verdict, said.value) == ("watch", 10.0)
    assert rules.rates(with_handling(subject(), rates=(rate_for("pitch", float("nan")),))) == ()


def test_two_sticks_past_the_travel() -> None:
    mix = Mix("elevon", "wing", ("pitch", "roll"), (0.7, 0.6), 1.3, 2.0)
    said = only(rules.mixing(with_handling(subject(), mixing=(mix,))))
    assert said.verdict == "watch"
    assert said.where == "wing.control.elevon"
    assert "130 %" in words(said).says


@pytest.mark.parametrize(
    ("used", "verdict"), [(0.2, "clear"), (0.33, "clear"), (0.5, "watch"), (1.0, "watch"), (1.2, "no-go")]
)
def test_servo_too_weak(used: float, verdict: str) -> None:
    """A third is the limit of comfort, all of it that of what can be held."""
    (load,) = subject().flown.handling.servos
    weak = replace(load, stall=1.0, used=banded(used), torque_top=banded(used))
    one = with_handling(subject(), servos=(weak,))
    said = only(rules.servos(one))
    assert said.verdict == verdict
    keys = [key.key for key in rules.RULES[5].cures(one)]
    assert bool(keys) == (verdict != "clear")
    if keys:
        assert keys[0] == "wing.control.elevon.chord_mm"
        wanted = words(said).cure
        assert f"{3.0 * used:.2g} N cm" in wanted


def test_a_servo_whose_torque_is_not_known_is_not_judged() -> None:
    (load,) = subject().flown.handling.servos
    assert rules.servos(with_handling(subject(), servos=(replace(load, stall=None, used=None),))) == ()


def test_without_a_launch_trim_slow_flight_and_flare_are_not_judged() -> None:
    """It stalls in the hand: other rules say so, and no figure is made up."""
    found = judge(with_values(targets__launch_speed_m_s=4.0))
    said = {each.code for each in found.findings}
    assert "no-go" in {each.verdict for each in found.findings if each.code == "T31"}
    assert not {"T42", "T47"} & said
    assert "T40" in said


def test_controls_that_hardly_move() -> None:
    found = judge(with_values(wing__control__elevon__up_deg=1.0, wing__control__elevon__down_deg=1.0))
    said = {each.code: each for each in found.findings if each.verdict != "clear"}
    assert {"T40", "T41", "T44", "T46"} <= set(said)
    assert "not within 5 s" in words(said["T40"]).says


def test_side_wind_that_is_not_held() -> None:
    wind = replace(subject().flown.handling.wind, held=banded(0.5))
    assert only(rules.crosswind(with_handling(subject(), wind=wind))).verdict == "watch"
