"""What each blank is traced from, and that a set keeps to hours and grams."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
import shapely

from foldwright.base.message import Message
from foldwright.base.messages import told
from foldwright.base.words.template_pieces import CATALOGUE
from foldwright.design.load import built_in_stock, load_design, load_workshop, starter
from foldwright.evaluate import evaluate
from foldwright.geometry.solid.check import faults
from foldwright.make.templates.choice import Templates, templates
from foldwright.make.templates.paper import FILE
from foldwright.make.templates.template_rows import clock
from tests.make.templates.template_sets import (
    DESIGNS,
    EXAMPLES,
    WORKSHOPS,
    evaluated,
    template_set,
    with_template,
)
from tests.make.templates.test_pieces import check

SETS = [(design, workshop) for design in DESIGNS for workshop in WORKSHOPS]


def _names(evaluation_names: tuple[str, str]) -> list[str]:
    results = evaluated(*evaluation_names, "always", 200.0).results
    assert results is not None
    return [one.blank.name for one in results.airframe.placed]


@pytest.mark.untraced
@pytest.mark.parametrize(("design", "workshop"), SETS)
def test_no_set_takes_more_than_ten_hours_or_250_g_on_a_200_mm_bed(design: str, workshop: str) -> None:
    # the limit; a bed of 200 mm is common practice, no source
    found = template_set(design, workshop, "always", 200.0)
    assert found.minutes <= 600.0
    assert found.grams <= 250.0
    # and it is used: most blanks are printed, the wing's as a rim
    printed = [row for row in found.rows if row.kind != "paper"]
    assert len(printed) >= 0.7 * len(found.rows)
    wings = [row for row in found.rows if row.blank.startswith(("wing/main", "wing/right"))]
    assert [row.kind for row in wings] == ["rim"]


@pytest.mark.untraced
@pytest.mark.parametrize(("design", "workshop"), SETS)
def test_every_piece_lies_on_the_bed_and_is_one_body(design: str, workshop: str) -> None:
    found = template_set(design, workshop, "always", 200.0)
    for bed in found.beds:
        shadows = []
        for lying in bed.lying:
            solid = lying.made.body.placed(lying.at)
            low, high = solid.bounds
            assert np.all(low[:2] >= 4.0 - 1e-6)
            assert np.all(high[:2] <= 196.0 + 1e-6)
            assert low[2] == pytest.approx(0.0, abs=1e-9)
            assert high[2] <= 180.0
            assert faults(lying.made.body) == ()
            shadows.append(solid.slice_at(1.5))
        for k, one in enumerate(shadows):
            for other in shadows[:k]:
                assert one.distance(other) >= 3.9


@pytest.mark.untraced
@pytest.mark.parametrize(
    ("design", "bed"), [("marram", 120.0), ("bracken", 150.0), ("teasel", 235.0), ("marram", 350.0)]
)
def test_plates_of_the_designs_split_on_any_bed(design: str, bed: float) -> None:
    found = template_set(design, "home-knife", "always", bed)
    assert found.splits
    for done in found.splits:
        check(done, bed)


@pytest.mark.untraced
@pytest.mark.parametrize(("design", "workshop"), SETS)
def test_each_blank_has_one_row_and_a_template(design: str, workshop: str) -> None:
    found = template_set(design, workshop, "always", 200.0)
    names = _names((design, workshop))
    assert sorted(row.blank for row in found.rows) == sorted(names)
    traced = [
        name for row in found.plates for name in (row["blank"], *_list(row["same"]), *_list(row["turned"]))
    ]
    assert sorted(map(str, traced)) == sorted(names)
    assert (FILE in found.drawings) == any(row.kind == "paper" for row in found.rows)
    for row in found.rows:
        assert row.said[0].startswith(f"{row.blank}: ")
    assert sum(row.grams for row in found.rows) == pytest.approx(found.grams, rel=1e-9)


def _list(value: object) -> list[str]:
    assert isinstance(value, list)
    return value


def test_pieces_come_back_to_their_blank() -> None:
    found = template_set("marram", "home-knife", "always", 200.0)
    done = next(one for one in found.splits if len(one.pieces) > 1)
    for piece in done.pieces:
        made = next(one for one in found.prints if one.name == piece.name)
        assert made.place is not None
        low, high = made.body.placed(made.place).bounds
        x0, y0, x1, y1 = piece.body.bounds
        assert low[:2] == pytest.approx([x0, y0], abs=1e-4)
        assert high[:2] == pytest.approx([x1, y1], abs=1e-4)
        assert made.of == piece.blank


def test_a_laser_needs_none() -> None:
    assert not template_set("marram", "school-laser", "auto").made
    assert template_set("marram", "home-knife", "auto").made
    none = template_set("marram", "home-knife", "never")
    assert (none.made, none.rows, none.beds, dict(none.drawings)) == (False, (), (), {})


def _row(found: Templates, blank: str) -> tuple[str, str]:
    row = next(one for one in found.rows if one.blank == blank)
    return row.kind, row.reason


def test_a_single_blank_on_paper() -> None:
    found = templates(with_template(evaluated("marram", "home-knife"), only={"body/hatch": "paper"}))
    assert _row(found, "body/hatch") == ("paper", "on paper: as the workshop's file asks")
    assert FILE in found.drawings
    assert _row(found, "body/tray")[0] != "paper"


def test_a_single_blank_printed_in_a_set_on_paper() -> None:
    found = templates(
        with_template(evaluated("marram", "home-knife"), kind="paper", only={"fin/left": "full"})
    )
    assert {row.blank for row in found.rows if row.kind != "paper"} == {"fin/right", "fin/left"}
    assert _row(found, "fin/left") == ("full", "from the template of fin/right, turned over")
    assert [one.name for one in found.prints] == ["fin-right"]


def test_all_rims_beyond_the_limit_are_made_and_said() -> None:
    found = templates(with_template(evaluated("marram", "home-knife"), kind="rim", most_g=60.0))
    assert all(row.kind != "paper" for row in found.rows)
    assert [one.code for one in found.findings if one.where == "template.kind"] == ["P103"]


def test_a_smaller_limit_puts_more_on_paper() -> None:
    few = templates(with_template(evaluated("marram", "home-knife"), most_hours=3.0))
    assert few.minutes <= 180.0
    assert few.prints
    many = template_set("marram", "home-knife")
    assert few.grams < 0.5 * many.grams
    assert sum(row.kind == "paper" for row in few.rows) >= sum(row.kind == "paper" for row in many.rows)
    assert any(one.code == "P104" for one in few.findings)
    assert "would take" in _row(few, "wing/main")[1]


def test_without_a_printer_all_is_on_paper() -> None:
    evaluation = evaluated("marram", "home-knife")
    bare = replace(evaluation, workshop=evaluation.workshop.model_copy(update={"printer": None}))
    found = templates(bare)
    assert found.beds == ()
    assert {row.reason for row in found.rows} == {"on paper: the workshop has no printer"}
    assert FILE in found.drawings


def test_no_results_no_templates() -> None:
    with pytest.raises(ValueError, match="complete results"):
        templates(replace(evaluated("marram", "home-knife"), results=None))


def test_small_parts_are_full_plates_for_a_pencil() -> None:
    found = template_set("marram", "home-knife", "always", 200.0)
    kind, reason = _row(found, "body/motor-former")
    assert kind == "full"
    assert "small: pencil, not blade" in reason


def test_clock() -> None:
    assert [clock(minutes) for minutes in (0.2, 59.6, 110.0)] == ["1 min", "1 h 0 min", "1 h 50 min"]


def test_every_finding_has_its_words() -> None:
    for found in (template_set(design, "home-knife", "always", 200.0) for design in DESIGNS):
        for one in found.findings:
            message = CATALOGUE.get(one.code)
            if isinstance(message, Message):
                assert "{" not in message.says.format(where=one.where, **one.params)


def test_the_same_evaluation_gives_the_same_set() -> None:
    one = templates(evaluated("marram", "home-knife"))
    other = template_set("marram", "home-knife")
    assert one.said == other.said
    assert [tuple(spot.at.ravel()) for bed in one.beds for spot in bed.lying] == [
        tuple(spot.at.ravel()) for bed in other.beds for spot in bed.lying
    ]
    assert dict(one.drawings) == dict(other.drawings)
    assert all(isinstance(done.gaps, shapely.Geometry) for done in one.splits)


def test_a_plate_without_a_cut_is_told_where_it_was_not_asked_for_and_watched_where_it_was() -> None:
    # regression: no straight cut through the body of thrift leaves room for a key on a bed of 180 mm
    stock = built_in_stock()
    bench = (EXAMPLES / "workshops" / "club-sheets.toml").read_bytes()
    design = load_design(starter("thrift").encode(), stock=stock).value
    workshop = load_workshop(bench, stock=stock).value
    assert design is not None
    assert workshop is not None
    assert workshop.printer is not None
    small = workshop.printer.model_copy(update={"bed_mm": (180.0, 180.0, 180.0)})
    found = evaluate(design, workshop.model_copy(update={"printer": small}), stock)
    asked: dict[str, object] = {"kind": "rim"}
    named: dict[str, object] = {"only": {"body/main": "rim"}}
    for changes, verdict in (({}, "clear"), (asked, "watch"), (named, "watch")):
        made = templates(with_template(found, **changes))
        told_of = {one.where: one.verdict for one in made.findings if one.code == "P100"}
        assert told_of["body/main"] == verdict
        (row,) = (row for row in made.rows if row.blank == "body/main")
        assert row.reason == "on paper: its plate finds no cut for this bed"


def test_a_bed_with_too_little_left_is_said_once() -> None:
    found = evaluated("marram", "home-knife")
    printer = found.workshop.printer
    assert printer is not None
    for changes in ({"bed_mm": (35.0, 200.0, 180.0)}, {"margin_mm": 90.0}, {"margin_mm": 120.0}):
        bench = found.workshop.model_copy(update={"printer": printer.model_copy(update=changes)})
        made = templates(replace(found, workshop=bench))
        assert [one.code for one in made.findings if one.where == "printer.bed_mm"] == ["P105"]
        assert not {one.code for one in made.findings} & {"P100", "P101"}
        assert {row.kind for row in made.rows} == {"paper"}
        (one,) = (one for one in made.findings if one.code == "P105")
        message = told(one.code, one.where, one.params)
        assert "printer.margin_mm" in message.cure
        assert "printer.bed_mm" in message.cure
