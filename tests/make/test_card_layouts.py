"""The setup card of other layouts: ways, places, mixing, and still one page."""

from __future__ import annotations

import io
import math
from dataclasses import replace

import numpy as np
import pytest
from pypdf import PdfReader

from foldwright.airframe.model import JointShown, Placed
from foldwright.evaluate import Evaluation
from foldwright.flight.controls import rigged
from foldwright.geometry.fold.flat import transforms
from foldwright.geometry.fold.model import SQUARE, Blank, Fold, Panel
from foldwright.make.card import card_pdf
from foldwright.make.card_controls import LEFT_RIGHT, UP_DOWN, clearance, upward, ways_of
from foldwright.make.card_data import card, leading_edge
from foldwright.make.card_picture import balance_picture
from foldwright.make.card_words import sheet_words
from foldwright.make.drawing import Text
from tests.make.evaluations import marram, results
from tests.make.layout_samples import canard, control, fin, layout, surface, tailplane, v_tail


def tailed() -> Evaluation:
    return layout(
        "elevator",
        tailplane(control("elevator", "elevator", 0.0, 150.0, 30.0)),
        fin(control("rudder", "rudder", 10.0, 120.0, 35.0)),
        wing=(
            control("aileron", "aileron", 180.0, 320.0, 40.0),
            control("flap", "flap", 40.0, 178.0, 40.0),
        ),
        motors=2,
    )


def text(evaluation: Evaluation) -> str:
    reader = PdfReader(io.BytesIO(card_pdf(evaluation)))
    assert len(reader.pages) == 1
    return " ".join(reader.pages[0].extract_text().split())


def test_a_tailed_aeroplane_names_every_control_and_its_way() -> None:
    """Stick back lifts the elevator's edge, stick right the right aileron's, pedals right: edge right."""
    data = card(tailed())
    assert [row["name"] for row in data["controls"]] == ["elevator", "aileron", "flap", "rudder"]
    assert data["right_way"] == [
        "stick back, elevator up",
        "stick right, right aileron up and left one down",
        "rudder right, rudder to the right",
        "flap switch, both flaps down",
    ]
    assert data["mixing"] == []
    assert data["thrust"]["motors"] == 2


def test_only_what_trims_has_a_neutral_and_throws_are_sines() -> None:
    """35 mm at 20 degrees: 12.0 mm either way (first principles); fins go left and right."""
    rows = {row["name"]: row for row in card(tailed())["controls"]}
    assert rows["elevator"]["neutral_up_mm"]["value"] is not None
    assert rows["rudder"]["neutral_up_mm"] is None
    reach = 35.0 * math.sin(math.radians(20.0))
    assert [(one["way"], one["mm"]) for one in rows["rudder"]["throws"]] == [
        ("left", pytest.approx(reach, abs=0.05)),
        ("right", pytest.approx(reach, abs=0.05)),
    ]
    assert rows["rudder"]["station"] == {"mm": 10.0, "from": "root"}
    assert rows["aileron"]["station"] == {"mm": 180.0, "from": "centre line"}


def test_a_canard_turns_the_other_way() -> None:
    """Marram's neutral is up; on a surface ahead of the wing the same pitch is trailing edge down."""
    made = layout("elevator", canard(control("elevator", "elevator", 0.0, 120.0, 30.0)), rear=True)
    row = card(made)["controls"][0]
    own = card(marram())["controls"][0]
    assert own["neutral_up_mm"]["value"] > 0.0
    turned = -own["neutral_up_mm"]["value"] * 30.0 / 48.0
    assert row["neutral_up_mm"]["value"] == pytest.approx(turned, abs=0.06)
    assert card(made)["right_way"] == ["stick back, canard elevator down"]
    assert "mm down" in text(made)


def test_a_v_tail_mixes_pitch_and_yaw() -> None:
    """Rudder right: lifts along the panels' normals push the tail left with the right one down; hanging,
    the other way round (flight.controls).
    """
    moving = control("ruddervator", "ruddervator", 10.0, 150.0, 30.0)
    data = card(layout("ruddervator", v_tail(moving)))
    assert data["right_way"] == [
        "stick back, both ruddervators up",
        "rudder right, right ruddervator down and left one up",
    ]
    assert "V-tail" in data["mixing"][0]
    hung = card(layout("ruddervator", v_tail(moving, rise_deg=-40.0)))
    assert hung["right_way"][1] == "rudder right, right ruddervator up and left one down"
    words = sheet_words(data)
    assert "yaw the same" in " ".join(words["controls"])


def test_up_of_a_surface_is_aft_times_outward() -> None:
    level, stood = surface("a", (0, 0, 0), 100.0, 50.0, "wing"), fin()
    assert upward(level) == pytest.approx([0.0, 0.0, 1.0])
    assert upward(stood) == pytest.approx([0.0, -1.0, 0.0])  # up is left on a fin
    hanging = surface("b", (0, 0, 0), 100.0, 50.0, "fin", rise_deg=-90.0)
    assert upward(hanging) == pytest.approx([0.0, -1.0, 0.0])
    vee = upward(v_tail(rise_deg=45.0))
    assert vee == pytest.approx([0.0, -math.sqrt(0.5), math.sqrt(0.5)])
    assert (ways_of(level), ways_of(stood)) == (UP_DOWN, LEFT_RIGHT)


@pytest.mark.parametrize(("side", "closes"), [(1.0, "right"), (-1.0, "left")])
def test_a_rudders_bevel_is_found_on_its_side(side: float, closes: str) -> None:
    """A fin in the x-z plane whose face A looks to `side` and has its bevel on face A: the rudder closes
    towards face A, so its edge goes to that side (first principles).
    """
    moving = replace(control("rudder", "rudder", 0.0, 100.0, 40.0), fold_names=("hinge",))
    stood = fin(moving)
    front = Panel("plate", np.array([(0.0, 0.0), (60, 0), (60, 100), (0, 100)]), (SQUARE,) * 4)
    back = Panel("rudder", np.array([(60.0, 0.0), (100, 0), (100, 100), (60, 100)]), (SQUARE,) * 4)
    # the child lies to the left of p -> q: going down at u = 60 has +u on its left
    top, foot = np.array([60.0, 100.0]), np.array([60.0, 0.0])
    hinge = Fold("hinge", "plate", "rudder", top, foot, "live", "b", "a", 0.0, 0.5)
    place = np.eye(4)
    # u aft, v up or down so that face A (w) looks to `side`
    place[:3, :3] = np.column_stack([(1.0, 0, 0), (0, 0, -side), (0, side, 0)])
    blank = Blank("fin/main", 5.0, (front, back), (hinge,), "plate", place)
    base = layout("rudder", stood, wing=results(marram()).airframe.wing.controls)
    airframe = replace(results(base).airframe, placed=(Placed("fin", blank, transforms(blank)),))
    one = next(each for each in rigged(airframe.surfaces) if each.control.id == "rudder")
    left, right = clearance(airframe, one)
    free, limited = (left, right) if closes == "right" else (right, left)
    assert (free, limited) == (math.pi / 2.0, 0.5)


def test_cautions_follow_the_propeller_and_what_comes_off() -> None:
    said = " ".join(card(tailed())["cautions"])
    assert "Propellers: arm them last" in said
    assert "if one stops, close the throttle" in said
    single = layout("elevator", tailplane(control("elevator", "elevator", 0.0, 150.0, 30.0)))
    assert "Front propeller: hand and sleeve well behind it" in " ".join(card(single)["cautions"])
    found = results(single)
    banded = JointShown("seat", "band_on", ("wing", "body"), (), (), glued=False)
    airframe = replace(found.airframe, joints=(banded,))
    loose = card(replace(single, results=replace(found, airframe=airframe)))
    assert loose["comes_off"] == ["wing"]
    assert "battery, wing fast" in " ".join(loose["cautions"])


def test_washout_and_a_swept_leading_edge_are_said() -> None:
    """Tip chord 160 mm, 3 degrees: 8.4 mm (first principles). The edge runs 100 mm aft over 330 mm."""
    found = results(marram())
    wing = found.airframe.wing
    le = wing.le + np.array([[0.0, 0.0, 0.0], [100.0, 0.0, 0.0]])
    swept = replace(wing, le=le, chord=np.array([220.0, 160.0]), washout=np.array([0.0, math.radians(3.0)]))
    airframe = replace(found.airframe, surfaces=(swept,))
    data = card(replace(marram(), results=replace(found, airframe=airframe)))
    assert data["washout"] == {"tip_deg": 3.0, "trailing_edge_up_mm": 8.4}
    marks = data["balance"]["marks_from_centre_line_mm"]
    share = marks / float(wing.le[-1, 1]) * 100.0
    assert data["balance"]["le_aft_of_root_at_marks_mm"] == pytest.approx(share, abs=0.06)
    straight = card(marram())["balance"]["point"]["behind_le_mm"]
    assert data["balance"]["point"]["behind_le_mm"] == pytest.approx(straight - share, abs=0.11)
    words = sheet_words(data)
    assert any("nose-down against the root" in line for line in words["measure"])
    assert "at the marks" in words["big"][0]["note"]


def test_a_balance_ahead_of_the_wing_is_said_as_ahead() -> None:
    data = card(marram())
    for name, value in (("forward_limit", -40.0), ("point", -31.5), ("first_aft_limit", -24.0)):
        data["balance"][name]["behind_le_mm"] = value
    words = sheet_words(data)
    assert words["big"][0]["value"] == "31.5"
    assert words["big"][0]["note"].startswith("ahead of the leading edge. First flights: 40 to 24 mm ahead.")
    assert "under the body, 31.5 mm ahead of the wing's leading edge, battery in" in words["measure"][0]
    assert words["warning"] == ""


def test_the_picture_of_a_balance_ahead_of_the_wing_stays_inside() -> None:
    found = results(marram())
    balance = found.balance
    lead = leading_edge(found)
    made = replace(
        balance,
        forward=replace(balance.forward, x=lead - 21.0),
        placed=replace(balance.placed, x=lead - 4.4),
        first_aft=replace(balance.first_aft, x=lead - 1.6),
    )
    results_ = replace(found, balance=made)
    data = card(replace(marram(), results=results_))
    assert data["balance"]["point"]["behind_le_mm"] == -4.4
    for item in balance_picture(results_, data, 116.0).items:
        if isinstance(item, Text):
            assert item.at[0] >= 0.0, item
            assert item.align != "right", item


def test_every_layout_is_one_page_with_its_controls() -> None:
    said = text(tailed())
    for words in ("Other control", "aileron (2)", "13.7 up, 13.7 down", "12 left, 12 right", "2 of each"):
        assert words in said, words
