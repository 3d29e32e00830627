"""Room for words on a part: clear of its lines, inside its outline. Everything in one sheet view [mm]."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from math import atan2, cos, degrees, hypot, sin

import numpy as np
import shapely

from foldwright.base.types import FloatArray
from foldwright.geometry.lettering import width_mm
from foldwright.make.drawing import Face, Text

_BESIDE = 1.0
# Distances of a name from its fold's outermost line that are tried.
_STEPS = (_BESIDE, 3.0, 5.0)
_AIR = 0.6
SMALL_HEIGHTS = (2.5, 2.0, 1.6)
"""Heights of letters beside lines, the wished first."""

_NAME_HEIGHTS = (4.0, 3.2, 2.5, 2.0)
_LEAST_HEIGHT = 1.6
PLACES = (0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8, 0.1, 0.9)
"""Parts of a line's length at which its name may stand."""

WIDER = 1.15
"""Printed letters are up to 15 % wider than single strokes."""

BELOW, ABOVE = 0.3, 1.1
"""What letters reach below their line and above it, of their height."""

_LINE_STEP = 1.6
# Lines within a degree or so of upright are read upward, to whichever side they lean.
_UPRIGHT = 0.02


@dataclass(slots=True)
class Room:
    """One face of one part while words are put on it.

    inside: the part's area. taken: lines and words that are there already. forced: words that stand on
    others for want of room. heights: of letters beside lines, the wished first.
    """

    face: Face
    inside: shapely.Polygon
    taken: list[shapely.Geometry] = field(default_factory=list)
    forced: int = 0
    heights: tuple[float, ...] = SMALL_HEIGHTS

    def fits(self, box: shapely.Polygon) -> bool:
        """True where a box lies inside, clear of everything taken."""
        if not self.inside.contains(box):
            return False
        return not any(shapely.distance(other, box) < _AIR for other in self.taken)

    def put(self, box: shapely.Geometry) -> None:
        """Take the place of a box or a line."""
        self.taken.append(box)


def box_about(at: FloatArray, along: FloatArray, width: float, low: float, high: float) -> shapely.Polygon:
    """Rectangle `width` long about `at`, along a unit vector, from `low` to `high` across."""
    across = np.array([-along[1], along[0]])
    half = along * width / 2.0
    return shapely.Polygon(
        [
            at - half + low * across,
            at + half + low * across,
            at + half + high * across,
            at - half + high * across,
        ]
    )


def reading_way(along: FloatArray) -> FloatArray:
    """Unit vector along a line that words on it are read in: to the right, or upward."""
    unit: FloatArray = along / np.hypot(*along)
    forward = unit[1] > 0.0 if abs(unit[0]) <= _UPRIGHT else unit[0] > 0.0
    return unit if forward else -unit


def fold_name(
    room: Room, words: Sequence[str], p: FloatArray, q: FloatArray, reach: float, side: float
) -> Text:
    """The name of a fold beside its line p→q, upright, on the child's side of it.

    words: from the fullest to the shortest. reach: how far the fold's own lines go to that side. side: +1
    where the child lies to the left of p→q in this view, else -1. Where nothing is clear the shortest name
    stands beside the middle of the line all the same.
    """
    along = (q - p) / hypot(*(q - p))
    child = side * np.array([-along[1], along[0]])
    reading = reading_way(along)
    above = float(np.array([-reading[1], reading[0]]) @ child) > 0.0

    def base(share: float, gap: float, height: float) -> FloatArray:
        # the baseline is the near side of letters that stand above the line, the far side of those below
        away = gap + (BELOW * height if above else ABOVE * height)
        spot: FloatArray = p + share * (q - p) + away * child
        return spot

    for text in words:
        for height in room.heights:
            width = WIDER * width_mm(text, height)
            for gap in (*(reach + step for step in _STEPS), _BESIDE):
                for share in PLACES:
                    spot = base(share, gap, height)
                    box = box_about(spot, reading, width, -BELOW * height, ABOVE * height)
                    if room.fits(box):
                        room.put(box)
                        return text_at(room.face, spot, reading, height, text)
    room.forced += 1
    height = SMALL_HEIGHTS[-1]
    spot = base(0.5, _BESIDE, height)
    room.put(box_about(spot, reading, WIDER * width_mm(words[-1], height), 0.0, height))
    return text_at(room.face, spot, reading, height, words[-1])


def text_at(face: Face, base: FloatArray, along: FloatArray, height: float, words: str) -> Text:
    """Words centred about a place of their baseline, written along a unit vector."""
    angle = round(degrees(atan2(along[1], along[0])), 6) + 0.0
    return Text("letter", face, (float(base[0]), float(base[1])), height, words, angle, "centre")


def part_name(room: Room, lines: Sequence[str]) -> list[Text]:
    """The lines of a part's label, one under the other, where the part has room nearest its middle.

    Rather than in letters under 2 mm the lines stand apart. Where none is clear the first line stands across
    the part's middle in the smallest letters, and the others are left out.
    """
    for size in range(len(lines), 0, -1):
        block = _block(room, lines[:size], _NAME_HEIGHTS)
        if block:
            return [*block, *more_lines(room, lines[size:])]
    block = _block(room, lines[:1], (_LEAST_HEIGHT,))
    if block:
        return [*block, *more_lines(room, lines[1:])]
    room.forced += 1
    point = room.inside.representative_point()
    return _label(room, lines[:1], np.array([point.x, point.y]), np.array([1.0, 0.0]), _LEAST_HEIGHT)


def more_lines(room: Room, lines: Sequence[str]) -> list[Text]:
    """Each line by itself, where there is room."""
    return [text for line in lines for text in _block(room, (line,), (2.5, 2.0, _LEAST_HEIGHT))]


def _block(room: Room, lines: Sequence[str], heights: Sequence[float]) -> list[Text]:
    """Lines under each other in the tallest letters that there is room for, or nothing."""
    for height in heights:
        width = WIDER * max(width_mm(line, height) for line in lines)
        deep = height * (1.0 + _LINE_STEP * (len(lines) - 1))
        for along in (np.array([1.0, 0.0]), np.array([0.0, 1.0])):
            middle = _clear_spot(room, width, deep * 1.15, along)
            if middle is not None:
                return _label(room, lines, middle, along, height)
    return []


def _label(
    room: Room, lines: Sequence[str], middle: FloatArray, along: FloatArray, height: float
) -> list[Text]:
    across = np.array([-along[1], along[0]])
    deep = height * (1.0 + _LINE_STEP * (len(lines) - 1))
    texts: list[Text] = []
    for index, line in enumerate(lines):
        base = middle + across * (deep / 2.0 - height - index * _LINE_STEP * height)
        texts.append(text_at(room.face, base, along, height, line))
        room.put(box_about(base, along, WIDER * width_mm(line, height), -BELOW * height, ABOVE * height))
    return texts


def _clear_spot(room: Room, width: float, deep: float, along: FloatArray) -> FloatArray | None:
    """Middle of the clear place nearest the part's middle for a box along an axis of the view, or None."""
    x0, y0, x1, y1 = room.inside.bounds
    xs, ys = (np.linspace(a, b, min(40, int((b - a) / 2.0) + 2) + 1)[1:-1] for a, b in ((x0, x1), (y0, y1)))
    spots = np.array([(x, y) for x in xs for y in ys]).reshape(-1, 2)
    centre = room.inside.centroid
    away = np.round(np.hypot(spots[:, 0] - centre.x, spots[:, 1] - centre.y), 6)
    spots = spots[np.lexsort((spots[:, 1], spots[:, 0], away))]
    half = (width * np.abs(along) + deep * np.abs(along[::-1])) / 2.0
    boxes = np.asarray(shapely.box(*(spots - half).T, *(spots + half).T))
    shapely.prepare(room.inside)
    found = np.flatnonzero(shapely.contains(room.inside, boxes))
    if room.taken and len(found):
        # a tree of what is taken asks each place for its neighbours only
        places = list(boxes[found])
        met = shapely.STRtree(room.taken).query(places, predicate="dwithin", distance=_AIR)
        found = np.delete(found, np.unique(met[0]))
    return spots[found[0]] if len(found) else None


def grain_arrow(room: Room, grain_rad: float) -> list[FloatArray]:
    """An arrow with two heads along the grain, with its word, where there is room: polylines (n, 2)."""
    along = np.array([cos(grain_rad), sin(grain_rad)])
    for length in (40.0, 25.0, 15.0):
        middle = _clear_spot(room, length, 3.0, along)
        if middle is not None:
            room.put(box_about(middle, along, length, -1.5, 1.5))
            return _arrow(middle, along, length)
    return []


def _arrow(middle: FloatArray, along: FloatArray, length: float) -> list[FloatArray]:
    across = np.array([-along[1], along[0]])
    ends = [middle - along * length / 2.0, middle + along * length / 2.0]
    heads = [
        np.stack([end + back * along * 3.0 + across * 1.2, end, end + back * along * 3.0 - across * 1.2])
        for end, back in zip(ends, (1.0, -1.0), strict=True)
    ]
    return [np.stack(ends), *heads]


def taken_by(lines: Iterable[FloatArray]) -> list[shapely.Geometry]:
    """Polylines (n, 2) as shapes that words keep clear of."""
    return [shapely.LineString(points) for points in lines]
