"""What a joint must leave open, and what is said on a plate in place of words without room."""

from __future__ import annotations

from dataclasses import replace

import pytest
import shapely
from shapely.geometry.base import BaseGeometry

from foldwright.geometry.solid.core import Area
from foldwright.make.templates.model import Guide, Letters, Plate
from foldwright.make.templates.piece_letters import shorter
from foldwright.make.templates.piece_lines import closed, guided_lines, unbridged
from foldwright.make.templates.pieces import Split, split
from foldwright.make.templates.plate_letters import FACE_A, label_of
from foldwright.make.templates.template_rows import notes_of
from tests.make.templates.piece_samples import area, plate_of, printer, template
from tests.make.templates.template_sets import DESIGNS, WORKSHOPS, template_set


def _strip(*lines: shapely.LineString) -> Plate:
    """A strip of 450 x 40 mm, which takes one cut near its middle, with lines on it."""
    return plate_of(shapely.box(0.0, 0.0, 450.0, 40.0), lines, kind="full")


def _zones(found: Split) -> list[BaseGeometry]:
    return [joint.zone for joint in found.joints]


def test_a_short_slot_is_bridged_nowhere() -> None:
    # 24 mm in the very middle, where the cut would go, as high as a key stands
    line = shapely.LineString([(213.0, 20.0), (237.0, 20.0)])
    plate = _strip(line)
    found = split(plate, printer(), template())
    assert len(found.pieces) >= 2
    assert found.plate.through.area == pytest.approx(plate.through.area, abs=1e-6)
    zone = shapely.union_all(_zones(found))
    assert zone.distance(plate.through) >= 1.0 - 1e-3


def test_a_line_that_is_ruled_keeps_the_openings_at_its_ends() -> None:
    """A line of 150 mm with 14 mm open at either end, one of them where the cut would go."""
    line = shapely.LineString([(70.0, 20.0), (230.0, 20.0)])
    stubs = [shapely.LineString([(a, 20.0), (a + 14.0, 20.0)]).buffer(0.7) for a in (71.0, 215.0)]
    plate = replace(_strip(line), through=area(shapely.union_all(stubs)))
    lines = guided_lines(plate)
    assert unbridged(lines) == frozenset()
    over = shapely.box(214.0, 15.0, 231.0, 25.0)
    assert closed(plate, lines, [over]) == {0}
    assert closed(plate, lines, [shapely.box(120.0, 15.0, 150.0, 25.0)]) == frozenset()
    found = split(plate, printer(), template())
    assert found.pieces
    assert closed(plate, lines, _zones(found)) == frozenset()


def test_a_long_slot_may_be_bridged_but_not_shut() -> None:
    line = shapely.LineString([(10.0, 20.0), (440.0, 20.0)])
    plate = replace(_strip(line), through=_slot(line, 0.7))
    lines = guided_lines(plate)
    assert closed(plate, lines, [shapely.box(210.0, 10.0, 240.0, 30.0)]) == frozenset()
    assert closed(plate, lines, [shapely.box(150.0, 10.0, 300.0, 30.0)]) == frozenset()  # 65 % is left
    assert closed(plate, lines, [shapely.box(5.0, 10.0, 60.0, 30.0)]) == {0}  # an end 50 mm off
    signed = replace(plate, guides=(Guide("sign", "mark", "a", plate.guides[0].points, "hole"),))
    assert guided_lines(signed) == {}


def _slot(line: shapely.LineString, half: float) -> Area:
    return area(line.buffer(half))


@pytest.mark.parametrize("workshop", WORKSHOPS)
@pytest.mark.parametrize("design", DESIGNS)
def test_no_line_of_a_demo_is_lost_to_a_joint(design: str, workshop: str) -> None:
    for done in template_set(design, workshop).splits:
        openings = shapely.union_all([done.plate.through, done.plate.grooves])
        zones = shapely.union_all(_zones(done))
        for number, line in guided_lines(done.plate).items():
            name = (done.plate.name, done.plate.guides[number].name)
            assert line.buffer(0.35).intersects(openings), name
            if line.length <= 40.0:
                assert not line.intersects(zones) or openings.intersects(line), name


@pytest.mark.parametrize("design", DESIGNS)
def test_every_label_is_on_its_plate_and_explained(design: str) -> None:
    made = template_set(design, "home-knife")
    rows = {row.blank: row for row in made.rows}
    for done in made.splits:
        plate = done.plate
        written = [one.text for one in plate.letters if one.about == "line"]
        assert {label for label, _ in plate.legend} <= set(written), plate.name
        assert len({label for label, _ in plate.legend}) == len(plate.legend)
        assert [one for one in plate.letters if one.text.lower() == FACE_A[0].lower()][1:] == [], plate.name
        said = " ".join(rows[plate.blank].notes)
        for label, words in plate.legend:
            assert f"{label} is {words}" in said
        row = next(row for row in made.plates if row["name"] == plate.name)
        assert row["labels"] == dict(plate.legend)


@pytest.mark.parametrize("workshop", WORKSHOPS)
@pytest.mark.parametrize("design", DESIGNS)
def test_nothing_about_words_or_lines_is_found_in_a_demo(design: str, workshop: str) -> None:
    found = [one.code for one in template_set(design, workshop).findings]
    assert not {"P96", "P97", "P98"} & set(found)


def test_words_in_fewer_letters() -> None:
    line = Letters("A BODY-SIDE", (0.0, 0.0), 5.0, 0.8, about="line", full="A body-side crush")
    assert [one.text for one in shorter(line, {})] == ["L1"]
    assert [one.text for one in shorter(line, {"A body-side crush": "L4"})] == ["L4"]
    assert shorter(replace(line, text="L1"), {"A body-side crush": "L1"}) == ()
    assert label_of("B spar", {"A nose": "L1"}) == "L2"
    up = Letters("THIS SIDE UP: FACE A", (0.0, 0.0), 5.0, 0.8)
    assert [one.text for one in shorter(up, {})] == ["face A up", "A up"]
    assert shorter(Letters("wing/main", (0.0, 0.0), 5.0, 0.8), {}) == ()


def test_notes_say_what_a_plate_has_no_room_for() -> None:
    found = split(plate_of(shapely.box(0.0, 0.0, 140.0, 46.0), kind="full"), printer(), template())
    assert notes_of(found) == ()
    plate = replace(
        found.plate, legend=(("L1", "B spar"),), unwritten=("joint 5 on piece 3",), unsaid=("A nose",)
    )
    assert notes_of(replace(found, plate=plate)) == (
        "its lines: L1 is B spar",
        "not written on it for want of room: joint 5 on piece 3",
        "the one line without a word beside it: A nose",
    )
    many = replace(plate, legend=(), unwritten=(), unsaid=("A nose", "A tail"))
    assert notes_of(replace(found, plate=many))[0].endswith(
        "which the drawing of the blank names: A nose; A tail"
    )
