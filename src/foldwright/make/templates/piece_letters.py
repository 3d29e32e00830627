"""Letters on the pieces of a plate: which piece of how many, and which joint meets which. Lengths in mm."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from math import cos, pi, sin

import numpy as np
import shapely
from shapely import affinity
from shapely.geometry.base import BaseGeometry

from foldwright.base.types import FloatArray
from foldwright.geometry.solid.core import Area
from foldwright.geometry.solid.letters import least_height
from foldwright.geometry.solid.letters import letters as letters_of
from foldwright.make.templates.areas import area_of
from foldwright.make.templates.model import Letters
from foldwright.make.templates.plate_letters import EDGE, FACE_A, label_of

CLEAR_MM = 0.8
"""Left between letters and any edge or slot [judgement]."""

APART_MM = 1.6
"""As much more between two lines of letters, so that they are not read as one [judgement]."""

_FINE, _COARSE = 1.0, 2.5
_LOWEST = (5.0, 4.5, 4.0, 3.6)
_MOST_PLACES = 400


@dataclass(frozen=True, slots=True)
class Hand:
    """How letters are written. height: wished for; stem: of their strokes."""

    height: float
    stem: float

    def heights(self, text: str) -> tuple[float, ...]:
        """Heights to try for a text, the greatest first, none lower than can be read."""
        least = least_height(self.stem, text)
        tries = (self.height, *(one for one in _LOWEST if one < self.height))
        return tuple(one for one in tries if one >= least) or (max(self.height, least),)


def box_of(letters: Letters) -> shapely.Polygon:
    """The rectangle that a line of letters takes on its plate, tails included."""
    width, low, high = extent(letters.text, letters.height, letters.stem)
    flat = shapely.box(-0.5 * width, low, 0.5 * width, high)
    turned = affinity.rotate(flat, letters.angle, origin=(0.0, 0.0), use_radians=True)
    return affinity.translate(turned, *letters.at)


@lru_cache(maxsize=4096)
def extent(text: str, height: float, stem: float) -> tuple[float, float, float]:
    """Width of a line of letters, and how far it reaches below and above the middle of its capitals."""
    x0, y0, x1, y1 = letters_of(text, height, stem).bounds
    return x1 - x0, y0 - 0.5 * height, y1 - 0.5 * height


def free_for(body: Area, taken: Sequence[BaseGeometry]) -> Area:
    """What of a piece may carry letters: clear of its edges and of all that is taken."""
    inner = body.buffer(-CLEAR_MM, join_style="mitre")
    near = [one for one in taken if not one.is_empty and one.intersects(inner)]
    if not near:
        return area_of(inner)
    return area_of(inner.difference(shapely.union_all(near).buffer(CLEAR_MM, quad_segs=2)))


def fitted(
    text: str, free: Area, near: tuple[float, float], reach: float, hand: Hand, angles: Sequence[float]
) -> Letters | None:
    """A line of letters in free material, as near a place as it will go; lower letters where it must.

    reach: how far from the place it may stand. None where there is no room.
    """
    if free.is_empty:
        return None
    for height in hand.heights(text):
        width, low, high = extent(text, height, hand.stem)
        found = _place((width, 2.0 * max(high, -low)), free, near, reach, angles)
        if found is not None:
            return Letters(text, found[0], height, hand.stem, found[1])
    return None


def moved(letters: Letters, free: Area, reach: float) -> Letters | None:
    """A line of letters at another place near its own, at its angle first, lower where it must be; None where
    there is no room.
    """
    angles = tuple(dict.fromkeys((letters.angle, upright(letters.angle + 0.5 * pi), *directions(free))))
    hand = Hand(letters.height, letters.stem)
    found = fitted(letters.text, free, letters.at, reach, hand, angles)
    return None if found is None else replace(letters, at=found.at, height=found.height, angle=found.angle)


def shorter(letters: Letters, legend: Mapping[str, str]) -> tuple[Letters, ...]:
    """The same in fewer letters: a line's words as a label, which face lies up in fewer words."""
    if letters.about == "line":
        full = letters.full or letters.text
        label = label_of(full, legend)
        return () if letters.text == label else (replace(letters, text=label, full=full),)
    if letters.text.lower() == EDGE[0]:
        return (replace(letters, text=EDGE[1], full=letters.text),)
    if letters.text.lower() == FACE_A[0].lower():
        return tuple(replace(letters, text=text, full=letters.text) for text in FACE_A[1:])
    return ()


def upright(angle: float) -> float:
    """The same direction of a line of letters, the right way up: in (-π/2, π/2]."""
    half = float(np.mod(angle, pi))
    return half - pi if half > 0.5 * pi + 1e-9 else half


def directions(body: Area) -> tuple[float, ...]:
    """Angles for letters on a piece: level, upright, and along its longest edges."""
    if body.is_empty:
        return (0.0, 0.5 * pi)
    largest = max(shapely.get_parts(body), key=lambda part: round(part.area, 6))
    points = np.asarray(shapely.get_exterior_ring(largest).coords)
    edges = np.diff(points, axis=0)
    order = np.argsort(-np.round(np.hypot(edges[:, 0], edges[:, 1]), 3), kind="stable")
    found = [0.0, 0.5 * pi]
    for k in order[:4]:
        angle = upright(float(np.arctan2(edges[k, 1], edges[k, 0])))
        if all(abs(angle - other) > 0.05 for other in found):
            found.append(angle)
    return tuple(found)


def _place(
    size: tuple[float, float],
    free: Area,
    near: tuple[float, float],
    reach: float,
    angles: Sequence[float],
) -> tuple[tuple[float, float], float] | None:
    """Middle and angle of a rectangle in free material, the nearest to a place on a grid about it."""
    middles = _middles(free, min(size), near, reach)
    if not len(middles):
        return None
    shapely.prepare(free)
    for start in range(0, len(middles), 40):
        some = middles[start : start + 40]
        rects = np.concatenate([_rects(size, some, angle) for angle in angles])
        inside = np.flatnonzero(shapely.contains_properly(free, rects))
        if len(inside):
            first = min((int(k) % len(some), int(k) // len(some)) for k in inside)
            x, y = some[first[0]]
            return (round(float(x), 4), round(float(y), 4)), angles[first[1]]
    return None


def _middles(free: Area, height: float, near: tuple[float, float], reach: float) -> FloatArray:
    """Grid points deep enough in free material, by their distance from a place."""
    around = shapely.box(near[0] - reach, near[1] - reach, near[0] + reach, near[1] + reach)
    deep = shapely.intersection(free, around.buffer(height)).buffer(-0.49 * height)
    if deep.is_empty:
        return np.empty((0, 2))
    x0, y0, x1, y1 = deep.intersection(around).bounds if deep.intersects(around) else (0.0, 0.0, -1.0, -1.0)
    if x1 < x0:
        return np.empty((0, 2))
    step = min(max(_FINE, (x1 - x0 + y1 - y0) / 80.0), _COARSE)
    x, y = np.meshgrid(_middles_of(x0, x1, step), _middles_of(y0, y1, step))
    points = np.column_stack([x.ravel(), y.ravel()])
    points = points[shapely.intersects_xy(deep, points[:, 0], points[:, 1])]
    far = np.round(np.hypot(points[:, 0] - near[0], points[:, 1] - near[1]), 3)
    found: FloatArray = points[np.lexsort((points[:, 0], points[:, 1], far))][:_MOST_PLACES]
    return found


def _middles_of(low: float, high: float, step: float) -> FloatArray:
    """Middles of equal steps from low to high, one at least."""
    count = max(1, int(np.ceil((high - low) / step)))
    middles: FloatArray = low + (np.arange(count) + 0.5) * (high - low) / count
    return middles


def _rects(size: tuple[float, float], middles: FloatArray, angle: float) -> FloatArray:
    """A rectangle about every point, turned."""
    c, s = cos(angle), sin(angle)
    half = 0.5 * np.array(size)
    corners = np.array([[-1, -1], [1, -1], [1, 1], [-1, 1]]) * half @ np.array([[c, s], [-s, c]])
    rects: FloatArray = shapely.polygons(middles[:, None, :] + corners[None, :, :])
    return rects
