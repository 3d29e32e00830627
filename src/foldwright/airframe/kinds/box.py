"""Parts of kind "box"."""

from __future__ import annotations

from foldwright.airframe.bench import Bench
from foldwright.airframe.box import build_box
from foldwright.airframe.model import PartBuild
from foldwright.design.parts import Box

MODEL = Box


def build(part: Box, bench: Bench) -> PartBuild:
    """Build one (see `airframe.box`)."""
    return build_box(part, bench.board, bench.motor_tilt)
