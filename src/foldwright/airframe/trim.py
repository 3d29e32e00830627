"""Cutting a region away from panels of a blank, with their edge cuts and folds kept right."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from foldwright.base.types import FloatArray
from foldwright.geometry.fold.checks import crossed_edges
from foldwright.geometry.fold.edges import fold_sides
from foldwright.geometry.fold.model import SQUARE, Blank, Fold, Panel
from foldwright.geometry.fold.rings import inset_all, solid_ring

ON_EDGE = 1e-6  # mm: a point nearer than this lies on an edge
NICK = 1.0  # mm: judgement; a bevel this narrow may be left off where little is left of its edge


def trimmed(panel: Panel, region: BaseGeometry) -> Panel | None:
    """A panel without a region of its blank (edges square to the board); None where nothing is left.

    Of several pieces the largest stays. Edges that lie on the old outline keep their cuts.
    """
    holes = [shapely.Polygon(ring) for ring in panel.holes]
    opened = [hole for hole in holes if hole.intersects(region)]
    rest = shapely.Polygon(panel.polygon).difference(shapely.union_all([region, *opened]))
    polygons = [piece for piece in shapely.get_parts(rest) if isinstance(piece, shapely.Polygon)]
    pieces = [piece for piece in polygons if piece.area > ON_EDGE]
    if not pieces:
        return None
    piece = shapely.geometry.polygon.orient(max(pieces, key=lambda shape: shape.area), 1.0)
    outline = _ring(np.asarray(piece.exterior.coords)[:-1])
    kept = tuple(ring for ring, hole in zip(panel.holes, holes, strict=True) if piece.covers(hole.exterior))
    cuts = tuple(SQUARE if edge < 0 else panel.cuts[edge] for edge in owners(panel.polygon, outline))
    inner = tuple(np.asarray(ring.coords)[:-1] for ring in piece.interiors)
    return Panel(panel.name, outline, cuts, (*kept, *inner))


def sound(panel: Panel | None, *, folded: bool) -> Panel | None:
    """A trimmed panel whose bevels do not cross, else None.

    Where little is left of an edge its neighbours' bevels turn it round. On a panel that has no folds those
    of NICK at most are left off there.
    """
    if panel is None or crossed_edges(panel) is None:
        return panel
    if folded:
        return None
    cuts = list(panel.cuts)
    for face in ("a", "b"):
        corners = inset_all((panel.polygon,), np.array([getattr(cut, face) for cut in cuts]))[0]
        pairs = corners.reshape(-1, 2, 2)
        along = np.roll(panel.polygon, -1, axis=0) - panel.polygon
        forward = np.einsum("ij,ij->i", np.roll(pairs[:, 0], -1, axis=0) - pairs[:, 1], along)
        for edge in np.flatnonzero(forward < 0.0).tolist():
            for near in (edge - 1, edge, (edge + 1) % len(cuts)):
                if max(cuts[near].a, cuts[near].b) <= NICK:
                    cuts[near] = SQUARE
    mended = replace(panel, cuts=tuple(cuts))
    return mended if crossed_edges(mended) is None else None


def room_of(panel: Panel) -> BaseGeometry:
    """Where a panel is board on both faces and between them, its holes left out."""
    shapes = [shapely.make_valid(shapely.Polygon(solid_ring(panel, share))) for share in (0.0, 1.0)]
    holes = [shapely.make_valid(shapely.Polygon(ring)) for ring in panel.holes]
    return shapes[0].intersection(shapes[1]).difference(shapely.union_all(holes))


def _ring(points: FloatArray) -> FloatArray:
    step = np.abs(np.roll(points, -1, axis=0) - points).max(axis=1)
    kept: FloatArray = points[step > ON_EDGE]
    return kept


def owners(old: FloatArray, new: FloatArray) -> list[int]:
    """For every edge of a new ring the edge of an old ring that it lies on, running the same way, or -1."""
    start, along = old, np.concatenate([old[1:], old[:1]]) - old
    length = np.hypot(along[:, 0], along[:, 1])
    unit = along / length[:, None]
    off = new[:, None, :] - start[None, :, :]
    across = np.abs(unit[:, 0] * off[..., 1] - unit[:, 1] * off[..., 0])
    run = off[..., 0] * unit[:, 0] + off[..., 1] * unit[:, 1]
    on = (across < ON_EDGE) & (run > -ON_EDGE) & (run < length + ON_EDGE)
    following = np.concatenate([run[1:], run[:1]])
    both = on & np.concatenate([on[1:], on[:1]]) & (following > run)
    return [int(np.argmax(row)) if row.any() else -1 for row in both]


def with_panels(blank: Blank, changed: Mapping[str, Panel]) -> Blank:
    """A blank with some panels replaced, its folds shortened to what both panels still share.

    A fold of which nothing is left stays as it was: its panels still have their places.
    """
    new = replace(blank, panels=tuple(changed.get(panel.name, panel) for panel in blank.panels))
    folds = [
        fold if {fold.parent, fold.child}.isdisjoint(changed) else _shortened(blank, new, fold) or fold
        for fold in blank.folds
    ]
    return replace(new, folds=tuple(folds))


def _shortened(old: Blank, new: Blank, fold: Fold) -> Fold | None:
    """A fold over the stretch that the outlines of both its panels still share, None where there is none."""
    along = (fold.q - fold.p) / fold.length
    low, high = 0.0, fold.length
    for name, edges in zip((fold.parent, fold.child), fold_sides(old, fold), strict=True):
        spans = [_span(old.panel(name), edge, new.panel(name), fold.p, along) for edge in edges]
        spans = [span for span in spans if span[1] > span[0]]
        if not spans:
            return None
        low, high = max(low, min(span[0] for span in spans)), min(high, max(span[1] for span in spans))
    if high - low < ON_EDGE:
        return None
    if low == 0.0 and high == fold.length:
        return fold
    return replace(fold, p=fold.p + low * along, q=fold.p + high * along)


def _span(
    before: Panel, edge: int, after: Panel, origin: FloatArray, along: FloatArray
) -> tuple[float, float]:
    """From and to, along a fold, of what is left of an old edge; an empty span where nothing is."""
    run = (after.polygon - origin) @ along
    found: list[float] = []
    for index, owner in enumerate(owners(before.polygon, after.polygon)):
        if owner == edge:
            found += [float(run[index]), float(run[(index + 1) % len(run)])]
    return (min(found), max(found)) if found else (1.0, 0.0)
