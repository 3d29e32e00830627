"""What is wrong with a solid, and its triangles in an order that does not hang on the library. mm."""

from __future__ import annotations

import manifold3d
import numpy as np

from foldwright.base.types import FloatArray
from foldwright.geometry.solid.core import IntArray, Mesh, Solid

LEAST_BODY = 1.0
"""A body under this many mm³ is a crumb that a cut left behind. [judgement]"""

GRID = 1e-4
"""Corners in files are rounded to this, mm: single precision still tells them apart up to 1 m."""

_FINER = (1e-5, 1e-6, 1e-7)
_KEYS = 2.0**62


def faults(solid: Solid, bodies: int = 1) -> tuple[str, ...]:
    """What keeps a solid from being printed, a sentence each; empty for a good one.

    bodies: how many it is meant to have.
    """
    status = solid.form.status()
    if status != manifold3d.Error.NoError:
        return (f"it is not closed ({status.name})",)
    if solid.form.is_empty():
        return ("it is empty",)
    found = []
    volume = float(solid.form.volume())
    if not volume > 0.0:
        found.append(f"its volume is {volume:.3g} mm³")
    volumes = [one.volume for one in solid.bodies()]
    if len(volumes) != bodies:
        found.append(f"it has {_bodies(len(volumes))}, {bodies} {'was' if bodies == 1 else 'were'} meant")
    if _touches_itself(solid):
        found.append("it touches itself along an edge or at a corner")
    crumbs = [one for one in volumes if one < LEAST_BODY]
    if crumbs:
        found.append(
            f"{_bodies(len(crumbs))} of it under {LEAST_BODY:g} mm³, the least {min(crumbs):.2g} mm³"
        )
    return tuple(found)


def _touches_itself(solid: Solid) -> bool:
    """Whether two corners stay in one place when all is put on the grid as files have it."""
    raw = np.asarray(solid.form.to_mesh64().vert_properties, dtype=np.float64)[:, :3]
    if len(np.unique(_keys(np.rint(raw / GRID).astype(np.int64)))) == len(raw):
        return False
    mesh = mesh_of(solid)
    return len(np.unique(mesh.vertices, axis=0)) < len(mesh.vertices)


def _bodies(count: int) -> str:
    return "1 body" if count == 1 else f"{count} bodies"


def mesh_of(solid: Solid, grid: float = GRID) -> Mesh:
    """Its triangles in canonical order, corners rounded to `grid`. Raises ValueError for an empty or faulty
    solid.
    """
    if solid.form.status() != manifold3d.Error.NoError or solid.form.is_empty():
        raise ValueError("no triangles: " + "; ".join(faults(solid)))
    raw = solid.form.to_mesh64()
    vertices = np.asarray(raw.vert_properties, dtype=np.float64)[:, :3]
    return canonical(Mesh(vertices, np.asarray(raw.tri_verts, dtype=np.int64)), grid)


def solid_of(mesh: Mesh) -> Solid:
    """The solid that triangles enclose. Raises ValueError when they are not closed or are inside out."""
    if len(mesh.faces) == 0:
        raise ValueError("no triangles")
    if int(mesh.faces.min()) < 0 or int(mesh.faces.max()) >= len(mesh.vertices):
        raise ValueError("the triangles name corners that are not there")
    if not bool(np.isfinite(mesh.vertices).all()):
        raise ValueError("a corner is not a finite number")
    if not closed(mesh):
        raise ValueError("the triangles do not close: some edge lacks its other side")
    form = manifold3d.Manifold(
        manifold3d.Mesh64(
            np.ascontiguousarray(mesh.vertices, dtype=np.float64),
            np.ascontiguousarray(mesh.faces, dtype=np.uint64),
        )
    )
    if form.status() != manifold3d.Error.NoError:
        raise ValueError(f"the triangles make no solid ({form.status().name})")
    if form.is_empty() or not float(form.volume()) > 0.0:
        raise ValueError("the triangles enclose nothing, or are inside out")
    return Solid(form)


def closed(mesh: Mesh) -> bool:
    """Whether every edge joins just two triangles that run along it in opposite directions."""
    if len(mesh.faces) == 0:
        return False
    start = mesh.faces.ravel()
    end = np.roll(mesh.faces, -1, axis=1).ravel()
    count = len(mesh.vertices)
    there = np.sort(start * count + end)
    return bool(np.all(there[1:] != there[:-1]) and np.array_equal(there, np.sort(end * count + start)))


def canonical(mesh: Mesh, grid: float = GRID) -> Mesh:
    """The same surface in an order of its own: equal bytes whatever order a library gives.

    Corners are rounded to `grid`, merged and sorted by x, y, z; triangles that rounding made a line go; each
    triangle begins with its least corner; triangles are sorted. Where that would leave an edge without just
    two triangles, a finer grid is taken; a surface that touches itself keeps the corners it came with (and
    `faults` says so: readers of files merge them). Raises
    ValueError for a surface that is not closed to begin with.
    """
    if not closed(mesh):
        raise ValueError("the triangles do not close: some edge lacks its other side")
    wanted, area = mesh_volume(mesh), mesh_area(mesh)
    for step in (grid, *(finer for finer in _FINER if finer < grid)):
        found = _on_grid(mesh, step)
        if closed(found) and abs(mesh_volume(found) - wanted) <= area * step:
            return found
    return _sorted(mesh.vertices, mesh.faces)


def mesh_volume(mesh: Mesh) -> float:
    """Volume that triangles enclose, mm³, by the divergence theorem; negative inside out."""
    a, b, c = (mesh.vertices[mesh.faces[:, k]] for k in range(3))
    return float(np.einsum("ij,ij->", a, np.cross(b, c)) / 6.0)


def mesh_area(mesh: Mesh) -> float:
    """Area of all triangles, mm²."""
    a, b, c = (mesh.vertices[mesh.faces[:, k]] for k in range(3))
    return float(np.linalg.norm(np.cross(b - a, c - a), axis=1).sum() / 2.0)


def _on_grid(mesh: Mesh, grid: float) -> Mesh:
    """Corners rounded and merged, flat triangles and pairs of opposite ones left out."""
    steps = np.rint(mesh.vertices / grid).astype(np.int64)
    _, first, where = np.unique(_keys(steps), return_index=True, return_inverse=True)
    vertices = np.round(steps[first] * grid, 9)
    faces = where.reshape(-1)[mesh.faces]
    a, b, c = faces.T
    return _sorted(vertices, _no_pairs(faces[(a != b) & (b != c) & (c != a)], len(vertices)))


def _keys(steps: IntArray) -> IntArray:
    """A number for each place (n, 3), equal for equal places only, in the order of x, y, z."""
    low = steps.min(axis=0)
    width = steps.max(axis=0) - low + 1
    if float(width[0]) * float(width[1]) * float(width[2]) < _KEYS:
        key: IntArray = (
            ((steps[:, 0] - low[0]) * width[1] + steps[:, 1] - low[1]) * width[2] + steps[:, 2] - low[2]
        )
        return key
    _, place = np.unique(steps, axis=0, return_inverse=True)
    return place.reshape(-1)


def _no_pairs(faces: IntArray, count: int) -> IntArray:
    """Triangles less those that merging has laid back to back on others; count: of corners."""
    low, middle, high = np.sort(faces, axis=1).T
    _, group, size = np.unique((low * count + middle) * count + high, return_inverse=True, return_counts=True)
    if len(faces) == 0 or int(size.max()) == 1:
        return faces
    # A triangle runs one way round or the other about its sorted corners.
    way = np.where(_from_least(faces)[:, 1] == middle, 1, -1)
    over = np.bincount(group, weights=way, minlength=len(size))
    # Of each group, as many stay as one way has more than the other; a second one would not be closed.
    wanted = way * over[group] > 0
    _, first = np.unique(np.where(wanted, group, -1), return_index=True)
    keep = np.zeros(len(faces), dtype=bool)
    keep[first] = True
    return faces[keep & wanted]


def _from_least(faces: IntArray) -> IntArray:
    """Each triangle turned round, not over, to begin with its least corner."""
    first = np.argmin(faces, axis=1)
    turned: IntArray = np.take_along_axis(faces, (first[:, None] + np.arange(3)) % 3, axis=1)
    return turned


def _sorted(vertices: FloatArray, faces: IntArray) -> Mesh:
    """Corners in use, sorted by x, y, z; triangles from their least corner, sorted."""
    used = np.zeros(len(vertices), dtype=bool)
    used[faces.ravel()] = True
    kept = np.flatnonzero(used)
    order = kept[np.lexsort((vertices[kept, 2], vertices[kept, 1], vertices[kept, 0]))]
    rank = np.empty(len(vertices), dtype=np.int64)
    rank[order] = np.arange(len(order))
    turned = _from_least(rank[faces])
    a, b, c = turned.T
    # Adding 0.0 makes a negative zero an ordinary one.
    return Mesh(vertices[order] + 0.0, turned[np.argsort((a * len(order) + b) * len(order) + c)])
