"""Findings of surfaces cut from single board (G120-G139): what has no solution, with numbers and a cure."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import pairwise
from math import ceil, degrees, floor, hypot, radians, sin, tan

import numpy as np

from foldwright.airframe.flat_controls import LEAST_LAND_MM, Wanted
from foldwright.airframe.flat_form import LEVEL, FlatForm
from foldwright.base.finding import Finding, Param, Verdict
from foldwright.design.wings import Pivot
from foldwright.geometry.fold.methods import bevel

RIDGE_LIMIT_DEG = 25.0  # [judgement]: steeper and the flow leaves the ridge of a cambered board
PIVOT_SHARES = (
    0.15,
    0.45,
)  # [judgement]: of the mean chord, where an all-moving surface turns without strain
JUDGEMENT = "judgement"


def finding(
    where: str, code: str, judged: tuple[float, float, str], params: Mapping[str, Param],
    verdict: Verdict = "no-go", source: str = "",
) -> Finding:  # fmt: skip
    """A finding; judged: value, limit and unit."""
    value, limit, unit = judged
    rounded = {name: round(item, 1) if isinstance(item, float) else item for name, item in params.items()}
    return Finding(code, verdict, where, rounded, round(value, 3), round(limit, 3), unit, source)


def least(value: float) -> float:
    """Rounded up to a tenth, so that a cure clears."""
    return ceil(value * 10.0 - 1e-9) / 10.0


def most(value: float) -> float:
    """Rounded down to a tenth, so that a cure clears."""
    return floor(value * 10.0 + 1e-9) / 10.0


def check_form(name: str, form: FlatForm, bay_key: str = "") -> Iterator[Finding]:
    """G132 and G134: cut corners and breaks that leave nothing. bay_key: what sets a bay's length."""
    tip, before = form.ends[-1], form.ends[-2]
    room = min(_corner_room(form) - LEAST_LAND_MM, tip.along - before.along - LEAST_LAND_MM)
    if form.tip_cut > room + 1e-9:
        params: dict[str, Param] = {"asked": form.tip_cut, "chord": tip.chord, "most": max(0.0, most(room))}
        yield finding(f"{name}.tip_cut_mm", "G132", (form.tip_cut, room, "mm"), params)
    steps = [*form.steps, 0.0]
    for index, (inner, outer) in enumerate(pairwise(form.ends)):
        taken = sum(bevel(abs(step), form.thickness) for step in steps[index : index + 2])
        long = outer.along - inner.along
        if long - taken < LEAST_LAND_MM:
            params = {
                "bay": index + 1, "long": long, "taken": taken, "need": least(taken + LEAST_LAND_MM),
                "turn": degrees(max(abs(step) for step in steps[index : index + 2])),
            }  # fmt: skip
            yield finding(
                f"{name}.{bay_key or f'bay.{index + 1}'}", "G134", (long, taken + LEAST_LAND_MM, "mm"), params
            )


def _corner_room(form: FlatForm) -> float:
    """Length of tip edge that one cut corner may take, land and all, mm."""
    tip = form.ends[-1].chord
    if not form.ridges:
        return (tip + LEAST_LAND_MM) / 2.0
    first, last = form.ridges[0], form.ridges[-1]
    front = first.share * tip - bevel(first.turn, form.thickness)
    return min(front, (1.0 - last.share) * tip - bevel(last.turn, form.thickness))


def check_ridges(name: str, form: FlatForm, wanted: tuple[Wanted, ...]) -> Iterator[Finding]:
    """G126 to G128: camber folds too steep, under a control, too near each other or an edge."""
    tip, root = min(end.chord for end in form.ends), form.ends[0].chord
    for number, ridge in enumerate(form.ridges, 1):
        where = f"{name}.camber.{number}"
        if degrees(ridge.turn) > RIDGE_LIMIT_DEG + 1e-9:
            params: dict[str, Param] = {"asked": degrees(ridge.turn), "limit": RIDGE_LIMIT_DEG}
            judged = (degrees(ridge.turn), RIDGE_LIMIT_DEG, "deg")
            yield finding(f"{where}.turn_deg", "G126", judged, params, source=JUDGEMENT)
        wide = bevel(ridge.turn, form.thickness)
        for one in wanted:
            yield from _under_control(where, form, ridge.share, wide, one)
    cuts = [0.0, *(bevel(ridge.turn, form.thickness) for ridge in form.ridges), 0.0]
    shares = [0.0, *(ridge.share for ridge in form.ridges), 1.0]
    for number in range(len(shares) - 1):
        room, need = (
            (shares[number + 1] - shares[number]) * tip,
            cuts[number] + cuts[number + 1] + LEAST_LAND_MM,
        )
        if room < need - 1e-9 and len(shares) > 2:
            at = min(max(number, 1), len(form.ridges))
            params = {
                "room": room, "need": need, "x": shares[at] * root, "chord": tip,
                "apart": least(need * root / tip),
            }  # fmt: skip
            yield finding(f"{name}.camber.{at}.x_mm", "G128", (room, need, "mm"), params)


def _chord_at(form: FlatForm, along: float) -> float:
    places = [end.along for end in form.ends]
    return float(np.interp(along, places, [end.chord for end in form.ends]))


def _under_control(where: str, form: FlatForm, share: float, wide: float, one: Wanted) -> Iterator[Finding]:
    """G127: the fold runs through a control or too near its hinge."""
    ahead = one.table.horn.ahead_mm + one.table.end_gap_mm if one.table.horn is not None else 0.0
    for along, chord in ((one.inner, one.table.chord_mm), (one.outer, one.outer_chord)):
        local = _chord_at(form, along)
        room = (1.0 - share) * local - chord - ahead
        need = wide + LEAST_LAND_MM
        if room < need - 1e-9:
            root = form.ends[0].chord
            params: dict[str, Param] = {
                "control": one.table.id, "x": share * root, "hinge": local - chord - ahead,
                "fold": share * local, "ahead": most((local - chord - ahead - need) / local * root),
                "chord": most(chord - (need - room)),
            }  # fmt: skip
            yield finding(f"{where}.x_mm", "G127", (room, need, "mm"), params)
            return


def check_control(name: str, form: FlatForm, one: Wanted) -> Iterator[Finding]:
    """G120 to G125 and G134 of one control."""
    where = f"{name}.control.{one.table.id}"
    tip = form.ends[-1].along
    bay = max(i for i in range(len(form.rises)) if i == 0 or form.ends[i].along <= one.inner + 1e-6)
    end = form.ends[bay + 1].along if bay + 1 < len(form.ends) else tip
    if one.outer > end + 1e-6:
        what = "tip" if bay + 2 >= len(form.ends) else "end of its bay"
        params: dict[str, Param] = {"outer": one.outer, "end": most(end), "what": what}
        yield finding(f"{where}.outer_mm", "G120", (one.outer, end, "mm"), params)
        return
    yield from _chords(where, form, one)
    yield from _corner(name, form, one)
    yield from _travel(where, one)
    yield from _length(where, form, one, bay)


def _chords(where: str, form: FlatForm, one: Wanted) -> Iterator[Finding]:
    """G121, G122, G125: what is left ahead of the hinge and behind its bevel."""
    table = one.table
    horn = table.horn
    for along, chord, key in (
        (one.inner, table.chord_mm, "chord_mm"),
        (one.outer, one.outer_chord, "outer_chord_mm" if table.outer_chord_mm else "chord_mm"),
    ):
        local = _chord_at(form, along)
        if local - chord < LEAST_LAND_MM:
            params: dict[str, Param] = {"chord": chord, "local": local, "most": most(local - LEAST_LAND_MM)}
            yield finding(f"{where}.{key}", "G121", (chord, local - LEAST_LAND_MM, "mm"), params)
            return
        wide = form.thickness * tan(radians(table.bevel_limit_deg))
        if chord - wide < LEAST_LAND_MM:
            params = {"bevel": wide, "chord": chord, "need": least(wide + LEAST_LAND_MM)}
            yield finding(f"{where}.{key}", "G122", (chord, wide + LEAST_LAND_MM, "mm"), params)
            return
    if horn is not None:
        share = min(1.0, horn.length_mm / (one.outer - one.inner))
        fore = _chord_at(form, one.outer) - (
            one.outer_chord + share * max(0.0, table.chord_mm - one.outer_chord)
        )
        turning = hypot(horn.ahead_mm, form.thickness) - horn.ahead_mm
        room = fore - form.tip_cut - table.end_gap_mm - turning - LEAST_LAND_MM
        if horn.ahead_mm > room:
            params = {"ahead": horn.ahead_mm, "most": max(0.0, most(room))}
            yield finding(f"{where}.horn.ahead_mm", "G125", (horn.ahead_mm, room, "mm"), params)


def _corner(name: str, form: FlatForm, one: Wanted) -> Iterator[Finding]:
    """G132: a cut corner that takes most of a control's outer end."""
    if form.tip_cut <= 0.0 or one.outer <= form.ends[-1].along - form.tip_cut - LEAST_LAND_MM:
        return
    room = one.outer_chord - form.thickness * tan(radians(one.table.bevel_limit_deg)) - LEAST_LAND_MM
    if form.tip_cut > room + 1e-9:
        params: dict[str, Param] = {
            "asked": form.tip_cut, "chord": one.outer_chord, "most": max(0.0, most(room)),
        }  # fmt: skip
        yield finding(f"{name}.tip_cut_mm", "G132", (form.tip_cut, room, "mm"), params)


def _travel(where: str, one: Wanted) -> Iterator[Finding]:
    """G123: the hinge bevel clears the travel toward the side it closes on."""
    table = one.table
    asked = table.down_deg if table.hinge_face == "a" else table.up_deg
    if asked > table.bevel_limit_deg + 1e-9:
        params: dict[str, Param] = {"asked": asked, "clears": table.bevel_limit_deg}
        yield finding(f"{where}.bevel_limit_deg", "G123", (asked, table.bevel_limit_deg, "deg"), params)


def _length(where: str, form: FlatForm, one: Wanted, bay: int) -> Iterator[Finding]:
    """G124 and G134: what gaps, bevels and horn leave of the hinge; halves that meet when they rise."""
    table, steps = one.table, [*form.steps, 0.0]
    at_inner = abs(one.inner - form.ends[bay].along) < 1e-6
    at_outer = abs(one.outer - form.ends[bay + 1].along) < 1e-6
    taken = bevel(abs(steps[bay]), form.thickness) if at_inner else 0.0
    taken += bevel(abs(steps[bay + 1]), form.thickness) if at_outer else 0.0
    horn = table.horn.length_mm + table.end_gap_mm if table.horn is not None else 0.0
    left = one.outer - one.inner - 2.0 * table.end_gap_mm - taken - horn
    if left < LEAST_LAND_MM - 1e-9:
        need = least(one.outer - one.inner + LEAST_LAND_MM - left)
        params: dict[str, Param] = {"left": left, "long": one.outer - one.inner, "need": need}
        yield finding(f"{where}.outer_mm", "G124", (left, LEAST_LAND_MM, "mm"), params)
        return
    yield from _meeting(where, form, one, bay)


def _meeting(where: str, form: FlatForm, one: Wanted, bay: int) -> Iterator[Finding]:
    """G135: controls on both sides of a break that run into each other when both turn to its inside."""
    table, step = one.table, form.steps[bay]
    if abs(step) < LEVEL:
        return
    # the upper edge of the trailing edge stands t + c*sin(travel) over the face the break is hinged on
    turned = table.chord_mm * sin(radians(table.up_deg if step > 0.0 else table.down_deg))
    need = (form.thickness + turned) * tan(abs(step) / 2.0)
    room = one.inner - form.ends[bay].along + table.end_gap_mm
    if abs(one.inner - form.ends[bay].along) < 1e-6:
        room += bevel(abs(step), form.thickness)
    if room < need - 1e-9:
        params: dict[str, Param] = {
            "control": table.id, "turn": degrees(abs(step)), "room": room, "need": least(need),
            "way": "up" if step > 0.0 else "down", "inner": least(one.inner + need),
        }  # fmt: skip
        yield finding(f"{where}.inner_mm", "G135", (room, need, "mm"), params, "watch")


def check_pivot(name: str, form: FlatForm, pivot: Pivot) -> Iterator[Finding]:
    """G133: the line an all-moving surface turns about, in shares of its mean chord."""
    places = np.array([end.along for end in form.ends])
    chords, fores = np.array([end.chord for end in form.ends]), np.array([end.fore for end in form.ends])
    # mean aerodynamic chord of straight-edged bays by Simpson's rule, exact for linear chords
    weight = np.diff(places) / 6.0
    middle, fore = (chords[:-1] + chords[1:]) / 2.0, (fores[:-1] + fores[1:]) / 2.0
    area = float(((chords[:-1] + 4.0 * middle + chords[1:]) * weight).sum())
    mean = float(((chords[:-1] ** 2 + 4.0 * middle**2 + chords[1:] ** 2) * weight).sum()) / area
    lead = (
        float(((fores[:-1] * chords[:-1] + 4.0 * fore * middle + fores[1:] * chords[1:]) * weight).sum())
        / area
    )
    share = (pivot.x_mm - lead) / mean
    low, high = PIVOT_SHARES
    if low <= share <= high:
        return
    params: dict[str, Param] = {
        "share": 100.0 * share, "low": 100.0 * low, "high": 100.0 * high, "x": pivot.x_mm,
        "from": least(lead + low * mean), "to": most(lead + high * mean),
    }  # fmt: skip
    limit = low if share < low else high
    judged = (100.0 * share, 100.0 * limit, "%")
    verdict: Verdict = "watch" if 0.0 < share < 1.0 else "no-go"
    yield finding(f"{name}.pivot.x_mm", "G133", judged, params, verdict, JUDGEMENT)
