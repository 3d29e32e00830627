"""One blank as it is cut, to-paper cut, pressed and marked, in its own frame [mm]."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np
import shapely

from foldwright.base.types import FloatArray
from foldwright.design.workshop import Cutter
from foldwright.geometry.fold.flatcheck import FoldLine, FoldLines, cut_lines, fold_lines
from foldwright.geometry.fold.model import Blank, Mark
from foldwright.layout.as_cut import bevels, contours
from foldwright.make.drawing import Face as PenFace
from foldwright.make.drawing import Pen
from foldwright.make.fold_table import edge_pen, lone_pen, middle_pen
from foldwright.make.kerf import kerfed

CROSS_MM = 3.0
"""Arm of the cross that stands for a mark of one point."""

NEAR_MM = 0.4
"""Lines beside a fold that lie nearer to it than this are not drawn: no tool tells them apart [judgement]."""

_LEAST_LINE = 1e-3
_SIZE = 1e-6

Role = Literal["outline", "hole", "slit", "fold", "edge", "bevel", "mark"]


@dataclass(frozen=True, slots=True, eq=False)
class Line:
    """A line to draw: points (n, 2) in the blank frame; name: the fold, bevel or mark it belongs to."""

    role: Role
    pen: Pen
    face: PenFace
    points: FloatArray
    closed: bool = False
    name: str = ""


@dataclass(frozen=True, slots=True, eq=False)
class BlankDrawing:
    """All lines of a blank, and its true rings (outer first) without kerf.

    narrow: places (2,) where a gap or hole is too narrow for the kerf and its edges are drawn without it.
    """

    name: str
    rings: tuple[FloatArray, ...]
    lines: tuple[Line, ...]
    narrow: tuple[FloatArray, ...]


def draw_blank(blank: Blank, cutter: Cutter) -> BlankDrawing:
    """Lines of a blank that is `as_cut`, for a cutter. Kerf moves the lines of the pen `cut` only."""
    rings = contours(blank)
    cut, narrow = _cuts(blank, rings, cutter.kerf_mm)
    folds = [line for lines in fold_lines(blank) for line in _fold(blank, lines, cutter)]
    return BlankDrawing(blank.name, rings, (*cut, *folds, *_bevels(blank, cutter), *_marks(blank)), narrow)


def _cuts(
    blank: Blank, rings: tuple[FloatArray, ...], kerf: float
) -> tuple[list[Line], tuple[FloatArray, ...]]:
    """Outline moved outward and holes inward by half the kerf, where gaps leave room for it; cuts between
    touching panels as they are.
    """
    lines: list[Line] = []
    narrow: list[FloatArray] = []
    for index, ring in enumerate(rings):
        moved = kerfed(ring, kerf / 2.0 if index == 0 else -kerf / 2.0)
        lengths = np.linalg.norm(np.roll(ring, -1, axis=0) - ring, axis=1)
        # a step in a line that is shorter than the kerf goes with it: nothing narrow lies beside it
        gaps = [edge for edge in moved.narrow if lengths[edge] > kerf > 0.0]
        if gaps:
            narrow.append(ring[gaps[0]])
        lines.append(Line("hole" if index else "outline", "cut", "", moved.ring, closed=True))
    lines += [Line("slit", "cut", "", points) for points in cut_lines(blank)]
    return lines, tuple(narrow)


def _fold(blank: Blank, drawn: FoldLines, cutter: Cutter) -> list[Line]:
    fold = drawn.fold
    beside = edge_pen(fold.method, cutter)
    edges = [line for line in drawn.lines if line.kind == "edge" and _apart(line, drawn) >= NEAR_MM]
    centres = [(line.p, line.q) for line in drawn.lines if line.kind == "fold"]
    if not centres:
        centres = _clear_of_holes(blank, drawn)
    pen = middle_pen(fold.method, cutter) if edges or beside is None else lone_pen(fold.method, cutter)
    lines = [Line("fold", pen, fold.opened, np.stack(ends), name=fold.name) for ends in centres]
    if beside is not None:
        lines += [Line("edge", beside, e.face, np.stack([e.p, e.q]), name=fold.name) for e in edges]
    return lines


def _apart(line: FoldLine, drawn: FoldLines) -> float:
    """How far a line lies beside its fold, mm."""
    off = (line.p + line.q) / 2.0 - drawn.fold.p
    return abs(float(drawn.along[0] * off[1] - drawn.along[1] * off[0]))


def _clear_of_holes(blank: Blank, drawn: FoldLines) -> list[tuple[FloatArray, FloatArray]]:
    """The fold line less the holes it runs across."""
    fold = drawn.fold
    holes = [shapely.Polygon(h) for name in (fold.parent, fold.child) for h in blank.panel(name).holes]
    left = shapely.LineString([fold.p, fold.q]).difference(shapely.union_all(holes))
    parts = [part for part in shapely.get_parts(left) if part.length > _LEAST_LINE]
    return [(np.array(part.coords[0]), np.array(part.coords[-1])) for part in parts]


def _bevels(blank: Blank, cutter: Cutter) -> list[Line]:
    """Lines a blade or a hand follows along slanted free edges; numbered by panel and edge."""
    lines: list[Line] = []
    for bevel in bevels(blank):
        pen: Pen = "to_paper" if bevel.to_paper and cutter.to_paper else "mark"
        name = f"{bevel.panel}/{bevel.edge}"
        lines.append(Line("bevel", pen, bevel.face, np.stack([bevel.p, bevel.q]), name=name))
    return lines


def _marks(blank: Blank) -> list[Line]:
    return [line for mark in blank.marks for line in mark_lines(mark)]


def mark_lines(mark: Mark) -> list[Line]:
    """A mark's polyline, or a cross about its one point."""
    if len(mark.points) > 1:
        closed = len(mark.points) > 3 and bool(np.abs(mark.points[0] - mark.points[-1]).max() < _SIZE)
        points = mark.points[:-1] if closed else mark.points
        return [Line("mark", "mark", mark.face, points, closed=closed, name=mark.name)]
    centre = mark.points[0]
    arms = (np.array([CROSS_MM, 0.0]), np.array([0.0, CROSS_MM]))
    return [
        Line("mark", "mark", mark.face, np.stack([centre - arm, centre + arm]), name=mark.name)
        for arm in arms
    ]
