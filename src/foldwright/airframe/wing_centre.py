"""Which joints the halves and bays of a folded wing can have, and which of them lie flat."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import degrees, inf

import numpy as np
import shapely

from foldwright.airframe.wing_bays import LEVEL, BayShape
from foldwright.airframe.wing_grid import Link, bay_link
from foldwright.base.types import FloatArray
from foldwright.geometry.fold.model import Blank

CENTRES: dict[str, Link] = {"one": "merge", "front": "front", "strip": "strip", "two": "apart"}
LEAST_OVERLAP = 1e-6  # mm²
MOST_GAP_MM = 1.5
"""Widest gap on each side of a joint, above the strip or behind the front [judgement: glue fills it]."""
_CLEAR = 0.02  # mm
_TRIES = 4


@dataclass(frozen=True, slots=True)
class Joints:
    """How a wing is joined: the word for its centre, links from the centre outward.

    gaps: mm that panels cut at each joint keep from it. parted: bays (from 0) that were to be joined to the
    one inboard and cannot lie flat with it. refused:
    centre joints that were tried first and lie on themselves when flat.
    """

    centre: str
    links: tuple[Link, ...]
    gaps: tuple[float, ...]
    parted: tuple[int, ...] = ()
    refused: tuple[str, ...] = ()


def allowed(bay: BayShape) -> tuple[str, ...]:
    """Centre joints that the inmost bay's planes allow, best first (design notes, fold geometry, Centre)."""
    rise, sweep = bay.dihedral, bay.sweep
    if abs(rise) < LEVEL and abs(sweep) < LEVEL:
        return ("one", "strip", "two")
    if sweep < -LEVEL or rise < -LEVEL:
        return ("two",)
    return ("front", "strip", "two") if abs(rise) < LEVEL else ("strip", "two")


def reason(bay: BayShape) -> str:
    """What keeps other centre joints away, in words."""
    rise, sweep = degrees(bay.dihedral), degrees(bay.sweep)
    if sweep < -1e-6:
        return (
            f"the leading edge runs {-sweep:.1f}° forward, so the front panels would lie on each other flat"
        )
    if rise < -1e-6:
        return f"the halves droop by {-rise:.1f}°, so the upper panels would lie on each other flat"
    if rise > 1e-6:
        return f"with {rise:.1f}° of dihedral only the under strip can turn at the centre"
    if sweep > 1e-6:
        return f"the leading edge is swept by {sweep:.1f}°, so no panel but the strip lies in one plane"
    return "the front panels of both halves are one flat panel"


@dataclass(frozen=True, slots=True, eq=False)
class Flat:
    """A wing's blanks for some links and gaps; cells: first and last cell of every panel; count: of cells."""

    blanks: tuple[Blank, ...]
    cells: Mapping[str, tuple[int, int]]
    count: int


Flatten = Callable[[tuple[Link, ...], tuple[float, ...]], Flat]
"""The flat blanks of a wing joined by those links, cut panels those gaps in mm away from the joints."""


def settle(bays: Sequence[BayShape], asked: str, flatten: Flatten) -> Joints | None:
    """The first way of joining that lies flat; None where the one asked for does not.

    Panels that lie on each other are cut back at the joint between them; where that would take more than
    MOST_GAP_MM the outer bay becomes a blank of its own, and at the centre the next joint is tried.
    """
    can = allowed(bays[0])
    outward = [bay_link(one, other) for one, other in pairwise(bays)]
    refused: list[str] = []
    for centre in can if asked == "auto" else (asked,):
        links = [CENTRES[centre], *outward]
        gaps = _fit(links, flatten)
        if gaps is not None:
            return Joints(centre, tuple(links), gaps, _parted(bays, links), tuple(refused))
        refused.append(centre)
    return None


def _fit(links: list[Link], flatten: Flatten) -> tuple[float, ...] | None:
    """Gaps at which a wing lies flat; links of bays that cannot are set "apart". None: the centre fails."""
    gaps = [0.0] * len(links)
    for _ in range(_TRIES * len(links)):
        deep = overlap_depths(flatten(tuple(links), tuple(gaps)))
        if not deep:
            return tuple(gaps)
        for number, depth in deep.items():
            gaps[number] += 0.5 * depth + _CLEAR
            if gaps[number] > MOST_GAP_MM:
                if number == 0:
                    return None
                links[number], gaps[number] = "apart", 0.0
    return None


def _parted(bays: Sequence[BayShape], links: Sequence[Link]) -> tuple[int, ...]:
    return tuple(
        bay.number
        for bay, link in zip(bays[1:], links[1:], strict=True)
        if link == "apart" and bay.table is not None and bay.table.joint != "apart"
    )


def overlap_depths(flat: Flat) -> dict[int, float]:
    """How deep panels lie on each other across each joint, from the centre (0) outward, mm.

    Panels of one bay that lie on each other count for the centre, without end: nothing helps them.
    """
    found: dict[int, float] = {}
    for blank in flat.blanks:
        if blank.mirror_of:
            continue
        for one, other, depth in _overlaps(blank):
            joints = _between(flat.cells[one], flat.cells[other])
            if not joints:
                return {0: inf}
            # the joint nearest to the centre of those between them
            number = min(abs(index + 1 - flat.count // 2) for index in joints)
            found[number] = max(found.get(number, 0.0), depth)
    return found


def _between(one: tuple[int, int], other: tuple[int, int]) -> list[int]:
    """Breaks between two panels; where one runs past the other, those at the ends of the shorter one.

    A break has the number of the cell to its left.
    """
    low, high = sorted((one, other))
    if low[1] < high[0]:
        return list(range(low[1], high[0]))
    first, last = max(one[0], other[0]), min(one[1], other[1])
    ends = [index for index in (first - 1, last) if min(low[0], high[0]) <= index < max(low[1], high[1])]
    return ends or list(range(first, last))


def _overlaps(blank: Blank) -> list[tuple[str, str, float]]:
    """Pairs of panels that lie on each other flat, and how deep, mm."""
    rings = [panel.polygon for panel in blank.panels]
    low, high = (np.array([end(ring) for ring in rings]) for end in (_low, _high))
    near = (low[:, None] < high[None, :] - _CLEAR * 1e-3).all(axis=-1)
    one, other = np.nonzero(np.triu(near & near.T, 1))
    if not len(one):
        return []
    shapes = np.array([shapely.Polygon(ring) for ring in rings])
    shared = shapely.intersection(shapes[one], shapes[other])
    return [
        (blank.panels[one[k]].name, blank.panels[other[k]].name, _width(shared[k]))
        for k in np.flatnonzero(shapely.area(shared) > LEAST_OVERLAP)
    ]


def _width(shape: shapely.Geometry) -> float:
    """Shorter side of the least rectangle around a shape, mm."""
    corners = shapely.get_coordinates(shapely.minimum_rotated_rectangle(shape))
    sides = np.hypot(*(corners[1:3] - corners[:2]).T)
    return float(sides.min())


def _low(ring: FloatArray) -> FloatArray:
    return np.asarray(ring.min(axis=0))


def _high(ring: FloatArray) -> FloatArray:
    return np.asarray(ring.max(axis=0))
