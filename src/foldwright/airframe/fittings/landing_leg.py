"""A landing leg: a curved strip with a pad on the body and a rounded toe, in place of a `[[leg]]`'s wire."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import acos, asin, ceil, cos, degrees, floor, pi, radians, sqrt

import numpy as np
import shapely

from foldwright.airframe.fitting import FittingBuild, Site
from foldwright.airframe.fitting_model import SOLID, Fitting
from foldwright.airframe.fitting_places import Stand, face_area, panels_near, roof_over
from foldwright.airframe.model import Airframe, Direction, MarkRequest, Note
from foldwright.base.finding import Finding, Param
from foldwright.base.types import FloatArray
from foldwright.design.equipment import Leg
from foldwright.design.fittings import LandingLeg
from foldwright.geometry.transform import apply, inverse, shift

MODEL = LandingLeg
NEAR_MM = 3.0
"""[judgement] a leg's place this near to board is meant to be on it, as review has it."""
TOUCH_MM = 0.5
"""[judgement] a gap that glue fills."""
FLAT_DEG = 2.0
"""[judgement] over a pad 12 mm wide this leaves 0.4 mm for glue."""
SCREW_MM = 3.0
"""Hole for a screw of 2.5 mm. [judgement]"""
SCREW_G = 0.4
"""One such screw, steel, 10 mm long (from its volume)."""
BEND = 2.0
"""Least radius of the bend's middle line, in thicknesses of the strip. [judgement]"""
CHAMFER_MM = 1.5
"""Of the toe's edges, at 45 degrees, so that grass and the printer's bed both get along. [judgement]"""
TWO_MM = 14.0
"""A pad this long takes two screws. [judgement]"""
SPLAY = 1.0
"""[judgement] a toe stands no further outboard of its pad than this many times the leg's length."""
_STEPS = 24
_CORNERS = ((0.0, 0.0), (0.0, 1.0), (1.0, 1.0), (1.0, 0.0))
_PROBES = 9
_BARE = 0.005


@dataclass(frozen=True, slots=True)
class LegShape:
    """A leg. Frame: origin on the board's face where the strip leaves the pad; x aft, z up, y outboard times
    `hand` (+1 right, -1 left). The strip's middle line lies in x = 0.

    upright: the pad stands against a side panel, and the strip leaves it downward; else it lies under a floor
    and the strip leaves it outboard. spread, drop: of the toe's lowest point. holes: screws in the pad.
    """

    hand: float
    upright: bool
    thick: float
    wide: float
    foot: float
    spread: float
    drop: float
    holes: int

    @property
    def toe(self) -> float:
        """Diameter of the toe."""
        return 2.0 * self.thick

    @property
    def reach(self) -> tuple[float, float]:
        """How far the middle line goes on in the pad's direction, and square to it, to the toe's middle."""
        half = self.thick / 2.0
        if self.upright:
            return self.drop - self.toe / 2.0, self.spread - half
        return self.spread, self.drop - self.toe / 2.0 - half

    @property
    def bend(self) -> tuple[float, float, float]:
        """Radius and turn (rad) of the arc, and length of the straight line after it.

        One arc, tangent to the pad: R = (a² + c²) / 2c, a = R sin φ; where that would turn past a right
        angle, a quarter circle of radius a and a straight line (first principles).
        """
        along, across = self.reach
        if along >= across:
            radius = (along * along + across * across) / (2.0 * across)
            return radius, asin(min(1.0, along / radius)), 0.0
        return along, pi / 2.0, across - along

    @property
    def length(self) -> float:
        """Of the middle line, pad and all."""
        radius, turn, straight = self.bend
        return self.foot + radius * turn + straight

    def middle(self, steps: int = _STEPS) -> FloatArray:
        """Middle line (n, 2) in y (outboard, hand left out) and z, from the pad's end to the toe's middle."""
        radius, turn, straight = self.bend
        turns = np.linspace(0.0, turn, steps + 1)
        along, across = radius * np.sin(turns), radius * (1.0 - np.cos(turns))
        if straight > 0.0:
            along, across = np.append(along, along[-1]), np.append(across, across[-1] + straight)
        along, across = np.append(-self.foot, along), np.append(0.0, across)
        half = self.thick / 2.0
        if self.upright:
            return np.column_stack([across + half, -along])
        return np.column_stack([along, -across - half])

    @property
    def volume(self) -> float:
        """Strip, toe less what the strip fills of it, less the holes, mm³."""
        r, half = self.toe / 2.0, self.thick / 2.0
        c = CHAMFER_MM
        round_ = pi * r * r * (self.wide - 2.0 * c) + 2.0 * pi * c / 3.0 * (
            r * r + r * (r - c) + (r - c) ** 2
        )
        # ∫√(r² - y²) dy over the strip's thickness
        shared = half * sqrt(r * r - half * half) + r * r * asin(half / r)
        holes = self.holes * pi / 4.0 * SCREW_MM**2 * self.thick
        return self.length * self.thick * self.wide + round_ - shared * self.wide - holes

    @property
    def surface(self) -> float:
        """Faces of the strip and skin of the toe, mm²."""
        return 2.0 * self.length * (self.thick + self.wide) + pi * self.toe * self.wide

    @property
    def box(self) -> tuple[tuple[float, float, float], tuple[float, float, float]]:
        """Least and greatest corner."""
        line = self.middle()
        half, r = self.thick / 2.0, self.toe / 2.0
        ys = [float(line[:, 0].min()), float(line[:, 0].max()) + half, float(line[-1, 0]) + r]
        ys.append(0.0 if self.upright else -self.foot)
        ends = sorted((self.hand * min(ys), self.hand * max(ys)))
        top = self.foot if self.upright else 0.0
        return (-self.wide / 2.0, ends[0], -self.drop), (self.wide / 2.0, ends[1], top)

    @property
    def spots(self) -> tuple[float, ...]:
        """Distances of the screws from where the strip leaves the pad."""
        return tuple(self.foot * (k + 0.5) / self.holes for k in range(self.holes))

    @property
    def spine(self) -> FloatArray:
        """(n, 3) middle line with the hand, along which its mass lies evenly."""
        line = self.middle(8)
        return np.column_stack([np.zeros(len(line)), self.hand * line[:, 0], line[:, 1]])


def build(fitting: LandingLeg, site: Site) -> FittingBuild:
    """The leg, or its right and left hand; P60-P65 where it cannot be."""
    where = f"fitting.{fitting.id}"
    leg = next((one for one in site.design.leg if one.id == fitting.leg), None)
    if leg is None:
        known = ", ".join(one.id for one in site.design.leg) or "none"
        return FittingBuild(findings=(_p61(
            f"{where}.leg", f"There is no [[leg]] of id {fitting.leg}", "none",
            f"Write the id of a [[leg]] ({known})",
        ),))  # fmt: skip
    found = _sizes(fitting, leg, site, where)
    sides = (("/right", 1.0), ("/left", -1.0)) if leg.mirrored else (("", 1.0 if leg.y_mm >= 0.0 else -1.0),)
    stands = [_on(site.airframe, leg, hand, fitting) for _, hand in sides]
    lost = next((stand for stand in stands if isinstance(stand, Finding)), None)
    if lost is not None:
        return FittingBuild(findings=(*found, lost))
    ready = [stand for stand in stands if not isinstance(stand, Finding)]
    if found:
        return FittingBuild(findings=tuple(found))
    flat = _splayed(fitting, leg, where)
    made, guides = [], []
    for (tail, hand), (stand, upright) in zip(sides, ready, strict=True):
        shape = _shape(fitting, leg, hand, stand, upright)
        one = _made(fitting, leg, site, tail, shape, stand)
        found += _lies(one, shape, leg, stand)
        made.append(one)
        guides.append(_guide(one, shape, stand))
    if found:
        return FittingBuild(findings=tuple(found[:1]))
    return FittingBuild(tuple(made), flat, tuple(guides), (_note(fitting, shape, stand),), (leg.id,))


def _sizes(fitting: LandingLeg, leg: Leg, site: Site, where: str) -> list[Finding]:
    """P60, P63, P64: what its own numbers do not allow."""
    found = []
    if fitting.infill_pct is not None and fitting.infill_pct < 100.0:
        facts: dict[str, Param] = {"leg": leg.id, "got": fitting.infill_pct, "cure": "Take infill_pct out"}
        found.append(Finding("P60", "no-go", f"{where}.infill_pct", facts, fitting.infill_pct, 100.0, "%"))
    lines = 2.0 * site.printer.line_mm
    toe = 2.0 * fitting.thick_mm
    checks = (
        ("thick_mm", fitting.thick_mm, lines,
         f"The strip is {fitting.thick_mm:g} mm thick, less than two lines"),
        ("spread_mm", fitting.spread_mm, BEND * fitting.thick_mm,
         f"A toe {fitting.spread_mm:g} mm outboard bends the strip more tightly than {BEND:g} thicknesses"),
        ("wide_mm", fitting.wide_mm, max(SCREW_MM + 3.0, 2.0 * CHAMFER_MM + 1.0),
         f"A strip {fitting.wide_mm:g} mm wide has no room for its screws and toe"),
        ("foot_mm", fitting.foot_mm, SCREW_MM + 5.0,
         f"A pad {fitting.foot_mm:g} mm long has no room for a screw"),
    )  # fmt: skip
    for key, got, need, how in checks:
        if got < need - 1e-9:
            facts = {"how": how, "need": ceil(need * 10.0 - 1e-6) / 10.0, "got": got}
            found.append(Finding("P64", "no-go", f"{where}.{key}", facts, got, need, "mm"))
    least = toe + fitting.thick_mm / 2.0 + BEND * fitting.thick_mm
    if leg.long_mm < least:
        how = f"The leg {leg.id} reaches down {leg.long_mm:g} mm: too short for its bend and toe"
        facts = {"how": how, "need": ceil(least * 10.0) / 10.0, "got": leg.long_mm}
        found.append(Finding("P64", "no-go", f"leg.{leg.id}.long_mm", facts, leg.long_mm, least, "mm"))
    return found


def _splayed(fitting: LandingLeg, leg: Leg, where: str) -> tuple[Finding, ...]:
    """P115: a toe further outboard than the leg is long."""
    if fitting.spread_mm <= leg.long_mm * SPLAY + 1e-9:
        return ()
    most = floor(leg.long_mm * SPLAY)
    facts: dict[str, Param] = {"leg": leg.id, "got": fitting.spread_mm, "drop": leg.long_mm, "most": most}
    return (Finding("P115", "watch", f"{where}.spread_mm", facts, fitting.spread_mm, float(most), "mm"),)


def _on(airframe: Airframe, leg: Leg, hand: float, fitting: LandingLeg) -> tuple[Stand, bool] | Finding:
    """The face that the leg is fixed to and whether it stands upright; P61 or P65 where there is none."""
    x, y, z = leg.x_mm, hand * abs(leg.y_mm), leg.z_mm
    inner = y - hand * fitting.foot_mm / 2.0
    for at in (inner, y):
        roof = roof_over(airframe, x, at, z - NEAR_MM)
        if roof is not None and abs(roof.height - z) <= NEAR_MM:
            return _level(roof, leg, z)
    beside = [
        (gap, stand)
        for gap, stand in panels_near(airframe, (x, y, z), NEAR_MM)
        if float(stand.frame[:3, 2] @ np.array([0.0, hand, 0.0])) > cos(radians(FLAT_DEG))
    ]
    if beside:
        gap, stand = beside[0]
        if gap <= TOUCH_MM:
            return stand, True
        side = round(abs(float(stand.frame[1, 3])), 1)
        return _p61(f"leg.{leg.id}.y_mm", f"The leg {leg.id} lies {gap:.1f} mm off the side of the body",
                    f"{gap:.1f} mm", f"Set leg.{leg.id}.y_mm to {side:g}")  # fmt: skip
    roof = roof_over(airframe, x, inner, z - NEAR_MM) or roof_over(airframe, x, inner, -1e4)
    if roof is None:
        return _p61(f"leg.{leg.id}.x_mm", f"There is no board over the leg {leg.id}", "none",
                    f"Move leg.{leg.id}.x_mm and y_mm under the body")  # fmt: skip
    return _level(roof, leg, z)


def _level(roof: Stand, leg: Leg, z: float) -> tuple[Stand, bool] | Finding:
    slope = degrees(acos(min(1.0, -float(roof.frame[2, 2]))))
    off = roof.height - z
    if abs(off) > TOUCH_MM:
        way = "below" if off > 0.0 else "above"
        how = f"The leg {leg.id} is fixed {abs(off):.1f} mm {way} the under face of {roof.blank}"
        cure = f"Set leg.{leg.id}.z_mm to {roof.height:.1f}"
        return _p61(f"leg.{leg.id}.z_mm", how, f"{abs(off):.1f} mm", cure)
    if slope > FLAT_DEG:
        facts: dict[str, Param] = {"leg": leg.id, "slope": round(slope, 1), "most": FLAT_DEG}
        return Finding("P65", "no-go", f"leg.{leg.id}.x_mm", facts, slope, FLAT_DEG, "deg")
    return roof, False


def _p61(where: str, how: str, got: str, cure: str) -> Finding:
    return Finding("P61", "no-go", where, {"how": how, "got": got, "cure": cure}, None, TOUCH_MM, "mm")


def _shape(fitting: LandingLeg, leg: Leg, hand: float, stand: Stand, upright: bool) -> LegShape:
    drop = leg.long_mm if upright else leg.long_mm + stand.height - leg.z_mm
    return LegShape(
        hand, upright, fitting.thick_mm, fitting.wide_mm, fitting.foot_mm, fitting.spread_mm, drop,
        2 if fitting.foot_mm >= TWO_MM else 1,
    )  # fmt: skip


def _made(fitting: LandingLeg, leg: Leg, site: Site, tail: str, shape: LegShape, stand: Stand) -> Fitting:
    radius, turn, straight = shape.bend
    face = leg.z_mm if shape.upright else stand.height
    side = tail.replace("/", ", ")
    return Fitting(
        f"{fitting.id}{tail}", fitting.kind, f"landing leg {leg.id}{side}", shape,
        shift(leg.x_mm, shape.hand * abs(leg.y_mm), face), replace(site.printed(fitting), infill=SOLID),
        extra_g=SCREW_G * shape.holes, blank=stand.blank,
        figures={
            "radius_mm": round(radius, 2), "turn_deg": round(degrees(turn), 2),
            "arc_mm": round(radius * turn, 2), "straight_mm": round(straight, 2),
            "length_mm": round(shape.length, 2), "thick_mm": shape.thick, "wide_mm": shape.wide,
        },
        spine=shape.spine,
    )  # fmt: skip


def _lies(one: Fitting, shape: LegShape, leg: Leg, stand: Stand) -> list[Finding]:
    """P62: the pad past its board or over a hole; P63: two pads of a pair that meet."""
    where, foot = f"fitting.{one.id.partition('/')[0]}", one.placement[:3, 3]
    if leg.mirrored and not shape.upright and shape.foot > abs(leg.y_mm):
        most = float(np.floor(abs(leg.y_mm)))
        facts: dict[str, Param] = {
            "leg": leg.id, "over": round(2.0 * (shape.foot - abs(leg.y_mm)), 1), "most": most,
            "foot": shape.foot,
        }  # fmt: skip
        return [Finding("P63", "no-go", f"{where}.foot_mm", facts, shape.foot, most, "mm")]
    board = face_area(stand.placed, stand.panel.name, stand.face)
    back = inverse(stand.frame)

    def held(start: float, stop: float) -> float:
        """Share of the pad between two shares of its length that has board."""
        corners = [(start, 0.0), (start, 1.0), (stop, 1.0), (stop, 0.0)]
        pad = shapely.Polygon(
            apply(back, np.array([foot + _pad_at(shape, *corner) for corner in corners]))[:, :2]
        )
        return float(pad.intersection(board).area / pad.area)

    off = 1.0 - held(0.0, 1.0)
    if off <= _BARE:
        return []
    rows = [held(k / _PROBES, (k + 1) / _PROBES) > 1.0 - _BARE for k in range(_PROBES)]
    facts = {
        "leg": leg.id, "foot": shape.foot, "wide": shape.wide, "off": ceil(off * 100.0),
        "board": stand.blank, "cure": _pad_cure(rows, shape, leg, where),
    }  # fmt: skip
    return [Finding("P62", "no-go", where, facts, off * 100.0, 0.0, "%")]


def _pad_at(shape: LegShape, along: float, aside: float) -> FloatArray:
    """A point of the pad's face: share of its length from where the strip leaves it, share of its width."""
    x, away = (aside - 0.5) * shape.wide, along * shape.foot
    return np.array([x, 0.0, away] if shape.upright else [x, -shape.hand * away, 0.0])


def _pad_cure(rows: Sequence[bool], shape: LegShape, leg: Leg, where: str) -> str:
    """What would bring the pad on to board: a shorter one, or one further in."""
    step = shape.foot / len(rows)
    bare = rows.index(True) if True in rows else len(rows)
    if 0 < bare < len(rows) and not shape.upright:
        inward = ceil(bare * step)
        return f"Set leg.{leg.id}.y_mm to {abs(leg.y_mm) - inward:g}, or widen the body there"
    good = next((k for k, held in enumerate(rows) if not held), len(rows))
    if rows[0] and good * step >= SCREW_MM + 5.0:
        return f"Set {where}.foot_mm to {int(good * step)}"
    return f"Move leg.{leg.id}.x_mm and y_mm to where the board is whole"


def _guide(one: Fitting, shape: LegShape, stand: Stand) -> MarkRequest:
    """The pad's outline on the face that it is glued to."""
    looking: Direction = "+z" if not shape.upright else ("-y" if shape.hand > 0.0 else "+y")
    corners = [_pad_at(shape, *at) + one.placement[:3, 3] for at in _CORNERS]
    ring = tuple((float(x), float(y), float(z)) for x, y, z in (*corners, corners[0]))
    return MarkRequest(one.id, stand.blank, looking, ring, stand.face, 0.0)


def _note(fitting: LandingLeg, shape: LegShape, stand: Stand) -> Note:
    how = "against the side of the body" if shape.upright else "under the body"
    return Note("P69", stand.blank, {"fitting": fitting.id, "how": how, "screws": shape.holes})
