"""How halves are joined: the block under the other tip, from first principles."""

from __future__ import annotations

from math import cos, radians, sin

import numpy as np
import pytest

from foldwright.airframe.halves import halves_note, tip_block
from foldwright.airframe.model import LiftingSurface
from foldwright.base.message import Message
from foldwright.base.words.halves import CATALOGUE


def surface(*bays: tuple[float, float]) -> LiftingSurface:
    """A wing of bays (length along itself, rise in degrees) from the centre line outward."""
    points = [np.array([100.0, 0.0, 20.0])]
    points += [np.array([0.0, d * cos(radians(r)), d * sin(radians(r))]) for d, r in bays]
    le, count = np.cumsum(points, axis=0), len(bays) + 1
    xi, camber = np.linspace(0.0, 1.0, 5), np.zeros((count, 5))
    chord, twist = np.full(count, 180.0), np.zeros(count)
    return LiftingSurface("wing", le, chord, twist, xi, camber, 0.1, 5.0, 5.0, True, True)


def test_one_bay_rises_by_twice_its_dihedral() -> None:
    assert tip_block(surface((450.0, 6.5))) == pytest.approx(450.0 * sin(radians(13.0)))


def test_a_level_middle_leaves_the_rise_of_the_outer_bay() -> None:
    assert tip_block(surface((240.0, 0.0), (240.0, 14.0))) == pytest.approx(240.0 * sin(radians(14.0)))


def test_two_rising_bays() -> None:
    """The other half's bays stand at twice the inmost rise, and at the sum of both."""
    expected = 200.0 * sin(radians(8.0)) + 250.0 * sin(radians(4.0 + 10.0))
    assert tip_block(surface((200.0, 4.0), (250.0, 10.0))) == pytest.approx(expected)


def test_a_drooping_half_is_negative() -> None:
    assert tip_block(surface((300.0, -3.0))) < 0.0


@pytest.mark.parametrize(("rise", "code"), [(6.0, "G198"), (0.0, "G199")])
def test_the_note_says_which(rise: float, code: str) -> None:
    note = halves_note(surface((400.0, rise)))
    assert note.code == code
    message: Message = CATALOGUE[code]
    assert ("{block}" in message.says) == ("block" in note.params)
