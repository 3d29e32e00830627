"""The airframe's lifting surfaces and controls as the lattice wants them: mm become m here, once."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import combinations
from typing import Literal

import numpy as np

from foldwright.airframe.model import Airframe, LiftingSurface
from foldwright.base.finding import Finding, Param
from foldwright.base.types import FloatArray
from foldwright.flight.controls import Rigged, rigged
from foldwright.physics.lattice import Flap, Reference, Shape, Surface, Twist
from foldwright.physics.lattice.joints import SPACING

Detail = Literal["interactive", "final"]

M = 1e-3
"""Metres in a millimetre."""

GRID: dict[Detail, tuple[int, int]] = {"interactive": (8, 8), "final": (16, 12)}
"""Panels of the main wing's half: along the span, along the chord (design: flight physics, Lattice)."""
OTHER_GRID = (5, 6)
"""Panels of every other surface, likewise."""
ROOT_CONTACT = 0.1
"""A root this close to another surface's plane (in its chords) stands on it: no free end there."""
CLOSE = 0.15
"""Least height between two lying surfaces one above the other (in chords) that the lattice can hold."""
CROSSING = 0.04
"""A root that reaches through the plane by less than this (in its chords) still stands on it: at least."""
TIP_INSIDE, TIP_OUTSIDE = 0.015, 0.08
"""A fin within these distances of another surface's tip (in its chords) closes it."""
ROOT_GAP = 0.3
"""Halves whose roots stand less than this from the centre line (in root chords) are one surface there."""
LEAST_CHORD = 1e-3
"""A pointed tip keeps this share of the greatest chord: a strip must have some."""
TURN = 0.01
"""A leading edge that turns by more than this [rad] gets a vortex line there."""


@dataclass(frozen=True, slots=True)
class MeanChord:
    """Main wing's reference: area [mm²], mean aerodynamic chord, span, x of that chord's leading edge [mm].

    z: height of the root's leading edge [mm], the plane that pitching moments are taken in.
    """

    area: float
    chord: float
    span: float
    leading: float
    z: float


def mean_chord(wing: LiftingSurface) -> MeanChord:
    """Mean aerodynamic chord of straight-edged pieces, c̄ = (2/S) ∫ c² dy, x̄ = (2/S) ∫ x c dy, exact.

    Source: geometry; each integrand is quadratic on a piece (Simpson's rule is exact).
    """
    y, x, c = wing.le[:, 1], wing.le[:, 0], wing.chord
    step = np.diff(y)
    area = 2.0 * float(np.sum(step * 0.5 * (c[1:] + c[:-1])))
    square = 2.0 * _product(step, c, c)
    first = 2.0 * _product(step, x, c)
    return MeanChord(area, square / area, 2.0 * float(y[-1]), first / area, float(wing.le[0, 2]))


def _product(step: FloatArray, a: FloatArray, b: FloatArray) -> float:
    """∫ a b dy of two functions that are linear between stations."""
    ends = a[1:] * b[1:] + a[:-1] * b[:-1]
    middle = (a[1:] + a[:-1]) * (b[1:] + b[:-1])
    return float(np.sum(step * (ends + middle) / 6.0))


def surfaces(airframe: Airframe, detail: Detail) -> tuple[Surface, ...]:
    """All lifting surfaces that the lattice can hold, in m (see `one_sided`)."""
    return tuple(_surface(each, airframe.surfaces, detail) for each in airframe.surfaces if _holds(each))


def _holds(surface: LiftingSurface) -> bool:
    """Whether the lattice has a place for a surface: mirrored ones, and single ones standing upright."""
    return surface.symmetric or bool(np.ptp(surface.le[:, 1]) == 0.0)


def one_sided(airframe: Airframe) -> tuple[Finding, ...]:
    """T03 for a single fin beside the centre line, T04 for a single surface that spreads to one side.

    The lattice is symmetric: it holds such a fin as if it stood on the centre line, and leaves such a
    surface out.
    """
    found = []
    for surface in airframe.surfaces:
        if surface.symmetric:
            continue
        if not _holds(surface):
            found.append(Finding("T04", "watch", surface.id, source="lattice"))
        elif surface.le[0, 1] != 0.0:
            place = round(float(surface.le[0, 1]), 1)
            found.append(Finding("T03", "watch", surface.id, {"place": place}, place, 0.0, "mm", "lattice"))
    return tuple(found)


def crowded(airframe: Airframe) -> tuple[Finding, ...]:
    """T06 for two lying surfaces that pass through, or close over, one another.

    Vortices of the one would lie between the control points of the other wherever chance puts them.
    """
    lying = [each for each in airframe.surfaces if each.symmetric and not each.upright]
    found = []
    for one, two in combinations(lying, 2):
        apart = _least_apart(one, two)
        if apart < CLOSE:
            value, least = round(100.0 * apart, 1), 100.0 * CLOSE
            params: dict[str, Param] = {"other": one.id, "apart": value, "least": least}
            found.append(Finding("T06", "watch", two.id, params, value, least, "%", "lattice"))
    return tuple(found)


def _least_apart(one: LiftingSurface, two: LiftingSurface) -> float:
    """Least height between two surfaces where their chords overlap, in the greater chord; else infinite."""
    y = np.linspace(0.0, min(one.le[-1, 1], two.le[-1, 1]), 15)
    front, height, length = [], [], []
    for each in (one, two):
        front.append(np.interp(y, each.le[:, 1], each.le[:, 0]))
        height.append(np.interp(y, each.le[:, 1], each.le[:, 2]))
        length.append(np.interp(y, each.le[:, 1], each.chord))
    over = np.minimum(front[0] + length[0], front[1] + length[1]) - np.maximum(front[0], front[1])
    gap = np.abs(height[0] - height[1]) / np.maximum(length[0], length[1])
    return float(np.min(np.where(over > 0.0, gap, np.inf)))


def _surface(source: LiftingSurface, everything: tuple[LiftingSurface, ...], detail: Detail) -> Surface:
    span, chord = GRID[detail] if source.main else OTHER_GRID
    le, flat = placed(source, everything) * M, np.zeros_like(source.camber)
    return Surface(
        name=source.id,
        le=le,
        chord=np.maximum(source.chord, LEAST_CHORD * float(np.max(source.chord))) * M,
        xi=source.xi,
        camber=source.camber if source.symmetric else flat,
        twist=source.twist if source.symmetric else flat[:, 0],
        symmetric=source.symmetric,
        n_chord=chord,
        n_span=span,
        root_inset=None if _foot(source, everything) is None else 0.0,
        tip_inset=0.0 if any(_at_tip(fin, source) for fin in everything if fin is not source) else None,
        lines=_kinks(le, span),
    )


def _kinks(le: FloatArray, panels: int) -> tuple[float, ...]:
    """Fractions of the half span where the leading edge turns, seen from ahead or above: lines stand there.

    Without a line a panel cuts the corner of a polyhedral wing. Turns nearer to each other or to an end
    than half a panel are one, and no more than half of the panels' lines are spent on them.
    """
    step = np.diff(le, axis=0)
    length = np.hypot(step[:, 1], step[:, 2])
    share = np.cumsum(length)[:-1] / np.sum(length)
    way = step / length[:, None]
    turn = np.linalg.norm(np.diff(way, axis=0), axis=1)
    found: list[float] = []
    for size, at in sorted(zip(turn.tolist(), share.tolist(), strict=True), reverse=True):
        apart = all(abs(at - other) > 0.5 / panels for other in (0.0, *found, 1.0))
        if size > TURN and apart and len(found) < panels // 2:
            found.append(at)
    return tuple(sorted(found))


def placed(source: LiftingSurface, everything: tuple[LiftingSurface, ...]) -> FloatArray:
    """Leading edge (k, 3) in mm as the lattice has it.

    Single fins stand on the centre line; halves that a body or a fold parts by less than ROOT_GAP of the root
    chord meet there, along their own line (the body carries their lift over). Fins on another surface are
    welded to its plane, and fins at its tip to the tip, since a joint that is glued is tight: a gap of a
    board's thickness would let the load end there, and closing it by ever finer panels takes for ever (the
    neutral point of a swept wing with tip fins moves by 4 % of its chord between a quarter panel and none).
    """
    le = source.le * (np.ones(3) if source.symmetric else np.array([1.0, 0.0, 1.0]))
    if source.symmetric and (source.role == "v_tail" or not source.upright):
        le = _met(le, float(source.chord[0]))
    aside = [base.le[-1, 1] - source.le[0, 1] for base in everything if _at_tip(source, base)]
    height = _foot(source, everything)
    return np.asarray(le + np.array([0.0, aside[0] if aside else 0.0, -(height or 0.0)]))


def _met(le: FloatArray, chord: float) -> FloatArray:
    """Leading edge whose root is drawn on along its own first piece as far as the centre line."""
    y, run = float(le[0, 1]), float(le[1, 1] - le[0, 1])
    if not 0.0 < y < ROOT_GAP * chord or run <= 0.0:
        return le
    out = le.copy()
    out[0] = le[0] - (le[1] - le[0]) * y / run
    return out


def _foot(source: LiftingSurface, everything: tuple[LiftingSurface, ...]) -> float | None:
    """Height [mm] above the plane of the nearest lying surface whose root it stands on, so that its load
    does not end there; None for a surface that stands on none.
    """
    if source.main:
        return None
    lying = [each for each in everything if each is not source and (each.main or not each.upright)]
    bases = [each for each in lying if source.upright or _at_tip(source, each)]
    gaps = [gap for gap in (_gap(source, base) for base in bases) if gap is not None]
    return min(gaps, key=abs) if gaps else None


def foot_of(fin: LiftingSurface, base: LiftingSurface) -> bool:
    """Whether a surface stands on a lying one, or closes its tip."""
    return fin is not base and (_at_tip(fin, base) or (fin.upright and _gap(fin, base) is not None))


def _gap(source: LiftingSurface, base: LiftingSurface) -> float | None:
    """Height [mm] of a root above a surface's plane if it stands there, chords overlapping."""
    x, y, z = source.le[0]
    if not 0.0 <= y <= base.le[-1, 1] + ROOT_CONTACT * base.chord[-1]:
        return None
    front, height = (float(np.interp(y, base.le[:, 1], base.le[:, axis])) for axis in (0, 2))
    chord = float(np.interp(y, base.le[:, 1], base.chord))
    beside = x + source.chord[0] > front and x < front + chord
    rise = float(source.le[-1, 2] - z)
    over = (z - height) * float(np.sign(rise) or 1.0)  # negative: it crosses the plane
    # a stub too short for a strip of its own has no vortex line at the plane either
    through = max(CROSSING * chord, SPACING / OTHER_GRID[0] * abs(rise))
    near = -through <= over < ROOT_CONTACT * chord
    return float(z - height) if beside and near else None


def _at_tip(fin: LiftingSurface, base: LiftingSurface) -> bool:
    """Whether a mirrored surface closes a lying one's tip.

    A fin stands on it, hangs from it or crosses it; a canted tip has its root there.
    """
    if not fin.symmetric or fin.main or base.upright or not base.symmetric:
        return False
    (x, y, z), chord = base.le[-1], float(base.chord[-1])
    near = ROOT_CONTACT * chord
    foot, rise = float(fin.le[0, 2]), float(fin.le[-1, 2] - fin.le[0, 2])
    low, high = sorted((foot, foot + rise)) if fin.upright else (foot, foot)
    share = float(np.clip((z - foot) / rise, 0.0, 1.0)) if fin.upright else 0.0
    front, aside = (fin.le[0, axis] + share * (fin.le[-1, axis] - fin.le[0, axis]) for axis in (0, 1))
    length = fin.chord[0] + share * (fin.chord[-1] - fin.chord[0])
    outside = (aside - y) / chord
    meets = low - near < z < high + near and -TIP_INSIDE < outside < TIP_OUTSIDE
    return bool(meets and front < x + chord and front + length > x)


def shapes(airframe: Airframe) -> tuple[Shape, ...]:
    """A shape for every state of every control (`controls.Rigged`): alike for pitch, opposite for others."""
    found: list[Shape] = []
    for each in rigged(airframe.surfaces):
        if _holds(each.surface) and each.axes:
            kind = _turned(each, airframe)
            found += [
                Shape(each.state(axis), each.surface.id, kind, 1 if axis == "pitch" else -1)
                for axis in each.axes
            ]
    return tuple(found)


def _turned(each: Rigged, airframe: Airframe) -> Flap | Twist:
    """Flap, or turn of whole sections; distances along the span become shares of the half span."""
    own = placed(each.surface, airframe.surfaces)
    steps = np.hypot(np.diff(own[:, 1]), np.diff(own[:, 2]))
    whole = float(np.sum(steps))
    more = whole - float(each.surface.arc[-1])  # drawn on to the centre line
    inner, outer = (
        float(np.clip((at + more) / whole, 0.0, 1.0)) for at in (each.control.inner, each.control.outer)
    )
    if each.control.all_moving:
        return Twist(inner, outer)
    return Flap(each.control.hinge[0], each.control.hinge[1], inner, outer)


def reference(mean: MeanChord) -> Reference:
    """Lattice reference in m: moments about the quarter point of the mean chord."""
    point = np.array([mean.leading + 0.25 * mean.chord, 0.0, mean.z]) * M
    return Reference(mean.area * M * M, mean.chord * M, mean.span * M, point)
