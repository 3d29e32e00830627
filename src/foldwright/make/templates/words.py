"""What is said beside each line of a plate: its face, its name, and for which blank or half alone it is."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from foldwright.make.templates.group import Group
from foldwright.make.templates.halves import FIRST, SECOND, Cover
from foldwright.make.templates.traces import Trace

_USES = {FIRST: "1st half", SECOND: "2nd half"}
_SIDES = ("-right", "-left")
# No hand cuts a smaller slant on purpose, mm.
_LEAST_SLANT = 0.3


def line_words(group: Group, cover: Cover) -> tuple[tuple[str, ...], ...]:
    """For each trace its words, from the fullest to the shortest; none where nothing is to be said."""
    methods = {fold.name: fold.method for fold in group.blank.folds}
    blind = bool(group.turned) or cover.use == "turn over"
    sides = {(trace.name, trace.face, *_place(trace)) for trace in cover.traces}
    twice = {(name, *at) for name, face, *at in sides if face == "a" and (name, "b", *at) in sides}
    return tuple(
        _words(
            group, one, methods, "A+B" if (one.name, *_place(one)) in twice else one.face.upper(), blind=blind
        )
        for one in cover.traces
    )


def _words(
    group: Group, trace: Trace, methods: Mapping[str, str], face: str, *, blind: bool
) -> tuple[str, ...]:
    if trace.role == "slit":
        return ("cut",)
    if trace.role == "bevel":
        panel, _, edge = trace.name.rpartition("/")
        cut = group.blank.panel(panel).cuts[int(edge)]
        slant = max(cut.a, cut.b)
        return (f"{face} slant {slant:.1f}",) if slant >= _LEAST_SLANT else ()
    short = f"{face} {_without_side(trace.name) if blind else trace.name}"
    if trace.only:
        whose = [_USES.get(part, part) for part in trace.only.split(", ")]
        brief = [_USES.get(part, part).rpartition("/")[2] for part in trace.only.split(", ")]
        return (f"{short}: {', '.join(whose)} only", f"{short}: {', '.join(brief)} only")
    method = methods.get(trace.name)
    return (f"{short} {method}", short) if method is not None and method != trace.name else (short,)


def _place(trace: Trace) -> tuple[float, float]:
    """Where a line lies, for telling the same line on both faces."""
    u, v = np.round(trace.points.mean(axis=0), 1).tolist()
    return u, v


def _without_side(name: str) -> str:
    for side in _SIDES:
        name = name.removesuffix(side)
    return name
