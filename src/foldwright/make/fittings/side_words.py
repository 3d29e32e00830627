"""Words sunk into a side of a printed part, as large as there is room for."""

from __future__ import annotations

import numpy as np

from foldwright.base.types import FloatArray
from foldwright.geometry.solid.core import Area, Solid, extrude
from foldwright.geometry.solid.letters import LEAST_STEM, least_height, letters, letters_size
from foldwright.geometry.solid.shape import OVER, middle_of

DEEP_MM = 0.5
"""How far words are sunk in, mm: two layers and a half."""
MOST_MM = 6.0
RIM_MM = 0.8
"""Left free above and below a word, mm."""


def face_at(
    middle: tuple[float, float, float], normal: tuple[float, float, float], up: tuple[float, float, float]
) -> FloatArray:
    """4x4 of a side: x to the right of who looks at it, y up, z out of it."""
    n, u = np.array(normal, dtype=np.float64), np.array(up, dtype=np.float64)
    found = np.eye(4)
    found[:3, 0], found[:3, 1], found[:3, 2], found[:3, 3] = np.cross(u, n), u, n, middle
    return found


def word_area(text: str, wide: float, high: float) -> Area | None:
    """A word about the origin that fits into some room, None where it would be too small to print."""
    least = least_height(LEAST_STEM, text)
    height = min(MOST_MM, high - 2.0 * RIM_MM)
    while height >= least:
        if letters_size(text, height, LEAST_STEM)[0] <= wide - 2.0 * RIM_MM:
            return middle_of(letters(text, height, LEAST_STEM))
        height -= 0.25
    return None


def sunk(solid: Solid, text: str, face: FloatArray, room: tuple[float, float]) -> Solid:
    """A solid with a word sunk into a side; as it is where the word finds no room.

    face: see `face_at`; room: width and height there, mm.
    """
    area = word_area(text, *room) if text else None
    return solid if area is None else solid - extrude(area, DEEP_MM + OVER, -DEEP_MM).placed(face)
