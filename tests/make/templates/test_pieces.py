"""Plates split to the bed: pieces that fit, that make the plate up exactly, and joints that hold."""

from __future__ import annotations

from dataclasses import replace
from math import pi, sqrt

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from foldwright.base.messages import told
from foldwright.design.workshop import TemplateKind
from foldwright.geometry.solid.check import faults
from foldwright.make.templates.keys import LEAST_NECK_MM, fits
from foldwright.make.templates.model import Letters
from foldwright.make.templates.piece_findings import no_cut
from foldwright.make.templates.piece_fit import Room, least_square, longest, room_of, turn_to_fit
from foldwright.make.templates.piece_letters import box_of
from foldwright.make.templates.piece_letters import upright as the_right_way_up
from foldwright.make.templates.pieces import Split, joined, split
from foldwright.make.templates.plate_solid import solid_of
from tests.examples import examples
from tests.make.templates.piece_samples import plate_of, printer, template

_PART = 1e-6


def _frame(width: float = 354.0, height: float = 330.0, **more: object) -> Split:
    lines = (
        shapely.LineString([(120.0, 5.0), (120.0, height - 5.0)]),
        shapely.LineString([(5.0, 0.6 * height), (width - 5.0, 0.6 * height)]),
    )
    plate = plate_of(shapely.box(0.0, 0.0, width, height), lines)
    return split(plate, printer(), template(**more))


def check(found: Split, side: float, margin: float = 4.0) -> None:
    """What holds for every split: it fits, it is the plate, its joints are clear, each piece is one body."""
    plate = found.plate
    room = side - 2.0 * margin
    whole = joined(found.pieces)
    assert whole.union(found.gaps).symmetric_difference(plate.body).area < _PART * max(1, len(found.pieces))
    assert whole.intersection(found.gaps).area < _PART
    assert sum(piece.body.area for piece in found.pieces) == pytest.approx(whole.area, abs=_PART)
    assert plate.edge.buffer(1e-6).covers(plate.body)
    for joint in found.joints:
        assert len(joint.pieces) == 2
        assert joint.zone.intersection(shapely.union_all([plate.through, plate.grooves])).area < _PART
        assert all(box_of(one).intersection(joint.zone).area < _PART for one in plate.letters)
    for piece in found.pieces:
        turned = shapely.affinity.rotate(piece.body, piece.turn, origin=(0, 0), use_radians=True)
        x0, y0, x1, y1 = turned.bounds
        assert max(x1 - x0, y1 - y0) <= room + 1e-6
        assert piece.body.is_valid
        left = piece.body.difference(piece.through)
        assert sum(part.area > 0.5 for part in shapely.get_parts(left)) == 1
        for one in piece.letters:
            assert piece.body.covers(box_of(one))


def test_a_frame_of_two_by_two_beds_is_four_pieces() -> None:
    # 354 and 330 mm on 192 mm: ceil(1.84) x ceil(1.72), first principles
    found = _frame()
    assert len(found.pieces) == 4
    check(found, 200.0)
    assert [piece.index for piece in found.pieces] == [1, 2, 3, 4]
    assert [piece.name for piece in found.pieces] == [f"wing-main-{k}" for k in (1, 2, 3, 4)]


def test_pieces_say_which_they_are_and_joints_stand_on_both_sides() -> None:
    found = _frame()
    for piece in found.pieces:
        said = [one.text for one in piece.letters]
        assert any(text.endswith((f"{piece.index}/4", f"{piece.index} of 4")) for text in said)
        told = found.plate.unwritten
        lost = {sign for sign in piece.joints if f"joint {sign} on piece {piece.index}" in told}
        assert set(piece.joints) <= {*said, *lost}
        assert len({one.partition(" on ")[0] for one in told}) <= 1
    for joint in found.joints:
        assert [piece.index for piece in found.pieces if joint.sign in piece.joints] == list(joint.pieces)


def test_numbers_of_joints_are_not_another_number_upside_down() -> None:
    found = _frame(700.0, 560.0)
    signs = {joint.sign for joint in found.joints}
    assert len(signs) == len(found.joints) >= 8
    assert not signs & {"6", "8", "9", "68", "86", "89", "98"}


def test_slots_are_bridged_at_joints_only() -> None:
    found = _frame()
    upright = shapely.LineString([(120.0, 5.0), (120.0, 325.0)])
    level = shapely.LineString([(5.0, 198.0), (349.0, 198.0)])
    plate = plate_of(shapely.box(0.0, 0.0, 354.0, 330.0), (upright, level))
    zones = shapely.union_all([joint.zone for joint in found.joints])
    assert found.plate.through.symmetric_difference(plate.through.difference(zones)).area < _PART
    assert found.plate.through.area < plate.through.area


def test_a_small_plate_stays_whole_and_as_it_was() -> None:
    plate = plate_of(shapely.box(0.0, 0.0, 140.0, 46.0), kind="full")
    found = split(plate, printer(), template())
    assert len(found.pieces) == 1
    assert found.joints == ()
    assert found.gaps.is_empty
    assert found.pieces[0].body.equals(plate.body)
    assert found.pieces[0].name == "wing-main"


def test_a_long_strip_lies_askew() -> None:
    # the diagonal of 192 mm is 271.5; a strip of 240 x 10 goes on it, and on no bed straight
    plate = plate_of(shapely.box(0.0, 0.0, 240.0, 10.6), kind="full")
    found = split(plate, printer(), template())
    assert len(found.pieces) == 1
    assert 0.0 < found.pieces[0].turn < pi / 2.0
    check(found, 200.0)


def test_a_strip_over_two_diagonals_is_two_pieces() -> None:
    plate = plate_of(shapely.box(0.0, 0.0, 450.0, 11.5), kind="full")
    found = split(plate, printer(), template())
    assert len(found.pieces) == 2
    check(found, 200.0)


def test_longest_bar_on_a_square() -> None:
    # a bar L x b at 45° on a square of side s: L = s √2 - b (first principles)
    assert longest(10.0, Room(192.0, 192.0, 100.0)) == pytest.approx(192.0 * sqrt(2.0) - 10.0, abs=1e-6)
    assert longest(200.0, Room(192.0, 192.0, 100.0)) == 0.0


def test_least_square_of_a_square_turned_by_45_degrees() -> None:
    # a square of side 100 standing on its corner needs 100 mm once it is turned back
    turned = shapely.affinity.rotate(shapely.box(0, 0, 100, 100), 45.0)
    assert least_square(turned) == pytest.approx(100.0, abs=1e-6)
    assert turn_to_fit(turned, room_of(printer(110.0))) is not None


def test_butt_faces_touch() -> None:
    # 0.05 mm of the printer's tolerance, whatever the clearance of what slides
    found = _frame()
    for joint in found.joints:
        one, other = (found.pieces[k - 1].body for k in joint.pieces)
        assert one.distance(other) == pytest.approx(0.05, abs=1e-6)


def test_keys_hold_and_have_a_neck() -> None:
    # neck as printed is wider still: a quarter of the clearance is taken from it on either side
    for clearance in (0.0, 0.2, 0.35, 1.0):
        for fit in fits(clearance):
            assert fit.key.neck - clearance >= LEAST_NECK_MM - 1e-9
            # the head does not slip through the mouth of its socket
            assert fit.key.head - clearance > fit.key.neck + clearance


def test_pieces_cannot_be_pulled_apart_across_a_joint() -> None:
    found = split(plate_of(shapely.box(0.0, 0.0, 450.0, 20.0), kind="full"), printer(), template())
    one, other = (piece.body for piece in found.pieces)
    far = shapely.affinity.translate(other, 2.0, 0.0)
    assert one.intersection(far).area > 0.5
    assert one.intersection(shapely.affinity.translate(other, 0.0, 1.0)).area > 0.5


def test_no_neck_under_six_millimetres() -> None:
    found = _frame()
    for piece in found.pieces:
        core = piece.body.buffer(-0.5 * LEAST_NECK_MM + 0.05)
        assert sum(part.area > 25.0 for part in shapely.get_parts(core)) == 1


def test_holes_are_not_crossed() -> None:
    # a row of holes wherever the middle of the strip is: the cut goes elsewhere
    holes = tuple((x, 10.0) for x in np.arange(215.0, 236.0, 5.0))
    plate = plate_of(shapely.box(0.0, 0.0, 450.0, 20.0), kind="full", holes=holes)
    found = split(plate, printer(), template())
    check(found, 200.0)
    assert found.plate.through.area == pytest.approx(plate.through.area, abs=_PART)


def test_letters_give_way_to_a_joint() -> None:
    words = (Letters("wing/main this side up: face A", (225.0, 10.0), 6.0, 0.8),)
    plate = plate_of(shapely.box(0.0, 0.0, 450.0, 22.0), kind="full", words=words)
    found = split(plate, printer(), template())
    check(found, 200.0)
    texts = [one.text for one in found.plate.letters]
    assert words[0].text in texts


def test_a_plate_too_narrow_for_keys_is_left_to_paper() -> None:
    found = split(plate_of(shapely.box(0.0, 0.0, 500.0, 7.0), kind="full"), printer(), template())
    assert found.pieces == ()
    finding = found.findings[0]
    assert (finding.code, finding.where) == ("P100", "wing/main")
    # a full plate 7 mm wide leaves no window for a rim
    words = told(finding.code, finding.where, finding.params)
    assert "rim" not in words.expected + words.got + words.cure
    # a square bed of s holds L x b askew where s ≥ (L + b) / √2, plus two margins of 4 mm
    assert finding.params["needed"] == np.ceil((499.4 + 6.4) / sqrt(2.0) + 8.0)


def test_what_is_advised_where_no_cut_is_found() -> None:
    """A rim may be widened; a full plate with room for a window may become a rim."""
    area = shapely.box(0.0, 0.0, 500.0, 90.0)
    cases: tuple[tuple[TemplateKind, str], ...] = (
        ("rim", "raise template.rim_mm"),
        ("full", 'template.only."wing/main" = "rim"'),
    )
    for kind, wanted in cases:
        plate = replace(plate_of(area, kind="full"), kind=kind)
        one = no_cut(plate, printer(), template(), 9.0)
        words = told(one.code, one.where, one.params)
        assert wanted in words.cure
        assert ("template.rim_mm" in words.cure) == (kind == "rim")
        assert ("or a rim" in words.expected) == (kind == "rim")


def test_a_plate_higher_than_the_printer_is_left_to_paper() -> None:
    low = printer().model_copy(update={"bed_mm": (200.0, 200.0, 2.0)})
    found = split(plate_of(shapely.box(0.0, 0.0, 100.0, 50.0)), low, template())
    assert found.pieces == ()
    assert found.findings[0].code == "P101"


def test_pieces_are_solids_of_one_body() -> None:
    for piece in _frame().pieces:
        solid = solid_of(piece.body, piece.through, piece.grooves, piece.letters, 3.0, 0.6)
        assert faults(solid) == ()
        assert solid.size[2] == pytest.approx(3.0)


def test_letters_stand_the_right_way_up() -> None:
    for angle, wanted in ((0.0, 0.0), (pi, 0.0), (0.75 * pi, -0.25 * pi), (-0.5 * pi, 0.5 * pi)):
        assert the_right_way_up(angle) == pytest.approx(wanted, abs=1e-9)


def test_the_same_plate_gives_the_same_pieces() -> None:
    one, other = _frame(), _frame()
    assert [p.body.wkb for p in one.pieces] == [p.body.wkb for p in other.pieces]
    assert [p.letters for p in one.pieces] == [p.letters for p in other.pieces]


@pytest.mark.parametrize(
    ("side", "width", "height", "lean", "at"),
    [(150.6, 662.0, 360.74, -0.4, 0.4), (133.37, 685.95, 333.0, -0.2, 0.3)],
)
def test_windows_filled_by_two_cuts_stay_in_the_plate(
    side: float, width: float, height: float, lean: float, at: float
) -> None:
    # regression: two cuts fill the same corner of a window, and the plate had lost it
    ring = shapely.Polygon(
        [(0.0, 0.0), (width, 0.0), (width + lean * height, height), (lean * height, height)]
    )
    line = shapely.LineString([(at * width, 8.0), (at * width + lean * height, height - 8.0)])
    found = split(plate_of(ring, (line,)), printer(side, clearance_mm=0.2), template())
    whole = joined(found.pieces).union(found.gaps)
    assert whole.symmetric_difference(found.plate.body).area < 1e-4


@pytest.mark.untraced
@settings(max_examples=examples(25))
@given(
    side=st.floats(120.0, 350.0),
    width=st.floats(40.0, 700.0),
    height=st.floats(30.0, 400.0),
    lean=st.floats(-0.4, 0.4),
    thickness=st.floats(3.0, 6.0),
    clearance=st.floats(0.1, 0.5),
    at=st.floats(0.25, 0.75),
)
def test_any_frame_on_any_bed(
    side: float, width: float, height: float, lean: float, thickness: float, clearance: float, at: float
) -> None:
    ring = shapely.Polygon(
        [(0.0, 0.0), (width, 0.0), (width + lean * height, height), (lean * height, height)]
    )
    line = shapely.LineString([(at * width, 8.0), (at * width + lean * height, height - 8.0)])
    plate = plate_of(ring, (line,), thickness=thickness)
    found = split(plate, printer(side, clearance_mm=clearance), template())
    if not found.pieces:
        assert [one.code for one in found.findings] == ["P100"]
        assert turn_to_fit(plate.body, room_of(printer(side))) is None
        return
    check(found, side)
