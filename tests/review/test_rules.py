"""The review's rules: each is seen clear on the demo and not clear on a design spoilt in one number.

Limits quoted as common practice have no source: the tests check that a rule fires, not that it is right.
"""

from __future__ import annotations

import pytest

from foldwright.base.finding import worst
from foldwright.base.messages import catalogue, words
from foldwright.cure import find_cures, value_of
from foldwright.design.load import built_in_stock
from foldwright.evaluate import evaluate
from foldwright.review.rules import RULES, cure_keys
from tests.world import WORKSHOPS, evaluated, judge, marram, with_values, workshop


def test_there_are_at_least_fifteen_rules_with_codes_of_their_own() -> None:
    codes = [rule.code for rule in RULES]
    assert len(codes) >= 15
    assert len(set(codes)) == len(codes)
    assert set(codes) <= set(catalogue())


def test_rules_cover_geometry_balance_trim_and_sheets() -> None:
    assert {rule.code[0] for rule in RULES} == {"G", "B", "T", "S"}


@pytest.mark.parametrize("name", WORKSHOPS)
def test_the_demo_has_no_watch_and_no_no_go(name: str) -> None:
    result = evaluated(name)
    assert [(f.code, f.where, words(f).says) for f in result.findings if f.verdict != "clear"] == []
    assert result.results is not None


@pytest.mark.parametrize("name", WORKSHOPS)
def test_every_rule_speaks_on_the_demo(name: str) -> None:
    """A rule that never gives a finding would be hollow."""
    spoken = {finding.code for finding in evaluated(name).findings}
    silent = {rule.code for rule in RULES} - spoken
    assert silent <= ({"S81"} if workshop(name).cutter.bed_mm is None else set())


SPOILT = [
    ({"motor__x_mm": 392.0}, "G83"),
    ({"battery__slide_to_mm": 230.0, "battery__x_mm": 172.0}, "B10"),
    ({"battery__slide_to_mm": 240.0, "battery__slide_from_mm": 130.0}, "B11"),
    ({"battery__slide_from_mm": 95.5}, "B12"),
    ({"targets__all_up_limit_g": 430.0}, "B13"),
    ({"motor__mount_mass_g": 400.0}, "B14"),
    ({"targets__static_margin_pct": 11.0}, "B15"),
    ({"equipment__camera__y_mm": 30.0}, "B16"),
    ({"targets__static_margin_pct": 3.0}, "B17"),
    ({"targets__launch_speed_m_s": 6.0}, "T10"),
    ({"wing__control__elevon__up_deg": 6.0}, "T11"),
    ({"wing__control__elevon__inner_mm": 150.0}, "T12"),
    ({"motor__tilt_deg": 4.0}, "T14"),
    ({"wing__control__elevon__chord_mm": 30.0}, "T15"),
    ({"fin__taper__height_mm": 30.0}, "T17"),
    ({"joint__fin_Z_wing__clearance_mm": 0.6}, "S82"),
    ({"wing__span_mm": 720.0}, "S80"),
    ({"wing__span_mm": 720.0}, "S81"),
    ({"equipment__receiver__x_mm": 120.0}, "G82"),
]


@pytest.mark.parametrize(("changes", "code"), SPOILT)
def test_a_spoilt_number_is_found(changes: dict[str, float], code: str) -> None:
    result = judge(with_values(**changes))
    grave = {finding.code for finding in result.findings if finding.verdict != "clear"}
    assert code in grave, [words(f).says for f in result.findings if f.verdict != "clear"]


def test_every_finding_has_words_a_limit_and_a_cure() -> None:
    for changes, code in SPOILT:
        for finding in judge(with_values(**changes)).findings:
            said = words(finding)
            assert said.says, code
            if finding.verdict != "clear":
                assert said.cure, finding.code


def test_verdict_is_the_gravest() -> None:
    assert worst(evaluated().findings) == "clear"
    assert judge(with_values(targets__all_up_limit_g=300.0)).verdict == "no-go"


CURED = [
    {"motor__tilt_deg": 4.0},
    {"targets__static_margin_pct": 11.0},
    {"battery__slide_from_mm": 95.5},
    {"joint__fin_Z_wing__clearance_mm": 0.6},
    {"motor__x_mm": 392.0},
]


@pytest.mark.parametrize("changes", CURED)
def test_cures_cure(changes: dict[str, float]) -> None:
    """The computed change, made, clears the finding and makes none worse; one step less does not clear it."""
    spoilt = judge(with_values(**changes))
    grave = [finding for finding in spoilt.findings if finding.verdict != "clear"]
    assert grave
    finding = grave[0]
    cures = find_cures(spoilt, finding)
    if not cures:
        assert spoilt.results is not None
        assert cure_keys(finding.code, spoilt.results.subject) is not None
        pytest.fail(f"no cure found for {finding.code}: {words(finding).says}")
    best = cures[0]
    assert value_of(spoilt.design, best.key) == best.before
    healed = judge(with_values(**(changes | {best.key.replace(".", "__").replace("-", "_Z_"): best.after})))
    after = {(f.code, f.where) for f in healed.findings if f.verdict != "clear"}
    assert (finding.code, finding.where) not in after
    assert after <= {(f.code, f.where) for f in grave}
    assert list(cures) == sorted(cures, key=lambda cure: cure.share)


def test_none_found_is_an_answer() -> None:
    """No key of the design makes the board even: the rule offers none, and says what to do in words."""
    uneven = workshop().model_copy(
        update={"board": workshop().board.model_copy(update={"thickness_mm": (4.6, 5.0, 5.3)})}
    )
    result = evaluate(marram(), uneven, built_in_stock(), None, "interactive")
    finding = next(f for f in result.findings if f.code == "G80")
    assert finding.verdict == "watch"
    assert find_cures(result, finding) == ()
    assert words(finding).cure


def test_a_clear_finding_has_no_cure() -> None:
    result = evaluated(detail="interactive")
    assert find_cures(result, result.findings[0]) == ()
