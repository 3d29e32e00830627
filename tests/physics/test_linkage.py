"""Arm, rod and horn: the loop closes, known linkages give known throws, and it says where it locks."""

from __future__ import annotations

from math import asin, atan2, cos, degrees, pi, radians, sin

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from foldwright.physics import linkage as rods
from tests.examples import examples

# Norton, Design of Machinery, example 4-1 (from memory): arm 40, rod 120, horn 80, frame 100, arm at 40° to
# the frame; the open circuit's horn stands at 57.33°, the crossed one's at -98.01°.
FOUR_BAR = (40.0, 120.0, 80.0, 100.0)
ARM_DEG, OPEN_DEG, CROSSED_DEG = 40.0, 57.33, -98.01


def four_bar(lengths: tuple[float, float, float, float], arm: float, horn: float) -> rods.Linkage:
    """A planar linkage with its frame along +x (shaft left of the hinge); angles from +x toward +z, rad."""
    a, _, c, d = lengths
    return rods.planar((-d, 0.0), (a * cos(arm), a * sin(arm)), (c * cos(horn), c * sin(horn)))


def circuit(lengths: tuple[float, float, float, float], arm: float, opened: float) -> float:
    """Angle of the horn where the loop closes, from the cosine rule on both triangles; first principles."""
    a, b, c, d = lengths
    x, z = d - a * cos(arm), -a * sin(arm)
    across = np.hypot(x, z)
    return atan2(-z, -x) - opened * float(np.arccos((across**2 + c**2 - b**2) / (2 * across * c)))


def found_deg(opened: float) -> float:
    """Horn of the textbook's linkage by following the throw from another position of it, degrees."""
    start = radians(80.0)
    horn = circuit(FOUR_BAR, start, opened)
    bar = four_bar(FOUR_BAR, start, horn)
    # turns are right-handed about y, which takes z to x: angles from x toward z count the other way
    turn = -(radians(ARM_DEG) - start)
    found = degrees(horn - float(rods.throw(bar, turn).angle))
    return (found + 180.0) % 360.0 - 180.0


def test_textbook_example() -> None:
    """Origin: memory of Norton, example 4-1."""
    assert found_deg(1.0) == pytest.approx(OPEN_DEG, abs=0.01)
    assert found_deg(-1.0) == pytest.approx(CROSSED_DEG, abs=0.01)


@pytest.mark.parametrize("opened", [1.0, -1.0])
def test_freudenstein_holds_along_the_curve(opened: float) -> None:
    """Origin: published equation (Freudenstein 1955)."""
    start = radians(80.0)
    horn = circuit(FOUR_BAR, start, opened)
    bar = four_bar(FOUR_BAR, start, horn)
    assert float(bar.rod) == pytest.approx(120.0, abs=1e-9)
    turn = np.linspace(-0.6, 0.6, 25)
    curve = rods.throw(bar, turn)
    assert not curve.locked.any()
    left = rods.freudenstein(FOUR_BAR, start - turn, horn - curve.angle)
    assert np.abs(left).max() < 1e-12


def test_parallelogram_turns_alike() -> None:
    """Origin: first principles: opposite sides stay parallel."""
    bar = rods.planar((-60.0, 0.0), (0.0, -12.0), (0.0, -12.0))
    turn = np.linspace(-1.4, 1.4, 57)
    np.testing.assert_allclose(rods.throw(bar, turn).angle, turn, atol=1e-12)
    assert float(rods.ratio(bar)) == pytest.approx(1.0, abs=1e-15)


def sines_deg() -> float:
    """An endless rod moves by r sin θ = h sin δ; first principles."""
    return degrees(asin(10.0 / 20.0 * sin(radians(ARM_DEG))))


def long_rod_deg() -> float:
    """The same with a rod of 10 km, degrees."""
    bar = rods.planar((-1e7, 0.0), (0.0, -10.0), (0.0, -20.0))
    return degrees(float(rods.throw(bar, radians(ARM_DEG)).angle))


def test_long_rod_is_the_ratio_of_sines() -> None:
    """Origin: first principles."""
    assert long_rod_deg() == pytest.approx(sines_deg(), abs=1e-4)


def test_small_angles_follow_the_ratio() -> None:
    """Origin: first principles: r / h where both stand square to the rod; in general the curve's slope."""
    square = rods.planar((-50.0, 0.0), (0.0, -9.0), (0.0, -9.0))
    assert float(rods.ratio(square)) == pytest.approx(1.0)
    bar = rods.planar((-50.0, 3.0), (1.0, -9.0), (2.0, -17.0))
    step = 1e-5
    slope = (rods.throw(bar, step).angle - rods.throw(bar, -step).angle) / (2 * step)
    assert float(slope) == pytest.approx(float(rods.ratio(bar)), rel=1e-8)


def test_signs() -> None:
    """Origin: first principles. Axis +y, x aft, z up: a positive deflection is trailing edge down. A horn
    below, its arm below too: the rod pulled forward turns both the same way, trailing edge down.
    """
    bar = rods.planar((-60.0, 0.0), (0.0, -10.0), (0.0, -20.0))
    pulled = rods.turned(bar.arm, bar.axis, np.array(0.2)) - bar.arm
    assert pulled[0] < 0.0
    assert rods.throw(bar, 0.2).angle > 0.0
    crossed = rods.planar((-60.0, 0.0), (0.0, -10.0), (0.0, 20.0))
    assert rods.throw(crossed, 0.2).angle < 0.0


def test_locks() -> None:
    """Origin: first principles: an arm of 30 on a horn of 10 pulls it into line with the
    rod before the servo has turned by a right angle; then there is no position.
    """
    bar = rods.planar((-60.0, 0.0), (0.0, -30.0), (0.0, -10.0))
    low, high = (float(x) for x in rods.locks(bar))
    assert -pi / 2 < low < 0.0 < high < pi / 2
    for edge in (low, high):
        inside, beyond = rods.throw(bar, edge * 0.999), rods.throw(bar, edge * 1.001)
        assert not inside.locked
        assert beyond.locked
        assert np.isnan(beyond.angle)
        # at the lock rod and horn are in line: the turn's own slope goes to infinity
        assert abs(float(rods.throw(bar, edge * 0.999).angle)) > abs(edge)
    # what lies behind a lock is not reached even where the loop would close again
    assert rods.throw(bar, np.array([pi * 0.999, -pi * 0.999])).locked.all()


def test_dead_at_neutral() -> None:
    """Origin: first principles: horn along the rod."""
    straight = rods.planar((-60.0, 0.0), (10.0, 0.0), (20.0, 0.0))
    assert rods.throw(straight, np.array([-0.1, 0.1])).locked.all()


def test_horn_for_a_throw() -> None:
    """Origin: the throw curve itself."""
    bar = rods.planar((-55.0, -4.0), (0.0, -10.5), (0.0, -1.0))
    turn, angle = radians(40.0), radians(15.0)
    height = float(rods.horn_for(bar, turn, angle))
    assert height == pytest.approx(10.5 * sin(turn) / sin(angle), rel=0.1)  # first principles, long rod
    made = rods.with_horn(bar, np.array([0.0, 0.0, -height]))
    assert float(rods.throw(made, turn).angle) == pytest.approx(angle, abs=1e-12)
    assert float(rods.turn_for(made, angle).angle) == pytest.approx(turn, abs=1e-12)


def test_differential() -> None:
    """Origin: first principles. Horn below, rod from ahead: its hole ahead of the hinge line comes square to
    the rod when pushed (trailing edge up), so pulled it gains and the edge goes further down than up.
    """
    turn = radians(35.0)
    even = rods.differential(rods.planar((-5e4, 0.0), (0.0, -10.0), (0.0, -20.0)), turn)
    ahead = rods.differential(rods.planar((-5e4, 0.0), (0.0, -10.0), (-5.0, -20.0)), turn)
    behind = rods.differential(rods.planar((-5e4, 0.0), (0.0, -10.0), (5.0, -20.0)), turn)
    assert float(even) == pytest.approx(1.0, abs=1e-3)
    assert float(ahead) > 1.02
    assert float(behind) < 0.98


def test_upright_servo() -> None:
    """Origin: first principles: an arm in the level plane moves its hole by r sin θ along the rod, too."""
    z, y = np.array([0.0, 0.0, -1.0]), np.array([0.0, 1.0, 0.0])
    shaft = np.array([-1e7, -10.0, -20.0])
    bar = rods.Linkage(shaft, z, 10.0 * y, np.zeros(3), y, np.array([0.0, 0.0, -20.0]))
    turn = radians(30.0)
    moved = rods.turned(bar.arm, bar.axis, np.array(turn))[0]
    assert moved == pytest.approx(10.0 * sin(turn))  # about -z: +y turns to +x
    assert float(rods.throw(bar, turn).angle) == pytest.approx(-asin(0.5 * sin(turn)), abs=1e-6)
    assert float(rods.slant(bar)) == pytest.approx(0.0, abs=1e-6)


def test_arrays_and_numbers_agree() -> None:
    """Samples on the leading axis, turns on another; origin: one at a time."""
    lengths = np.array([8.0, 10.0, 12.0])
    arms = np.zeros((3, 3))
    arms[:, 2] = -lengths
    one = rods.planar((-60.0, 0.0), (0.0, -10.0), (0.0, -20.0))
    many = rods.Linkage(one.shaft, one.axis, arms, one.hinge, one.line, one.horn)
    turns = np.linspace(-0.7, 0.7, 5)
    table = rods.throw(many, turns[:, None])
    assert table.angle.shape == (5, 3)
    assert rods.ratio(many).shape == (3,)
    for i, length in enumerate(lengths):
        single = rods.planar((-60.0, 0.0), (0.0, -float(length)), (0.0, -20.0))
        np.testing.assert_allclose(rods.throw(single, turns).angle, table.angle[:, i], atol=1e-14)


@settings(max_examples=examples(150), deadline=None)
@given(
    st.tuples(st.floats(-200, -25), st.floats(-20, 20), st.floats(-20, 20)),
    st.floats(5, 16), st.floats(-1.0, 1.0), st.floats(6, 30), st.floats(-0.4, 0.4), st.floats(0, pi),
)  # fmt: skip
def test_loop_closes(
    shaft: tuple[float, float, float], r: float, lean: float, h: float, back: float, way: float
) -> None:
    """Origin: the rod's own length, anywhere in space."""
    axis = np.array([0.0, sin(way), cos(way)])
    side = np.cross(axis, np.array([1.0, 0.0, 0.0]))
    arm = r * (cos(lean) * side + sin(lean) * np.array([1.0, 0.0, 0.0]))
    horn = h * np.array([sin(back), 0.0, -cos(back)])
    bar = rods.Linkage(np.array(shaft), axis, arm, np.zeros(3), np.array([0.0, 1.0, 0.0]), horn)
    turn = np.linspace(-0.8, 0.8, 33)
    curve = rods.throw(bar, turn)
    free = ~curve.locked
    assert np.abs(rods.loop_error(bar, turn[free], curve.angle[free])).max(initial=0.0) < 1e-10
    if free[16]:
        assert abs(float(curve.angle[16])) < 1e-7
        jumps = np.abs(np.diff(curve.angle[free]))
        assert jumps.max(initial=0.0) < 1.5  # one branch: it does not leap to the other
