"""What the lattice sees of a surface cut from board, sliced from its folded panels.

Slices are square to the surface seen from ahead, so that a V-tail's section is the one its builder sees.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import cos, sin

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from foldwright.airframe.model import Control, LiftingSurface, Placed, Role
from foldwright.airframe.section import cut_panels, joined, prisms
from foldwright.airframe.wing_lift import chord_fractions, envelope
from foldwright.base.types import FloatArray

END_MM = 0.5  # read this far inside the ends of a section, where slanted end faces are left behind


@dataclass(frozen=True, slots=True, eq=False)
class Strip:
    """A stretch of the right half between two stations.

    nose, tail (2, 3): middle of the board at the leading and trailing edge, inner and outer end, in the
    aeroplane, mm. rise: of the strip against level, rad. washout: nose-down turn warped in at its outer end,
    rad.
    """

    nose: FloatArray
    tail: FloatArray
    rise: float
    washout: float = 0.0


@dataclass(frozen=True, slots=True)
class Lifts:
    """What a surface is: see `LiftingSurface`. step: height, mm. step_share: of the chord, None without."""

    id: str
    role: Role
    symmetric: bool
    step: float = 0.0
    step_share: float | None = None
    controls: tuple[Control, ...] = ()


def section_plane(place: FloatArray, rise: float) -> FloatArray:
    """4x4 of the plane square to a strip at a place: local x aft, local y to face A."""
    matrix = np.eye(4)
    up, out = np.array([0.0, -sin(rise), cos(rise)]), np.array([0.0, cos(rise), sin(rise)])
    matrix[:3, 1], matrix[:3, 2], matrix[:3, 3] = up, -out, place
    return matrix


def surface(
    lifts: Lifts, strips: Sequence[Strip], board: Sequence[Placed], trailing: float
) -> LiftingSurface:
    """The lifting surface of a row of strips from the root outward.

    board: the folded blanks, controls not cut out yet. trailing: thickness of the trailing edge, mm. Camber
    is read in the middle of each strip, from the line that joins the middle of its nose and tail; at a
    station between two strips it is the mean of theirs.
    """
    solids = prisms(board)
    read = [_section(cut_panels(solids, _middle_plane(strip)).values(), strip) for strip in strips]
    nose = np.array([strips[0].nose[0], *(strip.nose[1] for strip in strips)])
    tail = np.array([strips[0].tail[0], *(strip.tail[1] for strip in strips)])
    chord = np.linalg.norm(tail - nose, axis=1)
    camber = _at_stations([one for one, _ in read])
    fall = np.array([_fall(nose[i], tail[i], _rise_at(strips, i)) for i in range(len(nose))])
    folding = fall - fall[0]
    washout = np.array([0.0, *(strip.washout for strip in strips)])
    step_x = None
    if lifts.step_share is not None:
        step_x = nose[:, 0] + lifts.step_share * (tail[:, 0] - nose[:, 0])
    return LiftingSurface(
        lifts.id, nose, chord, fall - washout + 0.0, np.array(chord_fractions()), camber,
        max(float(thick) for _, thick in read), lifts.step, trailing, lifts.symmetric, lifts.role == "wing",
        lifts.controls, lifts.role,
        washout if washout.any() else None, folding if np.abs(folding).max() > 1e-9 else None, step_x,
        step_on_top=step_x is not None,
    )  # fmt: skip


def _rise_at(strips: Sequence[Strip], station: int) -> float:
    return strips[max(0, station - 1)].rise


def _fall(nose: FloatArray, tail: FloatArray, rise: float) -> float:
    """Slope of the chord line in the section square to the strip, rad, nose-up positive."""
    run = tail - nose
    return float(np.arctan2(-(run @ np.array([0.0, -sin(rise), cos(rise)])), run[0]))


def _middle_plane(strip: Strip) -> FloatArray:
    return section_plane(strip.nose.mean(axis=0), strip.rise)


def _section(pieces: Iterable[BaseGeometry], strip: Strip) -> tuple[FloatArray, float]:
    """Camber (m,) over the chord at the chord fractions, and thickness over the chord."""
    contour = joined(pieces)
    plane = _middle_plane(strip)
    ends = (np.array([strip.nose.mean(axis=0), strip.tail.mean(axis=0)]) - plane[:3, 3]) @ plane[:3, :3]
    run = ends[1, :2] - ends[0, :2]
    chord = float(np.hypot(*run))
    along = run / chord
    up = np.array([-along[1], along[0]])
    flat = shapely.transform(contour, lambda xy: (xy - ends[0, :2]) @ np.stack([along, up], axis=1))
    x = np.array(chord_fractions()) * chord
    left, _, right, _ = flat.bounds
    slant = max(END_MM, -left + END_MM, right - chord + END_MM)
    inside = (x > slant) & (x < chord - slant)
    low, high = envelope(flat, x[inside])
    good = np.isfinite(low)
    known = np.concatenate([[0.0], x[inside][good], [chord]])
    middle = np.concatenate([[0.0], (low[good] + high[good]) / 2.0, [0.0]])
    camber: FloatArray = np.interp(x, known, middle) / chord
    camber[np.abs(camber) < 1e-12] = 0.0
    return camber, float((high[good] - low[good]).max() / chord)


def _at_stations(cambers: Sequence[FloatArray]) -> FloatArray:
    """Camber at every station from that of the strips between them."""
    rows = [cambers[0]]
    rows += [(one + other) / 2.0 for one, other in pairwise(cambers)]
    return np.array([*rows, cambers[-1]])
