"""Panels as closed meshes, and where folded panels run into each other."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from types import MappingProxyType

import manifold3d
import numpy as np

from foldwright.base.types import FloatArray, IntArray
from foldwright.geometry.fold.apart import TOUCHING, Body, backward, body, box_gaps, box_round, hull_gaps
from foldwright.geometry.fold.edges import hard_panels
from foldwright.geometry.fold.model import Blank, Panel
from foldwright.geometry.fold.rings import following, solid_rings
from foldwright.geometry.transform import apply, inverse

LEAST_VOLUME = 1e-3


@dataclass(frozen=True, slots=True, eq=False)
class Mesh:
    """A closed surface: corners (n, 3) in mm and triangles (m, 3), counter-clockwise seen from outside."""

    points: FloatArray
    triangles: IntArray


@dataclass(frozen=True, slots=True)
class Overlap:
    """Two panels that share space; names are blank and panel, volume in mm³, thickness in mm (`Bite`)."""

    blank: str
    panel: str
    other_blank: str
    other_panel: str
    volume: float
    thickness: float


def prism(panel: Panel, thickness: float) -> Mesh:
    """The foam of a panel in its blank frame, its bevels cut and holes open."""
    low, high = solid_rings(panel)
    return loft(low, high, thickness, panel.holes)


def loft(low: FloatArray, high: FloatArray, height: float, holes: Sequence[FloatArray] = ()) -> Mesh:
    """Solid between ring `low` (k, 2) at w = 0 and ring `high` (k, 2) at w = height, corner to corner.

    holes: rings, either way round, square through the solid. Mesh volume is negative where a ring runs
    clockwise.
    """
    inner = [hole if _area(hole) < 0.0 else hole[::-1] for hole in holes]
    bottom = [low, *inner]
    top = [high, *inner]
    count = sum(len(ring) for ring in bottom)
    points = np.concatenate(
        [
            np.column_stack([np.concatenate(rings), np.full(count, w)])
            for rings, w in ((bottom, 0.0), (top, height))
        ]
    )
    sides = []
    start = 0
    for ring in bottom:
        here = start + np.arange(len(ring))
        after = start + np.roll(np.arange(len(ring)), -1)
        sides.append(np.stack([here, after, after + count], axis=1))
        sides.append(np.stack([here, after + count, here + count], axis=1))
        start += len(ring)
    floor = manifold3d.triangulate(bottom)[:, ::-1]
    roof = manifold3d.triangulate(top) + count
    return Mesh(points, np.concatenate([floor, roof, *sides]).astype(np.int64))


def _area(ring: FloatArray) -> float:
    after = following(ring)
    return float((ring[:, 0] * after[:, 1] - after[:, 0] * ring[:, 1]).sum() / 2.0)


def placed(mesh: Mesh, transform: FloatArray) -> Mesh:
    """A mesh moved by a 4x4."""
    return Mesh(apply(transform, mesh.points), mesh.triangles)


def manifold(mesh: Mesh) -> manifold3d.Manifold:
    """A mesh as a solid that booleans work on. Raises ValueError if it does not close."""
    solid = manifold3d.Manifold(
        manifold3d.Mesh64(np.ascontiguousarray(mesh.points), mesh.triangles.astype(np.uint64))
    )
    if solid.status() != manifold3d.Error.NoError:
        raise ValueError(f"a panel's mesh does not close: {solid.status()}")
    return solid


@dataclass(frozen=True, slots=True, eq=False)
class Piece:
    """One panel ready to be tested against others."""

    blank: str
    panel: Panel
    thickness: float
    body: Body


@lru_cache(maxsize=128)
def pieces(blank: Blank) -> Mapping[str, Piece]:
    """The panels of a blank by name, pressed foam left out; the last ones are remembered (by identity)."""
    made = {
        name: Piece(blank.name, panel, blank.thickness, body(panel, blank.thickness))
        for name, panel in hard_panels(blank).items()
    }
    return MappingProxyType(made)


@dataclass(frozen=True, slots=True)
class Bite:
    """What two panels have in common.

    volume: mm³. depth: its least width along their normals, mm. thickness: its mean thickness, twice the
    volume over the surface, mm (of a thin layer that is its thickness, however it is bent).
    """

    volume: float
    depth: float
    thickness: float


NO_BITE = Bite(0.0, 0.0, 0.0)


@lru_cache(maxsize=512)
def _solid(piece: Piece) -> manifold3d.Manifold:
    """A piece as a solid in its blank's frame; the last ones are remembered (by identity)."""
    return manifold(prism(piece.panel, piece.thickness))


def meeting(one: Piece, other: Piece, relative: FloatArray) -> Bite:
    """What two pieces share; relative: 4x4 from the frame of `other` to that of `one`."""
    if float(hull_gaps(one.body, other.body, relative[None])[0]) > -TOUCHING:
        return NO_BITE
    common = _solid(one) ^ _solid(other).transform(relative[:3])
    volume = float(common.volume())
    if volume <= 0.0:
        return NO_BITE
    axes = np.concatenate([one.body.normals, other.body.normals @ relative[:3, :3].T])
    depth = float(np.ptp(common.to_mesh64().vert_properties[:, :3] @ axes.T, axis=0).min())
    return Bite(volume, depth, 2.0 * volume / float(common.surface_area()))


def overlap(
    blank: Blank,
    transforms: Mapping[str, FloatArray],
    least: float = LEAST_VOLUME,
    ready: Mapping[str, Piece] | None = None,
) -> tuple[Overlap, ...]:
    """Pairs of panels of one blank that share more than `least` mm³ when placed by `transforms`.

    ready: `pieces` of the blank, if they are at hand.
    """
    own = pieces(blank) if ready is None else ready
    return _meetings([(piece, transforms[name]) for name, piece in own.items()], least)


def overlaps(
    parts: Sequence[tuple[Blank, Mapping[str, FloatArray]]],
    least: float = LEAST_VOLUME,
    *,
    within: bool = True,
    margin: float = 0.0,
) -> tuple[Overlap, ...]:
    """As `overlap`, for the panels of many blanks: between the blanks and, if `within`, inside each.

    margin: pairs whose boxes along the axes share less than this many mm are left out untried.
    """
    ready = [(piece, places[name]) for blank, places in parts for name, piece in pieces(blank).items()]
    return _meetings(ready, least, within=within, margin=margin)


def _meetings(
    ready: Sequence[tuple[Piece, FloatArray]], least: float, *, within: bool = True, margin: float = 0.0
) -> tuple[Overlap, ...]:
    found: list[Overlap] = []
    for first, second in _close(ready, within=within, margin=margin):
        (one, place), (other, other_place) = ready[first], ready[second]
        bite = meeting(one, other, inverse(place) @ other_place)
        if bite.volume > least:
            names = (one.blank, one.panel.name, other.blank, other.panel.name)
            found.append(Overlap(*names, bite.volume, bite.thickness))
    return tuple(found)


def _close(
    ready: Sequence[tuple[Piece, FloatArray]], *, within: bool, margin: float
) -> list[tuple[int, int]]:
    """Pairs whose boxes along the axes of the aeroplane meet, and those along their own axes too."""
    if not ready:
        return []
    corners = [apply(place, piece.body.corners) for piece, place in ready]
    low, high = np.stack([c.min(axis=0) for c in corners]), np.stack([c.max(axis=0) for c in corners])
    near = (low[:, None] + margin < high[None, :]).all(axis=-1)
    if not within:
        blank = np.array([piece.blank for piece, _ in ready])
        near &= blank[:, None] != blank
    first, second = np.nonzero(np.triu(near & near.T, 1))
    boxes = np.stack([box_round(piece.body) for piece, _ in ready])
    places = np.stack([place for _, place in ready])
    relative = backward(places)[first] @ places[second]
    meet = box_gaps(boxes[first], boxes[second], relative[:, None])[:, 0] < -TOUCHING
    return list(zip(first[meet].tolist(), second[meet].tolist(), strict=True))
