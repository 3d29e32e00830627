"""Slots with bridges, grooves and pricked holes over the lines of a blank [mm]."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil

import numpy as np
import shapely
from shapely.ops import substring

from foldwright.base.types import FloatArray
from foldwright.geometry.solid.core import Area
from foldwright.geometry.solid.shape import disc
from foldwright.make.templates.areas import largest, lines, polygons
from foldwright.make.templates.traces import Trace
from foldwright.make.templates.units import Unit

BESIDE_MM = 3.0
"""Material left beside a slot, and between two; less would weaken the plate."""

BRIDGE_MM, BRIDGE_STEP_MM, UNBRIDGED_MM = 4.0, 60.0, 40.0
"""Length of a bridge, about how far apart bridges are, and the longest slot that needs none."""

PRICK_MM = 2.0
"""Hole for the point of a pencil or an awl."""

STUB_MM = 14.0
"""Length of a slot that shows only the end of a line which is ruled [judgement]."""

POINT_MM = 1.5
"""How far the point for a middle line reaches beyond the ends of its slot."""

LEAST_PIECE, SHARE = 5.0, 0.35
"""Shortest piece of a slot, and the least share of a line that has to be open; of one that needs no bridge
one piece shows enough [judgement].
"""

_GROOVE_MM = 0.8
_GROOVES_APART = 1.6


@dataclass(frozen=True, slots=True, eq=False)
class Wanted:
    """A slot that is wanted over a line or over lines side by side.

    clear: what stays closed at its first and last end, where it runs out at a notch. ends_only: at which ends
    (first, last) a stub is enough, since the line is ruled; None for the whole length. width: of the slot;
    its walls are the lines themselves, less what the tool keeps from them, where there are several.
    """

    unit: Unit
    width: float
    clear: tuple[float, float] = (0.0, 0.0)
    ends_only: tuple[bool, bool] | None = None

    def runs(self) -> list[shapely.LineString]:
        """The stretches to be opened."""
        line = shapely.LineString(self.unit.points)
        start, stop = self.clear[0], line.length - self.clear[1]
        if stop - start <= LEAST_PIECE:
            return []
        if self.ends_only is None:
            return lines(substring(line, start, stop))
        stub = min(STUB_MM, (stop - start) / 2.0)
        places = ((start, start + stub), (stop - stub, stop))
        stubs = [substring(line, *place) for place, here in zip(places, self.ends_only, strict=True) if here]
        return [one for part in stubs for one in lines(part)]


@dataclass(frozen=True, slots=True, eq=False)
class Opened:
    """Slots and grooves made: areas, and the numbers of the lines that have which."""

    slots: tuple[shapely.Polygon, ...]
    grooves: tuple[shapely.Polygon, ...]
    slotted: frozenset[int]
    grooved: frozenset[int]


def bridged(line: shapely.LineString) -> list[shapely.LineString]:
    """A line in pieces with bridges between: none where it is short, else about every 60 mm, all alike."""
    if line.length <= UNBRIDGED_MM:
        return [line]
    count = max(1, ceil(line.length / BRIDGE_STEP_MM) - 1)
    piece = (line.length - count * BRIDGE_MM) / (count + 1)
    starts = [number * (piece + BRIDGE_MM) for number in range(count + 1)]
    return [one for start in starts for one in lines(substring(line, start, start + piece))]


def opened(
    wanted: Sequence[Wanted], body: Area, holes: Sequence[shapely.Polygon], traces: Sequence[Trace]
) -> Opened:
    """Slots over lines, in order, where they leave enough beside them; else grooves.

    holes: what is open already. A slot is broken where an earlier one crosses it.
    """
    safe: dict[float, Area] = {}
    slots: list[shapely.Polygon] = []
    grooves: list[shapely.Polygon] = []
    slotted: set[int] = set()
    grooved: set[int] = set()
    for one in wanted:
        keep = round(one.width / 2.0 + BESIDE_MM, 3)
        if keep not in safe:
            safe[keep] = body.buffer(-keep + 1e-3, join_style="mitre")
        runs = one.runs()
        pieces = [piece for run in runs for piece in _free(run, safe[keep], [*holes, *slots], keep)]
        whole = sum(run.length for run in runs)
        if pieces and (whole <= UNBRIDGED_MM or sum(piece.length for piece in pieces) >= SHARE * whole):
            slots += [_slot(bit, one) for piece in pieces for bit in bridged(piece)]
            slotted.update(one.unit.members)
            continue
        for row in one.unit.rows:
            groove = _groove(traces[row[0]].line, body, grooves, slots)
            if groove is not None:
                grooves.append(groove)
                grooved.update(row)
    return Opened(tuple(slots), tuple(grooves), frozenset(slotted), frozenset(grooved))


def _slot(bit: shapely.LineString, one: Wanted) -> shapely.Polygon:
    """One opening: round at its ends over one line; over several its walls are the outermost, with a point at
    each end for the middle one.
    """
    if not one.unit.walls:
        return bit.buffer(one.width / 2.0, quad_segs=4)
    strip = bit.buffer(one.width, cap_style="flat")
    box = largest(shapely.convex_hull(_walls(one)).intersection(strip))
    if one.unit.third is None:
        return box
    p, q = np.asarray(bit.coords)[[0, -1]]
    along = (q - p) / np.hypot(*(q - p))
    third = one.unit.third * np.array([-along[1], along[0]])
    ends = shapely.MultiPoint([p - POINT_MM * along + third, q + POINT_MM * along + third])
    return largest(shapely.convex_hull(shapely.union_all([box, ends])))


def _walls(one: Wanted) -> shapely.MultiLineString:
    """The outermost lines, moved outward by what the tool keeps from a wall."""
    low, high = one.unit.walls[0], one.unit.walls[-1]
    run = one.unit.points[-1] - one.unit.points[0]
    left = np.array([-run[1], run[0]]) / np.hypot(*run)
    out = (one.width - one.unit.gap) / 2.0
    return shapely.MultiLineString([low - out * left, high + out * left])


def _free(
    run: shapely.LineString, safe: Area, taken: Sequence[shapely.Polygon], keep: float
) -> list[shapely.LineString]:
    """The stretches of a line that a slot may take."""
    left = run.intersection(safe)
    near = [other.buffer(keep, quad_segs=4) for other in taken if other.dwithin(run, keep)]
    if near:
        left = left.difference(shapely.union_all(near))
    return lines(left, LEAST_PIECE)


def _groove(
    line: shapely.LineString, body: Area, grooves: Sequence[shapely.Polygon], slots: Sequence[shapely.Polygon]
) -> shapely.Polygon | None:
    """A groove where the line runs over the plate, if it can be told from its neighbours."""
    if any(_beside(line, other) for other in (*grooves, *slots) if other.dwithin(line, _GROOVES_APART)):
        return None
    run = line.buffer(_GROOVE_MM / 2.0, cap_style="flat").intersection(body)
    near = [slot.buffer(_GROOVE_MM, quad_segs=4) for slot in slots if slot.dwithin(run, _GROOVE_MM)]
    if near:
        run = run.difference(shapely.union_all(near))
    return next(iter(polygons(run, _GROOVE_MM * LEAST_PIECE)), None)


def _beside(line: shapely.LineString, other: shapely.Polygon) -> bool:
    """Whether another groove or slot runs along a line, not just across it."""
    return bool(line.buffer(_GROOVES_APART).intersection(other).area > 0.5 * other.area)


def prick(at: FloatArray, diameter: float = PRICK_MM) -> shapely.Polygon:
    """A hole for the tool's point."""
    return disc((float(at[0]), float(at[1])), diameter, 16)
