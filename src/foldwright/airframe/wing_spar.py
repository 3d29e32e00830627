"""The spar of a folded wing: board or bought, its lines on the strip, the glue along it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import hypot

import numpy as np

from foldwright.airframe.bench import Bought
from foldwright.airframe.mirror import mirror_blank
from foldwright.airframe.model import Bar, MassItem
from foldwright.airframe.wing_bays import BayShape
from foldwright.airframe.wing_planes import Plane, Sheet, Spot, meet
from foldwright.base.types import FloatArray
from foldwright.design.parts import FoldedWing
from foldwright.geometry.fold.flat import SpacePanel, unfold
from foldwright.geometry.fold.mass import line_moments
from foldwright.geometry.fold.model import SQUARE, Blank, EdgeCut, Panel
from foldwright.geometry.transform import apply, frame

STRAIGHT = 1e-9


@dataclass(frozen=True, slots=True)
class Run:
    """The spar in one bay of the right half: x, height under the ridge, at s from `low` to `high`, mm.

    width: of its flat top, mm.
    """

    bay: BayShape
    low: float
    high: float
    width: float

    @property
    def across(self) -> Spot:
        """Unit vector (x, s) square to the spar in the strip's plane, aft."""
        one, other = self.bay.inner, self.bay.outer
        run = (other.aft + other.spar) - (one.aft + one.spar)
        length = hypot(run, self.bay.length)
        return self.bay.length / length, -run / length

    def x(self, s: float) -> float:
        """Ridge, x aft of the root's leading edge."""
        end = self.bay.at(s)
        return end.aft + end.spar

    def stands(self, s: float) -> float:
        """Height of a flat top of that width under both panels: h - (b/2)*max(slope across the spar), mm."""
        nx, ns = self.across
        front, aft = self.bay.front_gradient, self.bay.aft_gradient
        slope = max(front[0] * nx + front[1] * ns, -(aft[0] * nx + aft[1] * ns))
        return self.bay.at(s).height - self.width / 2.0 * slope

    def line(self, out: float, z: Sequence[float]) -> FloatArray:
        """Two points of a line `out` mm aft of the ridge, at heights z over the strip, wing's frame."""
        nx, ns = self.across
        rows = [
            (self.x(s) + out * nx, s + out * ns, h) for s, h in zip((self.low, self.high), z, strict=True)
        ]
        return self.bay.space(np.array(rows))

    def mark(self, out: float, short: float) -> FloatArray:
        """As `line` on the strip's inner face, its ends `short` mm from the ends of the spar."""
        nx, ns = self.across
        rows = [(self.x(s - out * ns) + out * nx, s, 0.0) for s in (self.low + short, self.high - short)]
        return self.bay.space(np.array(rows))


def runs(part: FoldedWing, bays: Sequence[BayShape], cap: float) -> tuple[Run, ...]:
    """The spar from the centre line to its reach, bay by bay. cap: mm of the tip that a plate closes."""
    width = part.spar.width_mm or bays[0].t
    found = []
    for bay in bays:
        end = bay.length - (cap if bay is bays[-1] else 0.0)
        if part.spar.reach_mm is not None:
            end = min(end, bay.place_of(part.spar.reach_mm))
        if end > 1.0:
            found.append(Run(bay, 0.0, end, width))
    return tuple(found)


def straight(found: Sequence[Run]) -> bool:
    """Whether the spar is one straight piece from tip to tip: level, square to the flight, of one height."""
    first = found[0]
    return all(
        abs(run.bay.dihedral) < STRAIGHT
        and abs(run.x(run.high) - first.x(0.0)) < STRAIGHT
        and abs(run.stands(run.high) - first.stands(0.0)) < STRAIGHT
        for run in found
    )


def suffix(run: Run) -> str:
    """End of its name: nothing in the first bay, else the bay's number."""
    return f"-{run.bay.number + 1}" if run.bay.number else ""


def board_spars(
    part: FoldedWing, found: Sequence[Run], place: FloatArray, ends: Sequence[Plane]
) -> tuple[Blank, ...]:
    """Board spars standing on the strip, face A forward; u to the left wing, v up.

    ends: planes between the bays from the centre outward (see `grid`), looking outward.
    """
    if straight(found):
        return (straight_spar(f"{part.id}/spar", found, place),)
    blanks: list[Blank] = []
    for index, run in enumerate(found):
        tip = run.bay.station(run.high)
        outer = ends[index + 1] if index + 1 < len(found) else tip
        right = _spar(
            f"{part.id}/spar-right{suffix(run)}",
            run,
            place,
            (outer, ends[index].flipped()),
            cut_tip=outer is not tip,
        )
        blanks += [right, mirror_blank(right, f"{part.id}/spar-left{suffix(run)}")]
    return tuple(blanks)


def straight_spar(name: str, found: Sequence[Run], place: FloatArray) -> Blank:
    """One spar from tip to tip; its middle stands at the ridge."""
    t, half, height = found[0].bay.t, sum(run.high for run in found), found[0].stands(0.0)
    outline = np.array([(-half, 0.0), (half, 0.0), (half, height), (-half, height)])
    # face A (w = t) forward: the board's middle stands at the ridge
    local = frame(
        np.array([found[0].x(0.0) + t / 2.0, 0.0, 0.0]),
        np.array([0.0, -1.0, 0.0]),
        np.array([-1.0, 0.0, 0.0]),
    )
    return Blank(name, t, (Panel("spar", outline, (SQUARE,) * 4),), (), "spar", place @ local)


def _spar(
    name: str, run: Run, place: FloatArray, ends: tuple[Plane, Plane], *, cut_tip: bool = False
) -> Blank:
    """One spar between two planes (outer, inner), both looking out of it."""
    bay, t = run.bay, run.bay.t
    nx, ns = run.across
    low = run.line(t / 2.0, (0.0, 0.0))
    normal = bay.plane((-nx, -ns, 0.0), 0.0).normal
    plane = Plane(normal, float(np.array(normal) @ low[0]))
    sheet = Sheet.of(plane)
    top_line = _through(sheet, run.line(t / 2.0, (run.stands(run.low), run.stands(run.high))))
    bottom = _through(sheet, low)
    outer, outer_cut = sheet.cut(ends[0], t, bevelled=cut_tip)
    inner, inner_cut = sheet.cut(ends[1], t, bevelled=True)
    # seen from ahead the right wing lies to the left: inner end first would run the other way round
    corners = [meet(inner, bottom), meet(inner, top_line), meet(outer, top_line), meet(outer, bottom)]
    cuts: list[EdgeCut] = [inner_cut, SQUARE, outer_cut, SQUARE]
    return _laid(name, sheet, corners, cuts, place, t)


def _through(sheet: Sheet, points: FloatArray) -> tuple[float, float, float]:
    (u0, v0), (u1, v1) = sheet.flat(points[0]), sheet.flat(points[1])
    length = hypot(u1 - u0, v1 - v0)
    a, b = (v1 - v0) / length, (u0 - u1) / length
    return a, b, a * u0 + b * v0


def _laid(
    name: str, sheet: Sheet, corners: list[Spot], cuts: list[EdgeCut], place: FloatArray, t: float
) -> Blank:
    normal = place[:3, :3] @ np.array(sheet.plane.normal)
    offset = sheet.plane.offset + float(normal @ place[:3, 3])
    panel = SpacePanel("spar", normal, offset, apply(place, sheet.space(corners)))
    free: Mapping[tuple[str, int], EdgeCut] = {
        ("spar", i): cut for i, cut in enumerate(cuts) if cut is not SQUARE
    }
    along = panel.corners[0] - panel.corners[3]  # toward the centre: to the left wing
    return unfold(name, t, (panel,), (), along, free)


def bought_spars(
    part: FoldedWing, found: Sequence[Run], place: FloatArray, bought: Bought
) -> tuple[tuple[Bar, ...], tuple[MassItem, ...]]:
    """Bought spars as they lie, and what they weigh: one straight through, else one a bay and side."""
    bars: list[Bar] = []
    if straight(found):
        end = sum(run.high for run in found)
        x, z = found[0].x(0.0), found[0].stands(0.0) / 2.0
        bars.append(_bar(f"{part.id}/spar", np.array([(x, -end, z), (x, end, z)]), place, bought))
    else:
        for run in found:
            z2 = [run.stands(s) / 2.0 for s in (run.low, run.high)]
            line = run.line(0.0, z2)
            for side, flip in (("right", 1.0), ("left", -1.0)):
                name = f"{part.id}/spar-{side}{suffix(run)}"
                bars.append(_bar(name, line * np.array([1.0, flip, 1.0]), place, bought))
    masses = tuple(_weight(bar, found, bought) for bar in bars)
    return tuple(bars), masses


def _bar(name: str, ends: FloatArray, place: FloatArray, bought: Bought) -> Bar:
    return Bar(name, apply(place, ends), bought.width, bought.height, bought.material, bought.form)


def _weight(bar: Bar, found: Sequence[Run], bought: Bought) -> MassItem:
    spread = np.abs(bar.ends[1] - bar.ends[0])
    size = (float(spread[0]) + found[0].width, float(spread[1]), found[0].stands(0.0))
    return MassItem(bar.id, "fitting", line_moments(bar.ends, bought.g_m / 1000.0), size)
