"""Printed templates read back: pieces put together again are the plate, and the plate traces its blank.

Outline and lines of a blank come from airframe.json, which the sheets' own DXF is held against; pieces from
the 3MF files; which pieces make a plate, and how it is used, from prints.json. Frame: the blank's (u, v), mm.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from foldwright.base.types import FloatArray
from foldwright.design.workshop import Cutter
from foldwright.geometry.fold.model import Blank
from foldwright.make.blank_drawing import draw_blank
from foldwright.make.readback_prints import ReadPrint, damage
from foldwright.make.readback_rows import MARK_MM, Table

Json = Mapping[str, Any]
To = Callable[[FloatArray], FloatArray]

_FLIP = np.array([1.0, -1.0])
_STEP_MM = 0.5
_EDGE_MM = 0.05
_LOOK_MM = 0.05
_MITRE = 5.0
_MOUTH_MM = 2.5
"""A notch's mouth is no wider than this and half its depth to either side of its line."""
_PAST_MM = 2.0
"""A line may end short of the edge that it is notched at, or past it, by this."""
_NOTCH_MM = 6.0
"""A line that ends in a notch is looked for within this of its end."""
_LEAST_OPEN, _LEAST_REACH = 0.25, 0.5
"""Share of a line that must be open in a slot or groove, or lie between the openings farthest apart; the rest
is bridges and what stays closed at its ends."""


@dataclass(frozen=True, slots=True, eq=False)
class Joined:
    """A plate put together. half: its section at half its height; top: just under its upper side. filled:
    without its openings; edge: without its notches too.
    """

    row: Json
    half: BaseGeometry
    top: BaseGeometry
    filled: BaseGeometry
    edge: BaseGeometry

    @property
    def name(self) -> str:
        """As in prints.json."""
        return str(self.row["name"])


def check_plates(
    table: Table, rows: Sequence[Json], found: Sequence[ReadPrint], blanks: Sequence[Blank], cutter: Cutter,
    clearance: float,
) -> None:  # fmt: skip
    """Every printed template against the blanks that it traces, and every blank against templates at all."""
    records = {blank.name: blank for blank in blanks}
    traced: list[str] = []
    for row in rows:
        names = [str(row["blank"]), *map(str, row["same"]), *map(str, row["turned"])]
        traced += names
        if not row["pieces"]:
            continue
        with damage(table, f"template {row['name']}"):
            plate = _joined(table, row, found, clearance)
            if plate is not None:
                for name in names:
                    _check_outline(table, plate, records[name], name in row["turned"], clearance)
                    _check_lines(table, plate, records[name], name in row["turned"], cutter)
                _check_guides(table, plate)
    if rows:
        wanted = ", ".join(sorted(records))
        table.same("R19", "blanks that have a template", wanted, ", ".join(sorted(set(traced))))


def _joined(table: Table, row: Json, found: Sequence[ReadPrint], clearance: float) -> Joined | None:
    """The pieces of a plate in their places, as sections; None with a row for a piece that is missing."""
    wanted = sorted(str(name) for name in row["pieces"])
    mine = sorted(
        (one for one in found if one.group == "templates" and one.name in wanted), key=lambda one: one.name
    )
    if [one.name for one in mine] != wanted:
        table.wrong("R19", f"template {row['name']}", ", ".join(wanted), ", ".join(one.name for one in mine))
        return None
    placed = [one.solid.placed(np.array(one.row["place"], dtype=np.float64).reshape(4, 4)) for one in mine]
    thick, recess = float(row["thickness_mm"]), float(row["recess_mm"])
    top = max(float(one.bounds[1][2]) for one in placed)
    table.near("R22", f"template {row['name']}: upper side", thick, top, _EDGE_MM, "mm")
    half = shapely.union_all([one.slice_at(thick / 2.0) for one in placed])
    under = shapely.union_all([one.slice_at(thick - recess / 2.0) for one in placed])
    apart = sum(one.slice_at(thick / 2.0).area for one in placed) - half.area
    if apart > 0.01:
        table.wrong(
            "R22", f"template {row['name']}: pieces", "side by side", f"{apart:.2f} mm² in each other"
        )
    reach = clearance + _EDGE_MM
    shut = half.buffer(reach, join_style="mitre", mitre_limit=_MITRE)
    shut = shut.buffer(-reach, join_style="mitre", mitre_limit=_MITRE)
    filled = shapely.union_all([shapely.Polygon(part.exterior) for part in _parts(shut)])
    edge = filled.buffer(_MOUTH_MM, join_style="mitre", mitre_limit=_MITRE)
    edge = edge.buffer(-_MOUTH_MM - _EDGE_MM, join_style="mitre", mitre_limit=_MITRE)
    return Joined(row, half, under, filled, edge)


def _parts(area: shapely.Geometry) -> list[shapely.Polygon]:
    return [part for part in shapely.get_parts(area) if isinstance(part, shapely.Polygon) and part.area > 0.0]


def positions(row: Json) -> tuple[To, ...]:
    """How a plate is laid on the board: once, slid along, or turned over about the middle line."""
    if row["use"] == "slide":
        step = np.array(row["shift_mm"], dtype=np.float64)
        return (_same, lambda points: points + step)
    if row["use"] == "turn over":
        p, q = np.array(row["middle_mm"], dtype=np.float64)
        way = (q - p) / np.hypot(*(q - p))
        return (_same, lambda points: 2.0 * (p + np.outer((points - p) @ way, way)) - points)
    return (_same,)


def _same(points: FloatArray) -> FloatArray:
    return points


def _check_outline(table: Table, plate: Joined, blank: Blank, turned: bool, clearance: float) -> None:
    """The plate in all its positions against the blank's outline: nothing over it, nothing short of it by
    more than the tool's offset, notches left out.
    """
    row = plate.row
    ring = draw_outline(blank)
    outline = shapely.Polygon(ring * _FLIP if turned else ring)
    offset = float(row["offset_mm"])
    laid = [shapely.transform(plate.filled, to) for to in positions(row)]
    # halves that are slid meet where each is drawn in
    gap = offset + _EDGE_MM
    whole = shapely.union_all(laid).buffer(gap, join_style="mitre", mitre_limit=_MITRE)
    whole = whole.buffer(-gap, join_style="mitre", mitre_limit=_MITRE)
    over = whole.difference(outline.buffer(_EDGE_MM, join_style="mitre", mitre_limit=_MITRE))
    over = over.difference(_lip(row))
    what = f"template {plate.name}: edge on {blank.name}"
    table.near("R22", f"{what}, outside its outline", 0.0, float(over.area), 0.05, "mm²")
    inner = outline.buffer(-offset, join_style="mitre", mitre_limit=_MITRE)
    ring_points = _sampled(inner.boundary, 2.0)
    # a notch takes the edge away where a line leaves the plate, and where the middle line does
    ends = [_line(guide).boundary for guide in row["guides"] if guide["how"] not in {"edge", "none"}]
    laid_ends = [shapely.transform(one, to) for one in ends for to in positions(row)]
    seams = [shapely.LineString(row["middle_mm"])] if row["middle_mm"] else []
    away = shapely.union_all([*laid_ends, *seams])
    clear = np.ones(len(ring_points), dtype=bool)
    if not away.is_empty:
        clear = shapely.distance(away, ring_points) > _MOUTH_MM + _PAST_MM
    far = shapely.distance(whole.boundary, ring_points[clear])
    worst = float(far.max()) if len(far) else 0.0
    table.off("R22", f"{what}, drawn in by {offset:g} mm", worst, max(clearance, offset) + _EDGE_MM)


def draw_outline(blank: Blank) -> FloatArray:
    """Outer ring (n, 2) of a blank that is as cut."""
    from foldwright.layout.as_cut import contours

    return contours(blank)[0]


def _lip(row: Json) -> shapely.Geometry:
    """Where a lip may stand out past the board's edge."""
    if not row["lip_mm"]:
        return shapely.Polygon()
    return shapely.LineString(row["lip_mm"]).buffer(15.0)


def _line(guide: Json) -> shapely.LineString:
    return shapely.LineString(np.array(guide["points_mm"], dtype=np.float64))


def _sampled(line: shapely.Geometry, step: float) -> Any:  # noqa: ANN401 - an array of points
    """Points along lines, no further apart than `step`."""
    return shapely.points(shapely.get_coordinates(shapely.segmentize(line, step)))


def _check_lines(table: Table, plate: Joined, blank: Blank, turned: bool, cutter: Cutter) -> None:
    """Every line of the blank lies on a line that the plate guides."""
    row = plate.row
    drawn = [line for line in draw_blank(blank, cutter).lines if line.role not in {"outline", "hole"}]
    guides = shapely.union_all([_line(guide) for guide in row["guides"]]) if row["guides"] else None
    if guides is None:
        if drawn:
            table.wrong("R23", f"template {plate.name}: {blank.name}", f"{len(drawn)} lines guided", "none")
        return
    every = shapely.union_all([shapely.transform(guides, to) for to in positions(row)])
    worst, name = 0.0, ""
    for line in drawn:
        points = line.points * _FLIP if turned else line.points
        if line.closed:
            points = np.vstack([points, points[:1]])
        off = float(shapely.distance(every, _sampled(shapely.LineString(points), 2.0)).max())
        if off > worst:
            worst, name = off, line.name
    what = f"template {plate.name}: {len(drawn)} lines of {blank.name} guided"
    said = f"{worst:.3f} mm off" if worst <= MARK_MM else f"{name} {worst:.2f} mm off"
    table.off("R23", what, worst, MARK_MM, said)


def _check_guides(table: Table, plate: Joined) -> None:
    """Every guide is open in the mesh where it is said to be, its line in the middle of it."""
    slot = float(plate.row["slot_mm"])
    missing: list[str] = []
    worst = 0.0
    counts: dict[str, int] = {}
    for guide in plate.row["guides"]:
        how = str(guide["how"])
        counts[how] = counts.get(how, 0) + 1
        off = _guide_off(plate, guide, how, slot)
        if off is None:
            missing.append(f"{guide['name']} ({how})")
        else:
            worst = max(worst, off)
    what = f"template {plate.name}: " + ", ".join(f"{counts[how]} {how}" for how in sorted(counts))
    if missing:
        table.wrong("R23", what, "open over every line", f"closed over {', '.join(missing[:4])}")
    else:
        table.off("R23", what, worst, MARK_MM)


def _guide_off(plate: Joined, guide: Json, how: str, slot: float) -> float | None:
    """How far a guide's line lies from the middle of its opening, mm; None where there is no opening."""
    if how in {"edge", "none"}:
        return 0.0
    line = _line(guide)
    points = _sampled(line, _STEP_MM)
    if how in {"slot", "groove"}:
        level = plate.half if how == "slot" else plate.top
        void = plate.edge.difference(level)
        inside = shapely.distance(void, points) <= MARK_MM
        # a window is open too, and guides nothing: there is a wall beside a slot
        walled = shapely.distance(level, points) <= slot / 2.0 + MARK_MM
        along = shapely.line_locate_point(line, points[inside & walled])
        reach = float(along.max() - along.min()) if len(along) else 0.0
        # a rule is laid from one opening to another, or the line is drawn in one that is long enough
        if len(along) < _LEAST_OPEN * len(points) and reach < _LEAST_REACH * line.length:
            return None
        if how == "groove" or _shared(plate, guide, line, slot):
            return 0.0
        return _beside(level, line, slot, float(plate.row["offset_mm"]))
    if how == "notch":
        along = shapely.line_locate_point(line, points)
        points = points[(along < _NOTCH_MM) | (along > line.length - _NOTCH_MM)]
    # void on the line itself, inside the edge as it would be without notches
    within = points[shapely.covers(plate.edge, points)]
    return float(shapely.distance(plate.edge.difference(plate.half), within).min()) if len(within) else None


def _beside(level: BaseGeometry, line: shapely.LineString, slot: float, offset: float) -> float:
    """How far a line lies from the middle of its slot, or from its place beside the wall of a wide one: the
    tool's offset; mm, in steps of `_LOOK_MM`. Looked for square to the line, to both sides.
    """
    points = shapely.get_coordinates(_sampled(line, _STEP_MM))
    run = np.gradient(points, axis=0)
    length = np.hypot(*run.T)
    points, run = points[length > 0.0], run[length > 0.0] / length[length > 0.0, None]
    square = np.column_stack([-run[:, 1], run[:, 0]])
    steps = np.arange(0.0, slot + 0.5, _LOOK_MM)
    free = []
    for side in (1.0, -1.0):
        at = points[:, None, :] + side * steps[None, :, None] * square[:, None, :]
        hit = shapely.contains_xy(level, at[..., 0], at[..., 1])
        free.append(np.where(hit.any(axis=1), steps[hit.argmax(axis=1)], np.inf))
    left, right = free
    least = np.minimum(left, right)
    seen = (least > 0.0) & (least < slot)
    if not seen.any():
        return 0.0
    off = np.minimum(np.abs(least - slot / 2.0), np.abs(least - offset))
    return float(np.median(off[seen]))


def _shared(plate: Joined, guide: Json, line: shapely.LineString, slot: float) -> bool:
    """Whether another line runs beside this one, so that both may lie on the walls of one slot."""
    near = line.buffer(2.0 * slot)
    for other in plate.row["guides"]:
        if other is not guide and near.intersection(_line(other)).length > 0.5 * line.length:
            return True
    return False
