"""Parts that hang in the air, and batteries that nobody gets at: drawings where the answer is known."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from foldwright.airframe.model import Bar
from foldwright.base.finding import Finding
from foldwright.base.messages import words
from foldwright.cli.report import layout_figures
from foldwright.cure import find_cures
from foldwright.design.load import built_in_stock, load_design
from foldwright.design.model import Design
from foldwright.review.contact import lumps, moves_text, nearest
from foldwright.review.held_rules import holds
from tests.review.samples import judged, one, with_tables
from tests.review.test_trainer import SHOP, subject, trainer
from tests.test_examples import STARTERS
from tests.world import judge, without_fittings


def drawn(without: tuple[str, ...] = (), **changes: dict[str, Any]) -> Design:
    """The trainer without some joints, and with keys of some parts changed."""
    data = trainer().model_dump(mode="json", exclude_none=True)
    parts = [part | changes.get(part["id"], {}) for part in data["part"]]
    return with_tables(trainer(), part=parts, joint=[j for j in data["joint"] if j["id"] not in without])


def starter(name: str, *swaps: tuple[str, str]) -> Design:
    """A starter with some of its lines changed, without its printed fittings: a hatch catch wants its hatch
    to stay one, which is not what these ask.
    """
    text = next(path for path in STARTERS if path.stem == name).read_text(encoding="utf-8")
    for old, new in swaps:
        if text.count(old) != 1:
            raise ValueError(f"{old} stands there {text.count(old)} times")
        text = text.replace(old, new)
    value = load_design(without_fittings(text).encode(), name, built_in_stock()).value
    if value is None or value.fitting:
        raise ValueError("refused on reading, or fittings are left")
    return value


def test_parts_all_joined_are_held() -> None:
    found = one(subject(), "G87")
    assert (found.verdict, found.where) == ("clear", "wing")


def test_a_tail_and_its_fin_above_the_body_hang_in_the_air_together() -> None:
    """The body's upper edge is at 30 mm; the tail's under face at 60 mm, 1.5° nose-up: it sinks aft by
    118 sin 1.5° = 3.1 mm, so that 27 mm and a little are left."""
    found = one(subject(drawn(("tail-body",), tail={"z_mm": 60.0})), "G87")
    assert (found.verdict, found.where) == ("no-go", "tail")
    assert found.value == pytest.approx(27.0, abs=1.0)
    assert "tail and fin hang in the air, 2" in words(found).says
    assert "nearest part, body" in words(found).says
    assert "mm down" in words(found).cure
    assert 'parts = ["tail", "body"]' in words(found).cure


def test_a_fin_that_only_touches_wants_a_joint() -> None:
    """It stands on the tailplane: under face at 10, 5 mm of board; nothing but contact holds it."""
    found = one(subject(drawn(("fin-tail",), fin={"z_mm": 13.5})), "G87")
    assert (found.verdict, found.where) == ("watch", "fin")
    assert 'parts = ["fin", "' in words(found).cure


def test_a_fin_above_its_tailplane_is_brought_down_by_its_own_number() -> None:
    result = judge(drawn(("fin-tail",), fin={"z_mm": 45.0}), SHOP)
    assert result.results is not None
    found = one(result.results.subject, "G87")
    assert (found.verdict, found.where) == ("no-go", "fin")
    assert "fin.z_mm 45 to " in words(found).cure


def test_the_joiner_of_bracken_is_a_plate_that_touches_and_hangs_where_it_does_not() -> None:
    resting = one(subject(starter("bracken")), "G87")
    assert (resting.verdict, resting.where) == ("clear", "joiner")
    assert resting.value is not None
    assert resting.value <= 1.5
    plate = next(part for part in starter("bracken").part if part.id == "joiner")
    data = starter("bracken").model_dump(mode="json", exclude_none=True)
    place = next(part for part in data["part"] if part["id"] == "joiner")
    place["z_mm"] += 60.0
    result = judge(with_tables(starter("bracken"), part=data["part"]), "school-laser")
    found = next(f for f in result.findings if f.code == "G87" and f.verdict == "no-go")
    assert found.where == plate.id
    assert "joiner hangs in the air" in words(found).says
    assert "mm down (joiner.z_mm" in words(found).cure
    cures = {cure.key: cure for cure in find_cures(result, found)}
    assert cures["joiner.z_mm"].after < place["z_mm"] - 30.0


def test_an_aeroplane_of_one_part_is_not_asked() -> None:
    flying = subject()
    alone = tuple(each for each in flying.airframe.placed if each.part == "wing")
    assert holds(replace(flying, airframe=replace(flying.airframe, placed=alone, bars=(), joints=()))) == ()


def test_a_bar_is_as_wide_as_it_is() -> None:
    """A stick of 10 x 6 mm along x, its middle at y 500: its flank is 5 mm nearer, by its height 3 mm."""
    airframe = subject().airframe
    ends = np.array([(300.0, 500.0, 300.0), (600.0, 500.0, 300.0)])
    bars = [
        Bar(name, ends + np.array([0.0, y, z]), 10.0, 6.0, "wood", "flat")
        for name, y, z in (("a", 0.0, 0.0), ("b", 40.0, 0.0), ("c", 0.0, 40.0))
    ]
    low = replace(airframe, bars=tuple(bars))
    solid = lumps(low, ("a", "b", "c"))
    beside, above = nearest(solid["a"], solid["b"]), nearest(solid["a"], solid["c"])
    assert beside.gap == pytest.approx(30.0)
    assert above.gap == pytest.approx(34.0)
    assert moves_text(beside.apart) == "30 mm right"
    assert moves_text(above.apart) == "34 mm up"
    assert moves_text((-12.0, 0.2, -3.0)) == "12 mm forward and 3 mm down"


HATCH = ('role = "hatch"', 'hold = "magnets"  # lifts off for the battery')


def test_the_battery_comes_out_under_a_hatch_or_under_a_wing_that_comes_off() -> None:
    found = one(subject(), "B30")
    assert found.verdict == "clear"
    assert "straight up" in words(found).says
    # the hatch glued in: the trainer's wing is held by bands, and the battery slides aft under it
    data = trainer().model_dump(mode="json", exclude_none=True)
    body = next(part for part in data["part"] if part["id"] == "body")
    under = one(subject(drawn(body={"deck": [body["deck"][0] | {"hold": "glued"}]})), "B30")
    assert under.verdict == "clear"


@pytest.mark.parametrize(
    ("changes", "key", "cure"),
    [
        ((HATCH[0], 'role = "deck"'), "role", 'role = "hatch" (or hold = "magnets")'),
        ((HATCH[1], 'hold = "glued"'), "hold", 'hold = "magnets"'),
    ],
)
def test_a_battery_under_a_deck_that_stays_is_found(changes: tuple[str, str], key: str, cure: str) -> None:
    """Floor, sides and formers of Teasel shut it in on all other sides, also where the wing comes off."""
    without_hold = ((HATCH[1], ""),) if key == "role" else ()
    flying = subject(starter("teasel", changes, *without_hold))
    found = one(flying, "B30")
    assert (found.verdict, found.where) == ("watch", f"body.deck.hatch.{key}")
    assert "straight up it meets body/hatch" in words(found).says
    assert cure in words(found).cure
    place = flying.balance.battery
    assert f"from x {place.front:.0f} to {place.rear:.0f} mm" in words(found).cure


def test_a_deck_held_by_magnets_is_as_good_as_a_hatch() -> None:
    found = one(subject(starter("teasel", (HATCH[0], 'role = "deck"'))), "B30")
    assert found.verdict == "clear"


def test_bracken_slides_forward_to_its_hatch_and_a_flat_body_has_nothing_round_the_battery() -> None:
    """Bracken's wing begins at 105 mm, its former at the nose ends at 5; its battery is 72 mm long."""
    swept, flat = one(subject(starter("bracken")), "B30"), one(subject(starter("thrift")), "B30")
    assert swept.verdict == "clear"
    assert "straight up at x " in words(swept).says
    assert 5.0 + 36.0 <= float(words(swept).says.split()[-2]) <= 105.0 - 36.0
    assert flat.verdict == "clear"
    glued = starter("bracken", ('role = "hatch"', 'role = "hatch"\nhold = "glued"'))
    found = one(subject(glued), "B30")
    assert (found.verdict, found.where) == ("watch", "body.deck.hatch.hold")


def test_fins_that_lean_a_little_have_no_line_among_the_figures() -> None:
    """3 % of the wing's area [judgement] decides."""
    results = judge(trainer(), SHOP).results
    assert results is not None
    (tail,) = results.tail.lying
    names = [name for name, _ in layout_figures(results)]
    assert "tail" in names
    little = replace(tail, level_area=0.029 * results.lift.mean.area)
    leaning = replace(results, tail=replace(results.tail, lying=(little,)))
    assert "tail" not in [name for name, _ in layout_figures(leaning)]


def test_every_finding_of_both_rules_says_something() -> None:
    found: list[Finding] = [*judged(subject(), "G87"), *judged(subject(), "B30")]
    assert [words(f).says[-1] for f in found] == [".", "."]
