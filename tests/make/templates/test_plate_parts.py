"""Template plates of blanks made by hand: halves, lines on one half alone, slots, letters, findings."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise
from math import pi

import numpy as np
import pytest
import shapely

from foldwright.base.messages import words
from foldwright.base.types import FloatArray
from foldwright.design.workshop import Workshop
from foldwright.geometry.fold.model import SQUARE, Blank, EdgeCut, Mark, Panel
from foldwright.make.templates.group import groups_of
from foldwright.make.templates.letter_room import Room
from foldwright.make.templates.model import Guide, Letters, Plate
from foldwright.make.templates.notches import DEEP_MM
from foldwright.make.templates.plate import plate_of, template_findings
from foldwright.make.templates.plate_letters import (
    Written,
    least_size,
    letters_area,
    style,
    write_edge,
    write_way,
)
from foldwright.make.templates.plate_solid import solid_of
from foldwright.make.templates.slots import BRIDGE_MM, bridged
from foldwright.make.templates.use import traced_lines
from tests.make.sheet_samples import workshop
from tests.make.templates.plate_checks import check_plate, check_traced

T = 5.0


def bench(**template: object) -> Workshop:
    return workshop(
        cutter={"kind": "knife", "kerf_mm": 0.0}, printer={"bed_mm": (200.0, 200.0, 150.0)}, template=template
    )


def sheet(
    width: float, height: float, *marks: Mark, holes: Sequence[FloatArray] = (), name: str = "part/one"
) -> Blank:
    """A rectangle from (0, 0), as a tray lies: u aft, v right."""
    ring = np.array([(0.0, 0.0), (width, 0.0), (width, height), (0.0, height)])
    panel = Panel("plate", ring, (SQUARE,) * 4, tuple(holes))
    return Blank(name, T, (panel,), (), "plate", np.eye(4), marks)


def mark(name: str, *points: tuple[float, float], face: str = "a") -> Mark:
    return Mark(name, "plate", "b" if face == "b" else "a", np.array(points))


def plate(blank: Blank, kind: str = "rim", at: Workshop | None = None) -> Plate:
    at = bench() if at is None else at
    made = plate_of(groups_of([blank], at.cutter).groups[0], "full" if kind == "full" else "rim", at)
    assert made.plate is not None
    check_plate(made.plate, at)
    check_traced(made.plate, blank, at)
    return made.plate


def guide(made: Plate, name: str) -> list[Guide]:
    return [one for one in made.guides if one.name == name]


def said(made: Plate, *, under: bool = False) -> list[str]:
    return [one.text.lower() for one in made.letters if one.under is under]


# --- halves -------------------------------------------------------------------------------------------------


def test_a_strip_with_lines_along_it_is_slid() -> None:
    made = plate(sheet(600.0, 80.0, mark("spar", (0.0, 30.0), (600.0, 30.0))))
    assert made.use == "slide"
    assert made.shift is not None
    # half the length, towards the other end
    assert made.shift.tolist() == [-300.0, 0.0]
    assert made.outline.bounds == (300.0, 0.0, 600.0, 80.0)


def test_a_mark_at_the_same_place_in_both_halves_may_be_slid() -> None:
    marks = [mark("rib", (u, 10.0), (u, 60.0)) for u in (100.0, 400.0)]
    assert plate(sheet(600.0, 80.0, *marks)).use == "slide"


def test_marks_that_mirror_each_other_are_turned_over() -> None:
    marks = [mark("rib", (u, 10.0), (u, 60.0)) for u in (100.0, 500.0)]
    made = plate(sheet(600.0, 80.0, *marks))
    assert made.use == "turn over"
    assert made.middle is not None
    assert made.middle[:, 0].tolist() == [300.0, 300.0]
    # it reaches past the middle line, which is notched at both edges
    assert made.outline.bounds[0] < 300.0
    for v in (0.0, 80.0):
        notch = shapely.Point(300.0, abs(v - DEEP_MM / 2.0)).buffer(0.2)
        assert made.through.intersects(notch)


def test_a_line_on_one_half_only_is_kept_and_named() -> None:
    """A camera's opening on the left: the half plate draws it in the first or the second use alone."""
    first = mark("camera", (420.0, 30.0), (450.0, 30.0))
    second = mark("aerial", (120.0, 50.0), (150.0, 50.0))
    made = plate(sheet(600.0, 80.0, first, second))
    assert made.use == "turn over"
    assert [one.only for one in guide(made, "camera")] == ["first half"]
    assert [one.only for one in guide(made, "aerial")] == ["second half"]
    written = " | ".join(said(made))
    assert "camera: 1st half only" in written
    assert "aerial: 2nd half only" in written
    # the second is drawn mirrored on the plate, and comes out where it belongs
    assert guide(made, "aerial")[0].points[:, 0].min() > 300.0
    assert {tuple(p) for g in traced_lines(made, "part/one") if g.name == "aerial" for p in g.points} == {
        (120.0, 50.0),
        (150.0, 50.0),
    }


def test_many_lines_on_one_half_make_it_whole() -> None:
    marks = [mark(f"mark-{n}", (320.0 + 30.0 * n, 30.0), (320.0 + 30.0 * n, 50.0)) for n in range(8)]
    assert plate(sheet(600.0, 80.0, *marks)).use == "whole"


def test_a_hole_on_one_half_makes_it_whole() -> None:
    hole = np.array([(400.0, 30.0), (430.0, 30.0), (430.0, 50.0), (400.0, 50.0)])
    assert plate(sheet(600.0, 80.0, holes=[hole])).use == "whole"


def test_a_part_that_fits_the_bed_is_whole() -> None:
    assert plate(sheet(180.0, 80.0)).use == "whole"


# --- groups -------------------------------------------------------------------------------------------------


def test_equal_blanks_share_a_plate() -> None:
    one = sheet(90.0, 50.0)
    other = replace(
        one, name="part/two", panels=(replace(one.panels[0], polygon=one.panels[0].polygon + 7.0),)
    )
    found = groups_of([one, other, sheet(90.0, 51.0, name="part/three")], bench().cutter).groups
    assert [group.names for group in found] == [("part/one", "part/two"), ("part/three",)]
    made = plate_of(found[0], "full", bench()).plate
    assert made is not None
    assert made.copies == 2
    assert "also part/two" in said(made)
    check_traced(made, other, bench())


def test_a_mirror_image_that_is_none_has_its_own() -> None:
    one = sheet(90.0, 50.0)
    other = replace(sheet(90.0, 52.0, name="part/left"), mirror_of="part/one")
    assert len(groups_of([one, other], bench().cutter).groups) == 2


# --- guides -------------------------------------------------------------------------------------------------


def test_bridges_are_four_long_and_about_sixty_apart() -> None:
    line = shapely.LineString([(0.0, 0.0), (150.0, 0.0)])
    pieces = bridged(line)
    gaps = [b.coords[0][0] - a.coords[-1][0] for a, b in pairwise(pieces)]
    assert np.allclose(gaps, BRIDGE_MM)
    assert len(pieces) == 3
    assert len(bridged(shapely.LineString([(0.0, 0.0), (40.0, 0.0)]))) == 1
    assert len(bridged(shapely.LineString([(0.0, 0.0), (41.0, 0.0)]))) == 2


def test_a_line_across_is_notched_at_both_ends_and_needs_no_bar() -> None:
    made = plate(sheet(150.0, 140.0, mark("line", (70.0, 0.0), (70.0, 140.0))))
    assert [one.how for one in guide(made, "line")] == ["notch"]
    # the points of the V lie on the line, 3 mm inside the plate's edge
    for v, way in ((made.edge.bounds[1], 1.0), (made.edge.bounds[3], -1.0)):
        assert made.through.distance(shapely.Point(70.0, v + way * DEEP_MM)) < 0.01
    assert not made.body.contains(shapely.Point(70.0, 40.0)) or not made.body.contains(
        shapely.Point(75.0, 40.0)
    )


def test_a_short_line_inside_has_a_slot_as_wide_as_asked() -> None:
    made = plate(sheet(150.0, 140.0, mark("line", (60.0, 70.0), (85.0, 70.0))), "full", bench(slot_mm=1.8))
    assert [one.how for one in guide(made, "line")] == ["slot"]
    cut = made.through.intersection(shapely.LineString([(72.0, 60.0), (72.0, 80.0)]))
    assert cut.length == pytest.approx(1.8, abs=1e-6)
    assert cut.centroid.y == pytest.approx(70.0)


def test_two_lines_side_by_side_are_the_walls_of_one_slot() -> None:
    lines = [mark("line", (60.0, v), (85.0, v)) for v in (70.0, 72.0)]
    made = plate(sheet(150.0, 140.0, *lines), "full")
    assert [one.how for one in guide(made, "line")] == ["slot", "slot"]
    cut = made.through.intersection(shapely.LineString([(72.0, 60.0), (72.0, 80.0)]))
    # each wall stands off by the offset of 0.3 mm that a pencil keeps from it
    assert (cut.bounds[1], cut.bounds[3]) == pytest.approx((69.7, 72.3))


def test_a_slot_near_the_edge_becomes_a_groove() -> None:
    made = plate(sheet(150.0, 140.0, mark("line", (60.0, 3.2), (130.0, 3.2))), "full")
    assert [one.how for one in guide(made, "line")] == ["groove"]
    assert made.grooves.intersects(shapely.Point(100.0, 3.2))


def test_a_point_is_pricked() -> None:
    made = plate(sheet(150.0, 140.0, mark("servo", (60.0, 70.0))), "rim")
    assert [one.how for one in guide(made, "servo")] == ["hole", "hole"]
    hole = made.through.intersection(shapely.Point(60.0, 70.0).buffer(3.0))
    # a hole of 2 mm: a sixteen-sided one inside the circle
    assert hole.area == pytest.approx(pi, rel=0.03)


def test_a_footprint_is_pricked_at_its_corners() -> None:
    """As a fitting's is; the same one drawn from another corner, the other way round, is its mirror image."""
    ring = np.array([(420.0, 30.0), (450.0, 30.0), (450.0, 50.0), (420.0, 50.0)])
    other = (ring * [-1.0, 1.0] + [600.0, 0.0])[[2, 1, 0, 3]]
    marks = [Mark("servo-frame", "plate", "a", np.vstack([one, one[:1]])) for one in (ring, other)]
    made = plate(sheet(600.0, 80.0, *marks))
    assert made.use == "turn over"
    assert {one.how for one in guide(made, "servo-frame")} == {"hole"}
    for at in ring:
        assert made.through.contains(shapely.Point(at))


def test_small_holes_are_pricked_and_large_ones_are_open() -> None:
    def box(u: float, v: float, w: float, h: float) -> FloatArray:
        return np.array([(u, v), (u + w, v), (u + w, v + h), (u, v + h)])

    made = plate(sheet(150.0, 140.0, holes=[box(40.0, 60.0, 20.0, 5.0), box(90.0, 60.0, 12.0, 2.0)]), "full")
    assert sorted(one.how for one in guide(made, "hole")) == ["edge", "hole"]
    # drawn back by 0.3 mm all round
    assert made.through.contains(shapely.box(39.71, 59.71, 60.29, 65.29))
    assert not made.through.intersects(shapely.Point(96.0, 61.0))
    assert made.through.intersects(shapely.Point(90.0, 61.0).buffer(0.5))


def test_a_slant_is_said_at_its_edge() -> None:
    blank = sheet(120.0, 90.0)
    cut = replace(blank.panels[0], cuts=(EdgeCut(a=1.5), SQUARE, SQUARE, SQUARE))
    made = plate(replace(blank, panels=(cut,)), "full")
    assert [one.how for one in made.guides if one.pen == "mark"] == ["edge"]
    assert "a slant 1.5" in said(made)


# --- letters ------------------------------------------------------------------------------------------------


def test_letters_underneath_are_mirrored() -> None:
    """An L has its foot to the right; seen through the plate from above it points left."""
    upper, under = (letters_area(Letters("L", (0.0, 0.0), 10.0, 1.0, 0.0, flip)) for flip in (False, True))
    right, left = shapely.box(0.5, -10.0, 10.0, 10.0), shapely.box(-10.0, -10.0, -0.5, 10.0)
    assert upper.intersection(right).area < upper.intersection(left).area  # the stem stands left
    assert under.intersection(right).area > under.intersection(left).area
    assert under.area == pytest.approx(upper.area)


def test_letters_turn_counter_clockwise() -> None:
    flat = letters_area(Letters("I", (5.0, 7.0), 10.0, 1.0))
    turned = letters_area(Letters("L", (5.0, 7.0), 10.0, 1.0, pi / 2.0))
    assert (flat.bounds[3] - flat.bounds[1]) == pytest.approx(10.0, abs=0.01)
    # the foot of the L, at its lower right, comes to the upper right; the stem lies along below
    right, left = shapely.box(9.0, 7.5, 20.0, 20.0), shapely.box(-9.0, 7.5, 1.0, 20.0)
    assert turned.intersection(right).area > 1.0
    assert turned.intersection(left).area == 0.0


def test_the_arrow_points_forward() -> None:
    """A tray lies with u aft: forward is to lower u. Turned by half a turn it is to higher u."""
    for turn, sign in ((1.0, -1.0), (-1.0, 1.0)):
        blank = replace(sheet(150.0, 60.0), placement=np.diag([turn, turn, 1.0, 1.0]))
        made = plate(blank, "full")
        assert "front" in said(made)
        ring = np.asarray(made.grooves.exterior.coords if made.grooves.geom_type == "Polygon" else [])
        assert len(ring)
        # the head is the wide end: most of the area's moment lies towards it
        middle = (ring[:, 0].min() + ring[:, 0].max()) / 2.0
        assert np.sign(made.grooves.centroid.x - middle) == sign


def test_heights_fall_to_what_the_stem_allows() -> None:
    heights = style(6.0, 0.8).heights
    assert heights[0] == 6.0
    assert heights[-1] >= 4.5 * 0.8
    assert list(heights) == sorted(heights, reverse=True)


_NAMES = {"body/motor-former-long-name", "motor-former-long-name", "no 1", "1"}


@pytest.mark.parametrize("wanted", [3.0, 3.5, 4.0, 4.5, 5.0, 30.0])
@pytest.mark.parametrize("text", ["a", "B spar", "board's edge", "A ridge groove", "up", "no 68", "&@"])
def test_any_height_wished_for_has_a_least_size(wanted: float, text: str) -> None:
    """The least height is rounded up to 0.05 mm on both sides of the comparison: there is always one."""
    for stem in (0.8, 0.83, 1.0, 1.7, 3.0):
        width, tall = least_size(text, style(wanted, stem))
        assert width > 0.0
        assert tall > 2.0 * stem


def test_the_boards_edge_is_never_a_label() -> None:
    """On any plate: words beside the straight side, a word with an arrow, or said to be left out."""
    for size in ((300.0, 6.0), (300.0, 60.0), (60.0, 40.0), (30.0, 20.0), (12.0, 8.0)):
        at = style(6.0, 0.8)
        side = np.array([(0.0, 0.0), (size[0], 0.0)])
        room, written = Room(shapely.box(0.0, 0.0, *size).buffer(-1.0), (0.0,)), Written()
        put = write_edge(room, written, side, np.array(size) / 2.0, at)
        texts = {one.text.lower() for one in written.letters}
        assert texts <= {"board's edge", "edge"}
        assert put == bool(texts)
        assert (written.missed == ["board's edge"]) == (not put)
        assert written.legend == {}


@pytest.mark.parametrize("toward", [(0.0, 1.0), (0.0, -1.0), (1.0, 0.0), (-1.0, 0.0)])
def test_a_word_without_an_arrow_stands_at_its_edge_with_its_top_to_it(toward: tuple[float, float]) -> None:
    # too low for an arrow of 8.4 mm beside the word
    to = np.array(toward)
    size = np.array([17.0, 11.0]) if toward[1] else np.array([11.0, 17.0])
    room, written = Room(shapely.box(0.0, 0.0, *size).buffer(-1.0), (0.0,)), Written()
    far = size / 2.0 + to * float(np.abs(to) @ size) / 2.0
    assert write_way(room, written, "up", to, far, style(5.0, 0.8), 5.5)
    (one,) = written.letters
    assert written.arrows == []
    assert (np.array(one.at) - size / 2.0) @ to > 0.0
    assert [-np.sin(one.angle), np.cos(one.angle)] == pytest.approx(toward, abs=1e-9)


@pytest.mark.parametrize(("size", "said_"), [((17.0, 14.0), {"up"}), ((35.0, 35.0), {"up", "a up"})])
def test_up_and_the_face_come_before_the_name(size: tuple[float, float], said_: set[str]) -> None:
    # a former: its frame's v is the aeroplane's z
    upright = np.eye(4)
    upright[:3, :3] = [[0.0, 0.0, 1.0], [1.0, 0.0, 0.0], [0.0, 1.0, 0.0]]
    at = bench()
    blank = replace(sheet(*size, name="body/tail-former"), placement=upright)
    made = plate_of(groups_of([blank], at.cutter).groups[0], "full", at).plate
    assert made is not None
    assert said_ <= {text.lower() for text in said(made)}


@pytest.mark.parametrize("size", [(14.0, 9.0), (24.0, 12.0), (46.0, 50.0)])
def test_a_small_part_has_its_number_or_nothing(size: tuple[float, float]) -> None:
    at = bench()
    group = groups_of([sheet(*size, name="body/motor-former-long-name")], at.cutter).groups[0]
    made = plate_of(group, "full", at)
    assert made.plate is not None
    codes = {finding.code for finding in made.findings}
    written = said(made.plate)
    assert ("P92" in codes) == any(text in {"no 1", "1"} for text in written)
    # neither name nor number; which edge is front and which face lies up come first
    assert ("P94" in codes) == (not {text.lower() for text in written} & _NAMES)
    for finding in made.findings:
        assert words(finding).says


# --- mistakes -----------------------------------------------------------------------------------------------


def test_a_plate_thinner_than_its_recess_is_refused_with_the_cure() -> None:
    at = bench(plate_mm=0.9, recess_mm=0.6)
    found = template_findings(at.template)
    assert [one.code for one in found] == ["P90"]
    # 0.6 mm deep letters and 0.4 mm under them
    assert found[0].limit == pytest.approx(1.0)
    assert "1.0 mm" in words(found[0]).cure
    group = groups_of([sheet(90.0, 50.0)], at.cutter).groups[0]
    assert plate_of(group, "full", at).plate is None
    assert template_findings(bench(plate_mm=1.0, recess_mm=0.6).template) == ()


def test_a_low_plate_for_a_blade_is_warned_of() -> None:
    assert [one.code for one in template_findings(bench(plate_mm=2.0, tool="blade").template)] == ["P91"]
    assert template_findings(bench(plate_mm=3.0, tool="blade").template) == ()
    assert template_findings(bench(plate_mm=2.0, tool="pencil").template) == ()


def test_a_rim_wider_than_the_part_gives_a_full_plate() -> None:
    at = bench(rim_mm=30.0)
    group = groups_of([sheet(90.0, 50.0)], at.cutter).groups[0]
    made = plate_of(group, "rim", at)
    assert made.plate is not None
    assert made.plate.kind == "full"
    assert [one.code for one in made.findings] == ["P93"]


def test_letters_larger_than_the_part_are_made_smaller() -> None:
    made = plate(sheet(90.0, 50.0), "full", bench(letter_mm=30.0))
    assert "part/one" in said(made)
    assert max(one.height for one in made.letters) < 30.0


def test_a_recess_as_deep_as_the_plate_is_a_programming_error() -> None:
    with pytest.raises(ValueError, match="recess"):
        solid_of(shapely.box(0, 0, 10, 10), shapely.Polygon(), shapely.Polygon(), (), 0.6, 0.6)


def test_paper_has_no_plate() -> None:
    at = bench()
    assert plate_of(groups_of([sheet(90.0, 50.0)], at.cutter).groups[0], "paper", at).plate is None
