"""The airframe's lifting surfaces and controls as the lattice wants them: mm become m here, once."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np

from foldwright.airframe.model import Airframe, Control, LiftingSurface
from foldwright.base.finding import Finding
from foldwright.base.types import FloatArray
from foldwright.physics.lattice import Flap, Reference, Shape, Surface

Detail = Literal["interactive", "final"]

M = 1e-3
"""Metres in a millimetre."""

GRID: dict[Detail, tuple[int, int]] = {"interactive": (8, 8), "final": (16, 12)}
"""Panels of the main wing's half: along the span, along the chord (design: flight physics, Lattice)."""
OTHER_GRID = (5, 6)
"""Panels of every other surface, likewise."""
ROOT_CONTACT = 0.1
"""A root this close to the wing's plane (in wing chords) stands on the wing: no free end there."""


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

    @property
    def aspect(self) -> float:
        """Aspect ratio, span²/area."""
        return self.span**2 / self.area


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
    return tuple(_surface(surface, airframe, detail) for surface in airframe.surfaces if _holds(surface))


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


def _surface(source: LiftingSurface, airframe: Airframe, detail: Detail) -> Surface:
    span, chord = GRID[detail] if source.main else OTHER_GRID
    return Surface(
        name=source.id,
        le=_placed(source, airframe.wing) * M,
        chord=source.chord * M,
        xi=source.xi,
        camber=source.camber,
        twist=source.twist,
        symmetric=source.symmetric,
        n_chord=chord,
        n_span=span,
        root_inset=None,
    )


def _placed(source: LiftingSurface, wing: LiftingSurface) -> FloatArray:
    """Leading edge (k, 3) in mm: single fins on the centre line, fins on the wing welded to its plane.

    A root a board's thickness off the plane would leave two edge vortices beside each other there; welded,
    its own end stays a quarter panel clear (the lattice's default), which is steady on every grid.
    """
    le = source.le * (np.ones(3) if source.symmetric else np.array([1.0, 0.0, 1.0]))
    gap = _stands_on(source, wing)
    return le if gap is None else np.asarray(le - np.array([0.0, 0.0, gap]))


def _stands_on(source: LiftingSurface, wing: LiftingSurface) -> float | None:
    """Height [mm] above the main wing's plane of a root that stands on it, so that its load does not end
    there; None for a surface that does not.
    """
    if source is wing:
        return None
    x, y, z = source.le[0]
    if not 0.0 <= y <= wing.le[-1, 1] + 1e-6:
        return None
    front, height = (float(np.interp(y, wing.le[:, 1], wing.le[:, axis])) for axis in (0, 2))
    chord = float(np.interp(y, wing.le[:, 1], wing.chord))
    beside = x + source.chord[0] > front and x < front + chord
    return float(z - height) if beside and abs(z - height) < ROOT_CONTACT * chord else None


def pitch_name(control: Control) -> str:
    """Name of the lattice state in which both halves of a control move alike."""
    return f"{control.id}/pitch"


def roll_name(control: Control) -> str:
    """Name of the lattice state in which the halves move oppositely: right trailing edge down positive."""
    return f"{control.id}/roll"


def shapes(airframe: Airframe) -> tuple[Shape, ...]:
    """A symmetric and an antisymmetric shape for every control of every surface."""
    found: list[Shape] = []
    for surface in airframe.surfaces:
        for control in surface.controls if _holds(surface) else ():
            flap = _flap(surface, control)
            found.append(Shape(pitch_name(control), surface.id, flap, 1))
            found.append(Shape(roll_name(control), surface.id, flap, -1))
    return tuple(found)


def _flap(surface: LiftingSurface, control: Control) -> Flap:
    """Span range in y becomes a share of the half span along the leading edge."""
    y = surface.le[:, 1]
    steps = np.hypot(np.diff(y), np.diff(surface.le[:, 2]))
    arc = np.concatenate(([0.0], np.cumsum(steps)))
    inner, outer = np.interp((control.inner, control.outer), y, arc) / arc[-1]
    return Flap(control.hinge[0], control.hinge[1], float(inner), float(outer))


def reference(mean: MeanChord) -> Reference:
    """Lattice reference in m: moments about the quarter point of the mean chord."""
    point = np.array([mean.leading + 0.25 * mean.chord, 0.0, mean.z]) * M
    return Reference(mean.area * M * M, mean.chord * M, mean.span * M, point)
