"""Transport, throw, legs, payload bays, colours, two motors: the demo with tables added, sums by hand.

Demo: body from x 0 to 397 mm, underside at z -25, 56 mm wide as far as x 317; propeller plane at x 414,
thrust line at z 12, propeller 127 mm; span 660 mm; balance point near x 211.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from foldwright.airframe.model import JointShown
from foldwright.base.messages import words
from foldwright.cure import find_cures
from foldwright.review.transport import transport
from tests.review.samples import judged, one, subject_of, with_tables
from tests.world import judge, marram

LEG = {"id": "main", "x_mm": 200.0, "y_mm": 15.0, "z_mm": -25.0, "long_mm": 60.0, "mirrored": True}
NOSE = {"id": "nose", "x_mm": 60.0, "y_mm": 0.0, "z_mm": -25.0, "long_mm": 60.0}
BAY = {"id": "payload", "x_mm": 285.0, "z_mm": -5.0, "size_mm": [30.0, 30.0, 20.0]}


def targets(**changes: Any) -> dict[str, Any]:
    return {"targets": changes}


def test_rules_about_what_a_design_does_not_have_say_nothing() -> None:
    subject = subject_of(marram())
    for code in ("B19", "B20", "B21", "B22", "B23", "B24", "B25", "B26", "B27", "B29"):
        assert judged(subject, code) == (), code


# --- transport ------------------------------------------------------------------------------------


def test_the_aeroplane_whole_is_as_long_wide_and_high_as_drawn() -> None:
    """Fins reach aft to x 440 (315 + 60 + 65); 660 mm of span; fins 125 mm above the wing's board."""
    found = transport(subject_of(marram()).airframe)
    assert found.whole == pytest.approx((440.0, 660.0, 180.0), abs=1.0)


def test_what_is_not_glued_comes_off_and_the_rest_stays_together() -> None:
    airframe = subject_of(marram()).airframe
    joints = (
        JointShown("fin-wing", "slot_tab", ("fin", "wing"), (), (), True),
        JointShown("wing-body", "saddle", ("wing", "body"), (), (), False),
    )
    found = transport(replace(airframe, joints=joints))
    assert found.comes_apart
    assert [piece.parts for piece in found.parts] == [("wing", "fin"), ("body",)]
    body = found.parts[1].size
    assert body == pytest.approx((397.0, 56.0, 55.0), abs=1.0)
    assert found.largest[0] == pytest.approx(660.0)
    glued = transport(replace(airframe, joints=(joints[0], replace(joints[1], glued=True))))
    assert not glued.comes_apart


def test_a_part_that_no_joint_tells_of_stays_with_the_wing() -> None:
    airframe = subject_of(marram()).airframe
    off = JointShown("wing-body", "saddle", ("wing", "body"), (), (), False)
    found = transport(replace(airframe, joints=(off,)))
    assert {piece.parts for piece in found.parts} == {("wing", "fin"), ("body",)}


@pytest.mark.parametrize(
    ("box", "verdict", "over"),
    [
        ((700.0, 450.0, 200.0), "clear", 0.0),
        ((200.0, 700.0, 450.0), "clear", 0.0),
        ((600.0, 450.0, 200.0), "watch", 60.0),
    ],
)
def test_transport_box(box: tuple[float, float, float], verdict: str, over: float) -> None:
    """The box may lie on any side."""
    finding = one(subject_of(with_tables(targets={"transport_mm": list(box)})), "B19")
    assert (finding.verdict, finding.where, finding.params["over"]) == (verdict, "targets.transport_mm", over)


# --- hand -----------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("grip", "code", "verdict", "value", "says"),
    [
        ({"x_mm": 200.0}, "G84", "clear", 421.5 - 240.0, "the rear edge of the hand"),
        ({"x_mm": 300.0}, "G84", "no-go", 421.5 - 340.0, "82 mm"),
        ({"x_mm": 200.0}, "B22", "clear", None, "ahead of"),
        ({"x_mm": 300.0}, "B22", "watch", None, "behind"),
        ({"x_mm": 200.0}, "B23", "clear", 0.0, "x 160 to 240"),
        ({"x_mm": 20.0}, "B23", "watch", 20.0, "20 mm of that"),
    ],
)
def test_the_hand(grip: dict[str, float], code: str, verdict: str, value: float | None, says: str) -> None:
    subject = subject_of(with_tables(grip=grip))
    finding = one(subject, code)
    expected = float(subject.balance.cg[0]) - grip["x_mm"] if value is None else value
    assert (finding.verdict, finding.where) == (verdict, "grip.x_mm")
    assert finding.value == pytest.approx(expected, abs=1e-3)
    assert says in words(finding).says


def test_a_hand_too_near_the_propeller_has_a_cure() -> None:
    """81.5 mm are left, 421.5 - 340; 18.5 mm forward leave 100 mm, and cures are whole mm: 19."""
    spoilt = judge(with_tables(grip={"x_mm": 300.0}))
    finding = next(f for f in spoilt.findings if f.code == "G84")
    cures = {cure.key: cure.after for cure in find_cures(spoilt, finding)}
    assert cures["grip.x_mm"] == pytest.approx(281.0)


# --- legs -----------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("legs", "code", "verdict", "where", "value"),
    [
        ([LEG], "B24", "clear", "leg.main.z_mm", 0.0),
        ([{**LEG, "z_mm": -45.0}], "B24", "watch", "leg.main.z_mm", 20.0),
        # beside the body, which is 56 mm wide, ahead of the wing: no board there, so its own length counts
        ([{**LEG, "x_mm": 100.0, "y_mm": 60.0}], "B24", "watch", "leg.main.z_mm", 60.0),
        ([LEG], "B26", "clear", "leg.main.long_mm", 12.0 - 63.5 + 85.0),
        ([{**LEG, "long_mm": 35.0}], "B26", "watch", "leg.main.long_mm", 12.0 - 63.5 + 60.0),
    ],
)
def test_legs(legs: list[dict[str, Any]], code: str, verdict: str, where: str, value: float) -> None:
    finding = one(subject_of(with_tables(leg=legs)), code)
    assert (finding.verdict, finding.where) == (verdict, where)
    assert finding.value == pytest.approx(value, abs=0.1)


@pytest.mark.parametrize(
    ("legs", "x", "verdict", "says"),
    [
        ([LEG], 200.0, "clear", "ahead of"),
        ([LEG], 240.0, "watch", "behind the balance point; it should stand ahead"),
        ([LEG, NOSE], 235.0, "clear", "behind"),
        ([LEG, NOSE], 200.0, "watch", "it should stand behind it, a nose leg"),
    ],
)
def test_main_legs_and_balance_point(legs: list[dict[str, Any]], x: float, verdict: str, says: str) -> None:
    placed = [{**leg, "x_mm": x} if leg["id"] == "main" else leg for leg in legs]
    finding = one(subject_of(with_tables(leg=placed)), "B25")
    assert (finding.verdict, finding.where) == (verdict, "leg.main.x_mm")
    assert says in words(finding).says


@pytest.mark.parametrize(
    ("leg", "code", "key", "after"),
    [
        # 15 mm above the ground: 12 - 63.5 + 25 + long
        ({**LEG, "long_mm": 35.0}, "B26", "leg.main.long_mm", 42.0),
        ({**LEG, "z_mm": -45.0}, "B24", "leg.main.z_mm", -28.0),
    ],
)
def test_legs_have_computed_cures(leg: dict[str, Any], code: str, key: str, after: float) -> None:
    spoilt = judge(with_tables(leg=[leg]))
    finding = next(f for f in spoilt.findings if f.code == code and f.verdict != "clear")
    cures = {cure.key: cure.after for cure in find_cures(spoilt, finding)}
    assert cures[key] == pytest.approx(after, abs=1.0)


# --- payload bays ---------------------------------------------------------------------------------


def bay(**changes: Any) -> dict[str, Any]:
    return {"bay": [{**BAY, **changes}]}


def test_a_free_bay_is_clear() -> None:
    subject = subject_of(with_tables(**bay()))
    assert [one(subject, code).verdict for code in ("B20", "B21")] == ["clear", "clear"]


@pytest.mark.parametrize(
    ("changes", "code", "verdict", "name"),
    [
        ({"x_mm": 227.0}, "B20", "watch", "receiver stands in it"),
        (
            {"x_mm": 24.0, "z_mm": 0.0, "size_mm": [60.0, 46.0, 50.0], "holds": ["camera"]},
            "B20", "clear", "Nothing",
        ),
        ({"x_mm": 60.0, "z_mm": 0.0, "holds": ["camera"]}, "B20", "watch", "camera reaches out of it"),
        ({"z_mm": -18.0}, "B21", "no-go", "body/main floor"),
    ],
)  # fmt: skip
def test_a_bay_that_is_not_free(changes: dict[str, Any], code: str, verdict: str, name: str) -> None:
    finding = one(subject_of(with_tables(**bay(**changes))), code)
    assert (finding.verdict, finding.where) == (verdict, "bay.payload")
    assert name in words(finding).says


def test_a_bay_in_the_floor_has_a_cure() -> None:
    """Its under face lies through the floor's 5 mm of board, whose inside is at z -20: up until 1 mm is left,
    which foam gives way to."""
    spoilt = judge(with_tables(**bay(z_mm=-18.0)))
    finding = next(f for f in spoilt.findings if f.code == "B21")
    cures = {cure.key: cure.after for cure in find_cures(spoilt, finding)}
    assert -13.0 <= cures["bay.payload.z_mm"] <= -10.0


# --- colours and motors ---------------------------------------------------------------------------


@pytest.mark.parametrize(("under", "verdict"), [(20.0, "clear"), (60.0, "watch")])
def test_top_and_underside_told_apart(under: float, verdict: str) -> None:
    tell = {"top": "white", "under": "grey", "top_light_pct": 90.0, "under_light_pct": under}
    finding = one(subject_of(with_tables(tell=tell)), "B27")
    assert (finding.verdict, finding.value, finding.where) == (verdict, 90.0 - under, "tell.under_light_pct")


def test_colours_have_a_cure() -> None:
    tell = {"top": "white", "under": "grey", "top_light_pct": 90.0, "under_light_pct": 60.0}
    spoilt = judge(with_tables(tell=tell))
    finding = next(f for f in spoilt.findings if f.code == "B27")
    (cure,) = find_cures(spoilt, finding)
    assert cure.key == "tell.under_light_pct"
    assert cure.after == pytest.approx(50.0)


@pytest.mark.parametrize(
    ("motor", "code", "verdict", "value"),
    [
        ({"y_mm": 0.0}, "B28", "clear", 0.0),
        ({"y_mm": -10.0}, "B28", "watch", 10.0),
        ({"y_mm": 90.0, "mirrored": True}, "B28", "clear", 0.0),
        ({"y_mm": 90.0, "mirrored": True}, "B29", "clear", 180.0 - 127.0),
        ({"y_mm": 66.0, "mirrored": True}, "B29", "watch", 132.0 - 127.0),
        ({"y_mm": 60.0, "mirrored": True}, "B29", "no-go", 120.0 - 127.0),
    ],
)
def test_motors_beside_each_other(motor: dict[str, Any], code: str, verdict: str, value: float) -> None:
    finding = one(subject_of(with_tables(motor=motor)), code)
    assert (finding.verdict, finding.where) == (verdict, "motor.y_mm")
    assert finding.value == pytest.approx(value)
