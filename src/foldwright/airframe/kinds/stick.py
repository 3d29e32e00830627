"""Parts of kind "stick"."""

from __future__ import annotations

from foldwright.airframe.bench import Bench
from foldwright.airframe.model import PartBuild
from foldwright.airframe.stick import build_stick
from foldwright.design.parts import Stick

MODEL = Stick


def build(part: Stick, bench: Bench) -> PartBuild:
    """Build one (see `airframe.stick`)."""
    return build_stick(part, bench)
