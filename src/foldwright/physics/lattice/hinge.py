"""Hinge moments of flap shapes, scaled to Glauert's by the plane lattice with as many chordwise panels."""

from __future__ import annotations

from functools import lru_cache

import numpy as np

from foldwright.base.types import FloatArray
from foldwright.physics.flap import hinge_alpha_slope, hinge_flap_slope
from foldwright.physics.lattice.panels import CONTROL, VORTEX, Panels, chord_cover, span_cover
from foldwright.physics.lattice.result import HingeMoment
from foldwright.physics.lattice.surface import Flap, Shape


def hinge_moment(
    part: Panels, shape: Shape, kind: Flap, strength: FloatArray, own: FloatArray
) -> HingeMoment:
    """Hinge moment of the right-hand flap from the panel circulations (P, m) of its surface.

    own: (m,) True for the states that are flaps on the same surface: those columns are scaled by the
    ratio of Glauert's b2 to the two-dimensional lattice's, all others by that of b1. About 10 % remains.
    """
    c = part.surface.n_chord
    low, high = span_cover(part, kind)
    total = float(part.stations[-1])
    place = (0.5 * (low + high) / total - kind.eta0) / (kind.eta1 - kind.eta0)
    hinge = kind.hinge0 + place * (kind.hinge1 - kind.hinge0)
    arm = np.maximum(part.fraction - hinge[:, None], 0.0) * part.chord[:, None]
    moment = -2.0 * ((high - low)[:, None] * arm).ravel() @ strength
    area, span = _flap_area(part, kind)
    middle = float(np.sum(hinge * (high - low)) / np.sum(high - low))
    alpha, flap = scale_factors(c, 1.0 - middle)
    row = moment / (area * area / span) * np.where(own, flap, alpha)
    return HingeMoment(shape.name, row, area, area / span)


def _flap_area(part: Panels, kind: Flap) -> tuple[float, float]:
    """Area and span of the right-hand flap, from the surface's own stations."""
    arc = part.stations
    ends = np.array([kind.eta0, kind.eta1]) * arc[-1]
    inside = arc[(arc > ends[0]) & (arc < ends[1])]
    at = np.concatenate((ends[:1], inside, ends[1:]))
    hinge = np.interp(at, ends, (kind.hinge0, kind.hinge1))
    flap = np.interp(at, arc, part.surface.chord) * (1.0 - hinge)
    return float(np.sum(np.diff(at) * 0.5 * (flap[1:] + flap[:-1]))), float(ends[1] - ends[0])


@lru_cache(maxsize=64)
def scale_factors(n_chord: int, flap_chord: float) -> tuple[float, float]:
    """Glauert's b1 and b2 over those of the two-dimensional lattice with n_chord panels.

    1 for a factor that the lattice cannot give because no vortex lies behind the hinge; then the moment
    itself is zero and says so.
    """
    b1, b2 = flat_hinge_slopes(n_chord, flap_chord)
    if b1 == 0.0:
        return 1.0, 1.0
    return float(hinge_alpha_slope(flap_chord)) / b1, float(hinge_flap_slope(flap_chord)) / b2


def flat_hinge_slopes(n_chord: int, flap_chord: float) -> tuple[float, float]:
    """b1 and b2 of a two-dimensional row of vortices on a flat plate of unit chord [1/rad]."""
    place = np.arange(n_chord) / n_chord
    vortex, control = place + VORTEX / n_chord, place + CONTROL / n_chord
    wash = 1.0 / (2.0 * np.pi * (control[:, None] - vortex))
    hinge = 1.0 - flap_chord
    turn = np.stack((np.ones(n_chord), chord_cover(n_chord, np.array([hinge]))[0]), axis=1)
    gamma = np.linalg.solve(wash, turn)
    slopes = -2.0 * np.maximum(vortex - hinge, 0.0) @ gamma / flap_chord**2
    return float(slopes[0]), float(slopes[1])
