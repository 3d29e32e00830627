"""Hinged and all-moving controls of surfaces of single board: where they lie, cut out on both sides."""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import radians

import numpy as np

from foldwright.airframe.flat_blank import Laid, Run, end_side
from foldwright.airframe.hinged import Cut, cut_from
from foldwright.airframe.model import Control
from foldwright.base.types import FloatArray
from foldwright.design.wings import Control as ControlPart
from foldwright.design.wings import Pivot
from foldwright.geometry.fold.edges import fold_sides
from foldwright.geometry.fold.model import Blank, Fold

WHOLE = ("elevator", "flap")
"""Kinds whose halves always move alike, so that they may be one piece over the centre line."""
LEAST_LAND_MM = 5.0  # common practice, no source: least part or bridge of foam board
_ON = 1e-6


@dataclass(frozen=True, slots=True)
class Wanted:
    """A control asked of a half: its table, and its ends along the board from the root, mm."""

    table: ControlPart
    inner: float
    outer: float

    @property
    def outer_chord(self) -> float:
        """Hinge to trailing edge at the outer end, mm."""
        return self.table.outer_chord_mm or self.table.chord_mm


def bay_of(laid: Laid, wanted: Wanted) -> int:
    """Bay that holds a control's inner end."""
    ends = laid.form.ends
    return max(i for i in range(len(ends) - 1) if i == 0 or ends[i].along <= wanted.inner + _ON)


def spot(laid: Laid, bay: int, along: float) -> float:
    """Place v in the blank of a place along the board of a right bay, mm."""
    cell = next(c for c in laid.bays if c.side > 0 and c.bay == bay)
    ends = laid.form.ends
    share = (along - ends[bay].along) / (ends[bay + 1].along - ends[bay].along)
    if share < _ON or share > 1.0 - _ON:
        return cell.low if share < _ON else cell.high
    low, high = _faces(laid, bay, cell.low, cell.high)
    return low + share * (high - low)


def _faces(laid: Laid, bay: int, low: float, high: float) -> tuple[float, float]:
    """Where the under face of a bay begins and ends between its lines, mm."""
    form = laid.form
    extra = [max(0.0, -form.thickness * float(np.tan(step / 2.0))) for step in form.steps]
    return low + extra[bay], high - (extra[bay + 1] if bay + 1 < len(extra) else 0.0)


def hinge_u(laid: Laid, bay: int, v: float, chord: float) -> float:
    """Place u of a hinge `chord` mm ahead of the trailing edge of a right bay at a v, mm."""
    cell = next(c for c in laid.bays if c.side > 0 and c.bay == bay)
    (u0, v0), (u1, v1) = cell.layers[-1].aft
    return float(u0 + (v - v0) / (v1 - v0) * (u1 - u0) - chord)


def whole(laid: Laid, wanted: Wanted) -> bool:
    """Whether a control runs over the centre line in one piece, its hinge one straight line."""
    table, right = wanted.table, laid.root_cell
    if table.kind not in WHOLE or wanted.inner > _ON or not laid.form.one:
        return False
    run = laid.run_of(right, len(laid.form.ridges))
    bay = bay_of(laid, wanted)
    if run.first >= right or bay > 0:
        return False
    low, high = spot(laid, 0, wanted.inner), spot(laid, 0, wanted.outer)
    one, other = hinge_u(laid, 0, low, table.chord_mm), hinge_u(laid, 0, high, wanted.outer_chord)
    return abs(one - other) < _ON


def names(wanted: Wanted, *, one_piece: bool) -> tuple[str, ...]:
    """Names of the panels and folds of a control, right before left."""
    name = wanted.table.id
    return (name,) if one_piece else (f"{name}-right", f"{name}-left")


def with_controls(laid: Laid, wanted: tuple[Wanted, ...]) -> Blank:
    """The blank with its controls cut out, right before left."""
    blank = laid.blank
    for one in wanted:
        bay = bay_of(laid, one)
        cell = next(i for i, c in enumerate(laid.bays) if c.side > 0 and c.bay == bay)
        run = laid.run_of(cell, len(laid.form.ridges))
        if whole(laid, one):
            blank = cut_from(blank, run.name, replace(_cut(laid, one, bay, run), name=one.table.id))
            continue
        blank = cut_from(blank, run.name, _cut(laid, one, bay, run))
        if laid.form.one:
            twin = next(i for i, c in enumerate(laid.bays) if c.side < 0 and c.bay == bay)
            other = laid.run_of(twin, len(laid.form.ridges))
            left = replace(_cut(laid, one, bay, run), name=names(one, one_piece=False)[1])
            blank = cut_from(blank, other.name, left, mirrored=True)
    return replace(blank, folds=tuple(_trimmed(blank, fold) for fold in blank.folds))


def _cut(laid: Laid, wanted: Wanted, bay: int, run: Run) -> Cut:
    table = wanted.table
    low, high = spot(laid, bay, wanted.inner), spot(laid, bay, wanted.outer)
    over = whole(laid, wanted)
    begin, stop, opened = _opening(laid, wanted, bay, run)
    chord, outer_chord = table.chord_mm, wanted.outer_chord
    inner_u, outer_u = hinge_u(laid, bay, low, chord), hinge_u(laid, bay, high, outer_chord)
    slope = (outer_u - inner_u) / (high - low)
    horn = (table.horn.length_mm, table.horn.ahead_mm) if table.horn is not None else None
    inset = (low - begin, stop - high)
    bevels = _bevels(laid, bay, opened)
    # at a break the neighbour stands beside the outer end, so the gap is wanted there as well
    beside = table.end_gap_mm if opened[1] and not _tip(laid, bay) else 0.0
    outer_inset = max(inset[1], bevels[1]) + beside
    return Cut(
        names(wanted, one_piece=False)[0], -stop if over else begin, stop,
        inner_u - slope * inset[0], outer_u + slope * inset[1], table.end_gap_mm,
        radians(table.bevel_limit_deg), table.hinge_face, horn,
        open_inner=opened[1] if over else opened[0], open_outer=opened[1], both=over,
        inset=(outer_inset, outer_inset) if over else (max(inset[0], bevels[0]), outer_inset),
    )  # fmt: skip


def _tip(laid: Laid, bay: int) -> bool:
    return bay + 1 == len(laid.form.rises)


def _opening(laid: Laid, wanted: Wanted, bay: int, run: Run) -> tuple[float, float, tuple[bool, bool]]:
    """Ends of the opening in the blank and whether each lies at the panel's own end.

    Board that would be left beside it narrower than the least bridge is cut away.
    """
    cell = laid.bays[_right(laid, bay)]
    low, high = spot(laid, bay, wanted.inner), spot(laid, bay, wanted.outer)
    bevels = _bevels(laid, bay, (True, True))
    at_low = run.first == _right(laid, bay) and low - cell.low < bevels[0] + LEAST_LAND_MM
    last = run.last == _right(laid, bay)
    at_high = last and cell.high - high < bevels[1] + LEAST_LAND_MM
    if run.first < laid.root_cell and bay == 0 and 2.0 * low < LEAST_LAND_MM:
        return 0.0, cell.high if at_high else high, (False, at_high)
    return cell.low if at_low else low, cell.high if at_high else high, (at_low, at_high)


def _bevels(laid: Laid, bay: int, ends: tuple[bool, bool]) -> tuple[float, float]:
    """What the panel's own ends take of a control there: slanted sides and bevels of a break, mm."""
    index = _right(laid, bay)
    cell, level = laid.bays[index], len(laid.form.ridges)
    taken = []
    for way, wanted, line in ((1, ends[0], cell.low), (-1, ends[1], cell.high)):
        found = end_side(laid, index, level, way) if wanted else None
        if found is None:
            taken.append(0.0)
            continue
        aft = float(cell.layers[level].aft[0 if way > 0 else 1, 0])
        lack = max(found.cut.a, found.cut.b) * float(np.hypot(1.0, found.slope))
        taken.append(max(0.0, way * (found.v0 + found.slope * aft - line)) + lack)
    return taken[0], taken[1]


def _right(laid: Laid, bay: int) -> int:
    return next(i for i, c in enumerate(laid.bays) if c.side > 0 and c.bay == bay)


def _trimmed(blank: Blank, fold: Fold) -> Fold:
    """A fold as long as the edges that it still joins: a control may have been cut out of its end."""
    sides = fold_sides(blank, fold)
    if fold.method == "live" or not all(sides):
        return fold
    along = (fold.q - fold.p) / fold.length
    low, high = 0.0, fold.length
    for name, edges in zip((fold.parent, fold.child), sides, strict=True):
        ring = blank.panel(name).polygon
        runs = [
            sorted(float((ring[i] - fold.p) @ along) for i in (edge, (edge + 1) % len(ring)))
            for edge in edges
        ]
        low, high = max(low, min(run[0] for run in runs)), min(high, max(run[1] for run in runs))
    if low < _ON and high > fold.length - _ON:
        return fold
    return replace(fold, p=fold.p + low * along, q=fold.p + high * along)


def shown(laid: Laid, wanted: Wanted, arcs: FloatArray, alongs: FloatArray) -> Control:
    """The control as the lattice sees it. arcs, alongs: of the surface's stations, mm."""
    table, ends = wanted.table, laid.form.ends
    places = np.array([end.along for end in ends])
    chords = np.array([end.chord for end in ends])
    inner, outer = (float(np.interp(x, alongs, arcs)) for x in (wanted.inner, wanted.outer))
    local = [float(np.interp(x, places, chords)) for x in (wanted.inner, wanted.outer)]
    one_piece = whole(laid, wanted)
    horn = table.horn.length_mm * table.horn.ahead_mm if table.horn is not None else 0.0
    return Control(
        table.id, table.kind, names(wanted, one_piece=one_piece), table.chord_mm, inner, outer,
        (1.0 - table.chord_mm / local[0], 1.0 - wanted.outer_chord / local[1]),
        radians(table.up_deg), radians(table.down_deg), wanted.outer_chord, horn_area=horn,
    )  # fmt: skip


def all_moving(pivot: Pivot, fore: FloatArray, chords: FloatArray, arcs: FloatArray) -> Control:
    """A surface that turns as a whole about a line across it, as a control.

    fore, chords, arcs (k,): leading edge aft of the root's, chord and distance from the root of the
    stations, mm.
    """
    shares = [(pivot.x_mm - fore[i]) / chords[i] for i in (0, -1)]
    return Control(
        pivot.kind, pivot.kind, (), float(chords[0] * (1.0 - shares[0])), float(arcs[0]), float(arcs[-1]),
        (float(shares[0]), float(shares[1])), radians(pivot.up_deg), radians(pivot.down_deg),
        float(chords[-1] * (1.0 - shares[1])), all_moving=True,
    )  # fmt: skip
