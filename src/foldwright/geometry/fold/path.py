"""Whether a blank can be folded without one panel passing through another, and in which order."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import ceil

import numpy as np

from foldwright.base.types import FloatArray
from foldwright.geometry.fold.apart import TOUCHING, box_gaps, box_round, gaps
from foldwright.geometry.fold.flat import fold_matrices
from foldwright.geometry.fold.model import Blank, Fold
from foldwright.geometry.fold.solids import LEAST_VOLUME, Bite, Piece, meeting, pieces
from foldwright.geometry.transform import inverse

_LEAST_STEPS = 8
_MOST_STEPS = 96


@dataclass(frozen=True, slots=True)
class PathOverlap:
    """Two panels that meet on the way, while `fold` is at `fraction` of its turn.

    volume in mm³ and depth in mm of the deepest bite.
    """

    fold: str
    fraction: float
    panel: str
    other_panel: str
    volume: float
    depth: float


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
    the board's thickness between two stages (8 to 96). order: names of the folds; the author's if not
    given. ready: `solids.pieces` of the blank, if they are at hand. The deepest meeting of each pair in each
    fold is reported.
    """
    walk = _Walk(blank, pieces(blank) if ready is None else ready, steps)
    names = [fold.name for fold in folding_order(blank)] if order is None else list(order)
    found: list[PathOverlap] = []
    for index, name in enumerate(names):
        found += walk.meetings(name, frozenset(names[:index]))
    return tuple(found)


def order_folds(
    blank: Blank, steps: int | None = None, give: float = 0.0, ready: Mapping[str, Piece] | None = None
) -> tuple[str, ...] | None:
    """An order in which no panel passes through another: the author's if it holds, else the first found.

    give: mm that panels may bite into each other on the way, since boards bend. Returns the names of the
    folds, or None if no order of single folds does it.
    """
    walk = _Walk(blank, pieces(blank) if ready is None else ready, steps)
    wanted = [fold.name for fold in folding_order(blank)]
    blocked: set[frozenset[str]] = set()

    def search(done: tuple[str, ...]) -> tuple[str, ...] | None:
        if len(done) == len(wanted):
            return done
        if frozenset(done) in blocked:
            return None
        for name in wanted:
            if name in done or not walk.free(name, frozenset(done), give):
                continue
            whole = search((*done, name))
            if whole is not None:
                return whole
        blocked.add(frozenset(done))
        return None

    return search(())


class _Walk:
    """One fold at a time, from any state of the others.

    How two panels move against each other while a fold is made depends on the folds between the two only,
    so each such case is worked out once.
    """

    def __init__(self, blank: Blank, ready: Mapping[str, Piece], steps: int | None) -> None:
        self._ready = ready
        self._above = {fold.child: fold for fold in blank.folds}
        self._chains = _chains(blank)
        folds = folding_order(blank)
        fractions = {fold.name: _fractions(blank, fold, self._chains, steps) for fold in folds}
        self._fractions = fractions
        self._turns = {
            fold.name: fold_matrices(fold, fractions[fold.name], blank.thickness) for fold in folds
        }
        self._children = {fold.name: fold.child for fold in folds}
        self._places: dict[tuple[str, frozenset[str]], FloatArray] = {}
        self._known: dict[tuple[str, str, str, frozenset[str]], PathOverlap | None] = {}
        self._boxes = {name: box_round(piece.body) for name, piece in ready.items()}

    def meetings(self, name: str, done: frozenset[str]) -> list[PathOverlap]:
        """What meets while fold `name` is made and those of `done` are made already."""
        found = (self._met(name, still, moving, done) for still, moving in self._near(name, done))
        return [met for met in found if met is not None]

    def free(self, name: str, done: frozenset[str], give: float) -> bool:
        """Whether nothing bites deeper than `give` mm in that fold."""
        for still, moving in self._near(name, done):
            met = self._met(name, still, moving, done)
            if met is not None and met.depth > give:
                return False
        return True

    def _pairs(self, name: str) -> list[tuple[str, str]]:
        """Panels that stay and panels that move when a fold is made."""
        moving = [panel for panel, chain in self._chains.items() if name in chain]
        return [(still, panel) for still in self._chains if still not in moving for panel in moving]

    def _near(self, name: str, done: frozenset[str]) -> list[tuple[str, str]]:
        """Those of the pairs whose boxes come together in that fold; all are asked at once."""
        pairs = self._pairs(name)
        if not pairs:
            return []
        motion = self._motion(name, done)
        back = np.stack([inverse(self._place(still, done)) for still, _ in pairs])[:, None]
        place = np.stack([self._place(moving, done) for _, moving in pairs])[:, None]
        one, other = (np.stack([self._boxes[pair[side]] for pair in pairs]) for side in (0, 1))
        least = box_gaps(one, other, back @ motion @ place).min(axis=1)
        return [pair for pair, gap in zip(pairs, least.tolist(), strict=True) if gap < -TOUCHING]

    def _met(self, name: str, still: str, moving: str, done: frozenset[str]) -> PathOverlap | None:
        between = done & (self._chains[still] ^ self._chains[moving])
        key = (name, still, moving, between)
        if key not in self._known:
            self._known[key] = self._follow(name, still, moving, between)
        return self._known[key]

    def _follow(self, name: str, still: str, moving: str, done: frozenset[str]) -> PathOverlap | None:
        relative = inverse(self._place(still, done)) @ self._motion(name, done) @ self._place(moving, done)
        hit = _deepest(self._ready[still], self._ready[moving], relative)
        if hit is None:
            return None
        fraction = float(self._fractions[name][hit[0]])
        return PathOverlap(name, fraction, still, moving, hit[1].volume, hit[1].depth)

    def _motion(self, name: str, done: frozenset[str]) -> FloatArray:
        """(s, 4, 4) of what moves while a fold is made, in the root's frame."""
        # the child still lies as its parent does: its frame is the one the fold turns in
        start = self._place(self._children[name], done)
        motion: FloatArray = start @ self._turns[name] @ inverse(start)
        return motion

    def _place(self, panel: str, done: frozenset[str]) -> FloatArray:
        """4x4 of a panel as it lies when the folds of `done` are made, in the root's frame."""
        if panel not in self._above:
            return np.eye(4)
        key = (panel, done & self._chains[panel])
        if key not in self._places:
            fold = self._above[panel]
            place = self._place(fold.parent, done)
            self._places[key] = place @ self._turns[fold.name][-1] if fold.name in done else place
        return self._places[key]


def _fractions(
    blank: Blank, fold: Fold, chains: Mapping[str, frozenset[str]], steps: int | None
) -> FloatArray:
    """Stages of a fold up to 1; between two no corner travels further than the board is thick."""
    if steps is None:
        along = (fold.q - fold.p) / fold.length
        moving = [panel.polygon for panel in blank.panels if fold.name in chains[panel.name]]
        off = np.concatenate(moving) - fold.p
        reach = float(np.abs(along[0] * off[:, 1] - along[1] * off[:, 0]).max())
        steps = int(np.clip(ceil(fold.angle * reach / blank.thickness), _LEAST_STEPS, _MOST_STEPS))
    return np.arange(1, steps + 1) / steps


def _chains(blank: Blank) -> dict[str, frozenset[str]]:
    """The folds between the root and each panel, by name, panels in the blank's order."""
    above = {fold.child: fold for fold in blank.folds}

    def chain(panel: str) -> frozenset[str]:
        if panel not in above:
            return frozenset()
        return chain(above[panel].parent) | {above[panel].name}

    return {panel.name: chain(panel.name) for panel in blank.panels}


def _deepest(one: Piece, other: Piece, relative: FloatArray) -> tuple[int, Bite] | None:
    """The stage at which two pieces bite deepest, and that bite; None if they never meet."""
    gap = gaps(one.body, other.body, relative)
    close = np.flatnonzero(gap < -TOUCHING)
    if len(close) and one.body.convex and other.body.convex:
        close = np.array([np.argmin(gap)])  # for convex bodies the gap is the depth: one stage is enough
    bites = [(int(index), meeting(one, other, relative[index])) for index in close]
    real = [(index, bite) for index, bite in bites if bite.volume > LEAST_VOLUME]
    return max(real, key=lambda item: item[1].depth, default=None)
