"""Where the faces and the edges of a folded blank end up in the aeroplane.

Frame: x aft, y right, z up; face A of a panel looks along its normal.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from foldwright.base.types import FloatArray
from foldwright.geometry.fold.flat import transforms
from foldwright.geometry.fold.model import Blank, Fold
from foldwright.geometry.transform import apply

# A blank whose panels lean no more than this from their mean (cosine) is open: it has no inside.
_OPEN = 0.5
# A second direction is named too where the face turns to it by more than about 25 degrees.
_ALSO = 0.42
_WORDS = (("forward", "aft"), ("to the left", "to the right"), ("down", "up"))
_IN_PLANE = 0.8
# An edge within this share of the part's length from its end is the end.
_AT_END = 0.1
_LEAST_MM = 20.0
_OFF_MIDDLE_MM = 20.0


@dataclass(frozen=True, slots=True, eq=False)
class EdgeWord:
    """A word for one free edge of a folded blank. toward: (2,) unit vector out of it in the blank's frame."""

    word: str
    panel: str
    toward: FloatArray


def face_words(blank: Blank, places: Mapping[str, FloatArray]) -> str:
    """A sentence about face A of a folded blank. places: 4x4 of each panel, folded."""
    rows = _panels(blank, places)
    normals = np.array([normal for normal, _, _ in rows])
    centres = np.array([centre for _, centre, _ in rows])
    areas = np.array([area for _, _, area in rows])
    mean = areas @ normals
    length = float(np.linalg.norm(mean))
    if length > 0.0 and float((normals @ mean).min()) >= _OPEN * length:
        return f"Face A looks {looks(mean / length)}."
    middle = areas @ centres / areas.sum()
    outward = float(areas @ np.einsum("ij,ij->i", normals, centres - middle))
    return f"Face A is the {'outside' if outward > 0.0 else 'inside'}."


def _panels(blank: Blank, places: Mapping[str, FloatArray]) -> list[tuple[FloatArray, FloatArray, float]]:
    """Normal of face A, middle and area of every panel, flaps at hinges left out."""
    flaps = {fold.child for fold in blank.folds if fold.method == "live"}
    found = []
    for panel in blank.panels:
        if panel.name in flaps and len(flaps) < len(blank.panels):
            continue
        points = panel.polygon
        after = np.roll(points, -1, axis=0)
        area = abs(float(np.sum(points[:, 0] * after[:, 1] - points[:, 1] * after[:, 0]))) / 2.0
        middle = np.append((points.min(axis=0) + points.max(axis=0)) / 2.0, blank.thickness / 2.0)
        place = places[panel.name]
        found.append((place[:3, 2], apply(place, middle[None])[0], area))
    return found


def looks(normal: FloatArray) -> str:
    """The one or two sides of the aeroplane that a direction (3,) goes to: "up", "up and to the left"."""
    size = np.round(np.abs(normal), 6)
    order = sorted(range(3), key=lambda axis: -float(size[axis]))
    named = [axis for k, axis in enumerate(order) if k == 0 or (k == 1 and float(size[axis]) > _ALSO)]
    return " and ".join(_WORDS[axis][int(normal[axis] > 0.0)] for axis in named)


def hinge_way(fold: Fold, places: Mapping[str, FloatArray]) -> str:
    """The side of the aeroplane that a hinge clears to."""
    normal = places[fold.parent][:3, 2]
    return looks(normal if fold.toward == "a" else -normal)


def edge_words(blank: Blank) -> tuple[EdgeWord, ...]:
    """Words for the ends of a folded blank: "front" or, where it has no free front edge, "rear"; "tip" at
    the outer ends of what is wider than long; "up" for what has none of those.
    """
    places = transforms(blank)
    edges = _free_edges(blank, places)
    if not edges:
        return ()
    points = np.concatenate([apply(places[p.name], _deep(p.polygon, blank)) for p in blank.panels])
    low, high = points.min(axis=0), points.max(axis=0)
    spans = high - low
    found: list[EdgeWord] = []
    front = _end(edges, 0, -1.0, low, high) or _end(edges, 0, 1.0, low, high)
    if front is not None:
        found.append(EdgeWord("front" if front[1] < 0.0 else "rear", *front[0]))
    if spans[1] > spans[0]:
        for side, place in ((-1.0, low[1]), (1.0, high[1])):
            tip = _end(edges, 1, side, low, high) if side * place > _OFF_MIDDLE_MM else None
            if tip is not None:
                both = low[1] < -_OFF_MIDDLE_MM and high[1] > _OFF_MIDDLE_MM
                word = ("left tip" if side < 0.0 else "right tip") if both else "tip"
                found.append(EdgeWord(word, *tip[0]))
    if not found:
        up = _end(edges, 2, 1.0, low, high)
        found += [] if up is None else [EdgeWord("up", *up[0])]
    return tuple(found)


def _deep(polygon: FloatArray, blank: Blank) -> FloatArray:
    return np.column_stack([polygon, np.full(len(polygon), blank.thickness / 2.0)])


_Edge = tuple[str, FloatArray, FloatArray, FloatArray, float]
"""Panel, way out of the edge flat (2,) and folded (3,), middle folded (3,), length, mm."""


def _free_edges(blank: Blank, places: Mapping[str, FloatArray]) -> list[_Edge]:
    folds = [(fold.p, fold.q) for fold in blank.folds]
    found: list[_Edge] = []
    for panel in blank.panels:
        place = places[panel.name]
        for p, q in zip(panel.polygon, np.roll(panel.polygon, -1, axis=0), strict=True):
            length = float(np.hypot(*(q - p)))
            if length < _LEAST_MM or any(_along(p, q, *ends) for ends in folds):
                continue
            # outlines run counter-clockwise: out of them is to the right
            out = np.array([(q - p)[1], -(q - p)[0]]) / length
            middle = apply(place, np.append((p + q) / 2.0, blank.thickness / 2.0)[None])[0]
            found.append((panel.name, out, place[:3, :2] @ out, middle, length))
    return found


def _along(p: FloatArray, q: FloatArray, start: FloatArray, stop: FloatArray) -> bool:
    """Whether the middle of p→q lies on a fold's line within a board's width of it."""
    run = stop - start
    length = float(np.hypot(*run))
    middle = (p + q) / 2.0 - start
    along = float(middle @ run) / length
    return abs(float(run[0] * middle[1] - run[1] * middle[0])) / length < 8.0 and -1.0 < along < length + 1.0


def _end(
    edges: list[_Edge], axis: int, side: float, low: FloatArray, high: FloatArray
) -> tuple[tuple[str, FloatArray], float] | None:
    """Panel and way out of the longest edge at one end of the blank, and the side; None where it has none."""
    end, reach = (low if side < 0.0 else high)[axis], _AT_END * float((high - low)[axis])
    good = [
        (round(length, 3), panel, out)
        for panel, out, way, middle, length in edges
        if side * float(way[axis]) > _IN_PLANE and abs(float(middle[axis] - end)) <= max(reach, 6.0)
    ]
    if not good:
        return None
    _, panel, out = max(good, key=lambda one: (one[0], one[1]))
    return (panel, out), side


__all__ = ["EdgeWord", "edge_words", "face_words", "hinge_way", "looks"]
