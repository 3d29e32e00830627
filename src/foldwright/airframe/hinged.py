"""Hinged controls cut out of the aft edge of a flat panel.

Panel frame as in the blank: u aft, v outward to the control's outer end, seen from face A. A control for the
other hand is cut from the mirrored panel.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from foldwright.airframe.mirror import mirror_blank
from foldwright.base.types import FloatArray
from foldwright.geometry.fold.methods import cuts as method_cuts
from foldwright.geometry.fold.model import SQUARE, Blank, EdgeCut, Face, Fold, Panel

ORDER = 0  # live hinges stay at rest while the others are folded
_ON = 1e-7


@dataclass(frozen=True, slots=True)
class Cut:
    """A control wanted in a panel whose aft edge it is cut from.

    inner, outer: v of the ends of its opening, inner < outer, mm. inner_u, outer_u: of the hinge line there.
    gap: free at each end that has board beside it; open_outer: the outer end lies at the panel's own end and
    needs none. open_inner: the inner end lies at the panel's own end; its gap stays, since something
    stands there. limit: rad. horn: length along v and reach ahead of the hinge at the outer end, or None.
    both: in one piece over both halves, so that its inner end is an outer one too.
    inset: what the control stays back further at its inner and outer end, where a break's bevel lies, mm.
    """

    name: str
    inner: float
    outer: float
    inner_u: float
    outer_u: float
    gap: float
    limit: float
    hinge: Face
    horn: tuple[float, float] | None = None
    open_inner: bool = False
    open_outer: bool = False
    both: bool = False
    inset: tuple[float, float] = (0.0, 0.0)


@dataclass(frozen=True, slots=True, eq=False)
class _Ring:
    """An outline with the cut of each edge."""

    points: FloatArray
    cuts: tuple[EdgeCut, ...]


def cut_control(panel: Panel, cut: Cut, thickness: float) -> tuple[Panel, Panel, Fold]:
    """The panel without the control, the control, and the live fold between them."""
    ring = _Ring(panel.polygon, panel.cuts)
    hinge = np.array([(cut.inner_u, cut.inner), (cut.outer_u, cut.outer)])
    carrier = _carrier(ring, cut, hinge, _pocket(cut, thickness))
    moving, line = _moving(ring, cut, hinge)
    live = method_cuts("live", cut.hinge, 0.0, thickness, limit=cut.limit)[1]
    edges = [live if _on_hinge(moving.points, index, line) else own for index, own in enumerate(moving.cuts)]
    toward: Face = "b" if cut.hinge == "a" else "a"
    fold = Fold(
        cut.name,
        panel.name,
        cut.name,
        line[1],
        line[0],
        "live",
        cut.hinge,
        toward,
        0.0,
        cut.limit,
        order=ORDER,
    )
    return (
        replace(panel, polygon=carrier.points, cuts=carrier.cuts),
        Panel(cut.name, moving.points, tuple(edges)),
        fold,
    )


def cut_from(blank: Blank, panel: str, cut: Cut, *, mirrored: bool = False) -> Blank:
    """The blank with a control cut from one of its panels; mirrored: v of the cut runs to lower v."""
    if mirrored:
        return mirror_back(cut_from(mirror_blank(blank, blank.name), panel, cut), blank)
    carrier, moving, fold = cut_control(blank.panel(panel), cut, blank.thickness)
    panels = tuple(carrier if one.name == panel else one for one in blank.panels)
    return replace(blank, panels=(*panels, moving), folds=(*blank.folds, fold))


def mirror_back(blank: Blank, source: Blank) -> Blank:
    """A mirrored blank turned back, with the place and parentage of its source."""
    return replace(mirror_blank(blank, source.name), placement=source.placement, mirror_of=source.mirror_of)


def renamed(blank: Blank, names: dict[str, str]) -> Blank:
    """The blank with panels and folds of other names; folds are called like the panels they move."""
    return replace(
        blank,
        panels=tuple(replace(one, name=names.get(one.name, one.name)) for one in blank.panels),
        folds=tuple(
            replace(
                fold,
                name=names.get(fold.name, fold.name),
                parent=names.get(fold.parent, fold.parent),
                child=names.get(fold.child, fold.child),
            )
            for fold in blank.folds
        ),
        marks=tuple(replace(mark, panel=names.get(mark.panel, mark.panel)) for mark in blank.marks),
    )


def _at(line: FloatArray, v: float, ahead: float = 0.0) -> FloatArray:
    """Point of the hinge line at a v, moved ahead along u."""
    share = (v - line[0, 1]) / (line[1, 1] - line[0, 1])
    return np.array([line[0, 0] + share * (line[1, 0] - line[0, 0]) - ahead, v])


def _crossings(points: FloatArray, v: float) -> list[tuple[int, float]]:
    """Edges that cross a v, and u there."""
    found = []
    for index, (p, q) in enumerate(zip(points, np.roll(points, -1, axis=0), strict=True)):
        if min(p[1], q[1]) - _ON <= v <= max(p[1], q[1]) + _ON and abs(q[1] - p[1]) > _ON:
            found.append((index, float(p[0] + (v - p[1]) / (q[1] - p[1]) * (q[0] - p[0]))))
    return found


def _carrier(ring: _Ring, cut: Cut, hinge: FloatArray, ahead: float) -> _Ring:
    """The panel less the opening: round the outline from its outer end to its inner, and back inside.

    ahead: how far the opening reaches ahead of the hinge at a balance horn, mm.
    """
    inner_ahead = ahead if cut.both else 0.0
    begin = _place(ring, cut.inner, hinge, inner_ahead, at_end=cut.open_inner)
    inside: list[FloatArray] = [] if cut.open_inner else [_at(hinge, cut.inner, inner_ahead)]
    if cut.horn is not None:
        if cut.both:
            inboard = _low(cut) + cut.horn[0] + cut.gap
            inside += [_at(hinge, inboard, ahead), _at(hinge, inboard)]
        inboard = _high(cut) - cut.horn[0] - cut.gap
        inside += [_at(hinge, inboard), _at(hinge, inboard, ahead)]
    if not cut.open_outer:
        inside.append(_at(hinge, cut.outer, ahead))
    end = _place(ring, cut.outer, hinge, ahead, at_end=cut.open_outer)
    rest = _between(ring, end, begin)
    return _closed([*rest, *((point, SQUARE) for point in inside)])


def _pocket(cut: Cut, thickness: float) -> float:
    """How far the opening reaches ahead of the hinge at a balance horn, mm.

    The horn's far edge turns about the hinge at sqrt(ahead² + t²).
    """
    return 0.0 if cut.horn is None else float(np.hypot(cut.horn[1], thickness)) + cut.gap


def _low(cut: Cut) -> float:
    return cut.inner + (0.0 if cut.both and cut.open_inner else cut.gap) + cut.inset[0]


def _high(cut: Cut) -> float:
    return cut.outer - (0.0 if cut.open_outer else cut.gap) - cut.inset[1]


def _moving(ring: _Ring, cut: Cut, hinge: FloatArray) -> tuple[_Ring, FloatArray]:
    """The control, and the line of its hinge (low v, high v)."""
    low, high = _low(cut), _high(cut)
    ahead = 0.0 if cut.horn is None else cut.horn[1]
    to_high = cut.open_outer and cut.inset[1] < _ON
    to_low = cut.both and cut.open_inner and cut.inset[0] < _ON
    begin = _place(ring, low, hinge, ahead if cut.both else 0.0, at_end=to_low)
    end = _place(ring, high, hinge, ahead, at_end=to_high)
    rows = _between(ring, begin, end)
    inside = [] if to_high else [_at(hinge, high, ahead)]
    low_side = rows[0][0] if to_low and cut.horn is None else _at(hinge, low)
    line = np.array([low_side, rows[-1][0] if to_high else _at(hinge, high)])
    if cut.horn is not None:
        inner_end = high - cut.horn[0]
        line[1] = _at(hinge, inner_end - cut.gap)
        inside += [_at(hinge, inner_end, ahead), _at(hinge, inner_end)]
        if cut.both:
            outer_end = low + cut.horn[0]
            line[0] = _at(hinge, outer_end + cut.gap)
            inside += [_at(hinge, outer_end), _at(hinge, outer_end, ahead)]
            if not to_low:
                inside.append(_at(hinge, low, ahead))
    if cut.horn is None or not cut.both:
        inside.append(line[0])
    return _closed([*rows, *((point, SQUARE) for point in inside)]), line


Spot = tuple[int, FloatArray]


def _place(ring: _Ring, v: float, hinge: FloatArray, ahead: float, *, at_end: bool) -> Spot:
    """Edge and point where an end of the opening meets the outline: on the aft edge or the panel's end."""
    if not at_end:
        index, u = max(_crossings(ring.points, v), key=lambda found: found[1])
        return index, np.array([u, v])
    start, run = hinge[0] - np.array([ahead, 0.0]), hinge[1] - hinge[0]
    best: tuple[float, Spot] | None = None
    for index, (p, q) in enumerate(zip(ring.points, np.roll(ring.points, -1, axis=0), strict=True)):
        edge = q - p
        det = float(run[0] * edge[1] - run[1] * edge[0])
        if abs(det) < 1e-12:
            continue
        off = p - start
        along = float(off[0] * edge[1] - off[1] * edge[0]) / det
        share = float(off[0] * run[1] - off[1] * run[0]) / det
        if -1e-9 <= share <= 1.0 + 1e-9:
            point = start + along * run
            miss = abs(float(point[1]) - v)
            if best is None or miss < best[0]:
                best = (miss, (index, point))
    if best is None:
        raise ValueError("the hinge line does not meet the panel's end")
    return best[1]


def _between(ring: _Ring, begin: Spot, end: Spot) -> list[tuple[FloatArray, EdgeCut]]:
    """Outline from one place on it to another, counter-clockwise; points with the cut of the edge after."""
    count = len(ring.points)
    rows = [(begin[1], ring.cuts[begin[0]])]
    index = begin[0]
    same = index == end[0]
    p = ring.points[index]
    if same and float(np.hypot(*(end[1] - p))) >= float(np.hypot(*(begin[1] - p))) - _ON:
        return [*rows, (end[1], SQUARE)]
    while True:
        index = (index + 1) % count
        rows.append((ring.points[index], ring.cuts[index]))
        if index == end[0]:
            break
    return [*rows, (end[1], SQUARE)]


def _closed(rows: list[tuple[FloatArray, EdgeCut]]) -> _Ring:
    """Rows as a ring, without points that repeat the one before them and without spikes."""
    kept: list[tuple[FloatArray, EdgeCut]] = []
    for point, cut in rows:
        if kept and float(np.abs(point - kept[-1][0]).max()) < _ON:
            kept[-1] = (kept[-1][0], cut)
        else:
            kept.append((point, cut))
    if float(np.abs(kept[0][0] - kept[-1][0]).max()) < _ON:
        kept.pop()
    spike = next((i for i in range(len(kept)) if _turns_back(kept, i)), None)
    if spike is not None:
        return _closed(_without(kept, spike))
    return _Ring(np.array([point for point, _ in kept]), tuple(cut for _, cut in kept))


def _without(rows: list[tuple[FloatArray, EdgeCut]], spike: int) -> list[tuple[FloatArray, EdgeCut]]:
    """An outline without a point at which it turns back; the longer of the two edges there is what stays."""
    before, here, after = rows[spike - 1], rows[spike], rows[(spike + 1) % len(rows)]
    back = float(np.hypot(*(here[0] - before[0])))
    on = float(np.hypot(*(after[0] - here[0])))
    rows = list(rows)
    if on > back:
        rows[spike - 1] = (before[0], here[1])
    return [row for index, row in enumerate(rows) if index != spike]


def _turns_back(rows: list[tuple[FloatArray, EdgeCut]], index: int) -> bool:
    """Whether the outline runs back on itself at a point: two openings that meet leave such a spike."""
    here = rows[index][0]
    one, two = here - rows[index - 1][0], rows[(index + 1) % len(rows)][0] - here
    flat = abs(float(one[0] * two[1] - one[1] * two[0])) < 1e-9 * float(np.hypot(*one) * np.hypot(*two))
    return flat and float(one @ two) < 0.0


def _on_hinge(points: FloatArray, index: int, line: FloatArray) -> bool:
    """Whether an edge lies on the hinge line: the hinge, and what runs on to a balance horn beside it."""
    run = (line[1] - line[0]) / np.hypot(*(line[1] - line[0]))
    off = points[[index, (index + 1) % len(points)]] - line[0]
    return bool(np.abs(off[:, 0] * run[1] - off[:, 1] * run[0]).max() < 1e-6)
