"""Rules B20-B21: the room promised to a payload is free."""

from __future__ import annotations

import numpy as np

from foldwright.base.finding import Finding, Verdict
from foldwright.base.types import FloatArray
from foldwright.design.equipment import PayloadBay
from foldwright.review.geometry_rules import CLASH_MM, equipment_boxes, plain
from foldwright.review.room_rules import PRESS_MM, STUCK_MM, Thing, deepest
from foldwright.review.subject import CureKey, Rule, Subject, judged


def bay_free(subject: Subject) -> tuple[Finding, ...]:
    """B20: nothing but its own payload stands in a payload bay, and the payload stands within it."""
    found: list[Finding] = []
    for bay in subject.design.bay:
        low, high = _corners(bay)
        worst, name, how = 0.0, "Nothing", "stands in it"
        for item, start, stop in equipment_boxes(subject):
            if plain(item) in bay.holds:
                depth, says = float(max((low - start).max(), (stop - high).max())), "reaches out of it"
            else:
                depth = float(np.min(np.minimum(high, stop) - np.maximum(low, start)))
                says = "stands in it"
            if depth > max(worst, CLASH_MM):
                worst, name, how = depth, item, says
        verdict: Verdict = "watch" if worst > CLASH_MM else "clear"
        found += judged(
            "B20", verdict, f"bay.{bay.id}", worst, CLASH_MM, "mm", "geometry", bay=bay.id, name=name,
            how=how, depth=round(worst, 1), limit_mm=CLASH_MM,
        )  # fmt: skip
    return tuple(found)


def _corners(bay: PayloadBay) -> tuple[FloatArray, FloatArray]:
    centre, half = np.array([bay.x_mm, bay.y_mm, bay.z_mm]), np.array(bay.size_mm) / 2.0
    return centre - half, centre + half


def bay_in_board(subject: Subject) -> tuple[Finding, ...]:
    """B21: no board stands in a payload bay."""
    found: list[Finding] = []
    for bay in subject.design.bay:
        centre, size = np.array([bay.x_mm, bay.y_mm, bay.z_mm]), np.array(bay.size_mm)
        panel, depth = deepest(subject, Thing(bay.id, f"bay.{bay.id}", centre, size, "no-go"))
        verdict: Verdict = "clear" if depth <= PRESS_MM else ("watch" if depth <= STUCK_MM else "no-go")
        found += judged(
            "B21", verdict, f"bay.{bay.id}", depth, PRESS_MM, "mm", "geometry", bay=bay.id,
            panel=panel or "any board", depth=round(depth, 1), limit_mm=PRESS_MM,
        )  # fmt: skip
    return tuple(found)


def _keys(subject: Subject) -> tuple[CureKey, ...]:
    """Place of the bay, along each axis."""
    return tuple(
        CureKey(f"bay.{bay.id}.{axis}_mm", place - reach, place + reach, 1.0)
        for bay in subject.design.bay
        for axis, place, reach in (("x", bay.x_mm, 80.0), ("z", bay.z_mm, 30.0), ("y", bay.y_mm, 20.0))
    )


RULES = (Rule("B20", bay_free, _keys), Rule("B21", bay_in_board, _keys))
