"""Faces, floors, roofs and free room read off Marram's body as it is folded.

Expected places follow from the design's numbers: floor's outer face z = -25, inner one a board higher; sides
28 mm to either side, inner faces a board further in; tray's upper face z = -12; saddle former at x = 172.
"""

from __future__ import annotations

import numpy as np
import pytest

from foldwright.airframe.fitting_places import (
    bites,
    face_area,
    face_frame,
    face_looking,
    floor_under,
    former_room,
    free_across,
    free_along,
    panels_near,
    placed_named,
    roof_over,
    room_on,
)
from foldwright.airframe.model import Airframe
from foldwright.geometry.solid.core import box
from tests.airframe.fittings.demo_designs import built, plain

SHOPS = ("school-laser", "home-knife", "club-sheets")


def body(shop: str = "school-laser") -> tuple[Airframe, float]:
    """Marram without fittings, and its board's thickness."""
    airframe = built(plain("marram"), shop=shop).airframe
    return airframe, airframe.board.thickness


@pytest.mark.parametrize("shop", SHOPS)
def test_floors_and_roofs(shop: str) -> None:
    """What is under and over a place; blanks may be left out."""
    airframe, t = body(shop)
    tray = floor_under(airframe, 100.0, 0.0, 0.0)
    assert tray is not None
    assert (tray.blank, round(tray.height, 6)) == ("body/tray", -12.0)
    floor = floor_under(airframe, 100.0, 0.0, 0.0, skip=("body/tray",))
    assert floor is not None
    assert (floor.blank, floor.face) == ("body/main", "b")
    assert floor.height == pytest.approx(-25.0 + t, abs=1e-6)
    assert np.allclose(floor.frame[:3, 2], (0.0, 0.0, 1.0), atol=1e-9)
    hatch = roof_over(airframe, 100.0, 0.0, 0.0)
    assert hatch is not None
    assert hatch.blank == "body/hatch"
    assert hatch.height == pytest.approx(30.0 - t, abs=1e-6)
    assert floor_under(airframe, 100.0, 400.0, 0.0) is None
    # the wing, from above and from below
    wing = floor_under(airframe, 250.0, 100.0, 100.0)
    under = roof_over(airframe, 250.0, 100.0, -100.0)
    assert wing is not None
    assert under is not None
    assert wing.placed.part == under.placed.part == "wing"
    assert under.height == pytest.approx(20.0, abs=1e-6)


@pytest.mark.parametrize("shop", SHOPS)
def test_free_room(shop: str) -> None:
    """Between the sides, to the former behind, to the floor below."""
    airframe, t = body(shop)
    left, right = free_across(airframe, (90.0, -1.0, 0.0), (110.0, 1.0, 10.0))
    assert (left, right) == pytest.approx((-28.0 + t, 28.0 - t), abs=1e-6)
    # off the middle as well
    left, right = free_across(airframe, (90.0, 9.0, 0.0), (110.0, 11.0, 10.0))
    assert (left, right) == pytest.approx((-28.0 + t, 28.0 - t), abs=1e-6)
    low, high = (90.0, -2.0, -5.0), (110.0, 2.0, 0.0)
    # over the former's hole for the wires
    over = ((90.0, -2.0, 8.0), (110.0, 2.0, 10.0))
    assert free_along(airframe, *over, "+x") == pytest.approx(172.0 - 110.0, abs=1e-6)
    assert free_along(airframe, low, high, "-x") == pytest.approx(90.0 - t, abs=1e-6)
    assert free_along(airframe, low, high, "-z") == pytest.approx(7.0, abs=1e-6)
    assert free_along(airframe, low, high, "-z", ("body/tray",)) == pytest.approx(20.0 - t, abs=1e-6)
    assert free_along(airframe, low, high, "+z") == pytest.approx(30.0 - t, abs=1e-6)


def test_faces() -> None:
    """A frame's z points out of the face that is named; its area lies in its (x, y)."""
    airframe, t = body()
    former = placed_named(airframe, "body/saddle-former")
    assert former is not None
    ahead = face_looking(former, "plate", (-1.0, 0.0, 0.0))
    behind = face_looking(former, "plate", (1.0, 0.0, 0.0))
    assert {ahead, behind} == {"a", "b"}
    for face, way, x in ((ahead, -1.0, 172.0), (behind, 1.0, 172.0 + t)):
        frame = face_frame(former, "plate", face)
        assert np.allclose(frame[:3, 2], (way, 0.0, 0.0), atol=1e-9)
        assert frame[0, 3] == pytest.approx(x, abs=1e-6)
        assert np.linalg.det(frame[:3, :3]) == pytest.approx(1.0)
        area = face_area(former, "plate", face)
        # between the sides with 0.1 mm to either; less the hole for the wires
        assert area.bounds[2] - area.bounds[0] == pytest.approx(56.0 - 2.0 * t - 0.2, abs=0.01)
        assert area.area < shapely_box(area.bounds) - 24.0 * 18.0 + 1e-6
    assert placed_named(airframe, "body/none") is None


def shapely_box(bounds: tuple[float, ...]) -> float:
    """Area of a box."""
    return (bounds[2] - bounds[0]) * (bounds[3] - bounds[1])


def test_room_on_a_former_and_on_the_floor() -> None:
    """A gap all round, holes bridged; other board takes its share."""
    airframe, t = body()
    former = placed_named(airframe, "body/saddle-former")
    assert former is not None
    face = face_looking(former, "plate", (-1.0, 0.0, 0.0))
    room = former_room(airframe, "body/saddle-former", face, 3.0, 1.0)
    whole = face_area(former, "plate", face)
    x0, y0, x1, y1 = whole.bounds
    # the hatch ends 2 mm ahead of it and takes what it covers; below it all but the gap is free
    assert room.bounds[0] == pytest.approx(x0 + 1.0, abs=0.01)
    assert room.bounds[2] == pytest.approx(x1 - 1.0, abs=0.01)
    assert room.bounds[1] == pytest.approx(y0 + 1.0, abs=0.01)
    assert room.bounds[3] == pytest.approx(y1 - t - 1.0, abs=0.05)
    assert former_room(airframe, "body/none", "a", 3.0, 1.0).is_empty
    main = placed_named(airframe, "body/main")
    assert main is not None
    panel = floor_under(airframe, 250.0, 0.0, 0.0)
    assert panel is not None
    floor = room_on(airframe, (main, panel.panel.name, panel.face), 4.0, 0.5)
    assert 0.0 < floor.area < face_area(main, panel.panel.name, panel.face).area


def test_nearest_panels_and_bites() -> None:
    """Distances square to the faces; a block let into the floor shares room with it."""
    airframe, t = body()
    (gap, stand), *_ = panels_near(airframe, (250.0, 3.0, -25.0 + t + 4.0))
    assert (stand.blank, stand.face, round(gap, 6)) == ("body/main", "b", 4.0)
    side = panels_near(airframe, (250.0, 28.0 - t - 2.0, 0.0))[0]
    assert side[0] == pytest.approx(2.0, abs=1e-6)
    assert side[1].frame[1, 2] == pytest.approx(-1.0)
    block = box((250.0, -5.0, -25.0 + t - 1.0), (260.0, 5.0, -25.0 + t + 5.0))
    shared = bites(airframe, block)
    assert sum(shared.values()) == pytest.approx(100.0, abs=1e-6)
    assert bites(airframe, block.moved(z=1.0)) == {}
    assert bites(airframe, block, skip=("body/main",)) == {}
