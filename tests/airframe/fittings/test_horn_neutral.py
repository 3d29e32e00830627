"""The rod for a neutral that is not in line, against a loop closed by bisection: none of our closed forms."""

from __future__ import annotations

from collections.abc import Callable
from math import asin, cos, degrees, radians, sin

import numpy as np
import pytest

from foldwright.airframe.fittings.horn_words import looks
from foldwright.airframe.horn_drive import RESERVE
from foldwright.base.messages import told, words
from foldwright.base.types import FloatArray
from foldwright.design.fittings import ControlHorn
from tests.airframe.fittings.controls import World, built, horn

PLACES = [
    ("marram", "wing.elevon", "servo"),
    ("bracken", "wing.elevon", "servo"),
    ("teasel", "tail.elevator", "elevator-servo"),
    ("teasel", "fin.rudder", "rudder-servo"),
    ("sedge", "canard.elevator", "elevator-servo"),
    ("samphire", "tail.ruddervator", "right-servo"),
]
WAYS = {"up": (0, 0, 1), "down": (0, 0, -1), "to the right": (0, 1, 0), "to the left": (0, -1, 0)}
WAYS |= {"forward": (-1, 0, 0), "aft": (1, 0, 0)}


def spun(vector: FloatArray, axis: FloatArray, angle: float) -> FloatArray:
    """A vector turned right-handed, by the matrix of the cross product and its square."""
    x, y, z = axis
    k = np.array([[0.0, -z, y], [z, 0.0, -x], [-y, x, 0.0]])
    found: FloatArray = vector + sin(angle) * (k @ vector) + (1.0 - cos(angle)) * (k @ (k @ vector))
    return found


def root(lack: Callable[[float], float], low: float, high: float) -> float:
    """Where a function changes sign."""
    assert lack(low) * lack(high) < 0.0
    for _ in range(80):
        middle = (low + high) / 2.0
        low, high = (middle, high) if lack(low) * lack(middle) > 0.0 else (low, middle)
    return (low + high) / 2.0


class Bars:
    """Arm, rod and horn as a builder measures them: the arm where the words say that it stands."""

    def __init__(self, made: World, one: ControlHorn) -> None:
        drive = made.drive(one)
        note = next(note for note in made.airframe.notes if note.code == "P33")
        said = str(note.params["arm_way"])
        assert said in WAYS, said  # square to the case in all of these
        self.shaft, self.axis = drive.pose.point, drive.pose.shaft
        self.arm = drive.arm * np.array(WAYS[said], dtype=np.float64)
        fitting = made.airframe.fittings[0]
        self.hole = (fitting.placement @ np.array([0.0, 0.0, fitting.figures["height_mm"], 1.0]))[:3]
        self.hinge, self.line = drive.line.ends[0], drive.line.outward
        edge = drive.line.aft * drive.line.control.chord
        lifts = np.array([0.0, -1.0, 0.0] if drive.line.surface.upright else [0.0, 0.0, 1.0])
        # a positive angle here takes the trailing edge up, of fins to the left
        self.line = self.line * (1.0 if float((spun(edge, self.line, 0.1) - edge) @ lifts) > 0.0 else -1.0)

    def gap(self, turn: float, up: float) -> float:
        """Between the holes, mm."""
        horn_hole = self.hinge + spun(self.hole - self.hinge, self.line, up)
        return float(np.linalg.norm(horn_hole - self.shaft - spun(self.arm, self.axis, turn)))

    def ends(self, neutral: float, turn: float = radians(45.0)) -> tuple[float, float]:
        """Up and down from in line, rad, at full travel, with a rod made for a neutral up, rad."""
        rod = self.gap(0.0, neutral)
        found = [
            root(lambda up, way=way: self.gap(way * turn, up) - rod, neutral - 0.75, neutral + 0.75)  # type: ignore[misc]
            for way in (1.0, -1.0)
        ]
        return max(found), -min(found)


@pytest.mark.parametrize(("name", "control", "servo"), PLACES)
def test_words_and_throws_agree(name: str, control: str, servo: str) -> None:
    """Origin: bisection, the arm put on exactly as the words say it stands."""
    made = built(name, horn(control, servo))
    one, bars = made.airframe.fittings[0], Bars(made, horn(control, servo))
    up, down = bars.ends(0.0)
    assert one.figures["up_deg"] == pytest.approx(degrees(up), abs=0.02)
    assert one.figures["down_deg"] == pytest.approx(degrees(down), abs=0.02)
    assert one.figures["rod_mm"] == pytest.approx(bars.gap(0.0, 0.0), abs=2e-3)


@pytest.mark.parametrize(("name", "control", "servo"), PLACES)
@pytest.mark.parametrize("edge", [5.0, -4.0])
def test_rod_for_a_neutral(name: str, control: str, servo: str, edge: float) -> None:
    """Origin: bisection; signs of rod and throws for a trailing edge up and down (fins: left and right)."""
    plain = built(name, horn(control, servo))
    height = plain.airframe.fittings[0].figures["height_mm"]
    arm = plain.airframe.fittings[0].figures["arm_mm"]
    set_up = horn(control, servo, height_mm=height, arm_mm=arm, neutral_mm=edge)
    made = built(name, set_up)
    bars = Bars(made, set_up)
    drive, one = made.drive(set_up), made.airframe.fittings[0]
    neutral = asin(edge / drive.line.control.chord)
    up, down = bars.ends(neutral)
    assert degrees(up - neutral) == pytest.approx(one.figures["up_deg"], abs=0.02)
    assert degrees(down + neutral) == pytest.approx(one.figures["down_deg"], abs=0.02)
    longer = bars.gap(0.0, neutral) - bars.gap(0.0, 0.0)
    assert drive.neutral is not None
    assert float(drive.rigged(drive.neutral).rod) - float(drive.linkage.rod) == pytest.approx(
        longer, abs=2e-3
    )
    assert one.figures["rod_per_mm"] == pytest.approx(longer / edge, abs=0.03)
    note = next(note for note in made.airframe.notes if note.code == "P33")
    says = told(note.code, note.about, note.params).says
    assert f"{bars.gap(0.0, neutral):.1f} mm. At the servo's" in says
    ways = ("left", "right") if drive.line.surface.upright else ("up", "down")
    assert f"{abs(edge):g} mm {ways[0] if edge > 0.0 else ways[1]}, " in says
    grows = one.figures["rod_per_mm"] > 0.0
    assert f"mm {'longer' if grows else 'shorter'} for each mm {ways[0]}" in says


def test_marram_as_measured() -> None:
    """Origin: solved by hand on another occasion: arm 8, horn 15 above the board, 5.1 mm up at the servo's
    middle wants 66.6 mm and reaches 18.5 up and 8.5 down, where the rod in line (64.5) reaches 13.4 and 13.7.
    """
    fixed = horn("wing.elevon", "servo", arm_mm=8.0, height_mm=15.0)
    drive = built("marram", fixed).drive(fixed)
    chord = drive.line.control.chord
    neutral = -asin(5.1 / chord)  # positive toward the under face
    assert float(drive.rigged(neutral).rod) - float(drive.linkage.rod) == pytest.approx(2.1, abs=0.06)
    up = -neutral + drive.reached_from(neutral, "upper")
    down = neutral + drive.reached_from(neutral, "under")
    assert chord * sin(up) == pytest.approx(18.5, abs=0.1)
    assert chord * sin(down) == pytest.approx(8.5, abs=0.1)


def test_a_stated_neutral_takes_the_place_of_the_reserve() -> None:
    """Origin: 15° of travel want a higher horn than 1.35 times as much."""
    unknown = built("marram", horn("wing.elevon", "servo", arm_mm=8.0)).fitting("horn/right")
    known = built("marram", horn("wing.elevon", "servo", arm_mm=8.0, neutral_mm=5.1)).fitting("horn/right")
    assert known.figures["height_mm"] > unknown.figures["height_mm"] + 2.0
    assert min(known.figures["up_deg"], known.figures["down_deg"]) >= 15.0
    assert unknown.figures["up_deg"] >= 15.0 * RESERVE


def test_a_neutral_beyond_the_hinge() -> None:
    """P117, with a number that cures it."""
    found = built("marram", horn("wing.elevon", "servo", neutral_mm=200.0)).found("P117")
    assert [one.where for one in found] == ["fitting.horn.neutral_mm"]
    assert found[0].verdict == "no-go"
    most = found[0].limit
    assert most is not None
    assert not built("marram", horn("wing.elevon", "servo", neutral_mm=most)).found("P117")
    assert built("marram", horn("wing.elevon", "servo", neutral_mm=-200.0)).found("P117")


def test_a_horn_like_a_mast() -> None:
    """P114 says that it bends and strikes the ground; a usual height says nothing."""
    found = built("marram", horn("wing.elevon", "servo", height_mm=200.0)).found("P114")
    assert [one.where for one in found] == ["fitting.horn.height_mm"]
    says = words(found[0]).says
    assert "bends" in says
    assert "strikes the ground first" in says
    above = built("marram", horn("wing.elevon", "servo", height_mm=200.0, face="upper")).found("P114")
    assert "strikes" not in words(above[0]).says
    assert not built("marram", horn("wing.elevon", "servo", height_mm=12.0)).found("P114")


@pytest.mark.parametrize(
    ("vector", "said"),
    [
        ((0.0, 8.0, 0.0), "to the right"),
        ((-0.02, -8.0, 0.0), "to the left"),
        ((2.0, -8.0, 0.0), "to the left, 14° aft"),
        ((-8.0, 3.0, 0.0), "forward, 21° right"),
        ((0.0, 3.0, -8.0), "down, 21° right"),
    ],
)
def test_looks(vector: tuple[float, float, float], said: str) -> None:
    """Origin: first principles."""
    assert looks(np.array(vector)) == said


def test_a_servo_is_not_turned_over_for_a_tenth() -> None:
    """Samphire's servos stand on a floor, shafts up: a horn of 8 mm reaches its throws either way."""
    one = horn("tail.ruddervator", "right-servo")
    assert built("samphire", one).drive(one).pose.shaft[2] == 1.0
