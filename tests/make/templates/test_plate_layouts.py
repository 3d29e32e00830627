"""Template plates of the six layouts that come with the tool, and of the slits and halves they have."""

from __future__ import annotations

from typing import get_args

import pytest
import shapely

from foldwright.design.workshop import TemplateKind
from foldwright.make.templates.use import traced_lines
from tests import world
from tests.make.templates.plate_checks import (
    LAYOUTS,
    blanks,
    check_plate,
    check_traced,
    grouped,
    made,
)

KINDS: tuple[TemplateKind, ...] = tuple(kind for kind in get_args(TemplateKind) if kind != "paper")
each_layout = pytest.mark.parametrize("layout", LAYOUTS)
each_kind = pytest.mark.parametrize("kind", KINDS)


@each_layout
def test_every_blank_is_traced_by_one_plate(layout: str) -> None:
    names = [name for group in grouped(layout).groups for name in group.names]
    assert sorted(names) == sorted(blank.name for blank in blanks(layout))
    assert len(set(names)) == len(names)
    assert grouped(layout).findings == ()


@each_kind
@each_layout
def test_plate_and_use_draw_every_line_of_every_blank(layout: str, kind: TemplateKind) -> None:
    """First principles: what is traced is what the sheets draw, for each pen and face, and nothing else."""
    workshop = world.workshop("home-knife")
    by_name = {blank.name: blank for blank in blanks(layout)}
    for group in grouped(layout).groups:
        plate = made(group, kind, workshop)
        for name in group.names:
            check_traced(plate, by_name[name], workshop)


@each_kind
@each_layout
def test_plates_can_be_printed(layout: str, kind: TemplateKind) -> None:
    workshop = world.workshop("home-knife")
    for group in grouped(layout).groups:
        check_plate(made(group, kind, workshop), workshop)


@each_layout
def test_every_line_is_guided(layout: str) -> None:
    """Regression of the designs that come with the tool: no line of theirs is out of a plate's reach."""
    workshop = world.workshop("home-knife")
    for group in grouped(layout).groups:
        plate = made(group, "rim", workshop)
        assert [guide.name for guide in plate.guides if guide.how == "none"] == [], plate.name


@pytest.mark.parametrize(
    ("layout", "name", "use"),
    [
        ("marram", "wing/main", "turn over"),  # elevons mirror each other, no sliding brings them over
        ("marram", "wing/spar", "slide"),  # a strip with nothing on it
        ("sedge", "canard/main", "turn over"),
        ("samphire", "tail/main", "turn over"),
        ("teasel", "wing/right", "whole"),
        ("marram", "fin/right", "whole"),
    ],
)
def test_halves_where_they_are_alike(layout: str, name: str, use: str) -> None:
    """Known from the designs: constant chord, mirrored controls, raked fins."""
    plate = made(grouped(layout).of(name), "rim", world.workshop("home-knife"))
    assert plate.use == use
    assert (plate.middle is None) == (use == "whole")
    assert (plate.shift is None) == (use != "slide")
    said = " ".join(one.text for one in plate.letters).lower()
    assert ("half: " in said) == (use != "whole")
    if use != "whole":
        assert ("slide" if use == "slide" else "turn") in said


def test_a_mirrored_pair_shares_a_plate_and_says_so() -> None:
    plate = made(grouped("bracken").of("wing/left"), "rim", world.workshop("home-knife"))
    assert (plate.blank, plate.turned) == ("wing/right", ("wing/left",))
    under = [one.text.lower() for one in plate.letters if one.under]
    upper = [one.text.lower() for one in plate.letters if not one.under]
    # turned over it lies as the left wing: face A of that one, face B of the right one
    assert "wing/left" in under
    assert "wing/right" in upper
    assert any("face a" in text for text in under)
    assert any("face a" in text for text in upper)
    assert "wing/right face b up" in under
    assert "wing/left face b up" in upper


def test_a_line_that_one_of_a_pair_has_alone_is_kept_for_it() -> None:
    """Thrift's receiver is marked on the right wing plate of the body only."""
    plate = made(grouped("thrift").of("body/wing-left"), "rim", world.workshop("home-knife"))
    alone = {guide.name for guide in plate.guides if guide.only == "body/wing-right"}
    assert alone == {"receiver"}
    assert "receiver" not in {guide.name for guide in traced_lines(plate, "body/wing-left")}
    assert "receiver" in {guide.name for guide in traced_lines(plate, "body/wing-right")}


def test_the_straight_edge_lies_on_the_outline_itself() -> None:
    """Elsewhere the plate is drawn in by the offset; there it is laid on the board's edge."""
    workshop = world.workshop("home-knife")
    plate = made(grouped("marram").of("wing/main"), "rim", workshop)
    assert plate.straight is not None
    line = shapely.LineString(plate.straight)
    offset = workshop.template.offset
    on = line.intersection(plate.edge.boundary.buffer(1e-5)).length
    assert line.length - 3.0 * offset < on
    assert line.length > 300.0


def test_small_parts_are_for_a_pencil() -> None:
    workshop = world.workshop("home-knife")
    plates = [made(group, "full", workshop) for group in grouped("teasel").groups]
    small = {plate.blank for plate in plates if plate.pencil_only}
    # by their size in the design: 37 x 41 and 17 x 14 mm against 45
    assert small == {"body/motor-former", "body/tail-former"}
