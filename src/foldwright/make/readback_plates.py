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
_V_MM, _MOUTH_MM = 1.1, 2.5
"""Half the width of the notch of one line, and of a corner's, where two lines leave by one mouth."""
_BESIDE_MM = 3.2
"""Lines that leave a plate nearer to each other than this share a notch."""
_PAST_MM = 2.0
"""A line may end short of the edge that it is notched at, or past it, by this."""
_APART_MM = 3.0
"""Two lines nearer to each other than a slot's width and this share a slot."""
_SHARED_MM = 1.0
"""A slot that lines share is no narrower than this."""
_PARALLEL, _NOTCHED = 0.999, 0.98
"""Cosine of the angle between lines that share a slot, and a notch, at the least."""
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
    return Joined(row, half, under, filled, _without_notches(row, filled))


def _without_notches(row: Json, filled: BaseGeometry) -> BaseGeometry:
    """A plate's area with its notches filled in, which are looked for where lines end."""
    mouth = mouth_mm(row)
    shut = filled.buffer(mouth, join_style="mitre", mitre_limit=_MITRE)
    shut = shut.buffer(-mouth - _EDGE_MM, join_style="mitre", mitre_limit=_MITRE)
    near = shapely.MultiPoint([at for at, _ in _ends(row)]).buffer(mouth + _NOTCH_MM)
    drawn_in = filled.buffer(-_EDGE_MM, join_style="mitre", mitre_limit=_MITRE)
    return shapely.union(drawn_in, shut.intersection(near))


def mouth_mm(row: Json) -> float:
    """Half the width of a plate's widest notch, mm: of one line, or of lines that end side by side."""
    ends = _ends(row)
    half = max(_V_MM, float(row["offset_mm"]))
    widest, left = 0.0, list(range(len(ends)))
    while left:
        some = [left.pop(0)]
        for number in some:
            more = [other for other in left if _end_beside(ends[number], ends[other])]
            some += more
            left = [other for other in left if other not in more]
        at, way = ends[some[0]]
        sides = [float(way[0] * (ends[n][0] - at)[1] - way[1] * (ends[n][0] - at)[0]) for n in some]
        widest = max(widest, max(sides) - min(sides))
    return max(_MOUTH_MM, widest / 2.0 + half + _EDGE_MM)


def _ends(row: Json) -> list[tuple[FloatArray, FloatArray]]:
    """Where lines of a plate that may be notched end, the middle line too, each with its way inward."""
    lines = [guide["points_mm"] for guide in row["guides"] if guide["how"] not in {"edge", "none"}]
    lines += [row["middle_mm"]] if row["middle_mm"] else []
    found = []
    for points in (np.array(line, dtype=np.float64) for line in lines):
        for end, before in ((points[0], points[1]), (points[-1], points[-2])):
            if np.hypot(*(before - end)) > 0.0:
                found.append((end, (before - end) / np.hypot(*(before - end))))
    return found


def _end_beside(one: tuple[FloatArray, FloatArray], other: tuple[FloatArray, FloatArray]) -> bool:
    """Whether two lines end side by side: one may end before the other as far as an edge may run aslant."""
    (at, way), (there, its_way) = one, other
    off = there - at
    across = abs(float(way[0] * off[1] - way[1] * off[0]))
    along = abs(float(way @ off))
    return across < _BESIDE_MM and along < _BESIDE_MM + 2.0 * _PAST_MM and float(way @ its_way) > _NOTCHED


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
    ends = shapely.MultiPoint([at for at, _ in _ends(row)])
    seams = [shapely.LineString(row["middle_mm"])] if row["middle_mm"] else []
    away = shapely.union_all([*(shapely.transform(ends, to) for to in positions(row)), *seams])
    clear = np.ones(len(ring_points), dtype=bool)
    if not away.is_empty:
        clear = shapely.distance(away, ring_points) > mouth_mm(row) + _PAST_MM
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
    missing: list[str] = []
    worst = 0.0
    counts: dict[str, int] = {}
    for guide in plate.row["guides"]:
        how = str(guide["how"])
        counts[how] = counts.get(how, 0) + 1
        off = guide_off(plate, guide)
        if off is None:
            missing.append(f"{guide['name']} ({how})")
        else:
            worst = max(worst, off)
    what = f"template {plate.name}: " + ", ".join(f"{counts[how]} {how}" for how in sorted(counts))
    if missing:
        table.wrong("R23", what, "open over every line", f"closed over {', '.join(missing[:4])}")
    else:
        table.off("R23", what, worst, MARK_MM)


def guide_off(plate: Joined, guide: Json) -> float | None:
    """How far a guide's line lies from the middle of its opening, or from its place beside the wall of one
    that lines share, mm; None where there is no opening.
    """
    how, slot = str(guide["how"]), float(plate.row["slot_mm"])
    if how in {"edge", "none"}:
        return 0.0
    line = _line(guide)
    points = _sampled(line, _STEP_MM)
    if how in {"slot", "groove"}:
        level = plate.half if how == "slot" else plate.top
        void = plate.edge.difference(level)
        inside = shapely.distance(void, points) <= MARK_MM
        beside = _neighbours(plate, guide, slot) if how == "slot" else ()
        between = any(side > 0.0 for side in beside) and any(side < 0.0 for side in beside)
        # a window is open too, and guides nothing: there is a wall beside a slot, or a line and then a wall
        wide = slot + _APART_MM if between else slot / 2.0
        walled = shapely.distance(level, points) <= wide + MARK_MM
        along = shapely.line_locate_point(line, points[inside & walled])
        reach = float(along.max() - along.min()) if len(along) else 0.0
        # a rule is laid from one opening to another, or the line is drawn in one that is long enough
        if len(along) < _LEAST_OPEN * len(points) and reach < _LEAST_REACH * line.length:
            return None
        if how == "groove" or between:
            return 0.0
        apart = (_SHARED_MM - min(map(abs, beside), default=0.0)) / 2.0 if beside else 0.0
        return _beside(level, line, slot, max(float(plate.row["offset_mm"]), apart))
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


def _neighbours(plate: Joined, guide: Json, slot: float) -> tuple[float, ...]:
    """How far, to the left, lines lie that run beside a straight line so closely that they share its slot."""
    points = np.array(guide["points_mm"], dtype=np.float64)
    if len(points) != 2:
        return ()
    way = (points[1] - points[0]) / np.hypot(*(points[1] - points[0]))
    line = shapely.LineString(points)
    near, whole = line.buffer(slot + _APART_MM), float(line.length)
    found = []
    for other in plate.row["guides"]:
        its = np.array(other["points_mm"], dtype=np.float64)
        if other is guide or other["how"] != "slot" or len(its) != 2:
            continue
        run = its[1] - its[0]
        length = float(np.hypot(*run))
        shared = float(near.intersection(shapely.LineString(its)).length)
        if abs(float(run @ way)) < _PARALLEL * length or shared <= 0.5 * min(length, whole):
            continue
        side = float(np.mean(way[0] * (its - points[0])[:, 1] - way[1] * (its - points[0])[:, 0]))
        if abs(side) > _LOOK_MM / 2.0:
            found.append(side)
    return tuple(found)
