"""How a tray is laid out in plan: outline, pads, rims, pegs, strap slots, strain relief, wire channels. mm.

Axes as the aeroplane's. What there is no room for is left out and named; nothing reaches past the room.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import lru_cache
from itertools import pairwise

import numpy as np
import shapely

from foldwright.airframe.fitting_places import area_of
from foldwright.airframe.tray_shape import Hollow, Peg, Raised, ring_of
from foldwright.geometry.solid.core import SIDES, Area
from foldwright.geometry.solid.shape import eased

WALL = 1.2
"""Thickness of rims and channel walls, mm: more than two printed lines. [judgement]"""
RIM_HIGH = 4.0
"""Rims hold a box by this much, or by two fifths of its height. [judgement]"""
PAD = 3.0
"""Width of the pads that carry a box along its edge. [judgement]"""
STRAP = (4.5, 2.0)
"""Slot for a cable tie of up to 3.6 mm or a rubber band: along the box and across. [judgement]"""
WEB = 1.0
"""Plate left over a strap's groove, five layers of 0.2 mm, for it carries the strap's pull; what the groove
is then too shallow for a strap presses into the board. [judgement]"""
POST = (6.0, 3.2, 1.8, 1.4)
"""Strain relief: length along the wire; width and height of the tie's tunnel; roof over it. The roof bridges
its tunnel without support. [judgement]"""
CHANNEL_HIGH, CHANNEL_LONG = 3.0, 6.0
PEG_HIGH = 2.4
"""Of a peg's cylinder: a circuit board of 1.6 mm and a little more. [judgement]"""
PEG_FOOT = 3.0
"""A peg's pad is so much wider than the peg. [judgement]"""
WINDOW = (6.0, 8.0)
"""Lightening: distance from the edge of what stands above, and least width of an opening. [judgement]"""
LAYER = 0.15
"""A pad lower than this is left out: about a layer. [judgement]"""
CORNER = 2.0
"""Radius of the plate's corners. [judgement]"""
JOIN = 12.0
"""Width of the strip between two things on one tray. [judgement]"""
_STEP = 2.0


@dataclass(frozen=True, slots=True)
class Thing:
    """What stands on the tray: footprint's corners, its bottom and height; holes of a board and their pegs'
    diameter; ways: of each wire the sides it may leave by ("+x", "-y"), the best one first.
    """

    id: str
    low: tuple[float, float]
    high: tuple[float, float]
    bottom: float
    tall: float
    holes: tuple[float, float] | None = None
    peg: float = 0.0
    ways: tuple[tuple[str, ...], ...] = ()

    @property
    def foot(self) -> shapely.Polygon:
        """Footprint."""
        return shapely.box(*self.low, *self.high)

    @property
    def middle(self) -> tuple[float, float]:
        """Centre of the footprint."""
        return (self.low[0] + self.high[0]) / 2.0, (self.low[1] + self.high[1]) / 2.0


@dataclass(frozen=True, slots=True)
class Ground:
    """The floor under a tray: slope along x and y, plate (upright), room in plan, clearance, keys."""

    slope: tuple[float, float]
    thick: float
    room: Area
    gap: float
    rim: float
    channel: float


@dataclass(frozen=True, slots=True)
class Layout:
    """A tray in plan. plate: several pieces where room keeps them apart. straps, posts: how many there are;
    unstrapped, unrelieved: ids (and sides) that there was no room for.
    """

    plate: Area
    raised: tuple[Raised, ...]
    hollows: tuple[Hollow, ...]
    pegs: tuple[Peg, ...]
    straps: int
    posts: int
    unstrapped: tuple[str, ...]
    unrelieved: tuple[str, ...]


@dataclass(slots=True)
class Plan:
    """A tray while it is laid out."""

    outline: list[shapely.Polygon] = field(default_factory=list)
    raised: list[Raised] = field(default_factory=list)
    hollows: list[Hollow] = field(default_factory=list)
    pegs: list[Peg] = field(default_factory=list)
    cuts: list[shapely.Polygon] = field(default_factory=list)
    windows: list[shapely.Polygon] = field(default_factory=list)
    unstrapped: list[str] = field(default_factory=list)
    unrelieved: list[str] = field(default_factory=list)
    straps: int = 0
    posts: int = 0


@lru_cache(maxsize=32)
def planned(things: tuple[Thing, ...], ground: Ground) -> Layout:
    """The tray of some things on a floor; the last ones are remembered."""
    plan = Plan()
    for one in things:
        plan.outline.append(_grown(one.foot, ground.rim))
    for one, other in pairwise(sorted(things, key=lambda each: each.middle)):
        line = shapely.LineString([one.middle, other.middle])
        plan.outline.append(line.buffer(JOIN / 2.0, cap_style="flat"))
    for one in things:
        if one.holes is None:
            _straps(plan, one, things, ground)
            _rims(plan, one, ground)
        else:
            _pegs(plan, one, ground)
        _reliefs(plan, one, things, ground)
        plan.windows.append(_window(one))
    whole = eased(area_of(shapely.union_all(plan.outline).intersection(ground.room)), CORNER)
    plan.raised.sort(key=lambda each: (not each.level, -each.top, each.ring))
    return Layout(
        _plate(plan, whole), tuple(plan.raised), tuple(plan.hollows), tuple(plan.pegs),
        plan.straps, plan.posts, tuple(plan.unstrapped), tuple(plan.unrelieved),
    )  # fmt: skip


def _plate(plan: Plan, whole: Area) -> Area:
    """The outline less slots and windows; a window keeps off slots, grooves and all that stands."""
    rings = [each.ring for each in plan.raised] + [each.ring for each in plan.hollows]
    kept = [shapely.Polygon(ring).buffer(WALL) for ring in rings]
    kept += [cut.buffer(_STEP) for cut in plan.cuts]
    open_ = shapely.union_all(plan.windows).difference(shapely.union_all(kept))
    half = WINDOW[1] / 2.0
    eased = open_.buffer(-half).buffer(half - _STEP).buffer(_STEP, quad_segs=SIDES // 4).intersection(open_)
    return area_of(whole.difference(shapely.union_all([eased, *plan.cuts])))


def _window(one: Thing) -> shapely.Polygon:
    return one.foot.buffer(-WINDOW[0], join_style="mitre")


def _grown(area: shapely.Polygon, by: float) -> shapely.Polygon:
    grown = area.buffer(by, join_style="mitre")
    return shapely.box(*grown.bounds) if by > 0.0 else area


def _ground(ground: Ground, x: float, y: float) -> float:
    return ground.slope[0] * x + ground.slope[1] * y


def _raise(plan: Plan, area: Area, top: float, level: bool, room: Area) -> None:
    """Something that stands within the room; slivers thinner than a wall are left out."""
    for part in shapely.get_parts(area.intersection(room)):
        if isinstance(part, shapely.Polygon) and not part.buffer(-0.45).is_empty:
            plan.raised.append(Raised(ring_of(part), round(top, 6), level))


def _rims(plan: Plan, one: Thing, ground: Ground) -> None:
    """At each corner of a box a pad under its edge, and an angle about it; air gets under the box between."""
    frame = area_of(_grown(one.foot, ground.gap).difference(one.foot.buffer(-PAD, join_style="mitre")))
    heights = [one.bottom - _ground(ground, x, y) - ground.thick for x, y in one.foot.exterior.coords]
    if min(heights) <= LAYER < max(heights):
        # where the floor slopes up to the box the pad runs out: no thinner than a layer
        frame = _deep(frame, one, ground)
    ring = _grown(one.foot, ground.gap + WALL).difference(_grown(one.foot, ground.gap))
    legs = [min(10.0, max(4.0, 0.22 * (b - a))) for a, b in zip(one.low, one.high, strict=True)]
    top = one.bottom + min(RIM_HIGH, 0.4 * one.tall)
    x0, y0, x1, y1 = _grown(one.foot, ground.gap + WALL).bounds
    for cx in (x0, x1):
        for cy in (y0, y1):
            corner = shapely.box(cx - legs[0], cy - legs[1], cx + legs[0], cy + legs[1])
            _raise(plan, area_of(ring.intersection(corner)), top, True, ground.room)
            if max(heights) > LAYER:
                _raise(plan, area_of(frame.intersection(corner)), one.bottom, True, ground.room)


def _deep(frame: Area, one: Thing, ground: Ground) -> Area:
    """The part of a pad that is at least a layer high, in steps of `_STEP` along x."""
    x0, y0, x1, y1 = one.foot.bounds
    cells = []
    for x in np.arange(x0, x1 - 1e-9, _STEP).tolist():
        ends = (x, min(x + _STEP, x1))
        if all(one.bottom - _ground(ground, at, y) - ground.thick > LAYER for at in ends for y in (y0, y1)):
            cells.append(shapely.box(ends[0], y0, ends[1], y1))
    return area_of(frame.intersection(shapely.union_all(cells)))


def _pegs(plan: Plan, one: Thing, ground: Ground) -> None:
    """A peg on its pad under every hole of a board."""
    if one.holes is None:
        return
    x, y = one.middle
    for sx in (-0.5, 0.5):
        for sy in (-0.5, 0.5):
            at = (x + sx * one.holes[0], y + sy * one.holes[1])
            foot = shapely.Point(at).buffer((one.peg + PEG_FOOT) / 2.0, quad_segs=SIDES // 4)
            plan.outline.append(foot.buffer(WALL))
            if one.bottom - _ground(ground, *at) - ground.thick > LAYER:
                _raise(plan, foot, one.bottom, True, ground.room)
            plan.pegs.append(Peg(round(at[0], 6), round(at[1], 6), one.bottom, PEG_HIGH, one.peg))


def _straps(plan: Plan, one: Thing, things: Sequence[Thing], ground: Ground) -> None:
    """Two slots beside a box, a groove between them under the plate; across y, else across x."""
    others = shapely.union_all([each.foot for each in things if each is not one] or [shapely.Polygon()])
    for axis in (1, 0):
        slots, ears = zip(*(_slot(one, axis, side, ground) for side in (-1.0, 1.0)), strict=True)
        if all(ground.room.contains(ear) and not ear.intersects(others) for ear in ears):
            plan.outline.extend(ears)
            plan.cuts.extend(slots)
            depth = round(ground.thick - WEB, 6)
            if depth > 0.2:
                x0, y0, x1, y1 = shapely.union_all(slots).bounds
                plan.hollows.append(Hollow(ring_of(shapely.box(x0, y0, x1, y1)), 0.0, depth))
            plan.straps += 1
            return
    plan.unstrapped.append(one.id)


def _slot(one: Thing, axis: int, side: float, ground: Ground) -> tuple[shapely.Polygon, shapely.Polygon]:
    """One slot and the ear of the plate about it; axis: across which the strap runs."""
    edge = one.high[axis] if side > 0.0 else one.low[axis]
    inner, outer = edge + side * ground.gap, edge + side * (ground.gap + STRAP[1])
    along = one.middle[1 - axis]
    slot = _rect(axis, (inner, outer), (along - STRAP[0] / 2.0, along + STRAP[0] / 2.0))
    half = STRAP[0] / 2.0 + _STEP
    ear = _rect(axis, (edge, outer + side * 1.5), (along - half, along + half))
    return slot, ear


def _rect(axis: int, across: tuple[float, float], along: tuple[float, float]) -> shapely.Polygon:
    """A rectangle: `across` on the axis given (0: x), `along` on the other."""
    (a0, a1), (b0, b1) = sorted(across), sorted(along)
    return shapely.box(a0, b0, a1, b1) if axis == 0 else shapely.box(b0, a0, b1, a1)


def _reliefs(plan: Plan, one: Thing, things: Sequence[Thing], ground: Ground) -> None:
    """Strain relief for every wire, at the best side that has room; wires of one side share it."""
    used: set[str] = set()
    for ways in one.ways:
        way = next((way for way in ways if way in used or _relief(plan, one, way, things, ground)), None)
        if way is None:
            plan.unrelieved.append(f"{one.id} {ways[0]}")
        else:
            used.add(way)


def _relief(plan: Plan, one: Thing, way: str, things: Sequence[Thing], ground: Ground) -> bool:
    """Where wires leave: a post with a tunnel for a cable tie, then a channel to the tray's edge; False where
    there is no room.
    """
    axis, sign = ("x", "y").index(way[1]), 1.0 if way[0] == "+" else -1.0
    edge = (one.high if sign > 0.0 else one.low)[axis] + sign * (ground.gap + WALL + 1.0)
    across = one.middle[1 - axis]
    half = ground.channel / 2.0

    def strip(start: float, stop: float, left: float, right: float) -> shapely.Polygon:
        return _rect(axis, (edge + sign * start, edge + sign * stop), (across + left, across + right))

    taken = [_grown(each.foot, ground.gap + WALL) for each in things if each is not one]
    taken += [cut.buffer(1.0) for cut in plan.cuts]
    free = area_of(ground.room.difference(shapely.union_all(taken)))
    wide = half + WALL + 1.0
    if not free.contains(strip(0.0, POST[0] + 0.5, -wide, wide)):
        return False
    start, stop = POST[0] + 1.0, POST[0] + 1.0 + CHANNEL_LONG
    channel = free.contains(strip(0.0, stop, -wide, wide))
    plan.outline.append(strip(-3.0 - WALL, stop if channel else POST[0] + 0.5, -wide, wide))
    top = ground.thick + POST[2] + POST[3]
    post = strip(0.0, POST[0], -half, half)
    plan.raised.append(Raised(ring_of(post), round(top, 6), False))
    side = (POST[0] - POST[1]) / 2.0
    tunnel = strip(side, side + POST[1], -half - 0.01, half + 0.01)
    plan.hollows.append(Hollow(ring_of(tunnel), round(ground.thick, 6), round(ground.thick + POST[2], 6)))
    plan.posts += 1
    if channel:
        for left in (-half - WALL, half):
            wall = strip(start, stop, left, left + WALL)
            plan.raised.append(Raised(ring_of(wall), round(ground.thick + CHANNEL_HIGH, 6), False))
    return True
