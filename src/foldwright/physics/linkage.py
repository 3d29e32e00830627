"""A servo's arm, a push rod and a horn: how far a control turns.

The rod ends are joints that turn freely, the rod is straight and stiff, nothing has play. Lengths may have
any one unit (SI: m), angles are rad. Vectors are (..., 3) in one right-handed frame; leading axes broadcast,
so samples and whole throw curves run in one call. Turns are right-handed about their axis.

With the arm's hole at A(θ) and the horn's at H(δ) the loop closes where |A(θ) - H(δ)| = L. Both turn about
fixed lines, so this reads P cos δ + Q sin δ = C and is solved in closed form. Where the two axes are parallel
it is the planar four-bar of the textbooks, whose equation is Freudenstein's; where they are not (a servo that
stands upright and a level hinge) it is the same loop in space.

Sources: 1. F. Freudenstein, Approximate synthesis of four-bar linkages, Trans. ASME 77, 1955. 2. R. L.
Norton, Design of Machinery, ch. 4 (position analysis) and ch. 6 (velocities along a rigid link). Both from
memory.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import pi

import numpy as np

from foldwright.base.types import BoolArray, FloatArray

MOST_SLANT = np.radians(25.0)
"""[judgement] a bent wire's end turns this far out of the plane of its hole before it binds, rad; a ball
link takes about as much. Beyond it the sums still hold, the joint does not."""
_ON_CIRCLE = 1e-6
_DEAD = 1e-12


@dataclass(frozen=True, slots=True, eq=False)
class Linkage:
    """Arm, rod and horn in their neutral places.

    shaft: point on the servo's axis; axis: unit vector along it; arm: from `shaft` to the arm's hole.
    hinge: point on the hinge line; line: unit vector along it; horn: from `hinge` to the horn's hole.
    All (..., 3).
    """

    shaft: FloatArray
    axis: FloatArray
    arm: FloatArray
    hinge: FloatArray
    line: FloatArray
    horn: FloatArray

    @property
    def along(self) -> FloatArray:
        """(..., 3) from the arm's hole to the horn's, at neutral."""
        found: FloatArray = self.hinge + self.horn - self.shaft - self.arm
        return found

    @property
    def rod(self) -> FloatArray:
        """(...) length of the rod."""
        found: FloatArray = np.linalg.norm(self.along, axis=-1)
        return found


@dataclass(frozen=True, slots=True, eq=False)
class Throw:
    """A throw curve. angle (...): rad, NaN where locked. locked (...): the rod cannot get there."""

    angle: FloatArray
    locked: BoolArray


def planar(shaft: tuple[float, float], arm: tuple[float, float], horn: tuple[float, float]) -> Linkage:
    """A linkage in one plane, given as (x, z): hinge at (0, 0), both axes along y.

    shaft: its place; arm, horn: from shaft and hinge to their holes.
    """
    y = np.array([0.0, 1.0, 0.0])
    at, out, up = (np.array([x, 0.0, z]) for x, z in (shaft, arm, horn))
    return Linkage(at, y, out, np.zeros(3), y, up)


def turned(vector: FloatArray, axis: FloatArray, angle: FloatArray) -> FloatArray:
    """Vectors (..., 3) turned about unit axes by angles (...), rad: Rodrigues' formula."""
    c, s = np.cos(angle)[..., None], np.sin(angle)[..., None]
    along = np.sum(vector * axis, axis=-1, keepdims=True) * axis
    result: FloatArray = along + c * (vector - along) + s * np.cross(axis, vector)
    return result


def throw(linkage: Linkage, turn: FloatArray | float) -> Throw:
    """Deflection of the control at a turn of the servo from neutral, on the branch that neutral lies on.

    turn (...): rad. Beyond the first place where the rod locks, on either side, the angle is NaN: the servo
    cannot get past it. A linkage that stands dead at neutral is locked everywhere.
    """
    angle = np.asarray(turn, dtype=np.float64)
    p, q, c = _terms(linkage, angle)
    _, neutral, _ = _terms(linkage, np.zeros(()))
    square = p * p + q * q - c * c
    low, high = locks(linkage)
    locked = (square < 0.0) | (angle < low) | (angle > high)
    # P cos δ + Q sin δ = C: δ = atan2(Q, P) ± atan2(√(P² + Q² - C²), C)
    opened = np.arctan2(np.sqrt(np.maximum(square, 0.0)), c)
    found = np.arctan2(q, p) - np.sign(neutral) * opened
    found = (found + pi) % (2.0 * pi) - pi
    return Throw(np.where(locked, np.nan, found), np.broadcast_to(locked, found.shape).copy())


def locks(linkage: Linkage) -> tuple[FloatArray, FloatArray]:
    """First turn below and above neutral at which rod and horn come into line: (...) each, rad, ±π for none.

    There P² + Q² = C². With P, Q, C of first order in cos θ and sin θ that is a polynomial of fourth degree
    in exp(iθ); its roots on the unit circle are the places.
    """
    count = 8
    steps = 2.0 * pi * np.arange(count) / count
    shape = _terms(linkage, np.zeros(()))[0].shape
    grid = steps.reshape((count,) + (1,) * len(shape))
    p, q, c = _terms(linkage, grid)
    waves = np.fft.fft(p * p + q * q - c * c, axis=0).reshape(count, -1) / count
    low, high = np.full(waves.shape[1], -pi), np.full(waves.shape[1], pi)
    for i in range(waves.shape[1]):
        roots = np.roots(waves[[2, 1, 0, -1, -2], i])
        places = np.angle(roots[np.abs(np.abs(roots) - 1.0) < _ON_CIRCLE])
        low[i] = max((x for x in places if x < 0.0), default=-pi)
        high[i] = min((x for x in places if x >= 0.0), default=pi)
        if np.any(np.abs(places) < _DEAD):
            low[i] = high[i] = 0.0
    return low.reshape(shape), high.reshape(shape)


def loop_error(linkage: Linkage, turn: FloatArray | float, angle: FloatArray | float) -> FloatArray:
    """By how much the rod would have to be longer at a turn and a deflection, (...); 0 where the loop
    closes.
    """
    hole = linkage.shaft + turned(linkage.arm, linkage.axis, np.asarray(turn, dtype=np.float64))
    other = linkage.hinge + turned(linkage.horn, linkage.line, np.asarray(angle, dtype=np.float64))
    found: FloatArray = np.linalg.norm(other - hole, axis=-1) - linkage.rod
    return found


def ratio(linkage: Linkage) -> FloatArray:
    """dδ/dθ at neutral, (...): what small movements show.

    Both ends of a stiff rod have the same speed along it (2): e·(axis × arm) dθ = e·(line × horn) dδ. For
    parallel axes with arm and horn square to the rod this is arm / horn.
    """
    e = linkage.along / linkage.rod[..., None]
    of_arm = np.sum(e * np.cross(linkage.axis, linkage.arm), axis=-1)
    of_horn = np.sum(e * np.cross(linkage.line, linkage.horn), axis=-1)
    found: FloatArray = np.divide(of_arm, of_horn, out=np.full_like(of_arm, np.inf), where=of_horn != 0.0)
    return found


def swapped(linkage: Linkage) -> Linkage:
    """The same linkage driven from the control."""
    return Linkage(linkage.hinge, linkage.line, linkage.horn, linkage.shaft, linkage.axis, linkage.arm)


def turn_for(linkage: Linkage, angle: FloatArray | float) -> Throw:
    """Turn of the servo for a deflection, rad; NaN where the linkage does not get there."""
    back = throw(swapped(linkage), angle)
    there = throw(linkage, np.where(back.locked, 0.0, back.angle))
    locked = back.locked | there.locked
    return Throw(np.where(locked, np.nan, back.angle), locked)


def horn_for(linkage: Linkage, turn: FloatArray | float, angle: FloatArray | float) -> FloatArray:
    """Length of a horn that turns the control by `angle` when the servo turns by `turn`, (...).

    The horn keeps its direction, the arm its length and place. From |A₀ - h n₀|² = |A₁ - h n₁|², linear
    in h: h = (|A₀|² - |A₁|²) / 2 (A₀·n₀ - A₁·n₁). Negative or endless where no horn on that side does it.
    """
    n0 = linkage.horn / np.linalg.norm(linkage.horn, axis=-1, keepdims=True)
    n1 = turned(n0, linkage.line, np.asarray(angle, dtype=np.float64))
    a0 = linkage.shaft + linkage.arm - linkage.hinge
    a1 = linkage.shaft - linkage.hinge
    a1 = a1 + turned(linkage.arm, linkage.axis, np.asarray(turn, dtype=np.float64))
    over = np.sum(a0 * a0, axis=-1) - np.sum(a1 * a1, axis=-1)
    under = 2.0 * (np.sum(a0 * n0, axis=-1) - np.sum(a1 * n1, axis=-1))
    found: FloatArray = np.divide(over, under, out=np.full_like(over, np.inf), where=under != 0.0)
    return found


def with_horn(linkage: Linkage, horn: FloatArray) -> Linkage:
    """The linkage with another horn, and the rod that goes with it."""
    return replace(linkage, horn=horn)


def differential(linkage: Linkage, turn: FloatArray | float) -> FloatArray:
    """|deflection at +turn| / |deflection at -turn|, (...): 1 where both ways are alike.

    A horn whose hole lies off the square to the rod gives more one way than the other.
    """
    angle = np.asarray(turn, dtype=np.float64)
    found: FloatArray = np.abs(throw(linkage, angle).angle) / np.abs(throw(linkage, -angle).angle)
    return found


def slant(linkage: Linkage) -> FloatArray:
    """(...) greatest angle of the rod out of the plane that arm or horn turn in, at neutral, rad; held
    against MOST_SLANT.
    """
    e = linkage.along / linkage.rod[..., None]
    out = [np.abs(np.sum(e * line, axis=-1)) for line in (linkage.axis, linkage.line)]
    found: FloatArray = np.arcsin(np.clip(np.maximum(*out), 0.0, 1.0))
    return found


def freudenstein(
    lengths: tuple[float, float, float, float], arm: FloatArray | float, horn: FloatArray | float
) -> FloatArray:
    """What is left of Freudenstein's equation (1) for a planar four-bar; 0 where the loop closes.

    lengths: arm a, rod b, horn c, frame d. arm, horn: angles of arm and horn from the line that leads from
    the shaft to the hinge, rad. d/a cos φ - d/c cos ψ + (a² - b² + c² + d²)/(2ac) = cos(ψ - φ), with ψ of
    the arm and φ of the horn.
    """
    a, b, c, d = lengths
    psi, phi = np.asarray(arm, dtype=np.float64), np.asarray(horn, dtype=np.float64)
    rest = (a * a - b * b + c * c + d * d) / (2.0 * a * c)
    found: FloatArray = d / a * np.cos(phi) - d / c * np.cos(psi) + rest - np.cos(psi - phi)
    return found


def _terms(linkage: Linkage, turn: FloatArray) -> tuple[FloatArray, FloatArray, FloatArray]:
    """P, Q, C of P cos δ + Q sin δ = C at a turn, (...)."""
    hole = linkage.shaft - linkage.hinge + turned(linkage.arm, linkage.axis, turn)
    horn, line = linkage.horn, linkage.line
    along = np.sum(horn * line, axis=-1, keepdims=True) * line
    p = np.sum(hole * (horn - along), axis=-1)
    q = np.sum(hole * np.cross(line, horn), axis=-1)
    squares = np.sum(hole * hole, axis=-1) + np.sum(horn * horn, axis=-1) - linkage.rod**2
    return p, q, squares / 2.0 - np.sum(hole * along, axis=-1)
