"""Which folded board a straight line passes through.

Frame: x aft, y right, z up, mm.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from foldwright.airframe.model import Airframe, Placed
from foldwright.base.types import FloatArray
from foldwright.geometry.fold.marks import outside
from foldwright.geometry.fold.model import Panel
from foldwright.geometry.transform import apply, inverse

_FLAT = 1e-9


@dataclass(frozen=True, slots=True, eq=False)
class Hit:
    """A panel that a line passes: its part and blank, and the middle of the stretch within it, (3,)."""

    part: str
    blank: str
    panel: str
    place: FloatArray


@dataclass(frozen=True, slots=True, eq=False)
class _Plate:
    """A panel in its place: 4x4 from the aeroplane, its box in its own frame."""

    placed: Placed
    panel: Panel
    back: FloatArray
    low: FloatArray
    high: FloatArray


def pierced(airframe: Airframe, lines: FloatArray, radius: float = 0.0) -> tuple[tuple[Hit, ...], ...]:
    """Board that straight lines (n, 2, 3) pass through, in the order of the way.

    radius: of what runs there, mm: a hole lets it pass where it clears the edge by that much.
    """
    found: list[list[tuple[float, Hit]]] = [[] for _ in range(len(lines))]
    for plate in (one for placed in airframe.placed for one in _plates(placed)):
        ends = apply(plate.back, lines)
        start, run = ends[:, 0], ends[:, 1] - ends[:, 0]
        low, high = ends.min(axis=1), ends.max(axis=1)
        near = np.all((low <= plate.high) & (high >= plate.low), axis=1)
        for i in np.flatnonzero(near).tolist():
            share = _within(float(start[i, 2]), float(run[i, 2]), plate.placed.blank.thickness)
            if share is None:
                continue
            spot = start[i] + share * run[i]
            if _in_board(plate.panel, spot[:2], radius):
                place = lines[i, 0] + share * (lines[i, 1] - lines[i, 0])
                hit = Hit(plate.placed.part, plate.placed.blank.name, plate.panel.name, place)
                found[i].append((share, hit))
    return tuple(tuple(hit for _, hit in sorted(row, key=_order)) for row in found)


def _order(row: tuple[float, Hit]) -> tuple[float, str, str]:
    return round(row[0], 9), row[1].blank, row[1].panel


@lru_cache(maxsize=128)
def _plates(one: Placed) -> tuple[_Plate, ...]:
    """Panels of a blank; the last ones are remembered (by identity)."""
    return tuple(
        _Plate(
            one,
            panel,
            inverse(one.transforms[panel.name]),
            np.array([*panel.polygon.min(axis=0), 0.0]),
            np.array([*panel.polygon.max(axis=0), one.blank.thickness]),
        )
        for panel in one.blank.panels
    )


def _within(start: float, run: float, thickness: float) -> float | None:
    """Share of the way at the middle of the stretch between the two faces; None where there is none."""
    if abs(run) < _FLAT:
        return 0.5 if 0.0 < start < thickness else None
    first, last = sorted((-start / run, (thickness - start) / run))
    first, last = max(first, 0.0), min(last, 1.0)
    return (first + last) / 2.0 if last - first > _FLAT else None


def _in_board(panel: Panel, spot: FloatArray, radius: float) -> bool:
    if outside(panel.polygon, spot) > 0.0:
        return False
    return all(outside(hole, spot) > -radius for hole in panel.holes)
