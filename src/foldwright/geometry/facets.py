"""Closed solids with planar faces, in mm: what pictures, sections and checks are made from.

A solid keeps its corners once and names them by index, so that neighbouring faces share them exactly.
Seen from outside, a face's outer ring runs counter-clockwise and its holes run clockwise.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from math import cos, radians
from typing import TYPE_CHECKING, Literal

import numpy as np

if TYPE_CHECKING:
    from foldwright.base.types import FloatArray

EdgeKind = Literal["outline", "fold", "smooth"]
Ring = tuple[int, ...]
Face = tuple[Ring, ...]

_FLAT = 1e-9
_DECIMALS = 7
_SMOOTH_DEG = 25.0


@dataclass(frozen=True, slots=True)
class Edge:
    """An edge between two faces of one solid.

    a, b: indices of its corners. left, right: indices of the faces that run along it a→b and b→a.
    kind: "outline", "fold", or "smooth" (a facet line of a curved surface: drawn only as a silhouette).
    """

    a: int
    b: int
    kind: EdgeKind
    left: int
    right: int


@dataclass(frozen=True, slots=True, eq=False)
class Solid:
    """A closed solid.

    name: part id. points: corners (n, 3) in mm. faces: each an outer ring and then holes, as corner indices.
    edges: the true edges; an edge between two faces of one plane is left out.
    tone: a free word ("board", "wood", ...) by which fills are kept apart.
    """

    name: str
    points: FloatArray
    faces: tuple[Face, ...]
    edges: tuple[Edge, ...]
    tone: str = "board"


def ring_normal(points: FloatArray) -> FloatArray:
    """Area vector (3,) in mm² of a closed ring of points (n, 3), by Newell's sum; right-handed."""
    spread = points - points[0]
    area: FloatArray = 0.5 * np.cross(spread, np.roll(spread, -1, axis=0)).sum(axis=0)
    return area


def polyhedron(
    name: str,
    points: FloatArray,
    faces: Sequence[Face],
    *,
    folds: Collection[frozenset[int]] = (),
    smooth_deg: float = _SMOOTH_DEG,
    tone: str = "board",
) -> Solid:
    """A solid from corners (n, 3) in mm and faces, its edges found from the faces.

    folds: pairs of corner indices whose edge is a fold. smooth_deg: two faces that turn by less than this
    meet in a "smooth" edge. Corners at one place (1e-7 mm) become one; faces that collapse are left out.
    Raises ValueError where an edge does not lie between exactly two faces that run along it in opposite
    directions, that is, where the surface is not closed or not oriented.
    """
    same = _coincident(points)
    kept = tuple(face for face in (_collapsed(f, same) for f in faces) if face)
    normals = np.array([unit(ring_normal(points[list(face[0])])) for face in kept])
    owner: dict[tuple[int, int], int] = {}
    for index, face in enumerate(kept):
        for ring in face:
            for a, b in zip(ring, ring[1:] + ring[:1], strict=True):
                if owner.setdefault((a, b), index) != index:
                    raise ValueError(f"{name}: edge {a}-{b} is used twice in one direction")
    fold_pairs = frozenset(folds)
    edges: list[Edge] = []
    for (a, b), left in owner.items():
        right = owner.get((b, a))
        if right is None:
            raise ValueError(f"{name}: edge {a}-{b} has a face on one side only")
        if a < b:
            kind = _edge_kind(frozenset((a, b)) in fold_pairs, normals[left], normals[right], smooth_deg)
            if kind is not None:
                edges.append(Edge(a, b, kind, left, right))
    return Solid(name, points, kept, tuple(edges), tone)


def prismatoid(
    name: str,
    ring_a: FloatArray,
    ring_b: FloatArray,
    placement: FloatArray,
    thickness: float,
    *,
    holes: Sequence[FloatArray] = (),
    fold_edges: Collection[int] = (),
    smooth_deg: float = _SMOOTH_DEG,
    tone: str = "board",
) -> Solid:
    """The solid of a board panel whose two faces have corresponding corners.

    ring_a: corners (n, 2) in mm of face A (w = thickness); ring_b: of face B (w = 0); both
    counter-clockwise seen from A. placement: rigid 4 x 4 from (u, v, w) to the scene. holes: rings (m, 2)
    cut straight through. fold_edges: k names the edge from corner k to k + 1; it is a fold on both faces and
    on the mitre lines at its ends. Corners of ring B may coincide.
    Raises ValueError for rings of unlike length and for a thickness that is not above zero.
    """
    if ring_a.shape != ring_b.shape:
        raise ValueError(f"{name}: faces A and B need the same number of corners")
    if not thickness > 0.0:
        raise ValueError(f"{name}: a board needs a thickness above zero")
    count = len(ring_a)
    bores = [hole if _signed_area(hole) > 0.0 else hole[::-1] for hole in holes]
    flats = [_lift(ring_a, thickness), _lift(ring_b, 0.0)]
    flats += [_lift(bore, w) for bore in bores for w in (thickness, 0.0)]
    local = np.concatenate(flats)
    points = local @ placement[:3, :3].T + placement[:3, 3]
    face_a: list[Ring] = [tuple(range(count))]
    face_b: list[Ring] = [tuple(range(2 * count - 1, count - 1, -1))]
    walls = _walls(points, face_a[0], tuple(range(count, 2 * count)))
    start = 2 * count
    for bore in bores:
        size = len(bore)
        upper, lower = tuple(range(start, start + size)), tuple(range(start + size, start + 2 * size))
        face_a.append(upper[::-1])
        face_b.append(lower)
        walls += _walls(points, lower, upper)
        start += 2 * size
    return polyhedron(
        name,
        points,
        [tuple(face_a), tuple(face_b), *walls],
        folds=_fold_pairs(count, fold_edges),
        smooth_deg=smooth_deg,
        tone=tone,
    )


def box(name: str, low: Sequence[float], high: Sequence[float], *, tone: str = "board") -> Solid:
    """An upright box between two corners (x, y, z) in mm; `low` is below `high` in every coordinate."""
    ring = np.array([[low[0], low[1]], [high[0], low[1]], [high[0], high[1]], [low[0], high[1]]])
    placement = np.eye(4)
    placement[2, 3] = low[2]
    return prismatoid(name, ring, ring, placement, high[2] - low[2], tone=tone)


def _lift(ring: FloatArray, w: float) -> FloatArray:
    """Ring (n, 2) at height w: (n, 3)."""
    return np.column_stack([ring, np.full(len(ring), w)])


def _signed_area(ring: FloatArray) -> float:
    """Area of a ring (n, 2), positive where it runs counter-clockwise."""
    return float(ring_normal(_lift(ring, 0.0))[2])


def _walls(points: FloatArray, upper: Ring, lower: Ring) -> list[Face]:
    """Faces between two corresponding rings; a wall that is not planar becomes two triangles."""
    walls: list[Face] = []
    for k in range(len(upper)):
        n = (k + 1) % len(upper)
        quad = (lower[k], lower[n], upper[n], upper[k])
        p = points[list(quad)]
        volume = abs(float(np.dot(np.cross(p[1] - p[0], p[2] - p[0]), p[3] - p[0])))
        size = float(np.abs(p - p[0]).max())
        if volume <= _FLAT * size**3:
            walls.append((quad,))
        else:
            walls += [(quad[:3],), ((quad[0], quad[2], quad[3]),)]
    return walls


def _fold_pairs(count: int, fold_edges: Collection[int]) -> set[frozenset[int]]:
    """Corner pairs of the folds of a prismatoid: on face A, on face B, and the lines that join them."""
    pairs: set[frozenset[int]] = set()
    for k in fold_edges:
        n = (k + 1) % count
        pairs |= {frozenset((k, n)), frozenset((count + k, count + n))}
        pairs |= {frozenset((k, count + k)), frozenset((n, count + n))}
    return pairs


def _coincident(points: FloatArray) -> list[int]:
    """For every corner the first index that stands at the same place."""
    places = np.round(points, _DECIMALS) + 0.0
    _, first, inverse = np.unique(places, axis=0, return_index=True, return_inverse=True)
    return [int(k) for k in first[inverse.ravel()]]


def _collapsed(face: Face, same: Sequence[int]) -> Face:
    """The face with corners at one place made one; a ring of fewer than three goes, an outer with all."""
    rings: list[Ring] = []
    for ring in face:
        named = [same[k] for k in ring]
        short = tuple(k for k, before in zip(named, named[-1:] + named[:-1], strict=True) if k != before)
        if len(short) > 2:
            rings.append(short)
        elif not rings:
            return ()
    return tuple(rings)


def unit(vector: FloatArray) -> FloatArray:
    """A vector of the same direction and length 1; a vector of no length stays so."""
    length = float(np.linalg.norm(vector))
    scaled: FloatArray = vector / length if length > 0.0 else vector
    return scaled


def _edge_kind(fold: bool, left: FloatArray, right: FloatArray, smooth_deg: float) -> EdgeKind | None:
    """How an edge between faces of the given unit normals is drawn; None inside one plane."""
    turn_cos = float(np.dot(left, right))
    if fold:
        return "fold"
    if float(np.linalg.norm(np.cross(left, right))) < 1e-6 and turn_cos > 0.0:
        return None
    return "smooth" if turn_cos > cos(radians(smooth_deg)) else "outline"
