"""Joints of kind "through"."""

from __future__ import annotations

from collections.abc import Mapping

from foldwright.airframe.bench import Bench
from foldwright.airframe.joined import Joined
from foldwright.airframe.model import Note, PartBuild
from foldwright.airframe.saddle_through import push_through
from foldwright.airframe.squaring import finished
from foldwright.design.parts import Part, Through

MODEL = Through
ORDER = 51


def join(parts: Mapping[str, Part], builds: Mapping[str, PartBuild], joint: Through, bench: Bench) -> Joined:
    """Push the first part through slots in the second."""
    del parts
    wing, body = (builds[name] for name in joint.parts)
    done = push_through(wing, body, joint, bench.board)
    note = Note("G171", wing.id, {"part": wing.id, "other": body.id})
    return finished(joint, wing, done, glued=joint.glued, notes=(note,))
