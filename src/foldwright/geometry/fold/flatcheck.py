"""A blank as it lies flat: its outline, what else is cut through, the lines of its folds, overlaps."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import combinations, product
from typing import Literal

import numpy as np
import shapely
from shapely.geometry import LineString, MultiLineString, MultiPolygon, Polygon

from foldwright.base.types import FloatArray
from foldwright.geometry.fold.edges import fold_sides
from foldwright.geometry.fold.model import Blank, Face, Fold, Panel
from foldwright.geometry.fold.rings import inset_all

LinePen = Literal["cut", "to_paper", "crush", "mark"]

# Points closer than this are one: round-off of unfolding is some 1e-12 mm, a cutter's is 1e-2 mm.
_GRID = 1e-8
_ON_LINE = 1e-6
_LEAST_LINE = 1e-3
_LEAST_AREA = 1e-6
_LABEL_STEP = 4.0


@dataclass(frozen=True, slots=True)
class FlatOverlap:
    """Two panels of a flat blank that lie on top of each other, area in mm²."""

    panel: str
    other_panel: str
    area: float


@dataclass(frozen=True, slots=True, eq=False)
class PenLine:
    """A straight line p→q (2,) in the blank frame, mm, drawn with `pen` on `face`.

    kind: "fold" (the fold line itself), "edge" (an edge of what is cut or pressed there).
    """

    pen: LinePen
    face: Face
    p: FloatArray
    q: FloatArray
    kind: Literal["fold", "edge"]


@dataclass(frozen=True, slots=True, eq=False)
class FoldLines:
    """Everything that is drawn for one fold.

    label: (2,) where the fold's name is written, on `label_face`, a little into the parent beside the
    middle of the fold; along: unit direction of the writing.
    """

    fold: Fold
    lines: tuple[PenLine, ...]
    label: FloatArray
    label_face: Face
    along: FloatArray


def panel_shape(panel: Panel) -> Polygon:
    """A panel's full outline with its holes."""
    return Polygon(panel.polygon, panel.holes)


def flat_overlaps(blank: Blank, least: float = _LEAST_AREA) -> tuple[FlatOverlap, ...]:
    """Pairs of panels that lie on each other by more than `least` mm² before any fold is made."""
    shapes = [(panel.name, panel_shape(panel)) for panel in blank.panels]
    found: list[FlatOverlap] = []
    for (name, shape), (other_name, other) in combinations(shapes, 2):
        area = shape.intersection(other).area
        if area > least:
            found.append(FlatOverlap(name, other_name, float(area)))
    return tuple(found)


def outline(blank: Blank) -> Polygon | MultiPolygon:
    """What is left of the board when the blank is cut out: outer rings and holes, gaps open.

    Panels are one piece along folds only; where they merely touch, `cut_lines` holds the cut. More than one
    polygon means that the blank falls apart.
    """
    joined = shapely.union_all([panel_shape(panel) for panel in blank.panels], grid_size=_GRID)
    if isinstance(joined, Polygon | MultiPolygon):
        return joined
    raise TypeError(f"{blank.name}: its panels make a {joined.geom_type}")


def cut_lines(blank: Blank) -> tuple[FloatArray, ...]:
    """Cuts inside the outline, (2, 2) each: where edges of two panels touch along a line that is no fold."""
    joined = {
        frozenset(((fold.parent, one), (fold.child, other)))
        for fold in blank.folds
        for one, other in product(*fold_sides(blank, fold))
    }
    lines: list[FloatArray] = []
    for panel, other in combinations(blank.panels, 2):
        for edge, other_edge in _touching(panel.polygon, other.polygon):
            if frozenset(((panel.name, edge), (other.name, other_edge))) not in joined:
                lines.append(_shared(panel.polygon, edge, other.polygon, other_edge))
    return tuple(lines)


def _touching(one: FloatArray, other: FloatArray) -> list[tuple[int, int]]:
    """Pairs of edges of two outlines that run against each other on one line and share a stretch of it."""
    along = np.roll(one, -1, axis=0) - one
    length = np.hypot(along[:, 0], along[:, 1])
    unit = along / length[:, None]
    gap = other[None, :, :] - one[:, None, :]
    across = unit[:, None, 0] * gap[..., 1] - unit[:, None, 1] * gap[..., 0]
    run = np.einsum("ik,ijk->ij", unit, gap)
    flush = (np.abs(across) < _ON_LINE) & (np.abs(np.roll(across, -1, axis=1)) < _ON_LINE)
    shared = np.minimum(run, length[:, None]) - np.maximum(np.roll(run, -1, axis=1), 0.0)
    pairs: list[tuple[int, int]] = [(int(i), int(j)) for i, j in np.argwhere(flush & (shared > _LEAST_LINE))]
    return pairs


def _shared(one: FloatArray, edge: int, other: FloatArray, other_edge: int) -> FloatArray:
    """The stretch (2, 2) that two touching edges have in common, in the direction of the first."""
    start, stop = one[edge], one[(edge + 1) % len(one)]
    length = float(np.hypot(*(stop - start)))
    unit = (stop - start) / length
    back, front = other[(other_edge + 1) % len(other)], other[other_edge]
    low, high = max(0.0, float((back - start) @ unit)), min(length, float((front - start) @ unit))
    return np.stack([start + low * unit, start + high * unit])


def fold_lines(blank: Blank) -> tuple[FoldLines, ...]:
    """The lines of every fold, each clipped to its panel and kept out of holes."""
    return tuple(_lines_for(blank, fold) for fold in blank.folds)


def _lines_for(blank: Blank, fold: Fold) -> FoldLines:
    along = (fold.q - fold.p) / fold.length
    into_parent = np.array([along[1], -along[0]])
    face = fold.opened
    parent, child = blank.panel(fold.parent), blank.panel(fold.child)
    parent_edges, child_edges = fold_sides(blank, fold)
    parent_cut = _cut_on(parent, parent_edges, face)
    child_cut = _cut_on(child, child_edges, face)
    lines: list[PenLine] = []
    if fold.method == "groove":
        lines += _centre(blank, fold, "mark")
        lines += _inside(parent, parent_edges, parent_cut, "to_paper", face)
        lines += _inside(child, child_edges, child_cut, "to_paper", face)
    elif fold.method == "crush":
        half = fold.tool_width / 2.0
        if half > _LEAST_LINE:
            lines += _inside(parent, parent_edges, half, "crush", face)
            lines += _inside(child, child_edges, half, "crush", face)
        else:
            lines += _centre(blank, fold, "crush")
    elif fold.method == "rebate":
        lines += _centre(blank, fold, "to_paper")
        lines += _inside(parent, parent_edges, parent_cut, "to_paper", face)
    elif fold.method == "slit":
        lines += _centre(blank, fold, "to_paper")
    else:
        lines += _centre(blank, fold, "to_paper")
        lines += _inside(child, child_edges, child_cut, "mark", face)
    beside = max(parent_cut, fold.tool_width / 2.0) + _LABEL_STEP
    label = (fold.p + fold.q) / 2.0 + beside * into_parent
    return FoldLines(fold, tuple(lines), label, face, along)


def _cut_on(panel: Panel, edges: tuple[int, ...], face: Face) -> float:
    cuts = [panel.cuts[edge].a if face == "a" else panel.cuts[edge].b for edge in edges]
    return max(cuts, default=0.0)


def _centre(blank: Blank, fold: Fold, pen: LinePen) -> list[PenLine]:
    """The fold line, less the holes it runs across."""
    holes = [hole for name in (fold.parent, fold.child) for hole in blank.panel(name).holes]
    return _clipped(np.stack([fold.p, fold.q]), holes, pen, fold.opened, "fold")


def _inside(panel: Panel, edges: tuple[int, ...], distance: float, pen: LinePen, face: Face) -> list[PenLine]:
    """Lines `distance` mm inside a panel's edges, as long as the panel is wide there."""
    lines: list[PenLine] = []
    for edge in edges:
        steps = np.zeros(len(panel.polygon))
        steps[edge] = distance
        corners = inset_all((panel.polygon,), steps)[0].reshape(-1, 2, 2)
        # an edge begins at the second of its first corner's two points and ends at the first of the next's
        line = np.stack([corners[edge, 1], corners[(edge + 1) % len(corners), 0]])
        if (line[1] - line[0]) @ (panel.polygon[(edge + 1) % len(corners)] - panel.polygon[edge]) > 0.0:
            lines += _clipped(line, panel.holes, pen, face, "edge")
    return lines


def _clipped(
    line: FloatArray,
    holes: tuple[FloatArray, ...] | list[FloatArray],
    pen: LinePen,
    face: Face,
    kind: Literal["fold", "edge"],
) -> list[PenLine]:
    if not holes:
        return [PenLine(pen, face, line[0], line[1], kind)]
    left = LineString(line).difference(shapely.union_all([Polygon(hole) for hole in holes]))
    parts = left.geoms if isinstance(left, MultiLineString) else [left]
    return [
        PenLine(pen, face, np.array(part.coords[0]), np.array(part.coords[-1]), kind)
        for part in parts
        if part.length > _LEAST_LINE
    ]
