"""The plate behind a motor mount's former as a solid. Printed flat."""

from __future__ import annotations

from foldwright.airframe.fittings.mount_backing import BackingShape
from foldwright.design.workshop import Printer
from foldwright.geometry.solid.core import extrude
from foldwright.make.printing import Made

SHAPE = BackingShape

GLUED = (
    "Screw it and the mount on with the nuts behind it, then put a drop of glue on each nut: plate and nuts"
    " stay when the mount comes off."
)


def solid(shape: BackingShape, _printer: Printer) -> Made:
    """A flat plate with holes for the screws, open where leads go through."""
    return Made(
        extrude(shape.drilled, shape.thick),
        orientation="flat",
        notes=(GLUED,),
    )
