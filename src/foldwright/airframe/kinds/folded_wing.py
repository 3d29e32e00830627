"""Parts of kind "folded_wing"."""

from __future__ import annotations

from foldwright.airframe.bench import Bench
from foldwright.airframe.model import PartBuild
from foldwright.airframe.wing import build_wing
from foldwright.design.parts import FoldedWing

MODEL = FoldedWing


def build(part: FoldedWing, bench: Bench) -> PartBuild:
    """Build one (see `airframe.wing`)."""
    return build_wing(part, bench.board, bench.bought(part.id))
