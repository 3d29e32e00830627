"""What a solved lattice answers: forms, derivatives, neutral point, strip loads, another reference point."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from types import MappingProxyType

import numpy as np

from foldwright.base.types import FloatArray
from foldwright.physics.lattice.assembly import MOTION
from foldwright.physics.lattice.quadratic import evaluate, gradient, moved
from foldwright.physics.lattice.surface import Reference

COEFFICIENTS = ("CX", "CY", "CZ", "CL", "CD", "Cl", "Cm", "Cn")
"""Names along the first axis of `Lattice.forms`."""


@dataclass(frozen=True, slots=True)
class StripLoads:
    """Loads of the right half of one surface, linear in the state: a row times u gives the value.

    surface: name. arc: (n,) distance of the strip middles from the root along the span; width, chord (n,).
    cl: (n, m) section lift coefficient on the local chord, along the strip's normal.
    cm: (n, m) section moment about the local quarter chord on the local chord squared, nose-up positive.
    The left half has parity times the columns. Section lift/(q · unit span) = cl · chord.
    """

    surface: str
    arc: FloatArray
    width: FloatArray
    chord: FloatArray
    cl: FloatArray
    cm: FloatArray


@dataclass(frozen=True, slots=True)
class Loads:
    """Strip loads of all surfaces and nothing else; fields as in `Lattice`."""

    states: tuple[str, ...]
    parity: FloatArray
    reference: Reference
    strips: tuple[StripLoads, ...]


@dataclass(frozen=True, slots=True)
class HingeMoment:
    """Hinge moment coefficient of one right-hand flap, linear in the state: row @ u.

    row: (m,) C_H = H / (½ ρ V² · area · chord), positive when the air pushes the trailing edge down.
    area, chord: area of one flap (right half) and its mean chord, area / span.
    """

    shape: str
    row: FloatArray
    area: float
    chord: float


@dataclass(frozen=True, slots=True)
class Derivatives:
    """Derivatives of all coefficients at one state.

    table: (8, m) rows as COEFFICIENTS, columns as states. Rates are in the usual form: per p·b/(2V),
    q·c/(2V), r·b/(2V) with the reference span b and chord c; angles and shapes per radian. Geometry axes
    (CX aft, CY right, CZ up), Cl right wing down, Cm nose-up, Cn nose right positive.
    """

    states: tuple[str, ...]
    table: FloatArray

    def get(self, coefficient: str, state: str) -> float:
        """One derivative by coefficient and state, "Cm", "q". Raises ValueError for an unknown name."""
        return float(self.table[COEFFICIENTS.index(coefficient), self.states.index(state)])

    def __getitem__(self, name: str) -> float:
        """One derivative by its joined name, e.g. ["CL_alpha"], ["Cl_elevon_diff"]."""
        coefficient, _, state = name.partition("_")
        return self.get(coefficient, state)

    def named(self) -> Mapping[str, float]:
        """All derivatives as {"CL_alpha": ...}; the state "one" (camber and twist) is left out."""
        names = {
            f"{coefficient}_{state}": float(self.table[row, column])
            for row, coefficient in enumerate(COEFFICIENTS)
            for column, state in enumerate(self.states)
            if state != "one"
        }
        return MappingProxyType(names)


@dataclass(frozen=True, slots=True)
class Lattice:
    """A solved lattice. Coefficients are C = uᵀ Q u of the state u (m,), or of samples (..., m).

    states: u = one (always 1), alpha, beta [rad], p, q, r = rates/V [rad per length unit] about the
        reference point, then one entry a shape [rad].
    parity: (m,) +1 where the left half carries the same load, -1 the opposite.
    gamma: (P, m) circulation/V [length] of the right-hand (and centre) panels, surfaces in the order of
        `surfaces`, strip by strip from root to tip, leading to trailing edge.
    forms: (8, m, m) symmetric Q in the order of COEFFICIENTS: CX aft, CY right, CZ up, CL lift, CD induced
        drag (Trefftz plane), Cl right wing down, Cm nose-up, Cn nose right positive.
    CL is CZ: they differ only by third-order terms (alpha · CX), which the linear theory does not hold.
    CX is the near-field force and holds the leading-edge suction; CX + alpha·CL tends to CD.
    """

    states: tuple[str, ...]
    parity: FloatArray
    reference: Reference
    surfaces: tuple[str, ...]
    gamma: FloatArray
    forms: FloatArray
    strips: tuple[StripLoads, ...]
    hinges: tuple[HingeMoment, ...]

    def index(self, state: str) -> int:
        """Column of a state. Raises ValueError for an unknown name."""
        return self.states.index(state)

    def state(self, **values: float) -> FloatArray:
        """State (m,) with the given entries, the rest zero, "one" 1. Raises ValueError for unknown names."""
        u = np.zeros(len(self.states))
        u[0] = 1.0
        for name, value in values.items():
            u[self.index(name)] = value
        return u

    def form(self, coefficient: str) -> FloatArray:
        """(m, m) form of one coefficient."""
        return np.asarray(self.forms[COEFFICIENTS.index(coefficient)])

    def value(self, coefficient: str, u: FloatArray) -> FloatArray:
        """One coefficient at states (..., m): shape (...)."""
        return evaluate(self.form(coefficient), u)

    def values(self, u: FloatArray) -> FloatArray:
        """All coefficients at states (..., m): shape (..., 8)."""
        return evaluate(self.forms, u)

    def derivatives(self, u: FloatArray | None = None) -> Derivatives:
        """Derivatives at a state (m,), default the undisturbed stream (alpha 0, camber and twist acting)."""
        at = self.state() if u is None else u
        scale = np.ones(len(self.states))
        scale[3:6] = 2.0 / np.array([self.reference.span, self.reference.chord, self.reference.span])
        return Derivatives(self.states, gradient(self.forms, at) * scale)

    def neutral_point(self, u: FloatArray | None = None) -> float:
        """Place x about which Cm does not change with alpha, x_ref - c · Cm_alpha/CL_alpha [length]."""
        slope = self.derivatives(u)
        shift = slope.get("Cm", "alpha") / slope.get("CL", "alpha")
        return float(self.reference.point[0]) - self.reference.chord * shift

    def strip(self, surface: str) -> StripLoads:
        """Strip loads of a surface by name. Raises KeyError for an unknown name."""
        return {loads.surface: loads for loads in self.strips}[surface]

    def hinge(self, shape: str) -> HingeMoment:
        """Hinge moment of a flap shape by name. Raises KeyError for an unknown name."""
        return {moment.shape: moment for moment in self.hinges}[shape]

    def about(self, point: FloatArray) -> Lattice:
        """The same lattice with moments and rates about another point, exactly as if solved there."""
        shift = np.asarray(point, dtype=np.float64) - self.reference.point
        change = rate_change(shift, len(self.states))
        forms = moved(_with_moments(self.forms, shift, self.reference), change)
        strips = tuple(replace(row, cl=row.cl @ change, cm=row.cm @ change) for row in self.strips)
        hinges = tuple(replace(moment, row=moment.row @ change) for moment in self.hinges)
        reference = replace(self.reference, point=self.reference.point + shift)
        return replace(
            self, reference=reference, gamma=self.gamma @ change, forms=forms, strips=strips, hinges=hinges
        )


def rate_change(shift: FloatArray, m: int) -> FloatArray:
    """(m, m) change with u_old = change @ u_new for rates about a point moved by shift (3,).

    A turn about the new point is a turn about the old one plus a uniform flow: p adds (0, z, -y)·p,
    q adds (z, 0, -x)·q, r adds (y, -x, 0)·r to the onset, with x, y, z the shift.
    """
    x, y, z = shift
    one, alpha, beta, p, q, r = range(len(MOTION))
    change = np.eye(m)
    change[beta, p], change[alpha, p] = -z, -y
    change[one, q], change[alpha, q] = z, -x
    change[one, r], change[beta, r] = y, x
    return change


def _with_moments(forms: FloatArray, shift: FloatArray, reference: Reference) -> FloatArray:
    """Forms with moments about a shifted point: M_new = M - shift × F."""
    x, y, z = shift
    out = forms.copy()
    c_x, c_y, c_z = forms[:3]
    out[5] = forms[5] + (y * c_z - z * c_y) / reference.span  # Cl = -M_x/b
    out[6] = forms[6] - (z * c_x - x * c_z) / reference.chord  # Cm = M_y/c
    out[7] = forms[7] + (x * c_y - y * c_x) / reference.span  # Cn = -M_z/b
    return out
