"""Whether two prismatoids keep clear of each other: the separating-axis test, for many places at once.

Two convex bodies are apart if and only if some direction separates them, and it is enough to try the
normals of their faces and the products of their edges (Gottschalk, Lin & Manocha 1996). For bodies that
are not convex a separating direction still proves them apart; finding none proves nothing.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from foldwright.base.types import BoolArray, FloatArray
from foldwright.geometry.fold.model import Panel
from foldwright.geometry.fold.rings import following, solid_rings

_SHORT = 1e-9


@dataclass(frozen=True, slots=True, eq=False)
class Body:
    """Corners (n, 3), directions of faces (f, 3) and of edges (e, 3) of a panel in its blank frame, mm."""

    corners: FloatArray
    normals: FloatArray
    edges: FloatArray
    convex: bool


def body(panel: Panel, thickness: float) -> Body:
    """The solid of a panel as the separating-axis test wants it."""
    low, high = solid_rings(panel)
    count = len(low)
    bottom = np.column_stack([low, np.zeros(count)])
    top = np.column_stack([high, np.full(count, thickness)])
    along = following(high) - high + following(low) - low
    length = np.hypot(along[:, 0], along[:, 1])
    run = along[length > _SHORT] / length[length > _SHORT][:, None]
    rise = top - bottom
    flat = np.column_stack([run, np.zeros(len(run))])
    normals = np.cross(flat, rise[length > _SHORT])
    turn = following(run)
    convex = bool((run[:, 0] * turn[:, 1] - run[:, 1] * turn[:, 0] > -_SHORT).all())
    upright = np.array([[0.0, 0.0, 1.0]])
    return Body(
        np.concatenate([bottom, top]),
        np.concatenate([upright, _unlike(normals)]),
        np.concatenate([_unlike(flat), _unlike(rise)]),
        convex,
    )


def _unlike(directions: FloatArray) -> FloatArray:
    """Unit directions, each once whichever way it points."""
    kept: list[FloatArray] = []
    for direction in directions / np.linalg.norm(directions, axis=1)[:, None]:
        if all(abs(float(direction @ other)) < 1.0 - 1e-12 for other in kept):
            kept.append(direction)
    return np.array(kept)


def gaps(one: Body, other: Body, relative: FloatArray) -> FloatArray:
    """Widest gap in mm between two bodies over all directions tried; negative where none separates them.

    relative: (s, 4, 4), from the frame of `other` to that of `one`. Returns (s,).
    """
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
