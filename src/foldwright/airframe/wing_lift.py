"""What the lattice sees of a wing: camber, thickness and step, sliced from the folded panels."""

from __future__ import annotations

from functools import cache
from math import sin

import numpy as np
import shapely

from foldwright.airframe.model import Control, LiftingSurface, Placed
from foldwright.airframe.section import slice_contour
from foldwright.airframe.wing_section import Section
from foldwright.base.types import FloatArray
from foldwright.design.parts import FoldedWing
from foldwright.geometry.transform import apply, inverse

STATIONS = 81


@cache
def chord_fractions() -> tuple[float, ...]:
    """Cosine-spaced fractions 0-1 at which camber is read."""
    return tuple((0.5 * (1.0 - np.cos(np.linspace(0.0, np.pi, STATIONS)))).tolist())


def envelope(contour: shapely.Geometry, x: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Lowest and highest z (n,) of a section contour at x (n,), mm; NaN where there is no board."""
    edges = [np.asarray(ring.coords) for ring in _rings(contour)]
    start = np.concatenate([ring[:-1] for ring in edges])
    stop = np.concatenate([ring[1:] for ring in edges])
    run = stop[:, 0] - start[:, 0]
    keep = np.abs(run) > 1e-9
    start, stop, run = start[keep], stop[keep], run[keep]
    share = (x[:, None] - start[None, :, 0]) / run[None, :]
    inside = (share >= -1e-9) & (share <= 1.0 + 1e-9)
    z = start[None, :, 1] + share * (stop[:, 1] - start[:, 1])[None, :]
    low = np.where(inside, z, np.inf).min(axis=1)
    high = np.where(inside, z, -np.inf).max(axis=1)
    return np.where(np.isfinite(low), low, np.nan), np.where(np.isfinite(high), high, np.nan)


def _rings(contour: shapely.Geometry) -> list[shapely.LinearRing]:
    parts = shapely.get_parts(contour)
    return [
        ring
        for part in parts
        if isinstance(part, shapely.Polygon)
        for ring in (part.exterior, *part.interiors)
    ]


def lifting_surface(
    part: FoldedWing, section: Section, placed: Placed, controls: tuple[Control, ...], place: FloatArray
) -> LiftingSurface:
    """Surface of a folded wing of constant chord.

    The slice is taken at a quarter of the span and turned back into the section frame; the camber line is
    the middle of its upper and lower contour, measured from the chord line that joins its ends. Gaps
    narrower than a board (an opened slit, end gaps) are bridged by interpolation.
    """
    half = part.span_mm / 2.0
    # the slice in the aeroplane; the section frame differs by a turn about y and a shift only
    contour = slice_contour((placed,), half / 2.0 + 1e-3)
    back = inverse(place)
    flat = shapely.transform(contour, lambda xz: apply(back, np.insert(xz, 1, 0.0, axis=1))[:, [0, 2]])
    x = np.array(chord_fractions()) * section.chord
    # a blunt nose or a slanted end face has its middle where both contours begin
    end = 0.0 if part.trailing.kind == "level" else section.t * sin(section.mu)
    x_read = np.clip(x, section.start + 1e-6, section.chord - end - 1e-6)
    low, high = envelope(flat, x_read)
    good = np.isfinite(low)
    low, high = np.interp(x, x[good], low[good]), np.interp(x, x[good], high[good])
    middle = (low + high) / 2.0
    # the chord line joins the middle of the nose to the middle of the trailing edge
    rise = (middle[-1] - middle[0]) / section.chord
    camber = (middle - middle[0] - rise * x) / section.chord
    nose = np.array([0.0, 0.0, middle[0]])
    ends = apply(place, np.array([nose, nose + np.array([0.0, half, 0.0])]))
    twist = np.radians(part.incidence_deg) - np.arctan(rise)
    return LiftingSurface(
        part.id,
        ends,
        np.full(2, section.chord),
        np.full(2, twist),
        x / section.chord,
        np.stack([camber, camber]),
        float((high - low).max() / section.chord),
        section.t,
        float(high[-1] - low[-1]),
        True,
        True,
        controls,
    )
