"""Blanks of a surface of single board: the bays of `flat_form` made into panels and folds."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from foldwright.airframe.flat_form import (
    Cell,
    FlatForm,
    Side,
    cells,
    front_cut,
    hinge_face,
    ridge_fold,
    smooth,
)
from foldwright.airframe.flat_form import side as side_of
from foldwright.base.types import FloatArray
from foldwright.geometry.fold.methods import cuts as method_cuts
from foldwright.geometry.fold.model import SQUARE, Blank, EdgeCut, Fold, Panel
from foldwright.geometry.fold.rings import solid_ring
from foldwright.geometry.transform import shift, turn

_DIGITS = 10  # of a millimetre

Ring = list[tuple[FloatArray, EdgeCut]]


@dataclass(frozen=True, slots=True, eq=False)
class Run:
    """Neighbouring bays that are one panel as far as a layer. first, last: indices of its cells."""

    name: str
    level: int
    first: int
    last: int


@dataclass(frozen=True, slots=True, eq=False)
class Laid:
    """A blank with the bays it is made of."""

    form: FlatForm
    blank: Blank
    bays: tuple[Cell, ...]
    runs: tuple[Run, ...]

    def run_of(self, cell: int, level: int) -> Run:
        """The panel that a layer of a bay belongs to."""
        return next(r for r in self.runs if r.level == level and r.first <= cell <= r.last)

    @property
    def root_cell(self) -> int:
        """Index of the right half's bay at the centre line."""
        return next(i for i, cell in enumerate(self.bays) if cell.side > 0 and cell.bay == 0)


def lay(name: str, form: FlatForm, place: FloatArray, word: str = "plate") -> Laid:
    """The blank of a form.

    place: 4x4 to the aeroplane of the frame whose origin is the root's leading edge on the under face at the
    centre line, x aft, y right, z up. word: what its one panel is called; "front", "aft" with ridges.
    """
    bays = cells(form)
    runs = _runs(form, bays, word)
    panels, folds = [], []
    for run in runs:
        panels.append(_panel(form, bays, run))
        folds += _folds(form, bays, runs, run)
    root_cell = next(i for i, cell in enumerate(bays) if cell.side > 0 and cell.bay == 0)
    root = next(r for r in runs if r.level == 0 and r.first <= root_cell <= r.last)
    local = turn(np.zeros(3), np.array([1.0, 0.0, 0.0]), bays[root_cell].roll) @ shift(0.0, -form.start, 0.0)
    ordered = _from_root(root.name, tuple(folds))
    blank = Blank(name, form.thickness, tuple(panels), ordered, root.name, place @ local)
    return Laid(form, blank, bays, runs)


def _from_root(root: str, folds: tuple[Fold, ...]) -> tuple[Fold, ...]:
    """Folds turned round where need be so that they make a tree from the root."""
    done, waiting, known = [], list(folds), {root}
    while waiting:
        fold = next(f for f in waiting if f.parent in known or f.child in known)
        waiting.remove(fold)
        if fold.parent not in known:
            fold = replace(fold, parent=fold.child, child=fold.parent, p=fold.q, q=fold.p)
        known.add(fold.child)
        done.append(fold)
    return tuple(done)


def _runs(form: FlatForm, bays: tuple[Cell, ...], word: str) -> tuple[Run, ...]:
    found = []
    for level in range(len(form.ridges) + 1):
        groups = [[0]]
        for index in range(1, len(bays)):
            if smooth(bays[index - 1], bays[index], level):
                groups[-1].append(index)
            else:
                groups.append([index])
        names = _names(form, bays, groups, _word(level, len(form.ridges), word))
        found += [Run(name, level, group[0], group[-1]) for name, group in zip(names, groups, strict=True)]
    return tuple(found)


def _word(level: int, ridges: int, word: str) -> str:
    if ridges == 0:
        return word
    if level in (0, ridges):
        return "front" if level == 0 else "aft"
    return "middle" if ridges == 2 else f"middle-{level}"


def _names(form: FlatForm, bays: tuple[Cell, ...], groups: list[list[int]], word: str) -> list[str]:
    """Names of one layer's panels: by side where it has both, numbered outward where a side has several."""
    names = []
    count = {way: sum(bays[g[0]].side == bays[g[-1]].side == way for g in groups) for way in (1, -1)}
    for group in groups:
        one, other = bays[group[0]], bays[group[-1]]
        if one.side != other.side:
            names.append(word)
            continue
        tail = ("-right" if one.side > 0 else "-left") if form.one else ""
        own = [g for g in groups if bays[g[0]].side == bays[g[-1]].side == one.side]
        number = own.index(group) + 1 if one.side > 0 else len(own) - own.index(group)
        names.append(f"{word}{tail}{f'-{number}' if count[one.side] > 1 else ''}")
    return names


def _step(form: FlatForm, bays: tuple[Cell, ...], index: int, way: int) -> float | None:
    """Turn at a cell's low (way +1) or high (way -1) end, rad; None at a tip."""
    cell = bays[index]
    if way == cell.side:
        return form.steps[cell.bay]
    outer = cell.bay + 1
    return form.steps[outer] if outer < len(form.rises) else None


def _panel(form: FlatForm, bays: tuple[Cell, ...], run: Run) -> Panel:
    """Outline of a run, counter-clockwise from A, beginning with the fore edge from high v to low."""
    own = bays[run.first : run.last + 1]
    fore = _polyline([cell.layers[run.level].fore for cell in own])
    aft = _polyline([cell.layers[run.level].aft for cell in own])
    low_step, high_step = _step(form, bays, run.first, 1), _step(form, bays, run.last, -1)
    low = _end(form, own[0], run.level, 1, low_step)
    high = _end(form, own[-1], run.level, -1, high_step)
    if low is not None:
        fore[0], aft[0] = low.meets(fore[:2]), low.meets(aft[:2])
    if high is not None:
        fore[-1], aft[-1] = high.meets(fore[-2:]), high.meets(aft[-2:])
    ring: Ring = [
        *((point, _fore_cut(form, run.level)) for point in fore[:0:-1]),
        (fore[0], SQUARE if low is None else low.cut),
        *((point, _aft_cut(form, run.level)) for point in aft[:-1]),
        (aft[-1], SQUARE if high is None else high.cut),
    ]
    ring = _tip_cuts(form, run, ring, low_step is None, high_step is None)
    # neighbours share corners to the last digit, or their outlines cannot be told apart
    outline = np.round(np.array([point for point, _ in ring]), _DIGITS)
    return Panel(run.name, outline, tuple(cut for _, cut in ring))


def _polyline(lines: list[FloatArray]) -> FloatArray:
    """Lines end to end as one (n, 2), straight runs without their middle points."""
    points = [lines[0][0], *(line[1] for line in lines)]
    kept = [points[0]]
    for before, here, after in zip(points, points[1:], points[2:], strict=False):
        one, two = here - before, after - here
        if abs(float(one[0] * two[1] - one[1] * two[0])) > 1e-9 * float(np.hypot(*one) * np.hypot(*two)):
            kept.append(here)
    return np.array([*kept, points[-1]])


def _end(form: FlatForm, cell: Cell, level: int, way: int, step: float | None) -> Side | None:
    if step is None:
        return None
    if level > 0:
        return side_of(form, cell, level, way, step)
    return Side(cell.low if way > 0 else cell.high, 0.0, front_cut(step, form.thickness))


def end_side(laid: Laid, index: int, level: int, way: int) -> Side | None:
    """Line along which a bay's layer ends at its low v (way +1) or high v (-1); None at a tip."""
    return _end(laid.form, laid.bays[index], level, way, _step(laid.form, laid.bays, index, way))


def _fore_cut(form: FlatForm, level: int) -> EdgeCut:
    return SQUARE if level == 0 else _ridge_cut(form, level - 1)


def _aft_cut(form: FlatForm, level: int) -> EdgeCut:
    return SQUARE if level == len(form.ridges) else _ridge_cut(form, level)


def _ridge_cut(form: FlatForm, index: int) -> EdgeCut:
    ridge = form.ridges[index]
    return method_cuts(ridge.method, "a", ridge.turn, form.thickness, ridge.tool_width)[0]


def _tip_cuts(form: FlatForm, run: Run, ring: Ring, low_tip: bool, high_tip: bool) -> Ring:
    """Corners cut off at 45 degrees: the leading one of the first layer, the trailing one of the last."""
    size = form.tip_cut
    if size <= 0.0:
        return ring
    points = np.array([point for point, _ in ring])
    low, high = points[:, 1].min(), points[:, 1].max()
    leading, trailing = run.level == 0, run.level == len(form.ridges)
    made: Ring = []
    for index, (point, cut) in enumerate(ring):
        at_tip = (low_tip and point[1] < low + 1e-9) or (high_tip and point[1] > high - 1e-9)
        beside = points[np.abs(points[:, 1] - point[1]) < 1e-9, 0]
        is_fore = point[0] <= beside.min() + 1e-9
        if not at_tip or not (leading if is_fore else trailing):
            made.append((point, cut))
            continue
        before, after = points[index - 1], points[(index + 1) % len(points)]
        made.append((point + _toward(point, before, size), SQUARE))
        made.append((point + _toward(point, after, size), cut))
    return made


def _toward(point: FloatArray, other: FloatArray, size: float) -> FloatArray:
    """Step along an edge that covers `size` mm of its greater coordinate."""
    way = other - point
    step: FloatArray = way * size / float(np.abs(way).max())
    return step


def _folds(form: FlatForm, bays: tuple[Cell, ...], runs: tuple[Run, ...], run: Run) -> list[Fold]:
    """Folds at the fore edge of a run and, in the front layer, at its low end."""
    if run.level > 0:
        parent = next(r for r in runs if r.level == run.level - 1 and r.first <= run.first <= r.last)
        ring = _panel(form, bays, run).polygon
        own = bays[run.first : run.last + 1]
        count = len(_polyline([cell.layers[run.level].fore for cell in own]))
        # the outline begins with the fore edge, from its high end to its low one
        line = np.stack([ring[count - 1], ring[0]])
        fold = ridge_fold(f"camber-{run.name}", line, form.ridges[run.level - 1], run.level)
        return [_named(fold, parent.name, run.name)]
    step = _step(form, bays, run.first, 1)
    if step is None or run.first == 0:
        return []
    cell = bays[run.first]
    other = next(r for r in runs if r.level == 0 and r.first <= run.first - 1 <= r.last)
    low = _end(form, cell, 0, 1, step)
    lines = (cell.layers[0].fore, cell.layers[0].aft)
    # corners of the panel itself: a pressed ridge moves its line a little off the layer's own corner
    ends = np.round(np.array([line[0] if low is None else low.meets(line) for line in lines]), _DIGITS)
    word = "centre" if cell.side > 0 and cell.bay == 0 else f"break-{run.name}"
    hinge = hinge_face(step)
    # the right-hand neighbour (higher v) lies to the left of a line that runs aft
    return [
        Fold(word, other.name, run.name, ends[0], ends[1], "groove", hinge, "a" if hinge == "b" else "b",
             abs(step), float(np.pi), 0.0, len(form.ridges) + 1)
    ]  # fmt: skip


def _named(fold: Fold, parent: str, child: str) -> Fold:
    return replace(fold, parent=parent, child=child)


def wedge(laid: Laid) -> float:
    """Widest gap that opens at the trailing edge between neighbours behind a ridge, mm; 0 without ridges."""
    form, widest = laid.form, 0.0
    level = len(form.ridges)
    for index, cell in enumerate(laid.bays):
        if level == 0 or cell.side < 0 or laid.run_of(index, level).first < index:
            continue
        step = form.steps[cell.bay]
        panel = laid.blank.panel(laid.run_of(index, level).name)
        normal = np.array([0.0, np.cos(step / 2.0), -np.sin(step / 2.0)])
        hinge = np.array([0.0, cell.low, 0.0 if step >= 0.0 else form.thickness])
        place = cell.layers[level].place
        for share in (0.0, 1.0):
            ring = solid_ring(panel, share)
            aft = ring[ring[:, 0] > ring[:, 0].mean()]
            low = aft[int(np.argmin(aft[:, 1]))]
            spot = place[:3, :3] @ np.array([*low, share * form.thickness]) + place[:3, 3]
            widest = max(widest, 2.0 * float(normal @ (spot - hinge)))
    return widest
