"""Holes that something passes: their outlines in the board, what they leave of it, where they open."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from itertools import combinations
from math import acos, ceil

import numpy as np
import shapely

from foldwright.airframe.box_shell import finding, up
from foldwright.airframe.model import Gap
from foldwright.base.finding import Finding, Verdict
from foldwright.base.types import FloatArray
from foldwright.design.bodies import Opening
from foldwright.geometry.fold.model import Blank, Panel
from foldwright.geometry.fold.rings import inset
from foldwright.geometry.transform import apply, inverse

HOLE_TOLERANCE = 0.02  # mm: how far a round hole's polygon lies inside its circle at most
LEAST_BRIDGE = 5.0  # mm: common practice, no source; board left between a hole and an edge, fold or hole
TOUCH = 1e-6  # mm


def hole_outline(shape: str, length: float, height: float) -> FloatArray:
    """Outline (n, 2) about its middle, counter-clockwise: a rectangle, or a circle of diameter `length`.

    A round hole is a polygon with its corners on the circle, its sides at most HOLE_TOLERANCE inside.
    """
    if shape == "rectangle":
        size = np.array([length, height]) / 2.0
        corners: FloatArray = size * np.array([(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)])
        return corners
    radius = length / 2.0
    # sagitta r(1 - cos(pi/n)) <= tolerance; a multiple of four keeps it symmetrical
    share = max(1.0 - HOLE_TOLERANCE / radius, 0.0)
    count = max(16, 4 * ceil(np.pi / acos(share) / 4.0))
    angle = 2.0 * np.pi * np.arange(count) / count
    ring: FloatArray = radius * np.column_stack([np.cos(angle), np.sin(angle)])
    return ring


@dataclass(frozen=True, slots=True, eq=False)
class Place:
    """A panel that may take a hole, where it stands: blank, panel, 4x4 into the aeroplane."""

    blank: str
    panel: Panel
    thickness: float
    matrix: FloatArray


@dataclass(frozen=True, slots=True, eq=False)
class Cutout:
    """A hole in a panel: its outline in the blank and what it is to the aeroplane."""

    blank: str
    panel: str
    opening: str
    ring: FloatArray
    gap: Gap


def cut_out(
    opening: Opening, places: Iterable[Place], look: FloatArray, name: str
) -> tuple[Place, Cutout] | None:
    """The hole that an opening makes in the first panel that its middle lies on; None where there is none.

    look: unit vector (3,), +y for sides and flat bodies, +z for floor and decks, along which the
    opening's middle is carried on to the panel's outer face. Its length runs along the body, its height
    across it, both in the plane of the board. name: of the gap.
    """
    middle = np.array([opening.x_mm, opening.y_mm, 0.0])
    across = np.array([0.0, 1.0, 0.0])
    if look[1] != 0.0:
        middle, across = np.array([opening.x_mm, 0.0, opening.z_mm]), np.array([0.0, 0.0, 1.0])
    for place in places:
        back = inverse(place.matrix)
        start, way = apply(back, middle), back[:3, :3] @ look
        if abs(way[2]) < TOUCH:
            continue
        centre = (start + way * (place.thickness - start[2]) / way[2])[:2]
        if shapely.Polygon(place.panel.polygon).covers(shapely.Point(*centre)):
            return place, _at(opening, place, centre, back[:3, :3] @ across, name)
    return None


def _at(opening: Opening, place: Place, centre: FloatArray, across: FloatArray, name: str) -> Cutout:
    up_axis = across[:2] / np.hypot(*across[:2])
    along = np.array([up_axis[1], -up_axis[0]])
    if float(place.matrix[0, :2] @ along) < 0.0:
        along = -along
    height = opening.length_mm if opening.shape == "round" else opening.height_mm or opening.length_mm
    form = hole_outline(opening.shape, opening.length_mm, height)
    ring = centre + form @ np.stack([along, up_axis])
    middle = apply(place.matrix, np.array([centre[0], centre[1], place.thickness]))
    gap = Gap(
        name, opening.role, middle, place.matrix[:3, 2].copy(), (opening.length_mm, height),
        float(shapely.Polygon(ring).area),
    )  # fmt: skip
    return Cutout(place.blank, place.panel.name, opening.id, ring, gap)


def board_left(panel: Panel, ring: FloatArray) -> float:
    """Least board between a hole and the panel's edges and bevels, mm; negative: it breaks through."""
    lacks = np.array([max(cut.a, cut.b) for cut in panel.cuts])
    whole = shapely.Polygon(inset(panel.polygon, lacks))
    hole = shapely.Polygon(ring)
    if not whole.covers(hole):
        return -float(shapely.distance(whole, shapely.points(ring)).max())
    return float(whole.exterior.distance(hole))


def edge_finding(where: str, opening: Opening, left: float) -> Finding | None:
    """G142: an opening that breaks through an edge or fold (no-go) or comes close to one (watch)."""
    if left >= LEAST_BRIDGE - TOUCH:
        return None
    verdict: Verdict = "watch" if left > 0.0 else "no-go"
    by = up(LEAST_BRIDGE - left)
    return finding(
        f"{where}.length_mm", "G142", left, LEAST_BRIDGE, "mm", verdict, name=opening.id, left=left,
        least=LEAST_BRIDGE, by=by, smaller=2.0 * by,
    )  # fmt: skip


def pair_findings(cutouts: Sequence[Cutout], where: str) -> list[Finding]:
    """G143: openings of one panel that run into each other (no-go) or leave a narrow bridge (watch)."""
    found = []
    for one, other in combinations(cutouts, 2):
        if (one.blank, one.panel) != (other.blank, other.panel):
            continue
        first, second = shapely.Polygon(one.ring), shapely.Polygon(other.ring)
        left = float(first.distance(second))
        if left >= LEAST_BRIDGE - TOUCH:
            continue
        verdict: Verdict = "watch" if left > 0.0 else "no-go"
        found.append(
            finding(
                f"{where}.{other.opening}.x_mm", "G143", left, LEAST_BRIDGE, "mm", verdict, one=one.opening,
                other=other.opening, left=left, least=LEAST_BRIDGE, by=up(LEAST_BRIDGE - left),
            )
        )  # fmt: skip
    return found


def with_holes(blanks: Sequence[Blank], cutouts: Sequence[Cutout]) -> tuple[Blank, ...]:
    """The blanks with the holes cut."""
    rings: dict[tuple[str, str], list[FloatArray]] = {}
    for cut in cutouts:
        rings.setdefault((cut.blank, cut.panel), []).append(cut.ring)
    changed = []
    for blank in blanks:
        own = {panel: holes for (name, panel), holes in rings.items() if name == blank.name}
        panels = tuple(
            replace(panel, holes=(*panel.holes, *own[panel.name])) if panel.name in own else panel
            for panel in blank.panels
        )
        changed.append(replace(blank, panels=panels) if own else blank)
    return tuple(changed)
