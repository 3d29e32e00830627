"""Parts of kind "v_tail": two panels of single board in a V."""

from __future__ import annotations

from math import radians

import numpy as np

from foldwright.airframe.bench import Bench
from foldwright.airframe.flat_checks import check_control, check_form
from foldwright.airframe.flat_controls import Wanted
from foldwright.airframe.flat_form import FlatEnd, FlatForm
from foldwright.airframe.flat_lift import Lifts
from foldwright.airframe.flat_surface import Single, make
from foldwright.airframe.flat_words import notes, titles
from foldwright.airframe.model import PartBuild
from foldwright.design.tails import VTail
from foldwright.geometry.transform import shift, turn

MODEL = VTail


def build(part: VTail, bench: Bench) -> PartBuild:
    """Blanks, lifting surface, ruddervators, seams. One that cannot be built has findings and no blanks."""
    ends = (
        FlatEnd(0.0, 0.0, part.root_mm),
        FlatEnd(part.length_mm, part.tip_aft_mm, part.tip_aft_mm + part.tip_mm),
    )
    form = FlatForm(ends, (radians(part.angle_deg),), part.joint == "one", bench.board.thickness)
    wanted = tuple(Wanted(control, control.inner_mm, control.outer_mm) for control in part.control)
    findings = tuple(check_form(part.id, form, bay_key="length_mm"))
    findings += tuple(found for one in wanted for found in check_control(part.id, form, one))
    if any(finding.verdict == "no-go" for finding in findings):
        return PartBuild(part.id, (), findings=findings)
    incidence = radians(part.incidence_deg)
    place = shift(part.x_mm, 0.0, part.z_mm) @ turn(np.zeros(3), np.array([0.0, 1.0, 0.0]), incidence)
    asked = Single(Lifts(part.id, "v_tail", True), form, place, (0.0,), wanted)
    made = make(asked)
    return PartBuild(
        part.id, made.blanks, surfaces=(made.surface,), seams=made.seams, findings=findings,
        guides=made.guides, notes=notes(asked, made), titles=titles(made, "V-tail"),
    )  # fmt: skip
