"""Findings and notes of a folded wing with bays: taper, sweep, dihedral and joints that cannot be folded."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from math import cos, degrees, isnan, radians, sin, tan

from foldwright.airframe.model import Board, Note
from foldwright.airframe.wing_bays import BayShape, free_slope
from foldwright.airframe.wing_blank import Draft
from foldwright.airframe.wing_centre import Joints, allowed, reason
from foldwright.airframe.wing_checks import (
    AFT_SLOPE_LIMIT_DEG,
    LEAST_LAND_MM,
    LEAST_SPAR_MM,
    ceil_tenth,
    floor_tenth,
    no_go,
)
from foldwright.airframe.wing_controls import AT, Placed, horn_room, placed_controls
from foldwright.airframe.wing_lines import washout_block
from foldwright.airframe.wing_section import (
    greatest_height,
    in_degrees,
    least_nose_strip,
    least_setback,
    least_strip_for,
)
from foldwright.airframe.wing_spar import runs
from foldwright.base.finding import Finding, Param
from foldwright.design.parts import FoldedWing

SAME_HEIGHT_MM = 0.1
"""A spar height asked for that lies this near to the forced one is that one [judgement: a knife's width]."""
SAME_EDGE_MM = 0.5
"""Likewise for the strip's edge, which the planes fix [judgement: what a cutter keeps to]."""

_NOSES = {"slit": "slit", "mitre": "mitred", "two_fold": "two-fold"}


def check_bays(part: FoldedWing, bays: Sequence[BayShape], board: Board) -> tuple[Finding, ...]:
    """All findings of the bays, the joints asked for, spar reach and what controls find in their bays."""
    found: list[Finding] = [*_centre(part, bays[0]), *_reach(part)]
    for bay in bays if part.bay else ():
        own = [*_slope(part, bay), *_spar(part, bay), *_strip(part, bay)]
        found += own
        if isnan(bay.alpha) or isnan(bay.outer.height) or any(f.verdict == "no-go" for f in own):
            return tuple(found)
    if not isnan(bays[-1].alpha):
        found += _controls(part, bays, board)
    return tuple(found)


def _key(bay: BayShape, name: str) -> str:
    return f"bay.{bay.number + 1}.{name}"


def _centre(part: FoldedWing, bay: BayShape) -> Iterator[Finding]:
    """G108: a centre joint that the planes do not allow."""
    can = allowed(bay)
    if part.centre == "auto" or part.centre in can:
        return
    quoted = " or ".join(f'"{name}"' for name in can)
    params: dict[str, Param] = {"asked": part.centre, "reason": reason(bay), "can": quoted}
    yield Finding("G108", "no-go", f"{part.id}.centre", params)


def _reach(part: FoldedWing) -> Iterator[Finding]:
    """G117: a spar longer than the half."""
    reach, half = part.spar.reach_mm, part.span_mm / 2.0
    if reach is not None and reach > half + AT:
        yield no_go(part, "G117", "spar.reach_mm", (reach, half, "mm"), {"reach": reach, "half": half})


def _slope(part: FoldedWing, bay: BayShape) -> Iterator[Finding]:
    """G104 to G107: front slope, heights that no slope joins, nose strip, aft slope."""
    table = bay.table
    free = table is not None and table.spar_height_mm is not None and bay.method == "two_fold"
    d, h, t = bay.inner.spar * cos(bay.sweep), bay.inner.height, bay.t
    limit = radians(part.nose.slope_limit_deg)
    if free and not bay.alpha > 0.0:
        asked = bay.outer.height
        drop = (bay.inner.spar - bay.outer.spar) * cos(bay.sweep)
        params: dict[str, Param] = {
            "inner": h, "outer": asked, "spar_in": bay.inner.spar, "spar_out": bay.outer.spar,
            "way": "as high" if abs(drop) < 1e-9 else ("lower" if drop > 0.0 else "higher"),
        }  # fmt: skip
        yield no_go(part, "G105", _key(bay, "spar_height_mm"), (asked, h, "mm"), params)
        return
    if not bay.alpha <= limit or bay.alpha <= 0.0:
        yield _steep(part, bay, (d, h), limit)
        return
    if bay.method == "two_fold" and bay.nose < least_nose_strip(bay.alpha, t) - 1e-9:
        yield _narrow(part, bay, free=free)
    steep = radians(AFT_SLOPE_LIMIT_DEG)
    if bay.mu > steep:
        least = bay.inner.spar + h / tan(steep) * (tan(bay.mu) / (h / (bay.inner.strip - bay.inner.spar)))
        asked_deg = degrees(bay.mu)
        params = {
            "bay": bay.number + 1, "asked": asked_deg, "limit": AFT_SLOPE_LIMIT_DEG, "need": ceil_tenth(least)
        }  # fmt: skip
        yield no_go(part, "G107", "strip.aft_mm", (asked_deg, AFT_SLOPE_LIMIT_DEG, "deg"), params)


def _steep(part: FoldedWing, bay: BayShape, spar: tuple[float, float], limit: float) -> Finding:
    d, h = spar
    method, s, t = bay.method, part.nose.strip_height_mm, bay.t
    asked = in_degrees(bay.alpha)
    key = "spar.height_mm" if bay.number == 0 else f"bay.{bay.number}.spar_x_mm"
    params: dict[str, Param] = {
        "bay": bay.number + 1, "h": h, "d": d, "limit": part.nose.slope_limit_deg,
        "asked": asked if asked < 90 else "more than any slope gives",
        "sweep": degrees(bay.sweep), "lower": floor_tenth(greatest_height(method, d, t, s, limit)),
        "back": ceil_tenth((least_setback(method, h, t, s, limit) - d) / cos(bay.sweep)),
    }  # fmt: skip
    if bay.alpha <= 0.0:
        return no_go(part, "G22", key, (h, t, "mm"), params)
    value = degrees(bay.alpha) if not isnan(bay.alpha) else 90.0
    return no_go(part, "G104", key, (value, part.nose.slope_limit_deg, "deg"), params)


def _narrow(part: FoldedWing, bay: BayShape, *, free: bool) -> Finding:
    """G28 or G106: the nose strip is narrower than its two mitres."""
    t, h = bay.t, bay.inner.height
    d, d_out = bay.inner.spar * cos(bay.sweep), bay.outer.spar * cos(bay.sweep)
    least = least_nose_strip(bay.alpha, t)
    if not free:
        need = least_strip_for(d, h, t)
        params: dict[str, Param] = {"s": bay.nose, "need": ceil_tenth(need)}
        return no_go(part, "G28", "nose.strip_height_mm", (bay.nose, need, "mm"), params)
    # the flatter the front, the higher the nose strip: halve the way to the tip height that just holds
    low, high = bay.outer.height, h
    for _ in range(60):
        tip = 0.5 * (low + high)
        alpha, s = free_slope((d, h), (d_out, tip), t)
        low, high = (low, tip) if s >= least_nose_strip(alpha, t) else (tip, high)
    params = {"s": bay.nose, "least": least, "asked": bay.outer.height, "need": ceil_tenth(high)}
    return no_go(part, "G106", _key(bay, "spar_height_mm"), (bay.nose, least, "mm"), params)


def _spar(part: FoldedWing, bay: BayShape) -> Iterator[Finding]:
    """G100 and G102, G23: spar heights that the nose forces, and spars too low to cut."""
    if isnan(bay.outer.height) or not 0.0 < bay.alpha < radians(85.0):
        return
    forced, rise = bay.outer.height, tan(bay.alpha) * cos(bay.sweep)
    table = bay.table
    asked = None if table is None or bay.method == "two_fold" else table.spar_height_mm
    if asked is not None and abs(asked - forced) > SAME_HEIGHT_MM:
        params: dict[str, Param] = {
            "nose": _NOSES[bay.method], "forced": forced, "asked": asked,
            "move": bay.outer.spar + (asked - forced) / rise,
        }  # fmt: skip
        yield no_go(part, "G100", _key(bay, "spar_height_mm"), (asked, forced, "mm"), params)
    run = next((run for run in runs(part, (bay,), 0.0)), None)
    if run is None or not bay.outer.height > 0.0:
        stands = bay.outer.height
    else:
        stands = run.stands(run.high)
        if bay.number == 0 and run.stands(0.0) < LEAST_SPAR_MM:
            low = run.stands(0.0)
            params = {
                "stands": low,
                "need": ceil_tenth(bay.inner.height + LEAST_SPAR_MM - low),
                "least": LEAST_SPAR_MM,
            }
            yield no_go(part, "G23", "spar.height_mm", (low, LEAST_SPAR_MM, "mm"), params)
            return
    if stands < LEAST_SPAR_MM:
        params = {
            "bay": bay.number + 1, "stands": stands, "least": LEAST_SPAR_MM, "spar": bay.outer.spar,
            "move": ceil_tenth(bay.outer.spar + (LEAST_SPAR_MM - stands) / rise),
        }  # fmt: skip
        yield no_go(part, "G102", _key(bay, "spar_x_mm"), (stands, LEAST_SPAR_MM, "mm"), params)


def _strip(part: FoldedWing, bay: BayShape) -> Iterator[Finding]:
    """G101 and G103: the strip's edge is forced; ridge or strip edge leaves the chord toward the tip."""
    outer, table = bay.outer, bay.table
    if isnan(outer.strip) or not outer.height > 0.0:
        return
    asked = None if table is None else table.strip_aft_mm
    if asked is not None and abs(asked - outer.strip) > SAME_EDGE_MM:
        params: dict[str, Param] = {"asked": asked, "forced": outer.strip, "spar": outer.spar}
        yield no_go(part, "G101", _key(bay, "strip_aft_mm"), (asked, outer.strip, "mm"), params)
    end = outer.strip + bay.land
    if end > outer.chord - LEAST_LAND_MM:
        # strip edge and spar keep their places to each other: x_b = x_s + h*(x_b - x_s)_root/h_root
        share = 1.0 + tan(bay.alpha) * cos(bay.sweep) * (bay.inner.strip - bay.inner.spar) / bay.inner.height
        params = {
            "bay": bay.number + 1, "end": end, "chord": outer.chord, "spar": outer.spar,
            "need": ceil_tenth(end + LEAST_LAND_MM), "least": LEAST_LAND_MM,
            "move": floor_tenth(outer.spar - (end + LEAST_LAND_MM - outer.chord) / share),
        }  # fmt: skip
        yield no_go(part, "G103", _key(bay, "chord_mm"), (end, outer.chord - LEAST_LAND_MM, "mm"), params)


def _controls(part: FoldedWing, bays: Sequence[BayShape], board: Board) -> Iterator[Finding]:
    placed = {id(one.part): one for one in placed_controls(part, bays)}
    for control in part.control:
        key = f"control.{control.id}"
        one = placed.get(id(control))
        half = part.span_mm / 2.0
        if one is None:
            if control.outer_mm > half + AT:
                continue  # has a finding of its own
            ends = [b.plan.outer.y for b in bays if control.inner_mm < b.plan.outer.y < control.outer_mm]
            end = ends[0] if ends else half
            params: dict[str, Param] = {
                "inner": control.inner_mm, "outer": control.outer_mm, "end": end,
                "inside": control.inner_mm if control.inner_mm < end else control.outer_mm,
            }  # fmt: skip
            yield no_go(part, "G110", f"{key}.outer_mm", (control.outer_mm, end, "mm"), params)
            continue
        if part.bay or control.outer_chord_mm is not None:
            yield from _hinge(part, bays[one.bay], one, board)
        yield from _horn(part, bays[one.bay], one)
        if part.tip == "cap" and control.outer_mm > half - board.thickness - LEAST_LAND_MM + AT:
            need = half - board.thickness - LEAST_LAND_MM
            params = {"outer": control.outer_mm, "need": floor_tenth(need)}
            yield no_go(part, "G118", f"{key}.outer_mm", (control.outer_mm, need, "mm"), params)


def _behind(bay: BayShape, s: float) -> float:
    """Least place of a hinge line at s: behind the double skin, mm behind the leading edge."""
    slant = 0.0 if bay.level else bay.t * sin(bay.mu)
    return bay.at(s).strip + bay.land + slant + LEAST_LAND_MM


def _hinge(part: FoldedWing, bay: BayShape, one: Placed, board: Board) -> Iterator[Finding]:
    """G29, G111: the hinge line lies behind the double skin; G119: what its bevel leaves at the outer end."""
    control = one.part
    outer_key = "outer_chord_mm" if control.outer_chord_mm is not None else "chord_mm"
    for code, s, name, chord in (
        ("G29", one.inner, "chord_mm", control.chord_mm), ("G111", one.outer, outer_key, one.outer_chord)
    ):  # fmt: skip
        here = bay.at(s)
        behind = _behind(bay, s)
        if here.chord - chord >= behind - 1e-9:
            continue
        need = here.chord - behind
        params: dict[str, Param] = {
            "chord": chord, "hinge": here.chord - chord, "strip": here.strip + bay.land,
            "need": floor_tenth(need), "local": here.chord,
        }  # fmt: skip
        yield no_go(part, code, f"control.{control.id}.{name}", (chord, need, "mm"), params)
    bevel = board.thickness * tan(radians(control.bevel_limit_deg))
    if one.outer_chord < bevel + LEAST_LAND_MM <= control.chord_mm:
        key = f"control.{control.id}.outer_chord_mm"
        params = {"bevel": bevel, "need": ceil_tenth(bevel + LEAST_LAND_MM)}
        yield no_go(part, "G119", key, (one.outer_chord, bevel + LEAST_LAND_MM, "mm"), params)


def _horn(part: FoldedWing, bay: BayShape, one: Placed) -> Iterator[Finding]:
    """G112: a balance horn leaves hinge beside it and keeps behind the double skin."""
    horn, gap = one.part.horn, one.part.end_gap_mm
    if horn is None:
        return
    key = f"control.{one.part.id}.horn"
    most = one.outer - one.inner - 2.0 * gap - 2.0 * LEAST_LAND_MM
    if horn.length_mm > most or horn.length_mm < gap + LEAST_LAND_MM:
        least = gap + LEAST_LAND_MM
        params: dict[str, Param] = {
            "what": "long", "got": horn.length_mm, "key": "length_mm",
            "low": ceil_tenth(least), "high": floor_tenth(max(most, 0.0)),
        }  # fmt: skip
        yield no_go(part, "G112", f"{key}.length_mm", (horn.length_mm, most, "mm"), params)
    for s in (one.outer - horn.length_mm - gap, one.outer):
        room = bay.at(s).chord - one.chord(s) - _behind(bay, s)
        if horn_room(horn.ahead_mm, bay.t, gap) > room + 1e-9:
            rest = max(room - gap, 0.0)
            high = (rest * rest - bay.t * bay.t) ** 0.5 if rest > bay.t else 0.0
            params = {
                "what": "ahead of the hinge", "got": horn.ahead_mm, "low": 0.0, "high": floor_tenth(high),
                "key": "ahead_mm",
            }  # fmt: skip
            yield no_go(part, "G112", f"{key}.ahead_mm", (horn.ahead_mm, high, "mm"), params)
            return


def check_crossed(part: FoldedWing, names: Sequence[str], drawn: Draft) -> tuple[Finding, ...]:
    """G116: panels of which nothing is left, because the lines on both sides of them cross."""
    found = []
    for name in names:
        first, _ = drawn.panels[name].cells
        bay = drawn.grid.cells[first].shape.number + 1
        params: dict[str, Param] = {"panel": name, "bay": bay}
        found.append(Finding("G116", "no-go", f"{part.id}.bay.{bay}", params))
    return tuple(found)


def check_joint(part: FoldedWing, bay: BayShape) -> tuple[Finding, ...]:
    """G109: the joint asked for at the centre makes a blank that lies on itself."""
    params: Mapping[str, Param] = {"asked": part.centre, "reason": reason(bay)}
    return (Finding("G109", "no-go", f"{part.id}.centre", params),)


def joint_notes(part: FoldedWing, bays: Sequence[BayShape], joints: Joints) -> tuple[Note, ...]:
    """G114, G115: what could not be joined, and how it is joined instead."""
    found = []
    if joints.refused:
        params: dict[str, Param] = {"refused": " and ".join(joints.refused), "centre": joints.centre}
        found.append(Note("G114", part.id, params))
    elif joints.centre == "two" and part.centre == "auto":
        found.append(Note("G114", part.id, {"refused": "one", "centre": "two"}))
    found += [
        Note("G115", part.id, {"bay": number + 1, "y": bays[number].plan.inner.y}) for number in joints.parted
    ]
    return tuple(found)


def washout_notes(part: FoldedWing, bays: Sequence[BayShape]) -> tuple[Note, ...]:
    """G113: the block under the trailing edge that warps a bay's washout in while the glue dries."""
    found = []
    for bay in bays:
        block, step = washout_block(bay)
        if abs(bay.plan.outer.washout) < radians(0.01):
            continue
        params: dict[str, Param] = {
            "bay": bay.number + 1, "y": round(bay.plan.outer.y, 1),
            "washout": round(degrees(bay.plan.outer.washout), 2),
            "block": round(abs(block), 1), "edge": "trailing" if block > 0.0 else "leading",
            "step": round(step, 1),
        }  # fmt: skip
        found.append(Note("G113", part.id, params))
    return tuple(found)
