"""A plate, or a piece of one, as a solid: z = 0 is its underside, which lies on the bed [mm]."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

import manifold3d
import numpy as np
import shapely

from foldwright.base.types import FloatArray
from foldwright.geometry.solid.core import Area, IntArray, Solid, extrude, without
from foldwright.geometry.solid.shape import OVER
from foldwright.make.templates.areas import apart, area_of
from foldwright.make.templates.model import Letters, Plate
from foldwright.make.templates.plate_letters import letters_area

_LEAST_MM2 = 0.01
_GRID = 1e-4
_EXACT = 1e-7


def solid_of(
    body: Area, through: Area, grooves: Area, letters: Sequence[Letters], thickness: float, recess: float
) -> Solid:
    """The solid of a plate or of a piece of it, in the blank's frame.

    body: what there is of it seen from above; through: taken right through; grooves and letters: recessed
    into the upper side, letters with `under` into the underside. Parts of them outside the body do nothing.
    Raises ValueError for a body without area or a recess as deep as the plate.
    """
    if not 0.0 < recess < thickness:
        raise ValueError(f"a recess of {recess:g} mm does not fit a plate of {thickness:g} mm")
    # on a grid, or slivers between openings that all but touch become bodies of their own
    section = area_of(shapely.set_precision(body.difference(through), _GRID), _LEAST_MM2)
    upper = [grooves, *(letters_area(one) for one in letters if not one.under)]
    under = [letters_area(one) for one in letters if one.under]
    if section.is_empty:
        raise ValueError("nothing is left of the plate")
    above, below = (_sunk(some, section) for some in (upper, under))
    made = _stacked(section, above, below, thickness, recess)
    if made is not None:
        return made
    places = ((above, thickness - recess), (below, -OVER))
    taken = [extrude(sunk, recess + OVER, z) for sunk, z in places if not sunk.is_empty]
    return without(extrude(section, thickness), taken)


def _sunk(some: Sequence[Area], section: Area) -> Area:
    """What is recessed into one side."""
    whole = area_of(apart(some), _LEAST_MM2)
    if whole.is_empty or shapely.contains_properly(section, whole):
        return whole
    return area_of(whole.intersection(section), _LEAST_MM2)


def _stacked(section: Area, above: Area, below: Area, thickness: float, recess: float) -> Solid | None:
    """The plate's surface put together: walls, both sides, the ground of every recess; None where a recess
    meets an edge, which takes a cut in space.
    """
    if not all(one.is_empty or shapely.contains_properly(section, one) for one in (above, below)):
        return None
    walls, sunk, raised = _rings(section), _rings(above, -1), _rings(below, -1)
    surface = _Surface()
    low, high = surface.walls(walls, 0.0, thickness)
    ground, rim = surface.walls(sunk, thickness - recess, thickness)
    mouth, roof = surface.walls(raised, 0.0, recess)
    surface.fill([*walls, *sunk], np.concatenate([high, rim]), 1)
    surface.fill([*walls, *raised], np.concatenate([low, mouth]), -1)
    surface.fill([ring[::-1] for ring in sunk], _backwards(sunk, ground), 1)
    surface.fill([ring[::-1] for ring in raised], _backwards(raised, roof), -1)
    form = surface.form()
    wanted = section.area * thickness - recess * (above.area + below.area)
    sound = form.status() == manifold3d.Error.NoError and abs(form.volume() - wanted) < _EXACT * wanted
    return Solid(form) if sound else None


def _rings(area: Area, way: int = 1) -> list[FloatArray]:
    """Rings (n, 2) of an area, the area to their left; to their right for `way` -1."""
    oriented = [shapely.geometry.polygon.orient(part, way) for part in shapely.get_parts(area) if part.area]
    return [
        np.asarray(ring.coords, dtype=np.float64)[:-1]
        for part in oriented
        for ring in (part.exterior, *part.interiors)
    ]


def _backwards(rings: Sequence[FloatArray], numbers: IntArray) -> IntArray:
    """Numbers of the corners of rings that are gone round the other way."""
    ends = np.cumsum([0, *(len(ring) for ring in rings)])
    parts = [numbers[a:b][::-1] for a, b in pairwise(ends.tolist())]
    return np.concatenate(parts) if parts else numbers


class _Surface:
    """Triangles of a plate as they are found, every ring with corners of its own."""

    def __init__(self) -> None:
        self._corners: list[FloatArray] = []
        self._faces: list[IntArray] = []
        self._count = 0

    def walls(self, rings: Sequence[FloatArray], low: float, high: float) -> tuple[IntArray, IntArray]:
        """Walls over rings with the material to their left; the numbers of their corners below and above."""
        if not rings:
            none = np.empty(0, dtype=np.int64)
            return none, none
        flat = np.concatenate(rings)
        foot, head = self._put(flat, low), self._put(flat, high)
        after = np.arange(1, len(flat) + 1, dtype=np.int64)
        ends = np.cumsum([len(ring) for ring in rings])
        after[ends - 1] = [0, *ends[:-1]]
        self._faces.append(np.stack([foot, foot[after], head[after]], axis=1))
        self._faces.append(np.stack([foot, head[after], head], axis=1))
        return foot, head

    def fill(self, rings: Sequence[FloatArray], numbers: IntArray, way: int) -> None:
        """The level area that rings enclose, seen from above, or from below for `way` -1."""
        if rings:
            faces = np.asarray(manifold3d.triangulate(list(rings)), dtype=np.int64)
            self._faces.append(numbers[faces[:, ::way]])

    def form(self) -> manifold3d.Manifold:
        """What the triangles enclose."""
        corners, faces = np.concatenate(self._corners), np.concatenate(self._faces).astype(np.uint64)
        return manifold3d.Manifold(manifold3d.Mesh64(corners, np.ascontiguousarray(faces)))

    def _put(self, points: FloatArray, z: float) -> IntArray:
        self._corners.append(np.column_stack([points, np.full(len(points), z)]))
        self._count += len(points)
        return np.arange(self._count - len(points), self._count, dtype=np.int64)


def plate_solid(plate: Plate) -> Solid:
    """The whole plate, before it is split."""
    return solid_of(plate.body, plate.through, plate.grooves, plate.letters, plate.thickness, plate.recess)
