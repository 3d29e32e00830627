"""Servo frames: on the board that the servo sits in or stands on, posts under its lugs."""

from __future__ import annotations

import numpy as np
import pytest

from foldwright.airframe.fitting_places import bites
from foldwright.airframe.fittings.servo_frame import ServoFrameShape
from foldwright.airframe.marking import place_marks
from foldwright.airframe.servo_pose import axes_of, poses
from foldwright.base.messages import told, words
from foldwright.design.fittings import ServoFrame
from foldwright.geometry.transform import apply, inverse
from foldwright.make.fittings.servo_frame import solid
from tests.airframe.fittings.controls import World, built, horn, mirrored
from tests.world import workshop

SEATS = [
    # aeroplane, servo, blank, panel that the rim is glued to, whether the lugs come to lie on the frame
    ("marram", "servo", "wing/main", "strip", True),
    ("bracken", "servo", "wing/right", "strip-right", True),
    ("teasel", "elevator-servo", "body/main", "floor", True),
    ("teasel", "rudder-servo", "body/main", "floor", True),
    ("samphire", "right-servo", "pod/main", "floor", True),
]
HORNS = {
    "marram": horn("wing.elevon", "servo"),
    "bracken": horn("wing.elevon", "servo"),
    "teasel": horn("tail.elevator", "elevator-servo"),
    "samphire": horn("tail.ruddervator", "right-servo"),
}


def frame(servo: str, **keys: float) -> ServoFrame:
    return ServoFrame.model_validate({"id": "frame", "servo": servo} | keys)


def world(name: str, servo: str) -> World:
    return built(name, HORNS[name], frame(servo))


@pytest.mark.parametrize(("name", "servo", "blank", "panel", "screwed"), SEATS)
def test_stands_where_the_servo_is(name: str, servo: str, blank: str, panel: str, screwed: bool) -> None:
    """Origin: the designs: servos of the flying wings sit in the under strip, the others stand on a floor."""
    made = world(name, servo)
    one = next(f for f in made.airframe.fittings if f.kind == "servo_frame")
    assert one.blank == blank
    item = made.fitted.placed(servo)[0]
    local = apply(inverse(one.placement), np.array(item.place_mm))
    assert abs(local[0]) < 0.5
    assert abs(local[1]) < 0.5
    shape = one.shape
    assert isinstance(shape, ServoFrameShape)
    assert (shape.screws > 0.0) == screwed
    assert bool(made.found("P41")) != screwed
    guide = next(g for g in made.airframe.guides if g.name == "servo-frame")
    marked, misses = place_marks(made.airframe, [guide])
    assert not misses
    marks = [m for one in marked.placed for m in one.blank.marks if m.name == "servo-frame"]
    assert {m.panel for m in marks} == {panel}


@pytest.mark.parametrize(("name", "servo"), [row[:2] for row in SEATS])
def test_bites_into_nothing(name: str, servo: str) -> None:
    """Origin: solids cut with each other; a rim is narrowed where a wall stands or the board ends."""
    made = world(name, servo)
    for one in made.airframe.fittings:
        if isinstance(one.shape, ServoFrameShape):
            there = solid(one.shape, made.site.printer).body.placed(one.placement)
            assert not {k: v for k, v in bites(made.airframe, there).items() if v > 1e-6}


def test_posts_carry_the_lugs() -> None:
    """Origin: stock: lugs of the 5 g class 28 mm over all, 13.5 mm above the bottom; Teasel's servo stands
    from z = -25, the floor's face lies at -23: posts of 11.5 mm. Screws in the middle of the lugs:
    (20 + 28) / 4 = 12 mm from the middle.
    """
    made = world("teasel", "elevator-servo")
    shape = made.fitting("frame").shape
    assert isinstance(shape, ServoFrameShape)
    assert shape.post[2] == pytest.approx(11.5, abs=0.01)
    assert shape.screws == pytest.approx(12.0)
    assert shape.pocket == pytest.approx((20.6, 9.1))  # case and 0.3 mm of clearance to either side
    assert shape.pilot == pytest.approx(0.8 * 1.6)
    assert shape.post[0] + shape.pocket[0] / 2.0 >= 14.0  # reaches past the lugs' ends


def test_screws_hold_where_the_cure_says() -> None:
    """P41 names how far to move the servo; moved so, its lugs lie on the rim and are screwed."""
    off = built("marram", HORNS["marram"], frame("servo"), z_mm=28.0).found("P41")[0]
    assert (off.params["move_way"], off.params["way"]) == ("down", "behind")
    moved = built("marram", HORNS["marram"], frame("servo"), z_mm=28.0 - float(off.params["move"]))
    assert not moved.found("P41")
    shape = moved.fitting("frame/right").shape
    assert isinstance(shape, ServoFrameShape)
    assert shape.screws > 0.0


def test_pairs_and_notes() -> None:
    made = world("marram", "servo")
    right, left = made.fitting("frame/right"), made.fitting("frame/left")
    assert right.shape == left.shape  # the same print for both hands
    flipped = mirrored(right.placement)
    np.testing.assert_allclose(flipped[:3, 3], left.placement[:3, 3], atol=1e-6)
    np.testing.assert_allclose(flipped[:3, [0, 2]], left.placement[:3, [0, 2]], atol=1e-6)
    notes = [told(n.code, n.about, n.params) for n in made.airframe.notes if n.code == "P42"]
    assert len(notes) == 2
    assert "forward" in notes[0].says


def test_findings() -> None:
    free = built("marram", frame("servo"), z_mm=90.0).found("P40")
    assert len(free) == 1
    assert "nothing to glue" in words(free[0]).says
    unknown = built("marram", frame("flap-servo")).found("P36")
    assert unknown[0].verdict == "no-go"
    assert unknown[0].where == "fitting.frame.servo"
    wall = built("teasel", frame("elevator-servo"), y_mm=17.0).found("P49")
    assert wall
    assert wall[0].verdict == "watch"
    assert "meets other board" in words(wall[0]).says
    assert not built("teasel", frame("elevator-servo")).found("P49")


def test_which_way_round() -> None:
    """Origin: first principles: the stock's length, width and height found again in the file's x, y, z."""
    made = built("marram")
    item = made.fitted.placed("servo")[0]
    assert axes_of(item) == (0, 1, 2)
    flat = built("marram", size_mm=(23.0, 27.0, 12.2))  # type: ignore[arg-type]
    assert axes_of(flat.fitted.placed("servo")[0]) == (0, 2, 1)
    across = built("marram", size_mm=(12.2, 23.0, 27.0))  # type: ignore[arg-type]
    assert axes_of(across.fitted.placed("servo")[0]) == (1, 0, 2)
    up, down = poses(item, np.array([349.0, 110.0, 30.0]))
    assert up.shaft[2] == 1.0
    assert down.shaft[2] == -1.0
    # the control lies behind: the shaft's end looks forward, 6 mm from the end of 23
    x, _, z = item.place_mm
    assert up.point[0] == pytest.approx(x - 11.5 + 6.0)
    assert up.point[2] == pytest.approx(z + 13.5 - 2.0)


def test_printer_clearance_widens_the_pocket() -> None:
    made = built("marram", frame("servo"), shop="home-knife")
    shape = made.fitting("frame/right").shape
    assert isinstance(shape, ServoFrameShape)
    clearance = (workshop("home-knife").printer or made.site.printer).clearance_mm
    assert shape.pocket == pytest.approx((23.0 + 2 * clearance, 12.2 + 2 * clearance))
