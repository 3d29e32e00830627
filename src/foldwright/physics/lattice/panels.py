"""Panels of one surface's right half: vortex nodes, control points and the incidence of shapes."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from foldwright.base.types import FloatArray
from foldwright.physics.lattice.surface import Flap, Shape, Surface, Twist

VORTEX = 0.25
"""Place of the bound vortex in its panel, fraction of the panel chord from its front edge."""
CONTROL = 0.75
"""Place of the control point in its panel (Pistolesi's theorem: exact lift of a flat plate)."""


@dataclass(frozen=True, slots=True)
class Panels:
    """The right half of one surface cut into n strips of c panels; panels are ordered strip by strip.

    stations: (k,) arc length of the surface's break stations.
    arc: (n+1,) distance along the span of the vortex lines; mid_arc (n,) of the strip middles.
    node_yz: (n+1, 2) y, z of the vortex lines; node_chord (n+1,); node_x: (n+1, c) x of the bound nodes.
    line_yz: (n, 2), control_x: (n, c), bound_x: (n, c): control points and middles of bound vortices.
    leg_x: (n+1, c), leg_dx: (n+1, c): middle and length of the chordwise bound pieces between successive
        bound vortices, the last one up to the trailing edge.
    normal: (n, 2) n_y, n_z of the strips; width (n,) and chord (n,) of the strips; node_le
        (n+1,): x of the leading edge at the vortex lines.
    fraction: (c,) chord fraction of the bound vortices.
    """

    surface: Surface
    stations: FloatArray
    arc: FloatArray
    mid_arc: FloatArray
    node_yz: FloatArray
    node_chord: FloatArray
    node_x: FloatArray
    line_yz: FloatArray
    control_x: FloatArray
    bound_x: FloatArray
    leg_x: FloatArray
    leg_dx: FloatArray
    normal: FloatArray
    width: FloatArray
    chord: FloatArray
    node_le: FloatArray
    fraction: FloatArray

    @property
    def n(self) -> int:
        """Panels of the right half (or of the centre surface)."""
        return int(self.surface.n_span * self.surface.n_chord)

    @property
    def te(self) -> FloatArray:
        """(n+1,) x of the trailing edge at the vortex lines."""
        return np.asarray(self.node_le + self.node_chord)


def panels(surface: Surface) -> Panels:
    """Cut a surface into panels, uniform along the chord and along the span (source: design, Lattice).

    Vortex lines stand at y_j = (a + j)·h, h = L/(n + a + b) with the insets a, b of `Surface.insets`: the
    quarter inside a free tip is what makes the uniform spacing converge like 1/n^2 there. `Surface.lines`
    cut the span into pieces that are uniform each.
    """
    c = surface.n_chord
    stations = surface.arc
    arc = _span_edges(surface, float(stations[-1]))
    node = [np.interp(arc, stations, surface.le[:, axis]) for axis in range(3)]
    chord = np.interp(arc, stations, surface.chord)
    fraction = (np.arange(c) + VORTEX) / c
    node_x = node[0][:, None] + chord[:, None] * fraction
    ends = np.concatenate((fraction, [1.0]))
    yz = np.stack(node[1:], axis=1)
    span = np.diff(yz, axis=0)
    width = np.hypot(span[:, 0], span[:, 1])
    mid = _middle(chord)
    return Panels(
        surface=surface,
        stations=stations,
        arc=arc,
        mid_arc=_middle(arc),
        node_yz=yz,
        node_chord=chord,
        node_x=node_x,
        line_yz=_middle(yz),
        control_x=_middle(node[0])[:, None] + mid[:, None] * (np.arange(c) + CONTROL) / c,
        bound_x=_middle(node_x),
        leg_x=node[0][:, None] + chord[:, None] * _middle(ends),
        leg_dx=chord[:, None] * np.diff(ends),
        normal=np.stack((-span[:, 1] / width, span[:, 0] / width), axis=1),
        width=width,
        chord=mid,
        node_le=node[0],
        fraction=fraction,
    )


def _span_edges(surface: Surface, length: float) -> FloatArray:
    """(n + 1,) arc length of the vortex lines."""
    ends = np.array((0.0, *surface.lines, 1.0)) * length
    counts = _share_out(surface.n_span, np.diff(ends) / length)
    root, tip = surface.insets
    edges = []
    for place, (start, stop, n) in enumerate(zip(ends[:-1], ends[1:], counts, strict=True)):
        inner = root if place == 0 else 0.0
        outer = tip if place == len(counts) - 1 else 0.0
        steps = inner + np.arange(n + 1 if place == len(counts) - 1 else n)
        edges.append(start + steps * (stop - start) / (n + inner + outer))
    return np.concatenate(edges)


def _share_out(total: int, shares: FloatArray) -> list[int]:
    """Whole numbers from 1 up that sum to total, in proportion to shares: the widest panel is split next."""
    counts = [1] * len(shares)
    while sum(counts) < total:
        counts[int(np.argmax(shares / np.array(counts)))] += 1
    return counts


def _middle(values: FloatArray) -> FloatArray:
    return np.asarray(0.5 * (values[1:] + values[:-1]))


def base_incidence(part: Panels) -> FloatArray:
    """(n,) incidence of every panel from camber and twist [rad]: minus the slope along x.

    The slope is the difference of camber ordinate between successive bound vortices (the last cell ends
    at the trailing edge) over their distance; no panel edge then has to meet a kink.
    """
    surface = part.surface
    ends = np.concatenate((part.fraction, [1.0]))
    at_ends = np.stack([np.interp(ends, surface.xi, row) for row in surface.camber])
    ordinate = _along(part.mid_arc, part.stations, at_ends)
    slope = np.diff(ordinate, axis=1) / np.diff(ends)
    twist = np.interp(part.mid_arc, part.stations, surface.twist)
    return np.asarray((twist[:, None] - slope).ravel())


def _along(arc: FloatArray, stations: FloatArray, rows: FloatArray) -> FloatArray:
    """Rows given at stations, interpolated linearly to arc: (len(arc), columns)."""
    place = np.clip(np.searchsorted(stations, arc, side="right") - 1, 0, len(stations) - 2)
    share = (arc - stations[place]) / (stations[place + 1] - stations[place])
    return np.asarray(rows[place] + share[:, None] * (rows[place + 1] - rows[place]))


def shape_incidence(part: Panels, shape: Shape) -> FloatArray:
    """(n,) incidence of every right-hand panel per unit of a shape [rad/rad]."""
    kind = shape.kind
    low, high = span_cover(part, kind)
    share = (high - low) / np.diff(part.arc)
    place = 0.5 * (low + high) / float(part.stations[-1])
    if isinstance(kind, Twist):
        turn = _linear(place, kind.eta0, kind.eta1, kind.turn0, kind.turn1)
        return np.asarray(np.repeat(turn * share, part.surface.n_chord))
    hinge = _linear(place, kind.eta0, kind.eta1, kind.hinge0, kind.hinge1)
    return np.asarray((chord_cover(part.surface.n_chord, hinge) * share[:, None]).ravel())


def span_cover(part: Panels, kind: Flap | Twist) -> tuple[FloatArray, FloatArray]:
    """(strips,) ends of the piece of every strip that the span range covers, as arc length."""
    total = float(part.stations[-1])
    low = np.clip(part.arc[:-1], kind.eta0 * total, kind.eta1 * total)
    high = np.clip(part.arc[1:], kind.eta0 * total, kind.eta1 * total)
    return low, high


def _linear(at: FloatArray, x0: float, x1: float, y0: float, y1: float) -> FloatArray:
    return np.asarray(y0 + (at - x0) / (x1 - x0) * (y1 - y0))


def chord_cover(n_chord: int, hinge: FloatArray) -> FloatArray:
    """(strips, c) share of the cell between successive bound vortices that lies behind the hinge.

    This is the difference of a unit flap's ordinate over the cell divided by its length.
    """
    ends = np.concatenate(((np.arange(n_chord) + VORTEX) / n_chord, [1.0]))
    behind = np.maximum(ends - hinge[:, None], 0.0)
    return np.asarray(np.diff(behind, axis=1) / np.diff(ends))
