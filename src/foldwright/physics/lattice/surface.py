"""What a lattice is made of: lifting surfaces, shapes and the reference quantities.

Geometry axes: x aft, y right, z up. Any one length unit may be used throughout; angles in radians.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np

from foldwright.base.types import FloatArray

TIP_INSET = 0.25
"""Distance of the outermost vortex inside a free tip, in panel widths (see `Surface`)."""


@dataclass(frozen=True, slots=True)
class Surface:
    """One lifting surface, given by its right half from root to tip.

    name: unique name.
    le: (k, 3) leading-edge points at the spanwise break stations, root to tip; linear between them.
    chord: (k,) chord along x at the stations.
    xi: (m,) chordwise fractions of the camber ordinates, rising from 0 to 1.
    camber: (k, m) camber ordinate / local chord, measured from the chord line along the normal.
    twist: (k,) incidence of the chord line [rad], leading edge towards the normal (nose-up on a wing).
    symmetric: True = mirrored in y = 0; False = a single surface lying in the plane y = 0 (centre fin),
        which must have neither camber nor twist.
    n_chord, n_span: panels along the chord and along the right half.
    root_inset, tip_inset: distance of the first and last vortex line inside the ends, in panel widths.
        None means: a quarter at every free end, none at a root on the plane of symmetry. Both ends of
        a fin are free. Give 0 where a surface stands on another one or continues into it (the foot of a
        fin; a wing tip with a fin on it).
    lines: fractions of the half span, rising, where a vortex line must stand, uniform panels between them.
        `solve` adds one wherever another surface stands on or crosses this one (see `joints`).

    The normal follows from the leading-edge line: it is x aft crossed with root-to-tip, that is up for a
    wing and towards -y for a line that climbs (vertical fin). A fin's "trailing edge down" is therefore
    trailing edge to the right, +y. Camber, twist and flaps turn the boundary condition only; the lattice
    itself lies on the plane swept by the leading-edge line along x.
    """

    name: str
    le: FloatArray
    chord: FloatArray
    xi: FloatArray
    camber: FloatArray
    twist: FloatArray
    symmetric: bool = True
    n_chord: int = 8
    n_span: int = 8
    root_inset: float | None = None
    tip_inset: float | None = None
    lines: tuple[float, ...] = ()

    def __post_init__(self) -> None:
        _check_shapes(self)
        _check_values(self)

    @property
    def arc(self) -> FloatArray:
        """(k,) distance of the stations from the root along the leading-edge line seen from ahead."""
        steps = np.hypot(np.diff(self.le[:, 1]), np.diff(self.le[:, 2]))
        return np.concatenate(([0.0], np.cumsum(steps)))

    @property
    def insets(self) -> tuple[float, float]:
        """Root and tip inset in panel widths, defaults filled in."""
        on_plane = self.symmetric and abs(float(self.le[0, 1])) <= 1e-9 * float(self.arc[-1])
        root = (0.0 if on_plane else TIP_INSET) if self.root_inset is None else self.root_inset
        return root, TIP_INSET if self.tip_inset is None else self.tip_inset

    @property
    def area(self) -> float:
        """True area, both halves if symmetric, length unit squared."""
        half = float(np.sum(np.diff(self.arc) * 0.5 * (self.chord[1:] + self.chord[:-1])))
        return 2.0 * half if self.symmetric else half


def _check_shapes(surface: Surface) -> None:
    k, m = surface.chord.shape[0], surface.xi.shape[0]
    expected = {"le": (k, 3), "chord": (k,), "xi": (m,), "camber": (k, m), "twist": (k,)}
    for name, shape in expected.items():
        if getattr(surface, name).shape != shape:
            raise ValueError(f"surface {surface.name}: {name} must have shape {shape}")
    if k < 2 or m < 2 or surface.n_chord < 1 or surface.n_span < 1:
        raise ValueError(f"surface {surface.name}: at least 2 stations, 2 fractions and 1 panel each way")


def _check_values(surface: Surface) -> None:
    who = f"surface {surface.name}"
    if not np.all(np.diff(surface.arc) > 0.0):
        raise ValueError(f"{who}: stations must differ in y or z")
    if not np.all(surface.chord > 0.0):
        raise ValueError(f"{who}: chords must be positive")
    xi = surface.xi
    if xi[0] != 0.0 or xi[-1] != 1.0 or not np.all(np.diff(xi) > 0.0):
        raise ValueError(f"{who}: xi must rise from 0 to 1")
    pieces = np.diff((0.0, *surface.lines, 1.0))
    if not np.all(pieces > 0.0) or surface.n_span < len(pieces):
        raise ValueError(f"{who}: lines must rise within 0 to 1 and leave a panel for every piece")
    if not surface.symmetric:
        if np.any(surface.le[:, 1] != 0.0):
            raise ValueError(f"{who}: a surface that is not symmetric must lie in the plane y = 0")
        if np.any(surface.camber != 0.0) or np.any(surface.twist != 0.0):
            raise ValueError(f"{who}: a centre surface has no camber and no twist; use a twist shape")


@dataclass(frozen=True, slots=True)
class Flap:
    """A hinged trailing part, one radian of deflection, positive trailing edge down (away from the normal).

    hinge0, hinge1: hinge position as a fraction of the chord at eta0 and eta1, linear between them.
    eta0, eta1: span range as fractions of the half span measured along the leading-edge line.
    """

    hinge0: float
    hinge1: float
    eta0: float = 0.0
    eta1: float = 1.0

    def __post_init__(self) -> None:
        _check_range(self.eta0, self.eta1)
        if not (0.0 <= self.hinge0 < 1.0 and 0.0 <= self.hinge1 < 1.0):
            raise ValueError("hinge fractions must lie in 0 <= hinge < 1")


@dataclass(frozen=True, slots=True)
class Twist:
    """A turn of whole sections about a spanwise axis, positive leading edge towards the normal, unit 1 rad.

    eta0, eta1: span range as fractions of the half span; turn0, turn1: turn at its ends, linear between
    them (1, 1 = incidence error; 0, 1 = warp).
    """

    eta0: float = 0.0
    eta1: float = 1.0
    turn0: float = 1.0
    turn1: float = 1.0

    def __post_init__(self) -> None:
        _check_range(self.eta0, self.eta1)


def _check_range(eta0: float, eta1: float) -> None:
    if not 0.0 <= eta0 < eta1 <= 1.0:
        raise ValueError("a span range needs 0 <= eta0 < eta1 <= 1")


@dataclass(frozen=True, slots=True)
class Shape:
    """A small turn of the boundary condition: a control, a warp, an incidence error.

    name: unique name of the state it becomes.
    surface: name of the surface it belongs to.
    kind: Flap or Twist.
    mirror: +1 the left half does the same (elevator sense), -1 the opposite (aileron sense: positive =
        right trailing edge down, left up). A shape on a centre surface is always antisymmetric.
    """

    name: str
    surface: str
    kind: Flap | Twist
    mirror: Literal[1, -1] = 1


@dataclass(frozen=True, slots=True)
class Reference:
    """What coefficients are made with: area, chord (of Cm, q), span (of Cl, Cn, p, r), moment point (3,)."""

    area: float
    chord: float
    span: float
    point: FloatArray

    def __post_init__(self) -> None:
        if not (self.area > 0.0 and self.chord > 0.0 and self.span > 0.0):
            raise ValueError("reference area, chord and span must be positive")
        if self.point.shape != (3,):
            raise ValueError("reference point must have shape (3,)")
