"""Outlines of a panel at any depth: the polygon less what its edges lack there."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache

import numpy as np

from foldwright.base.types import BoolArray, FloatArray, IntArray
from foldwright.geometry.fold.model import EdgeCut, Face, Panel

_COLLINEAR = 1e-9


def inset(polygon: FloatArray, distances: FloatArray) -> FloatArray:
    """Move each edge of a counter-clockwise polygon inward by its own distance.

    polygon: (n, 2) mm; distances: (..., n) mm, edge i from point i to i + 1. Neighbouring edges meet in
    one point where they are not parallel; a parallel pair keeps a step of two points. Returns
    (..., k, 2) with k >= n the same for every distance, corner by corner.
    """
    points = np.asarray(polygon, dtype=np.float64)
    along = following(points) - points
    unit = along / _lengths(along)[:, None]
    inward = np.stack([-unit[:, 1], unit[:, 0]], axis=1)
    step = np.asarray(distances, dtype=np.float64)
    before = np.concatenate([step[..., -1:], step[..., :-1]], axis=-1)
    unit_before, inward_before = unit[_before(unit)], inward[_before(inward)]
    sine = unit_before[:, 0] * unit[:, 1] - unit_before[:, 1] * unit[:, 0]
    corner: BoolArray = np.abs(sine) > _COLLINEAR
    safe = np.where(corner, sine, 1.0)
    # p + s*u_before with inward.(s*u_before) = d - d_before*inward.inward_before, solved for both lines
    moved = points + (before[..., None] * unit - step[..., None] * unit_before) / safe[..., None]
    return _with_steps(points, moved, corner, before, step, inward_before, inward)


def following(ring: FloatArray) -> FloatArray:
    """The points of a ring (n, ...), each in the place of the one before it."""
    return np.concatenate([ring[1:], ring[:1]])


def _before(ring: FloatArray) -> IntArray:
    return np.arange(-1, len(ring) - 1)


def _lengths(along: FloatArray) -> FloatArray:
    length: FloatArray = np.hypot(along[:, 0], along[:, 1])
    if not length.all():
        raise ValueError("an outline has two neighbouring points at one place")
    return length


def inset_all(polygons: Sequence[FloatArray], distances: FloatArray) -> tuple[FloatArray, IntArray]:
    """`inset` of many polygons in one pass.

    polygons: p counter-clockwise rings of together n points; distances: (..., n) mm, one for each edge.
    Returns corners (..., 2n, 2), every corner given twice (the two are equal where its edges are not
    parallel), and the index (p,) at which each polygon begins.
    """
    sizes = np.array([len(polygon) for polygon in polygons])
    starts = np.concatenate([[0], np.cumsum(sizes)[:-1]])
    points = np.concatenate(polygons)
    following = np.arange(1, len(points) + 1)
    following[starts + sizes - 1] = starts
    previous = np.arange(-1, len(points) - 1)
    previous[starts] = starts + sizes - 1
    along = points[following] - points
    unit = along / _lengths(along)[:, None]
    inward = np.stack([-unit[:, 1], unit[:, 0]], axis=1)
    step = np.asarray(distances, dtype=np.float64)
    before = step[..., previous]
    sine = unit[previous, 0] * unit[:, 1] - unit[previous, 1] * unit[:, 0]
    corner = np.abs(sine) > _COLLINEAR
    safe = np.where(corner, sine, 1.0)
    moved = points + (before[..., None] * unit - step[..., None] * unit[previous]) / safe[..., None]
    first = np.where(corner[:, None], moved, points + before[..., None] * inward[previous])
    second = np.where(corner[:, None], moved, points + step[..., None] * inward)
    both = np.stack([first, second], axis=-2)
    return both.reshape(*both.shape[:-3], -1, 2), 2 * starts


def _with_steps(
    points: FloatArray, moved: FloatArray, corner: BoolArray, before: FloatArray, step: FloatArray,
    inward_before: FloatArray, inward: FloatArray,
) -> FloatArray:  # fmt: skip
    if bool(corner.all()):
        return moved
    columns: list[FloatArray] = []
    for index in range(len(points)):
        if corner[index]:
            columns.append(moved[..., index, :])
        else:
            columns.append(points[index] + before[..., index, None] * inward_before[index])
            columns.append(points[index] + step[..., index, None] * inward[index])
    return np.stack(columns, axis=-2)


def inset_outline(polygon: FloatArray, distances: FloatArray) -> tuple[FloatArray, tuple[int, ...]]:
    """`inset` by one distance an edge (n,), with the edge that each edge of the result comes from.

    Returns (k, 2) and k indices; -1 names the short edge of a step between two edges on one line that
    move by different distances.
    """
    corners, _ = inset_all((polygon,), distances)
    points: list[FloatArray] = []
    source: list[int] = []
    for index, (first, second) in enumerate(corners.reshape(-1, 2, 2)):
        if np.hypot(*(second - first)) > _COLLINEAR:
            points.append(first)
            source.append(-1)
        points.append(second)
        source.append(index)
    return np.array(points), tuple(source)


def foam_cut(cut: EdgeCut) -> tuple[float, float]:
    """What an edge lacks of foam mass on face B and on face A, mm: squeezed foam is still there."""
    return (0.0, 0.0) if cut.squeezed else (cut.b, cut.a)


def skin_cut(cut: EdgeCut) -> tuple[float, float]:
    """What an edge lacks of paper on face B and on face A, mm: pressed paper is still there."""
    if cut.squeezed:
        return 0.0, 0.0
    return (0.0 if cut.paper_b else cut.b), (0.0 if cut.paper_a else cut.a)


def solid_ring(panel: Panel, share: float) -> FloatArray:
    """Outline (k, 2) of the foam as it stands at depth share (0 face B, 1 face A), mm."""
    distances = np.array([cut.b + (cut.a - cut.b) * share for cut in panel.cuts])
    return inset(panel.polygon, distances)


@lru_cache(maxsize=512)
def solid_rings(panel: Panel) -> tuple[FloatArray, FloatArray]:
    """`solid_ring` on face B and on face A, (k, 2) each, corner by corner.

    The last ones are remembered (panels are compared by identity) and cannot be written to.
    """
    both = inset(panel.polygon, np.array([(cut.b, cut.a) for cut in panel.cuts]).T)
    both.setflags(write=False)
    return both[0], both[1]


@lru_cache(maxsize=512)
def face_ring(panel: Panel, face: Face) -> FloatArray:
    """Outline (k, 2) of the part of a face that lies smooth: not on a bevel and not on a pressed band, mm.

    The last ones are remembered (panels are compared by identity) and cannot be written to.
    """
    lacks = [
        (0.0 if cut.paper_a else cut.a) if face == "a" else (0.0 if cut.paper_b else cut.b)
        for cut in panel.cuts
    ]
    ring = inset(panel.polygon, np.array(lacks))
    ring.setflags(write=False)
    return ring
