"""Rings moved by half the kerf, and back, as far as gaps leave room for it [mm]."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely

from foldwright.base.types import BoolArray, FloatArray
from foldwright.geometry.fold.rings import inset

_ROUNDS = 6
_ALIKE = 1.0


@dataclass(frozen=True, slots=True, eq=False)
class Kerfed:
    """A ring as the cutter's middle runs. steps (n,): how far each edge of the true ring was moved out."""

    ring: FloatArray
    steps: FloatArray

    @property
    def narrow(self) -> tuple[int, ...]:
        """Edges that were not moved: at gaps too narrow, or all where there is no kerf."""
        return tuple(np.flatnonzero(self.steps == 0.0).tolist())


def with_kerf(ring: FloatArray, grow: float) -> FloatArray | None:
    """A counter-clockwise ring with every edge moved out by `grow` mm; None if it would cross itself.

    Corners are mitred, so moving back by the same amount gives the same ring.
    """
    if grow == 0.0:
        return ring
    moved = inset(ring, np.full(len(ring), -grow))
    shape = shapely.Polygon(moved)
    upright = shape.is_valid and shape.exterior.is_ccw
    return moved if upright and bool(_forward(ring, moved).all()) else None


def kerfed(ring: FloatArray, grow: float) -> Kerfed:
    """A counter-clockwise ring with its edges moved out by `grow` mm, but for those that would then cross
    others: both sides of a gap narrower than the kerf stay as they are, and so does a ring too small for it.
    """
    steps = np.full(len(ring), grow)
    if grow == 0.0:
        return Kerfed(ring, steps)
    for _ in range(_ROUNDS):
        moved = inset(ring, -steps)
        bad = _crossed(ring, moved)
        if not bad.any():
            shape = shapely.Polygon(moved)
            if shape.is_valid and shape.exterior.is_ccw:
                return Kerfed(moved, steps)
            break
        if not steps[bad].any():
            # edges that stay are crossed by their neighbours, which then stay too
            bad |= np.roll(bad, 1) | np.roll(bad, -1)
        steps = np.where(bad, 0.0, steps)
    return Kerfed(ring, np.zeros(len(ring)))


def unkerfed(ring: FloatArray, true: FloatArray, grow: float) -> FloatArray | None:
    """A ring read from a file with the kerf taken off, edge by edge as it was put on the true ring; None
    where it cannot be the true one's.
    """
    drawn = kerfed(true, grow)
    if bool((drawn.steps == grow).all()):
        return with_kerf(ring, -grow)
    if not drawn.steps.any():
        return ring
    if len(ring) != len(drawn.ring):
        return None
    offs = [float(np.abs(np.roll(ring, -k, axis=0) - drawn.ring).max()) for k in range(len(ring))]
    best = int(np.argmin(offs))
    if offs[best] > _ALIKE:
        return None
    bare: FloatArray = inset(np.roll(ring, -best, axis=0), drawn.steps)
    return bare if shapely.Polygon(bare).is_valid else None


def _forward(ring: FloatArray, moved: FloatArray) -> BoolArray:
    """For every edge whether it runs the same way as before; a ring with other corners runs nowhere."""
    if len(ring) != len(moved):
        return np.zeros(len(ring), dtype=bool)
    one, other = np.roll(ring, -1, axis=0) - ring, np.roll(moved, -1, axis=0) - moved
    return np.asarray(np.einsum("ij,ij->i", one, other) > 0.0)


def _crossed(ring: FloatArray, moved: FloatArray) -> BoolArray:
    """The edges to leave as they are: those that have turned round, else those that run against one that
    they meet and that is not their neighbour, else all that meet such a one.
    """
    turned: BoolArray = ~_forward(ring, moved)
    if turned.any():
        return turned
    count, along = len(moved), np.roll(moved, -1, axis=0) - moved
    lines = [shapely.LineString(ends) for ends in np.stack([moved, moved + along], axis=1)]
    one, other = shapely.STRtree(lines).query(lines, predicate="intersects")
    apart = np.minimum((one - other) % count, (other - one) % count) > 1
    against = apart & (np.einsum("ij,ij->i", along[one], along[other]) < 0.0)
    met = np.zeros(count, dtype=bool)
    met[one[against if against.any() else apart]] = True
    return met
