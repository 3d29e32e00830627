"""Where the words of a sheet go that has no room for the 100 mm square: a free rectangle, or a border [mm].

A list is written whole or not at all; the same list stands in folding.txt.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from foldwright.geometry.lettering import width_mm
from foldwright.make.drawing import Item, Text
from foldwright.make.free_space import FreeSpace

ELSEWHERE = "what the lines mean: folding.txt"
_HEIGHTS = (2.5, 2.2, 2.0, 1.8, 1.6)
_WIDER = 1.15
_STEP = 1.7
_AROUND = 2.0
_LEAST = 1.5


@dataclass(frozen=True, slots=True)
class Block:
    """A free rectangle for a list: lower left corner, size, height of letters, whether it is read upward."""

    x: float
    y: float
    width: float
    height: float
    letters: float
    upright: bool


def find_block(space: FreeSpace, lists: Sequence[Sequence[str]], near: tuple[float, float]) -> Block | None:
    """Room for the longest of several lists in the tallest letters that there is room for, or None."""
    count = max(map(len, lists), default=0)
    if count == 0:
        return None
    for letters in _HEIGHTS:
        long = _WIDER * max(width_mm(line, letters) for lines in lists for line in lines) + 2.0 * _AROUND
        deep = _STEP * letters * count + 2.0 * _AROUND
        for upright in (False, True):
            width, height = (deep, long) if upright else (long, deep)
            corner = space.find(width, height, near)
            if corner is not None:
                return Block(*corner, width, height, letters, upright)
    return None


def block_items(block: Block, lines: Sequence[str], below_of: float | None = None) -> list[Item]:
    """The lines of a list in its place. below_of: height of a sheet that is seen from below."""
    y = block.y if below_of is None else below_of - block.y - block.height
    items: list[Item] = []
    for number, line in enumerate(lines):
        down = _AROUND + block.letters + _STEP * block.letters * number
        at = (block.x + down, y + _AROUND) if block.upright else (block.x + _AROUND, y + block.height - down)
        items.append(Text("letter", "", at, block.letters, line, 90.0 if block.upright else 0.0))
    return items


def along_the_right(width: float, height: float, border: float, lines: Sequence[str]) -> list[Item]:
    """A list in one line up the right border; nothing where it does not fit whole."""
    letters = min(_HEIGHTS[0], border - 2.0)
    text = "; ".join(line.removesuffix(".") for line in lines)
    start = 2.0 * border + 6.0
    if not lines or letters < _LEAST or _WIDER * width_mm(text, letters) > height - 2.0 * start:
        return []
    return [Text("letter", "", (width - 1.2, start), round(letters, 3), text, 90.0)]
