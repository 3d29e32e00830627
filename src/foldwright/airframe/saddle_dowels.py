"""Dowels through a body's sides that rubber bands hold a wing down by."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from math import acos, ceil, pi

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from foldwright.airframe.bench import Bought
from foldwright.airframe.box_shell import down, finding, up
from foldwright.airframe.model import Bar, MassItem, Note, PartBuild, Placed
from foldwright.airframe.saddle_cut import kind_of
from foldwright.airframe.section import cut_panels, placed, plane_frame, prisms
from foldwright.airframe.trim import room_of
from foldwright.base.finding import Finding, Param
from foldwright.base.types import FloatArray
from foldwright.design.parts import BandOn
from foldwright.geometry.fold.mass import line_moments, point_moments
from foldwright.geometry.fold.model import Blank, Panel
from foldwright.geometry.transform import apply, inverse

HOLE_PLAY_MM = 0.2  # common practice, no source: hole wider than the dowel
HOLE_EDGE_MM = 5.0  # common practice, no source: board left round a dowel's hole
BAND_ROOM_MM = 3.0  # judgement: a band needs this much between dowel and wing edge
ROUND = 0.02  # mm: how far a round hole's polygon lies outside its circle at most


@dataclass(frozen=True, slots=True, eq=False)
class Dowel:
    """One dowel. end: "front" or "rear". x, z: its middle, mm. ring (n, 2): its hole seen from the right."""

    end: str
    x: float
    z: float
    ring: FloatArray
    reach: float


@dataclass(frozen=True, slots=True, eq=False)
class Hit:
    """A side panel that a dowel goes through: the hole in its blank, the y of its outermost corner, mm."""

    blank: str
    panel: str
    hole: FloatArray
    low: float
    high: float


@dataclass(frozen=True, slots=True, eq=False)
class Doweled:
    """A body with holes, dowels and bands."""

    body: PartBuild
    findings: tuple[Finding, ...]
    notes: tuple[Note, ...] = ()
    figures: dict[str, float] = field(default_factory=dict)
    cut: tuple[str, ...] = ()


def with_dowels(wing: PartBuild, body: PartBuild, joint: BandOn, bought: Bought) -> Doweled:
    """Put both dowels through the sides of a body whose seat has been cut, and weigh them and the bands."""
    dowels = _dowels(joint, bought)
    solids = prisms(placed(wing.id, blank) for blank in wing.blanks)
    items = [placed(body.id, blank) for blank in body.blanks]
    inside = _inside(items)
    found: list[Finding] = []
    hits: list[Hit] = []
    bars: list[Bar] = []
    for dowel in dowels:
        mine, reasons = _holes(dowel, items, joint)
        found += reasons
        found += _in_the_way(dowel, inside, joint)
        if any(reason.verdict == "no-go" for reason in reasons):
            continue
        hits += mine
        low, high = min(hit.low for hit in mine), max(hit.high for hit in mine)
        y = np.array([low - joint.overhang_mm, high + joint.overhang_mm])
        ends = np.column_stack([np.full(2, dowel.x), y, np.full(2, dowel.z)])
        bars.append(
            Bar(
                f"{joint.id}/{dowel.end}-dowel", ends, bought.width, bought.height, bought.material,
                bought.form,
            )
        )  # fmt: skip
    sides = max((float(np.abs(bar.ends[:, 1]).max()) - joint.overhang_mm for bar in bars), default=0.0)
    sections = list(cut_panels(solids, plane_frame(sides)).values())
    wide = shapely.union_all(sections) if sections else shapely.Polygon()
    for dowel in dowels:
        found += _under_wing(dowel, wide, joint)
    figures, way = _band_figures(dowels, wide, bars, joint)
    masses = _masses(bars, bought, joint, wide)
    new = replace(
        body,
        blanks=tuple(_with_holes(blank, hits) for blank in body.blanks),
        bars=(*body.bars, *bars),
        masses=(*body.masses, *masses),
    )
    params: dict[str, Param] = {
        "part": wing.id, "other": body.id, "bands": joint.bands, "way": round(way)
    }  # fmt: skip
    cut = tuple(sorted(f"{hit.blank} {hit.panel}: hole for a dowel" for hit in hits))
    return Doweled(new, tuple(found), (Note("G170", wing.id, params),), figures, cut)


def _dowels(joint: BandOn, bought: Bought) -> tuple[Dowel, ...]:
    made = []
    for end, x, z in (
        ("front", joint.front_x_mm, joint.front_z_mm),
        ("rear", joint.rear_x_mm, joint.rear_z_mm),
    ):
        ring = _outline(bought) + np.array([x, z])
        made.append(Dowel(end, x, z, ring, max(bought.width, bought.height) / 2.0))
    return tuple(made)


def _outline(bought: Bought) -> FloatArray:
    """A dowel's hole round its middle, (n, 2) x and z; a round one touches the polygon's sides."""
    size = np.array([bought.width, bought.height]) / 2.0 + HOLE_PLAY_MM / 2.0
    if bought.form in ("strip", "square"):
        corners: FloatArray = size * np.array([(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)])
        return corners
    radius = float(size[0])
    # corners stand r (sec(pi/n) - 1) outside the circle
    count = max(16, 4 * ceil(pi / acos(radius / (radius + ROUND)) / 4.0))
    angle = 2.0 * pi * (np.arange(count) + 0.5) / count
    ring: FloatArray = radius / np.cos(pi / count) * np.column_stack([np.cos(angle), np.sin(angle)])
    return ring


def _sides(items: Sequence[Placed]) -> Iterator[tuple[Placed, Panel, int]]:
    """Side panels with the side they are on: 1 right, -1 left, 0 in the middle."""
    for item in items:
        for panel in item.blank.panels:
            matrix = item.transforms[panel.name]
            if kind_of(matrix) != "side":
                continue
            y = float(apply(matrix, np.append(panel.polygon.mean(axis=0), item.blank.thickness / 2.0))[1])
            yield item, panel, 0 if abs(y) < item.blank.thickness else (1 if y > 0.0 else -1)


def _through(dowel: Dowel, item: Placed, panel: Panel) -> tuple[FloatArray, FloatArray]:
    """The hole (n, 2) in a panel's blank that the dowel passes, and its corners on both faces (m, 3)."""
    matrix = item.transforms[panel.name]
    normal = matrix[:3, 2]
    corners = []
    for depth in (0.0, item.blank.thickness):
        place = apply(matrix, np.array([0.0, 0.0, depth]))
        off = (dowel.ring[:, 0] - place[0]) * normal[0] + (dowel.ring[:, 1] - place[2]) * normal[2]
        y = place[1] - off / normal[1]
        corners.append(np.column_stack([dowel.ring[:, 0], y, dowel.ring[:, 1]]))
    space = np.concatenate(corners)
    flat = apply(inverse(matrix), space)[:, :2].round(9)
    hull = shapely.MultiPoint(flat).convex_hull
    return shapely.get_coordinates(hull)[:-1], space


def _reaches(dowel: Dowel, item: Placed, panel: Panel) -> bool:
    """Whether the box round a side, seen from the right, meets that round the dowel; asked first."""
    ring = panel.polygon
    flat = [np.column_stack([ring, np.full(len(ring), w)]) for w in (0.0, item.blank.thickness)]
    seen = apply(item.transforms[panel.name], np.concatenate(flat))[:, (0, 2)]
    apart = (seen.max(axis=0) < dowel.ring.min(axis=0)) | (dowel.ring.max(axis=0) < seen.min(axis=0))
    return not bool(apart.any())


def _holes(dowel: Dowel, items: Sequence[Placed], joint: BandOn) -> tuple[list[Hit], list[Finding]]:
    """Where a dowel goes through every side, or G166; G167 where little is left round it."""
    hits: list[Hit] = []
    found: list[Finding] = []
    missing: dict[int, list[tuple[Placed, Panel]]] = {}
    met: set[int] = set()
    for item, panel, side in _sides(items):
        if not _reaches(dowel, item, panel):
            missing.setdefault(side, []).append((item, panel))
            continue
        hole, space = _through(dowel, item, panel)
        shape = shapely.Polygon(hole)
        if not shapely.Polygon(panel.polygon).covers(shape.centroid):
            missing.setdefault(side, []).append((item, panel))
            continue
        met.add(side)
        found += _hole_findings(dowel, item, panel, shape, joint)
        hits.append(
            Hit(item.blank.name, panel.name, hole, float(space[:, 1].min()), float(space[:, 1].max()))
        )
    lost = [(item, panel) for side, panels in missing.items() if side not in met for item, panel in panels]
    # doublers of a sheet in the middle need not be met
    if not hits or (lost and 0 not in met):
        found.append(_no_side(dowel, lost, joint, len(hits)))
    return hits, found


def _hole_findings(
    dowel: Dowel, item: Placed, panel: Panel, shape: BaseGeometry, joint: BandOn
) -> list[Finding]:
    room = room_of(panel)
    left = float(room.boundary.distance(shape)) if room.covers(shape) else 0.0
    if left >= HOLE_EDGE_MM - 1e-6:
        return []
    return [
        finding(
            f"{joint.id}.{dowel.end}_x_mm", "G167", left, HOLE_EDGE_MM, "mm",
            "watch" if left > 0.0 else "no-go", end=dowel.end, key=dowel.end, left=left, least=HOLE_EDGE_MM,
            panel=f"{item.blank.name} {panel.name}", shift=up(HOLE_EDGE_MM - left),
        )
    ]  # fmt: skip


def _no_side(dowel: Dowel, lost: Sequence[tuple[Placed, Panel]], joint: BandOn, met: int) -> Finding:
    """G166, with the nearest place that has room for the hole."""
    spot = np.array([dowel.x, dowel.z])
    best, near = np.inf, spot
    for item, panel in lost:
        matrix = item.transforms[panel.name]
        room = shapely.Polygon(panel.polygon).buffer(-(HOLE_EDGE_MM + dowel.reach + HOLE_PLAY_MM))
        if room.is_empty:
            continue
        hole, _ = _through(dowel, item, panel)
        here = shapely.Polygon(hole).centroid
        there = shapely.get_coordinates(shapely.shortest_line(here, room))[-1]
        place = apply(matrix, np.array([*there, item.blank.thickness / 2.0]))[[0, 2]]
        distance = float(np.hypot(*(place - spot)))
        if distance < best:
            best, near = distance, place
    return finding(
        f"{joint.id}.{dowel.end}_x_mm", "G166", 0.0 if best == np.inf else best, 0.0, end=dowel.end,
        x=dowel.x, z=dowel.z, sides="none" if met == 0 else "not all", other=joint.parts[1],
        away=0.0 if best == np.inf else up(best), near_x=float(near[0]), near_z=float(near[1]),
    )  # fmt: skip


def _inside(items: Sequence[Placed]) -> dict[str, list[BaseGeometry]]:
    """Formers, decks and floors cut by the plane of symmetry, x and z, by the name of their blank."""
    result: dict[str, list[BaseGeometry]] = {}
    for item in items:
        solids = [
            solid
            for solid in prisms([item])
            if kind_of(item.transforms[solid.name.rsplit("/", 1)[1]]) != "side"
        ]
        result[item.blank.name] = list(cut_panels(solids, plane_frame(0.0)).values())
    return result


def _in_the_way(dowel: Dowel, inside: Mapping[str, Sequence[BaseGeometry]], joint: BandOn) -> list[Finding]:
    """G169: formers, decks or the floor where the dowel has to pass, seen in the plane of symmetry."""
    bar = shapely.Polygon(dowel.ring)
    found = []
    for name, shapes in inside.items():
        if any(shape.intersection(bar).area > 1e-6 for shape in shapes):
            params: dict[str, Param] = {"end": dowel.end, "x": dowel.x, "z": dowel.z, "blank": name}
            found.append(Finding("G169", "no-go", f"{joint.id}.{dowel.end}_x_mm", params))
    return found


def _under_wing(dowel: Dowel, wide: BaseGeometry, joint: BandOn) -> list[Finding]:
    """G168: a dowel that does not stand clear of the wing's edges; in the wing itself it cannot be."""
    if wide.is_empty:
        return []
    fore, aft = wide.bounds[0], wide.bounds[2]
    room = dowel.reach + BAND_ROOM_MM
    inside = dowel.x + room - fore if dowel.end == "front" else aft - (dowel.x - room)
    if inside <= 1e-6:
        return []
    need = down(fore - room) if dowel.end == "front" else up(aft + room)
    struck = wide.convex_hull.intersects(shapely.Polygon(dowel.ring))
    return [
        finding(
            f"{joint.id}.{dowel.end}_x_mm", "G168", inside, 0.0, "mm", "no-go" if struck else "watch",
            end=dowel.end, key=dowel.end, x=dowel.x, x0=fore, x1=aft, least=BAND_ROOM_MM, inside=inside,
            need=need,
        )
    ]  # fmt: skip


def _band_figures(
    dowels: Sequence[Dowel], wide: BaseGeometry, bars: Sequence[Bar], joint: BandOn
) -> tuple[dict[str, float], float]:
    """What a band spans: from dowel to dowel over the wing, and slantwise where bands are crossed, mm."""
    front, rear = (np.array([dowel.x, dowel.z]) for dowel in dowels)
    way = float(np.hypot(*(rear - front)))
    chord = 0.0
    if not wide.is_empty:
        points = np.concatenate([np.stack([front, rear]), shapely.get_coordinates(wide)])
        way = _over(points, front, rear)
        chord = float(wide.bounds[2] - wide.bounds[0])
    length = float(np.ptp(bars[0].ends[:, 1])) if bars else 0.0
    figures = {
        "dowel_length_mm": round(length, 1),
        "dowel_distance_mm": round(float(np.hypot(*(rear - front))), 1),
        "chord_mm": round(chord, 1),
        "band_way_mm": round(way, 1),
        "band_way_crossed_mm": round(float(np.hypot(way, max(length - joint.overhang_mm, 0.0))), 1),
        "bands": float(joint.bands),
    }
    return figures, way


def _over(points: FloatArray, front: FloatArray, rear: FloatArray) -> float:
    """Length of the taut line over points from one to another, mm: the upper side of their hull."""
    keep = points[(points[:, 0] >= front[0] - 1e-9) & (points[:, 0] <= rear[0] + 1e-9)]
    line: list[FloatArray] = []
    for point in keep[np.lexsort((keep[:, 1], keep[:, 0]))]:
        while len(line) > 1:
            one, two = line[-1] - line[-2], point - line[-2]
            if one[0] * two[1] - one[1] * two[0] < 0.0:
                break
            line.pop()
        line.append(point)
    if len(line) < 2:
        return float(np.hypot(*(rear - front)))
    return float(np.hypot(*np.diff(np.array(line), axis=0).T).sum())


def _masses(bars: Sequence[Bar], bought: Bought, joint: BandOn, wide: BaseGeometry) -> tuple[MassItem, ...]:
    items = [
        MassItem(
            bar.id,
            "joint",
            line_moments(bar.ends, bought.g_m / 1000.0),
            (bought.width, float(np.ptp(bar.ends[:, 1])), bought.height),
        )
        for bar in bars
    ]
    x, z = (joint.front_x_mm + joint.rear_x_mm) / 2.0, max(joint.front_z_mm, joint.rear_z_mm)
    if not wide.is_empty:
        x, z = (wide.bounds[0] + wide.bounds[2]) / 2.0, wide.bounds[3]
    mass = joint.bands * joint.band_mass_g
    return (*items, MassItem(f"{joint.id}/bands", "joint", point_moments(np.array([x, 0.0, z]), mass)))


def _with_holes(blank: Blank, hits: Sequence[Hit]) -> Blank:
    def cut(panel: Panel) -> Panel:
        mine = tuple(hit.hole for hit in hits if (hit.blank, hit.panel) == (blank.name, panel.name))
        return replace(panel, holes=panel.holes + mine) if mine else panel

    if all(hit.blank != blank.name for hit in hits):
        return blank
    return replace(blank, panels=tuple(cut(panel) for panel in blank.panels))
