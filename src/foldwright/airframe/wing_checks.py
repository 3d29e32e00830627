"""Findings of a folded wing: what has no solution, said with numbers and a cure."""

from __future__ import annotations

from collections.abc import Mapping
from math import degrees, isnan, radians, sin, tan

from foldwright.airframe.model import Board
from foldwright.airframe.wing_section import (
    Section,
    greatest_height,
    in_degrees,
    least_nose_strip,
    least_setback,
    least_strip_for,
)
from foldwright.base.finding import Finding, Param
from foldwright.design.parts import Control, FoldedWing

AFT_SLOPE_LIMIT_DEG = 30.0  # judgement: steeper and the flow leaves the ridge; editable by strip.aft_mm
LEAST_LAND_MM = 5.0  # common practice, no source: least part or bridge of foam board
LEAST_SPAR_MM = 5.0  # common practice, no source: least part of foam board


def check_wing(part: FoldedWing, section: Section, board: Board) -> tuple[Finding, ...]:
    """All findings of the root section and its controls, in one run.

    A wing with bays has slopes, spar heights and hinge places of its own in every bay (see
    `wing_bay_checks`).
    """
    found = [
        *_slopes(part, section),
        *_strip(part, section),
        *_nose(part, section),
        *_controls(part, section, board),
    ]
    return tuple(found)


def no_go(
    part: FoldedWing, code: str, key: str, judged: tuple[float, float, str], params: Mapping[str, Param]
) -> Finding:
    """A no-go about a key of a part, figures rounded to tenths; judged: value, limit and unit."""
    value, limit, unit = judged
    rounded = {name: round(item, 1) if isinstance(item, float) else item for name, item in params.items()}
    return Finding(code, "no-go", f"{part.id}.{key}", rounded, round(value, 3), round(limit, 3), unit)


def _slopes(part: FoldedWing, section: Section) -> list[Finding]:
    t, d, h = section.t, section.spar_x, section.height
    limit = radians(part.nose.slope_limit_deg)
    method, s = part.nose.method, part.nose.strip_height_mm
    found = []
    if part.bay and d >= 2.0 * t:
        return []
    if d < 2.0 * t:
        found.append(no_go(part, "G21", "spar.x_mm", (d, 2.0 * t, "mm"), {"d": d, "t": t, "least": 2.0 * t}))
    elif not section.alpha <= limit:
        lower = greatest_height(method, d, t, s, limit)
        back = least_setback(method, h, t, s, limit) - d
        asked = in_degrees(section.alpha)
        value = degrees(section.alpha) if section.alpha == section.alpha else 90.0
        params: dict[str, Param] = {
            "h": h,
            "d": d,
            "limit": part.nose.slope_limit_deg,
            "asked": asked if asked < 90 else "more than any slope gives",
            "lower": floor_tenth(lower),
            "back": ceil_tenth(back),
        }
        found.append(no_go(part, "G20", "spar.height_mm", (value, part.nose.slope_limit_deg, "deg"), params))
    elif section.alpha <= 0.0:
        found.append(no_go(part, "G22", "spar.height_mm", (h, t, "mm"), {"h": h}))
    width = part.spar.width_mm or t
    stands = h - width / 2.0 * tan(max(section.alpha, section.mu)) if section.mu == section.mu else h
    if section.mu == section.mu and section.alpha <= limit and stands < LEAST_SPAR_MM:
        need = h + LEAST_SPAR_MM - stands
        found.append(
            no_go(
                part,
                "G23",
                "spar.height_mm",
                (stands, LEAST_SPAR_MM, "mm"),
                {"stands": stands, "need": ceil_tenth(need), "least": LEAST_SPAR_MM},
            )
        )
    return found


def floor_tenth(value: float) -> float:
    """Rounded down to 0.1."""
    return int(value * 10.0) / 10.0


def ceil_tenth(value: float) -> float:
    """Rounded up to 0.1; 0 for what is negative."""
    return -int(-value * 10.0 - 0.999999) / 10.0 if value > 0 else 0.0


def _strip(part: FoldedWing, section: Section) -> list[Finding]:
    d, aft, h = section.spar_x, section.strip_aft, section.height
    found = []
    limit = radians(AFT_SLOPE_LIMIT_DEG)
    least = d + h / tan(limit)
    if aft <= d + (part.spar.width_mm or section.t) / 2.0 + LEAST_LAND_MM:
        need = max(least, d + (part.spar.width_mm or section.t) / 2.0 + LEAST_LAND_MM)
        found.append(
            no_go(
                part, "G24", "strip.aft_mm", (aft, need, "mm"), {"aft": aft, "d": d, "need": ceil_tenth(need)}
            )
        )
    elif section.mu > limit and not part.bay:
        found.append(
            no_go(
                part,
                "G25",
                "strip.aft_mm",
                (degrees(section.mu), AFT_SLOPE_LIMIT_DEG, "deg"),
                {
                    "asked": degrees(section.mu),
                    "limit": AFT_SLOPE_LIMIT_DEG,
                    "need": ceil_tenth(least),
                    "lower": floor_tenth((aft - d) * tan(limit)),
                },
            )
        )
    land = part.strip.land_mm if part.strip.runs_on else 0.0
    end = aft + land
    room = section.chord - end
    if room < LEAST_LAND_MM:
        found.append(
            no_go(
                part,
                "G26",
                "strip.aft_mm",
                (end, section.chord - LEAST_LAND_MM, "mm"),
                {"end": end, "chord": section.chord},
            )
        )
    if part.strip.runs_on and part.trailing.kind != "level":
        found.append(no_go(part, "G27", "strip.runs_on", (land, 0.0, "mm"), {}))
    return found


def _nose(part: FoldedWing, section: Section) -> list[Finding]:
    if part.bay or section.nose != "two_fold" or section.alpha != section.alpha:
        return []
    if section.nose_height >= least_nose_strip(section.alpha, section.t) - 1e-9:
        return []
    least = least_strip_for(section.spar_x, section.height, section.t)
    return [
        no_go(
            part,
            "G28",
            "nose.strip_height_mm",
            (section.nose_height, least, "mm"),
            {"s": section.nose_height, "need": ceil_tenth(least)},
        )
    ]


def _controls(part: FoldedWing, section: Section, board: Board) -> list[Finding]:
    found: list[Finding] = []
    for control in part.control:
        found += [] if part.bay else _hinge_place(part, section, control)
        found += _travel(part, control)
        found += _outer_end(part, control)
        found += _length(part, control)
        found += _bevel(part, control, board)
    return found


def _hinge_place(part: FoldedWing, section: Section, control: Control) -> list[Finding]:
    """G29: the hinge line lies behind the double skin."""
    strip = section.strip_aft + (part.strip.land_mm if part.strip.runs_on else 0.0)
    slant = 0.0 if part.trailing.kind == "level" else section.t * sin(max(section.mu, 0.0))
    behind = strip + slant + LEAST_LAND_MM
    fore = section.chord - control.chord_mm
    if isnan(section.mu) or fore >= behind:
        return []
    need = section.chord - behind
    params = {"chord": control.chord_mm, "hinge": fore, "strip": strip, "need": floor_tenth(need)}
    key = f"control.{control.id}.chord_mm"
    return [no_go(part, "G29", key, (control.chord_mm, need, "mm"), params)]


def _travel(part: FoldedWing, control: Control) -> list[Finding]:
    """G30: the hinge bevel clears the travel toward the side it closes on."""
    clears = control.bevel_limit_deg
    most = control.down_deg if control.hinge_face == "a" else control.up_deg
    if most <= clears + 1e-9:
        return []
    key = f"control.{control.id}.bevel_limit_deg"
    return [no_go(part, "G30", key, (most, clears, "deg"), {"asked": most, "clears": clears})]


def _outer_end(part: FoldedWing, control: Control) -> list[Finding]:
    """G31: a control ends on the wing."""
    half = part.span_mm / 2.0
    if control.outer_mm <= half + 1e-9:
        return []
    key = f"control.{control.id}.outer_mm"
    return [no_go(part, "G31", key, (control.outer_mm, half, "mm"), {"half": half})]


def _bevel(part: FoldedWing, control: Control, board: Board) -> list[Finding]:
    """G32: what the hinge bevel leaves of the control's chord."""
    bevel = board.thickness * tan(radians(control.bevel_limit_deg))
    if bevel <= control.chord_mm - LEAST_LAND_MM:
        return []
    key = f"control.{control.id}.chord_mm"
    return [no_go(part, "G32", key, (control.chord_mm, bevel + LEAST_LAND_MM, "mm"), {"bevel": bevel})]


def _length(part: FoldedWing, control: Control) -> list[Finding]:
    """G33: what a control's end gaps leave of it."""
    run = control.outer_mm - control.inner_mm
    left = run - 2.0 * control.end_gap_mm
    if left >= LEAST_LAND_MM - 1e-9:
        return []
    params: dict[str, Param] = {
        "gap": control.end_gap_mm,
        "left": left,
        "need": ceil_tenth(control.outer_mm + LEAST_LAND_MM - left),
        "less": max(0.0, floor_tenth((run - LEAST_LAND_MM) / 2.0)),
    }
    key = f"control.{control.id}.outer_mm"
    return [no_go(part, "G33", key, (left, LEAST_LAND_MM, "mm"), params)]
