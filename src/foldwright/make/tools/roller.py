"""A handle for a crush roller: a fork that carries a stack of washers as wide as the band to be pressed.

A roller band of about one board thickness (5 mm) makes a right-angle crush fold in 5 mm board: common
practice, no source. Made where a blank has crush folds.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil, hypot, pi

import numpy as np
import shapely

from foldwright.airframe.fitting_places import area_of
from foldwright.airframe.model import Airframe
from foldwright.base.finding import Finding
from foldwright.geometry.solid.core import Area, Solid, extrude
from foldwright.geometry.solid.shape import disc, eased, hole, recess
from foldwright.geometry.transform import turn
from foldwright.make.printing import Made
from foldwright.make.tools import Tool, ToolBench
from foldwright.make.tools.flat_plates import Line, written

ORDER = 50
WASHERS = (
    ("M8", 8.4, 16.0, 1.6),
    ("M10", 10.5, 20.0, 2.0),
    ("M12", 13.0, 24.0, 2.5),
    ("M16", 17.0, 30.0, 3.0),
)
"""Name, bore, outer diameter, thickness of plain washers, mm (ISO 7089; from memory)."""
MOST_WASHERS = 8
SCREW_MM = 4.0
"""The axle is a screw M4. [judgement]"""
HIGH_MM = 9.4
"""Height of fork and handle: 2.5 mm about the axle's hole. [judgement]"""
TIP_MM = 2.4
"""The fork's tip is cut back by this at 45 degrees, so that the washers stand out where they press."""
PRONG_MM, GRIP_MM, GRIP_WIDE_MM = 5.0, 105.0, 22.0
OFF_MM = 0.6
"""[judgement] how far the stack may be off the width wished for."""
DEEP_MM = 0.5
"""[judgement] the washers stand out of the fork by the board's thickness and this."""
PLAY_MM = 0.4
"""The hub is longer than the stack by this, so that the screw does not clamp the washers."""


@dataclass(frozen=True, slots=True)
class Stack:
    """Washers of one roller: name, bore, outer diameter, thickness of one, how many."""

    name: str
    bore: float
    outer: float
    thick: float
    count: int

    @property
    def wide(self) -> float:
        """Width of the roller."""
        return self.count * self.thick

    @property
    def proud(self) -> float:
        """How far the washers stand out of the fork."""
        half = HIGH_MM / 2.0
        return self.outer / 2.0 - hypot(half, half - TIP_MM)


def make(bench: ToolBench) -> tuple[Tool, ...]:
    """Fork and hub for every width of the design's crush folds; P75 for one that no washers make."""
    found: list[Tool] = []
    thickness = bench.results.airframe.board.thickness
    widths = crush_widths(bench.results.airframe)
    for wide in widths:
        stack = stack_for(wide, thickness)
        tail = "" if len(widths) == 1 else f"-{wide:g}"
        found += [_none(wide, thickness, tail)] if stack is None else _tools(bench, stack, wide, tail)
    return tuple(found)


def crush_widths(airframe: Airframe) -> tuple[float, ...]:
    """Widths of the bands that crush folds are pressed with, mm."""
    return tuple(sorted({
        round(fold.tool_width or airframe.board.crush_width, 1)
        for one in airframe.placed for fold in one.blank.folds if fold.method == "crush"
    }))  # fmt: skip


def stack_for(wide: float, thickness: float) -> Stack | None:
    """The washers that come nearest to a width and stand out of the fork far enough; None for none."""
    found = [
        Stack(*washer, count)
        for washer in WASHERS
        for count in range(1, MOST_WASHERS + 1)
        if abs(count * washer[3] - wide) <= OFF_MM + 1e-9
    ]
    deep = [stack for stack in found if stack.proud >= thickness + DEEP_MM]
    return min(deep, key=lambda stack: (round(abs(stack.wide - wide), 6), stack.outer), default=None)


def fork_area(stack: Stack, clearance: float) -> tuple[Area, float]:
    """The fork from above, the axle at x = 0, and the width of its gap."""
    gap = stack.wide + PLAY_MM + 2.0 * clearance
    root = stack.outer / 2.0 + 2.0
    half = gap / 2.0 + PRONG_MM
    wide = max(half, GRIP_WIDE_MM / 2.0)
    head = shapely.box(-HIGH_MM / 2.0, -half, root + 12.0, half)
    grip = shapely.box(root, -wide, root + GRIP_MM, wide)
    whole = eased(area_of(shapely.union_all([head, eased(grip, 5.0)])), 1.0)
    slot = shapely.box(-HIGH_MM, -gap / 2.0, root, gap / 2.0)
    return eased(area_of(whole.difference(slot)), 1.0), gap


def fork(stack: Stack, clearance: float) -> Solid:
    """Fork and handle, lying flat, with the axle's hole across."""
    area, _ = fork_area(stack, clearance)
    x0, _, x1, y1 = area.bounds
    side = shapely.Polygon([
        (x0 + TIP_MM, 0.0), (x1, 0.0), (x1, HIGH_MM), (x0 + TIP_MM, HIGH_MM), (x0, HIGH_MM - TIP_MM),
        (x0, TIP_MM),
    ])  # fmt: skip
    across = extrude(side, 2.0 * y1 + 2.0, -y1 - 1.0).placed(
        turn(np.zeros(3), np.array([1.0, 0.0, 0.0]), pi / 2.0)
    )
    body = extrude(area, HIGH_MM) & across
    return hole(body, (0.0, 0.0, HIGH_MM / 2.0), SCREW_MM + clearance, (0.0, 1.0, 0.0))


def hub(stack: Stack, clearance: float) -> Solid:
    """The bush that the washers sit on and the axle turns in, standing."""
    ring = disc((0.0, 0.0), stack.bore - clearance).difference(disc((0.0, 0.0), SCREW_MM + clearance))
    return extrude(area_of(ring), stack.wide + PLAY_MM)


def _tools(bench: ToolBench, stack: Stack, wide: float, tail: str) -> list[Tool]:
    clearance, template = bench.printer.clearance_mm, bench.evaluation.workshop.template
    area, gap = fork_area(stack, clearance)
    room = shapely.box(stack.outer / 2.0 + 6.0, area.bounds[1], area.bounds[2], area.bounds[3])
    at = (stack.outer / 2.0 + 2.0 + GRIP_MM / 2.0, 0.0)
    line = Line(
        f"roller {stack.wide:g} mm, {stack.count} x {stack.name}", at, (GRIP_MM - 10.0, 12.0), 0.0, 7.0
    )
    body = fork(stack, clearance)
    for ink in written(area_of(area.intersection(room)), [line], template.stem_mm):
        body = recess(body, ink, template.recess_mm, HIGH_MM)
    screw = 5.0 * ceil((gap + 2.0 * PRONG_MM + 5.0) / 5.0)
    figures = {
        "band_mm": stack.wide, "wanted_mm": wide, "washers": float(stack.count),
        "washer_outer_mm": stack.outer, "proud_mm": round(stack.proud, 2), "screw_mm": screw,
    }  # fmt: skip
    use = (
        f"Put {stack.count} washers {stack.name} (ISO 7089, {stack.outer:g} mm across) on the hub and"
        f" both into the fork on a screw M4 x {screw:g} with a locknut; the band is {stack.wide:g} mm"
        f" wide, the folds want {wide:g} mm. Roll along the crush line by a straight edge, lightly"
        " first, three or four times. Keep fingers out of the fork, and take burrs off the washers"
        " with a file."
    )
    return [
        Tool(f"crush-roller{tail}", f"Handle for a crush roller, {stack.wide:g} mm",
             Made(body, orientation="flat, letters up"), use, figures=figures),
        Tool(f"crush-roller-hub{tail}", f"Hub for the crush roller, {stack.wide:g} mm",
             Made(hub(stack, clearance), orientation="standing"),
             "Goes into the washers' bore; the screw turns in it.", infill=1.0),
    ]  # fmt: skip


def _none(wide: float, thickness: float, tail: str) -> Tool:
    stacks = [Stack(*washer, 1) for washer in WASHERS]
    good = [stack for stack in stacks if stack.proud >= thickness + DEEP_MM] or stacks[-1:]
    least = min(stack.thick for stack in good) - OFF_MM
    most = max(stack.thick for stack in good) * MOST_WASHERS
    facts = {"wide": wide, "deep": round(thickness + DEEP_MM, 1), "least": round(least, 1), "most": most}
    found = Finding("P75", "watch", "fold.crush_width_mm", facts, wide, None, "mm")
    return Tool(f"crush-roller{tail}", "Handle for a crush roller", None, "", findings=(found,))
