"""Marks that the results ask for: each on the right face, at the right place, whatever carries it."""

from __future__ import annotations

from dataclasses import replace
from math import radians

import numpy as np
import pytest

from foldwright.airframe.marking import place_marks
from foldwright.airframe.model import Floor, Mount
from foldwright.base.types import FloatArray
from foldwright.flight.thrust_line import Side
from foldwright.geometry.fold.marks import station_of
from foldwright.review.extents import first_from_below, under
from foldwright.review.marks import _spot, mark_requests
from foldwright.review.subject import Subject
from tests.review.samples import subject_of, with_tables
from tests.world import marram, with_values


def landed(subject: Subject, name: str) -> list[tuple[str, str, str, FloatArray]]:
    """Blank, panel, face and places (n, 3) mm in the aeroplane of every mark of a name."""
    airframe, lost = place_marks(subject.airframe, mark_requests(subject))
    assert lost == ()
    return [
        (one.blank.name, mark.panel, mark.face, station_of(one.blank, mark, one.transforms))
        for one in airframe.placed
        for mark in one.blank.marks
        if mark.name == name
    ]


def balanced_at(subject: Subject, x: float) -> Subject:
    """The same aeroplane, balancing somewhere else, without a window for first flights."""
    balance = subject.balance
    placed = replace(balance.placed, x=x)
    nowhere = replace(balance.first_aft, x=balance.forward.x - 1.0)
    return replace(subject, balance=replace(balance, placed=placed, first_aft=nowhere))


def test_balance_marks_stand_beside_the_body_on_the_wing() -> None:
    """Half of 56 mm and 40 mm beside the body; the strip's under face."""
    subject = subject_of(marram())
    assert _spot(subject).at == pytest.approx(68.0)
    found = landed(subject, "balance")
    assert [(blank, panel, face) for blank, panel, face, _ in found] == [("wing/main", "strip", "a")] * 2
    for *_, places in found:
        assert places[:, 0] == pytest.approx(subject.balance.placed.x)
        assert sorted(np.abs(places[:, 1])) == pytest.approx([56.0, 80.0])


def test_balance_marks_move_off_what_does_not_take_them() -> None:
    """The elevon runs from 40 to 300 mm from the centre line, its hinge 48 mm ahead of the trailing edge at x
    397: the bevel behind it takes no mark, so 24 mm have to lie at least nine tenths beside the elevon."""
    subject = balanced_at(subject_of(marram()), 350.5)
    at = _spot(subject).at
    assert at + 12.0 <= 40.0 + 2.4 or at - 12.0 >= 300.0 - 2.4
    assert len(landed(subject, "balance")) == 2


def test_balancing_ahead_of_the_wing_is_marked_on_the_bodys_sides() -> None:
    """The wing begins at x 177; sides stand 28 mm off the middle, outside."""
    found = landed(balanced_at(subject_of(marram()), 120.0), "balance")
    assert len(found) == 2
    assert sorted(float(places[0, 1]) for *_, places in found) == pytest.approx([-28.0, 28.0])
    for blank, _, face, places in found:
        assert (blank, face) == ("body/main", "a")
        assert places[:, 0] == pytest.approx(120.0)
        assert np.ptp(places[:, 2]) == pytest.approx(0.4 * 55.0, abs=1.0)


def test_what_nothing_takes_is_asked_of_the_wing_so_that_it_is_found() -> None:
    subject = balanced_at(subject_of(marram()), -150.0)
    _, lost = place_marks(subject.airframe, mark_requests(subject))
    assert {finding.code for finding in lost} == {"G10"}


def test_the_battery_stop_goes_on_the_tray_before_the_floor() -> None:
    subject = subject_of(marram())
    x = subject.balance.battery.front
    floors = (Floor("body/main", "b", 0.0, 390.0), Floor("body/tray", "a", 45.0, 171.0, first=True))
    for given, blank in ((floors, "body/tray"), (floors[:1], "body/main"), ((), None)):
        asked = mark_requests(replace(subject, airframe=replace(subject.airframe, floors=given)))
        stops = [request for request in asked if request.name == "battery-front"]
        assert [stop.part for stop in stops] == ([] if blank is None else [blank])
        assert all(stop.points[0][0] == x for stop in stops)


@pytest.mark.parametrize(("side", "face_x", "look"), [("rear", 396.0, "-x"), ("front", 391.0, "+x")])
def test_the_thrust_line_is_marked_on_the_motors_side_of_its_mount(
    side: Side, face_x: float, look: str
) -> None:
    """12 mm at the propeller, x 421.5; toward the mount it falls by tan 2.9°, the rear end being higher."""
    subject = subject_of(marram())
    mount = Mount("body/motor-former", 391.0, 396.0)
    airframe = replace(subject.airframe, mounts=(mount,))
    asked = mark_requests(replace(subject, airframe=airframe, thrust=replace(subject.thrust, side=side)))
    crosses = [request for request in asked if request.name == "thrust-line"]
    assert [cross.direction for cross in crosses] == [look, look]
    middle = np.mean([point for cross in crosses for point in cross.points], axis=0)
    assert middle[2] == pytest.approx(12.0 - (421.5 - face_x) * np.tan(radians(2.9)))


def test_two_motors_have_two_crosses() -> None:
    subject = subject_of(with_tables(motor={"y_mm": 90.0, "mirrored": True}))
    mounts = (Mount("body/motor-former", 391.0, 396.0),)
    asked = mark_requests(replace(subject, airframe=replace(subject.airframe, mounts=mounts)))
    ys = [float(np.mean([p[1] for p in one.points])) for one in asked if one.name == "thrust-line"]
    assert ys == pytest.approx([90.0, 90.0, -90.0, -90.0])


def test_the_hands_place_is_marked_under_the_body_and_on_its_sides() -> None:
    found = landed(subject_of(with_tables(grip={"x_mm": 130.0, "width_mm": 80.0})), "hand")
    assert {face for _, _, face, _ in found} == {"a"}
    assert {blank for blank, *_ in found} == {"body/main"}
    xs = sorted(round(float(places[0, 0]), 6) for *_, places in found)
    assert xs == [90.0] * 3 + [170.0] * 3
    under_it = [places for *_, places in found if np.ptp(places[:, 1]) > 1.0]
    assert all(places[:, 2] == pytest.approx(-25.0) for places in under_it)
    assert len(under_it) == 2


def test_legs_are_marked_where_they_are_fixed() -> None:
    leg = {"id": "main", "x_mm": 200.0, "y_mm": 12.0, "z_mm": -25.0, "long_mm": 60.0, "mirrored": True}
    found = landed(subject_of(with_tables(leg=[leg])), "leg-main")
    assert {(blank, face) for blank, _, face, _ in found} == {("body/main", "a")}
    middles = sorted({tuple(np.round(places.mean(axis=0), 6).tolist()) for *_, places in found})
    assert middles == [(200.0, -12.0, -25.0), (200.0, 12.0, -25.0)]


@pytest.mark.parametrize(
    ("x", "y", "found"),
    [(100.0, 0.0, ("body/main", -25.0)), (260.0, 200.0, ("wing/main", 20.0)), (100.0, 200.0, None)],
)
def test_what_is_seen_from_below(x: float, y: float, found: tuple[str, float] | None) -> None:
    """Under face of the body's floor at z -25, of the wing's strip at z 20; beside the body nothing."""
    met = under(subject_of(marram()).airframe, x, y)
    assert (met is None) == (found is None)
    if met is not None and found is not None:
        assert met[0] == found[0]
        assert met[1] == pytest.approx(found[1])


def test_the_spar_inside_is_not_what_is_seen_from_below() -> None:
    line = ((239.0, 60.0, 0.0), (239.0, 84.0, 0.0))
    assert first_from_below(subject_of(marram()).airframe, "wing", line, 0.9) == "wing/main"


def test_servos_receiver_and_controller_have_a_cross_on_what_they_stand_on() -> None:
    """Marram without fittings, its servos 7.5 mm higher, so that they stand inside on the under strip and not
    through it: servos on its inner face, the rest on the body's floor; each cross is 8 mm wide, its middle at
    the item's own x and y."""
    subject = subject_of(with_values(equipment__servo__z_mm=28.0))
    for kind, blank, panel in (
        ("servo", "wing/main", "strip"),
        ("receiver", "body/main", "floor"),
        ("controller", "body/main", "floor"),
    ):
        items = [item for item in subject.fitted.items if item.kind == kind]
        found = landed(subject, kind)
        assert len(found) == 2 * len(items)
        for name, where, face, places in found:
            assert (name, where.removesuffix("-2"), face) == (blank, panel, "b")
            middle = places.mean(axis=0)
            assert min(
                np.hypot(*(middle[:2] - item.place_mm[:2])) for item in items
            ) == pytest.approx(0.0, abs=0.3)  # fmt: skip
            assert np.ptp(places[:, :2], axis=0).max() == pytest.approx(8.0, abs=0.1)


def test_a_servo_in_a_printed_frame_has_its_outline_and_no_cross() -> None:
    """The frame's outline, 34.4 by 22.8 mm about the servo's middle, says where it goes; trays leave the
    other crosses alone, and a frame about one servo leaves the other servo its cross."""
    subject = subject_of(marram())
    assert landed(subject, "servo") == []
    frames = landed(subject, "servo-frame")
    assert sorted(round(float(places[:-1, 1].mean())) for *_, places in frames) == [-110, 110]
    assert len(landed(subject, "receiver")) == 2
    assert len(landed(subject, "controller")) == 2
    right = tuple(
        each
        for each in subject.airframe.guides
        if each.name != "servo-frame" or np.mean([point[1] for point in each.points]) > 0.0
    )
    half = replace(subject, airframe=replace(subject.airframe, guides=right))
    asked = [each for each in mark_requests(half) if each.name == "servo"]
    assert len(asked) == 2
    assert all(point[1] < -100.0 for each in asked for point in each.points)


def test_an_outline_far_above_a_servo_is_not_its_frame() -> None:
    """8 mm clear of its box is too far, as for boards."""
    subject = subject_of(marram())
    high = tuple(
        replace(each, points=tuple((x, y, z + 60.0) for x, y, z in each.points))
        for each in subject.airframe.guides
    )
    asked = mark_requests(replace(subject, airframe=replace(subject.airframe, guides=high)))
    assert len([each for each in asked if each.name == "servo"]) == 4


def test_equipment_with_no_board_near_has_no_cross() -> None:
    """8 mm clear of everything is too far; the aeroplane is not 500 mm high."""
    subject = subject_of(marram())
    items = tuple(replace(item, place_mm=(200.0, 0.0, 500.0)) for item in subject.fitted.items)
    away = replace(subject, fitted=replace(subject.fitted, items=items))
    assert [landed(away, kind) for kind in ("servo", "receiver", "controller")] == [[], [], []]
