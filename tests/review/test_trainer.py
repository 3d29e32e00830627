"""A whole tailed trainer of flat board judged: clear as drawn, found when spoilt in one number, and cured.

The design stands in trainer.toml, its figures are invented; ranges are common practice without a source.
"""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from pathlib import Path

import numpy as np
import pytest

from foldwright.airframe.marking import place_marks
from foldwright.base.messages import words
from foldwright.cure import changed, find_cures, value_of
from foldwright.design.load import built_in_stock, load_design
from foldwright.design.model import Design
from foldwright.evaluate import Evaluation
from foldwright.geometry.fold.marks import station_of
from foldwright.review.marks import _spot, mark_requests
from foldwright.review.rules import review
from foldwright.review.subject import Subject
from foldwright.review.transport import transport
from tests.review.samples import judged, one, with_tables
from tests.world import judge

SHOP = "club-sheets"


@cache
def trainer() -> Design:
    value = load_design(Path(__file__).parent / "trainer.toml", stock=built_in_stock()).value
    if value is None:
        raise ValueError("the trainer does not load")
    return value


def subject(design: Design | None = None) -> Subject:
    found = judge(design or trainer(), SHOP)
    if found.results is None:
        raise ValueError([words(f).says for f in found.findings if f.verdict == "no-go"])
    return found.results.subject


def spoilt(key: str, value: float) -> Evaluation:
    design = changed(trainer(), key, value)
    if design is None:
        raise ValueError(f"{key} = {value} is refused on reading")
    return judge(design, SHOP)


def test_the_trainer_is_clear_as_drawn() -> None:
    findings = judge(trainer(), SHOP).findings
    assert [(f.code, f.where, words(f).says) for f in findings if f.verdict != "clear"] == []
    assert {"T19", "T20", "T21", "T22", "T23", "T24"} <= {f.code for f in findings}


def test_tail_figures_are_those_of_the_drawing() -> None:
    """By hand: tail 360 x 118 mm at x 585, wing 960 x 185 mm at x 220 (a little less chord for its camber and
    span for its dihedral): 42480 x 348.25 / (177600 x 185) = 0.45; elevator 2 x 158 x 36 of it: 27 %;
    ailerons 2 x 200 x 45: 10 %."""
    flying = subject()
    assert one(flying, "T19").value == pytest.approx(0.45, rel=0.03)
    assert one(flying, "T21").value == pytest.approx(4.0, abs=0.05)
    assert one(flying, "T22").value == pytest.approx(10.1, rel=0.03)
    assert one(flying, "T23").value == pytest.approx(26.8, rel=0.03)


@pytest.mark.parametrize(
    ("key", "value", "code", "where", "cure"),
    [
        ("tail.chord_mm", 90.0, "T19", "tail", "tail.chord_mm"),
        ("fin.taper.root_mm", 90.0, "T20", "fin", "fin.taper.height_mm"),
        ("wing.bay.1.dihedral_deg", 1.0, "T21", "wing.bay.1.dihedral_deg", "wing.bay.1.dihedral_deg"),
        ("wing.control.aileron.chord_mm", 25.0, "T22", "wing.control.aileron.chord_mm",
         "wing.control.aileron.chord_mm"),
        ("tail.control.elevator.chord_mm", 26.0, "T23", "tail.control.elevator.chord_mm",
         "tail.control.elevator.chord_mm"),
        ("motor.z_mm", -55.0, "T14", "motor.tilt_deg", "motor.z_mm"),
    ],
)  # fmt: skip
def test_a_spoilt_number_is_found_and_cured(key: str, value: float, code: str, where: str, cure: str) -> None:
    result = spoilt(key, value)
    grave = [f for f in result.findings if f.verdict != "clear"]
    finding = next(f for f in grave if f.code == code)
    assert (finding.verdict, finding.where) == ("watch", where)
    cures = {found.key: found for found in find_cures(result, finding)}
    assert cure in cures, [words(f).says for f in grave]
    best = cures[cure]
    assert best.before == value_of(result.design, cure)
    healed = changed(result.design, cure, best.after)
    assert healed is not None
    after = {(f.code, f.where) for f in judge(healed, SHOP).findings if f.verdict != "clear"}
    assert (code, where) not in after
    assert after <= {(f.code, f.where) for f in grave}


def test_a_geometry_finding_of_any_part_is_cured_by_the_key_it_stands_at() -> None:
    """A rudder longer than its fin: the finding's own key is tried, whatever its code and its part."""
    result = spoilt("fin.taper.height_mm", 115.0)
    finding = next(f for f in result.findings if f.where == "fin.control.rudder.outer_mm")
    assert (result.results, finding.code[0], finding.verdict) == (None, "G", "no-go")
    cures = {cure.key: cure.after for cure in find_cures(result, finding)}
    assert 100.0 < cures["fin.control.rudder.outer_mm"] <= 115.0


def without(*controls: str) -> Design:
    """The trainer without some of its controls."""
    parts = trainer().model_dump(mode="json", exclude_none=True)["part"]
    for part in parts:
        part["control"] = [each for each in part.get("control", ()) if each["id"] not in controls]
        if not part["control"]:
            del part["control"]
    return with_tables(trainer(), part=parts)


def test_without_ailerons_it_wants_more_dihedral_and_without_a_rudder_too_it_cannot_bank() -> None:
    rudder_only, neither = subject(without("aileron")), subject(without("aileron", "rudder"))
    assert one(rudder_only, "T21").limit == 6.0
    assert one(rudder_only, "T24").verdict == "clear"
    assert one(neither, "T24").verdict == "no-go"


def test_the_banded_wing_comes_off_and_the_tail_stays() -> None:
    found = transport(subject().airframe)
    assert [set(piece.parts) for piece in found.parts] == [{"wing"}, {"tail", "fin", "body"}]
    assert found.whole[1] == pytest.approx(960.0, abs=8.0)
    assert found.parts[1].size[1] == pytest.approx(360.0, abs=1.0)
    packed = with_tables(trainer(), targets={"transport_mm": [980.0, 400.0, 250.0]})
    assert one(subject(packed), "B19").verdict == "clear"
    assert one(
        subject(with_tables(trainer(), targets={"transport_mm": [700.0, 400.0, 250.0]})), "B19"
    ).verdict == ("watch")


def test_balance_marks_lie_under_the_rising_wing_and_on_the_bodys_sides() -> None:
    flying = subject()
    asked = [request for request in mark_requests(flying) if request.name == "balance"]
    airframe, lost = place_marks(flying.airframe, asked)
    assert lost == ()
    found = [
        (placed.part, mark, station_of(placed.blank, mark, placed.transforms))
        for placed in airframe.placed
        for mark in placed.blank.marks
        if mark.name == "balance"
    ]
    assert sorted(part for part, _, _ in found) == ["body", "body", "wing", "wing"]
    for part, mark, places in found:
        assert places[:, 0] == pytest.approx(flying.balance.placed.x)
        assert mark.face == ("b" if part == "wing" else "a")  # of a single board face A is the upper one
    under_wing = [places for part, _, places in found if part == "wing"]
    at, rise = _spot(flying).at, np.tan(np.radians(4.0))
    for places in under_wing:
        assert np.abs(places[:, 1]).mean() == pytest.approx(at, abs=1.0)
        assert np.ptp(places[:, 2]) == pytest.approx(24.0 * rise, abs=0.1)
    sides = sorted(float(places[0, 1]) for part, _, places in found if part == "body")
    assert sides == pytest.approx([-30.0, 30.0])


def test_the_review_says_the_same_each_time() -> None:
    flying = subject()
    assert review(flying) == review(flying)


@pytest.mark.parametrize(("key", "found"), [("up_deg", True), ("down_deg", False)])
def test_a_rudders_hinge_closes_to_the_side_that_its_paper_is_not_on(key: str, found: bool) -> None:
    """The fin's face A, whose paper is the hinge, looks to the right; the bevel is cut from the left and
    closes when the trailing edge goes left, which is "up" on fins: 40° there are more than its 30° clear."""
    result = spoilt(f"fin.control.rudder.{key}", 40.0)
    hits = [f for f in result.findings if f.code == "G03" and f.where == "fin/main/rudder"]
    assert bool(hits) == found


def test_beside_a_flat_body_a_battery_has_no_width_to_keep_to() -> None:
    """A body without a floor or tray is not hollow."""
    flying = subject()
    assert one(flying, "G81").verdict == "clear"
    flat = replace(flying, airframe=replace(flying.airframe, floors=()))
    assert judged(flat, "G81") == ()
