"""Equipment wired, reached, cooled, out of the way of camera and radio: places where the answer is known."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from foldwright.airframe.model import Bar, Gap
from foldwright.base.finding import Finding
from foldwright.base.messages import words
from foldwright.design.equipment import Item, Look, Wire
from foldwright.design.load import built_in_stock
from foldwright.design.resolve import FittedItem, fit
from foldwright.evaluate import evaluate
from foldwright.review import installation
from foldwright.review.distance import apart, to_box
from foldwright.review.sight import directions
from foldwright.review.subject import Subject
from foldwright.review.wiring import runs
from tests.world import evaluated, marram, workshop


def _subject() -> Subject:
    results = evaluated(detail="interactive").results
    assert results is not None
    return results.subject


def _with_item(name: str, **changes: Any) -> Subject:
    """The demo with the keys of one item changed, its equipment resolved again."""
    subject = _subject()
    design = marram()
    items = tuple(
        Item.model_validate(item.model_dump() | changes) if item.id == name else item
        for item in design.equipment
    )
    changed = design.model_copy(update={"equipment": items})
    fitted = fit(changed, workshop(), built_in_stock()).value
    assert fitted is not None
    return replace(subject, design=changed, fitted=fitted)


def _of(found: tuple[Finding, ...], code: str) -> list[Finding]:
    for finding in found:
        said = words(finding)
        assert said.says
        assert said.cure
    return [finding for finding in found if finding.code == code]


def test_segments_that_cross_touch_and_lie_beside_each_other() -> None:
    x = np.array([(0.0, 0.0, 0.0), (10.0, 0.0, 0.0)])
    # first principles: square crossing 3 above; parallel at 4; end to end 5 apart; a 3-4-5 triangle
    assert apart(x, np.array([(5.0, -5.0, 3.0), (5.0, 5.0, 3.0)])) == pytest.approx(3.0)
    assert apart(x, np.array([(2.0, 4.0, 0.0), (8.0, 4.0, 0.0)])) == pytest.approx(4.0)
    assert apart(x, np.array([(15.0, 0.0, 0.0), (20.0, 0.0, 0.0)])) == pytest.approx(5.0)
    assert apart(x, np.array([(13.0, 4.0, 0.0), (20.0, 30.0, 0.0)])) == pytest.approx(5.0)


def test_segment_and_box() -> None:
    centre, size = np.zeros(3), np.array([10.0, 10.0, 10.0])
    assert to_box(np.array([(20.0, 0.0, 0.0), (30.0, 0.0, 0.0)]), centre, size) == pytest.approx(15.0)
    assert to_box(np.array([(-20.0, 0.0, 8.0), (20.0, 0.0, 8.0)]), centre, size) == pytest.approx(3.0)
    assert to_box(np.array([(-20.0, 0.0, 0.0), (20.0, 0.0, 0.0)]), centre, size) == pytest.approx(
        0.0, abs=1e-6
    )


def test_the_picture_looks_forward_right_and_down() -> None:
    """Forward is -x, right +y, up +z (the frame of the house)."""

    def middle(**turned: float) -> list[float]:
        rays = directions(Look(lens_mm=(0.0, 0.0, 0.0), wide_deg=60.0, high_deg=40.0, **turned))
        return [round(float(v), 9) + 0.0 for v in rays[len(rays) // 2]]

    assert middle() == [-1.0, 0.0, 0.0]
    assert middle(side_deg=90.0) == [0.0, 1.0, 0.0]
    assert middle(side_deg=180.0) == [1.0, 0.0, 0.0]
    assert middle(down_deg=90.0) == [0.0, 0.0, -1.0]


def test_a_camera_ahead_of_the_nose_sees_freely_and_one_behind_it_does_not() -> None:
    look = {"lens_mm": (-1.0, 0.0, 0.0), "wide_deg": 80.0, "high_deg": 50.0}
    (free,) = _of(installation.view(_with_item("camera", look=look)), "I15")
    assert (free.verdict, free.value) == ("clear", 0.0)
    inside = _with_item("camera", look=look | {"lens_mm": (40.0, 0.0, 0.0)})
    (shut,) = _of(installation.view(inside), "I15")
    assert (shut.verdict, shut.value) == ("watch", 100.0)
    # looking aft from above the tail it looks into the propeller: the disc fills most of a narrow picture
    aft = {"lens_mm": (380.0, 0.0, 12.0), "wide_deg": 20.0, "high_deg": 20.0, "side_deg": 180.0}
    (spinning,) = _of(installation.view(_with_item("camera", look=aft)), "I15")
    assert spinning.verdict == "watch"


def test_antennas_keep_clear_of_carbon_and_battery_and_stand_square() -> None:
    ends = [{"foot_mm": (227.0, 0.0, 0.0), "tip_mm": (300.0, 0.0, 60.0)}]
    subject = _with_item("receiver", antenna=ends)
    (clear,) = _of(installation.radio(subject), "I16")
    assert clear.verdict == "clear"
    bar = Bar("spar", np.array([(239.0, -330.0, 40.0), (239.0, 330.0, 40.0)]), 6.0, 6.0, "carbon", "tube")
    near = replace(subject, airframe=replace(subject.airframe, bars=(bar,)))
    (found,) = _of(installation.radio(near), "I16")
    assert found.verdict == "watch"
    assert "carbon" in str(found.params["what"])
    wood = replace(subject, airframe=replace(subject.airframe, bars=(replace(bar, material="wood"),)))
    assert _of(installation.radio(wood), "I16")[0].verdict == "clear"
    both = [*ends, {"foot_mm": (227.0, 0.0, 0.0), "tip_mm": (300.0, 5.0, 60.0)}]
    (beside,) = _of(installation.radio(_with_item("receiver", antenna=both)), "I17")
    assert beside.verdict == "watch"
    square = [*ends, {"foot_mm": (227.0, 0.0, 0.0), "tip_mm": (227.0, 90.0, 0.0)}]
    assert _of(installation.radio(_with_item("receiver", antenna=square)), "I17")[0].verdict == "clear"


def test_heat_wants_an_inlet_and_a_larger_outlet() -> None:
    assert installation.air(_subject()) == ()  # 2 W are let out by the foam itself
    hot = _with_item("controller", heat_w=5.0)
    (found,) = _of(installation.air(hot), "I18")
    # 5 W x 40 mm² per watt, and 1.5 times that behind
    assert (found.verdict, found.params["need"], found.params["need_out"]) == ("watch", 200, 300)
    hole = Gap("body.in", "inlet", np.zeros(3), np.array([0.0, 0.0, -1.0]), (20.0, 10.0), 200.0)
    out = replace(hole, id="body.out", role="outlet", area=300.0)
    aired = replace(hot, airframe=replace(hot.airframe, gaps=(hole, out)))
    assert _of(installation.air(aired), "I18")[0].verdict == "clear"


def test_the_regulator_and_the_controller_carry_their_loads() -> None:
    found = installation.supply(_subject())
    assert [(f.code, f.verdict) for f in found] == [("I19", "clear"), ("I20", "clear")]
    assert _of(found, "I19")[0].value == pytest.approx(2 * 0.7 + 0.1)  # two servos, one receiver: the stock
    over = _with_item("servo", current_a=1.2)
    assert _of(installation.supply(over), "I19")[0].verdict == "watch"
    small = _with_item("controller", stock="esc-12a")
    assert _of(installation.supply(small), "I20")[0].verdict == "watch"


def _wired(subject: Subject, **wire: Any) -> Subject:
    table = Wire.model_validate({"id": "lead", "ends": ("battery", "controller")} | wire)
    return replace(subject, design=subject.design.model_copy(update={"wire": (table,)}))


def test_a_plug_passes_or_does_not() -> None:
    gap = Gap("body.slot", "lead", np.zeros(3), np.array([-1.0, 0, 0]), (24.0, 18.0), 24.0 * 18.0)
    subject = replace(_subject(), airframe=replace(_subject().airframe, gaps=(gap,)))
    through = _wired(subject, through=("body.slot",))
    (passes,) = _of(installation.connectors(through), "I10")
    assert passes.verdict == "clear"  # the battery's plug is 16 x 8 mm
    (stuck,) = _of(
        installation.connectors(_wired(subject, through=("body.slot",), connector_mm=(20.0, 19.0))), "I10"
    )
    assert (stuck.verdict, stuck.value) == ("no-go", 1.0)
    # through a round hole of 17 mm the diagonal of 17.9 mm does not go, though 16 is less than 17
    ring = replace(gap, size=(17.0, 17.0), area=np.pi / 4.0 * 17.0**2)
    tight = replace(through, airframe=replace(subject.airframe, gaps=(ring,)))
    assert _of(installation.connectors(tight), "I10")[0].verdict == "no-go"
    assert _of(installation.connectors(_wired(subject, through=("body.none",))), "I11")[0].verdict == "no-go"
    assert (
        _of(installation.connectors(_wired(subject, ends=("battery", "wing"))), "I12")[0].verdict == "no-go"
    )


def test_short_leads_are_made_up_towards_the_motor() -> None:
    far = _with_item("controller", x_mm=390.0)
    short = [f for f in _of(installation.leads(far), "I13") if f.verdict == "watch"]
    assert len(short) == 1
    assert "lengthen the leads to the motor" in words(short[0]).cure
    near = _with_item("controller", x_mm=200.0)
    short = [f for f in _of(installation.leads(near), "I13") if f.verdict == "watch"]
    assert [f.where for f in short] == ["motor.lead_mm"]


def test_a_wire_runs_past_its_points() -> None:
    subject = _wired(_subject(), via_mm=((200.0, 100.0, 0.0),), length_mm=300.0)
    (run,) = [run for run in runs(subject) if run.id == "lead"]
    item = next(item for item in subject.fitted.items if item.id == "controller")
    battery = subject.balance.battery.rear
    corner = np.array([200.0, 100.0, 0.0])
    # the controller's nearest point to the corner, by clipping to its box
    foot = np.array([item.place_mm[0] - item.size_mm[0] / 2.0, item.size_mm[1] / 2.0, -0.5])
    way = np.linalg.norm(corner - [battery, 0.0, 2.0]) + np.linalg.norm(corner - foot)
    assert run.needed == pytest.approx(1.1 * way)
    assert run.there == 300.0


def test_a_tool_reaches_or_finds_board_in_its_way() -> None:
    found = {
        way: _of(installation.tools(_with_item("receiver", access=way)), "I14")[0].verdict
        for way in ("+z", "-z", "-y")
    }
    # above the receiver is the wing, below the floor, beside it a side of the body
    assert found == {"+z": "watch", "-z": "watch", "-y": "watch"}
    front = _with_item("camera", access="+x", access_long_mm=15.0, access_wide_mm=4.0, z_mm=5.0)
    assert _of(installation.tools(front), "I14")[0].verdict == "clear"


def test_room_kept_free() -> None:
    apart_ = _with_item("controller", keep_out_mm=5.0)
    assert _of(installation.keep_outs(apart_), "I21")[0].verdict == "clear"
    close = _with_item("receiver", keep_out_mm=100.0)
    assert _of(installation.keep_outs(close), "I21")[0].verdict == "watch"


def test_left_items_are_wired_as_mirror_images() -> None:
    ends = [{"foot_mm": (295.0, 110.0, 28.0), "tip_mm": (295.0, 150.0, 60.0)}]
    right, left = (item for item in _with_item("servo", antenna=ends).fitted.items if item.item == "servo")
    assert isinstance(right, FittedItem)
    assert [one[1] for one in right.antennas] == [(295.0, 150.0, 60.0)]
    assert [one[1] for one in left.antennas] == [(295.0, -150.0, 60.0)]


def test_the_demo_has_no_trouble_with_its_equipment() -> None:
    result = evaluate(marram(), workshop(), built_in_stock(), None, "interactive").results
    assert result is not None
    for rule in installation.RULES:
        assert all(finding.verdict == "clear" for finding in rule.judge(result.subject))
