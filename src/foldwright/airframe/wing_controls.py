"""Controls of a folded wing: notches in the trailing edge, the hinged panels, balance horns."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import hypot

from foldwright.airframe.wing_bays import BayShape
from foldwright.airframe.wing_grid import Cell, Grid, Group
from foldwright.airframe.wing_outline import Drafter, Edge, Key, Outline
from foldwright.airframe.wing_planes import Line, Spot, meet, one_line, through
from foldwright.design.parts import Control as ControlPart
from foldwright.design.parts import FoldedWing

AT = 1e-6  # mm: a control nearer than this to an end of its bay ends there


@dataclass(frozen=True, slots=True)
class Placed:
    """A control in its bay: s of its ends, mm."""

    part: ControlPart
    bay: int
    inner: float
    outer: float

    def chord(self, s: float) -> float:
        """Hinge line to trailing edge at s, mm."""
        one, other = self.part.chord_mm, self.outer_chord
        return one + (other - one) * (s - self.inner) / (self.outer - self.inner)

    @property
    def outer_chord(self) -> float:
        """Chord at the outer end, mm."""
        return self.part.outer_chord_mm or self.part.chord_mm


def placed_controls(part: FoldedWing, bays: Sequence[BayShape]) -> tuple[Placed, ...]:
    """The controls that lie within one bay each."""
    found = []
    for control in part.control:
        for bay in bays:
            low, high = bay.plan.inner.y, bay.plan.outer.y
            if low - AT <= control.inner_mm and control.outer_mm <= high + AT:
                ends = bay.place_of(control.inner_mm), bay.place_of(control.outer_mm)
                found.append(Placed(control, bay.number, *ends))
                break
    return tuple(found)


def control_name(control: ControlPart, side: int) -> str:
    """Panel and fold name of one control, such as "elevon-right"."""
    return f"{control.id}-{'right' if side > 0 else 'left'}"


@dataclass(frozen=True, slots=True, eq=False)
class Notch:
    """A control on its carrier: spots of the notch and of the control from left to right, hinge side.

    lines: of the notch's left and right end. hinge: number of the stretch of `notch` and `flap` that is the
    hinge. tail: the control's trailing edge, left and right.
    """

    name: str
    part: ControlPart
    key: Key
    low: float
    high: float
    lines: tuple[Line, Line]
    notch: tuple[Spot, ...]
    flap: tuple[Spot, ...]
    hinge: int
    tail: tuple[Spot, Spot]


def horn_room(ahead: float, t: float, gap: float) -> float:
    """Depth of the notch ahead of the hinge for a horn: its lower corner swings by hypot(ahead, t), mm."""
    return hypot(ahead, t) + gap


@dataclass(frozen=True, slots=True, eq=False)
class _Site:
    """Where a control is drawn: its carrier panel in one cell, between two lines, along the trailing edge.

    ends: of the carrier, left and right; tight: lines there, looking out, that a square edge may reach.
    """

    group: Group
    cell: Cell
    t: float
    tail: Line
    ends: tuple[Line, Line]
    tight: tuple[Line, Line]

    def at_end(self, s: float) -> bool:
        """Whether s is an end of the bay."""
        return abs(s) < AT or abs(s - self.cell.end) < AT

    def across(self, s: float) -> Line:
        """Line at s: that of the bay's end where the two are one."""
        inner, outer = self.ends if self.cell.side > 0 else (self.ends[1], self.ends[0])
        if abs(s) < AT:
            return inner
        if abs(s - self.cell.end) < AT:
            return outer
        return self.group.sheet.line(self.cell.station(s))

    def inset(self, s: float, gap: float) -> Line:
        """Line that the control keeps to: `gap` inside of the carrier's end, or of the section at s."""
        inner, outer = self.tight if self.cell.side > 0 else (self.tight[1], self.tight[0])
        if abs(s) < AT:
            return inner[0], inner[1], inner[2] - gap
        if abs(s - self.cell.end) < AT:
            return outer[0], outer[1], outer[2] - gap
        return self.group.sheet.line(self.cell.station(s))

    def aft(self) -> Spot:
        """Unit direction aft along the section."""
        a, b, _ = self.group.sheet.line(self.cell.station(0.0))
        return (-b, a) if b < 0.0 else (b, -a)


def notch_of(placed: Placed, site: _Site) -> Notch:
    """The notch and the panel of one control on one half."""
    part, side = placed.part, site.cell.side
    aft = site.aft()

    def hinge_at(s: float) -> Spot:
        tail = meet(site.group.sheet.line(site.cell.station(s)), site.tail)
        chord = placed.chord(s)
        return tail[0] - chord * aft[0], tail[1] - chord * aft[1]

    ends = hinge_at(placed.inner), hinge_at(placed.outer)

    def along(ahead: float) -> Line:
        return through(*((u - ahead * aft[0], v - ahead * aft[1]) for u, v in ends))

    gap, horn, hinge = part.end_gap_mm, part.horn, along(0.0)
    inner, outer = placed.inner, placed.outer
    first, last = site.across(inner), site.across(outer)
    low, high = (
        site.inset(s + way * (0.0 if site.at_end(s) else gap), gap)
        for s, way in ((inner, 1.0), (outer, -1.0))
    )
    cut, own = [meet(first, hinge), meet(last, hinge)], [meet(low, hinge), meet(high, hinge)]
    if horn is not None:
        fore, room = along(horn.ahead_mm), along(horn_room(horn.ahead_mm, site.t, gap))
        step = site.across(outer - horn.length_mm)
        side_cut = site.across(outer - horn.length_mm - gap)
        cut = [cut[0], meet(side_cut, hinge), meet(side_cut, room), meet(last, room)]
        own = [own[0], meet(step, hinge), meet(step, fore), meet(high, fore)]
    tails = [meet(line, site.tail) for line in (low, high)]
    order = 1 if side > 0 else -1
    s_ends = (inner, outer)[::order]
    name = control_name(part, side)
    key = (name, site.group.name) if name < site.group.name else (site.group.name, name)
    return Notch(
        name, part, key, side * s_ends[0], side * s_ends[1], (first, last) if side > 0 else (last, first),
        tuple(cut)[::order], tuple(own)[::order],
        0 if side > 0 else len(cut) - 2, (tails[::order][0], tails[::order][1]),
    )  # fmt: skip


@dataclass(frozen=True, slots=True, eq=False)
class Tail:
    """Draws the trailing edge of a panel that carries controls."""

    drafter: Drafter
    controls: tuple[Placed, ...]

    def notches(self, group: Group, ends: tuple[Edge, Edge]) -> dict[int, list[Notch]]:
        """Notches of every cell of a carrier from left to right."""
        grid = self.drafter.grid
        found: dict[int, list[Notch]] = {}
        for index in range(group.first, group.last + 1):
            site = self._site(grid, group, index, ends)
            rows = [notch_of(c, site) for c in self.controls if c.bay == site.cell.shape.number]
            found[index] = sorted(rows, key=lambda notch: notch.low)
        return found

    def _site(self, grid: Grid, group: Group, index: int, ends: tuple[Edge, Edge]) -> _Site:
        left = ends[0].line if index == group.first else self.drafter.across(group, index - 1)
        right = ends[1].line if index == group.last else self.drafter.across(group, index)
        tail = self.drafter.side(group, index, 1).line
        tight = (self._tight(group, index, right=False), self._tight(group, index, right=True))
        return _Site(group, grid.cells[index], grid.t, tail, (left, right), tight)

    def _tight(self, group: Group, index: int, *, right: bool) -> Line:
        """Line, looking out, that a square edge of a control may reach at the end of a cell."""
        grid = self.drafter.grid
        number = index if right else index - 1
        if not 0 <= number < len(grid.breaks):
            plane = grid.cells[index].station(grid.cells[index].end)
        else:
            gap = grid.breaks[number]
            within = gap.states[group.row] == "whole"
            plane = (gap.plane if right else gap.plane.flipped()).moved(
                0.0 if within else -gap.clear(group.row)
            )
        return group.sheet.cut(plane, grid.t, bevelled=False)[0]

    def run(self, group: Group, into: Outline, ends: tuple[Edge, Edge]) -> list[Notch]:
        """Add the trailing edge from the left end to the right one, both corners; returns its notches."""
        every = self.notches(group, ends)
        before: Line | None = None
        for index, notches in every.items():
            site = self._site(self.drafter.grid, group, index, ends)
            cell = site.cell
            low, high = (0.0, cell.end) if cell.side > 0 else (-cell.end, 0.0)
            begins = not notches or notches[0].low > low + AT
            if begins and before is not None and one_line(before, site.tail):
                into.drop()
            elif begins:
                into.add(meet(site.ends[0], site.tail))
            for place, notch in enumerate(notches):
                after = notches[place + 1].low if place + 1 < len(notches) else high
                _add(notch, into, site.tail, before=notch.low > low + AT, after=notch.high < after - AT)
                low = notch.high
            before = None
            if low < high - AT:
                into.add(meet(site.ends[1], site.tail))
                before = site.tail
        into.folds[-1], into.cuts[-1] = ends[1].fold, ends[1].cut
        return [notch for notches in every.values() for notch in notches]


def _add(notch: Notch, into: Outline, tail: Line, *, before: bool, after: bool) -> None:
    """Add one notch, with the corners on the trailing edge where that goes on before and after it."""
    if before:
        into.add(meet(notch.lines[0], tail))
    for place, spot in enumerate(notch.notch):
        into.add(spot, notch.key if place == notch.hinge else None)
    if after:
        into.add(meet(notch.lines[1], tail))


def flap_outline(notch: Notch) -> Outline:
    """The control's own panel: left fore, left aft, right aft, then its hinge side from right to left."""
    ring = Outline()
    hinge_side = notch.flap[::-1]
    ring.add(notch.flap[0])
    ring.add(notch.tail[0])
    ring.add(notch.tail[1])
    last = len(hinge_side) - 2 - notch.hinge
    for place, spot in enumerate(hinge_side[:-1]):
        ring.add(spot, notch.key if place == last else None)
    return ring
