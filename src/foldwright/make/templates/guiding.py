"""How each line of a blank is guided by its plate: slot, groove, notch, hole or the plate's own edge [mm]."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
import shapely

from foldwright.design.workshop import Template
from foldwright.geometry.solid.core import Area
from foldwright.make.drawing import Pen
from foldwright.make.templates.areas import joined, largest, polygons
from foldwright.make.templates.edges import Openings
from foldwright.make.templates.halves import Cover
from foldwright.make.templates.model import Guide
from foldwright.make.templates.notches import DEEP_MM, End, ends_at_edge, notches
from foldwright.make.templates.plate_letters import style
from foldwright.make.templates.rim import NECK_MM, bar_width
from foldwright.make.templates.slots import BESIDE_MM, BRIDGE_MM, PRICK_MM, Wanted, opened, prick
from foldwright.make.templates.tabs import Ground, Tab, tabs_for
from foldwright.make.templates.traces import Trace
from foldwright.make.templates.units import Unit, units_of

How = Literal["slot", "groove", "notch", "hole", "edge", "none"]
Words = Sequence[tuple[str, ...]]
Bodied = Callable[[Sequence[shapely.Polygon]], shapely.Polygon]

_BESIDE_EDGE = 2.5
_HOLE_BESIDE = 1.5
_HAIR = 0.02
_THIN, _SHARP = 0.45, 10.0
_CRUMB_MM2 = 20.0
_GROOVE_CLEAR = 0.6
_GROOVE: How = "groove"
_SLOT: How = "slot"
_LEAST_SHARED = 1.0
# From these lengths on a line is ruled between its loose ends (none, one, two) rather than given a bar, mm.
_RULED = (0.0, 90.0, 140.0)
_ORDER: Mapping[Pen, int] = {"cut": 0, "to_paper": 1, "crush": 2, "mark": 3}


@dataclass(frozen=True, slots=True, eq=False)
class Guided:
    """A plate's material and what is taken from it.

    body: before slots. guides: in the order of the traces. ends: where lines leave the plate. tabs: places
    for words. lost: area that would hang on by less than two printed lines and is left out, mm²; crumbs
    and what lies beyond the middle line do not count.
    """

    body: shapely.Polygon
    through: Area
    grooves: tuple[shapely.Polygon, ...]
    guides: tuple[Guide, ...]
    ends: tuple[End, ...]
    tabs: tuple[Tab, ...]
    lost: float


def guided(
    cover: Cover, words: Words, edge: shapely.Polygon, holes: Openings, body_of: Bodied, template: Template
) -> Guided:
    """Material, openings and guides for all lines of what a plate covers.

    words: of each line. body_of: the plate's material for the pads that lines inside need.
    """
    traces = cover.traces
    how: dict[int, How] = _at_edges(cover)
    pricked = {n for n, trace in enumerate(traces) if trace.sign is not None or trace.corners is not None}
    lines = [n for n in range(len(traces)) if n not in how and n not in pricked]
    ends = _renumbered(ends_at_edge([traces[n].points for n in lines], edge), lines)
    inner = [n for n in lines if not _across(n, traces[n], ends)]
    near = template.slot_mm + BESIDE_MM
    wanted = [_wanted(unit, ends, template, ruled=True) for unit in units_of(traces, inner, near)]
    ground = Ground(edge, template.rim_mm, style(template.letter_mm, template.stem_mm))
    tabs = tabs_for(ground, wanted, traces, words)
    body = body_of([*_pads(wanted, template), *_sign_pads(traces), *(tab.area for tab in tabs)])
    if _is_full(body, edge):
        wanted = [_wanted(unit, ends, template, ruled=False) for unit in units_of(traces, lines, near)]
    cuts = notches([*ends, *_middle_ends(cover, edge)], template.offset)
    pricks = _pricks(traces, body, how)
    taken = [*pricks.values(), *holes.pricks, *cuts]
    made = opened(_in_order(wanted, traces), body, taken, traces)
    how.update(dict.fromkeys(made.grooved, _GROOVE))
    how.update(dict.fromkeys(made.slotted, _SLOT))
    far = _end_holes(traces, [n for n in lines if n not in made.slotted], ends, body, [*made.slots, *taken])
    for n in lines:
        if n not in how:
            how[n] = "notch" if _across(n, traces[n], ends) else "hole" if n in far else "none"
        elif how[n] == "groove" and _across(n, traces[n], ends):
            how[n] = "notch"
    every = joined([*made.slots, *taken, *(hole for some in far.values() for hole in some)])
    through = joined([every.intersection(body), *holes.cut])
    crumbs = _crumbs(body, through)
    through = joined([through, *(crumb.buffer(_HAIR) for crumb in crumbs)])
    # a groove that met an opening at a corner would leave an edge of no thickness
    clear = body.difference(through).buffer(-_GROOVE_CLEAR)
    runs = polygons(joined(made.grooves).intersection(clear), 1.0)
    grooves = tuple(polygons(joined(run.buffer(_HAIR, join_style="mitre") for run in runs)))
    guides = tuple(_guide(trace, how[number]) for number, trace in enumerate(traces))
    return Guided(body, through, grooves, guides, ends, tabs, _lost(cover, crumbs))


def _at_edges(cover: Cover) -> dict[int, How]:
    """Lines that run along an edge of the blank so closely that the edge is their guide."""
    boundary = cover.area.boundary.buffer(_BESIDE_EDGE)
    shapely.prepare(boundary)
    return {
        number: "edge"
        for number, trace in enumerate(cover.traces)
        if trace.sign is None and shapely.covers(boundary, trace.line)
    }


def _guide(trace: Trace, how: How) -> Guide:
    return Guide(trace.name, trace.pen, trace.face, trace.points, how, trace.only)


def _renumbered(ends: Sequence[End], numbers: Sequence[int]) -> tuple[End, ...]:
    return tuple(End(numbers[end.trace], end.which, end.at, end.inward) for end in ends)


def _across(number: int, trace: Trace, ends: Sequence[End]) -> bool:
    """Whether a rule can be laid from notch to notch."""
    return trace.straight and {end.which for end in ends if end.trace == number} == {0, 1}


def _middle_ends(cover: Cover, edge: shapely.Polygon) -> tuple[End, ...]:
    """The middle line of a plate that is turned over, notched at both edges."""
    if cover.middle is None or cover.use != "turn over":
        return ()
    return ends_at_edge([cover.middle], edge)


def _pads(wanted: Sequence[Wanted], template: Template) -> list[shapely.Polygon]:
    """Material under slots that no rule reaches from edge to edge."""
    half = bar_width(template.rim_mm, template.slot_mm, BESIDE_MM) / 2.0
    pads: list[shapely.Polygon] = []
    for one in wanted:
        wide = half + max(0.0, one.width - template.slot_mm) / 2.0
        lines = [shapely.LineString(one.unit.points)] if one.ends_only is None else one.runs()
        pads += [line.buffer(wide, cap_style="square", join_style="mitre") for line in lines]
    return pads


def _sign_pads(traces: Sequence[Trace]) -> list[shapely.Polygon]:
    signs = {tuple(np.round(t.sign, 3).tolist()): t.sign for t in traces if t.sign is not None}
    pads: list[shapely.Polygon] = [
        shapely.Point(at).buffer(NECK_MM * 0.7, quad_segs=4) for at in signs.values()
    ]
    rings = [trace.corners for trace in traces if trace.corners is not None]
    return [*pads, *(shapely.Polygon(ring).buffer(NECK_MM / 2.0, join_style="mitre") for ring in rings)]


def _pricks(
    traces: Sequence[Trace], body: Area, how: dict[int, How]
) -> dict[tuple[float, ...], shapely.Polygon]:
    """A hole for each sign, which the two lines of its cross share, and for each corner of a footprint."""
    found: dict[tuple[float, ...], shapely.Polygon] = {}
    room = body.buffer(-PRICK_MM / 2.0 - _HOLE_BESIDE)
    for number, trace in enumerate(traces):
        places = trace.corners if trace.sign is None else trace.sign[None, :]
        if places is None or number in how:
            continue
        shown = 0
        for at in places:
            key = tuple(np.round(at, 1).tolist())
            near = any(
                hole.distance(shapely.Point(at)) < PRICK_MM / 2.0 + _HOLE_BESIDE for hole in found.values()
            )
            if key in found or (not near and shapely.covers(room, shapely.Point(at))):
                found.setdefault(key, prick(at))
                shown += 1
        how[number] = "hole" if 2 * shown >= len(places) else "none"
    return found


def _is_full(body: shapely.Polygon, edge: shapely.Polygon) -> bool:
    return edge.area - body.area < 1.0


def _wanted(unit: Unit, ends: Sequence[End], template: Template, *, ruled: bool) -> Wanted:
    """A slot that stops short of the notches at its ends, a bridge's length away; of a long line that a rule
    can be laid along, the loose ends alone.
    """
    clear = [0.0, 0.0]
    for end in ends:
        if end.trace not in unit.members:
            continue
        which = int(np.argmin(np.hypot(*(unit.points[[0, -1]] - end.at).T)))
        inside = float((end.at - unit.points[-which]) @ end.inward)
        clear[which] = max(clear[which], max(0.0, inside) + DEEP_MM + BRIDGE_MM)
    width = template.slot_mm
    if unit.gap > 0.0:
        width = max(unit.gap + 2.0 * template.offset, _LEAST_SHARED)
    loose = (clear[0] == 0.0, clear[1] == 0.0)
    length = float(np.hypot(*np.diff(unit.points, axis=0).T).sum())
    long = ruled and len(unit.points) == 2 and length > _RULED[sum(loose)]
    return Wanted(unit, width, (clear[0], clear[1]), loose if long else None)


def _in_order(wanted: Sequence[Wanted], traces: Sequence[Trace]) -> list[Wanted]:
    """Cuts before folds before marks, the longer first."""

    def rank(one: Wanted) -> tuple[int, float, int]:
        first = min(_ORDER.get(traces[n].pen, 9) for n in one.unit.members)
        return first, -round(max(traces[n].line.length for n in one.unit.members), 3), one.unit.members[0]

    return sorted(wanted, key=rank)


def _end_holes(
    traces: Sequence[Trace], numbers: Sequence[int], ends: Sequence[End], body: Area,
    taken: Sequence[shapely.Polygon],
) -> dict[int, list[shapely.Polygon]]:  # fmt: skip
    """Holes at those ends of unslotted straight lines that lie inside the plate, where there is room."""
    notched = {(end.trace, end.which) for end in ends}
    room = body.buffer(-PRICK_MM / 2.0 - _HOLE_BESIDE)
    others = list(taken)
    found: dict[int, list[shapely.Polygon]] = {}
    for n in numbers:
        free = [which for which in (0, 1) if (n, which) not in notched and traces[n].straight]
        for which in free:
            hole = prick(traces[n].points[-which])
            ground = hole.buffer(_HOLE_BESIDE)
            if shapely.covers(room, shapely.Point(traces[n].points[-which])) and not any(
                ground.intersects(other) for other in others
            ):
                others.append(hole)
                found.setdefault(n, []).append(hole)
    return found


def _lost(cover: Cover, crumbs: Sequence[shapely.Polygon]) -> float:
    beyond = shapely.Polygon() if cover.cut is None else cover.cut.buffer(_HAIR)
    return float(sum(one.area for one in crumbs if one.area > _CRUMB_MM2 and not one.intersects(beyond)))


def _crumbs(body: shapely.Polygon, through: Area) -> list[shapely.Polygon]:
    """What hangs on the rest by less than two printed lines, or by nothing."""
    section = body.difference(through)
    whole = largest(section.buffer(-_THIN, join_style="mitre", mitre_limit=_SHARP))
    whole_again = whole.buffer(1.01 * _THIN, join_style="mitre", mitre_limit=_SHARP)
    return polygons(section.difference(whole_again))
