"""Seams: the lines along which faces of two solids pass through each other."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
import shapely

from foldwright.geometry.spans import clip_parameters

if TYPE_CHECKING:
    from foldwright.base.types import BoolArray, FloatArray, IntArray
    from foldwright.geometry.scene import Scene


def seams(scene: Scene) -> tuple[FloatArray, FloatArray]:
    """Ends (n, 3), (n, 3) in mm of the seams between faces turned to the eye of different solids.

    Only faces that truly cross each other's plane count: parts that touch have their own edges there. A seam
    is given in pieces, one for each pair of triangles.
    """
    pairs = _crossing_faces(scene)
    rows = [_triangle_pairs(scene, int(i), int(j)) for i, j in pairs]
    if not rows:
        return np.empty((0, 3)), np.empty((0, 3))
    triangles = np.concatenate(rows)
    first, second = scene.triangle_face[triangles[:, 0]], scene.triangle_face[triangles[:, 1]]
    axis = np.cross(scene.normals[first], scene.normals[second])
    square = np.einsum("ij,ij->i", axis, axis)
    # The point of both planes nearest the origin: ((c1 n2 - c2 n1) x axis) / axis².
    arm = scene.offsets[first][:, None] * scene.normals[second]
    arm -= scene.offsets[second][:, None] * scene.normals[first]
    origin = np.cross(arm, axis) / square[:, None]
    axis = axis / np.sqrt(square)[:, None]
    corners = scene.points[scene.triangles[triangles]]
    middle = corners.mean(axis=(1, 2))
    origin = origin + np.einsum("ij,ij->i", middle - origin, axis)[:, None] * axis
    reach = np.linalg.norm(corners - middle[:, None, None], axis=3).max(axis=(1, 2))
    start, end = origin - reach[:, None] * axis, origin + reach[:, None] * axis
    values = [
        _inside(corners[:, k], scene.normals[face], end_point, scene.eps)
        for end_point in (start, end)
        for k, face in enumerate((first, second))
    ]
    low, high = clip_parameters(np.column_stack(values[:2]), np.column_stack(values[2:]))
    keep = (high - low) * 2.0 * reach > scene.eps
    step = (end - start)[keep]
    return start[keep] + low[keep][:, None] * step, start[keep] + high[keep][:, None] * step


def _inside(corners: FloatArray, normals: FloatArray, points: FloatArray, eps: float) -> FloatArray:
    """Distance (n, 3) of points inside the sides of triangles (n, 3, 3), in their plane, plus eps."""
    side = np.roll(corners, -1, axis=1) - corners
    inward = np.cross(normals[:, None, :], side)
    inward = inward / np.linalg.norm(inward, axis=2)[:, :, None]
    distance: FloatArray = np.einsum("ijk,ijk->ij", points[:, None, :] - corners, inward)
    return distance + eps


def _crossing_faces(scene: Scene) -> IntArray:
    """Pairs (n, 2) of front faces of different solids, each with corners on both sides of the other."""
    faces = np.flatnonzero(scene.front)
    if len(faces) == 0:
        return np.empty((0, 2), dtype=np.int64)
    rings = [scene.points[list(scene.faces[int(f)][0])] for f in faces]
    low = np.array([ring.min(axis=0) for ring in rings])
    high = np.array([ring.max(axis=0) for ring in rings])
    boxes = shapely.box(low[:, 0], low[:, 1], high[:, 0], high[:, 1])
    i, j = shapely.STRtree(boxes).query(boxes)
    apart = scene.owner[faces[i]] < scene.owner[faces[j]]
    deep = (low[i, 2] < high[j, 2]) & (low[j, 2] < high[i, 2])
    i, j = i[apart & deep], j[apart & deep]
    crossing = _straddles(scene, rings, i, faces[j]) & _straddles(scene, rings, j, faces[i])
    pairs: IntArray = np.column_stack([faces[i[crossing]], faces[j[crossing]]]).astype(np.int64)
    return pairs


def _straddles(scene: Scene, rings: list[FloatArray], ring: IntArray, face: IntArray) -> BoolArray:
    """True (n,) where a ring has corners clearly on both sides of a face's plane."""
    if len(ring) == 0:
        return np.zeros(0, dtype=np.bool_)
    sizes = np.array([len(rings[int(k)]) for k in ring])
    points = np.concatenate([rings[int(k)] for k in ring])
    planes = np.repeat(face, sizes)
    height = np.einsum("ij,ij->i", points, scene.normals[planes]) - scene.offsets[planes]
    starts = np.concatenate([[0], np.cumsum(sizes)[:-1]])
    low, high = np.minimum.reduceat(height, starts), np.maximum.reduceat(height, starts)
    return np.asarray((low < -scene.eps) & (high > scene.eps))


def _triangle_pairs(scene: Scene, i: int, j: int) -> IntArray:
    """All pairs (n, 2) of a triangle of face i and one of face j."""
    one = np.arange(*np.searchsorted(scene.triangle_face, [i, i + 1]))
    other = np.arange(*np.searchsorted(scene.triangle_face, [j, j + 1]))
    return np.stack(np.meshgrid(one, other, indexing="ij"), axis=-1).reshape(-1, 2)
