"""Which way round a flat part is built in: "front" or "up" at the edge that points there [mm].

A part that is one plane panel says nothing of this by itself: a tray looks the same from either end.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from foldwright.base.types import FloatArray
from foldwright.geometry.fold.model import Blank
from foldwright.geometry.lettering import width_mm
from foldwright.make.drawing import Face as PenFace
from foldwright.make.drawing import Item, Path
from foldwright.make.lettering_room import (
    ABOVE,
    BELOW,
    WIDER,
    Room,
    box_about,
    reading_way,
    text_at,
)

# A direction that lies further out of the part's plane than 45 degrees does not name an edge of it.
_IN_PLANE = 0.7
_HEIGHTS = (3.2, 2.5, 2.0, 1.6)
# Letters no taller than this share of the part's lesser width, where that leaves 2 mm.
_SHARE = 0.075
_ARROW = 6.0
_DEPTHS = (0.5, 1.5, 3.0, 5.0, 8.0, 12.0, 17.0, 23.0, 30.0, 40.0, 55.0)
_SHARES = (0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8, 0.1, 0.9)
_SIDES = (("forward", "aft"), ("left", "right"), ("down", "up"))


@dataclass(frozen=True, slots=True, eq=False)
class WayRound:
    """How a flat part is built in.

    word: "front" or "up", lettered at the edge that points there. toward: (2,) unit vector in the blank's
    frame to that edge.
    """

    word: str
    toward: FloatArray


def way_round(blank: Blank) -> WayRound | None:
    """The edge of a part without folds that points forward (-x) or else up (+z) in the aeroplane; None for a
    folded blank, whose folds tell.
    """
    if blank.folds or len(blank.panels) > 1:
        return None
    turn = blank.placement[:3, :2]
    for word, vector in (("front", (-1.0, 0.0, 0.0)), ("up", (0.0, 0.0, 1.0))):
        flat = np.array(vector) @ turn
        length = float(np.hypot(*flat))
        if length > _IN_PLANE:
            return WayRound(word, flat / length)
    return None


def faces_where(blank: Blank, face: PenFace) -> str:
    """The side of the aeroplane that a face of a flat part looks to: forward, aft, left, right, up, down."""
    normal = blank.placement[:3, 2] * (1.0 if face == "a" else -1.0)
    axis = int(np.argmax(np.round(np.abs(normal), 6)))
    return _SIDES[axis][int(normal[axis] > 0.0)]


def way_items(room: Room, word: str, toward: FloatArray) -> list[Item]:
    """The word as near as it goes to the part's edge in the view's direction `toward`, with an arrow to it.

    Where nothing is clear the word stands in the part's middle, in the smallest letters.
    """
    reading = reading_way(np.array([-toward[1], toward[0]]))
    x0, y0, x1, y1 = room.inside.bounds
    most = max(2.0, _SHARE * min(x1 - x0, y1 - y0))
    for height in (h for h in _HEIGHTS if h <= most):
        for arrow in (_ARROW, 0.0):
            found = _at_edge(room, word, toward, reading, height, arrow)
            if found:
                return found
    room.forced += 1
    middle = room.inside.representative_point()
    base = np.array([middle.x, middle.y])
    return [text_at(room.face, base, reading, _HEIGHTS[-1], word)]


def end_items(room: Room, word: str, toward: FloatArray) -> list[Item]:
    """As `way_items`, in small letters, for one panel of a folded blank; nothing where nothing is clear."""
    reading = reading_way(np.array([-toward[1], toward[0]]))
    for height in room.heights:
        for arrow in (_ARROW, 0.0):
            found = _at_edge(room, word, toward, reading, height, arrow)
            if found:
                return found
    return []


def _at_edge(
    room: Room, word: str, toward: FloatArray, reading: FloatArray, height: float, arrow: float
) -> list[Item]:
    """Word and arrow in one box; the arrow stands beside the word and points to the edge."""
    corners = np.asarray(room.inside.exterior.coords)
    reach, side = corners @ toward, corners @ reading
    up = np.array([-reading[1], reading[0]])
    width = WIDER * width_mm(word, height) + (3.0 if arrow else 0.0)
    deep = max((ABOVE + BELOW) * height, arrow)
    for depth in _DEPTHS:
        for share in _SHARES:
            at = float(side.min()) + share * float(np.ptp(side))
            middle = reading * at + toward * (float(reach.max()) - depth - deep / 2.0)
            box = box_about(middle, reading, width, -deep / 2.0, deep / 2.0)
            if not room.fits(box):
                continue
            room.put(box)
            base = middle - up * (ABOVE - BELOW) * height / 2.0
            if not arrow:
                return [text_at(room.face, base, reading, height, word)]
            text = text_at(room.face, base - reading * 1.5, reading, height, word)
            return [text, *_arrow(room, middle + reading * (width / 2.0 - 1.2), toward, arrow)]
    return []


def _arrow(room: Room, middle: FloatArray, toward: FloatArray, length: float) -> list[Item]:
    across = np.array([-toward[1], toward[0]])
    tip, tail = middle + toward * length / 2.0, middle - toward * length / 2.0
    head = [tip - 2.0 * toward + 0.9 * across, tip, tip - 2.0 * toward - 0.9 * across]
    return [
        Path("letter", room.face, tuple((float(x), float(y)) for x, y in points))
        for points in ([tail, tip], head)
    ]
