"""Solids that the pictures show: board, what is bought, motors, legs; and rims of propeller discs."""

from __future__ import annotations

from functools import lru_cache
from math import cos, pi, sin

import numpy as np
import shapely

from foldwright.airframe.fitting_model import Fitting
from foldwright.airframe.model import Airframe, Bar, MassItem, Placed, Thrust
from foldwright.base.types import FloatArray
from foldwright.geometry.facets import Solid, prismatoid
from foldwright.geometry.fold.model import Blank, Panel
from foldwright.geometry.fold.rings import solid_rings
from foldwright.geometry.transform import apply, frame, inverse, shift

LEG_MM = 4.0
"""Width that a landing leg is drawn with; its own is not known before it is made."""

_DISC_SIDES = 72
_ROUND_SIDES = 24
_ROUND = ("rod", "tube")
_SAMPLES = 40
_HIDDEN = 0.95
_LEVEL = 0.05
_THIN = 1e-6
_ACROSS = np.array([1.0, 0.0, 0.0])


@lru_cache(maxsize=2)
def board_solids(airframe: Airframe) -> tuple[Solid, ...]:
    """Every panel of every blank, folded, controls neutral; the last ones are remembered (by identity)."""
    return tuple(_panel(one, panel) for one in airframe.placed for panel in one.blank.panels)


def outside_solids(airframe: Airframe) -> tuple[Solid, ...]:
    """Board, and what stands outside it: bought bars, legs, the motors along their thrust lines and what is
    printed on the boards that they stand on.
    """
    motors = [item for item in airframe.masses if is_outside(item.id) and item.size[0] > 0.0]
    return (
        *board_solids(airframe),
        *bar_solids(airframe),
        *leg_solids(airframe),
        *mount_solids(airframe),
        *(_motor(item, airframe.thrust) for item in motors),
    )


def is_outside(item: str) -> bool:
    """Whether equipment of that id is drawn as a solid: "motor", and "motor/right" of two."""
    return item.partition("/")[0] == "motor"


def bar_solids(airframe: Airframe) -> tuple[Solid, ...]:
    """Bought sticks, spars and dowels, less those that lie hidden in the board over their whole length."""
    return tuple(_bar(bar) for bar in airframe.bars if not _hidden(bar, airframe))


def leg_solids(airframe: Airframe) -> tuple[Solid, ...]:
    """Fittings whose mass lies along a line: landing legs, as square rods; printed ones as bent strips."""
    found = [strip for fitting in airframe.fittings for strip in _strips(fitting)]
    for item in airframe.masses:
        if item.group == "fitting" and not any(item.size):
            ends = _line_ends(item.moments)
            if ends is not None:
                square = 0.5 * LEG_MM * np.array([(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)])
                found.append(_rod(item.id, ends, square, "equipment"))
    return tuple(found)


def mount_solids(airframe: Airframe) -> tuple[Solid, ...]:
    """Fittings on the boards that motors stand on, as the boxes that hold them."""
    boards = {mount.blank for mount in airframe.mounts}
    return tuple(_boxed(one) for one in airframe.fittings if one.blank in boards)


def _boxed(fitting: Fitting) -> Solid:
    low, high = fitting.shape.box
    ring = np.array([(low[0], low[1]), (high[0], low[1]), (high[0], high[1]), (low[0], high[1])])
    place = fitting.placement @ shift(0.0, 0.0, low[2])
    return prismatoid(fitting.id, ring, ring, place, high[2] - low[2], tone="equipment")


def _strips(fitting: Fitting) -> list[Solid]:
    """A bent leg: its spine, which lies in a plane x = constant of its own, as thick and wide as it is."""
    if fitting.spine is None:
        return []
    wide, thick = (fitting.figures.get(key, LEG_MM) for key in ("wide_mm", "thick_mm"))
    bent = shapely.LineString(fitting.spine[:, 1:]).buffer(0.5 * thick, cap_style="flat", join_style="mitre")
    ring = shapely.get_coordinates(shapely.orient_polygons(bent))[:-1]
    own = frame(fitting.spine[0] * _ACROSS - 0.5 * wide * _ACROSS, np.array([0.0, 1.0, 0.0]), _ACROSS)
    place = fitting.placement @ own
    return [prismatoid(fitting.id, ring, ring, place, wide, tone="equipment")]


def _line_ends(moments: FloatArray) -> FloatArray | None:
    """Ends (2, 3) of the even straight line that has these moments; None where they are no line's.

    Along an even line of length L the variance is L²/12, across it none.
    """
    mass = float(moments[3, 3])
    centre = moments[:3, 3] / mass
    spread, ways = np.linalg.eigh(moments[:3, :3] / mass - np.outer(centre, centre))
    if spread[2] < 1.0 or spread[1] > _THIN * spread[2]:
        return None
    # the sense of an eigenvector is anyone's: the upper end first
    way = ways[:, 2] if ways[2, 2] >= 0.0 else -ways[:, 2]
    half = 0.5 * np.sqrt(12.0 * spread[2]) * way
    return np.stack([centre + half, centre - half])


def _bar(bar: Bar) -> Solid:
    half = 0.5 * np.array([bar.width, bar.height])
    if bar.form in _ROUND:
        turn = np.arange(_ROUND_SIDES) * 2.0 * pi / _ROUND_SIDES
        ring = half * np.column_stack([np.cos(turn), np.sin(turn)])
    else:
        ring = half * np.array([(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)])
    return _rod(bar.id, bar.ends, ring, "bought")


def _rod(name: str, ends: FloatArray, ring: FloatArray, tone: str) -> Solid:
    """A prism from end to end; the ring's first axis lies level, its second as upright as it goes."""
    along = ends[1] - ends[0]
    length = float(np.linalg.norm(along))
    level = np.cross([0.0, 0.0, 1.0], along)
    if float(np.linalg.norm(level)) < 1e-6 * length:
        level = np.array([0.0, 1.0, 0.0])
    return prismatoid(name, ring, ring, frame(ends[0], level, along), length, tone=tone)


def _hidden(bar: Bar, airframe: Airframe) -> bool:
    """Whether a bar lies in the board, or has board above and below it, nearly all along."""
    share = (np.arange(_SAMPLES) + 0.5) / _SAMPLES
    points = bar.ends[0] + share[:, None] * (bar.ends[1] - bar.ends[0])
    above, below = np.zeros(_SAMPLES, dtype=bool), np.zeros(_SAMPLES, dtype=bool)
    for one in airframe.placed:
        t = one.blank.thickness
        for panel in one.blank.panels:
            matrix = one.transforms[panel.name]
            normal = matrix[:3, 2]
            local = apply(inverse(matrix), points)
            within = shapely.contains_xy(shapely.Polygon(panel.polygon), local[:, 0], local[:, 1])
            inside = within & (local[:, 2] > 0.0) & (local[:, 2] < t)
            above, below = above | inside, below | inside
            if abs(normal[2]) < _LEVEL:
                continue
            # where the upright line through a point meets the panel's middle
            rise = (0.5 * t - local[:, 2]) / normal[2]
            met = apply(inverse(matrix), points + rise[:, None] * np.array([0.0, 0.0, 1.0]))
            over = shapely.contains_xy(shapely.Polygon(panel.polygon), met[:, 0], met[:, 1])
            above, below = above | (over & (rise > 0.0)), below | (over & (rise < 0.0))
    return float(np.mean(above & below)) > _HIDDEN


def propeller_discs(thrust: Thrust) -> tuple[FloatArray, ...]:
    """Rims (n, 3) of the propeller discs, mm: none, one, or the right and the left one."""
    if thrust.disc_diameter_mm <= 0.0:
        return ()
    turn = np.arange(_DISC_SIDES) * 2.0 * pi / _DISC_SIDES
    radius = 0.5 * thrust.disc_diameter_mm
    rims = []
    for y in (thrust.y, -thrust.y) if thrust.mirrored else (thrust.y,):
        matrix = _thrust_frame(thrust, y)
        rim = radius * (np.outer(np.cos(turn), matrix[:3, 0]) + np.outer(np.sin(turn), matrix[:3, 1]))
        rims.append(np.asarray(rim + matrix[:3, 3]))
    return tuple(rims)


def _panel(one: Placed, panel: Panel) -> Solid:
    ring_b, ring_a = solid_rings(panel)
    return prismatoid(
        f"{one.blank.name}/{panel.name}",
        ring_a,
        ring_b,
        one.transforms[panel.name],
        one.blank.thickness,
        holes=panel.holes,
        fold_edges=_fold_edges(one.blank, panel, ring_a, ring_b),
    )


def _fold_edges(blank: Blank, panel: Panel, ring_a: FloatArray, ring_b: FloatArray) -> list[int]:
    """Edges of a panel's rings that lie on a fold's line, on the face that is its hinge."""
    found = []
    for fold in blank.folds:
        if panel.name not in {fold.parent, fold.child}:
            continue
        ring = ring_a if fold.hinge == "a" else ring_b
        run = (fold.q - fold.p) / fold.length
        gap = ring - fold.p
        off = np.abs(run[0] * gap[:, 1] - run[1] * gap[:, 0])
        on_line = off <= 0.5 * abs(fold.gain) + 1e-6
        middle = 0.5 * (gap + np.roll(gap, -1, axis=0)) @ run
        within = (middle > 0.0) & (middle < fold.length)
        found += np.flatnonzero(on_line & np.roll(on_line, -1) & within).tolist()
    return sorted(set(found))


def _thrust_frame(thrust: Thrust, y: float) -> FloatArray:
    """Frame at the propeller plane whose z axis is the thrust vector. y: of the thrust line, mm."""
    vector = np.array([-cos(thrust.tilt), 0.0, sin(thrust.tilt)])
    return frame(np.array([thrust.x, y, thrust.z]), np.array([0.0, 1.0, 0.0]), vector)


def _motor(item: MassItem, thrust: Thrust) -> Solid:
    """A cylinder along its thrust line: length size[0], diameter size[1]."""
    length, diameter, _ = item.size
    turn = np.arange(_ROUND_SIDES) * 2.0 * pi / _ROUND_SIDES
    ring = 0.5 * diameter * np.column_stack([np.cos(turn), np.sin(turn)])
    # behind the propeller plane of a tractor, ahead of a pusher's: as the masses have it
    centre = item.moments[:3, 3] / item.moments[3, 3]
    matrix = _thrust_frame(thrust, float(centre[1]))
    ahead = float((centre - matrix[:3, 3]) @ matrix[:3, 2])
    matrix[:3, 3] += (ahead - 0.5 * length) * matrix[:3, 2]
    return prismatoid(item.id, ring, ring, matrix, length, tone="equipment")
