"""Where equipment goes, in words: Marram's places are in its design file."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from foldwright.geometry.fold.flat import transforms
from foldwright.make.book_data import counted
from foldwright.make.equipment_places import equipment_places
from foldwright.make.folded_way import edge_words, face_words, looks
from tests.make.evaluations import marram, results


def said() -> tuple[str, ...]:
    made = marram()
    found = results(made)
    return equipment_places(made.design, found.airframe, found.fitted, found.balance.battery.x)


def test_every_thing_is_said_once_with_its_place() -> None:
    """Every item's x is that of the design; a pair has one line; Marram's pusher motor is behind the nose."""
    made, words = marram(), said()
    for item in made.design.equipment:
        lines = [line for line in words if line.startswith((f"{item.id},", f"{item.id} "))]
        assert len(lines) == 1
        assert f"{round(item.x_mm)} behind the nose" in lines[0]
        assert ("right and left of the centre line" in lines[0]) is item.mirrored
    motor = next(line for line in words if line.startswith("motor, "))
    assert f"Propeller plane {round(made.design.motor.x_mm)} behind the nose" in motor
    assert "screwed to body/motor-former" in motor


def test_the_battery_stands_on_the_tray_and_the_servo_goes_through_the_strip() -> None:
    """Design: the battery stands on the tray; the servos are let through the wing's under strip."""
    words = said()
    battery = next(line for line in words if line.startswith("battery, "))
    assert "on the centre line, on body/tray." in battery
    assert "strip of wing/main" in next(line for line in words if line.startswith("servo, "))


def test_what_stands_off_the_middle_says_on_which_side() -> None:
    """y is positive to the right."""
    made = marram()
    found = results(made)
    receiver = next(item for item in found.fitted.items if item.kind == "receiver")
    for y, side in ((9.0, "9 right of"), (-9.0, "9 left of")):
        moved = replace(receiver, place_mm=(receiver.place_mm[0], y, receiver.place_mm[2]))
        fitted = replace(found.fitted, items=(moved,))
        words = equipment_places(made.design, found.airframe, fitted, 120.0)
        assert any(f"{side} the centre line" in line for line in words)


def test_faces_of_folded_blanks() -> None:
    """The wing and the body wrap round an inside; a direction a little off an axis has one word."""
    placed = {one.blank.name: one for one in results(marram()).airframe.placed}
    for name in ("wing/main", "body/main"):
        one = placed[name]
        assert face_words(one.blank, one.transforms) == "Face A is the outside."
    assert looks(np.array([0.0, 0.1, 0.99])) == "up"
    assert looks(np.array([0.0, -0.6, 0.8])) == "up and to the left"
    assert looks(np.array([0.0, 0.0, -1.0])) == "down"


def test_words_at_the_ends_of_folded_blanks() -> None:
    """Marram's nose is a fold: its free ends are the trailing edge and two tips; rear looks aft, each tip
    outward."""
    one = next(one for one in results(marram()).airframe.placed if one.blank.name == "wing/main")
    places = transforms(one.blank)
    ways = {end.word: places[end.panel][:3, :2] @ end.toward for end in edge_words(one.blank)}
    assert set(ways) == {"rear", "left tip", "right tip"}
    assert ways["rear"][0] > 0.8
    assert ways["left tip"][1] < -0.8
    assert ways["right tip"][1] > 0.8


def test_numbers_before_a_plural() -> None:
    assert counted("for 1 straight length(s) of spar") == "for 1 straight length of spar"
    assert counted("for 2 straight length(s) of spar") == "for 2 straight lengths of spar"
