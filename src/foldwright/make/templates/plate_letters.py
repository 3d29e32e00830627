"""What is written on a plate: whose it is, which face, which way round, what each slot is [mm]."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import lru_cache
from math import atan2, ceil, cos, inf, sin

import numpy as np
from shapely import affinity

from foldwright.base.types import FloatArray
from foldwright.geometry.solid.core import Area
from foldwright.geometry.solid.letters import least_height, letters
from foldwright.geometry.solid.shape import arrow
from foldwright.make.templates.letter_room import Room, Spot
from foldwright.make.templates.model import Letters

_STEP = 0.85
_BEFORE, _ABOVE = 3.0, 0.6
_REACH = 45.0
_FAR = 1e4
_ARROW_MM, _ARROW_WIDE = 12.0, 5.0
_CAPITALS = "BEHMNORS"


@dataclass(frozen=True, slots=True)
class Style:
    """Heights to try, tallest first, and the stem."""

    heights: tuple[float, ...]
    stem: float


@dataclass(frozen=True, slots=True, eq=False)
class Beside:
    """Words for a line: from the fullest to the shortest, near a place (2,)."""

    words: tuple[str, ...]
    near: FloatArray


@dataclass(slots=True)
class Written:
    """Letters placed, arrows, and the words that found no room."""

    letters: list[Letters] = field(default_factory=list)
    arrows: list[Area] = field(default_factory=list)
    missed: list[str] = field(default_factory=list)


def style(wanted: float, stem: float) -> Style:
    """Heights from the one wished for down to the least that can be read with the stem."""
    least = round(least_height(stem, _CAPITALS) + 0.049, 1)
    heights = [max(wanted, least)]
    while heights[-1] * _STEP > least:
        heights.append(round(heights[-1] * _STEP, 2))
    if heights[-1] > least:
        heights.append(least)
    return Style(tuple(heights), stem)


def letters_area(one: Letters) -> Area:
    """A line of letters as it lies on the plate, seen from above: those underneath are mirrored."""
    ink = letters(one.text, one.height, one.stem)
    low_x, _, high_x, _ = ink.bounds
    ink = affinity.translate(ink, -(low_x + high_x) / 2.0, -one.height / 2.0)
    if one.under:
        ink = affinity.scale(ink, -1.0, 1.0, origin=(0.0, 0.0))
    turned = affinity.rotate(ink, one.angle, origin=(0.0, 0.0), use_radians=True)
    moved: Area = affinity.translate(turned, *one.at)
    return moved


def write(
    room: Room, written: Written, words: Beside, style_: Style, *, under: bool = False, reach: float = _REACH
) -> bool:
    """One line of letters as near as it goes to its place, in the fullest words and tallest letters."""
    for text in words.words:
        for shown, height in _tries(text, style_):
            spot = room.find(*_box(shown, height, style_.stem), words.near, reach)
            if spot is not None:
                written.letters.append(_letters(shown, height, style_.stem, spot, under=under))
                return True
    written.missed.append(words.words[-1])
    return False


def write_any(room: Room, written: Written, words: Beside, style_: Style, *, under: bool = False) -> bool:
    """As `write`, anywhere on the plate."""
    return write(room, written, words, style_, under=under, reach=_FAR)


def point_to(
    room: Room, written: Written, word: str, toward: FloatArray, near: FloatArray, style_: Style
) -> bool:
    """A word with an arrow beside it that points in a direction (2,), somewhere near a place."""
    for shown, height in _tries(word, style_):
        width, tall = _box(shown, height, style_.stem)
        for long in (_ARROW_MM, 0.7 * _ARROW_MM):
            whole = width + long + 1.0, max(tall, long + 1.0)
            spot = room.find(*whole, near, _FAR)
            if spot is None:
                continue
            along = np.array([cos(spot.angle), sin(spot.angle)])
            at = np.asarray(spot.at) - along * (long + 1.0) / 2.0
            written.letters.append(_letters(shown, height, style_.stem, Spot(_pair(at), spot.angle)))
            middle = np.asarray(spot.at) + along * (width + 1.0) / 2.0
            written.arrows.append(_arrow(middle, toward, long, style_.stem))
            return True
    written.missed.append(word)
    return False


def _arrow(middle: FloatArray, toward: FloatArray, long: float, stem: float) -> Area:
    shape = affinity.translate(
        arrow(long, _ARROW_WIDE * long / _ARROW_MM, 0.4 * long, stem), -long / 2.0, 0.0
    )
    turned = affinity.rotate(shape, atan2(toward[1], toward[0]), origin=(0.0, 0.0), use_radians=True)
    moved: Area = affinity.translate(turned, *_pair(middle))
    return moved


def _tries(text: str, style_: Style) -> tuple[tuple[str, float], ...]:
    """Texts and heights from the tallest: in small letters as long as their counters stay open, in capitals
    below that.
    """
    small = _heights(text, style_)
    lowest = small[-1] if small else inf
    capitals = [height for height in _heights(text.upper(), style_) if height < lowest]
    return (*((text, height) for height in small), *((text.upper(), height) for height in capitals))


def _heights(text: str, style_: Style) -> list[float]:
    least = ceil(20.0 * _least(text, style_.stem) - 1e-6) / 20.0
    taller = [height for height in style_.heights if height > least]
    return [*taller, least] if least <= max(style_.heights[0], _least(text.upper(), style_.stem)) else taller


def least_size(text: str, style_: Style) -> tuple[float, float]:
    """Room that a line takes in the smallest letters that can be read."""
    shown, height = _tries(text, style_)[-1]
    return _box(shown, height, style_.stem)


@lru_cache(maxsize=1024)
def _least(text: str, stem: float) -> float:
    return least_height(stem, text)


@lru_cache(maxsize=4096)
def _ink(text: str, height: float, stem: float) -> tuple[float, float, float]:
    """Width, bottom and top of a line of letters, its baseline at 0."""
    _, low, width, high = letters(text, height, stem).bounds
    return width, low, high


def _box(text: str, height: float, stem: float) -> tuple[float, float]:
    """Room that a line of letters takes."""
    width, low, high = _ink(text, height, stem)
    return width + _BEFORE, high - low + _ABOVE


def _letters(text: str, height: float, stem: float, spot: Spot, *, under: bool = False) -> Letters:
    """A line whose ink fills the box: tails below the line push its capitals up."""
    _, low, high = _ink(text, height, stem)
    up = (height - low - high) / 2.0
    at = np.asarray(spot.at) + up * np.array([-sin(spot.angle), cos(spot.angle)])
    return Letters(text, _pair(at), height, stem, spot.angle, under)


def _pair(at: FloatArray) -> tuple[float, float]:
    return float(at[0]), float(at[1])
