"""Bevel guides: blocks whose slanting face leads a blade at the angle of a groove's flank or a hinge's bevel.

A groove that turns by theta is cut at theta / 2 from upright on both sides, a live hinge that clears a limit
at the limit on the control's side (geometry.fold.methods).
"""

from __future__ import annotations

from dataclasses import dataclass
from math import degrees, radians, tan

import numpy as np
import shapely

from foldwright.airframe.model import Airframe
from foldwright.geometry.fold.model import Fold
from foldwright.geometry.solid.core import Solid, extrude
from foldwright.geometry.solid.shape import recess
from foldwright.geometry.transform import frame
from foldwright.make.printing import Made
from foldwright.make.tools import Tool, ToolBench
from foldwright.make.tools.flat_plates import Line, title_of, written

ORDER = 60
MOST = 3
LEAST_DEG, MOST_DEG = 4.0, 60.0
"""[judgement] a flank nearer to upright is cut by eye; one flatter than this runs off under the paper."""
LONG_MM, HIGH_MM, WALL_MM = 80.0, 15.0, 5.0
"""Length, height of the guide face, wall between blade and fingers. [judgement]"""
BASE_MM, REST_MM = 4.0, 22.0
"""Thickness and width of what the fingers press on. [judgement]"""


@dataclass(frozen=True, slots=True)
class Bevel:
    """One angle from upright in whole degrees, and the folds that want it, with their length in all, mm."""

    degrees: int
    folds: tuple[str, ...]
    long: float


def make(bench: ToolBench) -> tuple[Tool, ...]:
    """A guide for each angle, at most `MOST`: those with the most foam to take away."""
    return tuple(_tool(bench, one) for one in bevels(bench.results.airframe))


def bevels(airframe: Airframe) -> tuple[Bevel, ...]:
    """The angles that the folds want, steepest from upright first."""
    found: dict[int, list[tuple[str, float]]] = {}
    for one in airframe.placed:
        for fold in one.blank.folds:
            angle = flank(fold)
            if angle is not None and LEAST_DEG <= degrees(angle) <= MOST_DEG:
                row = (f"{one.blank.name} {fold.name}", fold.length)
                found.setdefault(round(degrees(angle)), []).append(row)
    rows = [Bevel(angle, tuple(n for n, _ in each), sum(b for _, b in each)) for angle, each in found.items()]
    rows.sort(key=lambda row: (-round(row.long * tan(radians(row.degrees)), 3), row.degrees))
    return tuple(sorted(rows[:MOST], key=lambda row: -row.degrees))


def flank(fold: Fold) -> float | None:
    """Angle of the cut from upright, rad; None for a fold that is not cut at an angle."""
    if fold.method == "groove":
        return fold.angle / 2.0
    return fold.limit if fold.method == "live" else None


def guide_section(angle: float) -> shapely.Polygon:
    """The block across: y away from the line, z up; its foremost edge lies on the line, on the board.

    angle: of the guide face from upright, rad.
    """
    lean = HIGH_MM * tan(angle)
    back = lean + WALL_MM
    return shapely.Polygon([
        (0.0, 0.0), (back + REST_MM, 0.0), (back + REST_MM, BASE_MM), (back, BASE_MM), (back, HIGH_MM),
        (lean, HIGH_MM),
    ])  # fmt: skip


def guide(angle: float) -> Solid:
    """The block, standing on its base; x along the cut."""
    bar = extrude(guide_section(angle), LONG_MM)
    # its (x, y, z) become y, z, x
    return bar.placed(frame(np.zeros(3), np.array([0.0, 1.0, 0.0]), np.array([1.0, 0.0, 0.0])))


def _tool(bench: ToolBench, bevel: Bevel) -> Tool:
    angle, template = radians(bevel.degrees), bench.evaluation.workshop.template
    back = HIGH_MM * tan(angle) + WALL_MM
    rest = shapely.box(0.0, back, LONG_MM, back + REST_MM)
    at = back + REST_MM / 2.0
    lines = [
        Line(f"{bevel.degrees}°", (15.0, at), (26.0, 16.0), 0.0, 10.0),
        Line(title_of(bench), (54.0, at), (48.0, 12.0), 0.0, 6.0),
    ]
    body = guide(angle)
    for ink in written(rest, lines, template.stem_mm):
        body = recess(body, ink, template.recess_mm, BASE_MM)
    more = f" and {len(bevel.folds) - 4} more" if len(bevel.folds) > 4 else ""
    use = (
        f"For {', '.join(bevel.folds[:4])}{more}. Lay its sharp edge on the line of the bevel, the"
        " block on the board that stays; a strip of sandpaper under it keeps it from sliding. A fresh"
        f" blade flat on the slanting face cuts {bevel.degrees}° from upright: several light strokes,"
        " down to the far paper, not through it. Fingers stay behind the wall; the blade moves along"
        " it and away from the holding hand."
    )
    figures = {
        "angle_deg": float(bevel.degrees),
        "folds": float(len(bevel.folds)),
        "length_mm": round(bevel.long, 1),
    }
    return Tool(
        f"bevel-guide-{bevel.degrees}", f"Bevel guide, {bevel.degrees}°",
        Made(body, orientation="on its base, letters up"), use, figures=figures,
    )  # fmt: skip
