"""The sides of a body: vertical plates, bent along vertical lines where the width changes."""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np

from foldwright.airframe.box_shell import Shell
from foldwright.airframe.box_strips import names
from foldwright.airframe.profile import SAME, Profile, secant
from foldwright.base.types import FloatArray
from foldwright.geometry.fold.flat import SpaceFold, SpacePanel
from foldwright.geometry.fold.model import Face

Post = tuple[float, float, float, float]  # x, y, and z of the upper and lower end

NEAR = 1.0  # mm: an edge is not bent again nearer to a panel's end than this
_MIRROR = np.array([1.0, -1.0, 1.0])


@dataclass(frozen=True, slots=True, eq=False)
class Side:
    """One side from front to back: panels, the bends between them, and where the corner fold holds on.

    root: name of the panel with the corner fold; corner_edge: that edge of it.
    """

    panels: tuple[SpacePanel, ...]
    folds: tuple[SpaceFold, ...]
    root: str
    corner_edge: int


def right_side(shell: Shell) -> Side:
    """The right side. Face A is outside.

    The sides reach down to the outer face of the floor over the whole length, also where the floor is cut
    free of them and lies between them; with slit corners, which leave the outer corner open, to its inner
    face.
    """
    half = shell.half
    cells = list(pairwise(half.x))
    middle = sum(shell.run) / 2.0
    root = next(index for index, (start, stop) in enumerate(cells) if start <= middle <= stop)
    titles = names("right", len(cells), root)
    corner = corner_ends(shell)
    bends = [_bend(shell, index) for index in range(1, len(half.x) - 1)]
    posts = [_end(shell, shell.start), *(post for _, post in bends), _end(shell, shell.stop)]
    panels, upper = [], []
    corner_edge = 0
    for index, (start, stop) in enumerate(cells):
        top = _line(shell.top, start, stop, ())
        low = _line(shell.lower, start, stop, tuple(x for x, _ in corner) if index == root else ())
        outline = _outline(half, top, low, (posts[index], posts[index + 1]))
        upper.append(len(top))
        if index == root:
            aft = next(n for n, (x, _) in enumerate(low) if abs(x - corner[1][0]) < SAME)
            corner_edge = len(top) + len(low) - 1 - aft
        m = half.slopes[index]
        normal = np.array([-m, 1.0, 0.0]) / secant(m)
        outer = float(normal @ np.array([start, half.at(start), 0.0]))
        panels.append(SpacePanel(titles[index], normal, outer - shell.t, outline))
    folds = _folds(shell, titles, root, panels, upper, [hinge for hinge, _ in bends])
    return Side(tuple(panels), folds, titles[root], corner_edge)


def corner_ends(shell: Shell) -> tuple[tuple[float, float], tuple[float, float]]:
    """The ends (x, z) of the corner fold on its hinge skin; at an end of the body the side's upright end."""
    ends = []
    for x in shell.run:
        m = shell.bottom.slope(sum(shell.run) / 2.0)
        z = shell.bottom.at(x)
        if shell.corner_hinge == "b":
            # square through the floor, t along (-m, 1)/sqrt(1 + m²)
            place = min(max(x - shell.t * m / secant(m), shell.start), shell.stop)
            ends.append((place, shell.floor.at(place)))
        else:
            ends.append((x, z))
    return ends[0], ends[1]


def _line(line: Profile, start: float, stop: float, corner: tuple[float, ...]) -> list[tuple[float, float]]:
    """Points of an edge; its own bends within NEAR of the panel's ends are left out, corner ends are kept."""
    points = line.between(start, stop)
    kept = [point for point in points[1:-1] if start + NEAR < point[0] < stop - NEAR]
    kept += [(x, line.at(x)) for x in corner if start + SAME < x < stop - SAME]
    return [points[0], *sorted(kept), points[-1]]


def _end(shell: Shell, x: float) -> Post:
    return x, shell.half.at(x), shell.top.at(x), shell.lower.at(x)


def _bend(shell: Shell, index: int) -> tuple[Face, Post]:
    """Skin that stays whole at a bend of the half width, and the upright fold line on it.

    At an end of the run the lower edge goes straight on to the fold line, which may lie off the station's x.
    """
    station = shell.half.x[index]
    outward = shell.half.turn(station) > 0.0
    _, hinge = shell.bend(outward)
    line = shell.half if hinge == "a" else shell.inner
    x, low = line.x[index], shell.lower.at(station)
    high = min(_straight_on(shell.top, station, x, side) for side in (-SAME, SAME))
    if station in shell.section:
        middle = sum(shell.run) / 2.0
        low = shell.lower.at(middle) + shell.lower.slope(middle) * (x - middle)
    return hinge, (x, line.y[index], high, low)


def _straight_on(line: Profile, station: float, x: float, side: float) -> float:
    """Least height of the run beside a station, straight on to the fold line x, on both faces of the side."""
    slope = line.slope(station + 2.0 * side)
    return line.at(station) + min(slope * (x - station), 2.0 * slope * (x - station), 0.0)


def _outline(
    half: Profile, top: list[tuple[float, float]], low: list[tuple[float, float]], posts: tuple[Post, Post]
) -> FloatArray:
    """Corners counter-clockwise from the right: upper edge aft, lower edge forward."""
    fore, aft = posts
    upper = [(x, half.at(x), z) for x, z in top[1:-1]]
    under = [(x, half.at(x), z) for x, z in reversed(low[1:-1])]
    ends = [(post[0], post[1], post[height]) for post, height in ((fore, 2), (aft, 2), (aft, 3), (fore, 3))]
    return np.array([ends[0], *upper, ends[1], ends[2], *under, ends[3]])


def _folds(
    shell: Shell,
    titles: tuple[str, ...],
    root: int,
    panels: list[SpacePanel],
    upper: list[int],
    hinges: list[Face],
) -> tuple[SpaceFold, ...]:
    """Bends from the root to both ends; upper: points along the upper edge of each panel."""
    method = shell.part.bend
    made = []
    for index in [*range(root, len(panels) - 1), *range(root - 1, -1, -1)]:
        parent, child = (index, index + 1) if index >= root else (index + 1, index)
        aft = upper[min(parent, child)] - 1
        front = len(panels[max(parent, child)].corners) - 1
        edges = (aft, front) if parent < child else (front, aft)
        made.append(
            SpaceFold(
                f"{titles[parent]}/{titles[child]}", titles[parent], titles[child], edges[0], edges[1],
                method, hinges[index], shell.tool_width, order=2, radius=shell.rounding(method),
            )
        )  # fmt: skip
    return tuple(made)


def mirrored(side: Side) -> Side:
    """The left side."""

    def name(title: str) -> str:
        return title.replace("right", "left")

    panels = tuple(
        SpacePanel(name(p.name), p.normal * _MIRROR, p.offset, p.corners[::-1] * _MIRROR) for p in side.panels
    )
    count = {panel.name: len(panel.corners) for panel in side.panels}

    def edge(panel: str, index: int) -> int:
        return (count[panel] - 2 - index) % count[panel]

    folds = tuple(
        replace(
            fold, name=name(fold.name), parent=name(fold.parent), child=name(fold.child),
            parent_edge=edge(fold.parent, fold.parent_edge), child_edge=edge(fold.child, fold.child_edge),
        )
        for fold in side.folds
    )  # fmt: skip
    return Side(panels, folds, name(side.root), edge(side.root, side.corner_edge))
