"""Solids as one camera sees them: flat arrays that visibility is worked out on. Lengths in mm."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
import shapely

from foldwright.geometry.facets import Face, Solid

if TYPE_CHECKING:
    from shapely.geometry.base import BaseGeometry

    from foldwright.base.types import BoolArray, FloatArray, IntArray
    from foldwright.geometry.views import View

_FACING = 1e-6
_RELATIVE = 1e-9


@dataclass(frozen=True, slots=True, eq=False)
class Scene:
    """What the camera sees, not yet sorted out.

    points: corners (n, 3) in the picture's frame, mm. faces: rings of corner indices. owner: the solid of
    each face. normals (f, 3), offsets (f,): planes n·p = c with n of length 1 pointing out of the solid.
    front: faces turned to the eye. triangles (t, 3): corner indices of front faces, counter-clockwise on
    paper; triangle_face (t,): the face of each. eps: length below which two depths count as equal, mm.
    """

    points: FloatArray
    faces: tuple[Face, ...]
    owner: IntArray
    normals: FloatArray
    offsets: FloatArray
    front: BoolArray
    triangles: IntArray
    triangle_face: IntArray
    eps: float


def build_scene(solids: Sequence[Solid], view: View) -> Scene:
    """The arrays of all solids in the picture's frame of `view`; `solids` must not be empty."""
    points = view.project(np.concatenate([solid.points for solid in solids]))
    starts = first_corners(solids)
    faces = tuple(
        tuple(tuple(k + start for k in ring) for ring in face)
        for solid, start in zip(solids, starts, strict=True)
        for face in solid.faces
    )
    owner = np.repeat(np.arange(len(solids)), [len(solid.faces) for solid in solids])
    normals, offsets = _planes(points, [face[0] for face in faces])
    front = normals[:, 2] > _FACING
    fronts = np.flatnonzero(front)
    pieces = [triangulate(faces[f], points, normals[f]) for f in fronts]
    triangles = np.concatenate([*pieces, np.empty((0, 3), dtype=np.int64)])
    return Scene(
        points=points,
        faces=faces,
        owner=owner,
        normals=normals,
        offsets=offsets,
        front=front,
        triangles=triangles,
        triangle_face=np.repeat(fronts, [len(piece) for piece in pieces]),
        eps=_RELATIVE * max(float(np.ptp(points, axis=0).max()), 1.0),
    )


def first_corners(solids: Sequence[Solid]) -> list[int]:
    """Index of each solid's first corner in the list of all corners."""
    return [0, *np.cumsum([len(solid.points) for solid in solids])[:-1].tolist()]


def face_polygons(scene: Scene, faces: IntArray) -> list[BaseGeometry]:
    """The named faces as polygons on paper, repaired where rounding makes a thin one cross itself."""
    flat = scene.points[:, :2]
    shapes = [
        shapely.Polygon(flat[list(face[0])], [flat[list(ring)] for ring in face[1:]])
        for face in (scene.faces[int(f)] for f in faces)
    ]
    return [shape if shape.is_valid else shapely.make_valid(shape) for shape in shapes]


def triangulate(face: Face, points: FloatArray, normal: FloatArray) -> IntArray:
    """Corner indices (t, 3) of triangles that fill a face, each turning as the face does.

    Convex faces become fans; notched or pierced ones constrained Delaunay triangles on their own corners.
    """
    outer = face[0]
    if len(face) == 1 and (len(outer) == 3 or _convex(points[list(outer)], normal)):
        fan = [(outer[0], outer[k], outer[k + 1]) for k in range(1, len(outer) - 1)]
        return np.array(fan, dtype=np.int64)
    kept = np.delete(np.arange(3), int(np.argmax(np.abs(normal))))
    flat = points[:, kept]
    index = {(float(flat[k, 0]), float(flat[k, 1])): k for ring in face for k in ring}
    shape = shapely.Polygon(flat[list(outer)], [flat[list(ring)] for ring in face[1:]])
    rings = [
        [index.get((float(x), float(y))) for x, y in shapely.get_coordinates(piece)[:3]]
        for piece in shapely.constrained_delaunay_triangles(shape).geoms
    ]
    found = np.array([ring for ring in rings if None not in ring], dtype=np.int64).reshape(-1, 3)
    a, b, c = points[found[:, 0]], points[found[:, 1]], points[found[:, 2]]
    turn = np.cross(b - a, c - a) @ normal
    turned: IntArray = np.where((turn < 0.0)[:, None], found[:, ::-1], found)[turn != 0.0]
    return turned


def _convex(ring: FloatArray, normal: FloatArray) -> bool:
    """True where a ring (n, 3) turns one way at every corner and only once round."""
    steps = np.roll(ring, -1, axis=0) - ring
    steps = steps[np.abs(steps).max(axis=1) > 0.0]
    following = np.roll(steps, -1, axis=0)
    turns = np.cross(steps, following) @ normal
    angles = np.arctan2(turns, np.einsum("ij,ij->i", steps, following))
    return bool((turns >= 0.0).all()) and float(angles.sum()) < 7.0


def _planes(points: FloatArray, rings: Sequence[tuple[int, ...]]) -> tuple[FloatArray, FloatArray]:
    """Unit normals (f, 3) and offsets (f,) of faces, by Newell's sum; a face of no area has normal 0."""
    sizes = np.array([len(ring) for ring in rings])
    starts = np.concatenate([[0], np.cumsum(sizes)[:-1]])
    here = points[np.concatenate([np.array(ring) for ring in rings])]
    following = points[np.concatenate([np.array(ring[1:] + ring[:1]) for ring in rings])]
    centres = np.add.reduceat(here, starts) / sizes[:, None]
    arms = np.repeat(centres, sizes, axis=0)
    areas = np.add.reduceat(np.cross(here - arms, following - arms), starts)
    lengths = np.linalg.norm(areas, axis=1)
    extents = np.maximum.reduceat(np.abs(here - arms).max(axis=1), starts)
    solid = lengths > _RELATIVE * np.maximum(extents, 1e-12) ** 2
    normals = np.where(solid[:, None], areas / np.where(solid, lengths, 1.0)[:, None], 0.0)
    return normals, np.einsum("ij,ij->i", normals, centres)
