"""A wing folded from board: bays of any planform, one blank or several, with spar, controls and tips.

Panels along the chord: strip, (nose,) front, aft, (trailing,) and the controls. Face A is the outside:
upper for front, aft and trailing, under for the strip. Where one aft panel runs across the centre it is the
root, so the blank seen from A is the wing seen from above: u aft, v to the right wing.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import radians

import numpy as np

from foldwright.airframe.bench import Bought
from foldwright.airframe.halves import BayJoint, bay_notes, halves_note
from foldwright.airframe.model import Bar, Board, MassItem, PartBuild, Placed, Seam
from foldwright.airframe.section import placed as placed_blank
from foldwright.airframe.wing_bay_checks import (
    check_bays,
    check_crossed,
    check_joint,
    joint_notes,
    washout_notes,
)
from foldwright.airframe.wing_bays import BayShape, solve_bays
from foldwright.airframe.wing_blank import Draft, crossed, draft, flat_blank, left_twin
from foldwright.airframe.wing_centre import CENTRES, Flat, allowed, settle
from foldwright.airframe.wing_checks import check_wing
from foldwright.airframe.wing_controls import Placed as PlacedControl
from foldwright.airframe.wing_controls import placed_controls
from foldwright.airframe.wing_grid import Grid, Link, bay_link, grid
from foldwright.airframe.wing_lift import lifting_surface
from foldwright.airframe.wing_lines import guides, seams
from foldwright.airframe.wing_section import solve
from foldwright.airframe.wing_spar import Run, board_spars, bought_spars, runs
from foldwright.airframe.wing_tip import cap_seams, caps
from foldwright.base.types import FloatArray
from foldwright.design.parts import FoldedWing
from foldwright.geometry.fold.model import Blank
from foldwright.geometry.transform import shift, turn


@dataclass(frozen=True, slots=True, eq=False)
class _Work:
    """What one wing is made from: its part, board, bays, the controls that lie in one bay each, place."""

    part: FoldedWing
    board: Board
    bays: tuple[BayShape, ...]
    controls: tuple[PlacedControl, ...]
    place: FloatArray

    @property
    def cap(self) -> float:
        """Millimetres of the tip that a cap takes."""
        return self.board.thickness if self.part.tip == "cap" else 0.0

    def draft(self, links: Sequence[Link], gaps: Sequence[float] = ()) -> Draft:
        """All panels, joined by those links, cut ones `gaps` mm away from the joints."""
        return draft(self.part, self.board, grid(self.bays, links, self.cap, gaps), self.controls)


def build_wing(part: FoldedWing, board: Board, bought: Bought | None = None) -> PartBuild:
    """Fold a wing part.

    bought: its spar from the stock; None: the spar is cut from the board. A wing that cannot be folded has
    findings and no blanks.
    """
    section = solve(part, board.thickness)
    bays = solve_bays(part, board.thickness)
    findings = (*check_wing(part, section, board), *check_bays(part, bays, board))
    if any(finding.verdict == "no-go" for finding in findings):
        return PartBuild(part.id, (), findings=findings)
    place = placement(part, board.thickness)
    work = _Work(part, board, bays, placed_controls(part, bays), place)
    start = (CENTRES[allowed(bays[0])[0]], *map(bay_link, bays, bays[1:]))
    first = work.draft(start)
    lost = check_crossed(part, crossed(first), first)
    if lost:
        return PartBuild(part.id, (), findings=(*findings, *lost))
    tried: dict[tuple[tuple[Link, ...], tuple[float, ...]], tuple[Grid, tuple[Blank, ...]]] = {}

    def flatten(links: tuple[Link, ...], gaps: tuple[float, ...]) -> Flat:
        made = first if links == start and not any(gaps) else work.draft(links, gaps)
        tried[links, gaps] = _mains(work, made)
        cells = {name: panel.cells for name, panel in made.panels.items()}
        return Flat(tried[links, gaps][1], cells, len(made.grid.cells))

    joints = settle(bays, part.centre, flatten)
    if joints is None:
        return PartBuild(part.id, (), findings=(*findings, *check_joint(part, bays[0])))
    made = _assembled(work, *tried[joints.links, joints.gaps], bought)
    surface = lifting_surface(part, made.grid, made.placed, work.controls, place)
    halves = () if joints.centre == "one" else (halves_note(surface),)
    joined = (*halves, *bay_notes(part.id, _bay_joints(part, bays, made.grid)))
    notes = (*joint_notes(part, bays, joints), *washout_notes(part, bays), *joined)
    return PartBuild(
        part.id,
        made.blanks,
        surfaces=(surface,),
        seams=made.seams,
        masses=made.masses,
        findings=findings,
        guides=guides(made.grid, made.runs, made.blank_of, place),
        bars=made.bars,
        notes=notes,
        titles=_titles(part, made.blanks),
    )


@dataclass(frozen=True, slots=True, eq=False)
class _Made:
    """All there is of a wing once its joints are settled. blank_of: name of each cell's blank."""

    grid: Grid
    blanks: tuple[Blank, ...]
    placed: tuple[Placed, ...]
    blank_of: tuple[str, ...]
    runs: tuple[Run, ...]
    seams: tuple[Seam, ...]
    masses: tuple[MassItem, ...]
    bars: tuple[Bar, ...]


def _assembled(work: _Work, cells: Grid, mains: tuple[Blank, ...], bought: Bought | None) -> _Made:
    part, place = work.part, work.place
    placed = tuple(placed_blank(part.id, blank) for blank in mains)
    found = runs(part, work.bays, work.cap)
    middle = len(cells.cells) // 2
    planes = [gap.plane for gap in cells.breaks[middle - 1 :]]
    blanks, masses, bars = list(mains), tuple[MassItem, ...](), tuple[Bar, ...]()
    if bought is None:
        blanks += board_spars(part, found, place, planes)
    else:
        bars, masses = bought_spars(part, found, place, bought)
    lines = seams(part, cells, found, work.controls, place)
    if work.cap:
        tips = caps(part, cells, placed, place)
        blanks += tips
        lines = (*lines, *cap_seams(tips))
    return _Made(cells, tuple(blanks), placed, _blank_of(part, cells), found, lines, masses, bars)


def _bay_joints(part: FoldedWing, bays: Sequence[BayShape], cells: Grid) -> tuple[BayJoint, ...]:
    """Where blanks of the right half meet end to end, from the centre outward."""
    middle = len(cells.cells) // 2
    found = []
    for piece, beyond in pairwise(cells.pieces):
        own = bays[max(beyond[0] - middle, 0) : beyond[1] - middle + 1]
        if beyond[0] <= middle or not own:
            continue
        inner = bays[own[0].number - 1]
        found.append(
            BayJoint(
                piece_name(part, cells, piece), piece_name(part, cells, beyond), own[0].plan.inner.y,
                inner.dihedral, tuple((bay.length, bay.dihedral) for bay in own),
            )
        )  # fmt: skip
    return tuple(found)


def _mains(work: _Work, made: Draft) -> tuple[Grid, tuple[Blank, ...]]:
    """The folded blanks of a drawn wing, right before left where they come in pairs."""
    cells = made.grid
    blanks: list[Blank] = []
    middle = len(cells.cells) // 2
    for piece in cells.pieces:
        if piece[1] < middle:
            continue
        name = piece_name(work.part, cells, piece)
        blank = flat_blank(name, made, piece, work.place)
        blanks.append(blank)
        if piece[0] >= middle:
            blanks.append(left_twin(blank, name.replace("/right", "/left")))
    return cells, tuple(blanks)


def piece_name(part: FoldedWing, cells: Grid, piece: tuple[int, int]) -> str:
    """Name of one connected blank: main across the centre, else its side and, from bay two on, its bay."""
    middle = len(cells.cells) // 2
    if piece[0] < middle <= piece[1]:
        return f"{part.id}/main"
    side = "right" if piece[0] >= middle else "left"
    number = (piece[0] - middle if piece[0] >= middle else middle - 1 - piece[1]) + 1
    return f"{part.id}/{side}" + (f"-{number}" if number > 1 else "")


def _blank_of(part: FoldedWing, cells: Grid) -> tuple[str, ...]:
    return tuple(
        piece_name(part, cells, piece) for piece in cells.pieces for _ in range(piece[0], piece[1] + 1)
    )


_TITLES = {
    "main": "Wing", "right": "Right wing", "left": "Left wing", "spar": "Wing spar",
    "spar-right": "Right wing spar", "spar-left": "Left wing spar",
    "cap-right": "Right wing tip", "cap-left": "Left wing tip",
}  # fmt: skip


def _titles(part: FoldedWing, blanks: Sequence[Blank]) -> Mapping[str, str]:
    """What each blank is, in the trade's words."""
    found = {}
    for blank in blanks:
        name = blank.name.removeprefix(f"{part.id}/")
        head, _, bay = name.rpartition("-")
        numbered = bay.isdigit()
        title = _TITLES[head if numbered else name]
        found[blank.name] = f"{title}, bay {bay}" if numbered else title
    return found


def placement(part: FoldedWing, t: float) -> FloatArray:
    """4x4 from the section frame (x from the leading edge, z from the strip's inner face) to the aeroplane.

    Incidence turns the nose up about the leading edge on the strip's under face.
    """
    # nose-up: the trailing edge goes down, a right-hand turn about +y
    pivot, axis = np.array([0.0, 0.0, -t]), np.array([0.0, 1.0, 0.0])
    return shift(part.x_mm, 0.0, part.z_mm + t) @ turn(pivot, axis, radians(part.incidence_deg))
