"""A folded wing as a grid: bays from tip to tip, panels from strip to trailing edge, and what runs across.

Cells are the bays of both halves from the left tip to the right one. Between two cells lies a break; each
row of panels runs across it whole, is folded there or is cut.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise
from math import cos, sin, tan
from types import MappingProxyType
from typing import Literal

import numpy as np

from foldwright.airframe.wing_bays import LEVEL, BayShape
from foldwright.airframe.wing_planes import Plane, Sheet
from foldwright.base.types import FloatArray

Row = Literal["strip", "nose", "front", "aft", "trailing"]
State = Literal["whole", "fold", "cut"]
Link = Literal["merge", "front", "strip", "apart"]
"""How two neighbouring bays hang together: in every panel that lies in one plane, beginning at the strip; by
the front panels alone; by the strip alone; not at all."""

CHAIN: tuple[Row, ...] = ("strip", "nose", "front", "aft", "trailing")
_FLIP = np.array([1.0, -1.0, 1.0])


@dataclass(frozen=True, slots=True, eq=False)
class Cell:
    """One bay of one half. side: +1 right, -1 left. end: s where its panels end outboard, mm."""

    side: int
    shape: BayShape
    planes: Mapping[str, Plane]
    tail: Plane
    strip_end: Plane
    end: float

    def station(self, s: float) -> Plane:
        """Plane square to the bay at s, looking outward."""
        plane = self.shape.station(s)
        return plane if self.side > 0 else plane.mirrored()

    def space(self, points: Sequence[tuple[float, float, float]]) -> FloatArray:
        """Points (x, s, z) of the bay's frame in the wing's frame."""
        moved = self.shape.space(np.array(points))
        return moved if self.side > 0 else moved * _FLIP


@dataclass(frozen=True, slots=True)
class Break:
    """Where two cells meet: the plane between them, looking right, and what each row does there.

    gap: panels that are cut there end this far from the plane, mm; low: likewise, of the aft panels.
    """

    plane: Plane
    states: Mapping[Row, State]
    gap: float = 0.0
    low: float = 0.0

    def clear(self, row: Row) -> float:
        """What a cut panel keeps from the plane, mm."""
        return max(self.gap, self.low) if row == "aft" else self.gap


@dataclass(frozen=True, slots=True, eq=False)
class Group:
    """A panel: one row over the cells first to last. plane: of its inner skin, in the wing's frame."""

    row: Row
    first: int
    last: int
    name: str
    sheet: Sheet

    @property
    def plane(self) -> Plane:
        """Its inner skin."""
        return self.sheet.plane


@dataclass(frozen=True, eq=False)
class Grid:
    """Cells from left to right, the breaks between them, the rows there are, the board's thickness."""

    cells: tuple[Cell, ...]
    breaks: tuple[Break, ...]
    rows: tuple[Row, ...]
    t: float

    @cached_property
    def groups(self) -> Mapping[Row, tuple[Group, ...]]:
        """The panels of every row from left to right."""
        return MappingProxyType({row: tuple(self._groups(row)) for row in self.rows})

    def _groups(self, row: Row) -> list[Group]:
        cuts = [i + 1 for i, gap in enumerate(self.breaks) if gap.states[row] != "whole"]
        found = []
        for first, after in pairwise([0, *cuts, len(self.cells)]):
            cells = self.cells[first:after]
            found.append(Group(row, first, after - 1, row + suffix(cells), Sheet.of(cells[0].planes[row])))
        return found

    def group(self, row: Row, cell: int) -> Group:
        """The panel of a row at a cell."""
        return next(group for group in self.groups[row] if group.first <= cell <= group.last)

    @cached_property
    def pieces(self) -> tuple[tuple[int, int], ...]:
        """First and last cell of every connected blank, from left to right."""
        apart = [
            i + 1 for i, gap in enumerate(self.breaks) if all(gap.states[row] == "cut" for row in self.rows)
        ]
        return tuple((a, b - 1) for a, b in pairwise([0, *apart, len(self.cells)]))


def suffix(cells: Sequence[Cell]) -> str:
    """End of a panel's name: nothing across the centre, else its side and, from bay two on, its bay."""
    sides = {cell.side for cell in cells}
    if len(sides) == 2:
        return ""
    bay = min(cell.shape.number for cell in cells) + 1
    return ("-right" if sides == {1} else "-left") + (f"-{bay}" if bay > 1 else "")


def grid(bays: Sequence[BayShape], links: Sequence[Link], cap: float, gaps: Sequence[float] = ()) -> Grid:
    """The grid of a wing. links: of the centre, then of the breaks outward (one a bay). cap: mm kept free.

    gaps: mm that panels cut at each joint keep from it, so that the joined blank lies flat; none left out.
    """
    right = tuple(_cell(bay, cap if bay is bays[-1] else 0.0) for bay in bays)
    rows = tuple(row for row in CHAIN if row in right[0].planes)
    cells = (*(_mirrored(cell) for cell in reversed(right)), *right)
    planes = tuple(_break_plane(bays, number) for number in range(1, len(bays)))
    across = (
        *(plane.mirrored().flipped() for plane in reversed(planes)), Plane((0.0, 1.0, 0.0), 0.0), *planes,
    )  # fmt: skip
    kinds = (*reversed(links[1:]), links[0], *links[1:])
    keeps = list(gaps) or [0.0] * len(links)
    wide = (*reversed(keeps[1:]), *keeps)
    breaks = tuple(
        Break(plane, states(kind, rows, left, other), *room(kind, left, other, gap))
        for plane, kind, gap, (left, other) in zip(across, kinds, wide, pairwise(cells), strict=True)
    )
    return Grid(cells, breaks, rows, bays[0].t)


def room(kind: Link, left: Cell, right: Cell, gap: float) -> tuple[float, float]:
    """What cut panels, and what aft ones, keep from a joint, mm.

    Joined along the strip, a straight aft panel comes down below the strip's inner face; there the halves
    lean into each other as long as the joint is flat: depth * tan(turn/2).
    """
    if kind == "apart":
        return 0.0, 0.0
    one, other = left.shape, right.shape
    turn = one.dihedral + other.dihedral if left.side != right.side else abs(one.dihedral - other.dihedral)
    if kind != "strip" or one.level or turn < LEVEL:
        return gap, 0.0
    end = right.shape.inner if right.side > 0 else left.shape.inner
    low = -right.shape.aft_gradient[0] * (end.chord - end.strip)
    return gap, low * tan(turn / 2.0)


def _cell(bay: BayShape, cap: float) -> Cell:
    return Cell(1, bay, bay.planes(), bay.tail(), bay.strip_end(), bay.length - cap)


def _mirrored(cell: Cell) -> Cell:
    planes = {row: plane.mirrored() for row, plane in cell.planes.items()}
    return Cell(-1, cell.shape, planes, cell.tail.mirrored(), cell.strip_end.mirrored(), cell.end)


def _break_plane(bays: Sequence[BayShape], number: int) -> Plane:
    """Plane half-way between two bays' dihedrals through the line in which their under faces meet."""
    middle = 0.5 * (bays[number - 1].dihedral + bays[number].dihedral)
    station = bays[number].plan.inner
    n = (0.0, cos(middle), sin(middle))
    return Plane(n, n[1] * station.y + n[2] * (station.rise - bays[number].t))


def states(kind: Link, rows: Sequence[Row], left: Cell, right: Cell) -> Mapping[Row, State]:
    """What each row does at a break."""
    found: dict[Row, State] = dict.fromkeys(rows, "cut")
    if kind == "merge":
        for row in rows:
            if not left.planes[row].same(right.planes[row]):
                break
            found[row] = "whole"
    elif kind in {"strip", "front"}:
        row = "strip" if kind == "strip" else "front"
        found[row] = "whole" if left.planes[row].same(right.planes[row]) else "fold"
    return MappingProxyType(found)


def bay_link(inner: BayShape, outer: BayShape) -> Link:
    """How a bay hangs on the one inboard of it: as its table says, and as the planes allow.

    Joined along the strip where it rises more than its neighbour, in all that lies in one plane where only
    the planform changes; apart where asked or where it droops (its upper panels would lie on each other).
    """
    if outer.table is not None and outer.table.joint == "apart":
        return "apart"
    turn = outer.dihedral - inner.dihedral
    if abs(turn) < LEVEL:
        return "merge"
    return "strip" if turn > 0.0 else "apart"
