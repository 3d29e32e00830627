"""Lines of a folded wing besides its outlines: glue and tape, and the marks that help to put it together."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

import numpy as np

from foldwright.airframe.model import MarkRequest, Seam
from foldwright.airframe.wing_bays import BayShape
from foldwright.airframe.wing_controls import Placed, control_name
from foldwright.airframe.wing_grid import Grid, Row
from foldwright.airframe.wing_spar import Run, straight
from foldwright.base.types import FloatArray
from foldwright.design.parts import FoldedWing
from foldwright.geometry.transform import apply

FLIP = np.array([1.0, -1.0, 1.0])
_STRAIGHT = 1e-9
_SHORTER = 2.0  # mm: a mark begins and ends this far from the strip's edges


def seams(
    part: FoldedWing, grid: Grid, found: Sequence[Run], controls: Sequence[Placed], place: FloatArray
) -> tuple[Seam, ...]:
    """Glue along strip edge, spar top and bottom, an open nose and cut joints; tape along the hinges."""
    bays = tuple(cell.shape for cell in grid.cells if cell.side > 0)
    ends = {cell.shape.number: cell.end for cell in grid.cells}

    def ridge(share: float) -> FloatArray:
        return _tip_to_tip(
            [run.line(0.0, [run.stands(s) * share for s in (run.low, run.high)]) for run in found]
        )

    def along(edge: str) -> FloatArray:
        return _tip_to_tip([_edge(bay, edge, ends[bay.number]) for bay in bays])

    lines = [
        ("strip-edge", along("strip")), ("spar-top", ridge(1.0)), ("spar-bottom", ridge(0.0)),
    ]  # fmt: skip
    if bays[0].method == "slit":
        lines.append(("nose", along("nose")))
    made = [Seam(f"{part.id}/{name}", "glue", apply(place, line)) for name, line in lines]
    made += _joints(part, grid, place)
    for side in (-1, 1):
        for control in sorted(controls, key=lambda c: side * c.inner):
            name = f"{part.id}/{control_name(control.part, side)}"
            points = _hinge(bays[control.bay], control)
            points = points if side > 0 else points[::-1] * FLIP
            made.append(Seam(name, "tape", apply(place, points)))
    return tuple(made)


def _edge(bay: BayShape, edge: str, end: float) -> FloatArray:
    """The strip's glued edge, or the middle of a slit nose's opened foot, at both ends of a bay."""
    rows = []
    for s in (0.0, end):
        here = bay.at(s)
        rows.append((here.aft + (here.strip if edge == "strip" else bay.start / 2.0), s, 0.0))
    return bay.space(np.array(rows))


def _tip_to_tip(lines: Sequence[FloatArray]) -> FloatArray:
    """Lines of the right half from the centre outward made one, with their mirror image."""
    right = [lines[0][0] * np.array([1.0, 0.0, 1.0])]
    for one, other in pairwise(lines):
        right.append(0.5 * (one[1] + other[0]))
    right.append(lines[-1][1])
    points = [*(point * FLIP for point in reversed(right[1:])), *right]
    kept = [points[0]]
    for here, after in pairwise(points[1:]):
        if float(np.linalg.norm(np.cross(here - kept[-1], after - here))) > _STRAIGHT * 1e3:
            kept.append(here)
    return np.array([*kept, points[-1]])


def _joints(part: FoldedWing, grid: Grid, place: FloatArray) -> list[Seam]:
    """Glue where panels are cut between the halves and between bays: along their inner skins."""
    found = []
    middle = len(grid.cells) // 2
    for index in range(middle - 1, len(grid.breaks)):
        cell = grid.cells[index + 1]
        cut = [row for row in grid.rows if row != "nose" and grid.breaks[index].states[row] == "cut"]
        sides = ((1.0, ""),) if index == middle - 1 else ((1.0, "-right"), (-1.0, "-left"))
        name = "centre" if index == middle - 1 else f"joint-{cell.shape.number + 1}"
        for row in cut:
            line = cell.shape.space(np.array(_across(cell.shape, row)))
            if index == middle - 1:
                line = line * np.array([1.0, 0.0, 1.0])
            for flip, tail in sides:
                points = apply(place, line * np.array([1.0, flip, 1.0]))
                found.append(Seam(f"{part.id}/{name}-{row}{tail}", "glue", points))
    return found


def _across(bay: BayShape, row: Row) -> list[tuple[float, float, float]]:
    """The run of one row along the chord at a bay's inner end, (x, s, z)."""
    here = bay.inner
    strip = here.strip + bay.land
    last = here.strip if bay.level else here.chord
    drop = 0.0 if bay.level else bay.aft_gradient[0] * (here.chord - here.strip)
    rows = {
        "strip": ((bay.start, 0.0), (strip, 0.0)),
        "front": ((bay.start, 0.0), (here.spar, here.height)),
        "aft": ((here.spar, here.height), (last, drop)),
        "trailing": ((here.strip, 0.0), (here.chord, 0.0)),
    }
    return [(here.aft + x, 0.0, z) for x, z in rows[row]]


def _hinge(bay: BayShape, control: Placed) -> FloatArray:
    """Ends of a control's hinge line on its skin, wing's frame, right half."""
    up = bay.t if control.part.hinge_face == "a" else 0.0
    gx, _ = bay.aft_gradient
    slope = 1.0 if bay.level else 1.0 / (1.0 + gx * gx) ** 0.5
    rows = []
    for s in (control.inner, control.outer):
        here = bay.at(s)
        x = here.chord - control.chord(s) * slope
        rows.append((here.aft + x, s, up if bay.level else up + gx * (x - here.strip)))
    return bay.space(np.array(rows))


def guides(
    grid: Grid, found: Sequence[Run], blank_of: Sequence[str], place: FloatArray
) -> tuple[MarkRequest, ...]:
    """Where the spar stands on the strip's inner face, and the centre line on the outside.

    blank_of: name of the blank of each cell, from left to right. Seen from below, the first inner face is
    the strip's.
    """
    middle = len(grid.cells) // 2
    made: list[MarkRequest] = []
    width = found[0].width
    if straight(found) and len(set(blank_of)) == 1:
        end = sum(run.high for run in found)
        for out in (-width / 2.0, width / 2.0):
            x = found[0].x(0.0) + out
            made.append(
                _mark("spar", blank_of[0], apply(place, np.array([(x, -end, 0.0), (x, end, 0.0)])), "b")
            )
    else:
        for run in found:
            for side, flip in ((1, 1.0), (-1, -1.0)):
                cell = middle + run.bay.number if side > 0 else middle - 1 - run.bay.number
                for out in (-width / 2.0, width / 2.0):
                    line = run.mark(out, min(_SHORTER, 0.4 * run.high)) * np.array([1.0, flip, 1.0])
                    made.append(_mark("spar", blank_of[cell], apply(place, line), "b"))
    if grid.breaks[middle - 1].states["strip"] == "whole":
        bay = grid.cells[middle].shape
        ends = [(bay.start + _SHORTER, 0.0, 0.0), (bay.inner.strip - _SHORTER, 0.0, 0.0)]
        # it helps in putting together; where a bevel takes its place it falls away
        made.append(replace(_mark("centre", blank_of[middle], apply(place, np.array(ends)), None), least=0.0))
    return tuple(made)


def _mark(name: str, blank: str, line: FloatArray, face: str | None) -> MarkRequest:
    points = tuple((float(x), float(y), float(z)) for x, y, z in line)
    return MarkRequest(name, blank, "+z", points, "b" if face == "b" else None)


def washout_block(bay: BayShape) -> tuple[float, float]:
    """Block that warps the washout in, with the under strip flat on the board, and the step in it, mm.

    First principles: turned about the strip's front edge the lower corner of the trailing edge comes to
    chord*sin(washout) + step*cos(washout); the step is how high it lies over the strip's under face by
    itself. Negative (washed in): under the leading edge, without a step.
    """
    turn, end = bay.plan.outer.washout, bay.outer
    if turn <= 0.0:
        return end.chord * float(np.sin(turn)), 0.0
    runs_on = bay.land >= end.chord - end.strip - _SHORTER
    fall = (bay.t if runs_on else 0.0) if bay.level else -bay.aft_gradient[0] * (end.chord - end.strip)
    step = max(bay.t - fall, 0.0)
    return float(end.chord * np.sin(turn) + step * np.cos(turn)), step
