"""P110: servo travel against the linkage's ends as the setup card has them."""

from __future__ import annotations

from math import sin

import pytest

from foldwright.base.finding import Finding
from foldwright.base.messages import words
from foldwright.design.fittings import ControlHorn
from foldwright.design.load import built_in_stock, load_design
from foldwright.evaluate import Evaluation, Results, evaluate
from foldwright.make.card_controls import controls
from foldwright.make.fittings.horn import notes
from foldwright.review.linkage_rules import riggings
from foldwright.review.rules import cure_keys
from tests.world import EXAMPLES, workshop

STARTERS = EXAMPLES.parent / "src" / "foldwright" / "design" / "data" / "starters"


def flown(name: str, *horns: ControlHorn) -> Evaluation:
    """A design with these horns alone, or its own fittings."""
    folder = EXAMPLES if (EXAMPLES / f"{name}.toml").exists() else STARTERS
    design = load_design(folder / f"{name}.toml", stock=built_in_stock()).value
    assert design is not None
    design = design.model_copy(update={"fitting": horns}) if horns else design
    return evaluate(design, workshop(), built_in_stock(), None, "interactive")


def results_of(one: Evaluation) -> Results:
    assert one.results is not None
    return one.results


def said(one: Evaluation) -> list[Finding]:
    return [each for each in one.findings if each.code == "P110"]


def horn(control: str, servo: str, **keys: float) -> ControlHorn:
    return ControlHorn.model_validate({"id": "horn", "control": control, "servo": servo} | keys)


@pytest.mark.parametrize(
    ("name", "mine"),
    [
        ("marram", ()),
        ("teasel", ()),
        ("bracken", ()),
        ("sedge", (horn("canard.elevator", "elevator-servo"),)),
        ("samphire", (horn("tail.ruddervator", "right-servo"),)),
    ],
)
def test_ends_are_the_cards(name: str, mine: tuple[ControlHorn, ...]) -> None:
    """Origin: the card's own rows, which know nothing of horns; and all is reached."""
    flight = flown(name, *mine)
    results = results_of(flight)
    found = riggings(results.subject)
    assert found
    for drive, one in found.values():
        row = next(
            row
            for row in controls(results)
            if row["control"] == drive.line.control.id and drive.line.placed.part in row["parts"]
        )
        chord = row["chord_mm"]
        assert chord * sin(one.neutral) == pytest.approx(row["neutral_up_mm"]["value"], abs=0.15)
        ends = {end["way"]: end["mm"] for end in row["ends"]}
        assert chord * sin(one.end_up) == pytest.approx(ends["up"], abs=0.1)
        assert chord * sin(one.end_down) == pytest.approx(ends["down"], abs=0.1)
        assert one.up >= one.end_up
        assert one.down >= one.end_down
    assert {each.verdict for each in said(flight)} == {"clear"}


def test_a_rod_for_another_neutral_is_watched() -> None:
    """A file that says neutral_mm = 0 and a horn of just that height: the card's end up is missed by about
    what its neutral is up (first principles); the cure's own number clears it.
    """
    fixed = {"arm_mm": 8.0, "height_mm": 16.0}
    flight = flown("marram", horn("wing.elevon", "servo", **fixed, neutral_mm=0.0))
    (found,) = said(flight)
    assert (found.verdict, found.where) == ("watch", "fitting.horn.neutral_mm")
    assert found.value is not None
    assert found.limit is not None
    row = next(row for row in controls(results_of(flight)) if row["control"] == "elevon")
    neutral = row["neutral_up_mm"]["value"]
    assert found.limit == pytest.approx(row["ends"][0]["mm"], abs=0.1)
    assert found.limit - found.value == pytest.approx(neutral, abs=0.8)
    assert f"the card's neutral is {neutral:.1f} mm up" in words(found).says
    assert f"Set neutral_mm to {neutral:.1f}" in words(found).cure
    cured = flown("marram", horn("wing.elevon", "servo", **fixed, neutral_mm=round(neutral, 1)))
    assert [one.verdict for one in said(cured)] == ["clear"]
    down = flown("marram", horn("wing.elevon", "servo", **fixed, neutral_mm=11.0))
    assert [one.verdict for one in said(down)] == ["watch"]
    assert " down take it to " in words(said(down)[0]).says
    assert [key.key for key in cure_keys("P110", results_of(flight).subject)] == [
        "fitting.horn.height_mm", "fitting.horn.arm_mm",
    ]  # fmt: skip


def test_what_p31_says_is_said_once() -> None:
    """A horn too high for the throws in line."""
    high = flown("marram", horn("wing.elevon", "servo", arm_mm=8.0, height_mm=22.0))
    assert not said(high)
    assert [one for one in high.findings if one.code == "P31"]


def test_what_the_builder_is_told() -> None:
    """The print's note gives the card's neutral, the rod for it, and where full travel goes; both hands."""
    results = results_of(flown("marram"))
    row = next(row for row in controls(results) if row["control"] == "elevon")
    neutral = row["neutral_up_mm"]["value"]
    for tail in ("right", "left"):
        fitting = next(one for one in results.airframe.fittings if one.id == f"horn/{tail}")
        (told,) = notes(fitting, results)
        assert f"neutral as on the card, {neutral:.1f} mm up" in told
        rod = float(told.split("wants ")[1].split(" mm")[0])
        wanted = fitting.figures["rod_mm"] + fitting.figures["rod_per_mm"] * neutral
        assert rod == pytest.approx(wanted, abs=0.15)
    teasel = results_of(flown("teasel"))
    rudder = next(one for one in teasel.airframe.fittings if one.id == "rudder-horn")
    assert "for the control in line" in notes(rudder, teasel)[0]
