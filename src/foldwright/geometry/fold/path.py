"""Whether a blank can be folded without one panel passing through another, and in which order."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import ceil

import numpy as np

from foldwright.geometry.fold.apart import gaps
from foldwright.geometry.fold.flat import fold_matrices, stages
from foldwright.geometry.fold.model import Blank, Fold
from foldwright.geometry.fold.solids import LEAST_VOLUME, Piece, meeting, pieces
from foldwright.geometry.transform import inverse

_TOUCHING = 1e-7
_LEAST_STEPS = 8
_MOST_STEPS = 96


@dataclass(frozen=True, slots=True)
class PathOverlap:
    """Two panels that meet on the way: while `fold` is at `fraction` of its turn; volume in mm³."""

    fold: str
    fraction: float
    panel: str
    other_panel: str
    volume: float


def folding_order(blank: Blank) -> tuple[Fold, ...]:
    """The folds that are made, in the author's order; live hinges stay at rest."""
    made = [fold for fold in blank.folds if fold.method != "live"]
    return tuple(sorted(made, key=lambda fold: fold.order))


def path_overlaps(
    blank: Blank,
    steps: int | None = None,
    order: Sequence[str] | None = None,
    ready: Mapping[str, Piece] | None = None,
) -> tuple[PathOverlap, ...]:
    """Panels that pass through each other while the folds are made one after another.

    steps: stages looked at for each fold; None: as many as it takes for no corner to travel further than
    the board's thickness between two stages (at most 96). order: names of the folds; the author's if not
    given. ready: `solids.pieces` of the blank, if they are at hand. The deepest meeting of each pair in each
    fold is reported.
    """
    ready = pieces(blank) if ready is None else ready
    by_name = {fold.name: fold for fold in blank.folds}
    names = [fold.name for fold in folding_order(blank)] if order is None else list(order)
    found: list[PathOverlap] = []
    for index, name in enumerate(names):
        found += _one_fold(blank, ready, by_name[name], frozenset(names[:index]), steps)
    return tuple(found)


def order_folds(blank: Blank, steps: int | None = None) -> tuple[str, ...] | None:
    """An order in which no panel passes through another: the author's if it holds, else the first found.

    Returns the names of the folds, or None if no order of single folds does it.
    """
    ready = pieces(blank)
    wanted = folding_order(blank)
    blocked: set[frozenset[str]] = set()

    def search(done: tuple[str, ...]) -> tuple[str, ...] | None:
        if len(done) == len(wanted):
            return done
        if frozenset(done) in blocked:
            return None
        for fold in wanted:
            if fold.name in done or _one_fold(blank, ready, fold, frozenset(done), steps, first=True):
                continue
            whole = search((*done, fold.name))
            if whole is not None:
                return whole
        blocked.add(frozenset(done))
        return None

    return search(())


def _one_fold(
    blank: Blank, ready: Mapping[str, Piece], fold: Fold, done: frozenset[str], steps: int | None,
    *, first: bool = False,
) -> list[PathOverlap]:  # fmt: skip
    """What meets while one fold is made and those of `done` are made already."""
    moving = _carried(blank, fold.child)
    count = _stage_count(ready, fold, moving) if steps is None else steps
    fractions = np.arange(1, count + 1) / count
    base = stages(blank, dict.fromkeys(done, 1.0))
    # the child still lies as its parent does: its frame is the one the fold turns in
    start = base[fold.child]
    paths = start @ fold_matrices(fold, fractions, blank.thickness) @ inverse(start)
    found: list[PathOverlap] = []
    for panel in blank.panels:
        if panel.name in moving:
            continue
        to_fixed = inverse(base[panel.name])
        for name in moving:
            relative = to_fixed @ paths @ base[name]
            hit = _deepest(ready[panel.name], ready[name], relative)
            if hit is not None:
                found.append(PathOverlap(fold.name, float(fractions[hit[0]]), panel.name, name, hit[1]))
                if first:
                    return found
    return found


def _carried(blank: Blank, child: str) -> tuple[str, ...]:
    """The panels that move with `child`: itself and all that hang on it."""
    carried = [child]
    for name in carried:
        carried += [fold.child for fold in blank.folds if fold.parent == name]
    return tuple(carried)


def _stage_count(ready: Mapping[str, Piece], fold: Fold, moving: Sequence[str]) -> int:
    along = (fold.q - fold.p) / fold.length
    reach = 0.0
    for name in moving:
        off = ready[name].panel.polygon - fold.p
        reach = max(reach, float(np.abs(along[0] * off[:, 1] - along[1] * off[:, 0]).max()))
    thickness = ready[fold.child].thickness
    return int(np.clip(ceil(fold.angle * reach / thickness), _LEAST_STEPS, _MOST_STEPS))


def _deepest(one: Piece, other: Piece, relative: FloatArray) -> tuple[int, float] | None:
    """The stage at which two pieces share most, and the volume in mm³; None if they never meet."""
    gap = gaps(one.body, other.body, relative)
    close = np.flatnonzero(gap < -_TOUCHING)
    if not len(close):
        return None
    volumes = [meeting(one, other, relative[index]) for index in close]
    worst = int(np.argmax(volumes))
    return (int(close[worst]), volumes[worst]) if volumes[worst] > LEAST_VOLUME else None
