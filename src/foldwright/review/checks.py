"""Folding judged: every blank by itself, with this workshop's board and tools, and all blanks together."""

from __future__ import annotations

from collections.abc import Hashable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import lru_cache
from math import degrees

import numpy as np

from foldwright.airframe.model import Airframe, Control, LiftingSurface, Placed
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
from foldwright.geometry.fold.model import Blank
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
    placed: tuple[Placed, ...],
    squeeze_share: float,
    asked: tuple[tuple[tuple[str, str], float], ...],
    detail: Detail,
) -> tuple[Finding, ...]:
    """The findings; those of the last few shapes are remembered (blanks are compared by identity)."""
    live = dict(asked)
    found: list[Finding] = []
    for one in placed:
        if one.blank.mirror_of:
            continue
        keys = [(one.part, fold.name) for fold in one.blank.folds]
        own = tuple((key[1], live[key]) for key in keys if key in live)
        rules = FoldRules(squeeze_share=squeeze_share, live_deg=dict(own))
        if detail == "final":
            found += _blank_findings(_Same(content(one.blank), one.blank), squeeze_share, own)
        elif one.blank.folds:
            found += [*check_thickness(one.blank, rules), *check_folds(one.blank, rules)]
            found += [*check_rings(one.blank), *check_flat(one.blank)]
    if detail == "final" and not found:
        found += check_together(placed)
    return tuple(found)


@dataclass(frozen=True, slots=True)
class _Same:
    """A blank that equals any other of the same content."""

    content: Hashable
    blank: Blank = field(compare=False)


@lru_cache(maxsize=64)
def _blank_findings(
    same: _Same, squeeze_share: float, live: tuple[tuple[str, float], ...]
) -> tuple[Finding, ...]:
    """Findings of one blank by itself; those of blanks that come again unchanged are remembered."""
    return check_blank(same.blank, FoldRules(squeeze_share=squeeze_share, live_deg=dict(live)))


def content(blank: Blank) -> Hashable:
    """All that a blank's own findings depend on, wherever it stands in the aeroplane."""
    panels = tuple(
        (panel.name, panel.polygon.tobytes(), panel.cuts, tuple(hole.tobytes() for hole in panel.holes))
        for panel in blank.panels
    )
    folds = tuple(
        (
            *(fold.name, fold.parent, fold.child, fold.p.tobytes(), fold.q.tobytes(), fold.method),
            *(fold.hinge, fold.toward, fold.angle, fold.limit, fold.tool_width, fold.order, fold.gain),
        )
        for fold in blank.folds
    )
    return (blank.name, blank.thickness, blank.root, panels, folds)


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


def _asked(airframe: Airframe) -> Mapping[tuple[str, str], float]:
    """Travel asked of every live hinge toward its closing side, degrees, by part and fold name."""
    asked: dict[tuple[str, str], float] = {}
    for surface in airframe.surfaces:
        for control in surface.controls:
            for name in control.fold_names:
                turn = degrees(_closing(airframe, surface, control, name))
                asked[surface.id, name] = max(asked.get((surface.id, name), 0.0), turn)
    return asked


def _closing(airframe: Airframe, surface: LiftingSurface, control: Control, name: str) -> float:
    """Travel that closes a hinge, rad: the trailing edge turns to the face that its paper is not on.

    "Down" is to the right on surfaces that stand upright. Mirrored blanks are judged by the one they
    mirror, so the greater of the two counts.
    """
    down = np.array([0.0, 1.0, 0.0]) if surface.upright else np.array([0.0, 0.0, -1.0])
    turns = []
    for one in airframe.placed:
        for fold in one.blank.folds if one.part == surface.id else ():
            if fold.name == name:
                face_a = one.transforms[fold.parent][:3, 2]
                to = -face_a if fold.hinge == "a" else face_a
                turns.append(control.down if float(to @ down) > 0.0 else control.up)
    return max(turns, default=max(control.up, control.down))
