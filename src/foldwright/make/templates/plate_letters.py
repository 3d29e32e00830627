"""What is written on a plate: whose it is, which face, which way round, what each slot is [mm]."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import lru_cache
from math import atan2, ceil, cos, inf, pi, sin

import numpy as np
import shapely
from shapely import affinity

from foldwright.base.types import FloatArray
from foldwright.geometry.solid.core import Area
from foldwright.geometry.solid.letters import least_height, letters
from foldwright.geometry.solid.shape import arrow
from foldwright.make.templates.letter_room import Room, Spot
from foldwright.make.templates.model import Letters

FACE_A = ("this side up: face A", "face A up", "A up")
"""Which face of the board lies up under a plate, from the fullest words to the shortest."""

FACE_ONLY = "A"
"""The same on a plate with no room for more."""

EDGE = ("board's edge", "edge")
"""What is written at the side of a plate that is laid on the board's own edge."""

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
    """Words for a line: from the fullest to the shortest, near a place (2,). along: other places (2,) on the
    line where a label may stand.
    """

    words: tuple[str, ...]
    near: FloatArray
    along: tuple[FloatArray, ...] = ()


@dataclass(slots=True)
class Written:
    """Letters placed, arrows, labels by the words they stand for. missed: words that found no room; unsaid:
    those of lines, for which there was not even room for a label.
    """

    letters: list[Letters] = field(default_factory=list)
    arrows: list[Area] = field(default_factory=list)
    legend: dict[str, str] = field(default_factory=dict)
    missed: list[str] = field(default_factory=list)
    unsaid: list[str] = field(default_factory=list)


def label_of(words: str, legend: Mapping[str, str]) -> str:
    """The label that stands for words on a plate: the one they have, or the next."""
    return legend.get(words, f"L{len(legend) + 1}")


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
    middle = np.array([_half_width(one.text, one.height, one.stem), one.height / 2.0])
    c, s = cos(one.angle), sin(one.angle)
    turn = np.array([[c, s], [-s, c]])
    if one.under:
        turn = np.array([[-1.0], [1.0]]) * turn
    area: Area = shapely.transform(
        _inked(one.text, one.height, one.stem), lambda points: (points - middle) @ turn + np.array(one.at)
    )
    return area


@lru_cache(maxsize=512)
def _inked(text: str, height: float, stem: float) -> Area:
    return letters(text, height, stem)


def _half_width(text: str, height: float, stem: float) -> float:
    low, _, high, _ = _inked(text, height, stem).bounds
    return float(low + high) / 2.0


def write(
    room: Room, written: Written, words: Beside, style_: Style, *, under: bool = False, reach: float = _REACH
) -> bool:
    """One line of letters as near as it goes to its place, in the fullest words and tallest letters."""
    put = _put(room, words.words, words.near, style_, reach)
    if put is None:
        written.missed.append(words.words[0])
        return False
    written.letters.append(replace(put, under=under))
    return True


def write_beside(room: Room, written: Written, words: Beside, style_: Style, reach: float = _REACH) -> bool:
    """As `write`, of a line; in place of words without room a label that the list of prints explains."""
    full = words.words[0]
    put = _put(room, words.words, words.near, style_, reach)
    if put is None:
        label = label_of(full, written.legend)
        places = (words.near, *words.along)
        put = next((one for at in places if (one := _put(room, (label,), at, style_, reach))), None)
        if put is None:
            written.unsaid.append(full)
            return False
        written.legend[full] = label
    written.letters.append(replace(put, about="line", full=full))
    return True


def _put(room: Room, texts: Sequence[str], near: FloatArray, style_: Style, reach: float) -> Letters | None:
    for text in texts:
        tries = _tries(text, style_)
        boxes = [_box(*one, style_.stem) for one in tries]
        # where not even a box smaller than all of them goes, none of them does
        if not room.fits(min(w for w, _ in boxes), min(h for _, h in boxes), near, reach):
            continue
        for (shown, height), size in zip(tries, boxes, strict=True):
            spot = room.find(*size, near, reach)
            if spot is not None:
                return _letters(shown, height, style_.stem, spot)
    return None


def write_any(room: Room, written: Written, words: Beside, style_: Style, *, under: bool = False) -> bool:
    """As `write`, anywhere on the plate."""
    return write(room, written, words, style_, under=under, reach=_FAR)


def write_edge(room: Room, written: Written, side: FloatArray, middle: FloatArray, style_: Style) -> bool:
    """Which side (2, 2) of a plate is laid on the board's edge: beside it, else a word with an arrow to it;
    never a label, for it is what is done first.
    """
    at, run = side.mean(axis=0), side[1] - side[0]
    length = float(np.hypot(*run))
    put = _put(room, EDGE, at, style_, 0.4 * length)
    if put is not None:
        written.letters.append(replace(put, about="arrow", full="" if put.text == EDGE[0] else EDGE[0]))
        return True
    out = np.array([run[1], -run[0]]) / length
    toward = out if float((at - middle) @ out) > 0.0 else -out
    if point_to(room, written, EDGE[1], toward, at, style_):
        return True
    written.missed[-1] = EDGE[0]
    return False


def write_way(
    room: Room, written: Written, word: str, toward: FloatArray, far: FloatArray, style_: Style,
    close: float,
) -> bool:  # fmt: skip
    """On a small plate: a word with an arrow; else the word alone, its top towards the edge that
    it names, no further than `close` from it, about `far` (2,); else the arrow alone, and the word is missed.
    """
    if point_to(room, written, word, toward, far, style_):
        return True
    written.missed.remove(word)
    angle = atan2(toward[1], toward[0]) - pi / 2.0
    for shown, height in _tries(word, style_):
        spot = room.find_along(*_box(shown, height, style_.stem), far, close, angle)
        if spot is not None:
            put = _letters(shown, height, style_.stem, spot)
            written.letters.append(replace(put, about="arrow"))
            return True
    for long in (_ARROW_MM, 0.7 * _ARROW_MM):
        spot = room.find(long + 1.0, long + 1.0, far, _FAR)
        if spot is not None:
            written.arrows.append(_arrow(np.asarray(spot.at), toward, long, style_.stem))
            written.missed.append(f"{word}, where its arrow points")
            return False
    written.missed.append(word)
    return False


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
            put = _letters(shown, height, style_.stem, Spot(_pair(at), spot.angle))
            written.letters.append(replace(put, about="arrow"))
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
    least, capitals = (_least(one, style_.stem) for one in (text, text.upper()))
    taller = [height for height in style_.heights if height > least]
    # in capitals the least height is always among them, however low letters were wished for
    return [*taller, least] if least <= max(style_.heights[0], capitals) else taller


def least_size(text: str, style_: Style) -> tuple[float, float]:
    """Room that a line takes in the smallest letters that can be read."""
    shown, height = _tries(text, style_)[-1]
    return _box(shown, height, style_.stem)


@lru_cache(maxsize=1024)
def _least(text: str, stem: float) -> float:
    """The least height that can be read, up to the next 0.05 mm."""
    return ceil(20.0 * least_height(stem, text) - 1e-6) / 20.0


@lru_cache(maxsize=4096)
def _ink(text: str, height: float, stem: float) -> tuple[float, float, float]:
    """Width, bottom and top of a line of letters, its baseline at 0."""
    _, low, width, high = letters(text, height, stem).bounds
    return width, low, high


def _box(text: str, height: float, stem: float) -> tuple[float, float]:
    """Room that a line of letters takes."""
    width, low, high = _ink(text, height, stem)
    return width + _BEFORE, high - low + _ABOVE


def _letters(text: str, height: float, stem: float, spot: Spot) -> Letters:
    """A line whose ink fills the box: tails below the line push its capitals up."""
    _, low, high = _ink(text, height, stem)
    up = (height - low - high) / 2.0
    at = np.asarray(spot.at) + up * np.array([-sin(spot.angle), cos(spot.angle)])
    return Letters(text, _pair(at), height, stem, spot.angle)


def _pair(at: FloatArray) -> tuple[float, float]:
    return float(at[0]), float(at[1])
