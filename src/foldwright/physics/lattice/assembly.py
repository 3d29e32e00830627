"""Boundary condition, the two half-size systems and the induced velocities of their solution."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import groupby, pairwise

import numpy as np

from foldwright.base.types import FloatArray
from foldwright.physics.lattice.kernel import Lines, Own, Source, Work, normal_wash, velocities, work_size
from foldwright.physics.lattice.panels import Panels, base_incidence, shape_incidence
from foldwright.physics.lattice.surface import Shape

MOTION = ("one", "alpha", "beta", "p", "q", "r")
"""States that every lattice has, ahead of its shapes."""
MOTION_PARITY = (1, 1, -1, -1, 1, -1)
"""+1: the left half does the same as the right one, -1: the opposite."""


@dataclass(frozen=True, slots=True)
class Row:
    """Neighbouring surfaces with as many chordwise panels, whose targets are worked on together.

    panels: their panels among all.
    """

    parts: tuple[Panels, ...]
    panels: slice

    def controls(self) -> Lines:
        """Control points."""
        return Lines(
            np.concatenate([part.line_yz for part in self.parts]),
            np.concatenate([part.control_x for part in self.parts]),
            np.concatenate([part.width for part in self.parts]),
        )

    def middles(self) -> Lines:
        """Of every surface the middles of its bound vortices, then of its chordwise bound pieces."""
        return Lines(
            np.concatenate([yz for part in self.parts for yz in (part.line_yz, part.node_yz)]),
            np.concatenate([x for part in self.parts for x in (part.bound_x, part.leg_x)]),
            np.concatenate([w for part in self.parts for w in (part.width, part.width[:1], part.width)]),
        )

    def owned(self, source: Panels, middles: bool) -> Own:
        """Which of the lines belong to a surface, and which run through its own bound vortices."""
        mine, strips = [], []
        for part in self.parts:
            n = part.surface.n_span
            count = 2 * n + 1 if middles else n
            strip = np.full(count, -1)
            if middles and part is source:
                strip[:n] = np.arange(n)
            mine.append(np.full(count, part is source))
            strips.append(strip)
        return Own(np.concatenate(mine), np.concatenate(strips))


def _rows(parts: tuple[Panels, ...], slices: tuple[slice, ...]) -> tuple[Row, ...]:
    """Runs of surfaces with the same count of chordwise panels."""
    return tuple(
        Row(tuple(parts[i] for i in run), slice(slices[run[0]].start, slices[run[-1]].stop))
        for _, group in groupby(range(len(parts)), key=lambda i: parts[i].surface.n_chord)
        for run in [list(group)]
    )


@dataclass(frozen=True, slots=True)
class System:
    """Everything that the solution and the forces need; panels of all surfaces one after the other.

    parts, sources: surfaces, mirrored ones first; slices: their panels; rows: runs of them. mirrored: count
    of panels that have a left twin. states: names; parity: (m,) of ±1. point: the point the rates turn about.
    incidence: (P, m) incidence of every panel per unit of every state (zero for α, β and the rates).
    """

    parts: tuple[Panels, ...]
    sources: tuple[Source, ...]
    slices: tuple[slice, ...]
    rows: tuple[Row, ...]
    mirrored: int
    states: tuple[str, ...]
    parity: FloatArray
    point: FloatArray
    incidence: FloatArray
    work: Work


def system(parts: tuple[Panels, ...], shapes: tuple[Shape, ...], point: FloatArray) -> System:
    """Order the surfaces, lay out the states and the incidences."""
    ordered = tuple(sorted(parts, key=lambda part: not part.surface.symmetric))
    ends = np.cumsum([0] + [part.n for part in ordered])
    slices = tuple(slice(a, b) for a, b in pairwise(ends.tolist()))
    states = MOTION + tuple(shape.name for shape in shapes)
    incidence = np.zeros((int(ends[-1]), len(states)))
    parity = np.ones(len(states))
    parity[: len(MOTION)] = MOTION_PARITY
    for part, where in zip(ordered, slices, strict=True):
        incidence[where, 0] = base_incidence(part)
        for column, shape in enumerate(shapes, start=len(MOTION)):
            if shape.surface == part.surface.name:
                incidence[where, column] = shape_incidence(part, shape)
                parity[column] = shape.mirror if part.surface.symmetric else -1
    return System(
        ordered,
        tuple(Source.of(part) for part in ordered),
        slices,
        _rows(ordered, slices),
        sum(part.n for part in ordered if part.surface.symmetric),
        states,
        parity,
        point,
        incidence,
        _work(ordered),
    )


def _work(parts: tuple[Panels, ...]) -> Work:
    chords = max(part.surface.n_chord for part in parts)
    return Work(work_size(chords, max(part.node_x.size for part in parts)))


def onset(points: FloatArray, point: FloatArray, m: int) -> FloatArray:
    """(3, n, m) onset velocity/V at points (3, n) for every state; shapes have none.

    x̂ + α ẑ - β ŷ + (p/V)(0, -z, y) + (q/V)(-z, 0, x) + (r/V)(-y, x, 0), x, y, z counted from `point`.
    """
    x, y, z = points - point[:, None]
    flow = np.zeros((3, points.shape[1], m))
    flow[0, :, 0] = 1.0
    flow[2, :, 1] = 1.0
    flow[1, :, 2] = -1.0
    flow[1, :, 3], flow[2, :, 3] = -z, y
    flow[0, :, 4], flow[2, :, 4] = -z, x
    flow[0, :, 5], flow[1, :, 5] = -y, x
    return flow


def right_side(state: System) -> FloatArray:
    """(P, m) minus the normal onset velocity: n = (incidence of state one, n_y, n_z), plus the shapes."""
    points, normals = [], []
    for part in state.parts:
        c = part.surface.n_chord
        y, z = (np.repeat(part.line_yz[:, axis], c) for axis in (0, 1))
        points.append(np.stack((part.control_x.ravel(), y, z)))
        normals.append(np.repeat(part.normal, c, axis=0))
    flow = onset(np.concatenate(points, axis=1), state.point, len(state.states))
    normal = np.concatenate(normals)
    base = state.incidence[:, :1]
    turned = flow[0] * base + flow[1] * normal[:, :1] + flow[2] * normal[:, 1:]
    turned[:, len(MOTION) :] += state.incidence[:, len(MOTION) :]
    return np.asarray(-turned)


def circulation(state: System) -> FloatArray:
    """(P, m) circulation/V of the right-hand panels per unit of every state, by two half-size solutions."""
    right = right_side(state) * (4.0 * np.pi)
    like, unlike = _influence(state)
    half, even = state.mirrored, state.parity > 0.0
    strength = np.zeros_like(right)
    if half:
        strength[:half, even] = np.linalg.solve(like[:half, :half], right[:half, even])
    strength[:, ~even] = np.linalg.solve(unlike, right[:, ~even])
    return strength


def _influence(state: System) -> tuple[FloatArray, FloatArray]:
    """(P, P) normal velocity when the left half carries the same and when it carries the opposite.

    Centre surfaces have no image: a column of theirs counts once in both.
    """
    size = state.slices[-1].stop
    like, unlike = np.empty((size, size)), np.empty((size, size))
    table = np.empty(2 * size * size)
    for row in state.rows:
        right, normal = row.controls(), np.concatenate([part.normal for part in row.parts])
        both, turned = right.with_image(), np.concatenate((normal, normal * (-1.0, 1.0)))
        count, rows = right.x.size, row.panels
        for part, source, cols in zip(state.parts, state.sources, state.slices, strict=True):
            wash = table[: 2 * count * part.n].reshape(2, count, part.n)
            own = row.owned(part, middles=False)
            if not part.surface.symmetric:
                normal_wash(right, normal, source, own, state.work, wash[0])
                like[rows, cols] = unlike[rows, cols] = wash[0]
                continue
            normal_wash(both, turned, source, own.with_image(), state.work, wash.reshape(-1, part.n))
            np.add(wash[0], wash[1], out=like[rows, cols])
            np.subtract(wash[0], wash[1], out=unlike[rows, cols])
    return like, unlike


def trailing(part: Panels, strength: FloatArray) -> FloatArray:
    """(N, m) strength of the leg that leaves every bound node, along +x, from panel strengths (P, m)."""
    c, m = part.surface.n_chord, strength.shape[1]
    grid = strength.reshape(-1, c, m)
    legs = np.zeros((grid.shape[0] + 1, c, m))
    legs[1:] = grid
    legs[:-1] -= grid
    return legs.reshape(-1, m)


def induced(state: System, strength: FloatArray, row: Row) -> FloatArray:
    """(3, targets, m) velocity/V that all vortices, left and right, induce on the pieces of a row's surfaces.

    Targets of every surface: middles of the bound vortices, then of the chordwise bound pieces.
    """
    right = row.middles()
    both, count = right.with_image(), right.x.size
    total = np.zeros((3, count, strength.shape[1]))
    flip = np.array([1.0, -1.0, 1.0])[:, None, None] * state.parity
    for part, source, cols in zip(state.parts, state.sources, state.slices, strict=True):
        own = row.owned(part, middles=True)
        lines, mine = (both, own.with_image()) if part.surface.symmetric else (right, own)
        flow = velocities(lines, source, strength[cols], trailing(part, strength[cols]), mine, state.work)
        total += flow[:, :count]
        if part.surface.symmetric:
            total += flip * flow[:, count:]
    return total / (4.0 * np.pi)
