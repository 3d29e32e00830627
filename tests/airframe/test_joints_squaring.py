"""Marks and strings that square a wing to a body. Expected numbers: first principles."""

from __future__ import annotations

from math import hypot, sqrt

import numpy as np
import pytest

from foldwright.airframe.box import build_box
from foldwright.airframe.joining.saddle import join
from foldwright.airframe.model import MarkRequest, PartBuild
from foldwright.airframe.section import placed
from foldwright.airframe.squaring import squaring
from foldwright.base.messages import catalogue
from foldwright.design.parts import Saddle
from foldwright.geometry.fold.marks import MarkMiss, land_line
from foldwright.geometry.fold.model import Mark
from tests.airframe.boxes import box, station
from tests.airframe.joints import bench, halves, profile
from tests.airframe.parts import board

ROWS = (station(0, 56, -30, 22), station(120, 56, -30, 22), station(260, 36, -30, 22))
EYES = {"+z": (0, 0, 1), "-z": (0, 0, -1), "+y": (0, 1, 0), "-y": (0, -1, 0)}


def body() -> PartBuild:
    return build_box(box(station=ROWS, former=(), deck=()), board())


def joint(**changes: object) -> Saddle:
    return Saddle.model_validate({"kind": "saddle", "id": "seat", "parts": ("wing", "body"), **changes})


def landed(request: MarkRequest, build: PartBuild) -> list[Mark | MarkMiss]:
    eye = np.array(EYES[request.direction], dtype=np.float64)
    points = np.array(request.points)
    start = points - eye * (points @ eye + 2000.0)[:, None]
    found: list[Mark | MarkMiss] = []
    for blank in build.blanks:
        item = placed(build.id, blank)
        found += land_line(blank, start, eye, request.name, request.face, item.transforms)
    return found


def test_marks_on_the_wing_where_the_sides_come() -> None:
    """Swept by 60 mm over 250: at y = 28 the leading edge is 6.72 mm back; body 56 mm wide as far as 120."""
    wing = halves(x=60.0, aft=60.0, tip=100.0, z=15.0)
    square = squaring(wing, body())
    at = {(m.name, m.points[0][1] > 0, m.points[0][0] > 110): m for m in square.wing if m.name != "centre"}
    assert len(at) == 4
    fore = at["body-side", True, False]
    assert fore.direction == "+z"
    assert fore.points[0][:2] == pytest.approx((60.0 + 28.0 * 60.0 / 250.0 + 3.0, 28.0))
    assert fore.points[1][0] - fore.points[0][0] == pytest.approx(10.0)
    # at the trailing edge the body is narrower: y solves y = 28 - (x - 120)/14, x = 160 + 0.24 y
    y = (28.0 - 40.0 / 14.0) / (1.0 + 0.24 / 14.0)
    aft = at["body-side", True, True]
    assert aft.points[0][:2] == pytest.approx((160.0 + 0.24 * y - 3.0, y), abs=0.05)
    assert aft.points[1][0] < aft.points[0][0]
    left = at["body-side", False, False]
    assert left.points[0][0] == pytest.approx(fore.points[0][0])
    assert left.points[0][1] == pytest.approx(-28.0)


def test_they_land_on_the_right_faces() -> None:
    wing, other = halves(x=20.0, z=15.0, tip=80.0), body()
    done = join({}, {"wing": wing, "body": other}, joint(), bench())
    wing, other = done.changed["wing"], done.changed["body"]
    for request in wing.guides:
        marks = [mark for mark in landed(request, wing) if isinstance(mark, Mark)]
        assert marks, request
        # seen from below the under face B, from above face A
        assert {mark.face for mark in marks} == {"b" if request.direction == "+z" else "a"}
    mine = [guide for guide in other.guides if guide.name == "wing-edge"]
    assert len(mine) == 4
    for request in mine:
        marks = [mark for mark in landed(request, other) if isinstance(mark, Mark)]
        assert [mark.face for mark in marks] == ["a"]
        side = "right" if request.direction == "-y" else "left"
        assert all(mark.panel.startswith(side) for mark in marks)
        # below the wing, which stands at z = 15
        assert max(point[2] for point in request.points) == pytest.approx(15.0 - 1.5)


def test_strings_from_tips_to_tail() -> None:
    """Tip (120, 250, 15) to the middle of the rear edge (260, 0, 22): sqrt(140² + 250² + 7²)."""
    wing = halves(x=60.0, aft=60.0, z=15.0)
    square = squaring(wing, body())
    expected = sqrt(140.0**2 + 250.0**2 + 7.0**2)
    assert square.figures["tip_to_tail_right_mm"] == pytest.approx(expected, abs=0.06)
    assert square.figures["tip_to_tail_left_mm"] == square.figures["tip_to_tail_right_mm"]
    (note,) = square.notes
    assert note.code == "G179"
    assert note.params["x"] == 260.0
    assert note.params["distance"] == square.figures["tip_to_tail_right_mm"]
    said = catalogue()["G179"].says.format(**note.params)
    assert said.startswith("Square wing to body:")
    assert f"{note.params['distance']} mm, left as right" in said


def test_a_lopsided_wing_has_two_lengths_and_no_note() -> None:
    right = PartBuild("wing", halves().blanks[:1])
    square = squaring(right, body())
    assert square.figures["tip_to_tail_right_mm"] != square.figures["tip_to_tail_left_mm"]
    assert square.notes == ()


def test_a_sheet_is_marked_on_both_faces() -> None:
    square = squaring(halves(), profile())
    assert [m.points[0][1] for m in square.wing if m.name == "body-side"] == pytest.approx([2.5, -2.5] * 2)
    assert sorted(m.direction for m in square.body) == ["+y", "+y", "-y", "-y"]


def test_no_marks_where_the_wing_reaches_beyond_the_body() -> None:
    """A trailing edge behind the body's end has no side to be marked on."""
    square = squaring(halves(x=200.0, tip=100.0), body())
    assert len([m for m in square.wing if m.name == "body-side"]) == 2
    assert len(square.body) == 2


def test_marks_are_asked_for() -> None:
    wing, other = halves(), body()
    with_them = join({}, {"wing": wing, "body": other}, joint(), bench())
    without = join({}, {"wing": wing, "body": other}, joint(notches=False), bench())
    # two at each edge where the sides come; halves that meet in the centre line need no mark there
    assert len(with_them.changed["wing"].guides) == 4
    assert without.changed["wing"].guides == ()
    assert without.shown is not None
    assert "tip_to_tail_right_mm" not in without.shown.figures
    assert without.shown.first
    assert all(hypot(*np.diff(m.points, axis=0)[0, :2]) <= 10.01 for m in with_them.changed["wing"].guides)
