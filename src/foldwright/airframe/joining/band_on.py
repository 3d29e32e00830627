"""Joints of kind "band_on"."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from foldwright.airframe.bench import Bench
from foldwright.airframe.joined import Joined
from foldwright.airframe.model import PartBuild
from foldwright.airframe.saddle import seat
from foldwright.airframe.saddle_dowels import with_dowels
from foldwright.airframe.squaring import finished
from foldwright.design.parts import BandOn, Part

MODEL = BandOn
ORDER = 52


def join(parts: Mapping[str, Part], builds: Mapping[str, PartBuild], joint: BandOn, bench: Bench) -> Joined:
    """Seat the first part in the second and put dowels for its rubber bands through the sides."""
    del parts
    wing, body = (builds[name] for name in joint.parts)
    done = seat(wing, body, joint, bench.board)
    bought = bench.bought(joint.id)
    if not done.cut or bought is None:
        return finished(joint, wing, done, glued=False)
    held = with_dowels(wing, done.body, joint, bought)
    joined = finished(
        joint, wing, replace(done, body=held.body), glued=False, notes=held.notes, figures=held.figures
    )
    shown = joined.shown
    if shown is not None:
        shown = replace(shown, second=(*shown.second, *held.cut))
    return replace(joined, findings=(*joined.findings, *held.findings), shown=shown)
