"""A surface of single board put together: blanks, lifting surface, controls, seams, notes.

What a kind of part has to say is its form, its words and where it stands; plate wings and V-tails share
the rest.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import pairwise
from math import tan

import numpy as np

from foldwright.airframe.flat_blank import Laid, lay
from foldwright.airframe.flat_controls import (
    Wanted,
    all_moving,
    bay_of,
    hinge_u,
    shown,
    spot,
    whole,
    with_controls,
)
from foldwright.airframe.flat_form import FlatEnd, FlatForm
from foldwright.airframe.flat_lift import Lifts, Strip, surface
from foldwright.airframe.hinged import renamed
from foldwright.airframe.mirror import mirror_blank
from foldwright.airframe.model import LiftingSurface, MarkRequest, Placed, Seam
from foldwright.base.types import FloatArray
from foldwright.design.wings import Pivot
from foldwright.geometry.fold.flat import transforms
from foldwright.geometry.fold.methods import bevel
from foldwright.geometry.fold.model import Blank
from foldwright.geometry.transform import apply


@dataclass(frozen=True, slots=True, eq=False)
class Single:
    """A surface of single board as its kind asks for it.

    place: 4x4 to the aeroplane, see `flat_blank.lay`. washout: at the station that ends each bay, rad.
    doubler: a second board's form and its place, or None; doubler_reach: along the first board, mm.
    """

    lifts: Lifts
    form: FlatForm
    place: FloatArray
    washout: tuple[float, ...]
    wanted: tuple[Wanted, ...] = ()
    pivot: Pivot | None = None
    doubler: tuple[FlatForm, FloatArray] | None = None
    doubler_reach: float = 0.0


@dataclass(frozen=True, slots=True, eq=False)
class Made:
    """What came of it. laid: the board without controls. blanks: controls cut out, then doublers."""

    laid: Laid
    blanks: tuple[Blank, ...]
    surface: LiftingSurface
    seams: tuple[Seam, ...]
    guides: tuple[MarkRequest, ...]
    folded: dict[str, FloatArray]
    doublers: tuple[Blank, ...] = ()


def make(asked: Single) -> Made:
    """Lay it flat, slice it, cut its controls."""
    name, one = asked.lifts.id, asked.form.one
    laid = lay(f"{name}/{'main' if one else 'right'}", asked.form, asked.place)
    folded = transforms(laid.blank)
    doublers: tuple[Blank, ...] = ()
    if asked.doubler is not None:
        second = lay(f"{name}/{'doubler' if one else 'doubler-right'}", *asked.doubler, "doubler")
        doublers = (second.blank,)
    lifted = _lifting(asked, laid, folded, doublers)
    cut = with_controls(laid, asked.wanted)
    blanks = _both(cut, f"{name}/left", asked) if not one else (cut,)
    if doublers and not one:
        doublers = (*doublers, mirror_blank(doublers[0], f"{name}/doubler-left"))
    seams = (*_fold_seams(laid, folded), *_hinge_seams(asked, laid, folded))
    return Made(laid, (*blanks, *doublers), lifted, seams, _guides(asked, laid, folded), folded, doublers)


def _both(blank: Blank, name: str, asked: Single) -> tuple[Blank, Blank]:
    """A right blank and its mirror image, whose controls are called left."""
    swap = {f"{one.table.id}-right": f"{one.table.id}-left" for one in asked.wanted}
    return blank, renamed(mirror_blank(blank, name), swap)


# --- lift ---------------------------------------------------------------------------------------------------


def _lifting(
    asked: Single, laid: Laid, folded: dict[str, FloatArray], doublers: tuple[Blank, ...]
) -> LiftingSurface:
    form = asked.form
    alongs = station_places(asked)
    strips = [
        _strip(asked, laid, folded, inner, outer, float(alongs[-1])) for inner, outer in pairwise(alongs)
    ]
    board = tuple(Placed(asked.lifts.id, blank, transforms(blank)) for blank in (laid.blank, *doublers))
    lifted = surface(asked.lifts, strips, board, form.thickness)
    controls = tuple(shown(laid, one, lifted.arc, alongs) for one in asked.wanted)
    if asked.pivot is not None:
        fore = np.interp(alongs, [end.along for end in form.ends], [end.fore for end in form.ends])
        controls = (*controls, all_moving(asked.pivot, fore, lifted.chord, lifted.arc))
    return replace(lifted, controls=controls)


def station_places(asked: Single) -> FloatArray:
    """Places along the board of the surface's stations: ends of bays, of cut corners, of the doubler."""
    form = asked.form
    tip = form.ends[-1].along
    places = [end.along for end in form.ends]
    if form.tip_cut > 0.0:
        places.append(tip - form.tip_cut)
    if asked.doubler is not None and asked.doubler_reach < tip - 1.0:
        places.append(asked.doubler_reach)
    return np.unique(np.round(places, 9))


def _strip(
    asked: Single, laid: Laid, folded: dict[str, FloatArray], inner: float, outer: float, tip: float
) -> Strip:
    form = asked.form
    bay = max(i for i in range(len(form.rises)) if form.ends[i].along <= inner + 1e-6)
    depth = _nose_depth(asked, 0.5 * (inner + outer))
    # a corner that is cut off reaches from the tip inward
    cuts = [form.tip_cut if form.tip_cut > 0.0 and along > tip - 1e-6 else 0.0 for along in (inner, outer)]
    nose, tail = (
        [
            _edge(laid, folded, _Spot(form, bay, along, deep, cut, fore))
            for along, cut in zip((inner, outer), cuts, strict=True)
        ]
        for fore, deep in ((True, depth), (False, form.thickness / 2.0))
    )
    places = np.array([end.along for end in form.ends])
    washout = float(np.interp(outer, places, [0.0, *asked.washout]))
    return Strip(np.array(nose), np.array(tail), form.rises[bay], washout)


def _nose_depth(asked: Single, along: float) -> float:
    """Middle of the leading edge over the under face: a doubler that begins there makes it twice as thick."""
    t = asked.form.thickness
    if asked.doubler is None:
        return t / 2.0
    ends = asked.doubler[0].ends
    from_nose = abs(ends[0].fore - asked.form.ends[0].fore) < 1e-9
    return t if from_nose and along < asked.doubler_reach else t / 2.0


@dataclass(frozen=True, slots=True, eq=False)
class _Spot:
    """A place on the leading or trailing edge of a right bay: along the board, over the under face, mm.

    cut: what a cut-off corner takes of the chord there, mm.
    """

    form: FlatForm
    bay: int
    along: float
    depth: float
    cut: float
    fore: bool


def _edge(laid: Laid, folded: dict[str, FloatArray], at: _Spot) -> FloatArray:
    """Point (3,) of the leading or trailing edge at a place along a right bay, mm."""
    index = next(i for i, c in enumerate(laid.bays) if c.side > 0 and c.bay == at.bay)
    cell = laid.bays[index]
    level = 0 if at.fore else len(at.form.ridges)
    layer = cell.layers[level]
    (u0, v0), (u1, v1) = layer.fore if at.fore else layer.aft
    v = _mitred(at.form, at.bay, spot(laid, at.bay, at.along), cell.low, cell.high, at.depth)
    u = u0 + (v - v0) / (v1 - v0) * (u1 - u0) + (at.cut if at.fore else -at.cut)
    return apply(folded[laid.run_of(index, level).name], np.array([u, v, at.depth]))


def _mitred(form: FlatForm, bay: int, v: float, low: float, high: float, depth: float) -> float:
    """A place at a break taken to the plane that halves it, at a depth over the under face."""
    if v < low + 1e-6:
        step = form.steps[bay]
        return v + (depth - (0.0 if step > 0.0 else form.thickness)) * tan(step / 2.0)
    if v > high - 1e-6 and bay + 1 < len(form.rises):
        step = form.steps[bay + 1]
        return v - (depth - (0.0 if step > 0.0 else form.thickness)) * tan(step / 2.0)
    return v


# --- seams and marks ----------------------------------------------------------------------------------------


def _fold_seams(laid: Laid, folded: dict[str, FloatArray]) -> tuple[Seam, ...]:
    """Glue in the folds; on halves that are joined, along the centre, and the same on the left."""
    name, t = laid.blank.name.split("/")[0], laid.form.thickness
    seams = []
    for fold in laid.blank.folds:
        w = t if fold.hinge == "a" else 0.0
        ends = np.array([(*fold.p, w), (*fold.q, w)])
        seams.append(Seam(f"{name}/{fold.name}", "glue", apply(folded[fold.parent], ends)))
    if laid.form.one:
        return tuple(seams)
    seams += [Seam(f"{seam.id}-left", seam.kind, seam.points * [1.0, -1.0, 1.0]) for seam in seams]
    cell = laid.bays[0]
    for level, layer in enumerate(cell.layers):
        ends = np.array([(*layer.fore[0], t / 2.0), (*layer.aft[0], t / 2.0)])
        points = apply(folded[laid.run_of(0, level).name], ends) * [1.0, 0.0, 1.0]
        seams.append(Seam(f"{name}/centre" + (f"-{level}" if level else ""), "glue", points))
    return tuple(seams)


def _hinge_seams(asked: Single, laid: Laid, folded: dict[str, FloatArray]) -> tuple[Seam, ...]:
    """Tape along the hinges of both halves."""
    seams = []
    t, level = laid.form.thickness, len(laid.form.ridges)
    for one in asked.wanted:
        bay = bay_of(laid, one)
        index = next(i for i, c in enumerate(laid.bays) if c.side > 0 and c.bay == bay)
        chords = (one.table.chord_mm, one.outer_chord)
        v = [spot(laid, bay, along) for along in (one.inner, one.outer)]
        w = t if one.table.hinge_face == "a" else 0.0
        ends = np.array([(hinge_u(laid, bay, v[i], chords[i]), v[i], w) for i in (0, 1)])
        points = apply(folded[laid.run_of(index, level).name], ends)
        for tail, sign in (("right", 1.0), ("left", -1.0)):
            seams.append(Seam(f"{asked.lifts.id}/{one.table.id}-{tail}", "tape", points * [1.0, sign, 1.0]))
    return tuple(seams)


def _guides(asked: Single, laid: Laid, folded: dict[str, FloatArray]) -> tuple[MarkRequest, ...]:
    """The centre line where no fold shows it, and the pivot line of an all-moving surface on both halves."""
    guides = _pivot_lines(asked, laid, folded)
    run = laid.run_of(laid.root_cell, 0)
    if laid.form.one and run.first < laid.root_cell:
        root = laid.form.ends[0]
        shares = [ridge.share for ridge in laid.form.ridges[:1]] or [1.0]
        aft = root.fore + shares[0] * root.chord
        inner = [one for one in asked.wanted if whole(laid, one)]
        aft -= max((one.table.chord_mm + one.table.end_gap_mm for one in inner), default=0.0)
        ends = np.array([(root.fore + 1.0, 0.0, laid.form.thickness), (aft - 1.0, 0.0, laid.form.thickness)])
        points = tuple((float(x), float(y), float(z)) for x, y, z in apply(folded[run.name], ends))
        guides.append(MarkRequest("centre-line", laid.blank.name, "-z", points, "a", least=0.2))
    return tuple(guides)


def _pivot_lines(asked: Single, laid: Laid, folded: dict[str, FloatArray]) -> list[MarkRequest]:
    if asked.pivot is None:
        return []
    ends = asked.form.ends
    index = laid.root_cell
    place, cell = folded[laid.run_of(index, 0).name], laid.bays[index]
    u, t = asked.pivot.x_mm, asked.form.thickness
    begin = np.array([u, cell.low + bevel(abs(asked.form.steps[0]), t) + 1.0, t])
    inner = apply(place, begin)
    outer = apply(place, np.array([u, cell.low + ends[-1].along - 1.0, t]))
    lines = []
    for tail, sign in (("right", 1.0), ("left", -1.0)):
        points = tuple((float(p[0]), sign * float(p[1]), float(p[2])) for p in (inner, outer))
        blank = laid.blank.name if asked.form.one else f"{asked.lifts.id}/{tail}"
        lines.append(MarkRequest(f"pivot-{tail}", blank, "-z", points, "a", least=0.2))
    return lines


def reached(form: FlatForm, reach: float, shares: tuple[float, float]) -> tuple[FlatEnd, ...]:
    """Ends of a layer that runs from one share of the chord to another and from the root to `reach`, mm."""
    ends: list[FlatEnd] = []
    for inner, outer in pairwise(form.ends):
        if not ends:
            ends.append(_shared(inner, shares))
        if outer.along >= reach - 1e-9:
            part = (reach - inner.along) / (outer.along - inner.along)
            end = FlatEnd(
                reach,
                inner.fore + part * (outer.fore - inner.fore),
                inner.aft + part * (outer.aft - inner.aft),
            )
            ends.append(_shared(end, shares))
            break
        ends.append(_shared(outer, shares))
    return tuple(ends)


def _shared(end: FlatEnd, shares: tuple[float, float]) -> FlatEnd:
    return FlatEnd(end.along, end.fore + shares[0] * end.chord, end.fore + shares[1] * end.chord)


def raised(ends: tuple[FlatEnd, ...], rises: tuple[float, ...], lift: float) -> tuple[FlatEnd, ...]:
    """Ends of a layer whose under face lies `lift` mm above the first one's: shorter where bays rise."""
    steps = (2.0 * rises[0], *(b - a for a, b in pairwise(rises)))
    made, along = [FlatEnd(0.0, ends[0].fore, ends[0].aft)], 0.0
    for index, (inner, outer) in enumerate(pairwise(ends)):
        last = index == len(ends) - 2
        after = 0.0 if last else steps[index + 1]
        along += outer.along - inner.along - lift * (tan(steps[index] / 2.0) + tan(after / 2.0))
        made.append(FlatEnd(along, outer.fore, outer.aft))
    return tuple(made)
