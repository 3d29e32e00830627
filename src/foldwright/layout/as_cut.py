"""A blank as a cutter sees it: what is cut square goes into the outline, what is left of bevels stays a line.

Lengths in mm, blank frame.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal

import numpy as np
import shapely

from foldwright.base.types import FloatArray
from foldwright.geometry.fold.edges import fold_sides
from foldwright.geometry.fold.flatcheck import outline
from foldwright.geometry.fold.model import SQUARE, Blank, EdgeCut, Face, Panel
from foldwright.geometry.fold.rings import inset_all, inset_outline

_STRAIGHT = 1e-7
# Edges shorter than this no cutter makes, and rounding in a file could turn them round.
_SPECK = 1e-3
_LEAST = 1e-6
# Less than this off an edge is nothing; of two panels side by side it would make a gap with one cut, not two.
_HAIR = 5e-3


@dataclass(frozen=True, slots=True, eq=False)
class Bevel:
    """A free edge that is cut at a slant, or to the paper of the far face.

    edge: of the panel's outline. p, q: (2,) ends of the line on `face`. to_paper: the far paper stays whole.
    """

    panel: str
    edge: int
    face: Face
    p: FloatArray
    q: FloatArray
    to_paper: bool


def fold_edges(blank: Blank) -> frozenset[tuple[str, int]]:
    """Panel and edge of every outline edge that lies along a fold."""
    found: set[tuple[str, int]] = set()
    for fold in blank.folds:
        parent, child = fold_sides(blank, fold)
        found |= {(fold.parent, edge) for edge in parent} | {(fold.child, edge) for edge in child}
    return frozenset(found)


def as_cut(blank: Blank) -> Blank:
    """The same blank with what both faces lack at a free edge taken off the outline.

    What remains of the edge's cuts is a bevel. The solid and its mass are the same as before.
    """
    folded = fold_edges(blank)
    return replace(blank, panels=tuple(_trimmed(panel, folded) for panel in blank.panels))


def _trimmed(panel: Panel, folded: frozenset[tuple[str, int]]) -> Panel:
    through = np.array(
        [0.0 if (panel.name, k) in folded else _through(cut) for k, cut in enumerate(panel.cuts)]
    )
    if not through.any():
        return panel
    polygon, source = inset_outline(panel.polygon, through)
    cuts = tuple(SQUARE if k < 0 else _less(panel.cuts[k], float(through[k])) for k in source)
    return replace(panel, polygon=polygon, cuts=cuts)


def _through(cut: EdgeCut) -> float:
    """What both faces and the foam lack."""
    through = 0.0 if cut.paper_a or cut.paper_b else min(cut.a, cut.b)
    return through if through >= _HAIR else 0.0


def _less(cut: EdgeCut, through: float) -> EdgeCut:
    return replace(cut, a=cut.a - through, b=cut.b - through)


def bevels(blank: Blank) -> tuple[Bevel, ...]:
    """The slanted free edges of a blank that is `as_cut`: one line each, on the face that lacks more."""
    folded = fold_edges(blank)
    found: list[Bevel] = []
    for panel in blank.panels:
        for edge, cut in enumerate(panel.cuts):
            depth = max(cut.a, cut.b)
            if (panel.name, edge) in folded or depth < _LEAST:
                continue
            papered = cut.paper_a or cut.paper_b
            face: Face = ("b" if cut.paper_a else "a") if papered else ("a" if cut.a > cut.b else "b")
            p, q = inner_line(panel, edge, depth)
            found.append(Bevel(panel.name, edge, face, p, q, papered))
    return tuple(found)


def inner_line(panel: Panel, edge: int, distance: float) -> tuple[FloatArray, FloatArray]:
    """Ends of the line `distance` mm inside an edge, from one neighbouring edge to the other."""
    steps = np.zeros(len(panel.polygon))
    steps[edge] = distance
    corners = inset_all((panel.polygon,), steps)[0].reshape(-1, 2, 2)
    # an edge begins at the second of its first corner's two points and ends at the first of the next's
    return corners[edge, 1], corners[(edge + 1) % len(corners), 0]


def contours(blank: Blank) -> tuple[FloatArray, ...]:
    """Outer ring and holes (n, 2) of a blank that is `as_cut`, all counter-clockwise, without idle points
    and without edges too short to cut.

    Raises ValueError where the blank is not one piece.
    """
    shape, *others = shapely.get_parts(outline(blank))
    if others:
        raise ValueError(f"{blank.name} falls apart: its panels are not joined by folds")
    rings = (np.asarray(ring.coords)[:-1] for ring in (shape.exterior, *shape.interiors))
    return tuple(straightened(without_specks(ring)) for ring in rings)


def without_specks(ring: FloatArray) -> FloatArray:
    """A ring whose edges shorter than 1e-3 mm are drawn together to their middle, the shortest first."""
    points = ring
    while len(points) > 3:
        after = np.roll(points, -1, axis=0)
        length = np.hypot(*(after - points).T)
        k = int(np.argmin(length))
        if length[k] >= _SPECK:
            break
        middle = (points[k] + after[k]) / 2.0
        points = np.delete(points, (k + 1) % len(points), axis=0)
        points[k if k < len(points) else k - 1] = middle
    return points


def is_one_piece(blank: Blank) -> bool:
    """True where a blank holds together when it is cut out."""
    return len(shapely.get_parts(outline(blank))) == 1


def straightened(ring: FloatArray) -> FloatArray:
    """A ring counter-clockwise, less the points that lie on a straight line with their neighbours."""
    points = ring if signed_area(ring) > 0.0 else ring[::-1]
    while True:
        back, on = points - np.roll(points, 1, axis=0), np.roll(points, -1, axis=0) - points
        chord = np.hypot(*(on + back).T)
        off = np.abs(back[:, 0] * on[:, 1] - back[:, 1] * on[:, 0]) / np.where(chord > 0.0, chord, 1.0)
        idle = (off < _STRAIGHT) | (np.hypot(*on.T) < _STRAIGHT)
        # one at a time where neighbours are both idle, or a slow curve would be eaten up
        idle &= ~np.roll(idle, 1)
        if not bool(idle.any()) or len(points) <= 3:
            return points.copy()
        points = points[~idle]


def signed_area(ring: FloatArray) -> float:
    """Area of a ring (n, 2), positive where it runs counter-clockwise, mm²."""
    after = np.roll(ring, -1, axis=0)
    return float((ring[:, 0] * after[:, 1] - after[:, 0] * ring[:, 1]).sum() / 2.0)


Axis = Literal["u", "v"]


def long_axis(ring: FloatArray) -> Axis:
    """The blank's axis along which it is longer; `u` where both are alike."""
    width, height = (ring.max(axis=0) - ring.min(axis=0)).tolist()
    return "v" if height > width + 1e-6 else "u"
