"""Flat faces and round holes of a mesh, for reading printed solids back. Lengths in mm, areas in mm²."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely

from foldwright.base.types import FloatArray
from foldwright.geometry.solid.check import solid_of
from foldwright.geometry.solid.core import Mesh
from foldwright.geometry.solid.flat import normals_of
from foldwright.geometry.transform import apply, frame, inverse

_ALIKE = 1e-3
"""Normals and offsets that agree to this are of one plane."""


@dataclass(frozen=True, slots=True, eq=False)
class Flat:
    """All triangles of a mesh that lie in one plane. normal (3,): outward; offset: n · x, mm; middle (3,)."""

    normal: FloatArray
    offset: float
    area: float
    middle: FloatArray


@dataclass(frozen=True, slots=True)
class Round:
    """A round hole: centre in the section's own frame and diameter, mm."""

    x: float
    y: float
    diameter: float


def moved_mesh(mesh: Mesh, matrix: FloatArray) -> Mesh:
    """A mesh placed by a 4x4."""
    return Mesh(apply(matrix, mesh.vertices), mesh.faces)


def flats(mesh: Mesh, least: float) -> list[Flat]:
    """Flat faces of at least that area, the largest first.

    The normal of a face is the sum of its triangles' own, so that slivers do not turn it. Other than
    `flat.flat_groups` this takes surfaces that are not closed, and all of a plane as one face.
    """
    unit, size = normals_of(mesh)
    sound = 2.0 * size > 1e-9
    unit, size = unit[sound], size[sound]
    centre = mesh.vertices[mesh.faces].mean(axis=1)[sound]
    offset = np.einsum("ij,ij->i", unit, centre)
    keys = np.round(np.column_stack([unit / _ALIKE / 4.0, offset / _ALIKE / 40.0])).astype(np.int64)
    _, group = np.unique(keys, axis=0, return_inverse=True)
    group = group.reshape(-1)
    areas = np.bincount(group, size)
    found = []
    for k in np.flatnonzero(areas >= least).tolist():
        mine = group == k
        normal = (unit[mine] * size[mine, None]).sum(axis=0)
        normal = normal / np.linalg.norm(normal)
        middle = (centre[mine] * size[mine, None]).sum(axis=0) / areas[k]
        found.append(Flat(normal, float(normal @ middle), float(areas[k]), middle))
    return sorted(found, key=lambda flat: -round(flat.area, 6))


def section_frame(point: FloatArray, normal: FloatArray, up: FloatArray) -> FloatArray:
    """4x4 of a section: z along the normal, y as near to `up` as may be, origin at the point."""
    side = np.cross(up, normal)
    return frame(point, side, normal)


def holes(mesh: Mesh, section: FloatArray, roundness: float = 0.02) -> list[Round]:
    """Round holes of a mesh where the plane z = 0 of a frame cuts it: those whose corners lie on a circle.

    roundness: how far a corner may be off, mm.
    """
    cut = solid_of(moved_mesh(mesh, inverse(section))).slice_at(0.0)
    found = []
    for part in shapely.get_parts(cut):
        if not isinstance(part, shapely.Polygon):
            continue
        for ring in part.interiors:
            points = np.asarray(ring.coords)[:-1]
            middle, radius, off = _circle(points)
            if len(points) >= 12 and off <= roundness:
                found.append(Round(float(middle[0]), float(middle[1]), 2.0 * radius))
    return sorted(found, key=lambda one: (round(one.x, 4), round(one.y, 4)))


def _circle(points: FloatArray) -> tuple[FloatArray, float, float]:
    """Centre, radius and greatest error of the circle nearest to points, by least squares of
    x² + y² = 2 a x + 2 b y + c (algebraic fit; any text on curve fitting).
    """
    ones = np.ones(len(points))
    left = np.column_stack([2.0 * points, ones])
    right = (points**2).sum(axis=1)
    (a, b, c), *_ = np.linalg.lstsq(left, right, rcond=None)
    middle = np.array([a, b])
    radius = float(np.sqrt(max(c + a * a + b * b, 0.0)))
    off = float(np.abs(np.linalg.norm(points - middle, axis=1) - radius).max())
    return middle, radius, off
