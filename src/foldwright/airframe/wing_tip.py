"""Tip caps: a plate of the folded section that closes a wing's tip."""

from __future__ import annotations

from collections.abc import Sequence
from math import sqrt

import numpy as np
import shapely

from foldwright.airframe.mirror import mirror_blank
from foldwright.airframe.model import Placed, Seam
from foldwright.airframe.section import Prism
from foldwright.airframe.wing_grid import Grid
from foldwright.airframe.wing_lift import cell_solids, contour_at, envelope
from foldwright.base.types import FloatArray
from foldwright.design.parts import FoldedWing
from foldwright.geometry.fold.model import SQUARE, Blank, Panel
from foldwright.geometry.transform import apply

_FINE = 1e-3  # mm: corners that stray less from a straight edge are left out
_BESIDE = 1e-5  # mm


def caps(part: FoldedWing, grid: Grid, blanks: Sequence[Placed], place: FloatArray) -> tuple[Blank, ...]:
    """A plate on each tip, cut to the outside of the section there, its outer face at the half span.

    Face A is the outside. The section is taken where all panels still are whole, a fraction of a mm inside of
    their ends; slits and the hollow are filled.
    """
    cell = grid.cells[-1]
    solids = cell_solids(grid, blanks, len(grid.cells) - 1)
    along = (place @ cell.shape.frame)[:3, 1]
    within = cell.end - _short(solids, along, grid.t) - 1e-6
    ring = filled_outline(contour_at(cell.shape, solids, place, within))
    # carried on to the tip along leading and trailing edge
    here, tip = cell.shape.at(within), cell.shape.at(cell.end)
    ring[:, 0] = tip.aft + (ring[:, 0] - here.aft) * tip.chord / here.chord
    # blank: u aft, v down seen from the right tip (face A looks outward), w along the span
    flat = np.column_stack([ring[:, 0], -ring[:, 1]])
    local = np.eye(4)
    local[:3, 1], local[:3, 2], local[:3, 3] = (0.0, 0.0, -1.0), (0.0, 1.0, 0.0), (0.0, cell.end, 0.0)
    panel = Panel("cap", flat, (SQUARE,) * len(flat))
    right = Blank(f"{part.id}/cap-right", grid.t, (panel,), (), "cap", place @ cell.shape.frame @ local)
    return right, mirror_blank(right, f"{part.id}/cap-left")


def _short(solids: Sequence[Prism], along: FloatArray, t: float) -> float:
    """How far short of the tip a panel's square end stays on one of its faces, mm: it leans by its taper.

    along: (3,) unit vector along the span.
    """
    leans = [abs(float(solid.normal @ along)) for solid in solids]
    return max(t * lean / sqrt(1.0 - lean * lean) for lean in leans)


def filled_outline(contour: shapely.Geometry) -> FloatArray:
    """Outside of a section (n, 2), clockwise in x and z: its hollow, and slits that open forward, filled."""
    x = np.unique(np.round(shapely.get_coordinates(contour)[:, 0], 7))
    x = x[np.concatenate([[True], np.diff(x) > _FINE])]
    # on both sides of every corner, so that upright edges stay upright
    sides = np.sort(np.concatenate([x[:-1] + _BESIDE, x[1:] - _BESIDE]))
    low, high = envelope(contour, sides)
    # a rounded corner leaves a sliver without board; the outline runs straight across
    there = np.isfinite(low)
    low, high, exact = low[there], high[there], np.repeat(x, 2)[1:-1][there]
    ring = np.concatenate([np.column_stack([exact, high]), np.column_stack([exact, low])[::-1]])
    plain = shapely.Polygon(shapely.simplify(shapely.Polygon(ring), _FINE).exterior)
    return np.asarray(shapely.geometry.polygon.orient(plain, -1.0).exterior.coords)[:-1]


def cap_seams(tips: Sequence[Blank]) -> tuple[Seam, ...]:
    """Glue around each cap's inner face."""
    made = []
    for blank in tips:
        ring = blank.panels[0].polygon
        closed = np.column_stack([np.concatenate([ring, ring[:1]]), np.zeros(len(ring) + 1)])
        made.append(Seam(blank.name, "glue", apply(blank.placement, closed)))
    return tuple(made)
