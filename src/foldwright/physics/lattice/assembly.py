"""Boundary condition, the two half-size systems and the induced velocities of their solution."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from foldwright.base.types import FloatArray
from foldwright.physics.lattice.kernel import Lines, Source, Work, normal_wash, velocities, work_size
from foldwright.physics.lattice.panels import Panels, base_incidence, shape_incidence
from foldwright.physics.lattice.surface import Shape

MOTION = ("one", "alpha", "beta", "p", "q", "r")
"""States that every lattice has, ahead of its shapes."""
MOTION_PARITY = (1, 1, -1, -1, 1, -1)
"""+1: the left half does the same as the right one, -1: the opposite."""


@dataclass(frozen=True, slots=True)
class System:
    """Everything that the solution and the forces need; panels of all surfaces one after the other.

    parts, sources: surfaces, mirrored ones first; slices: their panels. mirrored: count of panels that
    have a left twin. states: names; parity: (m,) of ±1. point: the point the rates turn about.
    incidence: (P, m) incidence of every panel per unit of every state (zero for α, β and the rates).
    """

    parts: tuple[Panels, ...]
    sources: tuple[Source, ...]
    slices: tuple[slice, ...]
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
    for target, rows in zip(state.parts, state.slices, strict=True):
        right = Lines(target.line_yz, target.control_x)
        both, turned = right.with_image(), np.concatenate((target.normal, target.normal * (-1.0, 1.0)))
        for part, source, cols in zip(state.parts, state.sources, state.slices, strict=True):
            same = part is target
            wash = table[: 2 * target.n * part.n].reshape(2, target.n, part.n)
            if not part.surface.symmetric:
                normal_wash(right, target.normal, source, same, state.work, wash[0])
                like[rows, cols] = unlike[rows, cols] = wash[0]
                continue
            normal_wash(both, turned, source, same, state.work, wash.reshape(-1, part.n))
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


def induced(state: System, strength: FloatArray, target: Panels) -> FloatArray:
    """(3, targets, m) velocity/V that all vortices, left and right, induce on a surface's own pieces.

    Targets: middles of the bound vortices, then of the chordwise bound pieces.
    """
    right = Lines(
        np.concatenate((target.line_yz, target.node_yz)), np.concatenate((target.bound_x, target.leg_x))
    )
    both, count = right.with_image(), right.x.size
    total = np.zeros((3, count, strength.shape[1]))
    flip = np.array([1.0, -1.0, 1.0])[:, None, None] * state.parity
    for part, source, cols in zip(state.parts, state.sources, state.slices, strict=True):
        same = part is target
        lines = both if part.surface.symmetric else right
        trail = trailing(part, strength[cols])
        own = part.surface.n_span if same else 0
        flow = velocities(lines, source, strength[cols], trail, same, own, state.work)
        total += flow[:, :count]
        if part.surface.symmetric:
            total += flip * flow[:, count:]
    return total / (4.0 * np.pi)
