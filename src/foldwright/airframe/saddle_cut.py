"""What a wing takes of a body's panels: its sections with their faces, and what is left beside them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from foldwright.airframe.model import PartBuild, Placed
from foldwright.airframe.section import Prism, cut_panels, joined, placed, plane_frame, prisms
from foldwright.base.types import BoolArray, FloatArray
from foldwright.geometry.fold.model import Panel
from foldwright.geometry.transform import apply, inverse, shift

ABOVE = 2000.0  # mm: how far the cut-out is carried upward; more than any body is high
MITRE_LIMIT = 2.0
ENDS = 1.0  # mm
SLIT = 0.5  # mm: half the width of a gap between two panels of the wing that leaves no board standing in it
SLIT_LIMIT = 10.0
FINE = 0.02  # mm: finer than any cutter; steps where a slanting side's two faces meet the wing
AREA = 1e-6  # mm²: shapes that touch, not overlap

Kind = Literal["side", "former", "deck"]


@dataclass(frozen=True, slots=True, eq=False)
class Incoming:
    """The wing that comes in: its solids, its corner of least and of greatest x, y, z.

    symmetric: whether it is its own mirror image. closed: it goes in sideways and takes no more than its
    section; else all above it is taken too.
    """

    solids: tuple[Prism, ...]
    low: FloatArray
    high: FloatArray
    symmetric: bool
    clearance: float
    closed: bool = False

    @property
    def span(self) -> tuple[float, float]:
        """Least and greatest x."""
        return float(self.low[0]), float(self.high[0])

    def takes(self, sections: Sequence[BaseGeometry], upward: FloatArray) -> BaseGeometry:
        """What sections in a plane take away there; upward (2,): unit vector that points up."""
        over = raised(sections, upward, self.clearance)
        return over.intersection(raised(sections, -upward, self.clearance)) if self.closed else over


@dataclass(frozen=True, slots=True, eq=False)
class Seat:
    """What is cut out of one panel, in its blank frame. up: (2,) unit vector there that points up.

    names: panels of the wing that lie in it.
    """

    region: BaseGeometry
    up: FloatArray
    names: frozenset[str] = frozenset()


def kind_of(matrix: FloatArray) -> Kind:
    """What a panel is, by the way it faces: a side (to right or left), a former (along x) or a deck."""
    names: tuple[Kind, Kind, Kind] = ("former", "side", "deck")
    return names[int(np.argmax(np.abs(matrix[:3, 2])))]


def is_roof(item: Placed, kinds: Mapping[str, Kind]) -> bool:
    """Whether a blank closes the body from above or lies across it: decks, and boards arched over it.

    The floor's blank has its level panel below its sides.
    """
    heights: dict[Kind, list[float]] = {}
    for name, kind in kinds.items():
        ring = item.blank.panel(name).polygon
        flat = np.column_stack([ring, np.zeros(len(ring))])
        heights.setdefault(kind, []).append(float(apply(item.transforms[name], flat)[:, 2].mean()))
    if "deck" not in heights or "former" in heights:
        return False
    return "side" not in heights or min(heights["deck"]) > min(heights["side"])


def incoming(wing: PartBuild, clearance: float, *, closed: bool = False) -> Incoming:
    """A wing as the saddle needs it: without its holes, for what stands in a slot of it fills that slot."""
    found = prisms(placed(wing.id, blank) for blank in wing.blanks)
    solids = tuple(replace(solid, walls=solid.walls[:1]) for solid in found)
    corners = np.concatenate([ring for solid in solids for wall in solid.walls for ring in wall])
    low, high = corners.min(axis=0), corners.max(axis=0)
    return Incoming(solids, low, high, _symmetric(corners), clearance, closed)


def _symmetric(corners: FloatArray) -> bool:
    """Whether points are their own mirror image in y = 0, within 1e-6 mm."""
    own = np.round(corners, 6) + 0.0
    other = own * np.array([1.0, -1.0, 1.0]) + 0.0
    return bool(np.array_equal(own[np.lexsort(own.T)], other[np.lexsort(other.T)]))


def seats_of(item: Placed, kinds: Mapping[str, Kind], coming: Incoming) -> dict[str, Seat]:
    """The cut-outs of a blank's upright panels; a left side takes its right twin's, mirrored."""
    result: dict[str, Seat] = {}
    for panel in item.blank.panels:
        if kinds[panel.name] == "deck" or not _near(item, panel, coming.span):
            continue
        twin = result.get(panel.name.replace("left", "right")) if coming.symmetric else None
        spot = _mirrored(item, panel.name, twin) if twin else None
        spot = spot or seat_in(item, panel, coming)
        if spot:
            result[panel.name] = spot
    return result


def _mirrored(item: Placed, name: str, twin: Seat) -> Seat | None:
    """The right side's cut-out on the left side; None where the two sides are not mirror images."""
    flip = np.diag([1.0, -1.0, 1.0, 1.0])
    over = inverse(item.transforms[name]) @ flip @ item.transforms[name.replace("left", "right")]
    if not np.allclose(over[2], (0.0, 0.0, 1.0, 0.0), atol=1e-9):
        return None
    region = shapely.transform(twin.region, lambda points: points @ over[:2, :2].T + over[:2, 3])
    return Seat(region, twin.up @ over[:2, :2].T, twin.names)


def seat_in(item: Placed, panel: Panel, coming: Incoming) -> Seat | None:
    """The cut-out of one upright panel; None where the wing does not reach its outline."""
    matrix = item.transforms[panel.name]
    taken = shadows(coming.solids, matrix, item.blank.thickness)
    sections, names = list(taken.values()), taken.keys()
    if not sections:
        return None
    upward = matrix[:3, :3].T[:2, 2]
    upward = upward / np.hypot(*upward)
    region = coming.takes(sections, upward)
    if region.intersection(shapely.Polygon(panel.polygon)).area < AREA:
        return None
    return Seat(region, upward, frozenset(names))


def shadows(solids: Sequence[Prism], plane: FloatArray, thickness: float) -> dict[str, BaseGeometry]:
    """What lies between two parallel planes of every panel that does, seen square to them, by "blank/panel".

    plane: 4x4 whose local z is the planes' normal, the first at 0, the second at `thickness`. A piece between
    its two sections is taken as convex, so it may come out a little larger than it is, never smaller.
    """
    first, second = (cut_panels(solids, plane @ shift(0.0, 0.0, depth)) for depth in (0.0, thickness))
    to_plane = inverse(plane)
    result: dict[str, BaseGeometry] = {}
    for solid in solids:
        one, other = first.get(solid.name), second.get(solid.name)
        local = apply(to_plane, np.concatenate(solid.walls[0]))
        between = local[(local[:, 2] > AREA) & (local[:, 2] < thickness - AREA), :2]
        if one is None and other is None and not len(between):
            continue
        result[solid.name] = _swept(one, other, between)
    return {name: shape for name, shape in result.items() if shape.area > 0.0}


def _swept(one: BaseGeometry | None, other: BaseGeometry | None, between: FloatArray) -> BaseGeometry:
    """Two sections of one panel and what is between them, its corners there included."""
    if one is not None and other is not None and not len(between):
        if shapely.equals_exact(one, other, AREA):
            return one
        pairs = _by_place(one), _by_place(other)
        if len(pairs[0]) == len(pairs[1]):
            return shapely.union_all([shapely.union(a, b).convex_hull for a, b in zip(*pairs, strict=True)])
    shapes = [shape for shape in (one, other) if shape is not None]
    return shapely.union_all([*shapes, shapely.MultiPoint(between)]).convex_hull


def _by_place(shape: BaseGeometry) -> list[BaseGeometry]:
    """The parts of a shape, by where they begin."""
    return sorted(shapely.get_parts(shape), key=lambda part: tuple(round(v, 3) for v in part.bounds))


def _near(item: Placed, panel: Panel, span: tuple[float, float]) -> bool:
    """Whether a panel reaches into a stretch of x."""
    matrix, room = item.transforms[panel.name], item.blank.thickness
    x = panel.polygon @ matrix[0, :2] + matrix[0, 3]
    return bool(span[0] < x.max() + room and x.min() - room < span[1])


def raised(sections: Sequence[BaseGeometry], upward: FloatArray, clearance: float) -> BaseGeometry:
    """Sections of panels, together, widened by a clearance with mitred corners, and everything above it.

    Corners that stand less than FINE off a straight edge are left out.
    """
    parts = [part for section in sections for part in shapely.get_parts(section) if part.area > 0.0]
    play = clearance if clearance > AREA else 0.0  # less than rounding would undo the shapes
    wide = shapely.multipolygons(parts).buffer(play, join_style="mitre", mitre_limit=MITRE_LIMIT)
    lift = ABOVE * upward
    swept: list[BaseGeometry] = []
    for part in shapely.get_parts(wide):
        # of a counter-clockwise outline, the edges with the board above them bound what is swept
        ring = np.asarray(shapely.geometry.polygon.orient(part, 1.0).exterior.coords)
        start, stop = ring[:-1], ring[1:]
        along = stop - start
        facing = along[:, 0] * upward[1] - along[:, 1] * upward[0] > AREA
        quads = np.stack([start, stop, stop + lift, start + lift], axis=1)[facing]
        swept += shapely.polygons(quads).tolist()
    # halves that meet in the middle, and strips end to end, leave slits that would become spikes of board
    whole = shapely.union_all(swept).buffer(SLIT, join_style="mitre", mitre_limit=SLIT_LIMIT)
    return whole.buffer(-SLIT, join_style="mitre", mitre_limit=SLIT_LIMIT).simplify(FINE)


def least_below(panel: Panel, spot: Seat) -> tuple[float, FloatArray]:
    """Least height of board left below a cut-out, mm (negative: cut through), and the place in the blank.

    The cut-out's lower edge and the panel's are straight between corners, so the least stands at a corner.
    The outermost ENDS are left out: a former's sides may lean, and there have no board below them.
    """
    turned = np.array([[spot.up[1], -spot.up[0]], spot.up])
    board = [panel.polygon @ turned.T]
    region = [np.asarray(part.exterior.coords)[:-1] @ turned.T for part in shapely.get_parts(spot.region)]
    first, last = float(board[0][:, 0].min()) + ENDS, float(board[0][:, 0].max()) - ENDS
    places = np.concatenate([*(ring[:, 0] for ring in (*board, *region)), [first, last]])
    places = np.unique(places[(places >= first) & (places <= last)])
    if not len(places):
        return np.inf, board[0].mean(axis=0) @ turned
    seat_low, board_low = lowest(region, places), lowest(board, places)
    left = seat_low - board_low
    worst = int(np.argmin(left))
    if not np.isfinite(left[worst]):
        return np.inf, board[0].mean(axis=0) @ turned
    return float(left[worst]), np.array([places[worst], seat_low[worst]]) @ turned


def lowest(rings: Sequence[FloatArray], places: FloatArray) -> FloatArray:
    """Lowest second coordinate (n,) of outlines at first coordinates (n,); inf where there is no outline."""
    start = np.concatenate(rings)
    run = np.concatenate([np.roll(ring, -1, axis=0) - ring for ring in rings])
    slanted = np.abs(run[:, 0]) > AREA
    start, run = start[slanted], run[slanted]
    share = (places[:, None] - start[None, :, 0]) / run[None, :, 0]
    height = np.where((share > -AREA) & (share < 1.0 + AREA), start[:, 1] + share * run[:, 1], np.inf)
    low: FloatArray = np.min(height, axis=1)
    return low


def runs_of(ring: FloatArray, wanted: BoolArray) -> list[FloatArray]:
    """Unbroken lines of the wanted edges of a ring."""
    runs: list[list[FloatArray]] = []
    fresh = True
    for index, edge_wanted in enumerate(wanted):
        if not edge_wanted:
            fresh = True
            continue
        if fresh:
            runs.append([ring[index]])
        runs[-1].append(ring[(index + 1) % len(ring)])
        fresh = False
    return [np.array(run) for run in runs]


@dataclass(frozen=True, slots=True)
class Reach:
    """What a wing takes of a deck or floor.

    first, last: x that the wing takes at its height, mm. start, stop: its own ends. lift: how much higher
    the wing would clear it, mm.
    """

    first: float
    last: float
    start: float
    stop: float
    lift: float


def in_the_way(solids: Sequence[Prism], coming: Incoming) -> Reach | None:
    """What a wing takes of level panels; None where it is clear of them.

    Seen at several stations across every panel, since a wing may rise or fall outward.
    """
    low = np.min([solid.span[0] for solid in solids], axis=0)
    high = np.max([solid.span[1] for solid in solids], axis=0)
    near = (low < coming.high + coming.clearance) & (coming.low - coming.clearance < high)
    if not (near[0] and near[1] and high[2] > coming.low[2] - coming.clearance):
        return None
    first, last, lift = np.inf, -np.inf, 0.0
    for y in _stations(solids, coming.symmetric):
        deck = joined(cut_panels(solids, plane_frame(y)).values())
        sections = list(cut_panels(coming.solids, plane_frame(y)).values())
        if deck.is_empty or not sections:
            continue
        taken = coming.takes(sections, np.array([0.0, 1.0]))
        if taken.intersection(deck).area >= AREA:
            fore, under, aft, over = deck.bounds
            band = taken.intersection(shapely.box(-ABOVE, under, ABOVE, over))
            column = taken.intersection(shapely.box(fore, -ABOVE, aft, ABOVE))
            first, last = min(first, band.bounds[0]), max(last, band.bounds[2])
            lift = max(lift, over - column.bounds[1])
    return None if first > last else Reach(first, last, float(low[0]), float(high[0]), lift)


def _stations(solids: Sequence[Prism], symmetric: bool) -> list[float]:
    """Stations across panels: beside the middle, half way out, near the edges; of a symmetric pair one."""
    places: set[float] = set()
    for solid in solids:
        left, right = float(solid.span[0][1]), float(solid.span[1][1])
        middle, half = (left + right) / 2.0, (right - left) / 2.0 - ENDS
        places |= {round(middle + share * half, 3) for share in (-1.0, -0.5, -0.03, 0.03, 0.5, 1.0)}
    return sorted(y for y in places if y > 0.0 or not symmetric)
