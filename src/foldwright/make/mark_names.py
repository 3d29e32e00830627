"""Names of marks and of slanted edges: beyond the end of their own line, on its axis [mm, one sheet view]."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import product
from math import cos, pi, sin

import numpy as np
import shapely

from foldwright.base.types import FloatArray
from foldwright.geometry.lettering import width_mm
from foldwright.make.drawing import Item, Path
from foldwright.make.lettering_room import (
    ABOVE,
    BELOW,
    PLACES,
    SMALL_HEIGHTS,
    WIDER,
    Room,
    box_about,
    reading_way,
    text_at,
)

# Gaps between a line's end and its name; from the second on a leader joins the two.
_GAPS = (1.5, 3.0, 5.0, 8.0, 11.0, 14.0, 18.0, 22.0, 28.0)
_LEADER_FROM = 2.9
_CLEAR = 2.0
_TO_LEADER = 0.8
# Letters lower than this are for where there is no room for taller ones.
_EASY_MM = 2.0
# A name further from its line than this cannot be told to belong to it without a leader.
_ASIDE = (1.2, 2.0, 3.0)
_RINGS = (6.0, 9.0, 13.0, 18.0, 24.0, 32.0, 42.0)
_DIRECTIONS = 16


def mark_name(
    room: Room, words: Sequence[str], line: FloatArray, own: shapely.Geometry, others: shapely.Geometry
) -> list[Item]:
    """The name of a mark and, where it stands apart, a leader to it; never nothing.

    words: from the fullest to the shortest. line: (n, 2), what is named. own: all lines of that name near by.
    others: every other line on this face. Beyond an end of the line, on its axis, clear of all other lines;
    else along the line, nearer to it than to any other; else with a slanting leader.
    """
    p, q = line[0], line[-1]
    easy = tuple(height for height in room.heights if height >= _EASY_MM)
    small = tuple(height for height in room.heights if height < _EASY_MM)
    for text, heights in product(words, (easy, small)):
        if found := _beyond(room, text, p, q, others, heights):
            return found
        if found := _along(room, text, p, q, own, others, heights):
            return found
    for text in words:
        if found := _led(room, text, p, q):
            return found
    return forced_words(room, words[-1], p, q)


def edge_words(
    room: Room, words: Sequence[str], line: FloatArray, own: shapely.Geometry, others: shapely.Geometry
) -> list[Item]:
    """What a line along an edge means, along it or with a leader; nothing where there is no room."""
    for text in words:
        if found := _along(room, text, line[0], line[-1], own, others, room.heights):
            return found
    for text in words:
        if found := _led(room, text, line[0], line[-1]):
            return found
    return []


def _ends(p: FloatArray, q: FloatArray) -> list[tuple[FloatArray, FloatArray]]:
    """Both ends with the way out of the line, the right (or upper) one first."""
    along = reading_way(q - p)
    first, last = (p, q) if float((q - p) @ along) > 0.0 else (q, p)
    return [(last, along), (first, -along)]


def _beyond(
    room: Room, text: str, p: FloatArray, q: FloatArray, others: shapely.Geometry, heights: Sequence[float]
) -> list[Item]:
    if float(np.hypot(*(q - p))) < 1e-6:
        return []
    ends = _ends(p, q)
    reading = ends[0][1]
    up = np.array([-reading[1], reading[0]])
    for height in heights:
        width = WIDER * width_mm(text, height)
        for gap, (end, out) in product(_GAPS, ends):
            base = end + out * (gap + width / 2.0) - up * height / 2.0
            box = box_about(base, reading, width, -BELOW * height, ABOVE * height)
            if not room.fits(box) or shapely.distance(others, box) < _CLEAR:
                continue
            items: list[Item] = []
            if gap > _LEADER_FROM:
                leader = np.stack([end + out * _TO_LEADER, end + out * (gap - _TO_LEADER)])
                if not _leads(room, leader):
                    continue
                items.append(_stroke(room, leader))
            room.put(box)
            return [*items, text_at(room.face, base, reading, height, text)]
    return []


def _along(
    room: Room,
    text: str,
    p: FloatArray,
    q: FloatArray,
    own: shapely.Geometry,
    others: shapely.Geometry,
    heights: Sequence[float],
) -> list[Item]:
    if float(np.hypot(*(q - p))) < 1e-6:
        return []
    reading = reading_way(q - p)
    up = np.array([-reading[1], reading[0]])
    for height in heights:
        width = WIDER * width_mm(text, height)
        if width > float(np.hypot(*(q - p))):
            continue
        for aside, share, above in product(_ASIDE, PLACES, (True, False)):
            away = aside + BELOW * height if above else -aside - ABOVE * height
            base = p + share * (q - p) + away * up
            box = box_about(base, reading, width, -BELOW * height, ABOVE * height)
            if room.fits(box) and shapely.distance(others, box) > shapely.distance(own, box) + _CLEAR:
                room.put(box)
                return [text_at(room.face, base, reading, height, text)]
    return []


def _led(room: Room, text: str, p: FloatArray, q: FloatArray) -> list[Item]:
    """Level, wherever it fits round the line, with a leader from the line's middle or ends."""
    level = np.array([1.0, 0.0])
    for height in room.heights:
        width = WIDER * width_mm(text, height)
        for tip, base in _around(p, q, width, height):
            box = box_about(base, level, width, -BELOW * height, ABOVE * height)
            if not room.fits(box):
                continue
            middle = base + np.array([0.0, height / 2.0])
            half = max(width / WIDER / 2.0 - height / 2.0, 0.0)
            near = np.array([np.clip(tip[0], middle[0] - half, middle[0] + half), middle[1]])
            gap = shapely.LineString([tip, near]).difference(
                shapely.union(box.buffer(_TO_LEADER), shapely.Point(tip).buffer(_TO_LEADER))
            )
            if gap.geom_type == "LineString" and gap.length > 1.0 and _leads(room, np.array(gap.coords)):
                room.put(box)
                return [_stroke(room, np.array(gap.coords)), text_at(room.face, base, level, height, text)]
    return []


def _around(
    p: FloatArray, q: FloatArray, width: float, height: float
) -> Iterator[tuple[FloatArray, FloatArray]]:
    for ring, tip, k in product(_RINGS, (q, p, (p + q) / 2.0), range(_DIRECTIONS)):
        turn = 2.0 * pi * k / _DIRECTIONS
        side = np.array([cos(turn) * (ring + width / 2.0), sin(turn) * ring - height / 2.0])
        yield tip, tip + side


def _leads(room: Room, leader: FloatArray) -> bool:
    """True where a leader lies on the part and crosses nothing."""
    line = shapely.LineString(leader)
    return bool(room.inside.contains(line)) and not any(
        shapely.intersects(other, line) for other in room.taken
    )


def _stroke(room: Room, leader: FloatArray) -> Path:
    room.put(shapely.LineString(leader))
    return Path("letter", room.face, tuple((float(x), float(y)) for x, y in leader))


def forced_words(room: Room, text: str, p: FloatArray, q: FloatArray) -> list[Item]:
    """In the smallest letters at the right end, whatever is there; on the line where that leaves the part."""
    room.forced += 1
    height = SMALL_HEIGHTS[-1]
    width = WIDER * width_mm(text, height)
    end, out = _ends(p, q)[0] if float(np.hypot(*(q - p))) > 1e-6 else (p, np.array([1.0, 0.0]))
    up = np.array([-out[1], out[0]])
    base = end + out * (_GAPS[0] + width / 2.0) - up * height / 2.0
    box = box_about(base, out, width, -BELOW * height, ABOVE * height)
    if not room.inside.contains(box):
        base = (p + q) / 2.0 + up
        box = box_about(base, out, width, -BELOW * height, ABOVE * height)
    room.put(box)
    return [text_at(room.face, base, out, height, text)]
