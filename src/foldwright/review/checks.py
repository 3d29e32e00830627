"""Folding judged: every blank by itself, with this workshop's board and tools, and all blanks together."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import lru_cache
from math import degrees

from foldwright.airframe.model import Airframe, Placed
from foldwright.base.finding import Finding, Param, Verdict
from foldwright.flight.planform import Detail
from foldwright.geometry.fold.checks import (
    FoldRules,
    check_blank,
    check_flat,
    check_folds,
    check_rings,
    check_thickness,
)
from foldwright.geometry.fold.solids import Overlap, overlaps

PRESS_MM, BITE_MM = 0.3, 1.0
"""Mean thickness of what two blanks share that foam gives way to, and that nobody can press together.

Judgement; a slot 0.5 mm narrower than the board presses 0.25 mm on each side of the tab.
"""
LEAST_MM3 = 1.0


def folding_findings(airframe: Airframe, detail: Detail) -> tuple[Finding, ...]:
    """Findings of all blanks; fold paths are walked through in the final detail only.

    A mirrored blank is judged by the one it mirrors. In the interactive detail blanks are not tried as
    solids, neither by themselves nor against each other.
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
    if detail == "final" and not found:
        found += check_together(placed)
    return tuple(found)


def check_together(placed: Sequence[Placed]) -> list[Finding]:
    """G13: blanks that stand in each other in the finished aeroplane, once for each pair of them."""
    original = {one.blank.name: one.blank.mirror_of or one.blank.name for one in placed}
    worst: dict[frozenset[str], Overlap] = {}
    parts = [(one.blank, one.transforms) for one in placed]
    for found in overlaps(parts, LEAST_MM3, within=False, margin=PRESS_MM):
        pair = frozenset((original[found.blank], original[found.other_blank]))
        deeper = pair not in worst or found.thickness > worst[pair].thickness + 1e-6
        if found.blank != found.other_blank and found.thickness > PRESS_MM and deeper:
            worst[pair] = found
    return [_together(found) for found in worst.values()]


def _together(found: Overlap) -> Finding:
    verdict: Verdict = "watch" if found.thickness <= BITE_MM else "no-go"
    params: dict[str, Param] = {
        "panel": found.panel, "other": f"{found.other_blank}/{found.other_panel}",
        "volume": found.volume, "thickness": found.thickness,
    }  # fmt: skip
    where = f"{found.blank}/{found.panel}"
    return Finding("G13", verdict, where, params, found.thickness, PRESS_MM, "mm", "geometry")


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
