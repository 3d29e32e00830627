"""A wing seated in a body: the wing's section plus clearance is cut out of the sides, formers make room.

The cut-out runs on upward to above the body, so that the wing can be lowered in.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Literal

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from foldwright.airframe.box_shell import LEAST_SEGMENT, down, finding, up
from foldwright.airframe.model import Board, PartBuild, Placed, Seam
from foldwright.airframe.section import Prism, cut_panels, joined, placed, plane_frame, prisms
from foldwright.airframe.trim import owners, trimmed, with_panels
from foldwright.base.finding import Finding
from foldwright.base.types import BoolArray, FloatArray
from foldwright.design.parts import Saddle
from foldwright.geometry.fold.model import Blank, Panel
from foldwright.geometry.transform import apply, inverse, shift

LEAST_BELOW = 8.0  # mm: common practice, no source; side left below the wing
ABOVE = 2000.0  # mm: how far the cut-out is carried upward; more than any body is high
MITRE_LIMIT = 2.0
ENDS = 1.0  # mm
SLIT = 1e-4  # mm: half the width of a gap between two strips that is no gap
FINE = 0.02  # mm: finer than any cutter; steps where a slanting side's two faces meet the wing
AREA = 1e-6  # mm²: shapes that touch, not overlap

Kind = Literal["side", "former", "deck"]


@dataclass(frozen=True, slots=True, eq=False)
class Incoming:
    """The wing that comes in: its solids, its least and greatest x, whether it is its own mirror image.

    above: what it takes in the plane of symmetry with its clearance, and everything above, (x, z).
    """

    solids: tuple[Prism, ...]
    span: tuple[float, float]
    symmetric: bool
    clearance: float
    above: BaseGeometry


@dataclass(frozen=True, slots=True, eq=False)
class Seat:
    """What is cut out of one panel, in its blank frame. up: (2,) unit vector there that points up."""

    region: BaseGeometry
    up: FloatArray


def seat(
    wing: PartBuild, body: PartBuild, joint: Saddle, board: Board
) -> tuple[PartBuild, tuple[Finding, ...], tuple[Seam, ...]]:
    """Seat a wing in a body: (body with its cut-outs, findings, glue lines between the two).

    Sides are cut by the wing's section where it meets their outer and inner faces, formers by its section
    where it meets theirs, each widened by the joint's clearance. Decks are not cut: one in the wing's way
    is a finding, and a side that would be cut through stays whole. Glue lines follow the seat in the middle
    of the board's thickness. A part without blanks has findings of its own; then nothing is cut.
    """
    if not wing.blanks or not body.blanks:
        return body, (), ()
    coming = incoming(wing, joint.clearance_mm)
    found: list[Finding] = []
    seams: list[Seam] = []
    blanks: list[Blank] = []
    old_seams = list(body.seams)
    cut_sides = 0
    for blank in body.blanks:
        item = placed(body.id, blank)
        kinds = {panel.name: kind_of(item.transforms[panel.name]) for panel in blank.panels}
        if set(kinds.values()) == {"deck"}:
            found += _deck_findings(body.id, item, coming)
            blanks.append(blank)
            continue
        seats = _seats(item, kinds, coming)
        cut_sides += sum(kinds[name] == "side" for name in seats)
        reasons, changed = _changes(body.id, item, kinds, seats)
        found += reasons
        if blank.panels[0].name not in changed and kinds[blank.panels[0].name] == "former" and seats:
            old_seams = [seam for seam in old_seams if seam.id != blank.name]
            continue
        blanks.append(with_panels(blank, changed) if changed else blank)
        if joint.glued:
            seams += _seat_lines(joint.id, item, changed, seats, board.thickness / 2.0)
        old_seams = [_shorter(seam, blank, seats) if seam.id == blank.name else seam for seam in old_seams]
    if not cut_sides:
        found.append(_apart(joint, body, coming.solids))
    return replace(body, blanks=tuple(blanks), seams=tuple(old_seams)), tuple(found), tuple(seams)


def kind_of(matrix: FloatArray) -> Kind:
    """What a panel is, by the way it faces: a side (to right or left), a former (along x) or a deck."""
    names: tuple[Kind, Kind, Kind] = ("former", "side", "deck")
    return names[int(np.argmax(np.abs(matrix[:3, 2])))]


def incoming(wing: PartBuild, clearance: float) -> Incoming:
    """A wing as the saddle needs it."""
    solids = prisms(placed(wing.id, blank) for blank in wing.blanks)
    corners = np.concatenate([ring for solid in solids for wall in solid.walls for ring in wall])
    sections = list(cut_panels(solids, plane_frame(0.0)).values())
    above = raised(sections, np.array([0.0, 1.0]), clearance)
    span = float(corners[:, 0].min()), float(corners[:, 0].max())
    return Incoming(solids, span, _symmetric(corners), clearance, above)


def _symmetric(corners: FloatArray) -> bool:
    """Whether points are their own mirror image in y = 0, within 1e-6 mm."""
    own = np.round(corners, 6) + 0.0
    other = own * np.array([1.0, -1.0, 1.0]) + 0.0
    return bool(np.array_equal(own[np.lexsort(own.T)], other[np.lexsort(other.T)]))


def _seats(item: Placed, kinds: Mapping[str, Kind], coming: Incoming) -> dict[str, Seat]:
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
    return Seat(region, twin.up @ over[:2, :2].T)


def seat_in(item: Placed, panel: Panel, coming: Incoming) -> Seat | None:
    """The cut-out of one upright panel; None where the wing does not reach its outline."""
    matrix = item.transforms[panel.name]
    sections: list[BaseGeometry] = []
    for depth in (0.0, item.blank.thickness):
        sections += cut_panels(coming.solids, matrix @ shift(0.0, 0.0, depth)).values()
    if not sections:
        return None
    upward = matrix[:3, :3].T[:2, 2]
    upward = upward / np.hypot(*upward)
    region = raised(sections, upward, coming.clearance)
    if region.intersection(shapely.Polygon(panel.polygon)).area < AREA:
        return None
    return Seat(region, upward)


def _near(item: Placed, panel: Panel, span: tuple[float, float]) -> bool:
    """Whether a panel reaches into a stretch of x."""
    matrix, room = item.transforms[panel.name], item.blank.thickness
    x = panel.polygon @ matrix[0, :2] + matrix[0, 3]
    return bool(span[0] < x.max() + room and x.min() - room < span[1])


def raised(sections: Sequence[BaseGeometry], upward: FloatArray, clearance: float) -> BaseGeometry:
    """Sections of panels, together, widened by a clearance with mitred corners, and everything above it.

    Corners that stand less than FINE off a straight edge are left out.
    """
    parts = [part for section in sections for part in shapely.get_parts(section)]
    wide = shapely.multipolygons(parts).buffer(clearance, join_style="mitre", mitre_limit=MITRE_LIMIT)
    lift = ABOVE * upward
    swept = []
    for part in shapely.get_parts(wide):
        # of a counter-clockwise outline, the edges with the board above them bound what is swept
        ring = np.asarray(shapely.geometry.polygon.orient(part, 1.0).exterior.coords)
        along = np.diff(ring, axis=0)
        facing = along[:, 0] * upward[1] - along[:, 1] * upward[0]
        swept += [
            shapely.Polygon([p, q, q + lift, p + lift])
            for (p, q), width in zip(pairwise(ring), facing, strict=True)
            if width > AREA
        ]
    # strips of panels that meet end to end leave slits of rounding between them, which would become spikes
    whole = shapely.union_all(swept).buffer(SLIT, join_style="mitre", mitre_limit=MITRE_LIMIT)
    return whole.buffer(-SLIT, join_style="mitre", mitre_limit=MITRE_LIMIT).simplify(FINE)


def _changes(
    body: str, item: Placed, kinds: Mapping[str, Kind], seats: Mapping[str, Seat]
) -> tuple[list[Finding], dict[str, Panel]]:
    """Findings and the panels that change."""
    found: list[Finding] = []
    changed: dict[str, Panel] = {}
    for name, spot in seats.items():
        panel = item.blank.panel(name)
        left, at = least_below(panel, spot)
        place = apply(item.transforms[name], np.array([at[0], at[1], item.blank.thickness / 2.0]))
        new = trimmed(panel, spot.region)
        if kinds[name] == "former":
            if new is None or left < LEAST_SEGMENT:
                found.append(_lost_former(body, item, left, float(place[0])))
                continue
        elif left < LEAST_BELOW:
            found.append(_weak(f"{item.blank.name}/{name}", left, float(place[0])))
            if left <= AREA:
                continue
        if new is not None:
            changed[name] = new
    return found, changed


def _weak(where: str, left: float, x: float) -> Finding:
    lift = up(LEAST_BELOW - left)
    side = where.rsplit("/", 1)[1]
    if left <= AREA:
        return finding(where, "G59", left, LEAST_BELOW, side=side, x=x, least=LEAST_BELOW, lift=lift)
    return finding(
        where,
        "G58",
        left,
        LEAST_BELOW,
        "mm",
        "watch",
        side=side,
        x=x,
        left=left,
        least=LEAST_BELOW,
        lift=lift,
    )


def _lost_former(body: str, item: Placed, left: float, x: float) -> Finding:
    name = item.blank.name.rsplit("/", 1)[1]
    where = f"{body}.former.{name}.x_mm"
    return finding(
        where,
        "G72",
        left,
        LEAST_SEGMENT,
        name=name,
        x=x,
        left=max(left, 0.0),
        least=LEAST_SEGMENT,
        lift=up(LEAST_SEGMENT - left),
    )


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


def _seat_lines(
    joint: str, item: Placed, changed: Mapping[str, Panel], seats: Mapping[str, Seat], depth: float
) -> list[Seam]:
    """Glue along the new edges that carry the wing: not the upright ones that only let it in."""
    lines: list[Seam] = []
    for name, panel in changed.items():
        old, spot = item.blank.panel(name), seats[name]
        own = np.array(owners(old.polygon, panel.polygon)) >= 0
        for hole in old.holes:
            # a hole that the cut-out opens carries nothing either
            own |= np.array(owners(hole[::-1], panel.polygon)) >= 0
            own |= np.array(owners(hole, panel.polygon)) >= 0
        along = np.roll(panel.polygon, -1, axis=0) - panel.polygon
        upright = np.abs(along @ spot.up) > (1.0 - 1e-9) * np.hypot(along[:, 0], along[:, 1])
        where = item.blank.name.rsplit("/", 1)[1] if name == "plate" else name
        for number, points in enumerate(_runs(panel.polygon, ~(own | upright)), start=1):
            flat = np.column_stack([points, np.full(len(points), depth)])
            lines.append(Seam(f"{joint}/{where}/{number}", "glue", apply(item.transforms[name], flat)))
    return lines


def _runs(ring: FloatArray, wanted: BoolArray) -> list[FloatArray]:
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


def _shorter(seam: Seam, blank: Blank, seats: Mapping[str, Seat]) -> Seam:
    """A former's glue line without the part that the wing takes away."""
    spot = seats.get(blank.panels[0].name)
    if spot is None:
        return seam
    flat = apply(inverse(blank.placement), seam.points)
    rest = shapely.LineString(flat[:, :2]).difference(spot.region)
    pieces = [np.asarray(piece.coords) for piece in shapely.get_parts(rest)]
    if not pieces:
        return seam
    line = max(pieces, key=len)
    depth = np.full(len(line), blank.thickness / 2.0)
    return replace(seam, points=apply(blank.placement, np.column_stack([line, depth])))


def _deck_findings(body: str, item: Placed, coming: Incoming) -> list[Finding]:
    """A deck, hatch or tray in the way of the wing, seen in the plane of symmetry."""
    deck = joined(cut_panels(prisms([item]), plane_frame(0.0)).values())
    common = coming.above.intersection(deck)
    if common.area < AREA:
        return []
    first, last = common.bounds[0], common.bounds[2]
    start, stop = deck.bounds[0], deck.bounds[2]
    name = item.blank.name.rsplit("/", 1)[1]
    key = "to_mm" if first - start >= stop - last else "from_mm"
    return [
        finding(
            f"{body}.deck.{name}.{key}", "G71", last - first, 0.0, name=name, start=start, stop=stop,
            first=first, last=last, overlap=last - first, ahead=down(first), behind=up(last),
        )
    ]  # fmt: skip


def _apart(joint: Saddle, body: PartBuild, wing: Sequence[Prism]) -> Finding:
    """No side is cut: how far the wing lies above the body, or that it lies elsewhere."""
    low = min(float(solid.span[0][2]) for solid in wing)
    tops = [
        float(solid.span[1][2])
        for solid in prisms(placed(body.id, blank) for blank in body.blanks)
        if int(np.argmax(np.abs(solid.normal))) == 1
    ]
    gap = low - max(tops, default=low)
    return finding(f"{joint.parts[0]}.z_mm", "G70", gap, 0.0, lower=up(max(gap, 0.0)))
