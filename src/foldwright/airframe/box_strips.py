"""Plates of a body that follow a line in the side view, bent where it bends: floor, decks, hatches, trays."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from foldwright.airframe.box_shell import Shell
from foldwright.airframe.profile import SAME, Profile, secant
from foldwright.geometry.fold.flat import SpaceFold, SpacePanel
from foldwright.geometry.fold.model import EdgeCut, Face

Plan = list[tuple[float, float]]  # (x, half width) from front to back; x may stand still for a step


@dataclass(frozen=True, slots=True, eq=False)
class Strip:
    """A chain of plates: panels from front to back, the folds between them, cuts of its free ends.

    right_edges: for each panel, the (x from, x to) of its edges along the right side, edge by edge.
    """

    panels: tuple[SpacePanel, ...]
    folds: tuple[SpaceFold, ...]
    cuts: dict[tuple[str, int], EdgeCut]
    right_edges: tuple[tuple[tuple[float, float], ...], ...]


def names(base: str, count: int, root: int) -> tuple[str, ...]:
    """Names of a chain: the root bears the base name, those behind it "base-2", those ahead "base-fore"."""
    result = []
    for index in range(count):
        step = index - root
        if step < 0:
            result.append(f"{base}-fore" if step == -1 else f"{base}-fore-{-step}")
        else:
            result.append(base if step == 0 else f"{base}-{step + 1}")
    return tuple(result)


def strip(
    shell: Shell,
    base: str,
    face: Profile,
    plan: Plan,
    root_x: float,
    *,
    facing_up: bool,
    ends_upright: bool = False,
) -> Strip:
    """Plates whose outer face (A) follows `face` over the plan's x.

    face: z of face A; facing_up: face A is above (decks) or below (floor). root_x: a place on the root.
    ends_upright: the free ends are cut so that they stand upright in the aeroplane, not square to the board.
    """
    start, stop = plan[0][0], plan[-1][0]
    kinks = [x for x in face.kinks if start + SAME < x < stop - SAME]
    cells = list(pairwise([start, *kinks, stop]))
    root = next(index for index, (_, end) in enumerate(cells) if root_x < end or index == len(cells) - 1)
    titles = names(base, len(cells), root)
    sign = 1.0 if facing_up else -1.0
    hinges = [_hinge(shell, face, x, sign) for x in kinks]
    panels, right = [], []
    cuts: dict[tuple[str, int], EdgeCut] = {}
    for index, (begin, end) in enumerate(cells):
        points = _within(plan, begin, end)
        right.append(tuple((p[0], q[0]) for p, q in pairwise(points)))
        row = [(x, y, face.at(x)) for x, y in points]
        if index > 0:
            row[0] = (hinges[index - 1][1][0], points[0][1], hinges[index - 1][1][1])
        if index < len(kinks):
            row[-1] = (hinges[index][1][0], points[-1][1], hinges[index][1][1])
        m = face.slope((begin + end) / 2.0)
        if ends_upright:
            _upright(shell.t, m, row, titles[index], cuts, first=index == 0, last=index == len(kinks))
        panels.append(_plate(titles[index], row, m, face, (begin + end) / 2.0, shell.t, sign))
    folds = _folds(shell, titles, root, panels, [hinge for hinge, _ in hinges])
    return Strip(tuple(panels), folds, cuts, tuple(right))


def _within(plan: Plan, start: float, stop: float) -> Plan:
    """The plan's points from start to stop, with the half width read off at both."""
    inner = [point for point in plan if start - SAME <= point[0] <= stop + SAME]
    if not inner or abs(inner[0][0] - start) > SAME:
        inner.insert(0, (start, _width(plan, start)))
    if abs(inner[-1][0] - stop) > SAME:
        inner.append((stop, _width(plan, stop)))
    return inner


def _width(plan: Plan, x: float) -> float:
    for (x0, y0), (x1, y1) in pairwise(plan):
        if x0 <= x <= x1 and x1 > x0:
            return y0 + (y1 - y0) * (x - x0) / (x1 - x0)
    raise ValueError(f"x = {x} lies off the plan")


def _hinge(shell: Shell, face: Profile, x: float, sign: float) -> tuple[Face, tuple[float, float]]:
    """Skin that stays whole at a bend, the (x, z) of the fold line on it."""
    turn = sign * face.turn(x)
    _, hinge = shell.bend(outward=turn > 0.0)
    if hinge == "a":
        return hinge, (x, face.at(x))
    # the inner faces meet on the bisector of the bend, t/cos(turn/2) from the outer corner
    before, after = face.slope(x - 1e-6), face.slope(x)
    inward = -sign * shell.t
    c0 = face.at(x) - before * x + inward * secant(before)
    c1 = face.at(x) - after * x + inward * secant(after)
    cross = (c0 - c1) / (after - before)
    return hinge, (cross, before * cross + c0)


def _upright(
    t: float, m: float, row: list[tuple[float, float, float]], name: str,
    cuts: dict[tuple[str, int], EdgeCut], *, first: bool, last: bool,
) -> None:  # fmt: skip
    """Lengthen a sloping plate's free ends and cut them back on one face, so that they end at one x.

    An upright plane meets the under face t*m further forward along the slope than the upper face.
    """
    longer = t * abs(m) / secant(m)  # in x
    if m == 0.0:
        return
    count = len(row)
    if last:
        if m < 0.0:
            x, y, z = row[-1]
            row[-1] = (x + longer, y, z + m * longer)
        cuts[name, count - 1] = EdgeCut(b=t * m) if m > 0.0 else EdgeCut(a=-t * m)
    if first:
        if m > 0.0:
            x, y, z = row[0]
            row[0] = (x - longer, y, z - m * longer)
        cuts[name, 2 * count - 1] = EdgeCut(a=t * m) if m > 0.0 else EdgeCut(b=-t * m)


def _plate(
    name: str,
    row: Sequence[tuple[float, float, float]],
    m: float,
    face: Profile,
    middle: float,
    t: float,
    sign: float,
) -> SpacePanel:
    """A plate from its right edge, front to back: mirrored for the left edge.

    Corners run counter-clockwise seen from face A: from below, the right edge aft, then the left edge
    forward; from above, the left edge aft, then the right edge forward. Edge count - 1 is the aft end and
    edge 2*count - 1 the front end.
    """
    first = np.array(row) * np.array([1.0, -sign, 1.0])
    second = first[::-1] * np.array([1.0, -1.0, 1.0])
    normal = sign * np.array([-m, 0.0, 1.0]) / secant(m)
    outer = float(normal @ np.array([middle, 0.0, face.at(middle)]))
    return SpacePanel(name, normal, outer - t, np.concatenate([first, second]))


def _folds(
    shell: Shell, titles: Sequence[str], root: int, panels: Sequence[SpacePanel], hinges: Sequence[Face]
) -> tuple[SpaceFold, ...]:
    """Folds from the root to both ends of a chain."""
    method = shell.part.bend
    made = []
    for index in [*range(root, len(panels) - 1), *range(root - 1, -1, -1)]:
        parent, child = (index, index + 1) if index >= root else (index + 1, index)
        counts = {place: len(panels[place].corners) // 2 for place in (parent, child)}
        aft, front = counts[min(parent, child)] - 1, 2 * counts[max(parent, child)] - 1
        edges = (aft, front) if parent < child else (front, aft)
        made.append(
            SpaceFold(
                f"{titles[parent]}/{titles[child]}",
                titles[parent],
                titles[child],
                edges[0],
                edges[1],
                method,
                hinges[index],
                shell.tool_width,
                order=1,
                radius=shell.rounding(method),
            )
        )
    return tuple(made)
