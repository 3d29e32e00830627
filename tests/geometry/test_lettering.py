"""Single-stroke lettering: heights, widths, directions, and what becomes of characters it does not hold."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from foldwright.geometry.lettering import (
    PLAIN_LETTERS,
    UNKNOWN,
    missing,
    one_line,
    plain,
    strokes,
    substitute,
    width_mm,
)

HEIGHTS = st.floats(0.5, 50.0)
ASCII = st.text(st.characters(min_codepoint=32, max_codepoint=126), max_size=20)


def _extent(lines: list[tuple[tuple[float, float], ...]]) -> tuple[float, float, float, float]:
    xs = [x for line in lines for x, _ in line]
    ys = [y for line in lines for _, y in line]
    return min(xs), min(ys), max(xs), max(ys)


@pytest.mark.parametrize("letters", ["H", "E", "MARX", "17"])
@pytest.mark.parametrize("height", [2.0, 3.5, 10.0])
def test_capitals_and_figures_stand_on_the_baseline_and_have_the_height_asked_for(
    letters: str, height: float
) -> None:
    """First principles: the height of letters is that of capitals."""
    _, bottom, _, top = _extent(strokes(letters, height))
    assert bottom == pytest.approx(0.0, abs=1e-12)
    assert top == pytest.approx(height, rel=1e-12)


def test_descenders_reach_below_the_baseline_and_stay_within_what_pages_reserve() -> None:
    """Our own reserve: 0.35 of the height below the line, 0.2 above capitals (brackets)."""
    _, bottom, _, top = _extent(strokes("gjpqy()|/[]", 10.0))
    assert -3.5 <= bottom < 0.0
    assert 10.0 <= top <= 12.0


@given(ASCII, ASCII, HEIGHTS)
def test_widths_add_up_and_scale_with_height(left: str, right: str, height: float) -> None:
    both = width_mm(left + right, height)
    assert both == pytest.approx(width_mm(left, height) + width_mm(right, height), abs=1e-9)
    assert width_mm(left, 2 * height) == pytest.approx(2 * width_mm(left, height), abs=1e-9)


@given(ASCII, HEIGHTS, st.floats(-7.0, 7.0), st.floats(-500, 500), st.floats(-500, 500))
def test_place_and_angle_are_a_rigid_motion(
    text: str, height: float, angle: float, x: float, y: float
) -> None:
    """First principles: turned by the angle and shifted, nothing else."""
    flat, moved = strokes(text, height), strokes(text, height, (x, y), angle)
    assert [len(line) for line in flat] == [len(line) for line in moved]
    for line, other in zip(flat, moved, strict=True):
        for (px, py), (qx, qy) in zip(line, other, strict=True):
            assert qx == pytest.approx(x + px * math.cos(angle) - py * math.sin(angle), abs=1e-9)
            assert qy == pytest.approx(y + px * math.sin(angle) + py * math.cos(angle), abs=1e-9)


def test_strokes_lie_within_the_advance_width() -> None:
    text = "wing/right/main 24 mm"
    left, _, right, _ = _extent(strokes(text, 5.0))
    assert left >= 0.0
    assert right <= width_mm(text, 5.0)


def test_every_printable_character_but_the_space_is_drawn() -> None:
    assert all(strokes(chr(code), 3.0) for code in range(33, 127))
    assert strokes(" ", 3.0) == []
    assert width_mm(" ", 3.0) > 0.0


def test_what_the_alphabet_lacks_is_named_and_replaced() -> None:
    """The library alone would drop these four in silence (met in use)."""
    assert missing("5° Ø ä ±1 mm") == {"°", "Ø", "ä", "±"}
    brought = plain("5° Ø ä ±1 mm, 5°")
    assert brought.text == "5 deg O a +/-1 mm, 5 deg"
    assert brought.replaced == (("°", " deg"), ("Ø", "O"), ("ä", "a"), ("±", "+/-"))
    assert strokes("5° ä", 3.0) == strokes("5 deg a", 3.0)


def test_composed_and_decomposed_letters_are_the_same() -> None:
    assert plain("a\u0308").text == plain("ä").text == "a"


def test_a_character_without_plain_letters_is_shown_as_such() -> None:
    assert plain("翼 1").text == f"{UNKNOWN} 1"
    assert plain("翼").replaced == (("翼", UNKNOWN),)


def test_plain_letters_are_all_in_the_alphabet() -> None:
    assert all(missing(letters) == set() for letters in PLAIN_LETTERS.values())


def test_a_font_that_knows_more_replaces_less() -> None:
    assert substitute("±5°", {"±", "5"}).text == "±5 deg"


@given(st.text(max_size=30))
def test_any_text_becomes_one_line_of_known_letters(text: str) -> None:
    brought = plain(text)
    assert missing(brought.text) == set()
    assert "\n" not in one_line(text)
    assert width_mm(text, 3.0) == pytest.approx(width_mm(brought.text, 3.0))


@pytest.mark.parametrize("height", [0.0, -1.0, math.nan, math.inf])
def test_a_height_that_is_none_is_refused(height: float) -> None:
    with pytest.raises(ValueError, match="height of letters"):
        strokes("a", height)
