"""Velocities that horseshoe vortices induce, assembled block by block (one target set, one surface).

A horseshoe of strength G has a bound piece A -> B and two legs along +x from A (backwards) and from B.
With r1 = P - A, r2 = P - B, d = B - A, everything times 4 pi (Biot-Savart; Katz & Plotkin, *Low-Speed
Aerodynamics*, 2nd ed., eqs 2.72 and 12.4-12.5 in another form):

    bound  v = (d x r1) · 2 (1/r1 + 1/r2) / ((r1 + r2)^2 - d^2)
    leg    v = x × r (1 + r_x / r) / (r_y^2 + r_z^2)

All panels of a strip share y and z, so r_y, r_z, 1/(r_y^2 + r_z^2) and most products are (lines, nodes)
arrays that are broadcast over the targets of a line; only r_x and r exist for every pair.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from foldwright.base.types import BoolArray, FloatArray, IntArray
from foldwright.physics.lattice.panels import Panels

NEAR = 1e-5
"""Targets of another surface closer to a vortex node than this many panel widths are held off it."""
JOINT = 0.75
"""Targets on a vortex line of another surface, where it stands on this one, are held off that line's bound
vortices by so many of its chordwise panels: their ends lie anywhere between the other's, and would push one
another as hard as chance brings them near."""
FLOOR = 1e-8
"""Least value of ((r1 + r2)^2 - d^2)/d^2 between surfaces: a target on another surface's vortex."""
WAKE_CORE = 1.25
"""Core radius of a wake passing a surface that lies wholly behind it, in panel widths: the greater of its own
and of the surface's (see `softened`). A canard's span changed in small steps in the wing's plane then moves
the lift slope within 0.1 %; at 0.75 it scatters by 1.7 %."""

CHUNK = 24_576
"""Pairs worked on at a time, so that four work arrays stay in a processor's second-level cache."""
SLOTS = 4
"""Work arrays of that size."""
LEAST_MEMORY = 1 << 20
"""Numbers reserved for them at least. What is not touched costs nothing, but a C library that sees one large
block come and go keeps the memory of later solutions instead of fetching fresh pages for each (a fifth of
the time of the final lattice)."""


@dataclass(frozen=True, slots=True)
class Lines:
    """Targets: (l, 2) y, z of lines along x, (l, r) x of the targets on each, (l,) panel width there."""

    yz: FloatArray
    x: FloatArray
    width: FloatArray

    def with_image(self) -> Lines:
        """These targets followed by the same ones on the other side of y = 0."""
        return Lines(
            np.concatenate((self.yz, self.yz * (-1.0, 1.0))),
            np.concatenate((self.x, self.x)),
            np.concatenate((self.width, self.width)),
        )

    def part(self, start: int, stop: int) -> Lines:
        """Some of the lines."""
        return Lines(self.yz[start:stop], self.x[start:stop], self.width[start:stop])


@dataclass(frozen=True, slots=True)
class Own:
    """What lines have to do with the source: (l,) True where they belong to the source's surface, (l,) strip
    whose bound pieces they run through, -1 for none.
    """

    mine: BoolArray
    strip: IntArray

    def with_image(self) -> Own:
        """For `Lines.with_image`: images run through nothing."""
        return Own(
            np.concatenate((self.mine, self.mine)), np.concatenate((self.strip, np.full_like(self.strip, -1)))
        )


@dataclass(frozen=True, slots=True)
class Source:
    """Vortices of one surface ready for use: nodes run along the chord first, then along the span.

    x, yz: (N,), (n+1, 2) nodes; d_x: (P,), d_yz: (n, 2) bound vectors; d_square: (N,) their
    squares, zero on the last line. te, width, pitch: (n+1,) trailing edge, panel width and chordwise panel
    at the lines; normal (n+1, 2): across the surface there.
    """

    x: FloatArray
    yz: FloatArray
    d_x: FloatArray
    d_yz: FloatArray
    d_square: FloatArray
    te: FloatArray
    width: FloatArray
    pitch: FloatArray
    normal: FloatArray
    chords: int

    @classmethod
    def of(cls, part: Panels) -> Source:
        """Vortices of a surface."""
        d_x = np.diff(part.node_x, axis=0)
        d_yz = np.diff(part.node_yz, axis=0)
        square = d_x**2 + np.sum(d_yz**2, axis=1)[:, None]
        edge = np.concatenate((part.width[:1], part.width))
        return cls(
            part.node_x.ravel(),
            part.node_yz,
            d_x.ravel(),
            d_yz,
            np.concatenate((square.ravel(), np.zeros(part.node_x.shape[1]))),
            part.te,
            edge,
            part.node_chord / part.node_x.shape[1],
            node_normal(part),
            part.node_x.shape[1],
        )


def node_normal(part: Panels) -> FloatArray:
    """(n+1, 2) unit normals at the vortex lines: the mean of the strips beside each.

    Where the halves meet on the centre line the other half's first strip is one of the two: the legs of both
    halves lie in one place there and cancel, which they only do with one normal.
    """
    own = part.normal
    root = own[:1]
    if part.surface.symmetric and abs(part.node_yz[0, 0]) < NEAR * part.width[0] and root[0, 1] != 0.0:
        root = root * (0.0, 1.0)
    both = np.concatenate((root, own[1:] + own[:-1], own[-1:]))
    return np.asarray(both / np.hypot(both[:, :1], both[:, 1:]))


@dataclass(frozen=True, slots=True)
class Offsets:
    """What depends on (line, span node) only: r_y, r_z, their square for r and 1/square for the legs."""

    y: FloatArray
    z: FloatArray
    square: FloatArray
    inverse: FloatArray


def offsets(lines: Lines, source: Source, mine: BoolArray) -> Offsets:
    """Offsets of every line from every span node; mine (l,): the line belongs to the source's surface.

    A vortex line through the target's own line gives no velocity there (inverse 0). A wake whose surface
    ends ahead of the whole line gets a core (WAKE_CORE), as its sheet would have.
    """
    y = lines.yz[:, :1] - source.yz[:, 0]
    z = lines.yz[:, 1:] - source.yz[:, 1]
    square = y**2 + z**2
    near = (NEAR * source.width) ** 2
    touching = square < near
    inverse = np.where(touching, 0.0, 1.0 / np.where(touching, 1.0, square))
    if not mine.all():
        other = ~mine[:, None]
        behind = other & (np.min(lines.x, axis=1)[:, None] >= source.te)
        core = WAKE_CORE * np.maximum(source.width, lines.width[:, None])
        off_sheet = source.normal[:, 0] * y + source.normal[:, 1] * z
        inverse = np.where(behind, softened(square, core, off_sheet), inverse)
        held = np.where(touching & ~behind, (JOINT * source.pitch) ** 2, np.maximum(square, near))
        square = np.where(other, held, square)
    return Offsets(y, z, square, inverse)


def softened(square: FloatArray, core: FloatArray, height: FloatArray) -> FloatArray:
    """1/r² of a leg with a core, (r² + c² + 2 R (R - |h|))/(r² + c²)² with R² = h² + c²; of one shape.

    square: r²; core: c; height: h off the sheet that the leg belongs to. At a height h a sheet in waves of
    wave number k answers with exp(-k |h|) of what it does in its own plane; this one with
    exp(-k R)(1 + k (R - |h|)), which is the same but for k² (R - |h|)²/2: long waves keep their downwash at
    any height, and short ones, such as a sheet's being cut into vortices, vanish with exp(-k c) in its plane.
    The plain core 1/(r² + c²) loses k (R - |h|) of the downwash. First principles (Fourier transform).
    """
    root = np.hypot(height, core)
    total = square + core * core
    return np.asarray((total + 2.0 * root * (root - np.abs(height))) / (total * total))


class Work:
    """Preallocated buffers of one solve: `take` gives a view of a slot in the shape that is needed."""

    __slots__ = ("_slots",)

    def __init__(self, size: int) -> None:
        self._slots = np.empty(max(SLOTS * size, LEAST_MEMORY))[: SLOTS * size].reshape(SLOTS, size)

    def take(self, slot: int, shape: tuple[int, ...]) -> FloatArray:
        """View of a slot; its content is what the last user left."""
        return self._slots[slot, : math.prod(shape)].reshape(shape)


def chunks(lines: Lines, source: Source) -> Iterator[tuple[int, int]]:
    """Ranges of lines that fit a chunk, at least one line each."""
    count = lines.yz.shape[0]
    step = max(1, CHUNK // (lines.x.shape[1] * source.x.shape[0]))
    for start in range(0, count, step):
        yield start, min(start + step, count)


def work_size(most_chord: int, most_nodes: int) -> int:
    """Slot size for targets of up to most_chord on a line and sources of up to most_nodes."""
    return max(CHUNK, most_chord * most_nodes)


@dataclass(frozen=True, slots=True)
class Pairs:
    """Every target against every node (lines, targets, N).

    x, inverse: r_x and 1/r. For the bound piece that starts at the node, segment =
     (1/r1 + 1/r2) / ((r1 + r2)^2 - d^2). The last c columns of `segment` mean nothing: they are
    there so that every operation runs over whole arrays without a break. Views of a `Work`, valid until
    its next use.
    """

    x: FloatArray
    inverse: FloatArray
    segment: FloatArray


def pairs(
    lines: Lines, source: Source, square: FloatArray, work: Work, mine: BoolArray, strip: IntArray
) -> Pairs:
    """Distances and the bound-piece factor; square: (l, N) r_y^2 + r_z^2; mine, strip (l,): see `Own`."""
    c = source.chords
    shape = (*lines.x.shape, source.x.shape[0])
    x, r, inverse, total = (work.take(slot, shape) for slot in range(4))
    np.subtract(lines.x[:, :, None], source.x, out=x)
    np.multiply(x, x, out=r)
    r += square[:, None, :]
    np.sqrt(r, out=r)
    np.divide(1.0, r, out=inverse)
    _join(np.add, r, c, total)
    np.multiply(total, total, out=total)
    total -= source.d_square
    if not mine.all():
        np.maximum(total, FLOOR * source.d_square, out=total)
    halved = np.nonzero(strip >= 0)[0]
    if halved.size:
        row = np.arange(c)
        total[halved[:, None], row, strip[halved][:, None] * c + row] = np.inf
    segment = r  # the distances have served
    _join(np.add, inverse, c, segment)
    segment /= total
    return Pairs(x, inverse, segment)


def _join(operation: np.ufunc, nodes: FloatArray, c: int, out: FloatArray) -> None:
    """operation(second end, first end) of every bound piece, over the flat array; see `Pairs`."""
    flat, target = nodes.reshape(-1), out.reshape(-1)
    operation(flat[c:], flat[:-c], out=target[:-c])
    target[-c:] = 1.0


def normal_wash(
    lines: Lines, normal: FloatArray, source: Source, own: Own, work: Work, out: FloatArray
) -> None:
    """Write to out (targets, P) 4 pi times the velocity of unit strengths along the lines' normals (l, 2)."""
    c = source.chords
    off = offsets(lines, source, own.mine)
    turn = normal[:, 1:] * off.y - normal[:, :1] * off.z  # n · (x × r)
    along = normal[:, :1] * source.d_yz[:, 1] - normal[:, 1:] * source.d_yz[:, 0]  # x part of n × d
    square, legs = (np.repeat(grid, c, axis=1) for grid in (off.square, turn * off.inverse))
    count = source.d_x.shape[0]
    across, ahead = np.zeros_like(square), np.zeros_like(square)
    across[:, :count] = np.repeat(2.0 * turn[:, :-1], c, axis=1) * source.d_x
    ahead[:, :count] = np.repeat(2.0 * along, c, axis=1)
    table = out.reshape(*lines.x.shape, count)
    for start, stop in chunks(lines, source):
        mine, strip = own.mine[start:stop], own.strip[start:stop]
        pair = pairs(lines.part(start, stop), source, square[start:stop], work, mine, strip)
        leg = np.multiply(pair.x, pair.inverse, out=pair.inverse)
        leg += 1.0
        leg *= legs[start:stop, None, :]
        wash = pair.x
        wash *= ahead[start:stop, None, :]
        wash += across[start:stop, None, :]
        wash *= pair.segment
        _join(np.subtract, leg, c, pair.segment)
        np.add(wash[..., :count], pair.segment[..., :count], out=table[start:stop])


def velocities(
    lines: Lines, source: Source, strength: FloatArray, trail: FloatArray, own: Own, work: Work
) -> FloatArray:
    """(3, targets, m) velocity of given strengths (P, m), trail = their legs (N, m), times 4 pi.

    A bound piece is left out for the lines that run through its middle (`Own.strip`).
    """
    c, m = source.chords, strength.shape[1]
    off = offsets(lines, source, own.mine)
    flat = not (np.any(off.z) or np.any(source.d_yz[:, 1]))
    square = np.repeat(off.square, c, axis=1)
    turn, arm = _weights(source, off, flat)
    bent = np.concatenate([2.0 * source.d_x[:, None] * strength] + ([] if flat else [2.0 * strength]), axis=1)
    twist = _shift_strength(source, strength)
    out = np.zeros((3, lines.yz.shape[0], lines.x.shape[1], m))
    for start, stop in chunks(lines, source):
        mine, strip = own.mine[start:stop], own.strip[start:stop]
        pair = pairs(lines.part(start, stop), source, square[start:stop], work, mine, strip)
        leg = np.multiply(pair.x, pair.inverse, out=pair.inverse)
        moved = np.multiply(pair.segment, pair.x, out=pair.x)
        here = out[:, start:stop]
        _add_weighted(here, pair.segment, bent, turn[start:stop], c)
        _add_weighted(here, leg, trail, arm[start:stop], c)
        shift = moved[..., : strength.shape[0]] @ twist
        here[2] += shift[..., :m]
        here[1] += shift[..., m:]
    shed = trail.reshape(-1, c, m).sum(axis=1)
    out[2] += ((off.y * off.inverse) @ shed)[:, None, :]
    out[1] -= ((off.z * off.inverse) @ shed)[:, None, :]
    return out.reshape(3, -1, m)


def _weights(source: Source, off: Offsets, flat: bool) -> tuple[FloatArray, FloatArray]:
    """Weights of `segment` (l, 1 or 3, n) and of r_x/r (l, 1 or 2, n + 1) in the z, y and x velocity.

    The parts of d × r1 without r_x, and x × r / (r_y^2 + r_z^2). A flat lattice has z only.
    """
    y, z = off.y[:, :-1], off.z[:, :-1]
    d_y, d_z = source.d_yz[:, 0], source.d_yz[:, 1]
    arm = off.y * off.inverse
    if flat:
        return y[:, None, :], arm[:, None, :]
    turn = np.stack((y, -z, d_y * z - d_z * y), axis=1)
    return turn, np.stack((arm, -off.z * off.inverse), axis=1)


def _shift_strength(source: Source, strength: FloatArray) -> FloatArray:
    """(P, 2 m) weights of `segment · r_x` in the z and y velocity."""
    d = 2.0 * np.repeat(source.d_yz, source.chords, axis=0)
    return np.concatenate((-d[:, :1] * strength, d[:, 1:] * strength), axis=1)


def _add_weighted(
    out: FloatArray, kernel: FloatArray, amount: FloatArray, weight: FloatArray, c: int
) -> None:
    """Add the sum over sources of kernel (l, r, n c) · amount (n c, k m) · weight (l, components, n).

    The chord is summed first, since the weights depend on the line and the strip only. The first m
    columns of amount serve z and y, the next m, if any, serve x.
    """
    (_, count, rows, m), n = out.shape, weight.shape[2]
    grid = kernel.reshape(count * rows, -1, c)[:, :n].transpose(1, 0, 2)
    strips = grid @ amount.reshape(n, c, -1)  # (n, l r, k m)
    lines = strips.reshape(n, count, -1).transpose(1, 0, 2)
    both = (weight[:, :2] @ lines).reshape(count, -1, rows, strips.shape[2])
    out[2] += both[:, 0, :, :m]
    if weight.shape[1] > 1:
        out[1] += both[:, 1, :, :m]
    if weight.shape[1] > 2:
        out[0] += (weight[:, 2:] @ lines).reshape(count, rows, -1)[..., m:]
