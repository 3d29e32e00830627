"""Parts of kind "plate"."""

from __future__ import annotations

from foldwright.airframe.bench import Bench
from foldwright.airframe.free_shape import build_free
from foldwright.airframe.model import PartBuild
from foldwright.airframe.plate import build_plate
from foldwright.design.parts import Plate

MODEL = Plate


def build(part: Plate, bench: Bench) -> PartBuild:
    """Build one: a flat board (see `airframe.plate`) or a free shape (see `airframe.free_shape`)."""
    free = part.fold or part.cutout or part.mark or part.drawing or any(part.turn_deg)
    if free or part.plane == "across":
        return build_free(part, bench)
    return build_plate(part, bench.board)
