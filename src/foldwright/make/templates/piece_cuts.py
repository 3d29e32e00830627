"""Where a plate is cut so that its pieces fit the bed: few pieces, straight cuts, keyed joints.

A region too large is cut in two, square to its long side or to the other, and each side again. Cuts are tried
near the even shares of its length; those that meet a hole, an opening or another joint are passed over.
Lengths in mm.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cached_property
from math import ceil

import numpy as np
import numpy.typing as npt
import shapely
from shapely.geometry.base import BaseGeometry

from foldwright.base.types import FloatArray
from foldwright.geometry.solid.core import Area
from foldwright.make.templates.keys import (
    LEAST_NECK_MM,
    Fit,
    Ground,
    Joint,
    Line,
    crossings,
    cut_apart,
    half_planes,
    joint_at,
    padded,
)
from foldwright.make.templates.piece_fit import Room, longest, turn_to_fit

_STEP = 1.5
_CUTS = 2
_APART = 5.0
_TRIES = 30
# A cut with one joint fewer is worth this much off its best place, mm.
_JOINT = 6.0
_WORDS = 10.0
_BRIDGE = 5.0
_MORE = 6
_NODES = 160
_REGIONS = 60
_THIN = 0.5 * LEAST_NECK_MM - 0.05
# Corners and walls beside sockets are thin by nature: less than this is no strip, mm².
_STRIP = 25.0
_SPECK = 0.5
# Corners of offsets, and what rounding by so few takes from them.
_ROUND, _EASE = 4, 0.08
_LEAST_PIECE = 300.0
_MOST_BRIDGE = 30.0
_CLEAR = 2.0


@dataclass(frozen=True, slots=True, eq=False)
class Task:
    """What the search works with. sizes: keys, the usual one first. slot: width of slots. words: boxes of
    the plate's letters, which a joint had better not cross.
    """

    room: Room
    sizes: tuple[Fit, ...]
    slot: float
    words: BaseGeometry


@dataclass(frozen=True, slots=True, eq=False)
class Cut:
    """One cut through one region. sides: connected areas on its two sides; pad: what was added to
    the region for the joints.
    """

    line: Line
    fit: Fit
    joints: tuple[Joint, ...]
    sides: tuple[shapely.Polygon, ...]
    gap: Area
    pad: BaseGeometry


@dataclass(frozen=True, slots=True, eq=False)
class Division:
    """A plate's body in pieces that fit, and the cuts that made them."""

    pieces: tuple[shapely.Polygon, ...]
    cuts: tuple[Cut, ...]


@dataclass(frozen=True, eq=False)
class _Region:
    """A connected part of the plate that is still to be looked at. whence, cut: the ground it was cut from,
    and the cut; None for all of the plate.
    """

    body: Area
    fits: bool
    whence: Ground
    cut: Cut | None = None

    @cached_property
    def ground(self) -> Ground:
        """What its joints are fitted to; reckoned where it has to be cut."""
        return self.whence if self.cut is None else _side(self.whence, self.cut, self.body)


class Search:
    """The search for one plate; counts what it has tried, so that it ends."""

    def __init__(self, task: Task) -> None:
        self.task = task
        self._left = _NODES
        self._regions = _REGIONS
        self._known: dict[int, tuple[_Region, list[Cut]]] = {}
        self._sided: dict[int, list[_Region]] = {}

    def divide(self, ground: Ground) -> Division | None:
        """The fewest pieces that this finds; None where no allowed cut helps."""
        region = _Region(ground.body, self._fits(ground.body), ground)
        least = _least(region, self.task.room)
        for count in range(least, least + _MORE + 1):
            self._left = _NODES
            found = self._into(region, count)
            if found is not None:
                return found
        return None

    def _fits(self, body: Area) -> bool:
        return turn_to_fit(body, self.task.room) is not None

    def _into(self, region: _Region, count: int) -> Division | None:
        """A region in no more than `count` pieces."""
        if region.fits:
            return Division((_polygon(region.body),), ())
        if count < 2 or self._left <= 0:
            return None
        for cut in self._cuts(region, count):
            self._left -= 1
            sides = self._sides_of(region, cut)
            least = [_least(side, self.task.room) for side in sides]
            if sum(least) > count:
                continue
            found = self._sides(sides, least, count)
            if found is not None:
                pieces = tuple(piece for one in found for piece in one.pieces)
                return Division(pieces, (cut, *(more for one in found for more in one.cuts)))
        return None

    def _sides_of(self, region: _Region, cut: Cut) -> list[_Region]:
        """What a cut leaves, kept."""
        if id(cut) not in self._sided:
            made = [_Region(one, self._fits(one), region.ground, cut) for one in cut.sides]
            self._sided[id(cut)] = made
        return self._sided[id(cut)]

    def _sides(self, sides: list[_Region], least: list[int], count: int) -> list[Division] | None:
        """Each side in pieces, no more than `count` in all."""
        found: list[Division] = []
        spare = count - sum(least)
        for side, needs in zip(sides, least, strict=True):
            one = next((d for n in range(needs, needs + spare + 1) if (d := self._into(side, n))), None)
            if one is None:
                return None
            spare -= len(one.pieces) - needs
            found.append(one)
        return found

    def _cuts(self, region: _Region, count: int) -> Iterator[Cut]:
        """Cuts of a region, the likeliest first; kept, as the search comes by again."""
        kept = self._known.setdefault(id(region), (region, []))[1]
        if not kept and self._regions > 0:
            self._regions -= 1
            kept += _cuts(region, count, self.task)
        yield from kept


def _polygon(area: BaseGeometry) -> shapely.Polygon:
    """The largest polygon of a shape."""
    parts = [part for part in shapely.get_parts(area) if isinstance(part, shapely.Polygon)]
    return max(parts, key=lambda one: round(one.area, 6))


def _least(region: _Region, room: Room) -> int:
    """How few pieces a region as large as its box can come to."""
    if region.fits:
        return 1
    x0, y0, x1, y1 = region.body.bounds
    long, short = max(x1 - x0, y1 - y0), min(x1 - x0, y1 - y0)
    straight = ceil(long / room.long - 1e-9) * ceil(short / room.short - 1e-9)
    askew = longest(short, room)
    return max(2, min(straight, ceil(long / askew - 1e-9)) if askew > 0.0 else straight)


def _side(ground: Ground, cut: Cut, one: Area) -> Ground:
    """One side of a cut; its joints stay clear of what is cut later."""
    zones = shapely.union_all([joint.zone for joint in cut.joints])
    others = [side for side in cut.sides if side is not one]
    taken = shapely.union_all([cut.gap, *others]).buffer(_CLEAR, quad_segs=2)
    near = one.envelope.buffer(_CLEAR)
    mine_only = [part for part in shapely.get_parts(ground.fixed) if part.intersects(near)]
    fixed = shapely.union_all([*mine_only, zones.buffer(_CLEAR, quad_segs=2)])
    # each side is filled on its own side of the cut only, or both could fill the same window
    left, right = half_planes(ground.body, cut.line, _CLEAR)
    middle = np.asarray(one.centroid.coords[0]) - cut.line.at
    mine = left if float(middle @ cut.line.left) > 0.0 else right
    spare = ground.spare.difference(taken).intersection(mine)
    through = ground.through.difference(zones)
    return Ground(one, fixed, ground.lines, through, spare)


def _cuts(region: _Region, count: int, task: Task) -> list[Cut]:
    """A few sound cuts along each axis, those across the long side first; where none is found for the fewest
    pieces, for one more.
    """
    x0, y0, x1, y1 = region.body.bounds
    axes = [(x1 - x0, y1 - y0, x0, 0), (y1 - y0, x1 - x0, y0, 1)]
    axes.sort(key=lambda one: -one[0])
    found: list[Cut] = []
    natural = _Natural.of(region.body)
    for length, across, start, axis in axes:
        room = longest(across, task.room) or task.room.long
        if found and length <= task.room.short:
            continue
        fewest = max(2, ceil(length / room - 1e-9))
        span = _Span(start, length, room, min(fewest, max(2, count)))
        mine = _along(region, axis, span, task, natural)
        if not mine and length > task.room.short:
            mine = _along(region, axis, replace(span, shares=fewest + 1), task, natural)
        found += mine
    return found


def _along(region: _Region, axis: int, span: _Span, task: Task, natural: _Natural) -> list[Cut]:
    """The first few sound cuts square to an axis."""
    found: list[Cut] = []
    mine: list[float] = []
    for position in _places(region.ground, axis, span, task.words):
        if len(mine) >= _CUTS:
            break
        if any(abs(position - other) < _APART for other in mine):
            continue
        cut = _cut(region, _line(region.body, axis, position), task, natural)
        if cut is not None:
            mine.append(position)
            found.append(cut)
    return found


def _line(body: Area, axis: int, position: float) -> Line:
    """The cut square to an axis at a place of it."""
    x0, y0, _, _ = body.bounds
    if axis == 0:
        return Line(np.array([position, y0]), np.array([0.0, 1.0]))
    return Line(np.array([x0, position]), np.array([1.0, 0.0]))


@dataclass(frozen=True, slots=True)
class _Span:
    """A region along an axis: where it starts, how long it is, how long a piece may be, pieces wished for, 2
    or more.
    """

    start: float
    length: float
    room: float
    shares: int


def _places(ground: Ground, axis: int, span: _Span, words: BaseGeometry) -> list[float]:
    """Places of cuts along an axis, the likeliest first: near even shares, across few crossings and words."""
    start, length = span.start, span.length
    shares = span.shares
    ideal = [start + length * k / shares for k in range(1, shares)]
    reach = max(0.5 * (shares * span.room - length) + LEAST_NECK_MM, LEAST_NECK_MM)
    steps = np.arange(0.0, reach, _STEP)
    places = np.unique(np.round([p + s * d for p in ideal for s in (1, -1) for d in steps], 6))
    places = places[(places > start + 2 * LEAST_NECK_MM) & (places < start + length - 2 * LEAST_NECK_MM)]
    for one in (ground.fixed, ground.lines, words):
        shapely.prepare(one)
    crossed = shapely.intersection(_chords(ground.body, axis, places), ground.body)
    clear = ~shapely.intersects(crossed, ground.fixed)
    places, crossed = places[clear], crossed[clear]
    if not len(places):
        return []
    off = np.min(np.abs(places[:, None] - np.array(ideal)[None, :]), axis=1)
    # the middle ones first: they leave sides alike
    off += 1e-3 * np.abs(places - start - 0.5 * length)
    spoilt = shapely.intersects(crossed, words)
    bridged = shapely.intersects(crossed, ground.lines)
    cost = off + _JOINT * shapely.get_num_geometries(crossed) + 0.2 * shapely.length(crossed)
    cost += _WORDS * spoilt + _BRIDGE * bridged
    order = np.lexsort((places, np.round(cost, 3)))
    return [float(places[k]) for k in order[:_TRIES]]


def _chords(body: Area, axis: int, places: FloatArray) -> npt.NDArray[np.object_]:
    """Lines right across a body, one for each place."""
    x0, y0, x1, y1 = body.bounds
    low, high = (y0 - 1.0, y1 + 1.0) if axis == 0 else (x0 - 1.0, x1 + 1.0)
    ends: FloatArray = np.empty((len(places), 2, 2))
    ends[:, :, axis] = places[:, None]
    ends[:, 0, 1 - axis], ends[:, 1, 1 - axis] = low, high
    return np.asarray(shapely.linestrings(ends))


def _cut(region: _Region, line: Line, task: Task, natural: _Natural) -> Cut | None:
    """A sound cut along a line, with the keys on either side and of the largest size that will do."""
    narrow = crossings(region.body, line)
    for fit in task.sizes:
        pad = padded(narrow, line, region.ground, fit)
        ground, chords = region.ground, narrow
        if not pad.is_empty:
            ground = replace(ground, body=_polygon(region.body.union(pad)))
            pad = ground.body.difference(region.body)
            chords = crossings(ground.body, line)
        if not chords or min(_length(one) for one in chords) < fit.least_width - 1e-6:
            continue
        for way in (line, line.turned):
            joints = _joints(chords, way, ground, fit, task)
            if joints is None:
                continue
            left, right, gap = cut_apart(ground.body, way, joints, fit)
            sides = tuple(p for area in (left, right) for p in shapely.get_parts(area))
            cut = Cut(way, fit, joints, sides, gap, pad)
            if _sound(cut, ground, natural):
                return cut
    return None


def _length(ends: FloatArray) -> float:
    return float(np.hypot(*(ends[1] - ends[0])))


def _joints(
    chords: list[FloatArray], line: Line, ground: Ground, fit: Fit, task: Task
) -> tuple[Joint, ...] | None:
    """A joint at every crossing, or None where one has no room or would wipe out too much of a slot."""
    joints: list[Joint] = []
    for ends in chords:
        joint = joint_at(ends, line, ground, fit)
        if joint is None:
            return None
        wiped = ground.lines.intersection(joint.zone).area / task.slot
        if wiped > _MOST_BRIDGE * len(joint.places):
            return None
        joints.append(joint)
    return tuple(joints)


@dataclass(frozen=True, slots=True, eq=False)
class _Natural:
    """What a region has by itself: parts thinner than a neck, and how it hangs together without them."""

    thin: BaseGeometry
    thick: tuple[BaseGeometry, ...]

    @classmethod
    def of(cls, body: Area) -> _Natural:
        core = body.buffer(-_THIN, quad_segs=_ROUND)
        thin = body.difference(core.buffer(_THIN + _EASE, quad_segs=_ROUND)).buffer(0.3, quad_segs=2)
        return cls(thin, tuple(part for part in shapely.get_parts(core) if part.area > _SPECK))


def _sound(cut: Cut, ground: Ground, natural: _Natural) -> bool:
    """No scrap, no thin strip beside the cut, no neck that was not there, and each side one body."""
    if any(side.area < _LEAST_PIECE for side in cut.sides):
        return False
    zones = shapely.union_all([joint.zone for joint in cut.joints])
    # a zone meets no opening but slots and grooves, and those are bridged in it
    through = ground.through.difference(zones)
    for side in cut.sides:
        core = side.buffer(-_THIN, quad_segs=_ROUND)
        parts = sum(part.area > _STRIP for part in shapely.get_parts(core))
        if parts > max(1, sum(part.intersects(side) for part in natural.thick)):
            return False
        if _strips(side, core, natural.thin, zones):
            return False
        left = side.difference(through)
        if sum(part.area > _SPECK for part in shapely.get_parts(left)) != 1:
            return False
    return True


def _strips(side: shapely.Polygon, core: BaseGeometry, thin: BaseGeometry, zones: BaseGeometry) -> bool:
    """Whether a side has a strip thinner than a neck, where there was none and no socket is."""
    strips = shapely.get_parts(side.difference(core.buffer(_THIN + _EASE, quad_segs=_ROUND)))
    wide = [part for part in strips if part.area > _STRIP]
    if not wide:
        return False
    about = zones.buffer(1.0, quad_segs=2)
    rest = shapely.get_parts(shapely.union_all(wide).difference(thin).difference(about))
    return bool(any(part.area > _STRIP for part in rest))
