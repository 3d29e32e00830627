"""Shapes of tabs and of the slots they go through."""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import atan2, degrees

import numpy as np
import shapely

from foldwright.airframe.slot_tab_target import Root, Target
from foldwright.airframe.trim import owners
from foldwright.base.types import FloatArray
from foldwright.geometry.fold.model import SQUARE, Blank, EdgeCut
from foldwright.geometry.transform import apply, inverse, turn

GAPE_MM = 0.5  # judgement: glue fills less than this under a root edge cut square; more is bevelled away

Run = tuple[float, float]


@dataclass(frozen=True, slots=True, eq=False)
class Stand:
    """How a plate stands on a face, from the plate's panel placed in the aeroplane.

    lean: turn in its own plane that lays its root edge along the face, rad, about the plate's face normal.
    across: how far it stands from square to the face, rad. bevel: what a square root edge would leave open
    at one side, mm, where it is cut away, on the face `face`; else 0. depth: of the tabs, root
    edge to end, mm. low: depth w of the plate's skin that comes to the face first (the middle where both do).
    """

    lean: float
    across: float
    bevel: float
    face: str
    depth: float
    low: float


def stand(target: Target, plate: FloatArray, inside: float, thickness: float) -> Stand:
    """Measure how a plate, 4x4 of its panel, meets the face of a target."""
    root, normal = plate[:3, 0], plate[:3, 2]
    way = -inside * plate[:3, 1]
    # in the plate's plane: the root's rise out of the face against the tabs' way into it
    lean = -inside * atan2(float(root @ target.normal), -float(way @ target.normal))
    tilt = float(normal @ target.normal)
    into = float(np.sqrt(max(1.0 - tilt * tilt, 1e-12)))
    gape = thickness * abs(tilt) / into
    bevel = gape if gape > GAPE_MM else 0.0
    deeper = thickness if tilt < 0.0 else 0.0
    low = thickness / 2.0 if abs(tilt) < 1e-9 else (deeper if bevel == 0.0 else thickness - deeper)
    face = "a" if tilt < 0.0 else "b"
    board = abs(target.near - target.far)
    return Stand(lean, float(np.arcsin(np.clip(tilt, -1.0, 1.0))), bevel, face, board / into, low)


def seating(target: Target, plate: FloatArray, middle: FloatArray, how: Stand, inside: float) -> FloatArray:
    """4x4 that leans a plate with the face and moves it along its tabs until its root edge lies on it.

    middle (3,): middle of its run of tabs in the middle of its board, mm.
    """
    leaned = turn(middle, plate[:3, 2], how.lean)
    way = -inside * plate[:3, 1]
    reference = apply(leaned @ plate, apply(inverse(plate), middle) * [1.0, 1.0, 0.0] + [0.0, 0.0, how.low])
    face = apply(target.matrix, np.array([0.0, 0.0, target.near]))
    along = float((face - reference) @ target.normal) / float(way @ target.normal)
    seat = leaned.copy()
    seat[:3, 3] += along * way
    return seat


def with_tabs(blank: Blank, root: Root, runs: list[Run], how: Stand) -> Blank:
    """Add tabs below the root edge; bevel root edge and tab ends where the plate stands far from square."""
    panel = blank.panel(root.panel)
    low, high = sorted((0.0, -root.inside * how.depth))
    tabs = [shapely.box(start, low, stop, high) for start, stop in runs]
    joined = shapely.unary_union([shapely.Polygon(panel.polygon), *tabs])
    if not isinstance(joined, shapely.Polygon):
        raise TypeError(f"tabs of {blank.name} do not touch its root edge")
    outline = shapely.remove_repeated_points(joined).exterior
    ring = np.asarray((outline if outline.is_ccw else outline.reverse()).coords)[:-1]
    cuts = [SQUARE if edge < 0 else panel.cuts[edge] for edge in owners(panel.polygon, ring)]
    if how.bevel > 0.0:
        slant = EdgeCut(a=how.bevel) if how.face == "a" else EdgeCut(b=how.bevel)
        level = _level_edges(ring, root, how.depth)
        cuts = [slant if own else cut for own, cut in zip(level, cuts, strict=True)]
    changed = replace(panel, polygon=ring, cuts=tuple(cuts))
    return replace(blank, panels=tuple(changed if p.name == root.panel else p for p in blank.panels))


def _level_edges(ring: FloatArray, root: Root, depth: float) -> list[bool]:
    """Which edges of the outline lie along the root edge, or along the ends of its tabs."""
    after = np.roll(ring, -1, axis=0)
    found = np.zeros(len(ring), dtype=bool)
    for level in (0.0, -root.inside * depth):
        found |= (np.abs(ring[:, 1] - level) < 1e-6) & (np.abs(after[:, 1] - level) < 1e-6)
    return [bool(one) for one in found]


def slot(target: Target, plate: FloatArray, run: Run, thickness: float, clearance: float) -> FloatArray:
    """Slot outline (4, 2) in the target's blank frame, square through the board.

    It holds the tab's section with both faces of the board, and half the clearance more on every side.
    plate: 4x4 of the seated plate's panel. run: from and to of the tab along the root edge, mm.
    """
    to_flat = inverse(target.matrix)
    corners = np.array([(u, 0.0, w) for u in run for w in (0.0, thickness)])
    points = apply(to_flat @ plate, corners)
    way = to_flat[:3, :3] @ plate[:3, 1]
    on_faces = [points + ((w - points[:, 2]) / way[2])[:, None] * way for w in (target.near, target.far)]
    flat = np.concatenate(on_faces)[:, :2]
    along = (to_flat[:3, :3] @ plate[:3, 0])[:2]
    along = along / np.hypot(*along)
    across = np.array([-along[1], along[0]])
    if across @ (to_flat[:3, :3] @ plate[:3, 2])[:2] < 0.0:
        across = -across
    u, v, half = flat @ along, flat @ across, clearance / 2.0
    low_u, high_u, low_v, high_v = u.min() - half, u.max() + half, v.min() - half, v.max() + half
    ring: FloatArray = np.array(
        [low_u * along + low_v * across, high_u * along + low_v * across,
         high_u * along + high_v * across, low_u * along + high_v * across]
    )  # fmt: skip
    return ring


def slope_deg(angle: float) -> float:
    """An angle's size in degrees."""
    return abs(degrees(angle))
