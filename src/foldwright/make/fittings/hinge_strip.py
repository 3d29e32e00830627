"""The hinge strip as a solid. Printed flat, the web on the bed."""

from __future__ import annotations

from foldwright.airframe.fittings.hinge_strip import GLUE_HOLE_MM, WEB_LONG_MM, HingeStripShape
from foldwright.design.workshop import Printer
from foldwright.geometry.solid.core import box, rod, union, without
from foldwright.make.printing import Made

SHAPE = HingeStripShape


def solid(shape: HingeStripShape, printer: Printer) -> Made:
    """Two leaves and the web between them."""
    half, inner = shape.long / 2.0, WEB_LONG_MM / 2.0
    parts = [
        box((-shape.reach, -half, 0.0), (-inner, half, shape.thick)),
        box((inner, -half, 0.0), (shape.reach, half, shape.thick)),
        box((-shape.reach, -half, 0.0), (shape.reach, half, shape.web)),
    ]
    holes = [rod((x, y, -1.0), (x, y, shape.thick + 1.0), GLUE_HOLE_MM) for x, y in shape.glue_holes]
    layers = round(shape.web / printer.layer_mm, 1)
    notes = (
        f"the web is {shape.web:g} mm, {layers:g} layers: bend it both ways while it is warm from the bed",
        "lines of the web run square to the hinge: turn it on the bed if the slicer lays them along it",
    )
    return Made(without(union(parts), holes), orientation="flat, the web on the bed", notes=notes)
