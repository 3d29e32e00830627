"""Letters: closed forms from first principles; heights were looked at in pictures (common practice)."""

from __future__ import annotations

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from foldwright.geometry.lettering import plain
from foldwright.geometry.solid.letters import (
    LEAST_STEM,
    OPEN,
    USUAL,
    least_height,
    letters,
    letters_size,
)
from tests.examples import examples

TEXT = st.text(st.characters(min_codepoint=32, max_codepoint=0x17F), min_size=1, max_size=12)


def holes(area: shapely.Polygon | shapely.MultiPolygon) -> int:
    return sum(len(part.interiors) for part in shapely.get_parts(area))


@settings(max_examples=examples(30))
@given(st.floats(4.0, 30.0), st.floats(0.8, 1.6))
def test_a_straight_stroke_is_a_stadium(height: float, stem: float) -> None:
    area = letters("l", height, stem)
    # Corners lie on a grid of 0.01 µm. Length times stem, and two half twelve-gons: 12/2 r² sin 30° = 3 r².
    assert area.area == pytest.approx((height - stem) * stem + 3.0 * (stem / 2) ** 2, rel=1e-4)
    assert area.bounds == pytest.approx((0.0, 0.0, stem, height), abs=2e-5)


def test_letters_read_to_the_right_and_stand_upright() -> None:
    area = letters("L", 10.0, 1.0)
    width, height = letters_size("L", 10.0, 1.0)
    assert height == pytest.approx(10.0)
    assert area.contains(shapely.Point(0.5, 9.0))
    assert area.contains(shapely.Point(width - 1.0, 0.5))
    assert not area.contains(shapely.Point(width - 1.0, 9.0))
    assert letters("up", 10.0, 1.0).bounds[1] < -1.0  # the tail of the p


@settings(max_examples=examples(60))
@given(TEXT, st.floats(5.0, 15.0), st.floats(0.8, 1.2))
def test_any_text_gives_letters_that_stand_apart(text: str, height: float, stem: float) -> None:
    if not plain(text).text.strip():
        with pytest.raises(ValueError, match="without letters"):
            letters(text, height, stem)
        return
    area = letters(text, height, stem)
    assert area.is_valid
    low_x, low_y, high_x, high_y = area.bounds
    assert low_x == pytest.approx(0.0, abs=1e-9)
    assert letters_size(text, height, stem) == pytest.approx((high_x - low_x, high_y - low_y))
    # no two strokes, of one letter or two, come together where they did not in single letters
    single = sum(len(shapely.get_parts(letters(c, height, stem))) for c in plain(text).text if c != " ")
    assert len(shapely.get_parts(area)) == single
    assert shapely.union_all([area]).area == pytest.approx(area.area)


@pytest.mark.parametrize("stem", [0.8, 0.9, 1.2])
@pytest.mark.parametrize("char", sorted(set(USUAL) - {"°"}))
def test_counters_stay_open_from_the_least_height_on(char: str, stem: float) -> None:
    meant = {"A": 1, "B": 2, "D": 1, "O": 1, "P": 1, "Q": 1, "R": 1, "a": 1, "b": 1, "d": 1, "e": 1, "g": 1,
             "o": 1, "p": 1, "q": 1, "0": 1, "4": 1, "6": 1, "8": 2, "9": 1}  # fmt: skip
    area = letters(char, least_height(stem, char), stem)
    assert holes(area) == meant.get(char, 0)
    # And with strokes as much wider as shall stay clear.
    wider = area.buffer(0.45 * OPEN)
    assert holes(wider) == meant.get(char, 0)


def test_the_least_height_says_what_it_must() -> None:
    assert least_height(0.8, "THIS SIDE UP") < least_height(0.8, "e") <= least_height(0.8)
    assert least_height(1.0) > least_height(0.8)
    # The workshop's usual letters, 6 mm with a stem of 0.8 mm, are open.
    assert least_height(0.8) < 6.0
    assert holes(letters("e", 0.75 * least_height(0.8, "e"), 0.8)) != 1 or least_height(0.8, "e") > 5.0


def test_thin_stems_and_low_letters_are_refused() -> None:
    with pytest.raises(ValueError, match=r"at least 0\.8 mm"):
        letters("A", 8.0, 0.79)
    with pytest.raises(ValueError, match="at least"):
        least_height(0.5)
    with pytest.raises(ValueError, match="higher"):
        letters("A", 1.5, LEAST_STEM)
    with pytest.raises(ValueError, match="without letters"):
        letters("  ", 6.0, 0.8)
    with pytest.raises(ValueError, match="stem"):
        letters("A", 8.0, float("nan"))


def test_replaced_characters_are_told_by_plain() -> None:
    assert plain("Ø 3°").replaced == (("Ø", "O"), ("°", " deg"))
    assert letters("Ø", 8.0, 0.9).equals(letters("O", 8.0, 0.9))
