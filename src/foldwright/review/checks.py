"""Folding judged: every blank by itself, with this workshop's board and tools."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache
from math import degrees

from foldwright.airframe.model import Airframe, Placed
from foldwright.base.finding import Finding
from foldwright.flight.planform import Detail
from foldwright.geometry.fold.checks import (
    FoldRules,
    check_blank,
    check_flat,
    check_folds,
    check_rings,
    check_thickness,
)


def folding_findings(airframe: Airframe, detail: Detail) -> tuple[Finding, ...]:
    """Findings of all blanks; fold paths are walked through in the final detail only.

    A mirrored blank is judged by the one it mirrors. In the interactive detail blanks are not tried as
    solids.
    """
    return _findings(airframe.placed, airframe.board.squeeze_share, tuple(_asked(airframe).items()), detail)


@lru_cache(maxsize=8)
def _findings(
    placed: tuple[Placed, ...], squeeze_share: float, asked: tuple[tuple[str, float], ...], detail: Detail
) -> tuple[Finding, ...]:
    """The findings; those of the last few shapes are remembered (blanks are compared by identity)."""
    rules = FoldRules(squeeze_share=squeeze_share, live_deg=dict(asked))
    found: list[Finding] = []
    for one in placed:
        if one.blank.mirror_of:
            continue
        if detail == "final":
            found += check_blank(one.blank, rules)
        elif one.blank.folds:
            found += [*check_thickness(one.blank, rules), *check_folds(one.blank, rules)]
            found += [*check_rings(one.blank), *check_flat(one.blank)]
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
