"""Payload carriers: a carrier that slides on a tray's rail under the payload and is locked by a pin."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import ceil, dist, floor, pi

import numpy as np

from foldwright.airframe.fitting import FittingBuild, Site
from foldwright.airframe.fitting_model import SOLID, Fitting, Shape
from foldwright.airframe.fitting_places import floor_under, free_across, free_along
from foldwright.airframe.fittings.payload_shape import CarrierShape, PinShape, Rail, TrayShape
from foldwright.airframe.model import Direction, MarkRequest, Note
from foldwright.base.finding import Finding, Param
from foldwright.base.types import FloatArray
from foldwright.design.fittings import PayloadCarrier
from foldwright.geometry.transform import shift, turn

MODEL = PayloadCarrier

HIGH_MM = 25.0
"""[judgement] a rail higher than this above the floor tips over."""
_ALONG: tuple[Direction, Direction] = ("-x", "+x")
AIR_MM = 0.3
"""Between the carrier and board, mm."""
INNER_SHARE = 0.35
"""Floor and walls are measured over this share of the payload's length to either side of its middle; what
stands across the body nearer to its ends is judged along the body."""
HEAD_MM = 2.0
"""Thickness of the pin's head."""


@dataclass(frozen=True, slots=True)
class _Load:
    """What is carried: mass g, size and middle mm, key path that places it, centre of mass mm."""

    name: str
    mass: float
    size: tuple[float, float, float]
    place: tuple[float, float, float]
    where: str
    centre: tuple[float, float, float]


def build(fitting: PayloadCarrier, site: Site) -> FittingBuild:
    """Carrier, tray and pin, or what is in their way."""
    load = _load(fitting, site)
    where = f"fitting.{fitting.id}"
    if load is None:
        return FittingBuild(findings=(Finding("P19", "no-go", f"{where}.holds", {"holds": fitting.holds}),))
    found = list(_too_heavy(fitting, load))
    height = _floor(site, load)
    if height is None:
        params: dict[str, Param] = {"holds": fitting.holds}
        return FittingBuild(findings=(*found, Finding("P19", "no-go", load.where, params)))
    rail = _rail(fitting, site, load, height)
    found += _low(load, rail, height, fitting)
    wide = _across(site, load, rail, height)
    found += _narrow(load, rail, wide, fitting)
    way, more = _along(site, load, rail, (height, wide))
    found += more
    if any(one.verdict == "no-go" for one in found):
        return FittingBuild(findings=tuple(found))
    guides = _guides(site, load, rail, way)
    made = _made(fitting, site, load, rail, (height, way))
    return FittingBuild(made, tuple(found), guides, _notes(fitting, rail, way))


def _load(fitting: PayloadCarrier, site: Site) -> _Load | None:
    """The piece of equipment, or the payload bay with what it holds."""
    own = {item.id for item in site.workshop.fit.equipment}
    table = "fit.equipment" if fitting.holds in own else "equipment"
    for item in site.fitted.placed(fitting.holds):
        place = item.place_mm
        return _Load(item.item, item.mass_g, item.size_mm, place, f"{table}.{fitting.holds}", place)
    for bay in site.design.bay:
        if bay.id == fitting.holds:
            place = (bay.x_mm, bay.y_mm, bay.z_mm)
            held = [(one.mass_g, one.place_mm) for name in bay.holds for one in site.fitted.placed(name)]
            mass = sum(grams for grams, _ in held)
            return _Load(bay.id, mass, bay.size_mm, place, f"bay.{bay.id}", _centre(held, place))
    return None


def _centre(
    held: list[tuple[float, tuple[float, float, float]]], place: tuple[float, float, float]
) -> tuple[float, float, float]:
    """Where what a bay holds has its centre; the bay's middle where it weighs nothing."""
    mass = sum(grams for grams, _ in held)
    if mass <= 0.0:
        return place
    x, y, z = (sum(grams * at[axis] for grams, at in held) / mass for axis in range(3))
    return x, y, z


def _too_heavy(fitting: PayloadCarrier, load: _Load) -> Iterator[Finding]:
    if load.mass > fitting.most_g:
        figures: dict[str, Param] = {
            "holds": fitting.holds, "mass": round(load.mass, 1), "most": fitting.most_g,
            "over": round(load.mass - fitting.most_g, 1), "id": fitting.id, "need": ceil(load.mass),
        }  # fmt: skip
        yield Finding(
            "P18", "no-go", f"fitting.{fitting.id}.most_g", figures, round(load.mass, 1), fitting.most_g, "g"
        )


def _floor(site: Site, load: _Load) -> float | None:
    """Highest point of the floor under the payload, z; None where there is none."""
    x, y, z = load.place
    reach = INNER_SHARE * load.size[0]
    spots = ((at, y, z) for at in (x - reach, x, x + reach))
    found = [floor_under(site.airframe, *spot, skip=site.airframe.loose) for spot in spots]
    heights = [stand.height for stand in found if stand is not None]
    return max(heights) if len(heights) == len(found) else None


def _rail(fitting: PayloadCarrier, site: Site, load: _Load, height: float) -> Rail:
    play = site.printer.clearance_mm
    inside = (load.size[0] + 2.0 * play, load.size[1] + 2.0 * play)
    flat = Rail(inside, fitting.floor_mm, fitting.wall_mm, 0.0, fitting.pin_mm, play)
    lift = load.place[2] - load.size[2] / 2.0 - height - flat.stack
    return Rail(inside, fitting.floor_mm, fitting.wall_mm, max(0.0, lift), fitting.pin_mm, play)


def _misfit(load: _Load, key: str, way: str, have: float, need: float, cure: str) -> Finding:
    """P17: there is too little room in one direction."""
    figures: dict[str, Param] = {
        "holds": load.name, "way": way, "have": round(have, 1), "need": round(need, 1),
        "cure": cure,
    }  # fmt: skip
    return Finding("P17", "no-go", f"{load.where}.{key}", figures, round(have, 2), round(need, 2), "mm")


def _low(load: _Load, rail: Rail, height: float, fitting: PayloadCarrier) -> Iterator[Finding]:
    """The payload stands too low for tray and carrier, or too high above the floor."""
    have = load.place[2] - load.size[2] / 2.0 - height
    if have < rail.stack - 0.005:
        z = ceil((load.place[2] + rail.stack - have) * 10.0 - 1e-6) / 10.0
        cure = f"Set {load.where}.z_mm to {z:g}, or make fitting.{fitting.id}.floor_mm thinner"
        yield _misfit(load, "z_mm", "below it", have, rail.stack, cure)
    elif rail.lift > HIGH_MM:
        z = floor((load.place[2] - rail.lift + HIGH_MM) * 10.0) / 10.0
        yield _misfit(load, "z_mm", "less below it", have, HIGH_MM, f"Set {load.where}.z_mm to {z:g} or less")


def _across(site: Site, load: _Load, rail: Rail, height: float) -> float:
    """Width that is free about the payload's middle, mm."""
    x, y, _ = load.place
    reach = INNER_SHARE * load.size[0]
    low = (x - reach, y - 0.5, height + 0.3)
    high = (x + reach, y + 0.5, height + rail.stack + rail.wall)
    left, right = free_across(site.airframe, low, high, site.airframe.loose)
    return 2.0 * min(y - left, right - y)


def _narrow(load: _Load, rail: Rail, have: float, fitting: PayloadCarrier) -> Iterator[Finding]:
    """The body is too narrow for the carrier."""
    need = 2.0 * (rail.half_wide + AIR_MM)
    if have < need - 0.005:
        lack = need - have
        thin = floor((fitting.floor_mm - lack / 2.0) * 10.0 + 1e-6) / 10.0
        thinner = f", or set fitting.{fitting.id}.floor_mm to {thin:g}" if thin >= 0.9 else ""
        cure = f"Make the body {ceil(lack * 10.0 - 1e-6) / 10.0:g} mm wider there{thinner}"
        yield _misfit(load, "y_mm", "across", have, need, cure)


def _along(site: Site, load: _Load, rail: Rail, have: tuple[float, float]) -> tuple[float, list[Finding]]:
    """+1 where the tab goes behind the payload, -1 where ahead of it; findings where neither has room.

    have: height of the floor and width between the walls.
    """
    x, y, _ = load.place
    height, wide = have
    half = max(0.5, min(rail.half_wide, wide / 2.0 - 0.05))
    low = (x - 0.5, y - half, height + 0.3)
    high = (x + 0.5, y + half, height + rail.stack + rail.wall)
    ahead, behind = (free_along(site.airframe, low, high, way, site.airframe.loose) + 0.5 for way in _ALONG)
    plain = rail.half_long + AIR_MM
    tabbed = plain + rail.tab + rail.travel
    for way, before, after in ((1.0, ahead, behind), (-1.0, behind, ahead)):
        if before >= plain - 0.005 and after >= tabbed - 0.005:
            return way, []
    if ahead + behind >= plain + tabbed:
        return 1.0, [_shifted(load, (ahead, behind), (plain, tabbed))]
    lack = ceil((plain + tabbed - ahead - behind) * 2.0 - 1e-6) / 2.0
    cure = (
        f"Keep {lack:g} mm more free of board: let what stands behind it begin at x ="
        f" {x - ahead + plain + tabbed:.1f} or later and set {load.where}.x_mm to {x - ahead + plain:.1f}"
    )
    return 1.0, [_misfit(load, "x_mm", "along the body", ahead + behind, plain + tabbed, cure)]


def _shifted(load: _Load, free: tuple[float, float], need: tuple[float, float]) -> Finding:
    """P17 where moving the payload along is enough; the tab goes behind. free, need: ahead, behind."""
    (ahead, behind), (plain, tabbed), x = free, need, load.place[0]
    fore = ahead < plain
    wanted = x + (plain - ahead if fore else behind - tabbed)
    step = ceil(wanted * 2.0 - 1e-6) / 2.0 if fore else floor(wanted * 2.0 + 1e-6) / 2.0
    cure = (
        f"Set {load.where}.x_mm to {step:g}: {ahead:.1f} mm are free ahead of its middle, {behind:.1f} behind"
    )
    if fore:
        return _misfit(load, "x_mm", "ahead of its middle", ahead, plain, cure)
    return _misfit(load, "x_mm", "behind its middle", behind, tabbed, cure)


def _made(
    fitting: PayloadCarrier, site: Site, load: _Load, rail: Rail, spot: tuple[float, float]
) -> tuple[Fitting, ...]:
    """The three fittings in their places. spot: height of the floor, way of the tab."""
    height, way = spot
    x, y, _ = load.place
    place = shift(x, y, height)
    if way < 0.0:
        place = place @ turn(np.zeros(3), np.array([0.0, 0.0, 1.0]), pi)
    pin = PinShape(fitting.pin_mm, rail.stack - 0.4, rail.tab - 2.0 * AIR_MM, HEAD_MM)
    home = place @ shift(rail.pin_x, 0.0, rail.stack)
    printed, solid = site.printed(fitting), site.printed(fitting, SOLID)
    figures = {
        "payload_g": load.mass, "payload_long_mm": load.size[0], "payload_wide_mm": load.size[1],
        "payload_high_mm": load.size[2], "nut_g": fitting.nut_g, "nut_across_mm": fitting.nut_mm[0],
        "nut_high_mm": fitting.nut_mm[1], "dummy": float(fitting.dummy), "stack_mm": rail.stack,
        "payload_x_mm": load.centre[0], "payload_y_mm": load.centre[1], "payload_z_mm": load.centre[2],
        "payload_off_mm": dist(load.centre, load.place),
    }  # fmt: skip

    def one(tail: str, title: str, shape: Shape, at: FloatArray, whole: bool) -> Fitting:
        settings = solid if whole else printed
        own = figures if not tail else {"stack_mm": rail.stack}
        return Fitting(fitting.id + tail, fitting.kind, title, shape, at, settings, 0.0, "", own)

    return (
        one("", "payload carrier", CarrierShape(rail), place, False),
        one("/tray", "payload tray", TrayShape(rail), place, True),
        one("/pin", "locking pin", pin, home, True),
    )


def _guides(site: Site, load: _Load, rail: Rail, way: float) -> tuple[MarkRequest, ...]:
    """Where the tray is glued: its middle line and both its ends, on the floor."""
    x, y, z = load.place
    stand = floor_under(site.airframe, x, y, z, skip=site.airframe.loose)
    if stand is None:
        return ()
    ends = (x - way * rail.half_long, x + way * (rail.half_long + rail.tab))
    lines = [((ends[0], y, 0.0), (ends[1], y, 0.0))]
    lines += [((end, y - rail.crown, 0.0), (end, y + rail.crown, 0.0)) for end in ends]
    return tuple(MarkRequest("payload-tray", stand.blank, "-z", line, stand.face, 0.0) for line in lines)


def _notes(fitting: PayloadCarrier, rail: Rail, way: float) -> tuple[Note, ...]:
    """How it is put in."""
    params: dict[str, Param] = {
        "id": fitting.id, "holds": fitting.holds, "travel": round(rail.travel),
        "tab": "aft" if way > 0 else "forward", "home": "forward" if way > 0 else "aft",
    }  # fmt: skip
    return (Note("P29", fitting.id, params),)
