"""What the lattice sees of a wing: camber, thickness and step, sliced from the folded panels.

A bay is cut square to its own span line, not by planes y = const, so dihedral does not stretch the section.
Camber and thickness are those of the board as folded: paper, step and square trailing edge are in them.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cache
from math import radians, tan

import numpy as np
import shapely

from foldwright.airframe.model import Control, LiftingSurface, Placed
from foldwright.airframe.section import Prism, cut_panels, joined, prism
from foldwright.airframe.wing_bays import BayShape
from foldwright.airframe.wing_controls import Placed as PlacedControl
from foldwright.airframe.wing_controls import control_name
from foldwright.airframe.wing_grid import Grid
from foldwright.base.types import FloatArray
from foldwright.design.parts import FoldedWing
from foldwright.geometry.transform import apply

STATIONS = 81
_INSIDE = 0.01
"""Share of a bay's length that its end sections are read inside of it."""
_SAME = 1e-9


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


@dataclass(frozen=True, slots=True, eq=False)
class Read:
    """A section as read: camber (m,) over chord; rise of the chord line toward the trailing edge, rad.

    nose: height of the middle of the nose over the strip's inner face, mm; thickness: greatest / chord;
    trailing: thickness of the trailing edge, mm.
    """

    camber: FloatArray
    rise: float
    nose: float
    thickness: float
    trailing: float


def contour_at(bay: BayShape, solids: Sequence[Prism], place: FloatArray, s: float) -> shapely.Geometry:
    """Section of a right bay square to its span line at s: polygons in its x and z, mm."""
    turned = np.eye(4)
    turned[:3, 1], turned[:3, 2], turned[:3, 3] = (0.0, 0.0, 1.0), (0.0, -1.0, 0.0), (0.0, s, 0.0)
    return joined(cut_panels(solids, place @ bay.frame @ turned).values())


def read_section(bay: BayShape, contour: shapely.Geometry, s: float) -> Read:
    """Camber line and chord line of a section.

    The camber line is the middle of the upper and the lower contour, measured from the chord line that joins
    its ends. Gaps narrower than a board (an opened slit, end gaps) are bridged by interpolation.
    """
    here = bay.at(s)
    x = np.array(chord_fractions()) * here.chord
    # a blunt nose or a slanted end face has its middle where both contours begin
    x_read = np.clip(x, bay.start + 1e-6, here.chord - _slant(bay) - 1e-6)
    low, high = envelope(contour, x_read + here.aft)
    good = np.isfinite(low)
    low, high = np.interp(x, x[good], low[good]), np.interp(x, x[good], high[good])
    middle = (low + high) / 2.0
    # the chord line joins the middle of the nose to the middle of the trailing edge
    rise = (middle[-1] - middle[0]) / here.chord
    camber = (middle - middle[0] - rise * x) / here.chord
    thick = high - low
    return Read(
        camber, float(np.arctan(rise)), float(middle[0]), float(thick.max() / here.chord), float(thick[-1])
    )


def _slant(bay: BayShape) -> float:
    """How far the trailing edge's lower corner lies ahead of its upper one, along x, mm."""
    if bay.level:
        return 0.0
    gx, gs = bay.aft_gradient
    steep = (gx * gx + gs * gs + 1.0) ** 0.5
    one, other = bay.inner, bay.outer
    slope = (other.aft + other.chord - one.aft - one.chord) / bay.length
    lean: float = bay.t * (-gx + gs * slope) / steep
    return lean


def lifting_surface(
    part: FoldedWing,
    grid: Grid,
    blanks: Sequence[Placed],
    controls: Sequence[PlacedControl],
    place: FloatArray,
) -> LiftingSurface:
    """Surface of a folded wing: stations at the root and at every bay's outer end.

    A station between two bays takes the section of the inner one.
    """
    bays = tuple(cell.shape for cell in grid.cells if cell.side > 0)
    middle = len(grid.cells) // 2
    reads: list[Read] = []
    for bay in bays:
        solids = cell_solids(grid, blanks, middle + bay.number)
        own = tuple(c for c in controls if c.bay == bay.number)
        spots = _clear(_ends(bays, bay), own)
        found = [read_section(bay, contour_at(bay, solids, place, s), s) for s in spots]
        reads += [found[0], found[-1]] if not reads else [found[-1]]
    rises = np.array([read.rise for read in reads])
    washout = np.array([0.0, *(bay.plan.outer.washout for bay in bays)])
    le = apply(place, _leading(bays, reads))
    ends = [bays[0].inner, *(bay.outer for bay in bays)]
    surface = LiftingSurface(
        part.id,
        le,
        np.array([end.chord for end in ends]),
        radians(part.incidence_deg) - rises - washout,
        np.array(chord_fractions()),
        np.stack([read.camber for read in reads]),
        max(read.thickness for read in reads),
        grid.t,
        reads[0].trailing,
        True,
        True,
        role="wing",
        washout=washout if part.bay else None,
        folding_twist=rises[0] - rises if part.bay else None,
        step_x=apply(place, _steps(bays))[:, 0],
    )
    made = tuple(
        _control(c, bays[c.bay], np.interp((c.part.inner_mm, c.part.outer_mm), le[:, 1], surface.arc))
        for c in controls
    )
    return replace(surface, controls=made)


def cell_solids(grid: Grid, blanks: Sequence[Placed], cell: int) -> tuple[Prism, ...]:
    """The folded panels of one cell, controls and all."""
    names = {
        group.name for row in grid.rows for group in grid.groups[row] if group.first <= cell <= group.last
    }
    rows = set(grid.rows)
    found = []
    for one in blanks:
        for panel in one.blank.panels:
            plain = panel.name.split("-")[0] in rows
            if panel.name in names or (not plain and panel.name.endswith("-right")):
                found.append(prism(panel.name, panel, one.blank.thickness, one.transforms[panel.name]))
    return tuple(found)


def _ends(bays: Sequence[BayShape], bay: BayShape) -> tuple[float, ...]:
    """Where a bay's sections are read: once in the middle where it does not change, else inside both ends."""
    one, other = bay.inner, bay.outer
    same = (abs(a - b) < _SAME for a, b in (
        (one.chord, other.chord), (one.spar, other.spar),
        (one.height, other.height), (one.strip, other.strip),
    ))  # fmt: skip
    if all(same):
        return (bay.length / 2.0 + 1e-3,)
    turns = [bay.dihedral, 0.0]
    if bay.number > 0:
        turns[0] = abs(bay.dihedral - bays[bay.number - 1].dihedral) / 2.0
    if bay.number + 1 < len(bays):
        turns[1] = abs(bays[bay.number + 1].dihedral - bay.dihedral) / 2.0
    deep = max(one.height, other.height) + 2.0 * bay.t
    inner, outer = (deep * tan(abs(turn)) + _INSIDE * bay.length for turn in turns)
    return inner, bay.length - max(outer, bay.t + 0.01)


def _clear(places: Sequence[float], controls: Sequence[PlacedControl]) -> list[float]:
    """The same places, moved out of the end gaps of controls."""
    found = []
    for place in places:
        clear = place
        for control in controls:
            gap = control.part.end_gap_mm + 0.01
            if control.inner - 0.01 <= clear <= control.inner + gap:
                clear = control.inner + gap
            elif control.outer - gap <= clear <= control.outer + 0.01:
                clear = control.outer - gap
        found.append(clear)
    return found


def _leading(bays: Sequence[BayShape], reads: Sequence[Read]) -> FloatArray:
    """Middle of the nose at the stations, wing's frame, at the stations' own level distance y."""
    ends = [(bays[0], bays[0].inner), *((bay, bay.outer) for bay in bays)]
    rows = []
    for (bay, end), read in zip(ends, reads, strict=True):
        # the section leans in by its height over the under face; go out along the bay by as much
        out = (read.nose + bay.t) * tan(bay.dihedral)
        rows.append(bay.space(np.array([(end.aft, end.s + out, read.nose)]))[0])
    return np.array(rows)


def _steps(bays: Sequence[BayShape]) -> FloatArray:
    """The strip's aft edge on the under face at the stations, wing's frame."""
    ends = [(bays[0], bays[0].inner), *((bay, bay.outer) for bay in bays)]
    return np.array([
        bay.space(np.array([(end.aft + end.strip + bay.land, end.s, -bay.t)]))[0] for bay, end in ends
    ])  # fmt: skip


def _control(placed: PlacedControl, bay: BayShape, arc: FloatArray) -> Control:
    part = placed.part
    hinge = (
        1.0 - part.chord_mm / bay.at(placed.inner).chord,
        1.0 - placed.outer_chord / bay.at(placed.outer).chord,
    )
    horn = 0.0 if part.horn is None else part.horn.length_mm * part.horn.ahead_mm
    return Control(
        part.id,
        part.kind,
        (control_name(part, 1), control_name(part, -1)),
        part.chord_mm,
        float(arc[0]),
        float(arc[1]),
        hinge,
        radians(part.up_deg),
        radians(part.down_deg),
        outer_chord=part.outer_chord_mm,
        horn_area=horn,
    )
