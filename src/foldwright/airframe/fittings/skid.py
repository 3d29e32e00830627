"""A skid: a runner glued under a body's floor, split where the floor bends or the printer's bed ends."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil, hypot, pi

import numpy as np
import shapely

from foldwright.airframe.fitting import FittingBuild, Site
from foldwright.airframe.fitting_model import Fitting
from foldwright.airframe.fitting_places import LEVEL, Stand, area_of, face_area, face_frame
from foldwright.airframe.model import Airframe, MarkRequest, Note
from foldwright.base.finding import Finding, Param
from foldwright.base.types import FloatArray
from foldwright.design.fittings import Skid
from foldwright.geometry.fold.model import Face
from foldwright.geometry.solid.core import Area
from foldwright.geometry.transform import apply, frame

MODEL = Skid
BASE_MM = 1.6
"""Thickness of the foot. [judgement]"""
ROUND_MM = 2.0
"""Corners of the foot in plan. [judgement]"""
LEAST_MM = 15.0
"""A shorter piece is left out: it holds nothing. [judgement]"""
BARE_MM = 1.5
"""Board missing over no more than this is a bend's groove, no hole. [judgement]"""
BLADE_MM = 2.0
"""Least height of the blade under the foot. [judgement]"""


@dataclass(frozen=True, slots=True)
class SkidShape:
    """One runner. Frame: the glue face is z = 0, it hangs down; x aft from its front end, y right."""

    long: float
    foot: float
    base: float
    thick: float
    high: float

    @property
    def blade(self) -> float:
        """Height of the blade, and radius of its ends."""
        return self.high - self.base

    @property
    def volume(self) -> float:
        """Foot with round corners, blade with round ends, mm³."""
        lost = 4.0 - pi  # of a square about a circle of radius 1
        foot = (self.long * self.foot - lost * ROUND_MM**2) * self.base
        return foot + (self.long * self.blade - lost / 2.0 * self.blade**2) * self.thick

    @property
    def surface(self) -> float:
        """Faces of foot and blade, mm²."""
        around = 2.0 * (self.long + self.foot) * self.base
        return 2.0 * self.long * self.foot + around + 2.0 * self.long * self.blade

    @property
    def box(self) -> tuple[tuple[float, float, float], tuple[float, float, float]]:
        """Least and greatest corner."""
        half = self.foot / 2.0
        return (0.0, -half, -self.high), (self.long, half, 0.0)


@dataclass(frozen=True, slots=True)
class _Run:
    """A stretch of one face from one x to another."""

    stand: Stand
    low: float
    high: float

    @property
    def slope(self) -> float:
        """Rise of the face along x."""
        n = self.stand.frame[:3, 2]
        return float(-n[0] / n[2])

    def point(self, x: float, y: float) -> FloatArray:
        """The face at (x, y)."""
        at, n = self.stand.frame[:3, 3], self.stand.frame[:3, 2]
        z = float(at[2] - (n[0] * (x - at[0]) + n[1] * (y - at[1])) / n[2])
        return np.array([x, y, z])


def build(fitting: Skid, site: Site) -> FittingBuild:
    """The runners, front first; P66, P67 where there can be none."""
    where = f"fitting.{fitting.id}"
    found = _sizes(fitting, site, where)
    part = fitting.part or next((body.id for body in site.airframe.bodies), "")
    strip = shapely.box(
        fitting.from_mm, fitting.y_mm - fitting.foot_mm / 2.0, max(fitting.to_mm, fitting.from_mm + 0.1),
        fitting.y_mm + fitting.foot_mm / 2.0,
    )  # fmt: skip
    runs, bare = _runs(site.airframe, part, strip)
    found += _bare(bare, runs, fitting, where, _reach(site.airframe, part))
    if found:
        return FittingBuild(findings=tuple(found))
    kept = [run for run in runs if run.high - run.low >= LEAST_MM]
    made = _made(kept, fitting, site)
    low, high = kept[0].low, kept[-1].high
    bends = "" if len(runs) == 1 else "; it is in pieces because the floor bends, or is longer than the bed"
    note = Note("P68", made[0].blank, {
        "fitting": fitting.id, "blank": made[0].blank, "low": round(low), "high": round(high), "bends": bends,
        "pieces": "one piece" if len(made) == 1 else f"{len(made)} pieces",
    })  # fmt: skip
    ends = ((x, run) for run in kept for x in (run.low, run.high))
    guides = tuple(_line(fitting, run, x) for x, run in ends)
    return FittingBuild(tuple(made), (), guides, (note,))


def _sizes(fitting: Skid, site: Site, where: str) -> list[Finding]:
    """P67: what its own numbers do not allow."""
    lines = 2.0 * site.printer.line_mm
    checks = (
        ("to_mm", fitting.to_mm, fitting.from_mm + LEAST_MM,
         f"A skid from {fitting.from_mm:g} to {fitting.to_mm:g} mm is shorter than {LEAST_MM:g} mm"),
        ("high_mm", fitting.high_mm, BASE_MM + BLADE_MM,
         f"A skid {fitting.high_mm:g} mm high has no blade under its foot"),
        ("thick_mm", fitting.thick_mm, lines,
         f"A blade of {fitting.thick_mm:g} mm is thinner than two lines"),
        ("foot_mm", fitting.foot_mm, max(fitting.thick_mm, 2.0 * ROUND_MM + 1.0),
         f"A foot {fitting.foot_mm:g} mm wide is too narrow to be glued"),
    )  # fmt: skip
    found = []
    for key, got, need, how in checks:
        if got < need - 1e-9:
            facts: dict[str, Param] = {"how": how, "need": ceil(need * 10.0 - 1e-6) / 10.0, "got": got}
            found.append(Finding("P67", "no-go", f"{where}.{key}", facts, got, need, "mm"))
    return found


def _runs(airframe: Airframe, part: str, strip: shapely.Polygon) -> tuple[list[_Run], Area]:
    """Stretches of the faces seen from below along a strip, front first, and what of it they leave bare."""
    faces = []
    for one in airframe.placed:
        for panel in one.blank.panels if one.part == part else ():
            normal = one.transforms[panel.name][:3, 2]
            if abs(float(normal[2])) < LEVEL:
                continue
            face: Face = "b" if normal[2] > 0.0 else "a"
            seen = _in_plan(face_area(one, panel.name, face), face_frame(one, panel.name, face))
            stand = Stand(one, panel, face, face_frame(one, panel.name, face), 0.0)
            x, y = strip.centroid.x, strip.centroid.y
            faces.append((float(_Run(stand, 0.0, 0.0).point(x, y)[2]), stand, seen))
    runs: list[_Run] = []
    covered: list[Area] = []
    hidden: shapely.Geometry = shapely.Polygon()
    for _, stand, seen in sorted(faces, key=lambda row: (round(row[0], 6), row[1].panel.name)):
        here = area_of(strip.intersection(seen).difference(hidden))
        hidden = shapely.union_all([hidden, *(shapely.Polygon(p.exterior) for p in shapely.get_parts(seen))])
        if here.area > BARE_MM:
            low, _, high, _ = here.bounds
            runs.append(_Run(stand, low, high))
            covered.append(here)
    runs.sort(key=lambda run: run.low)
    left = strip.difference(shapely.union_all(covered).buffer(BARE_MM / 2.0, join_style="mitre"))
    return runs, area_of(left)


def _in_plan(area: Area, place: FloatArray) -> Area:
    def seen(points: FloatArray) -> FloatArray:
        plan: FloatArray = apply(place, np.column_stack([points, np.zeros(len(points))]))[:, :2]
        return plan

    return area_of(shapely.transform(area, seen).buffer(0.0))


def _bare(bare: Area, runs: Sequence[_Run], fitting: Skid, where: str, floor: str) -> list[Finding]:
    """P66 where board is missing over the foot."""
    kept = [run for run in runs if run.high - run.low >= LEAST_MM]
    if bare.area < 0.05 and kept:
        return []
    low, _, high, _ = bare.bounds if bare.area > 0.0 else (fitting.from_mm, 0.0, fitting.to_mm, 0.0)
    if not kept:
        cure = f"Set from_mm and to_mm to where the floor is, {floor}, and y_mm within its width"
    elif low <= fitting.from_mm + 0.1:
        cure = f"Set {where}.from_mm to {ceil(high + BARE_MM)}"
    elif high >= fitting.to_mm - 0.1:
        cure = f"Set {where}.to_mm to {int(low - BARE_MM)}"
    else:
        cure = (
            f"Set {where}.y_mm beside it, or make two skids, one to {int(low - 1)} and one from"
            f" {ceil(high + 1)}"
        )
    facts: dict[str, Param] = {
        "low": round(low), "high": round(high), "foot": fitting.foot_mm, "gap": round(high - low),
        "cure": cure,
    }  # fmt: skip
    return [Finding("P66", "no-go", where, facts, high - low, BARE_MM, "mm")]


def _reach(airframe: Airframe, part: str) -> str:
    """From where to where a body runs, in words."""
    body = next((body for body in airframe.bodies if body.id == part), None)
    return "which this part has not" if body is None else f"{body.x[0]:.0f} to {body.x[-1]:.0f} mm"


def _made(runs: Sequence[_Run], fitting: Skid, site: Site) -> list[Fitting]:
    """Runners of all stretches, each no longer than the bed."""
    printer = site.printer
    bed = max(printer.bed_mm[:2]) - 2.0 * printer.margin_mm
    pieces = []
    for run in runs:
        length = (run.high - run.low) * hypot(1.0, run.slope)
        count = max(1, ceil(length / bed - 1e-9))
        step = (run.high - run.low) / count
        pieces += [(run, run.low + step * k, length / count) for k in range(count)]
    made = []
    for number, (run, start, length) in enumerate(pieces, start=1):
        tail, of = ("", "") if len(pieces) == 1 else (f"/{number}", f" {number} of {len(pieces)}")
        shape = SkidShape(round(length, 6), fitting.foot_mm, BASE_MM, fitting.thick_mm, fitting.high_mm)
        aft = run.point(start + 1.0, fitting.y_mm) - run.point(start, fitting.y_mm)
        place = frame(run.point(start, fitting.y_mm), aft, -run.stand.frame[:3, 2])
        made.append(Fitting(
            f"{fitting.id}{tail}", fitting.kind, f"skid{of}", shape, place, site.printed(fitting),
            blank=run.stand.blank,
            figures={"long_mm": round(length, 2), "high_mm": fitting.high_mm, "thick_mm": fitting.thick_mm},
        ))  # fmt: skip
    return made


def _line(fitting: Skid, run: _Run, x: float) -> MarkRequest:
    """An end of the skid on the face that it is glued to."""
    half = fitting.foot_mm / 2.0
    ends = [run.point(x, fitting.y_mm + side * half).tolist() for side in (-1.0, 1.0)]
    line = tuple((float(a), float(b), float(c)) for a, b, c in ends)
    return MarkRequest(fitting.id, run.stand.blank, "+z", line, run.stand.face, 0.0)
