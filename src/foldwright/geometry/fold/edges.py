"""Which edges of which panels a fold joins, found from where they lie."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache

import numpy as np

from foldwright.base.types import FloatArray, IntArray
from foldwright.geometry.fold.methods import bevel
from foldwright.geometry.fold.model import Blank, EdgeCut, Fold, Panel

_ON_LINE = 1e-6


@lru_cache(maxsize=512)
def fold_sides(blank: Blank, fold: Fold) -> tuple[tuple[int, ...], tuple[int, ...]]:
    """Indices of the outline edges of parent and child that lie along a fold.

    There is more than one where an outline has a point within the fold; none where it lacks the edge. The
    last ones are remembered (by identity).
    """
    along = (fold.q - fold.p) / fold.length
    parent = _edges_on(blank.panel(fold.parent), fold.q, -along, fold.length)
    child = _edges_on(blank.panel(fold.child), fold.p, along, fold.length)
    return parent, child


def _edges_on(panel: Panel, start: FloatArray, along: FloatArray, length: float) -> tuple[int, ...]:
    """Edges that run along a segment, in its direction, and share a stretch of it."""
    off = panel.polygon - start
    across = along[0] * off[:, 1] - along[1] * off[:, 0]
    run = off @ along
    run_next = np.roll(run, -1)
    flush = (np.abs(across) < _ON_LINE) & (np.abs(np.roll(across, -1)) < _ON_LINE)
    shared = np.minimum(run_next, length) - np.maximum(run, 0.0)
    found: IntArray = np.flatnonzero(flush & (shared > _ON_LINE))
    return tuple(int(index) for index in found)


def hard_panels(blank: Blank) -> dict[str, Panel]:
    """The panels with their pressed edges cut to the full mitre, by name.

    Pressed foam gives way, so it is left out where panels are tested against each other. A panel without
    pressed edges stays the object it is, and so what is known about it.
    """
    cuts = {panel.name: list(panel.cuts) for panel in blank.panels}
    for fold in blank.folds:
        if fold.method != "crush":
            continue
        full = bevel(fold.angle, blank.thickness)
        for name, edges in zip((fold.parent, fold.child), fold_sides(blank, fold), strict=True):
            for edge in edges:
                cuts[name][edge] = _at_least(cuts[name][edge], full, fold.opened == "a")
    return {
        panel.name: panel
        if tuple(cuts[panel.name]) == panel.cuts
        else replace(panel, cuts=tuple(cuts[panel.name]))
        for panel in blank.panels
    }


def _at_least(cut: EdgeCut, least: float, on_a: bool) -> EdgeCut:
    return replace(cut, a=max(cut.a, least)) if on_a else replace(cut, b=max(cut.b, least))
