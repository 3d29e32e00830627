"""Joints of kind "saddle"."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from foldwright.airframe.bench import Bench
from foldwright.airframe.joined import Joined
from foldwright.airframe.model import PartBuild
from foldwright.airframe.saddle import seat
from foldwright.design.parts import Part, Saddle

MODEL = Saddle
ORDER = 50


def join(parts: Mapping[str, Part], builds: Mapping[str, PartBuild], joint: Saddle, bench: Bench) -> Joined:
    """Seat the first part in the second."""
    del parts
    first, second = joint.parts
    body, found, seams = seat(builds[first], builds[second], joint, bench.board)
    return Joined({second: replace(body, seams=body.seams + seams)}, found)
