"""The flat blanks of a folded wing: every panel's outline, the folds between them, laid flat.

Face A is the outside: upper for front, aft and trailing, under for the strip. Where one aft panel runs
across the centre it is the root, so the blank seen from A is the wing seen from above: u aft, v to the right.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from math import radians

import numpy as np

from foldwright.airframe.mirror import mirror_blank
from foldwright.airframe.model import Board
from foldwright.airframe.wing_controls import Notch, Placed, Tail, flap_outline
from foldwright.airframe.wing_grid import Grid, Group, Row
from foldwright.airframe.wing_outline import Drafter, Hinges, Key, Outline, ordered, pair
from foldwright.airframe.wing_planes import Sheet, meet, signed_area
from foldwright.base.types import FloatArray
from foldwright.design.parts import FoldedWing
from foldwright.geometry.fold.flat import SpaceFold, SpacePanel, unfold
from foldwright.geometry.fold.model import SQUARE, Blank, EdgeCut, Face, Method
from foldwright.geometry.transform import apply

FROM_ROOT: tuple[Row, ...] = ("aft", "front", "nose", "strip", "trailing")
CENTRE_ORDER = 6
"""Folds between the halves and bays are made last, when the sections are closed."""


@dataclass(frozen=True, slots=True, eq=False)
class Panel:
    """A drawn panel: its sheet and outline. cells: it spans."""

    name: str
    row: Row | None
    cells: tuple[int, int]
    sheet: Sheet
    outline: Outline


@dataclass(frozen=True, slots=True)
class Style:
    """How one kind of fold is made."""

    name: str
    method: Method
    hinge: Face
    width: float = 0.0
    order: int = 0
    radius: float = 0.0


@dataclass(frozen=True, slots=True, eq=False)
class Draft:
    """All panels of a wing, folded, in the wing's frame, and how each pair is joined.

    limits: what live hinges clear, rad, by fold.
    """

    grid: Grid
    panels: Mapping[str, Panel]
    styles: Mapping[Key, Style]
    limits: Mapping[str, float]


def styles(part: FoldedWing, board: Board) -> Mapping[tuple[Row, Row], Style]:
    """The folds along the span, by the two rows they join in chain order."""
    ridge: Method = part.ridge.method
    width = part.ridge.tool_width_mm or board.crush_width
    radius = board.radius if ridge == "crush" else 0.0
    # the third ridge turns up, its skin whole on face B; a slit there would be cut from face B
    third: Method = "groove" if ridge == "slit" else ridge
    found: dict[tuple[Row, Row], Style] = {
        ("front", "aft"): Style("ridge", ridge, "b" if ridge == "slit" else "a", width, 3, radius),
        ("aft", "trailing"): Style("crease", third, "b", width, 2, radius),
    }
    nose = part.nose
    if nose.method == "slit":
        return found | {("strip", "front"): Style("nose", "slit", "b", order=4)}
    width = nose.tool_width_mm or board.crush_width
    radius = board.radius if nose.fold == "crush" else 0.0
    if nose.method == "mitre":
        return found | {("strip", "front"): Style("nose", nose.fold, "a", width, 4, radius)}
    return found | {
        ("nose", "front"): Style("nose-top", nose.fold, "a", width, 4, radius),
        ("strip", "nose"): Style("nose-bottom", nose.fold, "a", width, 5, radius),
    }


def draft(part: FoldedWing, board: Board, grid: Grid, controls: Sequence[Placed]) -> Draft:
    """Draw every panel of the grid."""
    made = styles(part, board)
    hinges: Hinges = {rows: style.hinge for rows, style in made.items()}
    drafter = Drafter(grid, hinges)
    carrier: Row = "trailing" if "trailing" in grid.rows else "aft"
    tail = Tail(drafter, tuple(controls))
    panels: dict[str, Panel] = {}
    notches: list[tuple[Notch, Group]] = []
    for row in (row for row in FROM_ROOT if row in grid.rows):
        for group in grid.groups[row]:
            outline, own = _outline(drafter, group, tail if row == carrier else None)
            panels[group.name] = Panel(group.name, row, (group.first, group.last), group.sheet, outline)
            notches += [(notch, group) for notch in own]
    joined: dict[Key, Style] = {}
    for rows, style in made.items():
        joined |= _between(grid, rows, style)
    joined |= _across(grid)
    for notch, group in notches:
        panels[notch.name] = Panel(
            notch.name, None, (group.first, group.last), group.sheet, flap_outline(notch)
        )
        joined[notch.key] = Style(notch.name, "live", notch.part.hinge_face, order=1)
    limits = {notch.name: radians(notch.part.bevel_limit_deg) for notch, _ in notches}
    return Draft(grid, panels, joined, limits)


def _outline(drafter: Drafter, group: Group, tail: Tail | None) -> tuple[Outline, list[Notch]]:
    """Outline of one panel; begun at its left fore corner."""
    left, right = drafter.end(group, right=False), drafter.end(group, right=True)
    ring, notches = Outline(), list[Notch]()
    fore = drafter.side(group, group.first, -1)
    if group.row == "strip":
        # it looks down: its fore side takes the place of the aft one, and the ring begins one corner later
        ring.add(meet(left.line, fore.line), left.fold, left.cut)
        last = drafter.run(group, 1, ring, (left, right), rightward=True)
        ring.add(meet(right.line, last), right.fold, right.cut)
        drafter.run(group, -1, ring, (right, left), rightward=False)
        return ring.turned(1), notches
    ring.add(meet(left.line, fore.line), left.fold, left.cut)
    if tail is not None:
        notches = tail.run(group, ring, (left, right))
    else:
        last = drafter.run(group, 1, ring, (left, right), rightward=True)
        ring.add(meet(right.line, last), right.fold, right.cut)
    drafter.run(group, -1, ring, (right, left), rightward=False)
    return ring, notches


def _between(grid: Grid, rows: tuple[Row, Row], style: Style) -> dict[Key, Style]:
    """Folds along the span between two rows, one for every pair of panels that share a stretch."""
    if any(row not in grid.rows for row in rows) or ordered(*rows) != rows:
        return {}
    found: dict[Key, Style] = {}
    for cell in range(len(grid.cells)):
        one, other = (grid.group(row, cell) for row in rows)
        key = pair(one, other)
        # named like the panel that runs over fewer bays
        short = min((one, other), key=lambda group: group.last - group.first)
        found[key] = replace(style, name=style.name + short.name[len(short.row) :])
    return found


def _across(grid: Grid) -> dict[Key, Style]:
    """Folds at the centre and between bays: a groove opened on the inside, the outer skin whole."""
    found: dict[Key, Style] = {}
    for index, gap in enumerate(grid.breaks):
        for row, state in gap.states.items():
            if state != "fold":
                continue
            one, other = grid.group(row, index), grid.group(row, index + 1)
            outboard = other if grid.cells[index + 1].side > 0 else one
            centre = grid.cells[index].side != grid.cells[index + 1].side
            name = "centre" if centre else "joint" + outboard.name[len(row) :]
            found[pair(one, other)] = Style(name, "groove", "a", order=CENTRE_ORDER)
    return found


def flat_blank(name: str, part: Draft, piece: tuple[int, int], place: FloatArray) -> Blank:
    """One connected blank laid flat. piece: its first and last cell; place: 4x4 wing to aeroplane."""
    first, last = piece
    panels = {p.name: p for p in part.panels.values() if first <= p.cells[0] and p.cells[1] <= last}
    root = _root(part.grid, panels, piece)
    order = [root, *(p for p in panels.values() if p is not root)]
    edges, cuts = _edges(order)
    moved = tuple(_space(panel, place) for panel in order)
    folds = tuple(_tree(part, root.name, edges))
    return unfold(name, part.grid.t, moved, folds, place[:3, 0], cuts)


def _root(grid: Grid, panels: Mapping[str, Panel], piece: tuple[int, int]) -> Panel:
    """The aftmost upper panel that runs over the whole piece, else the inmost upper panel of the right."""
    for row in ("aft", "front", "strip"):
        for panel in panels.values():
            if panel.row == row and panel.cells == piece:
                return panel
    right = max(piece[0], len(grid.cells) // 2) if piece[1] >= len(grid.cells) // 2 else piece[1]
    name = grid.group("front", right).name
    return panels[name]


def _edges(panels: Iterable[Panel]) -> tuple[dict[tuple[str, Key], int], dict[tuple[str, int], EdgeCut]]:
    """Number of the edge of each panel along each fold, and the cuts of free edges."""
    edges: dict[tuple[str, Key], int] = {}
    cuts: dict[tuple[str, int], EdgeCut] = {}
    for panel in panels:
        for index, (fold, cut) in enumerate(zip(panel.outline.folds, panel.outline.cuts, strict=True)):
            if fold is not None:
                edges[panel.name, fold] = index
            elif cut is not SQUARE:
                cuts[panel.name, index] = cut
    return edges, cuts


def _tree(part: Draft, root: str, edges: Mapping[tuple[str, Key], int]) -> Iterable[SpaceFold]:
    """Folds from the root outward, each parent before its children."""
    beside: dict[str, list[Key]] = {}
    for key in part.styles:
        if (key[0], key) in edges and (key[1], key) in edges:
            for name in key:
                beside.setdefault(name, []).append(key)
    seen = {root}
    stack = [(root, key) for key in reversed(beside.get(root, []))]
    while stack:
        parent, key = stack.pop()
        child = key[1] if key[0] == parent else key[0]
        if child in seen:
            continue
        seen.add(child)
        style = part.styles[key]
        yield SpaceFold(
            style.name, parent, child, edges[parent, key], edges[child, key], style.method, style.hinge,
            style.width, part.limits.get(style.name, 0.0),
            style.order, style.radius,
        )  # fmt: skip
        stack += [(child, other) for other in reversed(beside[child]) if other != key]


def _space(panel: Panel, place: FloatArray) -> SpacePanel:
    normal = place[:3, :3] @ np.array(panel.sheet.plane.normal)
    offset = panel.sheet.plane.offset + float(normal @ place[:3, 3])
    corners = apply(place, panel.sheet.space(panel.outline.corners))
    return SpacePanel(panel.name, normal, offset, corners)


def crossed(part: Draft) -> tuple[str, ...]:
    """Panels whose edges have passed each other, so that nothing of them is left."""
    return tuple(name for name, panel in part.panels.items() if signed_area(panel.outline.corners) <= 1.0)


def left_twin(blank: Blank, name: str) -> Blank:
    """The left half's blank: mirrored polygons, panels and folds named by their side."""
    twin = mirror_blank(blank, name)

    def left(old: str) -> str:
        head, side, tail = old.rpartition("-right")
        return f"{head}-left{tail}" if side else old

    return replace(
        twin,
        panels=tuple(replace(panel, name=left(panel.name)) for panel in twin.panels),
        folds=tuple(
            replace(fold, name=left(fold.name), parent=left(fold.parent), child=left(fold.child))
            for fold in twin.folds
        ),
        root=left(twin.root),
    )
