"""Whether two prismatoids keep clear of each other: the separating-axis test, for many places at once.

Two convex bodies are apart if and only if some direction separates them, and it is enough to try the
normals of their faces and the products of their edges (Gottschalk, Lin & Manocha 1996). For bodies that
are not convex a separating direction still proves them apart; finding none proves nothing.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import manifold3d
import numpy as np

from foldwright.base.types import BoolArray, FloatArray, IntArray
from foldwright.geometry.fold.model import Panel
from foldwright.geometry.fold.rings import following, solid_rings

_SHORT = 1e-9
TOUCHING = 1e-7
"""Bodies that bite no deeper than this touch, mm: rounding between faces that lie on each other."""


@dataclass(frozen=True, slots=True, eq=False)
class Body:
    """Corners (n, 3), directions of faces (f, 3) and of edges (e, 3) of a panel in its blank frame, mm.

    convex: whether the test decides, and the gap is a depth where it is negative. parts: convex bodies that
    cover one whose outline is not convex, holes filled, as one body whose arrays have an axis more in front;
    else None.
    """

    corners: FloatArray
    normals: FloatArray
    edges: FloatArray
    convex: bool = True
    parts: Body | None = None

    def of(self, index: IntArray) -> Body:
        """Bodies of a row of them by number; one that is no row stands for all of them."""
        if self.corners.ndim == 2:
            return self
        return Body(self.corners[index], self.normals[index], self.edges[index])


def body(panel: Panel, thickness: float) -> Body:
    """The solid of a panel as the separating-axis test wants it."""
    low, high = solid_rings(panel)
    whole = _between(low, high, thickness)
    turn = following(whole.run)
    bends = whole.run[:, 0] * turn[:, 1] - whole.run[:, 1] * turn[:, 0]
    if bool((bends > -_SHORT).all()):
        return replace(whole.body, convex=not panel.holes)
    triangles = manifold3d.triangulate([(low + high) / 2.0])
    return replace(whole.body, convex=False, parts=_wedges(low[triangles], high[triangles], thickness))


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
    normals = np.concatenate([upright, _unlike(_products(flat, rise[long]))])
    edges = np.concatenate([_unlike(flat), _unlike(rise)])
    return _Frustum(Body(np.concatenate([bottom, top]), normals, edges), run)


def _wedges(low: FloatArray, high: FloatArray, thickness: float) -> Body:
    """Bodies between p pairs of triangles (p, 3, 2), all at once.

    Directions that come twice are left in: rows of one length are worth more.
    """
    bottom, top = (
        np.concatenate([ring, np.full((*ring.shape[:-1], 1), w)], axis=-1)
        for ring, w in ((low, 0.0), (high, thickness))
    )
    along = (top + bottom)[:, (1, 2, 0)] - (top + bottom)
    rise = top - bottom
    sides, upright = _products(along, rise), np.array([0.0, 0.0, 1.0])
    # a side without length gives no direction: the faces' own is tried again
    sides = np.where((sides == 0.0).all(axis=-1, keepdims=True), upright, sides)
    normals = np.concatenate([np.broadcast_to(upright, (len(low), 1, 3)), _unit(sides)], axis=1)
    if float(np.ptp(rise, axis=(0, 1)).max()) < _SHORT:
        rise = rise[:, :1]  # square edges all rise alike
    edges = np.concatenate([_unit(along), _unit(rise)], axis=1)
    return Body(np.concatenate([bottom, top], axis=1), normals, edges)


def _products(one: FloatArray, other: FloatArray) -> FloatArray:
    """Vector products (..., 3); in plain sums, which for few vectors is several times quicker."""
    ax, ay, az = one[..., 0], one[..., 1], one[..., 2]
    bx, by, bz = other[..., 0], other[..., 1], other[..., 2]
    return np.stack([ay * bz - az * by, az * bx - ax * bz, ax * by - ay * bx], axis=-1)


def _unit(directions: FloatArray) -> FloatArray:
    """Directions (..., 3) at length 1; those without length stay so."""
    length = np.sqrt(np.einsum("...i,...i->...", directions, directions))[..., None]
    unit: FloatArray = directions / np.where(length == 0.0, 1.0, length)
    return unit


def _unlike(directions: FloatArray) -> FloatArray:
    """Unit directions, each once whichever way it points."""
    unit = directions / np.linalg.norm(directions, axis=1)[:, None]
    same = np.abs(unit @ unit.T) > 1.0 - 1e-12
    first: FloatArray = unit[same.argmax(axis=1) == np.arange(len(unit))]
    return first


def gaps(one: Body, other: Body, relative: FloatArray) -> FloatArray:
    """Widest gap in mm between two bodies over all directions tried; negative where none separates them.

    relative: (s, 4, 4), from the frame of `other` to that of `one`. Returns (s,). Bodies that only touch
    (`TOUCHING`) are not looked at more closely. Bodies made of parts are asked part by part where they are
    not apart as wholes.
    """
    widest = hull_gaps(one, other, relative)
    if one.parts is None and other.parts is None:
        return widest
    close = np.flatnonzero(widest < -TOUCHING)
    if len(close):
        widest[close] = np.maximum(widest[close], _part_gaps(one, other, relative[close]))
    return widest


def _part_gaps(one: Body, other: Body, relative: FloatArray) -> FloatArray:
    """Least gap (s,) over all pairs of parts, at least where it is negative; else no more than it.

    A part is no nearer to any part of the other body than to that body as a whole: parts that keep clear of
    the whole are not tried further. All parts, pairs and places are asked in one pass.
    """
    mine = _each_gap(one.parts, other, relative) if one.parts else hull_gaps(one, other, relative)[None]
    # the other's parts against the whole: the same question asked from there gives the same gaps
    theirs = _each_gap(other.parts, one, backward(relative)) if other.parts else mine.min(axis=0)[None]
    least: FloatArray = np.maximum(mine.min(axis=0), theirs.min(axis=0))
    both = (mine < -TOUCHING)[:, None, :] & (theirs < -TOUCHING)[None, :, :]
    first, second, place = np.nonzero(both)
    found = np.full(len(relative), np.inf)
    if len(place):
        pair = (one.parts or one).of(first), (other.parts or other).of(second)
        np.minimum.at(found, place, hull_gaps(*pair, relative[place]))
    near = least < 0.0
    least[near] = np.maximum(least[near], np.where(np.isfinite(found[near]), found[near], 0.0))
    return least


def _each_gap(parts: Body, other: Body, relative: FloatArray) -> FloatArray:
    """(p, s) gap of every part of a row from another body at every place."""
    count, places = len(parts.corners), len(relative)
    number = np.repeat(np.arange(count), places)
    every = np.broadcast_to(relative, (count, *relative.shape)).reshape(-1, 4, 4)
    return hull_gaps(parts.of(number), other, every, faces_only=True).reshape(count, places)


def backward(relative: FloatArray) -> FloatArray:
    """Inverses (s, 4, 4) of rigid transforms."""
    back = np.zeros_like(relative)
    back[:, :3, :3] = np.swapaxes(relative[:, :3, :3], -1, -2)
    back[:, :3, 3] = -(back[:, :3, :3] @ relative[:, :3, 3:])[..., 0]
    back[:, 3, 3] = 1.0
    return back


def hull_gaps(one: Body, other: Body, relative: FloatArray, *, faces_only: bool = False) -> FloatArray:
    """As `gaps`, for the bodies as wholes, bays filled: quicker where only one place is asked about.

    Either may be a row of s bodies, one for each place.
    """
    rotation = relative[:, :3, :3]
    moved = other.corners @ np.swapaxes(rotation, -1, -2) + relative[:, None, :3, 3]
    own = np.broadcast_to(one.normals, (len(relative), *one.normals.shape[-2:]))
    theirs = other.normals @ np.swapaxes(rotation, -1, -2)
    widest = _gap_along(one.corners, moved, np.concatenate([own, theirs], axis=1))
    close = np.flatnonzero(widest < -TOUCHING)
    if len(close) and not faces_only:
        edge_gaps = _edge_gaps(one.of(close), other.of(close), rotation[close], moved[close])
        widest[close] = np.maximum(widest[close], edge_gaps)
    return widest


def _edge_gaps(one: Body, other: Body, rotation: FloatArray, moved: FloatArray) -> FloatArray:
    turned = other.edges @ np.swapaxes(rotation, -1, -2)
    products = _products(one.edges[..., :, None, :], turned[:, None, :, :]).reshape(len(rotation), -1, 3)
    length = np.sqrt(np.einsum("...i,...i->...", products, products))[..., None]
    parallel: BoolArray = length[..., 0] < 1e-6
    axes = products / np.where(length < 1e-6, 1.0, length)
    return _gap_along(one.corners, moved, axes, parallel)


def _gap_along(
    fixed: FloatArray, moved: FloatArray, axes: FloatArray, skip: BoolArray | None = None
) -> FloatArray:
    """Widest gap (s,) between (n, 3) or (s, n, 3) and (s, m, 3) along unit directions (s, k, 3)."""
    # corners before axes: numpy finds extremes over all axes at once much sooner than within each
    along = np.swapaxes(axes, -1, -2)
    shadow, other = fixed @ along, moved @ along
    gap = np.maximum(other.min(axis=-2) - shadow.max(axis=-2), shadow.min(axis=-2) - other.max(axis=-2))
    if skip is not None:
        gap = np.where(skip, -np.inf, gap)
    widest: FloatArray = gap.max(axis=-1)
    return widest


def box_round(body: Body) -> FloatArray:
    """(2, 3) middle and half the size of the box round a body in its blank frame, mm."""
    low, high = body.corners.min(axis=0), body.corners.max(axis=0)
    return np.stack([low + high, high - low]) / 2.0


def box_gaps(one: FloatArray, other: FloatArray, relative: FloatArray) -> FloatArray:
    """(n, s) widest gap between n pairs of boxes (n, 2, 3) along the axes of both; relative: (n, s, 4, 4).

    Bodies in boxes that keep clear of each other do so themselves.
    """
    rotation = relative[..., :3, :3]
    way = (rotation @ other[:, None, 0, :, None])[..., 0] + relative[..., :3, 3] - one[:, None, 0]
    size, other_size = one[:, None, 1, :, None], other[:, None, 1, :, None]
    back, turned = np.swapaxes(rotation, -1, -2), np.abs(rotation)
    along_one = np.abs(way) - (size + turned @ other_size)[..., 0]
    along_other = np.abs((back @ way[..., None])[..., 0]) - (np.abs(back) @ size + other_size)[..., 0]
    gap: FloatArray = np.maximum(along_one, along_other).max(axis=-1)
    return gap
