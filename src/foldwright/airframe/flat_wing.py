"""Wings, tailplanes and canards of single board."""

from __future__ import annotations

from math import cos, radians, tan

import numpy as np

from foldwright.airframe.bench import Bench
from foldwright.airframe.flat_checks import (
    check_control,
    check_form,
    check_pivot,
    check_ridges,
)
from foldwright.airframe.flat_controls import LEAST_LAND_MM, Wanted
from foldwright.airframe.flat_extras import Lying, check_doubler, check_spar, doubler_glue, let_in, lying
from foldwright.airframe.flat_form import FlatEnd, FlatForm, Ridge
from foldwright.airframe.flat_lift import Lifts
from foldwright.airframe.flat_surface import Single, make, raised, reached
from foldwright.airframe.flat_warp import bay_rises, check_washout, washout_notes
from foldwright.airframe.flat_words import notes, titles
from foldwright.airframe.model import MassItem, PartBuild
from foldwright.airframe.plan import PlanBay, plan_bays
from foldwright.base.finding import Finding
from foldwright.base.types import FloatArray
from foldwright.design.wings import Control, PlateWing
from foldwright.geometry.transform import shift, turn

WORDS = {"wing": "Wing", "tailplane": "Tailplane (stabiliser)", "canard": "Canard"}


def build_plate_wing(part: PlateWing, bench: Bench) -> PartBuild:
    """Blanks, lifting surface, seams, notes. What cannot be built has findings and no blanks."""
    form, bays = form_of(part, bench), plan_bays(part.span_mm, part.chord_mm, part.bay)
    wanted = tuple(_wanted(control, bays) for control in part.control)
    findings = _findings(part, bench, form, wanted, bays)
    if any(finding.verdict == "no-go" for finding in findings):
        return PartBuild(part.id, (), findings=findings)
    asked = _asked(part, form, bays, wanted)
    made = make(asked)
    masses: tuple[MassItem, ...] = ()
    if made.doublers:
        masses = (MassItem(f"{part.id}/doubler-glue", "joint", doubler_glue(made.doublers)),)
    bought = lying(bench.bought(part.id), form.thickness)
    word = WORDS[part.role]
    build = PartBuild(
        part.id, made.blanks, surfaces=(made.surface,), seams=made.seams,
        masses=masses, findings=findings, guides=made.guides,
        notes=(*notes(asked, made), *washout_notes(part, bays)), titles=titles(made, word),
    )  # fmt: skip
    if part.spar is None or bought is None:
        return build
    share, reach = part.spar.x_mm / part.chord_mm, _along(bays, part.spar.reach_mm or part.span_mm / 2.0)
    return let_in(build, made, bought, Lying(share, reach, placement(part), bay_rises(bays)))


def form_of(part: PlateWing, bench: Bench) -> FlatForm:
    """The board of a plate wing."""
    board = bench.board
    bays = plan_bays(part.span_mm, part.chord_mm, part.bay)
    along = np.concatenate([[0.0], np.cumsum([bay.length for bay in bays])])
    stations = [bays[0].inner, *(bay.outer for bay in bays)]
    ends = tuple(
        FlatEnd(float(x), one.aft, one.aft + one.chord) for x, one in zip(along, stations, strict=True)
    )
    ridges = tuple(
        Ridge(
            fold.x_mm / part.chord_mm, radians(fold.turn_deg), fold.method,
            (fold.tool_width_mm or board.crush_width) if fold.method == "crush" else 0.0,
            board.radius if fold.method == "crush" else 0.0,
        )
        for fold in part.camber
    )  # fmt: skip
    rises = tuple(bay.dihedral for bay in bays)
    return FlatForm(ends, rises, part.centre != "two", board.thickness, ridges, part.tip_cut_mm)


def placement(part: PlateWing) -> FloatArray:
    """4x4 from the root's leading edge on the under face to the aeroplane; incidence turns the nose up."""
    axis = np.array([0.0, 1.0, 0.0])
    return shift(part.x_mm, 0.0, part.z_mm) @ turn(np.zeros(3), axis, radians(part.incidence_deg))


def _asked(part: PlateWing, form: FlatForm, bays: tuple[PlanBay, ...], wanted: tuple[Wanted, ...]) -> Single:
    place, t = placement(part), form.thickness
    step, share, doubler, reach = 0.0, None, None, 0.0
    if part.doubler is not None:
        shares = (part.doubler.from_mm / part.chord_mm, part.doubler.to_mm / part.chord_mm)
        reach = _stopped(form, _along(bays, part.doubler.reach_mm or part.span_mm / 2.0))
        ends = reached(form, reach, shares)
        rises = form.rises[: len(ends) - 1]
        upper = FlatForm(raised(ends, rises, t), rises, form.one, t)
        doubler = (upper, place @ shift(0.0, 0.0, t / cos(rises[0])))
        step, share = t, shares[1]
    lifts = Lifts(part.id, part.role, True, step, share)
    washout = tuple(bay.outer.washout for bay in bays)
    return Single(lifts, form, place, washout, wanted, part.pivot, doubler, reach)


def _stopped(form: FlatForm, reach: float) -> float:
    """A doubler that would run past a break by less than the least part stops there.

    Where the next bay rises, it stops where the upper faces of the two bays meet: beyond, that bay's board
    stands in its way.
    """
    for index, end in enumerate(form.ends[1:-1], 1):
        meet = end.along - form.thickness * tan(max(form.steps[index], 0.0) / 2.0)
        if meet < reach < end.along + LEAST_LAND_MM:
            return meet
    return reach


def _along(bays: tuple[PlanBay, ...], y: float) -> float:
    """Place along the board of a level distance from the centre line, mm; past the tip it runs on."""
    along = 0.0
    for bay in bays:
        if y <= bay.outer.y or bay is bays[-1]:
            return along + (y - bay.inner.y) / cos(bay.dihedral)
        along += bay.length
    return along


def _wanted(control: Control, bays: tuple[PlanBay, ...]) -> Wanted:
    return Wanted(control, _along(bays, control.inner_mm), _along(bays, control.outer_mm))


def _findings(
    part: PlateWing, bench: Bench, form: FlatForm, wanted: tuple[Wanted, ...], bays: tuple[PlanBay, ...]
) -> tuple[Finding, ...]:
    found = [*check_form(part.id, form), *check_ridges(part.id, form, wanted), *check_washout(part, bays)]
    for one in wanted:
        found += check_control(part.id, form, one)
    if part.pivot is not None:
        found += check_pivot(part.id, form, part.pivot)
    found += check_doubler(part, wanted)
    found += check_spar(part, form, wanted, lying(bench.bought(part.id), form.thickness))
    return tuple(found)
