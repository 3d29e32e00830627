"""Parts of kind "plate_wing"."""

from __future__ import annotations

from foldwright.airframe.bench import Bench
from foldwright.airframe.flat_wing import build_plate_wing
from foldwright.airframe.model import PartBuild
from foldwright.design.wings import PlateWing

MODEL = PlateWing


def build(part: PlateWing, bench: Bench) -> PartBuild:
    """Build one (see `airframe.flat_wing`)."""
    return build_plate_wing(part, bench)
