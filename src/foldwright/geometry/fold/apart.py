"""Whether two prismatoids keep clear of each other: the separating-axis test, for many places at once.

Two convex bodies are apart if and only if some direction separates them, and it is enough to try the
normals of their faces and the products of their edges (Gottschalk, Lin & Manocha 1996). For bodies that
are not convex a separating direction still proves them apart; finding none proves nothing.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import manifold3d
import numpy as np

from foldwright.base.types import BoolArray, FloatArray
from foldwright.geometry.fold.model import Panel
from foldwright.geometry.fold.rings import following, solid_rings

_SHORT = 1e-9


@dataclass(frozen=True, slots=True, eq=False)
class Body:
    """Corners (n, 3), directions of faces (f, 3) and of edges (e, 3) of a panel in its blank frame, mm.

    convex: whether the test decides, and the gap is a depth where it is negative. parts: convex bodies that
    cover one whose outline is not convex, holes filled; else empty.
    """

    corners: FloatArray
    normals: FloatArray
    edges: FloatArray
    convex: bool = True
    parts: tuple[Body, ...] = ()


def body(panel: Panel, thickness: float) -> Body:
    """The solid of a panel as the separating-axis test wants it."""
    low, high = solid_rings(panel)
    whole = _between(low, high, thickness)
    turn = following(whole.run)
    bends = whole.run[:, 0] * turn[:, 1] - whole.run[:, 1] * turn[:, 0]
    if bool((bends > -_SHORT).all()):
        return replace(whole.body, convex=not panel.holes)
    triangles = manifold3d.triangulate([(low + high) / 2.0])
    parts = tuple(_between(low[each], high[each], thickness).body for each in triangles)
    return replace(whole.body, convex=False, parts=parts)


@dataclass(frozen=True, slots=True, eq=False)
class _Frustum:
    """A body between two rings and the directions (k, 2) of its sides in the blank."""

    body: Body
    run: FloatArray


def _between(low: FloatArray, high: FloatArray, thickness: float) -> _Frustum:
    count = len(low)
    bottom = np.column_stack([low, np.zeros(count)])
    top = np.column_stack([high, np.full(count, thickness)])
    along = following(high) - high + following(low) - low
    length = np.hypot(along[:, 0], along[:, 1])
    long = length > _SHORT
    run = along[long] / length[long][:, None]
    rise = top - bottom
    flat = np.column_stack([run, np.zeros(len(run))])
    upright = np.array([[0.0, 0.0, 1.0]])
    normals = np.concatenate([upright, _unlike(np.cross(flat, rise[long]))])
    edges = np.concatenate([_unlike(flat), _unlike(rise)])
    return _Frustum(Body(np.concatenate([bottom, top]), normals, edges), run)


def _unlike(directions: FloatArray) -> FloatArray:
    """Unit directions, each once whichever way it points."""
    unit = directions / np.linalg.norm(directions, axis=1)[:, None]
    same = np.abs(unit @ unit.T) > 1.0 - 1e-12
    first: FloatArray = unit[same.argmax(axis=1) == np.arange(len(unit))]
    return first


def gaps(one: Body, other: Body, relative: FloatArray) -> FloatArray:
    """Widest gap in mm between two bodies over all directions tried; negative where none separates them.

    relative: (s, 4, 4), from the frame of `other` to that of `one`. Returns (s,). Bodies made of parts are
    asked part by part where they are not apart as wholes.
    """
    widest = hull_gaps(one, other, relative)
    if not one.parts and not other.parts:
        return widest
    close = np.flatnonzero(widest < 0.0)
    if len(close):
        widest[close] = np.maximum(widest[close], _part_gaps(one, other, relative[close]))
    return widest


def _part_gaps(one: Body, other: Body, relative: FloatArray) -> FloatArray:
    """Least gap (s,) over all pairs of parts, at least where it is negative; else no more than it.

    A part is no nearer to any part of the other body than to that body as a whole: parts that keep clear of
    the whole are not tried further.
    """
    mine = [(part, hull_gaps(part, other, relative)) for part in one.parts or (one,)]
    theirs = [(part, hull_gaps(one, part, relative)) for part in other.parts or (other,)]
    least: FloatArray = np.maximum(
        np.min([gap for _, gap in mine], axis=0), np.min([gap for _, gap in theirs], axis=0)
    )
    pairs = [
        (part, other_part, (gap < 0.0) & (other_gap < 0.0))
        for part, gap in mine
        for other_part, other_gap in theirs
    ]
    near = np.flatnonzero(least < 0.0)
    found = np.full(len(relative), np.inf)
    for part, other_part, both in pairs:
        tried = np.flatnonzero(both)
        if len(tried):
            found[tried] = np.minimum(found[tried], hull_gaps(part, other_part, relative[tried]))
    least[near] = np.maximum(least[near], np.where(np.isfinite(found[near]), found[near], 0.0))
    return least




def hull_gaps(one: Body, other: Body, relative: FloatArray) -> FloatArray:
    """As `gaps`, for the bodies as wholes, bays filled: quicker where only one place is asked about."""
    rotation = relative[:, :3, :3]
    moved = other.corners @ np.swapaxes(rotation, -1, -2) + relative[:, None, :3, 3]
    own = np.broadcast_to(one.normals, (len(relative), *one.normals.shape))
    theirs = other.normals @ np.swapaxes(rotation, -1, -2)
    widest = _gap_along(one.corners, moved, np.concatenate([own, theirs], axis=1))
    close = widest < 0.0
    if bool(close.any()):
        widest[close] = np.maximum(widest[close], _edge_gaps(one, other, rotation[close], moved[close]))
    return widest


def _edge_gaps(one: Body, other: Body, rotation: FloatArray, moved: FloatArray) -> FloatArray:
    turned = other.edges @ np.swapaxes(rotation, -1, -2)
    products = np.cross(one.edges[None, :, None, :], turned[:, None, :, :]).reshape(len(rotation), -1, 3)
    length = np.linalg.norm(products, axis=-1, keepdims=True)
    parallel: BoolArray = length[..., 0] < 1e-6
    axes = products / np.where(length < 1e-6, 1.0, length)
    return _gap_along(one.corners, moved, axes, parallel)


def _gap_along(
    fixed: FloatArray, moved: FloatArray, axes: FloatArray, skip: BoolArray | None = None
) -> FloatArray:
    """Widest gap (s,) between (n, 3) and (s, m, 3) along unit directions (s, k, 3)."""
    shadow = axes @ fixed.T
    other = axes @ np.swapaxes(moved, -1, -2)
    gap = np.maximum(other.min(axis=-1) - shadow.max(axis=-1), shadow.min(axis=-1) - other.max(axis=-1))
    if skip is not None:
        gap = np.where(skip, -np.inf, gap)
    widest: FloatArray = gap.max(axis=-1)
    return widest
