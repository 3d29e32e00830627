"""Folded panels as solids of an independent mesh library, for overlap and volume checks."""

from __future__ import annotations

from typing import Any

import manifold3d
import numpy as np

from foldwright.airframe.model import PartBuild
from foldwright.base.types import FloatArray
from foldwright.geometry.fold.flat import transforms
from foldwright.geometry.fold.model import Panel
from foldwright.geometry.fold.rings import solid_rings
from foldwright.geometry.transform import apply

OVERLAP = 1e-3  # mm³: the limit of the fold geometry's statement


def mesh(panel: Panel, thickness: float, matrix: FloatArray) -> tuple[FloatArray, Any]:
    """Vertices and triangles of a panel in the aeroplane."""
    low, high = solid_rings(panel)
    rings = [(low, high), *((hole, hole) for hole in panel.holes)]
    flat = [np.asarray(ring, dtype=np.float64) for ring, _ in rings]
    caps = [np.array(manifold3d.triangulate([r if i == 0 else _clockwise(r) for i, r in enumerate(layer)]))
            for layer in (flat, [np.asarray(ring) for _, ring in rings])]  # fmt: skip
    b = np.concatenate([r if i == 0 else _clockwise(r) for i, (r, _) in enumerate(rings)])
    a = np.concatenate([r if i == 0 else _clockwise(r) for i, (_, r) in enumerate(rings)])
    count = len(b)
    points = np.concatenate(
        [np.column_stack([b, np.zeros(count)]), np.column_stack([a, np.full(count, thickness)])]
    )
    walls, begin = [], 0
    for ring, _ in rings:
        size = len(ring)
        for i in range(size):
            j = (i + 1) % size
            walls += [
                (begin + i, begin + j, begin + j + count),
                (begin + i, begin + j + count, begin + i + count),
            ]
        begin += size
    triangles = np.concatenate([caps[0][:, ::-1], caps[1] + count, np.array(walls)])
    return apply(matrix, points), triangles


def _clockwise(ring: FloatArray) -> FloatArray:
    x, y = ring.T
    area = float(x @ np.roll(y, -1) - np.roll(x, -1) @ y)
    return ring if area < 0 else ring[::-1]


def solids(build: PartBuild) -> dict[str, Any]:
    """Every panel of a part, folded, as a manifold, by "blank/panel"."""
    result = {}
    for blank in build.blanks:
        placed = transforms(blank)
        for panel in blank.panels:
            points, triangles = mesh(panel, blank.thickness, placed[panel.name])
            body = manifold3d.Manifold(
                manifold3d.Mesh64(vert_properties=points, tri_verts=triangles.astype(np.uint64))
            )
            assert body.status() == manifold3d.Error.NoError, (blank.name, panel.name, body.status())
            assert body.volume() > 0.0, (blank.name, panel.name)
            result[f"{blank.name}/{panel.name}"] = body
    return result


def overlaps(build: PartBuild) -> list[tuple[str, str, float]]:
    """Pairs of panels that share more than OVERLAP."""
    bodies = list(solids(build).items())
    found = []
    for index, (name, one) in enumerate(bodies):
        low = np.array(one.bounding_box())
        for other_name, other in bodies[index + 1 :]:
            box = np.array(other.bounding_box())
            if (low[:3] > box[3:] - 1e-9).any() or (box[:3] > low[3:] - 1e-9).any():
                continue
            volume = (one ^ other).volume()
            if volume > OVERLAP:
                found.append((name, other_name, float(volume)))
    return found
