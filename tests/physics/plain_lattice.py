"""An independent plain lattice for comparison: every horseshoe by itself, both halves, no symmetry.

It shares no code with the package: geometry, velocities and forces are written out one vortex at a time
from Biot-Savart and Kutta-Joukowski in textbook form (Katz & Plotkin, Low-Speed Aerodynamics, ch. 10, 12).
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from foldwright.base.types import FloatArray
from foldwright.physics.lattice import Flap, Reference, Shape, Surface, Twist


@dataclass(frozen=True, slots=True)
class Horseshoe:
    """One panel: bound ends a, b, control point, normal, incidence per state, chordwise leg lengths."""

    a: FloatArray
    b: FloatArray
    control: FloatArray
    normal: FloatArray
    incidence: FloatArray
    reach_a: float
    reach_b: float


def segment(p: FloatArray, a: FloatArray, b: FloatArray) -> FloatArray:
    """Velocity at p of a unit vortex from a to b; none on its own line."""
    r1, r2 = p - a, p - b
    cross = np.cross(r1, r2)
    square = float(cross @ cross)
    if square < 1e-20:
        return np.zeros(3)
    r0 = b - a
    factor = float(r0 @ r1) / np.linalg.norm(r1) - float(r0 @ r2) / np.linalg.norm(r2)
    return np.asarray(cross / square * factor / (4.0 * np.pi))


def ray(p: FloatArray, a: FloatArray) -> FloatArray:
    """Velocity at p of a unit vortex from a to x = infinity."""
    r = p - a
    square = float(r[1] ** 2 + r[2] ** 2)
    if square < 1e-20:
        return np.zeros(3)
    turn = np.array([0.0, -r[2], r[1]])
    return np.asarray(turn * (1.0 + r[0] / np.linalg.norm(r)) / square / (4.0 * np.pi))


def onset(p: FloatArray, centre: FloatArray, m: int) -> FloatArray:
    """(3, m) onset of the design's formula."""
    x, y, z = p - centre
    flow = np.zeros((3, m))
    flow[:, 0] = (1.0, 0.0, 0.0)
    flow[:, 1] = (0.0, 0.0, 1.0)
    flow[:, 2] = (0.0, -1.0, 0.0)
    flow[:, 3] = (0.0, -z, y)
    flow[:, 4] = (-z, 0.0, x)
    flow[:, 5] = (-y, x, 0.0)
    return flow


def _edges(surface: Surface) -> FloatArray:
    root, tip = surface.insets
    assert not surface.lines
    return np.asarray((root + np.arange(surface.n_span + 1)) / (surface.n_span + root + tip))


def _at(surface: Surface, share: float) -> tuple[FloatArray, float]:
    """Leading edge and chord at a share of the half span (two stations only)."""
    assert surface.le.shape[0] == 2
    le = surface.le[0] + share * (surface.le[1] - surface.le[0])
    return le, float(surface.chord[0] + share * (surface.chord[1] - surface.chord[0]))


def _turn(shape: Shape, span: tuple[float, float], chord: tuple[float, float]) -> float:
    """Incidence of one right-hand panel per unit of a shape: covered share, mean slope over the cell."""
    kind = shape.kind
    low, high = (min(max(s, kind.eta0), kind.eta1) for s in span)
    middle = (0.5 * (low + high) - kind.eta0) / (kind.eta1 - kind.eta0)
    cover = (high - low) / (span[1] - span[0])
    if isinstance(kind, Twist):
        return cover * (kind.turn0 + middle * (kind.turn1 - kind.turn0))
    assert isinstance(kind, Flap)
    hinge = kind.hinge0 + middle * (kind.hinge1 - kind.hinge0)
    drop = max(chord[1] - hinge, 0.0) - max(chord[0] - hinge, 0.0)
    return cover * drop / (chord[1] - chord[0])


def horseshoes(surfaces: list[Surface], shapes: list[Shape]) -> list[Horseshoe]:
    """All panels of both halves; circulation runs from left to right (or bottom to top)."""
    found = []
    for surface in surfaces:
        sides = (1.0, -1.0) if surface.symmetric else (1.0,)
        edges, c = _edges(surface), surface.n_chord
        for j in range(surface.n_span):
            for i in range(c):
                found += [_panel(surface, shapes, edges[j], edges[j + 1], i, side) for side in sides]
    return found


def _panel(
    surface: Surface, shapes: list[Shape], inner: float, outer: float, i: int, side: float
) -> Horseshoe:
    c = surface.n_chord
    le_in, chord_in = _at(surface, inner)
    le_out, chord_out = _at(surface, outer)
    front, rear = (i + 0.25) / c, ((i + 1.25) / c if i + 1 < c else 1.0)
    a = le_in + np.array([chord_in * front, 0.0, 0.0])
    b = le_out + np.array([chord_out * front, 0.0, 0.0])
    control = 0.5 * (le_in + le_out) + np.array([0.5 * (chord_in + chord_out) * (i + 0.75) / c, 0.0, 0.0])
    along = le_out - le_in
    normal = np.array([0.0, -along[2], along[1]]) / np.hypot(along[1], along[2])
    middle = 0.5 * (inner + outer)
    camber = surface.camber[0] + middle * (surface.camber[1] - surface.camber[0])
    rise = float(np.interp(rear, surface.xi, camber) - np.interp(front, surface.xi, camber))
    twist = float(surface.twist[0] + middle * (surface.twist[1] - surface.twist[0]))
    incidence = np.zeros(6 + len(shapes))
    incidence[0] = twist - rise / (rear - front)
    for column, shape in enumerate(shapes, start=6):
        if shape.surface == surface.name:
            sense = 1.0 if side > 0.0 else float(shape.mirror)
            incidence[column] = sense * _turn(shape, (inner, outer), (front, rear))
    reach_a, reach_b = chord_in * (1.0 - front), chord_out * (1.0 - front)
    if side > 0.0:
        return Horseshoe(a, b, control, normal, incidence, reach_a, reach_b)
    flip = np.array([1.0, -1.0, 1.0])
    return Horseshoe(b * flip, a * flip, control * flip, normal * flip, incidence, reach_b, reach_a)


def circulations(panels: list[Horseshoe], centre: FloatArray) -> FloatArray:
    """(N, m) from one full system."""
    n, m = len(panels), panels[0].incidence.size
    matrix, right = np.empty((n, n)), np.empty((n, m))
    for i, target in enumerate(panels):
        for j, source in enumerate(panels):
            matrix[i, j] = target.normal @ whole(target.control, source)
        flow = onset(target.control, centre, m)
        right[i] = -(target.normal @ flow) - target.incidence[0] * flow[0]
        right[i, 6:] -= target.incidence[6:]
    return np.asarray(np.linalg.solve(matrix, right), dtype=np.float64)


def whole(p: FloatArray, source: Horseshoe) -> FloatArray:
    """Velocity at p of a unit horseshoe."""
    return np.asarray(segment(p, source.a, source.b) - ray(p, source.a) + ray(p, source.b))


def forms(
    surfaces: list[Surface], shapes: list[Shape], reference: Reference
) -> tuple[FloatArray, FloatArray]:
    """(8, m, m) forms CX, CY, CZ, CL, (CD empty), Cl, Cm, Cn and (N, m) circulations.

    Each horseshoe carries the force of its bound piece and of its own two chordwise pieces, cut where the
    next bound vortices start so that the velocity is taken at the same places as in the package.
    """
    panels = horseshoes(surfaces, shapes)
    centre = reference.point
    gamma = circulations(panels, centre)
    m = gamma.shape[1]
    total = np.zeros((6, m, m))
    counts = _chord_counts(surfaces)
    for index, panel in enumerate(panels):
        middle = 0.5 * (panel.a + panel.b)
        _add(total, middle, panel.b - panel.a, gamma[index], _flow(middle, panels, gamma, centre), centre)
        for foot, reach, sense in ((panel.a, panel.reach_a, -1.0), (panel.b, panel.reach_b, 1.0)):
            for start, stop in _cuts(reach, counts[index]):
                place = foot + np.array([0.5 * (start + stop), 0.0, 0.0])
                vector = np.array([sense * (stop - start), 0.0, 0.0])
                _add(total, place, vector, gamma[index], _flow(place, panels, gamma, centre), centre)
    fx, fy, fz, mx, my, mz = 0.5 * (total + np.swapaxes(total, 1, 2)) * 2.0 / reference.area
    span, chord = reference.span, reference.chord
    return np.stack((fx, fy, fz, fz, np.zeros_like(fx), -mx / span, my / chord, -mz / span)), gamma


def _chord_counts(surfaces: list[Surface]) -> list[int]:
    """Panels from each horseshoe's own to the trailing edge, in the order of `horseshoes`."""
    counts = []
    for surface in surfaces:
        sides = 2 if surface.symmetric else 1
        for _ in range(surface.n_span):
            for i in range(surface.n_chord):
                counts += [surface.n_chord - i] * sides
    return counts


def _cuts(reach: float, count: int) -> list[tuple[float, float]]:
    """A leg of length reach = (count - 1/4) cells, cut at the following bound vortices."""
    cell = reach / (count - 0.25)
    ends = [*(k * cell for k in range(count)), reach]
    return list(pairwise(ends))


def _flow(p: FloatArray, panels: list[Horseshoe], gamma: FloatArray, centre: FloatArray) -> FloatArray:
    """(3, m) total velocity at p."""
    velocity = onset(p, centre, gamma.shape[1])
    for source, strength in zip(panels, gamma, strict=True):
        velocity = velocity + np.outer(whole(p, source), strength)
    return np.asarray(velocity)


def _add(
    total: FloatArray,
    place: FloatArray,
    vector: FloatArray,
    strength: FloatArray,
    flow: FloatArray,
    centre: FloatArray,
) -> None:
    """Add strength · (flow × vector) and its moment to the six bilinear forms."""
    force = np.cross(flow, vector, axisa=0, axisb=0).T
    moment = np.cross(place - centre, force, axisa=0, axisb=0).T
    for row, part in enumerate((*force, *moment)):
        total[row] += np.outer(strength, part)
