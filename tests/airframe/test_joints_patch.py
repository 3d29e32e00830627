"""Plates glued face to face on a panel. Expected numbers: first principles."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from foldwright.airframe.box import build_box
from foldwright.airframe.joined import Joined
from foldwright.airframe.joining.patch import join
from foldwright.airframe.mirror import mirror_blank
from foldwright.airframe.model import PartBuild
from foldwright.airframe.section import placed
from foldwright.base.messages import words
from foldwright.design.parts import Patch
from foldwright.geometry.fold.marks import land_line
from foldwright.geometry.fold.mass import mass_properties
from foldwright.geometry.fold.model import Fold, Mark
from foldwright.geometry.transform import frame
from tests.airframe.boxes import box, station
from tests.airframe.joints import T, X, Y, Z, bench, corners, level, shared, sheet, tilted
from tests.airframe.parts import board

ROWS = (station(0, 56, -30, 22), station(200, 56, -30, 22))
RING = np.array([(0.0, 0.0), (60.0, 0.0), (60.0, 30.0), (0.0, 30.0)])


def body() -> PartBuild:
    return build_box(box(station=ROWS, former=(), deck=()), board())


def upright(y: float, x: float = 50.0, z: float = -15.0) -> PartBuild:
    """A plate of 60 x 30 mm from (x, z), its middle at y."""
    return sheet("patch", RING, frame(np.array([x, y + T / 2.0, z]), X, -Y))


def joined(one: PartBuild, other: PartBuild, **changes: Any) -> tuple[PartBuild, PartBuild, Joined]:
    data = {"kind": "patch", "id": "glue", "parts": ("patch", other.id), "panel": "right", **changes}
    done = join({}, {"patch": one, other.id: other}, Patch.model_validate(data), bench())
    return done.changed.get("patch", one), done.changed.get(other.id, other), done


@pytest.mark.parametrize(
    ("panel", "face", "drawn", "y"),
    [
        ("right", "a", 31.0, (28.0, 33.0)),  # outside on the right
        ("right", "b", 20.0, (18.0, 23.0)),  # inside on the right
        ("left", "a", -31.0, (-33.0, -28.0)),
        ("left", "b", -20.0, (-23.0, -18.0)),
    ],
)
def test_on_either_face_of_either_side(panel: str, face: str, drawn: float, y: tuple[float, float]) -> None:
    """Sides stand from |y| = 23 to 28."""
    one, other, done = joined(upright(drawn), body(), panel=panel, face=face)
    assert done.findings == ()
    where = corners(one)
    assert (where[:, 1].min(), where[:, 1].max()) == pytest.approx(y)
    assert (where[:, 0].min(), where[:, 2].min()) == pytest.approx((50.0, -15.0))
    assert shared(one, other) == 0.0
    glue = mass_properties(one.masses[0].moments)
    assert glue.mass == pytest.approx(60.0 * 30.0 * 60e-6)
    contact = y[0] if abs(y[0]) in (23.0, 28.0) else y[1]
    assert glue.cg == pytest.approx([80.0, contact, 0.0], abs=1e-6)


@pytest.mark.parametrize(("panel", "face"), [("right", "a"), ("right", "b"), ("left", "a"), ("left", "b")])
def test_its_outline_is_marked_where_it_lies(panel: str, face: str) -> None:
    drawn = (31.0 if face == "a" else 20.0) * (1.0 if panel == "right" else -1.0)
    _, other, _ = joined(upright(drawn), body(), panel=panel, face=face)
    request = other.guides[-1]
    eye = np.zeros(3)
    eye["xyz".index(request.direction[1])] = 1.0 if request.direction[0] == "+" else -1.0
    points = np.array(request.points)
    start = points - eye * (points @ eye + 2000.0)[:, None]
    item = placed("body", other.blanks[0])
    marks = land_line(other.blanks[0], start, eye, "patch", request.face, item.transforms)
    assert {(mark.panel, mark.face) for mark in marks if isinstance(mark, Mark)} == {(panel, face)}
    assert len(points) == 5


@pytest.mark.parametrize(("face", "z"), [("a", (5.0, 10.0)), ("b", (-5.0, 0.0))])
def test_on_top_and_under_a_level_board(face: str, z: tuple[float, float]) -> None:
    plate = sheet("patch", RING, frame(np.array([20.0, 10.0, 4.0 if face == "a" else -6.0]), X, Z))
    one, other, done = joined(plate, level(), panel="plate", face=face)
    assert done.findings == ()
    where = corners(one)[:, 2]
    assert (where.min(), where.max()) == pytest.approx(z)
    assert shared(one, other) == 0.0
    assert done.shown is not None
    assert done.shown.figures["moved_mm"] == pytest.approx(1.0)
    assert done.shown.second == (f"tail/main plate: outline on face {face.upper()}",)


def test_it_turns_with_the_panel() -> None:
    """A board that falls 3 degrees: the patch, drawn level, turns by as much and lies flush."""
    base = tilted(level(), 0.0, 3.0)
    plate = sheet("patch", RING, frame(np.array([20.0, 10.0, 3.0]), X, Z))
    one, other, done = joined(plate, base, panel="plate", face="a")
    assert {f.code for f in done.findings} <= {"G175"}
    assert done.shown is not None
    assert done.shown.figures["turned_deg"] == pytest.approx(3.0, abs=0.01)
    local = np.linalg.inv(other.blanks[0].placement)
    depth = corners(one) @ local[2, :3] + local[2, 3]
    assert (depth.min(), depth.max()) == pytest.approx((T, 2 * T))


def test_drawn_far_away() -> None:
    """Middle at y = 37.5 instead of 30.5: moved by 7 mm."""
    one, _, done = joined(upright(37.5), body(), face="a")
    assert [(f.code, f.verdict, f.value) for f in done.findings] == [("G175", "watch", 7.0)]
    assert "-7.0 mm in y" in words(done.findings[0]).cure
    assert corners(one)[:, 1].min() == pytest.approx(28.0)


def test_a_mirrored_pair_goes_on_both_sides() -> None:
    right = replace(upright(31.0).blanks[0], name="patch/right")
    pair = PartBuild("patch", (right, mirror_blank(right, "patch/left")))
    one, other, done = joined(pair, body(), face="a")
    assert done.findings == ()
    assert np.abs(corners(one)[:, 1]).min() == pytest.approx(28.0)
    assert {corners(PartBuild("p", (blank,)))[:, 1].mean() > 0 for blank in one.blanks} == {True, False}
    assert len(other.guides) - len(body().guides) == 2


def test_no_such_panel() -> None:
    _, _, done = joined(upright(31.0), body(), panel="roof")
    assert [f.code for f in done.findings] == ["G172"]
    assert "right" in words(done.findings[0]).expected


def test_off_the_panel() -> None:
    """60 mm long from x = 170 in a side that ends at 200: 30 mm beyond; from 185 on 45 mm and too little."""
    _, _, done = joined(upright(31.0, x=170.0), body(), face="a")
    assert [(f.code, f.verdict) for f in done.findings] == [("G173", "watch")]
    assert done.findings[0].value == pytest.approx(30.0, abs=0.01)
    assert done.findings[0].params["share"] == 50
    _, _, done = joined(upright(31.0, x=185.0), body(), face="a")
    assert [(f.code, f.verdict) for f in done.findings] == [("G173", "no-go")]
    assert done.changed == {}


def test_across_a_fold() -> None:
    """A board with a hinge at x = 60: a patch from x = 20 to 80 would lie 20 mm beyond it."""
    blank = level(x1=60.0).blanks[0]
    back = replace(level(x0=60.0, x1=120.0).blanks[0].panels[0], name="flap")
    ends = np.array([60.0, -150.0]), np.array([60.0, 150.0])
    fold = Fold("hinge", "plate", "flap", ends[1], ends[0], "live", "a", "b", 0.0, 0.5)
    base = PartBuild("tail", (replace(blank, panels=(*blank.panels, back), folds=(fold,)),))
    plate = sheet("patch", RING, frame(np.array([20.0, 10.0, 5.0]), X, Z))
    _, _, done = joined(plate, base, panel="plate", face="a")
    assert [(f.code, f.verdict, f.value) for f in done.findings] == [("G174", "no-go", 20.0)]
    assert done.changed == {}
    moved = sheet("patch", RING, frame(np.array([0.0, 10.0, 5.0]), X, Z))
    assert joined(moved, base, panel="plate", face="a")[2].findings == ()
