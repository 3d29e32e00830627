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

# Points closer than this are one: round-off of unfolding is some 1e-12 mm, a cutter's is 1e-2 mm.
_GRID = 1e-8
_ON_LINE = 1e-6
_LEAST_LINE = 1e-3
_LEAST_AREA = 1e-6


@dataclass(frozen=True, slots=True)
class FlatOverlap:
    """Two panels of a flat blank that lie on top of each other, area in mm²."""

    panel: str
    other_panel: str
    area: float


@dataclass(frozen=True, slots=True, eq=False)
class FoldLine:
    """A straight line p→q (2,) in the blank frame, mm, on `face`.

    kind: "fold" (the fold line itself), "edge" (an edge of what is cut or pressed there).
    """

    face: Face
    p: FloatArray
    q: FloatArray
    kind: Literal["fold", "edge"]


@dataclass(frozen=True, slots=True, eq=False)
class FoldLines:
    """Where the lines of one fold lie: the fold itself, and the edges of what is cut or pressed beside it.

    along: unit direction (2,) of the fold.
    """

    fold: Fold
    lines: tuple[FoldLine, ...]
    along: FloatArray


def panel_shape(panel: Panel) -> Polygon:
    """A panel's full outline with its holes."""
    return Polygon(panel.polygon, panel.holes)


def flat_overlaps(blank: Blank, least: float = _LEAST_AREA) -> tuple[FlatOverlap, ...]:
    """Pairs of panels that lie on each other by more than `least` mm² before any fold is made."""
    low = np.array([panel.polygon.min(axis=0) for panel in blank.panels])
    high = np.array([panel.polygon.max(axis=0) for panel in blank.panels])
    # boxes first: most panels lie beside each other
    sides = np.minimum(high[:, None], high) - np.maximum(low[:, None], low)
    near = np.triu((sides > 0.0).all(axis=-1) & (sides.prod(axis=-1) > least), 1)
    shapes: dict[int, Polygon] = {}
    found: list[FlatOverlap] = []
    for first, second in np.argwhere(near).tolist():
        one, other = blank.panels[first], blank.panels[second]
        for number, panel in ((first, one), (second, other)):
            if number not in shapes:
                shapes[number] = panel_shape(panel)
        # on a grid: panels whose shared corners differ by round-off alone gave areas that are not there
        area = shapely.intersection(shapes[first], shapes[second], grid_size=_GRID).area
        if area > least:
            found.append(FlatOverlap(one.name, other.name, float(area)))
    return tuple(found)


def outline(blank: Blank) -> Polygon | MultiPolygon:
    """What is left of the board when the blank is cut out: outer rings and holes, gaps open.

    Panels are one piece along folds only; where they merely touch, `cut_lines` holds the cut. More than one
    polygon means that the blank falls apart.
    """
    shapes = [Polygon(ring, panel.holes) for ring, panel in zip(_noded(blank), blank.panels, strict=True)]
    joined = shapely.union_all(shapes, grid_size=_GRID)
    if isinstance(joined, Polygon | MultiPolygon):
        return joined
    raise TypeError(f"{blank.name}: its panels make a {joined.geom_type}")


def _noded(blank: Blank) -> list[FloatArray]:
    """The panels' outlines with a corner wherever a panel joined by a fold has one on the same edge.

    A corner that lies on another panel's edge is off it by round-off, and a union might leave a gap there.
    Corners within _ON_LINE of one another are one: what is found by repeated trial ends no nearer.
    """
    extra: dict[tuple[str, int], list[FloatArray]] = {}
    rings = _welded([panel.polygon for panel in blank.panels])
    by_name = {panel.name: ring for panel, ring in zip(blank.panels, rings, strict=True)}
    for fold in blank.folds:
        parent, child = fold_sides(blank, fold)
        for own, edges, other, others in (
            (fold.parent, parent, fold.child, child), (fold.child, child, fold.parent, parent),
        ):  # fmt: skip
            ring = by_name[other]
            corners = [ring[k % len(ring)] for edge in others for k in (edge, edge + 1)]
            for edge in edges:
                extra.setdefault((own, edge), []).extend(corners)
    return [_with_corners(name, ring, extra) for name, ring in by_name.items()]


def _welded(rings: list[FloatArray]) -> list[FloatArray]:
    """The same outlines; corners of any two within _ON_LINE are the first of them to the last digit."""
    if not rings:
        return []
    corners = np.concatenate(rings)
    points = np.asarray(shapely.points(corners))
    near, other = shapely.STRtree(points).query(points, predicate="dwithin", distance=_ON_LINE)
    first = np.arange(len(corners))
    np.minimum.at(first, near, other)
    ends = np.cumsum([len(ring) for ring in rings])[:-1]
    # the first corner near the first one: three in a row are one
    welded: list[FloatArray] = np.split(corners[first[first]], ends)
    return welded


def _with_corners(name: str, ring: FloatArray, extra: dict[tuple[str, int], list[FloatArray]]) -> FloatArray:
    """An outline with those of the corners wanted on its edges that lie between their ends."""
    rows: list[FloatArray] = []
    for edge, start in enumerate(ring):
        along = ring[(edge + 1) % len(ring)] - start
        square = float(along @ along)
        if square < _ON_LINE**2:
            continue
        found = [(float((corner - start) @ along) / square, corner) for corner in extra.get((name, edge), ())]
        margin = _ON_LINE / square**0.5
        inner = sorted((share, corner.tolist()) for share, corner in found if margin < share < 1.0 - margin)
        rows += [start, *(np.array(corner) for _, corner in inner)]
    return np.array(rows)


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
    lines: list[FoldLine] = []
    for name, edges in zip((fold.parent, fold.child), fold_sides(blank, fold), strict=True):
        panel = blank.panel(name)
        cut = _cut_on(panel, edges, fold.opened)
        distance = fold.tool_width / 2.0 if fold.method == "crush" else cut
        if distance > _LEAST_LINE:
            lines += _inside(panel, edges, distance, fold.opened)
    if fold.method != "crush" or fold.tool_width / 2.0 <= _LEAST_LINE:
        lines = [*_centre(blank, fold), *lines]
    return FoldLines(fold, tuple(lines), (fold.q - fold.p) / fold.length)


def _cut_on(panel: Panel, edges: tuple[int, ...], face: Face) -> float:
    cuts = [panel.cuts[edge].a if face == "a" else panel.cuts[edge].b for edge in edges]
    return max(cuts, default=0.0)


def _centre(blank: Blank, fold: Fold) -> list[FoldLine]:
    """The fold line, less the holes it runs across."""
    holes = [hole for name in (fold.parent, fold.child) for hole in blank.panel(name).holes]
    return _clipped(np.stack([fold.p, fold.q]), holes, fold.opened, "fold")


def _inside(panel: Panel, edges: tuple[int, ...], distance: float, face: Face) -> list[FoldLine]:
    """Lines `distance` mm inside a panel's edges, as long as the panel is wide there."""
    lines: list[FoldLine] = []
    for edge in edges:
        steps = np.zeros(len(panel.polygon))
        steps[edge] = distance
        corners = inset_all((panel.polygon,), steps)[0].reshape(-1, 2, 2)
        # an edge begins at the second of its first corner's two points and ends at the first of the next's
        line = np.stack([corners[edge, 1], corners[(edge + 1) % len(corners), 0]])
        if (line[1] - line[0]) @ (panel.polygon[(edge + 1) % len(corners)] - panel.polygon[edge]) > 0.0:
            lines += _clipped(line, panel.holes, face, "edge")
    return lines


def _clipped(
    line: FloatArray,
    holes: tuple[FloatArray, ...] | list[FloatArray],
    face: Face,
    kind: Literal["fold", "edge"],
) -> list[FoldLine]:
    if not holes:
        return [FoldLine(face, line[0], line[1], kind)]
    left = LineString(line).difference(shapely.union_all([Polygon(hole) for hole in holes]))
    parts = left.geoms if isinstance(left, MultiLineString) else [left]
    return [
        FoldLine(face, np.array(part.coords[0]), np.array(part.coords[-1]), kind)
        for part in parts
        if part.length > _LEAST_LINE
    ]
