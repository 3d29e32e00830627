"""The panels of a blank made again: its outline divided along the folds that were found on the sheet [mm]."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
import shapely

from foldwright.base.types import FloatArray
from foldwright.geometry.fold.methods import cuts as method_cuts
from foldwright.geometry.fold.model import SQUARE, Blank, EdgeCut, Fold, Panel
from foldwright.make.readback_rows import Table

PARALLEL = 2e-3

# Beyond its ends the line of a fold or of a cut inside is carried on to the outline: further than a line may
# be out of place, and not as far as the next fold.
_EXTEND = 0.1
# Corners nearer to a fold's line lie on it, but for the rounding of the files.
_FLUSH = 1e-4
_BESIDE = 0.05
_ON = 2e-3
_GRID = 1e-5
_SPECK = 1e-2
_CROSSING = 1e-2
# Sine of the angle to a fold within which an edge on its line lies along it: the grid turns the shortest.
_ALONG = 0.3


@dataclass(frozen=True, slots=True, eq=False)
class FoundFold:
    """A fold as drawn: ends with the child on the left; left, right: distance of the lines beside it, 0
    for none.
    """

    record: Fold
    p: FloatArray
    q: FloatArray
    left: float
    right: float


def parallel(one: FloatArray, other: FloatArray, tolerance: float) -> bool:
    """Whether two directions are parallel; tolerance: sine of the angle between them."""
    sine = abs(one[0] * other[1] - one[1] * other[0]) / (np.hypot(*one) * np.hypot(*other))
    return bool(sine < tolerance)


def panels_of(
    rings: tuple[FloatArray, ...], slits: Sequence[FloatArray], folds: Sequence[FoundFold],
    slanted: Sequence[tuple[FloatArray, EdgeCut]], record: Blank, table: Table, where: str,
) -> tuple[Panel, ...] | None:  # fmt: skip
    """The outline divided along its folds, each piece named by the folds it lies at, in the record's
    order.
    """
    faces = _faces(rings, slits, folds)
    names: dict[str, int] = {}
    for fold in folds:
        middle, across = _clear_middle(fold, faces)
        for name, side in ((fold.record.child, 1.0), (fold.record.parent, -1.0)):
            spot = shapely.Point(middle + side * _BESIDE * across)
            at = next((k for k, face in enumerate(faces) if face.contains(spot)), -1)
            if at < 0 or names.setdefault(name, at) != at:
                table.wrong(
                    "R10", f"{where}: panel {name}", f"a piece beside fold {fold.record.name}", "none"
                )
                return None
    if not folds and len(faces) == 1:
        names[record.panels[0].name] = 0
    wanted = {panel.name for panel in record.panels}
    if set(names) != wanted or len(set(names.values())) != len(wanted) or len(faces) != len(wanted):
        table.wrong("R10", f"{where}: panels", str(len(wanted)), str(len(faces)))
        return None
    result: list[Panel] = []
    for panel in record.panels:
        face = shapely.geometry.polygon.orient(faces[names[panel.name]], 1.0)
        own = [fold for fold in folds if panel.name in {fold.record.parent, fold.record.child}]
        polygon = _without_idle(panel.name, _flush(np.asarray(face.exterior.coords)[:-1], own), own)
        cuts = tuple(_edge_cut(panel.name, edge, own, slanted, record.thickness) for edge in _edges(polygon))
        holes = tuple(np.asarray(ring.coords)[:-1] for ring in face.interiors)
        result.append(Panel(panel.name, polygon, cuts, holes, panel.skin, panel.bare))
    return tuple(result)


def _flush(polygon: FloatArray, folds: Sequence[FoundFold]) -> FloatArray:
    """An outline with its corners exactly on the folds' lines that they lie at.

    Where a fold stops and a free edge goes straight on, the two have different cuts: they must be on one line
    or parallel, or their inner lines meet far away. Corners that thereby fall together are one.
    """
    lines = [(fold.p, (fold.q - fold.p) / np.hypot(*(fold.q - fold.p))) for fold in folds]
    points = np.array([_on_lines(point, lines) for point in polygon])
    apart = np.hypot(*(points - np.roll(points, 1, axis=0)).T) > _FLUSH
    distinct: FloatArray = points[apart]
    return distinct


def _on_lines(point: FloatArray, lines: Sequence[tuple[FloatArray, FloatArray]]) -> FloatArray:
    """A point put on the line that passes it, or where the two pass that cross at the widest angle."""
    near = []
    for start, along in lines:
        across = np.array([-along[1], along[0]])
        off = float((point - start) @ across)
        if abs(off) < _FLUSH:
            near.append((across, float(start @ across), off))
    if not near:
        return point
    first = near[0]
    sines = [abs(float(first[0][0] * other[0][1] - first[0][1] * other[0][0])) for other in near]
    widest = int(np.argmax(sines))
    if sines[widest] > _CROSSING:
        square = np.stack([first[0], near[widest][0]])
        crossing: FloatArray = np.linalg.solve(square, np.array([first[1], near[widest][1]]))
        return crossing
    moved: FloatArray = point - first[2] * first[0]
    return moved


def _edges(polygon: FloatArray) -> list[FloatArray]:
    return [np.stack([polygon[k], polygon[(k + 1) % len(polygon)]]) for k in range(len(polygon))]


def _faces(
    rings: tuple[FloatArray, ...], slits: Sequence[FloatArray], folds: Sequence[FoundFold]
) -> list[shapely.Polygon]:
    """Pieces of the outline between folds and cuts inside, holes left out."""
    region = shapely.Polygon(rings[0], rings[1:])
    lines: list[shapely.LineString] = [shapely.LinearRing(ring) for ring in rings]
    for ends in (*(np.stack([fold.p, fold.q]) for fold in folds), *slits):
        along = (ends[-1] - ends[0]) / np.hypot(*(ends[-1] - ends[0]))
        lines.append(shapely.LineString([ends[0] - _EXTEND * along, *ends[1:-1], ends[-1] + _EXTEND * along]))
    # a hinge line runs on along the bottom of the gaps at its ends: on a grid the two become one line
    pieces = shapely.get_parts(shapely.polygonize([shapely.union_all(lines, grid_size=_GRID)]))
    return [
        piece
        for piece in pieces
        if isinstance(piece, shapely.Polygon)
        # lines that meet in one place meet in several, a rounding apart
        and piece.area > _SPECK
        and region.contains(piece.representative_point())
    ]


def _clear_middle(fold: FoundFold, faces: Sequence[shapely.Polygon]) -> tuple[FloatArray, FloatArray]:
    """A place on a fold with board on both sides, and the unit direction to its left."""
    along = (fold.q - fold.p) / np.hypot(*(fold.q - fold.p))
    across = np.array([-along[1], along[0]])
    for share in (0.5, 0.25, 0.75, 0.1, 0.9):
        middle = fold.p + share * (fold.q - fold.p)
        spots = [shapely.Point(middle + side * _BESIDE * across) for side in (1.0, -1.0)]
        if all(any(face.contains(spot) for face in faces) for spot in spots):
            return middle, across
    return (fold.p + fold.q) / 2.0, across


def _without_idle(panel: str, polygon: FloatArray, folds: Sequence[FoundFold]) -> FloatArray:
    """An outline less the corners on a straight line between edges of one fold, or of none.

    They come from lines that ended there, and a short edge without its neighbours' slant would put inner
    lines out of place.
    """
    points = polygon
    k = 0
    while k < len(points) and len(points) > 3:
        before, corner, after = points[k - 1], points[k], points[(k + 1) % len(points)]
        way = after - before
        length = float(np.hypot(*way))
        off = abs(float(way[0] * (corner - before)[1] - way[1] * (corner - before)[0]))
        straight = length > _FLUSH and off < _FLUSH * length
        edges = np.stack([before, corner]), np.stack([corner, after])
        if straight and _owner(panel, edges[0], folds) is _owner(panel, edges[1], folds):
            points, k = np.delete(points, k, axis=0), max(k - 1, 0)
        else:
            k += 1
    return points


def _owner(panel: str, edge: FloatArray, folds: Sequence[FoundFold]) -> FoundFold | None:
    """The fold of a panel that an edge lies along; an edge across a fold is short, not along it."""
    middle, run = edge.mean(axis=0), edge[1] - edge[0]
    for fold in folds:
        along = panel in {fold.record.parent, fold.record.child} and _on(middle, fold)
        if along and parallel(fold.q - fold.p, run, _ALONG):
            return fold
    return None


def _edge_cut(
    panel: str,
    edge: FloatArray,
    folds: Sequence[FoundFold],
    slanted: Sequence[tuple[FloatArray, EdgeCut]],
    t: float,
) -> EdgeCut:
    """What an edge of a piece lacks: by the fold along it, by a slant beside it, else nothing."""
    fold = _owner(panel, edge, folds)
    if fold is not None:
        return _fold_cut(fold, t, child=panel == fold.record.child)
    run = edge[1] - edge[0]
    length = float(np.hypot(*run))
    for line, cut in slanted:
        if length < 1e-6 or not parallel(line[1] - line[0], run, 5e-3):
            continue
        inward = float(((line - edge[0]) @ (np.array([-run[1], run[0]]) / length)).mean())
        share = float(((line.mean(axis=0) - edge[0]) @ run) / length**2)
        depth = max(cut.a, cut.b)
        if abs(inward - depth) < 1.0 and inward > 0.0 and 0.0 < share < 1.0:
            return replace(cut, a=inward if cut.a > 0.0 else 0.0, b=inward if cut.b > 0.0 else 0.0)
    return SQUARE


def _on(point: FloatArray, fold: FoundFold) -> bool:
    run = fold.q - fold.p
    length = float(np.hypot(*run))
    off = point - fold.p
    across = abs(float(run[0] * off[1] - run[1] * off[0])) / length
    return across < _ON and -_ON < float(off @ run) / length < length + _ON


def _fold_cut(fold: FoundFold, t: float, *, child: bool) -> EdgeCut:
    """Edge cuts from what is drawn: grooves and hinges as wide as their lines say, the rest by their
    method.
    """
    record = fold.record
    drawn = fold.left if child else fold.right
    if record.method in {"groove", "live"} and fold.left + fold.right > 0.0:
        return EdgeCut(b=drawn) if record.opened == "b" else EdgeCut(a=drawn)
    tool = fold.left + fold.right + record.gain if fold.left + fold.right > 0.0 else record.tool_width
    parent_cut, child_cut = method_cuts(record.method, record.hinge, record.angle, t, tool, record.limit)
    return child_cut if child else parent_cut
