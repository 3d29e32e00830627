"""The review's rules: each is seen clear on the demo and not clear on a design spoilt in one number.

Limits quoted as common practice have no source: the tests check that a rule fires, not that it is right.
"""

from __future__ import annotations

import pytest

from foldwright.base.finding import worst
from foldwright.base.messages import catalogue, words
from foldwright.cure import find_cures, value_of
from foldwright.design.assumptions import assumptions_for
from foldwright.design.load import built_in_stock, rebuilt
from foldwright.evaluate import evaluate
from foldwright.review.marks import mark_requests
from foldwright.review.rules import RULES, cure_keys
from tests.world import WORKSHOPS, evaluated, judge, marram, plain, with_values, workshop


def test_there_are_at_least_fifteen_rules_with_codes_of_their_own() -> None:
    codes = [rule.code for rule in RULES]
    assert len(codes) >= 15
    assert len(set(codes)) == len(codes)
    assert set(codes) <= set(catalogue())


def test_rules_cover_geometry_balance_trim_and_sheets() -> None:
    assert {rule.code[0] for rule in RULES} >= {"G", "B", "T", "S"}


@pytest.mark.parametrize("name", WORKSHOPS)
def test_the_demo_has_no_watch_and_no_no_go(name: str) -> None:
    result = evaluated(name)
    assert [(f.code, f.where, words(f).says) for f in result.findings if f.verdict != "clear"] == []
    assert result.results is not None


NOT_OF_A_PLANK = {"T19", "T20", "T21", "T22", "T23", "T25"}
"""Rules about tails, ailerons and swept wings: tests/review/test_tail_rules.py."""
NOT_ASKED_FOR = {"B19", "B20", "B21", "B22", "B23", "B24", "B25", "B26", "B27", "B29"}
"""Rules about tables that the demo does not have: tests/review/test_handling_rules.py."""


@pytest.mark.parametrize("name", WORKSHOPS)
def test_every_rule_that_applies_speaks_on_the_demo(name: str) -> None:
    """A rule that never gives a finding would be hollow; the installation's rules have their own tests."""
    spoken = {finding.code for finding in evaluated(name).findings}
    silent = {rule.code for rule in RULES if not rule.code.startswith("I")} - spoken
    no_bed = {"S81"} if workshop(name).cutter.bed_mm is None else set()
    assert silent == NOT_OF_A_PLANK | NOT_ASKED_FOR | no_bed


SPOILT = [
    ({"motor__x_mm": 392.0}, "G83"),
    ({"battery__slide_to_mm": 230.0, "battery__x_mm": 172.0}, "B10"),
    ({"battery__slide_to_mm": 240.0, "battery__slide_from_mm": 130.0}, "B11"),
    ({"battery__slide_from_mm": 95.5}, "B12"),
    ({"targets__all_up_limit_g": 430.0}, "B13"),
    ({"motor__mount_mass_g": 400.0}, "B14"),
    ({"targets__static_margin_pct": 11.0}, "B15"),
    ({"targets__static_margin_pct": 11.0}, "B18"),
    ({"motor__y_mm": 12.0}, "B28"),
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


@pytest.mark.parametrize(("x", "verdict"), [(315.0, None), (303.0, "watch"), (288.0, "no-go")])
def test_parts_in_each_other_are_found(x: float, verdict: str | None) -> None:
    """The fins moved forward on to the slope behind the ridge bite into it, on both sides alike; one finding.

    The aft panel meets the level part at x = 177 + 132 = 309 and rises forward at 9.7 degrees, so a root
    that begins `a` mm ahead of it shares about a*a*tan(9.7)/2*t with the wing.
    """
    tabs_on_the_level_part = {"joint__fin_Z_wing__from_mm": 32.0}
    result = judge(with_values(fin__x_mm=x, **tabs_on_the_level_part), detail="final")
    bites = [finding for finding in result.findings if finding.code == "G13"]
    assert [finding.verdict for finding in bites] == ([verdict] if verdict else [])
    for finding in bites:
        ahead = 309.0 - x
        assert finding.params["volume"] == pytest.approx(ahead**2 * 12.0 / 70.0 / 2.0 * 5.0, rel=0.2)
        assert {"wing/main/aft", "fin/right/plate"} == {finding.where, finding.params["other"]}


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


def told(changes: dict[str, float], code: str) -> list[str]:
    """Cures in words of the findings of one code that are not clear."""
    found = judge(with_values(**changes)).findings
    return [words(f).cure for f in found if f.code == code and f.verdict != "clear"]


def test_a_battery_placed_outside_the_first_flight_window_is_found() -> None:
    """The margin reached keeps to the targets, the margin asked for lies in the window: B17 alone tells.

    Regression: 35 g at the motor, 46 g while it stood 7.5 mm further forward and the battery could go 21 mm
    further forward.
    """
    result = judge(with_values(motor__mount_mass_g=35.0))
    assert result.results is not None
    balance = result.results.balance
    assert balance.first_aft.x + 0.5 < balance.cg[0] < balance.aft.x
    grave = {finding.code for finding in result.findings if finding.verdict != "clear"}
    assert "B17" in grave
    assert not grave & {"B10", "B11"}


def test_ballast_in_words_is_what_the_card_says() -> None:
    heavy_tail = {"motor__mount_mass_g": 70.0}
    result = judge(with_values(**heavy_tail))
    assert result.results is not None
    ballast = result.results.balance.battery.ballast
    assert ballast is not None
    (cure,) = told(heavy_tail, "B11")
    assert f"add {ballast.grams} g at the nose" in cure
    assert "beyond its slide" in cure
    # the limits by statics: what the battery's share of the mass moves, and the margins they stand for
    balance = result.results.balance
    move = (balance.aft.x - balance.battery.cg_x) * balance.battery.mass / balance.battery.battery_mass
    margin = f"static margin {balance.aft.margin_pct:.0f} %"
    assert f"({abs(move):.1f} mm forward to the nearest allowed, {margin})" in cure
    reached = (balance.battery.cg_x * balance.battery.mass + ballast.mass * ballast.x) / (
        balance.battery.mass + ballast.mass
    )
    assert reached == pytest.approx(balance.first_aft.x, abs=1e-6)
    assert f"first-flight window (static margin {balance.first_aft.margin_pct:.0f} %)" in cure


def test_a_battery_too_long_for_the_bay_is_told_once() -> None:
    short_bay = {"battery__slide_from_mm": 100.0, "battery__slide_to_mm": 150.0}
    assert len(told(short_bay, "B01")) == 3
    assert told(short_bay, "B11") == told(short_bay, "B12") == []


def test_below_the_stall_there_is_no_cruise_trim_to_judge() -> None:
    """Launch is no faster than cruise, so T10 has spoken."""
    result = judge(with_values(targets__launch_speed_m_s=5.0, targets__cruise_speed_m_s=5.5))
    codes = {finding.code for finding in result.findings if finding.verdict != "clear"}
    assert "T10" in codes
    assert "T13" not in {finding.code for finding in result.findings}


def test_a_cure_is_worked_out_with_the_evaluations_own_judgement_values() -> None:
    """Flaps of half the strength: the elevon needs more travel, and the cure must say how much more."""
    weak = assumptions_for(marram(), workshop()).changed("flap_effectiveness", 0.4, 0.05, "test")
    result = evaluate(marram(), workshop(), built_in_stock(), weak, "interactive")
    finding = next(f for f in result.findings if f.code == "T11")
    assert finding.verdict != "clear"
    cures = {cure.key: cure for cure in find_cures(result, finding)}
    travel = cures["wing.control.elevon.up_deg"]
    assert result.results is not None
    # 60 % of the travel may go into trim
    assert travel.after >= abs(result.results.trims.launch.delta.value) / 0.6 - 1e-9


def test_a_cure_between_two_bounds_is_found() -> None:
    """400 g at y = 15 mm: clear from 12 to 18 of the 20 steps the key may go, not half way nor at the end."""
    changes = {"equipment__camera__mass_g": 400.0, "equipment__camera__y_mm": 15.0}
    spoilt = judge(with_values(**changes, targets__all_up_limit_g=1200.0))
    finding = next(f for f in spoilt.findings if f.code == "B16")
    assert finding.verdict != "clear"
    assert spoilt.results is not None
    (cure,) = [c for c in find_cures(spoilt, finding) if c.key == "equipment.camera.y_mm"]
    # statics: |400 y| / all-up <= 2 mm
    assert cure.after == int(2.0 * spoilt.results.balance.mass.value / 400.0)


def test_an_alternative_battery_wider_than_the_body_is_found() -> None:
    """Sides 44 mm apart outside, 34 inside: 31 mm go in, 35 mm do not."""
    data = plain().model_dump(mode="json", exclude_none=True)
    data["battery"] |= {"stock": "lipo-3s-850", "alternatives": ["lipo-3s-1300"]}
    body = next(part for part in data["part"] if part["id"] == "body")
    for station in body["station"]:
        station["width_mm"] = 44.0
    narrow = rebuilt(data)
    assert narrow is not None
    rooms = {f.where: f.verdict for f in judge(narrow).findings if f.code == "G81"}
    assert rooms == {"battery.stock": "clear", "battery.alternatives.lipo-3s-1300": "watch"}


def test_the_battery_mark_stands_where_the_battery_does() -> None:
    """A battery 5 mm to the right has its mark there too, as wide as it is."""
    result = judge(with_values(battery__y_mm=5.0))
    assert result.results is not None
    (mark,) = [one for one in mark_requests(result.results.subject) if one.name == "battery-front"]
    assert [y for _, y, _ in mark.points] == [5.0 - 17.5, 5.0 + 17.5]
    assert mark.points[0][0] == result.results.balance.battery.front


@pytest.mark.parametrize(
    ("changes", "code", "key", "after"),
    [
        # 30 mm only 34 mm behind the leading edge: lower to 25.8 mm, so 25.5 by half millimetres; or 5 mm aft
        ({"wing__spar__x_mm": 34.0, "wing__spar__height_mm": 30.0}, "G20", "wing.spar.height_mm", 25.5),
        ({"wing__spar__x_mm": 34.0, "wing__spar__height_mm": 30.0}, "G20", "wing.spar.x_mm", 39.0),
        # hinge 5 mm behind the strip's edge at the least: 220 - 132 - 5 = 83 mm
        ({"wing__control__elevon__chord_mm": 86.0}, "G29", "wing.control.elevon.chord_mm", 83.0),
    ],
)
def test_geometry_findings_have_computed_cures(
    changes: dict[str, float], code: str, key: str, after: float
) -> None:
    """Expected values by hand from the closed forms of the wing section."""
    spoilt = judge(with_values(**changes))
    assert spoilt.results is None
    finding = next(f for f in spoilt.findings if f.code == code)
    found = {cure.key: cure.after for cure in find_cures(spoilt, finding)}
    assert found[key] == pytest.approx(after, abs=0.5)
    healed = judge(with_values(**(changes | {key.replace(".", "__"): found[key]})))
    assert code not in {f.code for f in healed.findings}


def test_equipment_outside_is_found_and_brought_back() -> None:
    """The camera, 38 mm long, with its middle 60 mm ahead of the nose: 60 - 19 = 41 mm from the board there.

    20 mm are allowed, so it comes back by 21 mm.
    """
    spoilt = judge(with_values(equipment__camera__x_mm=-60.0))
    finding = next(f for f in spoilt.findings if f.code == "G86" and f.verdict != "clear")
    assert finding.value == pytest.approx(41.0)
    assert "41 mm from body/nose-former" in words(finding).says
    assert "Move it 41 mm aft" in words(finding).cure
    cures = {cure.key: cure.after for cure in find_cures(spoilt, finding)}
    assert cures["equipment.camera.x_mm"] == pytest.approx(-39.0)


def test_equipment_within_the_aeroplanes_box_but_far_from_board_is_found() -> None:
    """Beside the nose and ahead of the wing: inside the box round the whole, in the open air."""
    spoilt = judge(with_values(equipment__camera__y_mm=200.0))
    finding = next(f for f in spoilt.findings if f.code == "G86" and f.verdict != "clear")
    assert finding.where == "equipment.camera.x_mm"
    assert finding.value is not None
    assert finding.value > 60.0
    assert "Move it" in words(finding).cure


def test_a_battery_in_the_tray_is_found_and_raised() -> None:
    """6 mm lower than the demo's it stands in the tray; upward is the way out."""
    height = marram().battery.z_mm
    spoilt = judge(with_values(battery__z_mm=height - 6.0))
    finding = next(f for f in spoilt.findings if f.code == "G85" and f.where == "battery.z_mm")
    assert finding.verdict == "no-go"
    cures = {cure.key: cure.after for cure in find_cures(spoilt, finding)}
    assert height - 6.0 < cures["battery.z_mm"] <= height


def test_a_battery_through_a_former_is_a_no_go() -> None:
    """The slide runs past the former at x 172; a battery fixed across it cannot go in."""
    changes = {"battery__slide_to_mm": 230.0, "battery__x_mm": 170.0}
    found = [f for f in judge(with_values(**changes)).findings if f.code == "G85" and f.verdict == "no-go"]
    assert found
    assert any("saddle-former" in words(f).says for f in found)
