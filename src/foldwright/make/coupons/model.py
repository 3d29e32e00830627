"""What coupons are: drawings to cut from board, solids to print, and what was found about them."""

from __future__ import annotations

from dataclasses import dataclass

from foldwright.base.finding import Finding
from foldwright.make.drawing import Drawing, Item, Path, Pen, Point, Text
from foldwright.make.formats.pens import PenStyle
from foldwright.make.printing import Made

LETTER_MM = 3.0
LEAST_LETTER_MM = 1.6
MARGIN_MM = 5.0
_WIDE = 0.78  # of a letter's height, as in make.dimension
_STEP = 1.5


@dataclass(frozen=True, slots=True)
class Coupons:
    """All coupons of a workshop.

    drawings: by name of their files, without endings, true to size and without kerf. made: name, title,
    solid and how it is used. findings: what could not be made as it should be. looks: own looks of layers of
    a drawing, by its name: what a front end tells apart by colour.
    """

    drawings: tuple[tuple[str, Drawing], ...]
    made: tuple[tuple[str, str, Made, str], ...]
    findings: tuple[Finding, ...] = ()
    looks: tuple[tuple[str, tuple[tuple[str, PenStyle], ...]], ...] = ()


def ring(pen: Pen, low: Point, high: Point) -> Path:
    """A closed rectangle between two corners."""
    return Path(pen, "", ((low[0], low[1]), (high[0], low[1]), (high[0], high[1]), (low[0], high[1])), True)


def rows(texts: tuple[str, ...], at: Point, room: float, height: float = LETTER_MM) -> list[Item]:
    """Lines of letters under each other from the upper left corner `at`, small enough for the room.

    All of them are as high as the longest allows; below `LEAST_LETTER_MM` they are not made smaller.
    """
    longest = max(len(text) for text in texts)
    high = max(min(height, room / (_WIDE * longest)), LEAST_LETTER_MM)
    return [
        Text("letter", "", (at[0], at[1] - high - _STEP * high * number), high, text)
        for number, text in enumerate(texts)
    ]


def tall(texts: tuple[str, ...], room: float, height: float = LETTER_MM) -> float:
    """Height that `rows` takes, mm."""
    longest = max(len(text) for text in texts)
    high = max(min(height, room / (_WIDE * longest)), LEAST_LETTER_MM)
    return high * (1.0 + _STEP * (len(texts) - 1)) + 0.35 * high
