"""How halves are joined: the block under the other tip, from first principles."""

from __future__ import annotations

from math import cos, radians, sin

import numpy as np
import pytest

from foldwright.airframe.halves import BayJoint, bay_block, bay_notes, halves_note, tip_block
from foldwright.airframe.model import LiftingSurface
from foldwright.airframe.wing import build_wing
from foldwright.base.message import Message
from foldwright.base.words.halves import CATALOGUE
from tests.airframe.parts import board, wing


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


# --- bays that are blanks of their own ----------------------------------------------------------------------


def joint(inner: float, *bays: tuple[float, float]) -> BayJoint:
    """An outer blank of bays (length along itself, rise in degrees) on one that rises by `inner` degrees."""
    rises = tuple((length, radians(rise)) for length, rise in bays)
    return BayJoint("wing/right", "wing/right-2", 240.0, radians(inner), rises)


@pytest.mark.parametrize(
    ("inner", "bays", "code", "block"),
    [
        (3.0, ((200.0, 13.0),), "G34", 34.5),  # 200 * sin 10 deg = 200 * 0.17365 = 34.73
        (0.0, ((240.0, 14.0),), "G34", 58.0),  # 240 * 0.24192 = 58.06
        (2.0, ((100.0, 8.0), (150.0, 14.0)), "G34", 41.5),  # 100 * 0.10453 + 150 * 0.20791 = 41.64
        (6.0, ((200.0, 2.0),), "G36", 14.0),  # 200 * sin -4 deg = -200 * 0.06976 = -13.95
        (5.0, ((200.0, 5.0),), "G35", None),
        (5.0, ((200.0, 5.1),), "G35", None),  # 200 * 0.001745 = 0.35: less than can be set
    ],
)
def test_a_bay_of_its_own_stands_on_a_block(
    inner: float, bays: tuple[tuple[float, float], ...], code: str, block: float | None
) -> None:
    """First principles, by hand: the sine of what each bay rises more than the bay that lies flat."""
    one = joint(inner, *bays)
    (note,) = bay_notes("wing", (one,))
    assert (note.code, note.params.get("block")) == (code, block)
    assert [note.params[key] for key in ("inner", "outer", "y")] == ["wing/right", "wing/right-2", 240.0]
    assert ("{block}" in CATALOGUE[code].says) == (block is not None)
    assert block is None or abs(bay_block(one)) == pytest.approx(block, abs=0.25)


@pytest.mark.parametrize(("centre", "inner"), [("auto", "wing/main"), ("two", "wing/right")])
@pytest.mark.parametrize(
    ("first", "second", "code", "block"),
    [
        # level lengths 180 to 330 mm along a bay that rises by the second angle: 150 / cos * sin of the turn
        (3.0, 9.0, "G34", 16.0),  # 150 / 0.98769 * 0.10453 = 15.87
        (6.0, 6.0, "G35", None),
        (6.0, 2.0, "G36", 10.5),  # 150 / 0.99939 * 0.06976 = 10.47
    ],
)
def test_a_wing_says_how_its_bays_are_joined(
    centre: str, inner: str, first: float, second: float, code: str, block: float | None
) -> None:
    bays = (
        {"end_mm": 180.0, "chord_mm": 220.0, "dihedral_deg": first},
        {"chord_mm": 220.0, "dihedral_deg": second, "joint": "apart"},
    )
    made = build_wing(wing(bay=bays, control=(), centre=centre), board())
    (note,) = [note for note in made.notes if note.code in {"G34", "G35", "G36"}]
    assert (note.code, note.params.get("block")) == (code, block)
    assert (note.params["inner"], note.params["outer"], note.params["y"]) == (inner, "wing/right-2", 180.0)
    assert {inner, "wing/right-2", "wing/left-2"} <= {blank.name for blank in made.blanks}


def test_bays_in_one_blank_need_no_word() -> None:
    bays = (
        {"end_mm": 180.0, "chord_mm": 220.0, "dihedral_deg": 3.0}, {"chord_mm": 220.0, "dihedral_deg": 9.0}
    )  # fmt: skip
    made = build_wing(wing(bay=bays, control=()), board())
    assert not {note.code for note in made.notes} & {"G34", "G35", "G36"}
