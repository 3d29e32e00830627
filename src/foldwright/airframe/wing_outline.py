"""Outlines of a folded wing's panels, edge by edge, and which edge belongs to which fold."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

from foldwright.airframe.wing_grid import CHAIN, Cell, Grid, Group, Row
from foldwright.airframe.wing_planes import SHORT, Line, Spot, apart, meet, one_line
from foldwright.geometry.fold.model import SQUARE, EdgeCut, Face

Key = tuple[str, str]
"""Names of two panels that a fold joins."""
Hinges = Mapping[tuple[Row, Row], Face]


@dataclass(frozen=True, slots=True)
class Edge:
    """A line of an outline: the fold along it (None: free) and its cut."""

    line: Line
    fold: Key | None = None
    cut: EdgeCut = SQUARE


@dataclass(slots=True)
class Outline:
    """Corners of a panel in its sheet, and for every edge (from that corner on) its fold and cut."""

    corners: list[Spot] = field(default_factory=list)
    folds: list[Key | None] = field(default_factory=list)
    cuts: list[EdgeCut] = field(default_factory=list)

    def add(self, corner: Spot, fold: Key | None = None, cut: EdgeCut = SQUARE) -> None:
        """One more corner and the edge that leaves it; a corner in the same place gives way."""
        if self.corners and apart(self.corners[-1], corner) < SHORT:
            self.drop()
        self.corners.append(corner)
        self.folds.append(fold)
        self.cuts.append(cut)

    def drop(self) -> None:
        """Take the last corner away."""
        self.corners.pop()
        self.folds.pop()
        self.cuts.pop()

    def turned(self, by: int) -> Outline:
        """The same ring begun `by` corners later."""
        return Outline(
            [*self.corners[by:], *self.corners[:by]],
            [*self.folds[by:], *self.folds[:by]],
            [*self.cuts[by:], *self.cuts[:by]],
        )


def pair(one: Group, other: Group) -> Key:
    """Key of the fold between two panels."""
    return (one.name, other.name) if one.name < other.name else (other.name, one.name)


def beside(grid: Grid, row: Row, step: Literal[-1, 1]) -> Row | None:
    """The next row there is toward the trailing edge (+1) or toward the strip (-1)."""
    place = grid.rows.index(row) + step
    return grid.rows[place] if 0 <= place < len(grid.rows) else None


def ordered(one: Row, other: Row) -> tuple[Row, Row]:
    """Two rows in the order of the chain."""
    return (one, other) if CHAIN.index(one) < CHAIN.index(other) else (other, one)


@dataclass(frozen=True, slots=True, eq=False)
class Drafter:
    """Draws the panels of one grid. hinges: the skin that stays whole, by pair of rows in chain order."""

    grid: Grid
    hinges: Hinges

    def side(self, group: Group, cell: int, step: Literal[-1, 1]) -> Edge:
        """The edge of a panel in one cell toward a neighbouring row (-1: the row before), or its free edge.

        The strip is the first of the chain: its free edge is its aft one and lies at step -1.
        """
        row = beside(self.grid, group.row, step)
        if row is None:
            return self._free(group, self.grid.cells[cell])
        other = self.grid.group(row, cell)
        face = self.hinges[ordered(group.row, row)]
        add = self.grid.t if face == "a" else 0.0
        return Edge(group.sheet.line(other.plane.moved(add), add), pair(group, other))

    def _free(self, group: Group, cell: Cell) -> Edge:
        plane = cell.strip_end if group.row == "strip" else cell.tail
        line, _ = group.sheet.cut(plane, self.grid.t, bevelled=False)
        return Edge(line)

    def end(self, group: Group, *, right: bool) -> Edge:
        """The edge at a panel's left or right end: tip, fold to the next bay, or cut at the break."""
        index = group.last if right else group.first
        number = index if right else index - 1
        if not 0 <= number < len(self.grid.breaks):
            cell = self.grid.cells[index]
            line, cut = group.sheet.cut(cell.station(cell.end), self.grid.t, bevelled=False)
            return Edge(line, cut=cut)
        gap = self.grid.breaks[number]
        if gap.states[group.row] == "fold":
            other = self.grid.group(group.row, index + 1 if right else index - 1)
            # the hinge between two bays is the outer skin, of strip and front alike
            add = self.grid.t
            return Edge(group.sheet.line(other.plane.moved(add), add), pair(group, other))
        plane = (gap.plane if right else gap.plane.flipped()).moved(-gap.clear(group.row))
        line, cut = group.sheet.cut(plane, self.grid.t, bevelled=True)
        return Edge(line, cut=cut)

    def across(self, group: Group, cell: int) -> Line:
        """Line of the break to the right of a cell, on the panel's inner skin."""
        return group.sheet.line(self.grid.breaks[cell].plane)

    def run(
        self, group: Group, step: Literal[-1, 1], into: Outline, ends: tuple[Edge, Edge], *, rightward: bool
    ) -> Line:
        """Add one long side of a panel: the corner at its first end and its kinks, not that at its last end.

        ends: edges at the first and the last end in the direction of travel. Returns the line of the last
        stretch.
        """
        cells = list(range(group.first, group.last + 1))
        if not rightward:
            cells.reverse()
        edges = [self.side(group, cell, step) for cell in cells]
        here = ends[0].line
        for place, (cell, edge) in enumerate(zip(cells, edges, strict=True)):
            last = place == len(cells) - 1
            there = ends[1].line if last else self.across(group, cell if rightward else cell - 1)
            if place == 0 or not _same(edges[place - 1], edge):
                into.add(meet(here, edge.line), edge.fold, edge.cut)
            if not last and not _same(edge, edges[place + 1]):
                into.add(meet(there, edge.line))
            here = there
        return edges[-1].line


def _same(one: Edge, other: Edge) -> bool:
    """Whether two stretches of a side are one edge: one fold, or one straight free line."""
    return one.fold == other.fold and one_line(one.line, other.line)
