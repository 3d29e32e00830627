"""Parts of kind "plate"."""

from __future__ import annotations

from foldwright.airframe.bench import Bench
from foldwright.airframe.model import PartBuild
from foldwright.airframe.plate import build_plate
from foldwright.design.parts import Plate

MODEL = Plate


def build(part: Plate, bench: Bench) -> PartBuild:
    """Build one (see `airframe.plate`)."""
    return build_plate(part, bench.board)
