"""Squaring blocks: hold two boards at a corner's angle while the glue sets, clear of the bead."""

from __future__ import annotations

from dataclasses import dataclass
from math import cos, degrees, floor, radians, sin

import numpy as np
import shapely

from foldwright.airframe.fitting_places import area_of
from foldwright.airframe.model import Airframe
from foldwright.geometry.solid.core import Area, extrude
from foldwright.geometry.solid.shape import recess
from foldwright.geometry.transform import turn
from foldwright.make.printing import Made
from foldwright.make.tools import Tool, ToolBench
from foldwright.make.tools.flat_plates import Line, first_written, title_of, written

ORDER = 70
MOST = 3
TURNS_DEG = (45.0, 135.0)
"""[judgement] folds that turn by less or more than this make no corner that a block is put into."""
LEAST_MM, MOST_MM = 25.0, 60.0
"""Shortest and longest arm. [judgement]"""
ARM_MM, HIGH_MM = 13.0, 18.0
"""Width of an arm, height of the block. [judgement]"""
BEAD_MM = 6.0
"""Radius that is cut out for the glue bead. [judgement]"""
OUTSIDE_MM = 1.5
"""Radius of the relief where it is put round the outside of a corner. [judgement]"""
SHARE = 0.8
"""[judgement] an arm is so much of the room in the body, so that a hand gets it out again."""


@dataclass(frozen=True, slots=True)
class Corner:
    """One angle between boards in whole degrees; folds that have it, their length in all, mm."""

    degrees: int
    folds: tuple[str, ...]
    long: float


def make(bench: ToolBench) -> tuple[Tool, ...]:
    """Two blocks for each angle, at most `MOST` angles."""
    arm = arm_for(bench.results.airframe)
    return tuple(_tool(bench, corner, arm) for corner in corners(bench.results.airframe))


def corners(airframe: Airframe) -> tuple[Corner, ...]:
    """Angles between boards at folded corners, that of the longest folds first."""
    found: dict[int, list[tuple[str, float]]] = {}
    for one in airframe.placed:
        for fold in one.blank.folds:
            if fold.method != "live" and TURNS_DEG[0] <= degrees(fold.angle) <= TURNS_DEG[1]:
                row = (f"{one.blank.name} {fold.name}", fold.length)
                found.setdefault(round(180.0 - degrees(fold.angle)), []).append(row)
    rows = [
        Corner(angle, tuple(n for n, _ in each), sum(b for _, b in each)) for angle, each in found.items()
    ]
    return tuple(sorted(rows, key=lambda row: (-round(row.long, 3), row.degrees))[:MOST])


def arm_for(airframe: Airframe) -> float:
    """Length of the arms, mm, in steps of 5: what goes into the widest place of the slimmest body."""
    t = airframe.board.thickness
    rooms = [min(float(body.width.max()), float(body.height.max())) - 2.0 * t for body in airframe.bodies]
    fits = 5.0 * floor(SHARE * min(rooms, default=MOST_MM / SHARE) / 5.0 + 1e-9)
    return max(LEAST_MM, min(MOST_MM, fits))


def block_area(angle: float, arm: float) -> Area:
    """The block from above: one arm along x, the other `angle` (rad) from it; both corners are relieved."""
    along = shapely.box(0.0, 0.0, arm, ARM_MM)
    other = shapely.Polygon([
        (0.0, 0.0), (arm * cos(angle), arm * sin(angle)),
        (arm * cos(angle) + ARM_MM * sin(angle), arm * sin(angle) - ARM_MM * cos(angle)),
        (ARM_MM * sin(angle), -ARM_MM * cos(angle)),
    ])  # fmt: skip
    wedge = shapely.Polygon([(0.0, 0.0), (2.0 * arm, 0.0), (2.0 * arm * cos(angle), 2.0 * arm * sin(angle))])
    both = shapely.union_all([along, other]).intersection(wedge)
    # inner sides of the two arms meet here, on the corner's bisector
    reach = ARM_MM / sin(angle / 2.0)
    inner = shapely.Point(reach * cos(angle / 2.0), reach * sin(angle / 2.0)).buffer(OUTSIDE_MM)
    cut = both.difference(shapely.union_all([shapely.Point(0.0, 0.0).buffer(BEAD_MM), inner]))
    return area_of(cut)


def _tool(bench: ToolBench, corner: Corner, arm: float) -> Tool:
    angle, template = radians(corner.degrees), bench.evaluation.workshop.template
    area = block_area(angle, arm)
    body = extrude(area, HIGH_MM)
    middle, room = (arm + BEAD_MM) / 2.0, (arm - BEAD_MM - 2.0, ARM_MM - 2.0)
    texts = (f"{corner.degrees}°", f"{corner.degrees}")
    inks = first_written(
        area, [Line(text, (middle, ARM_MM / 2.0), room, 0.0, 7.0) for text in texts], template.stem_mm
    )
    if arm >= 2.0 * LEAST_MM:
        up = turn(np.zeros(3), np.array([0.0, 0.0, 1.0]), angle)[:2, :2]
        at = up @ np.array([middle, -ARM_MM / 2.0])
        line = Line(title_of(bench), (float(at[0]), float(at[1])), room, angle, 5.0)
        inks += written(area, [line], template.stem_mm)
    for ink in inks:
        body = recess(body, ink, template.recess_mm, HIGH_MM)
    more = f" and {len(corner.folds) - 4} more" if len(corner.folds) > 4 else ""
    use = (
        f"For {', '.join(corner.folds[:4])}{more}: inside the corner it holds the boards"
        f" {corner.degrees}° apart while the glue sets, outside it checks them. Press it in with its"
        " round cut over the bead and hold it with pins or a clip; hot glue burns, and sticks to the"
        f" block where the bead is more than {BEAD_MM:g} mm wide."
    )
    figures = {"angle_deg": float(corner.degrees), "arm_mm": arm, "bead_mm": BEAD_MM}
    return Tool(
        f"squaring-block-{corner.degrees}", f"Squaring block, {corner.degrees}°",
        Made(body, orientation="flat, letters up"), use, 2, None, figures,
    )  # fmt: skip
