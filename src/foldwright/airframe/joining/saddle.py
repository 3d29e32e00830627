"""Joints of kind "saddle"."""

from __future__ import annotations

from collections.abc import Mapping

from foldwright.airframe.bench import Bench
from foldwright.airframe.joined import Joined
from foldwright.airframe.model import PartBuild
from foldwright.airframe.saddle import seat
from foldwright.airframe.squaring import finished
from foldwright.design.parts import Part, Saddle

MODEL = Saddle
ORDER = 50


def join(parts: Mapping[str, Part], builds: Mapping[str, PartBuild], joint: Saddle, bench: Bench) -> Joined:
    """Seat the first part in the second."""
    del parts
    wing, body = (builds[name] for name in joint.parts)
    done = seat(wing, body, joint, bench.board)
    return finished(joint, wing, done, glued=joint.glued)
