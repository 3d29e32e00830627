"""The bays of a folded half: nose slopes, spar heights and the planes of every panel.

A bay's own frame: x aft of the root's leading edge, s along the bay from its inner end, z up from the
inner face of the under strip, mm. All panels of a bay are exact planes. The front panel holds lines
parallel to the leading edge, so its slope (square to the leading edge) and what the nose forces fix the
spar's height along the bay; the aft panel holds the ridge, so the strip's aft edge follows: its distance
behind the ridge goes with the spar's height.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from math import atan, cos, hypot, isnan, nan, sin, tan

import numpy as np

from foldwright.airframe.plan import PlanBay, plan_bays
from foldwright.airframe.wing_planes import Plane, Vector
from foldwright.airframe.wing_section import greatest_height, slope_for
from foldwright.base.types import FloatArray
from foldwright.design.parts import FoldedWing
from foldwright.design.wings import FoldedBay

LEVEL = 1e-9  # rad: turns smaller than this are none


@dataclass(frozen=True, slots=True)
class End:
    """Section at one end of a bay, measured along x, mm.

    s: along the bay; aft: leading edge aft of the root's; spar, strip: ridge and strip's aft edge (land not
    counted) behind the leading edge; height: of the spar between the inner skins.
    """

    s: float
    aft: float
    chord: float
    spar: float
    height: float
    strip: float


@dataclass(frozen=True, slots=True, eq=False)
class BayShape:
    """One solved bay.

    frame: 4x4 from the bay's frame to the wing's (right half). alpha: front slope square to the leading edge,
    rad; nose: height s of the nose strip, mm (two_fold). outer: what the planes force. land: of the strip
    behind the crease, mm.
    """

    plan: PlanBay
    frame: FloatArray
    t: float
    method: str
    alpha: float
    nose: float
    inner: End
    outer: End
    land: float
    level: bool

    @property
    def number(self) -> int:
        """From 0 outward."""
        return self.plan.number

    @property
    def table(self) -> FoldedBay | None:
        """The bay's table in the file, None where the file has no bays."""
        table = self.plan.table
        return table if isinstance(table, FoldedBay) else None

    @property
    def dihedral(self) -> float:
        """Rise, rad."""
        return self.plan.dihedral

    @property
    def sweep(self) -> float:
        """Of the leading edge in the bay's plane, rad, positive aft."""
        return self.plan.sweep

    @property
    def origin(self) -> Vector:
        """Of its frame, in the wing's frame, mm: on the strip's inner face at the inner end."""
        return frame_origin(self.plan, self.t)

    @property
    def length(self) -> float:
        """Along the bay, mm."""
        return self.outer.s

    @property
    def start(self) -> float:
        """Strip's forward edge behind the leading edge along x, mm: t*sin(alpha)/cos(sweep) for a slit."""
        return self.t * sin(self.alpha) / cos(self.sweep) if self.method == "slit" else 0.0

    @property
    def aft_gradient(self) -> tuple[float, float]:
        """dz/dx and dz/ds of the aft panel."""
        one, other = self.inner, self.outer
        gx = -one.height / (one.strip - one.spar)
        run = (other.aft + other.spar) - (one.aft + one.spar)
        return gx, (other.height - one.height - gx * run) / self.length

    @property
    def front_gradient(self) -> tuple[float, float]:
        """dz/dx and dz/ds of the front panel."""
        rise = tan(self.alpha)
        return rise * cos(self.sweep), -rise * sin(self.sweep)

    @property
    def mu(self) -> float:
        """Slope of the aft panel along its steepest line, rad."""
        return atan(hypot(*self.aft_gradient))

    def at(self, s: float) -> End:
        """The section at s."""
        share = s / self.length
        one, other = self.inner, self.outer
        pairs = (
            (one.aft, other.aft), (one.chord, other.chord), (one.spar, other.spar),
            (one.height, other.height), (one.strip, other.strip),
        )  # fmt: skip
        aft, chord, spar, height, strip = (a + share * (b - a) for a, b in pairs)
        return End(s, aft, chord, spar, height, strip)

    def place_of(self, y: float) -> float:
        """S of a level distance from the centre line, mm."""
        return (y - self.plan.inner.y) / cos(self.dihedral)

    def space(self, points: FloatArray) -> FloatArray:
        """Points (n, 3) of the bay's frame in the wing's frame, right half."""
        moved: FloatArray = points @ self.frame[:3, :3].T + self.frame[:3, 3]
        return moved

    def plane(self, normal: Vector, offset: float) -> Plane:
        """A plane of the bay's frame in the wing's frame, right half."""
        # the frame turns about x only: plain floats are several times faster here
        (_, y0, z0), c, s = self.origin, cos(self.dihedral), sin(self.dihedral)
        x, across, up = normal
        y, z = c * across - s * up, s * across + c * up
        return Plane((x, y, z), offset + y * y0 + z * z0)

    def upright(self, inner: float, outer: float) -> Plane:
        """Plane square to the strip through x = inner at the inner end and x = outer at the outer, aft."""
        run = outer - inner
        length = hypot(self.length, run)
        n = (self.length / length, -run / length, 0.0)
        return self.plane(n, n[0] * inner)

    def station(self, s: float) -> Plane:
        """Plane square to the bay at s, looking outward."""
        return self.plane((0.0, 1.0, 0.0), s)

    def tail(self) -> Plane:
        """Plane of the trailing edge."""
        return self.upright(self.inner.aft + self.inner.chord, self.outer.aft + self.outer.chord)

    def strip_end(self) -> Plane:
        """Plane of the strip's aft edge, land and all."""
        one, other = self.inner, self.outer
        return self.upright(one.aft + one.strip + self.land, other.aft + other.strip + self.land)

    def planes(self) -> Mapping[str, Plane]:
        """Inner skins of the panels by row, in the wing's frame."""
        a, sweep, one = self.alpha, self.sweep, self.inner
        e = (cos(sweep), -sin(sweep))
        front = (-sin(a) * e[0], -sin(a) * e[1], cos(a))
        gx, gs = self.aft_gradient
        steep = hypot(gx, gs, 1.0)
        aft = (-gx / steep, -gs / steep, 1.0 / steep)
        ridge = (one.aft + one.spar, one.height)
        found = {
            "strip": self.plane((0.0, 0.0, -1.0), 0.0),
            "front": self.plane(front, front[0] * ridge[0] + front[2] * ridge[1]),
            "aft": self.plane(aft, aft[0] * (one.aft + one.strip)),
        }
        if self.method == "two_fold":
            found["nose"] = self.plane((-e[0], -e[1], 0.0), -e[0] * one.aft - self.t)
        if self.level:
            found["trailing"] = self.plane((0.0, 0.0, 1.0), 0.0)
        return found


def solve_bays(part: FoldedWing, t: float) -> tuple[BayShape, ...]:
    """The bays of a half from the centre line outward; slopes and heights are NaN where nothing fits."""
    plans = plan_bays(part.span_mm, part.chord_mm, part.bay)
    here = End(0.0, 0.0, part.chord_mm, part.spar.x_mm, part.spar.height_mm, part.strip.aft_mm)
    found: list[BayShape] = []
    for plan in plans:
        made = _solve(part, plan, here, t)
        found.append(made)
        o = made.outer
        here = End(0.0, o.aft, o.chord, o.spar, o.height, o.strip)
    return tuple(found)


def _solve(part: FoldedWing, plan: PlanBay, inner: End, t: float) -> BayShape:
    table = plan.table if isinstance(plan.table, FoldedBay) else None
    spar = inner.spar if table is None or table.spar_x_mm is None else table.spar_x_mm
    method = part.nose.method
    d, d_out = inner.spar * cos(plan.sweep), spar * cos(plan.sweep)
    asked = table.spar_height_mm if table is not None and method == "two_fold" else None
    if asked is not None:
        alpha, nose = free_slope((d, inner.height), (d_out, asked), t)
        height = asked
    else:
        alpha, nose = _slope(method, d, inner.height, t, part.nose.strip_height_mm)
        height = nan if isnan(alpha) else greatest_height(method, d_out, t, nose, alpha)
    strip = spar + height * (inner.strip - inner.spar) / inner.height
    outer = End(plan.length, plan.outer.aft, plan.outer.chord, spar, height, strip)
    return BayShape(
        plan, _frame(plan, t), t, method, alpha, nose, inner, outer,
        part.strip.land_mm if part.strip.runs_on else 0.0, part.trailing.kind == "level",
    )  # fmt: skip


def _slope(method: str, d: float, h: float, t: float, s: float | None) -> tuple[float, float]:
    if isnan(h) or d <= 0.0:
        return nan, s or 0.0
    return slope_for(method, d, h, t, s)


def free_slope(root: tuple[float, float], tip: tuple[float, float], t: float) -> tuple[float, float]:
    """Front slope (rad) and nose strip height s (mm) of a two-fold nose for spar heights at both ends.

    root, tip: distance d of the spar behind the leading edge, square to it, and spar height h, mm. A constant
    distance has no slope of its own (NaN).
    tan a = (h_r - h_t)/(d_r - d_t), s = h_r + t - d_r tan a + t/cos a (design notes, fold geometry, Taper).
    """
    if abs(root[0] - tip[0]) < 1e-9:
        return nan, 0.0
    alpha = atan((root[1] - tip[1]) / (root[0] - tip[0]))
    return alpha, root[1] + t - root[0] * tan(alpha) + t / cos(alpha)


def _frame(plan: PlanBay, t: float) -> FloatArray:
    """4x4 from the bay's frame to the wing's; bays meet along a line of the strip's under face."""
    c, s = cos(plan.dihedral), sin(plan.dihedral)
    matrix = np.eye(4)
    matrix[1:3, 1], matrix[1:3, 2] = (c, s), (-s, c)
    matrix[:3, 3] = frame_origin(plan, t)
    return matrix


def frame_origin(plan: PlanBay, t: float) -> Vector:
    """Inner end of a bay on the strip's inner face, t above the under face, in the wing's frame, mm."""
    c, s = cos(plan.dihedral), sin(plan.dihedral)
    return 0.0, plan.inner.y - t * s, plan.inner.rise - t + t * c
