"""Folding judged: every blank by itself, with this workshop's board and tools."""

from __future__ import annotations

from collections.abc import Mapping
from math import degrees

from foldwright.airframe.model import Airframe
from foldwright.base.finding import Finding
from foldwright.flight.planform import Detail
from foldwright.geometry.fold.checks import FoldRules, check_blank


def folding_findings(airframe: Airframe, detail: Detail) -> tuple[Finding, ...]:
    """Findings of all blanks; fold paths are walked through in the final detail only.

    A mirrored blank is judged by the one it mirrors.
    """
    rules = FoldRules(squeeze_share=airframe.board.squeeze_share, live_deg=_asked(airframe))
    found: list[Finding] = []
    for one in airframe.placed:
        if one.blank.mirror_of or (detail == "interactive" and not one.blank.folds):
            continue
        found += check_blank(one.blank, rules, path=detail == "final")
    return tuple(found)


def _asked(airframe: Airframe) -> Mapping[str, float]:
    """Travel asked of every live hinge toward its closing side, degrees, by fold name."""
    asked: dict[str, float] = {}
    for surface in airframe.surfaces:
        for control in surface.controls:
            for name in control.fold_names:
                asked[name] = degrees(_closing(airframe, name, control.up, control.down))
    return asked


def _closing(airframe: Airframe, name: str, up: float, down: float) -> float:
    for one in airframe.placed:
        for fold in one.blank.folds:
            if fold.name == name:
                return down if fold.hinge == "a" else up
    return max(up, down)
