"""Flat faces of a closed surface: triangles that lie in one plane and hang together. Lengths in mm."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy.sparse import coo_array
from scipy.sparse.csgraph import connected_components

from foldwright.base.types import BoolArray, FloatArray
from foldwright.geometry.solid.core import IntArray, Mesh

_OFF_PLANE = 1e-5
_SAME_WAY = 0.999
_SLIVER = 1e-6
_NEXT = [1, 2, 0]


@dataclass(frozen=True, slots=True, eq=False)
class FlatFace:
    """normal (3,): out of the solid. loops: corners, anticlockwise seen from outside, holes clockwise; the
    outline comes first.
    """

    normal: FloatArray
    loops: tuple[tuple[int, ...], ...]


def twins(faces: IntArray, count: int) -> IntArray:
    """For each half-edge (3 f + k runs from corner k of triangle f to the next) the one that runs back.

    Raises ValueError for a surface that is not closed. count: of corners.
    """
    start, end = faces.ravel(), faces[:, _NEXT].ravel()
    order = np.argsort(np.minimum(start, end) * count + np.maximum(start, end), kind="stable")
    one, other = order[: len(order) // 2 * 2].reshape(-1, 2).T
    if len(order) % 2 or not (
        np.array_equal(start[one], end[other]) and np.array_equal(end[one], start[other])
    ):
        raise ValueError("the triangles do not close: some edge lacks its other side")
    found = np.empty_like(order)
    found[one], found[other] = other, one
    return found


def normals_of(mesh: Mesh) -> tuple[FloatArray, FloatArray]:
    """Unit normals (m, 3) and areas (m,) of triangles; zeros for the normal of one without area."""
    a, b, c = (mesh.vertices[mesh.faces[:, k]] for k in range(3))
    across = cross(b - a, c - a)
    length = np.sqrt(np.einsum("ij,ij->i", across, across))
    safe = np.where(length > 0.0, length, 1.0)
    return across / safe[:, None], 0.5 * length


def cross(one: FloatArray, other: FloatArray) -> FloatArray:
    """Vector products of rows (m, 3): for many triangles, several times as quick as numpy's own."""
    (a, b, c), (x, y, z) = one.T, other.T
    return np.column_stack([b * z - c * y, c * x - a * z, a * y - b * x])


def flat_groups(mesh: Mesh, grid: float = 0.0) -> tuple[IntArray, IntArray, IntArray]:
    """Group of each triangle (m,), the largest triangle of each group, and `twins`.

    grid: what the corners are rounded to, mm. Neighbours are of one group when each one's far corner lies
    within 0.01 µm, or three steps of the grid, of the other's plane; a triangle lower than a nanometre, or
    three steps, goes with its neighbour over its longest edge. Groups are numbered from the one with the
    largest triangle.
    """
    off_plane, low = max(_OFF_PLANE, 3.0 * grid), max(_SLIVER, 3.0 * grid)
    twin = twins(mesh.faces, len(mesh.vertices))
    normal, area = normals_of(mesh)
    corners = mesh.vertices[mesh.faces]
    along = corners[:, _NEXT] - corners
    length = np.sqrt(np.einsum("ijk,ijk->ij", along, along))
    sliver = 2.0 * area < low * length.max(axis=1)
    edge = np.flatnonzero(np.arange(3 * len(area)) < twin)
    back = twin[edge]
    one, other = edge // 3, back // 3
    # The corner of a neighbour that lies away from the shared edge, over the plane n · x = d.
    start, offset = mesh.faces.ravel(), np.einsum("ij,ij->i", normal, corners[:, 0])
    off = np.maximum(*(
        np.abs(np.einsum("ij,ij->i", normal[of], mesh.vertices[start[3 * by + (h + 2) % 3]]) - offset[of])
        for of, by, h in ((one, other, back), (other, one, edge))
    ))  # fmt: skip
    flat = np.einsum("ij,ij->i", normal[one], normal[other]) > _SAME_WAY
    flat &= (off < off_plane) & ~(sliver[one] | sliver[other])
    longest = np.argmax(length, axis=1)
    flat |= sliver[one] & (edge % 3 == longest[one])
    flat |= sliver[other] & (back % 3 == longest[other])
    ties = coo_array((np.ones(int(flat.sum())), (one[flat], other[flat])), shape=(len(area), len(area)))
    count, label = connected_components(ties, directed=False)
    order = np.argsort(-area, kind="stable")
    # Of several triangles of a group the last one written counts: the first in the order.
    first = np.empty(count, dtype=np.int64)
    first[label[order[::-1]]] = np.arange(len(order))[::-1]
    rank = np.empty(count, dtype=np.int64)
    rank[np.argsort(first)] = np.arange(count)
    return rank[label], order[np.sort(first)], twin


def flat_faces(mesh: Mesh) -> tuple[FlatFace, ...]:
    """All flat faces, the one with the largest triangle first."""
    group, seeds, twin = flat_groups(mesh)
    at = np.repeat(group, 3)
    corners, starts, of = rims(mesh.faces, at, at != at[twin], twin)
    loops: list[list[tuple[int, ...]]] = [[] for _ in seeds]
    for k, loop in zip(of.tolist(), np.split(corners, starts[1:]), strict=True):
        loops[k].append(tuple(loop.tolist()))
    normal, _ = normals_of(mesh)
    return tuple(
        FlatFace(normal[seed], _outline_first(mesh.vertices, normal[seed], found))
        for seed, found in zip(seeds.tolist(), loops, strict=True)
    )


def rims(
    faces: IntArray, group: IntArray, rim: BoolArray, twin: IntArray
) -> tuple[IntArray, IntArray, IntArray]:
    """Loops about groups of triangles: corners one loop after another, where each loop starts, its group.

    group, rim: of each half-edge, and whether its loop is wanted; all rims of a group are or none.
    """
    half = np.flatnonzero(rim)
    onward = np.where(half % 3 == 2, half - 2, half + 1)
    # Round the corner through the group's own triangles to its next rim.
    inner = np.flatnonzero(~rim[onward])
    while len(inner):
        back = twin[onward[inner]]
        onward[inner] = np.where(back % 3 == 2, back - 2, back + 1)
        inner = inner[~rim[onward[inner]]]
    # Where a half-edge was gone along, the number of the next one gives way to -1.
    following = np.searchsorted(half, onward).tolist()
    order: list[int] = []
    starts: list[int] = []
    for first in range(len(half)):
        if following[first] < 0:
            continue
        starts.append(len(order))
        k = first
        while (onto := following[k]) >= 0:
            order.append(k)
            following[k] = -1
            k = onto
    ordered = half[np.array(order, dtype=np.int64)]
    begun = np.array(starts, dtype=np.int64)
    return faces.ravel()[ordered], begun, group[ordered[begun]]


def _outline_first(
    vertices: FloatArray, normal: FloatArray, loops: list[tuple[int, ...]]
) -> tuple[tuple[int, ...], ...]:
    """Loops by the area they go round, greatest first: only the outline's is positive."""
    if len(loops) < 2:
        return tuple(loops)

    axis = int(np.argmax(np.abs(normal)))
    sides, sign = [(axis + 1) % 3, (axis + 2) % 3], float(np.sign(normal[axis]))

    def around(loop: tuple[int, ...]) -> float:
        # Seen along the axis that the face is most square to, the sign of an area is that of the normal.
        ring = vertices[list(loop)][:, sides]
        x, y = (ring - ring[0]).T
        return float(x[:-1] @ y[1:] - y[:-1] @ x[1:]) * sign

    return tuple(sorted(loops, key=lambda loop: (-around(loop), loop)))
