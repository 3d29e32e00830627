"""Surfaces that the lattice tests share."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from foldwright.base.types import FloatArray
from foldwright.physics.lattice import Lattice, Reference, Shape, Surface, solve


def surface(
    name: str,
    le: Sequence[Sequence[float]] | FloatArray,
    chord: Sequence[float] | FloatArray,
    n_span: int,
    n_chord: int,
    *,
    twist: Sequence[float] | None = None,
    xi: Sequence[float] | FloatArray = (0.0, 1.0),
    camber: Sequence[Sequence[float]] | FloatArray | None = None,
    symmetric: bool = True,
    root_inset: float | None = None,
    tip_inset: float | None = None,
    lines: tuple[float, ...] = (),
) -> Surface:
    """A surface from plain lists, flat unless told otherwise."""
    chords, places = np.asarray(chord, dtype=np.float64), np.asarray(xi, dtype=np.float64)
    return Surface(
        name=name,
        le=np.asarray(le, dtype=np.float64),
        chord=chords,
        xi=places,
        camber=np.zeros((chords.size, places.size))
        if camber is None
        else np.asarray(camber, dtype=np.float64),
        twist=np.zeros(chords.size) if twist is None else np.asarray(twist, dtype=np.float64),
        symmetric=symmetric,
        n_chord=n_chord,
        n_span=n_span,
        root_inset=root_inset,
        tip_inset=tip_inset,
        lines=lines,
    )


def rectangle(
    span: float, chord: float, n_span: int, n_chord: int, sweep: float = 0.0, dihedral: float = 0.0
) -> Surface:
    """A constant-chord wing called "wing"; sweep and dihedral in radians."""
    half = 0.5 * span
    tip = [half * np.tan(sweep), half, half * np.tan(dihedral)]
    return surface("wing", [[0.0, 0.0, 0.0], tip], [chord, chord], n_span, n_chord)


def point(x: float = 0.0, y: float = 0.0, z: float = 0.0) -> FloatArray:
    """A reference point."""
    return np.array([x, y, z])


def aspect(ratio: float, n_span: int, n_chord: int) -> Lattice:
    """Bare rectangular wing of unit chord and a given aspect ratio, moments about the leading edge."""
    return solve([rectangle(ratio, 1.0, n_span, n_chord)], [], Reference(ratio, 1.0, ratio, point()))


PLANK = Reference(0.66 * 0.22, 0.22, 0.66, point(0.05))
"""Reference of the plank that the trim table of the design uses: span 0.66 m, chord 0.22 m."""


def plank(
    n_span: int, n_chord: int, shapes: tuple[Shape, ...] = (), sweep: float = 0.0, dihedral: float = 0.0
) -> Lattice:
    """That plank, bare."""
    return solve([rectangle(0.66, 0.22, n_span, n_chord, sweep, dihedral)], shapes, PLANK)
