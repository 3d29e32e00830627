"""A bought stick or tube along the body, or a pair of them: no blank, but mass, width and height."""

from __future__ import annotations

from math import cos, hypot

import numpy as np

from foldwright.airframe.bench import Bench, Bought
from foldwright.airframe.box_shell import finding, up
from foldwright.airframe.model import Bar, Body, MassItem, Note, PartBuild
from foldwright.base.types import FloatArray
from foldwright.design.bodies import Stick
from foldwright.geometry.fold.mass import line_moments

LEAST_LENGTH = 50.0  # mm: judgement; a shorter one carries nothing


def build_stick(part: Stick, bench: Bench) -> PartBuild:
    """Mass, place, cross-sections and length of a stick; a pair is named `<id>/right` and `<id>/left`.

    What the stock does not hold has a finding elsewhere; then there is nothing to build.
    """
    bought = bench.bought(part.id)
    if bought is None:
        return PartBuild(part.id, ())
    lines = _lines(part)
    length = float(np.linalg.norm(np.diff(lines[0][1], axis=0)))
    found = []
    if part.to_mm - part.from_mm < LEAST_LENGTH:
        need = up(part.from_mm + LEAST_LENGTH)
        found.append(
            finding(
                f"{part.id}.to_mm", "G153", part.to_mm - part.from_mm, LEAST_LENGTH, name=part.id,
                length=part.to_mm - part.from_mm, least=LEAST_LENGTH, need=need,
            )
        )  # fmt: skip
    return PartBuild(
        part.id, (), bodies=tuple(_section(name, ends, bought) for name, ends in lines),
        masses=tuple(_mass(name, ends, bought) for name, ends in lines), findings=tuple(found),
        bars=tuple(
            Bar(name, ends, bought.width, bought.height, bought.material, bought.form) for name, ends in lines
        ),
        notes=(Note("G157", part.id, {"length": round(length, 1), "count": len(lines)}),),
    )  # fmt: skip


def _lines(part: Stick) -> list[tuple[str, FloatArray]]:
    """Names and ends (2, 3) of the middle lines."""
    rear = part.z_mm if part.rear_z_mm is None else part.rear_z_mm
    line = np.array([(part.from_mm, part.y_mm, part.z_mm), (part.to_mm, part.y_mm, rear)])
    if not part.mirrored:
        return [(part.id, line)]
    flip = np.array([1.0, -1.0, 1.0])
    right, left = (line, line * flip) if part.y_mm > 0.0 else (line * flip, line)
    return [(f"{part.id}/right", right), (f"{part.id}/left", left)]


def _mass(name: str, ends: FloatArray, bought: Bought) -> MassItem:
    run = ends[1] - ends[0]
    size = (float(abs(run[0])), bought.width, bought.height + float(abs(run[2])))
    return MassItem(name, "fitting", line_moments(ends, bought.g_m / 1000.0), size)


def _section(name: str, ends: FloatArray, bought: Bought) -> Body:
    """Its width, and its height as cut upright."""
    run = ends[1] - ends[0]
    upright = bought.height / cos(float(np.arctan2(run[2], hypot(run[0], run[1]))))
    return Body(name, ends[:, 0].copy(), np.full(2, float(bought.width)), np.full(2, upright))
