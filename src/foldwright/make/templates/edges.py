"""The edge of a plate: the blank's outline drawn in for the tool, its holes, the edge laid on the board's
[mm].
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely

from foldwright.base.types import FloatArray
from foldwright.geometry.solid.core import Area
from foldwright.make.templates.areas import area_of, joined, largest, polygons
from foldwright.make.templates.halves import Cover
from foldwright.make.templates.slots import PRICK_MM, prick

LEAST_STRAIGHT_MM = 200.0
"""A part with no longer edge is cut from what is left of a sheet, not from its edge [judgement]."""

LEAST_OPENING_MM = 3.0
"""A pencil gets into an opening at least this wide; corners of a smaller one are pricked [judgement]."""

_MITRE = 5.0
_ON = 0.02
_PARALLEL = 1e-3
_HOLES_APART = 1.2


@dataclass(frozen=True, slots=True, eq=False)
class Openings:
    """Holes of a blank in its plate.

    cut: open areas that a pencil is led round in. pricks: holes for the corners, or the middle, of those too
    small for that; pricked: which of the area's interiors those are.
    """

    cut: tuple[shapely.Polygon, ...]
    pricks: tuple[shapely.Polygon, ...]
    pricked: frozenset[int]


def openings_of(area: shapely.Polygon, offset: float) -> Openings:
    """The holes of a blank, each grown by the tool's offset or pricked."""
    cut: list[shapely.Polygon] = []
    pricks: list[shapely.Polygon] = []
    pricked: set[int] = set()
    for number, ring in enumerate(area.interiors):
        hole = shapely.Polygon(ring)
        if _narrow(hole) + 2.0 * offset >= LEAST_OPENING_MM:
            cut.append(hole.buffer(offset, join_style="mitre", mitre_limit=_MITRE))
        else:
            pricked.add(number)
            pricks += [prick(at) for at in _corners(hole)]
    return Openings(tuple(cut), tuple(pricks), frozenset(pricked))


def straight_edge(cover: Cover) -> FloatArray | None:
    """Ends (2, 2) of the longest straight edge beyond which nothing of the blank lies, None where it is
    short. Of a half plate: one that runs across the middle line, or along the way it is slid.
    """
    ring = np.asarray(cover.area.exterior.coords)[:-1]
    after = np.roll(ring, -1, axis=0)
    best: tuple[float, FloatArray] | None = None
    for p, q in zip(ring, after, strict=True):
        run = q - p
        length = float(np.hypot(*run))
        if length < LEAST_STRAIGHT_MM or (best is not None and length <= best[0] + 1e-6):
            continue
        beyond = (run[0] * (ring - p)[:, 1] - run[1] * (ring - p)[:, 0]) / length
        outermost = beyond.min() > -_ON if cover.area.exterior.is_ccw else beyond.max() < _ON
        if outermost and _square_to_middle(cover, run / length):
            best = (length, np.stack([p, q]))
    return None if best is None else best[1]


def drawn_in(
    cover: Cover, holes: Openings, offset: float, straight: FloatArray | None
) -> tuple[shapely.Polygon, float]:
    """The plate's edge, and how much area hangs on it by less than the offset leaves and is lost, mm².

    Drawn in by the offset everywhere but where it lies on the board's own edge and, on a plate that is turned
    over, beyond the middle line, where nothing is traced.
    """
    filled = shapely.Polygon(cover.area.exterior)
    edge: Area = filled.buffer(-offset, join_style="mitre", mitre_limit=_MITRE)
    kept: list[shapely.Geometry] = []
    if straight is not None:
        kept.append(_strip(straight, offset, filled))
    if cover.cut is not None and cover.use == "turn over":
        kept += [_strip(np.asarray(part.coords), offset, filled) for part in shapely.get_parts(cover.cut)]
    if kept and offset > 0.0:
        edge = joined([edge, *kept])
    parts = polygons(edge.difference(joined(holes.cut)))
    return parts[0], float(sum(part.area for part in parts[1:]))


def _strip(ends: FloatArray, offset: float, filled: Area) -> Area:
    """What drawing in took along an edge, less the corners, where its neighbours are drawn in."""
    run = (ends[-1] - ends[0]) / np.hypot(*(ends[-1] - ends[0]))
    line = shapely.LineString([ends[0] + offset * run, ends[-1] - offset * run])
    return area_of(line.buffer(offset + 1e-6, cap_style="flat").intersection(filled))


def _square_to_middle(cover: Cover, run: FloatArray) -> bool:
    if cover.middle is None:
        return True
    way = cover.middle[1] - cover.middle[0]
    return abs(float(run @ way)) <= _PARALLEL * float(np.hypot(*way))


def _narrow(hole: shapely.Polygon) -> float:
    """Width of a hole across."""
    box = _box_about(hole)
    return float(min(np.hypot(*(box[1] - box[0])), np.hypot(*(box[2] - box[1]))))


def _box_about(hole: shapely.Polygon) -> FloatArray:
    """Corners (4, 2) of the least rectangle about a hole, turned as it needs."""
    return np.asarray(largest(shapely.minimum_rotated_rectangle(hole)).exterior.coords)[:4]


def _corners(hole: shapely.Polygon) -> list[FloatArray]:
    """Where a small hole is pricked: its middle, or both ends of a long one."""
    box = _box_about(hole)
    sides = np.hypot(*np.diff(box, axis=0)[:2].T)
    middle = box.mean(axis=0)
    if sides.max() < PRICK_MM + _HOLES_APART:
        return [middle]
    along = int(np.argmax(sides))
    half = (box[along + 1] - box[along]) / 2.0
    return [middle - half, middle + half]
