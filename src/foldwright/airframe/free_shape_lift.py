"""What the lattice sees of a free shape: sections of its folded panels along its span."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from math import acos, degrees

import numpy as np
import shapely

from foldwright.airframe.model import LiftingSurface, Placed, Role
from foldwright.airframe.wing_lift import chord_fractions
from foldwright.base.finding import Finding, Param
from foldwright.base.types import FloatArray
from foldwright.geometry.fold.flat import transforms
from foldwright.geometry.fold.model import Blank, Panel
from foldwright.geometry.transform import apply

LEAST_SPAN_MM = 20.0
LEAST_CHORDS = 3.0
"""Least chord, of the board's thickness; judgement, no source."""
MOST_ACROSS_DEG = 60.0
"""A panel that stands more than this across the span is no part of the surface; judgement, no source."""
_MOST_STATIONS = 61
_IN_MM = 1e-3
_ALIKE_MM = 0.05


def lifting_surface(
    part: str, blank: Blank, role: Role, *, symmetric: bool
) -> tuple[LiftingSurface | None, list[Finding]]:
    """Surface of a folded, placed blank; G192 where it is none, G193 for panels that it leaves out.

    A surface that lies is cut by planes y = const, one that stands by z = const: whichever way the larger
    part of its faces looks. Half way through the board each section is a chain of lines; the stations are
    where the outline bends. Its chord line joins the ends of the chain; holes count as board, and where two
    boards lie over each other the middle of the two counts. A lying shape whose two sides of the centre line
    are mirror images is symmetric, its right half given.
    """
    placed = Placed(part, blank, transforms(blank))
    stands, flat = _attitude(placed)
    found = [_across(f"{blank.name}/{name}", angle) for name, angle in flat if angle > MOST_ACROSS_DEG]
    seen = [name for name, angle in flat if angle <= MOST_ACROSS_DEG]
    rings = _turned(placed, seen, stands=stands)
    whole = not stands and not symmetric and _alike(rings)
    sections = _sections(rings, from_middle=whole)
    span = sections[-1][0] - sections[0][0] if len(sections) > 1 else 0.0
    mean = sum(_chord(shape) for _, shape in sections) / len(sections) if sections else 0.0
    t = blank.thickness
    if span < LEAST_SPAN_MM or mean < LEAST_CHORDS * t:
        params: dict[str, Param] = {
            "span": span, "chord": mean, "least_span": LEAST_SPAN_MM, "least_chord": LEAST_CHORDS * t,
        }  # fmt: skip
        return None, [Finding("G192", "no-go", f"{part}.lifting", params, mean, LEAST_CHORDS * t, "mm")]
    surface = _surface(part, sections, t, stands=stands)
    return replace(surface, role=role, symmetric=symmetric or whole), found


def _across(where: str, angle: float) -> Finding:
    return Finding("G193", "watch", where, {"angle": angle}, angle, MOST_ACROSS_DEG, "deg", "judgement")


def _attitude(placed: Placed) -> tuple[bool, list[tuple[str, float]]]:
    """Whether a shape stands (faces look sideways), and how far each panel is turned out of that, degrees."""
    normals = {panel.name: placed.transforms[panel.name][:3, 2] for panel in placed.blank.panels}
    weights = {panel.name: shapely.Polygon(panel.polygon).area for panel in placed.blank.panels}
    aside, above = (sum(abs(normals[name][k]) * weights[name] for name in normals) for k in (1, 2))
    stands = bool(aside > above)
    axis = 1 if stands else 2
    return stands, [(name, degrees(acos(min(abs(float(n[axis])), 1.0)))) for name, n in normals.items()]


def _turned(placed: Placed, names: Sequence[str], *, stands: bool) -> list[FloatArray]:
    """Middles of the named panels, (k, 3) each: x, along the span, up (standing: to the left)."""
    rings = [_middle(placed, panel) for panel in placed.blank.panels if panel.name in names]
    return [ring[:, [0, 2, 1]] * [1.0, 1.0, -1.0] if stands else ring for ring in rings]


def _sections(rings: Sequence[FloatArray], *, from_middle: bool = False) -> list[tuple[float, FloatArray]]:
    """Stations along the span, each with the middles of the boards cut there: (n, 2, 2) of x and height.

    from_middle: of the right half only, its root on the centre line.
    """
    along = np.unique(np.concatenate(rings)[:, 1].round(6)) if rings else np.zeros(0)
    if from_middle:
        along = np.concatenate([[0.0], along[along > _IN_MM]])
    if len(along) < 2:
        return []
    along = along[np.concatenate([[True], np.diff(along) > 10.0 * _IN_MM])]
    if len(along) > _MOST_STATIONS:
        along = along[np.linspace(0, len(along) - 1, _MOST_STATIONS).round().astype(int)]
    low = along[0] if from_middle else along[0] + _IN_MM
    stations = np.clip(along, low, along[-1] - _IN_MM).tolist()
    cut = ((station, _lines(rings, station)) for station in stations)
    return [(station, lines) for station, lines in cut if len(lines) and _chord(lines) > _IN_MM / 10.0]


def _lines(rings: Sequence[FloatArray], station: float) -> FloatArray:
    return np.concatenate([_cut(ring, station) for ring in rings])


def _alike(rings: Sequence[FloatArray]) -> bool:
    """Whether a shape lies over the centre line and its two halves are each other's mirror image."""
    if not rings:
        return False
    along = np.unique(np.abs(np.concatenate(rings)[:, 1]).round(6))
    if min(float(ring[:, 1].min()) for ring in rings) > -_IN_MM:
        return False
    for station in np.clip(along, _IN_MM, along[-1] - _IN_MM).tolist():
        right, left = _lines(rings, station), _lines(rings, -station)
        if right.shape != left.shape or float(np.abs(right - left).max(initial=0.0)) > _ALIKE_MM:
            return False
    return True


def _cut(ring: FloatArray, station: float) -> FloatArray:
    """(n, 2, 2) stretches of x and height where the plane y = station meets a flat ring (k, 3)."""
    after = np.roll(ring, -1, axis=0)
    low, high = ring[:, 1] - station, after[:, 1] - station
    met = (low > 0.0) != (high > 0.0)
    share = (low[met] / (low[met] - high[met]))[:, None]
    points = (ring[met] + share * (after[met] - ring[met]))[:, [0, 2]]
    ordered: FloatArray = points[np.lexsort((points[:, 1], points[:, 0]))].reshape(-1, 2, 2)
    return ordered


def _middle(placed: Placed, panel: Panel) -> FloatArray:
    """Corners (n, 3) of a panel half way through the board, in the aeroplane."""
    depth = np.full((len(panel.polygon), 1), placed.blank.thickness / 2.0)
    return apply(placed.transforms[panel.name], np.concatenate([panel.polygon, depth], axis=1))


def _chord(lines: FloatArray) -> float:
    return float(np.ptp(lines[..., 0]))


def _surface(
    part: str, sections: Sequence[tuple[float, FloatArray]], t: float, *, stands: bool
) -> LiftingSurface:
    share = np.array(chord_fractions())
    noses, chords, twists, cambers, thick = [], [], [], [], 0.0
    for station, lines in sections:
        lead, chord = float(lines[..., 0].min()), _chord(lines)
        low, high = _envelope(lines, lead + share * chord)
        middle = (low + high) / 2.0
        rise = float(middle[-1] - middle[0]) / chord
        cambers.append((middle - middle[0] - rise * share * chord) / chord)
        twists.append(-np.arctan(rise))
        chords.append(chord)
        thick = max(thick, float((high - low).max()) + t)
        noses.append((lead, -middle[0], station) if stands else (lead, station, middle[0]))
    return LiftingSurface(
        part, np.array(noses).round(9) + 0.0, np.array(chords), np.array(twists), share, np.array(cambers),
        thick / max(chords), 0.0, t, False, False,
    )  # fmt: skip


def _envelope(lines: FloatArray, x: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Lowest and highest of stretches (n, 2, 2) at x (m,); gaps between them are bridged."""
    start, stop = lines[:, 0], lines[:, 1]
    run = np.maximum(stop[:, 0] - start[:, 0], 1e-12)
    part = (x[:, None] - start[:, 0]) / run
    inside = (part >= -1e-9) & (part <= 1.0 + 1e-9)
    height = start[:, 1] + part * (stop[:, 1] - start[:, 1])
    low = np.where(inside, height, np.inf).min(axis=1)
    high = np.where(inside, height, -np.inf).max(axis=1)
    good = np.isfinite(low)
    return np.interp(x, x[good], low[good]), np.interp(x, x[good], high[good])
