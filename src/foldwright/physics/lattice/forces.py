"""Quadratic forms of the forces: near field on every vortex piece, induced drag in the Trefftz plane."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from foldwright.base.types import FloatArray
from foldwright.physics.lattice.assembly import System, induced, onset, trailing
from foldwright.physics.lattice.kernel import WAKE_CORE, Source, softened
from foldwright.physics.lattice.panels import Panels
from foldwright.physics.lattice.surface import Reference

ODD = np.array([False, True, False, True, False, True])
"""Which of F_x, F_y, F_z, M_x, M_y, M_z join states of unlike parity."""


@dataclass(frozen=True, slots=True)
class Pieces:
    """Vortex pieces that carry force: points (3, n), vectors (3, n), strength and velocity/V per state.

    strength: (n, m); flow: (3, n, m); weight: (n,) 2 for a piece with a left twin, 1 on the centre plane.
    """

    points: FloatArray
    vectors: FloatArray
    strength: FloatArray
    flow: FloatArray
    weight: FloatArray


def pieces(state: System, strength: FloatArray) -> Pieces:
    """Bound pieces and chordwise bound pieces (from each bound vortex to the next or the trailing edge)."""
    points, vectors, amounts, weights = [], [], [], []
    for part, source, cols in zip(state.parts, state.sources, state.slices, strict=True):
        c, own = part.surface.n_chord, strength[cols]
        bound = np.stack((source.d_x, *(np.repeat(source.d_yz[:, axis], c) for axis in (0, 1))))
        points += [_points(part.line_yz, part.bound_x), _points(part.node_yz, part.leg_x)]
        length = part.leg_dx.ravel()
        vectors += [bound, np.stack((length, np.zeros_like(length), np.zeros_like(length)))]
        shed = trailing(part, own).reshape(-1, c, own.shape[1])
        amounts += [own, np.cumsum(shed, axis=1).reshape(-1, own.shape[1])]
        twice = 2.0 if part.surface.symmetric else 1.0
        weights.append(np.full(part.n + length.size, twice))
    where = np.concatenate(points, axis=1)
    flow = np.concatenate([induced(state, strength, row) for row in state.rows], axis=1) + onset(
        where, state.point, strength.shape[1]
    )
    return Pieces(
        where, np.concatenate(vectors, axis=1), np.concatenate(amounts), flow, np.concatenate(weights)
    )


def _points(yz: FloatArray, x: FloatArray) -> FloatArray:
    c = x.shape[1]
    return np.stack((x.ravel(), np.repeat(yz[:, 0], c), np.repeat(yz[:, 1], c)))


def force_forms(state: System, parts: Pieces) -> FloatArray:
    """(6, m, m) symmetric forms of F and M about state.point, in units of ½ ρ V^2, geometry axes.

    Kutta-Joukowski, F = ρ Γ V × l on every piece; M = r × F. The left half gives the same or the opposite,
    so only states of like (F_x, F_z, M_y) or unlike parity (F_y, M_x, M_z) join.
    """
    force = _cross(parts.flow, parts.vectors[:, :, None])
    arm = (parts.points - state.point[:, None])[:, :, None]
    moment = _cross(arm, force)
    both = np.concatenate((force, moment))
    weighted = (2.0 * parts.weight)[:, None] * parts.strength
    form = np.stack([weighted.T @ part for part in both])
    form = 0.5 * (form + np.swapaxes(form, 1, 2))
    like = np.outer(state.parity, state.parity) > 0.0
    return np.asarray(np.where(ODD[:, None, None], ~like, like) * form)


def _cross(a: FloatArray, b: FloatArray) -> FloatArray:
    """Vector product of arrays whose first axis is x, y, z."""
    return np.stack((a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]))


def coefficient_forms(forms: FloatArray, drag: FloatArray, reference: Reference) -> FloatArray:
    """(9, m, m) forms of CX, CY, CZ, CL, CD, Cl, Cm, Cn about state.point (see `Lattice`)."""
    x, y, z, roll, pitch, yaw = forms / reference.area
    return np.stack(
        (
            x,
            y,
            z,
            z,
            drag / reference.area,
            -roll / reference.span,
            pitch / reference.chord,
            -yaw / reference.span,
        )
    )


def drag_form(state: System, strength: FloatArray) -> FloatArray:
    """(m, m) form of the induced drag over ½ ρ V^2 from the wake far behind (Munk; Katz & Plotkin, ch. 12).

    D = -½ ρ Σ Γ w Δs with w the normal velocity of the whole wake at the middle of every strip.
    """
    strips = np.concatenate([strip_sum(part, strength[cols]) for part, cols in _parts(state)])
    near, far = _far_wash(state)
    even = state.parity > 0.0
    wash = np.where(even, (near + far) @ strips, (near - far) @ strips)
    weight = np.concatenate([part.width * (2.0 if part.surface.symmetric else 1.0) for part in state.parts])
    form = -strips.T @ (weight[:, None] * wash)
    like = np.outer(state.parity, state.parity) > 0.0
    return np.asarray(np.where(like, 0.5 * (form + form.T), 0.0))


def _parts(state: System) -> list[tuple[Panels, slice]]:
    return list(zip(state.parts, state.slices, strict=True))


def strip_sum(part: Panels, strength: FloatArray) -> FloatArray:
    """(strips, m) circulation/V of whole strips."""
    return np.asarray(strength.reshape(part.surface.n_span, part.surface.n_chord, -1).sum(axis=1))


def _far_wash(state: System) -> tuple[FloatArray, FloatArray]:
    """(strips, strips) normal velocity far behind of right-hand strips and of their mirror images."""
    yz = np.concatenate([part.line_yz for part in state.parts])
    normal = np.concatenate([part.normal for part in state.parts])
    count, flip = yz.shape[0], np.array([-1.0, 1.0])
    both, turned = np.concatenate((yz, yz * flip)), np.concatenate((normal, normal * flip))
    near, far = [], []
    for source, lines in zip(state.parts, state.sources, strict=True):
        core = np.concatenate([_core(target, source, lines) for target in state.parts])
        mirrored = source.surface.symmetric
        block = (
            _far_block(both, turned, lines, np.concatenate((core, core)))
            if mirrored
            else _far_block(yz, normal, lines, core)
        )
        near.append(block[:count])
        far.append(block[count:] if mirrored else np.zeros_like(block))
    return np.concatenate(near, axis=1), np.concatenate(far, axis=1)


def _core(target: Panels, source: Panels, lines: Source) -> FloatArray:
    """(targets, strips + 1) core radius for a wake that crosses one shed wholly ahead or behind."""
    apart = np.max(lines.te) <= np.min(target.node_le) or np.max(target.te) <= np.min(source.node_le)
    widest = np.maximum(lines.width, target.width[:, None])
    return np.asarray(WAKE_CORE * widest if apart and target is not source else np.zeros_like(widest))


def _far_block(yz: FloatArray, normal: FloatArray, lines: Source, core: FloatArray) -> FloatArray:
    """(targets, strips) normal velocity per unit strip circulation of straight vortices along x."""
    y = yz[:, :1] - lines.yz[:, 0]
    z = yz[:, 1:] - lines.yz[:, 1]
    square = y**2 + z**2
    # a vortex through the target itself gives no velocity there
    square[square < 1e-10 * np.min(lines.width) ** 2] = np.inf
    soft = core > 0.0
    inverse = 1.0 / square
    if np.any(soft):
        height = lines.normal[:, 0] * y + lines.normal[:, 1] * z
        plain = np.where(np.isinf(square), 0.0, square)
        inverse[soft] = softened(plain[soft], core[soft], height[soft])
    wash = (normal[:, 1:] * y - normal[:, :1] * z) * inverse
    return np.asarray(np.diff(wash, axis=1) / (2.0 * np.pi))
