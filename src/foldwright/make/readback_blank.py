"""A blank rebuilt from the lines of its sheet. The airframe file gives names, angles, methods and placement
[mm].

Each fold is found by its name: the words stand beside its line, on the child's side.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace

import numpy as np
import shapely

from foldwright.base.types import FloatArray
from foldwright.design.workshop import Cutter
from foldwright.geometry.fold.flatcheck import cut_lines
from foldwright.geometry.fold.model import Blank, EdgeCut, Face, Fold, Mark
from foldwright.layout.as_cut import bevels
from foldwright.make.blank_drawing import CROSS_MM, BlankDrawing, Line, draw_blank
from foldwright.make.fold_table import edge_pen, fold_words
from foldwright.make.kerf import unkerfed
from foldwright.make.readback_panels import PARALLEL, FoundFold, panels_of, parallel
from foldwright.make.readback_rows import FOLD_MM, MARK_MM, OUTLINE_MM, Table
from foldwright.make.readback_sheet import ReadLine, ReadPart, ReadWords
from foldwright.make.readback_words import check_words

# How far from its line a fold's name may stand, beyond the fold's other lines.
_NAME_REACH = 8.0
_ONE_LINE = 0.02
_OUT_OF_HOLE = 1.0  # mm: kerf and rounding at both of its edges
# A line further than this from its place is taken for another one.
_SEARCH = 3.0


@dataclass(slots=True)
class _Desk:
    """Lines of a part while they are being claimed, and the blank's record."""

    lines: list[ReadLine]
    record: Blank
    claimed: set[int] = field(default_factory=set)

    def free(self, face: Face, pens: Sequence[str | None]) -> list[int]:
        return [
            k
            for k, line in enumerate(self.lines)
            if k not in self.claimed and line.face == face and line.pen in pens
        ]


@dataclass(frozen=True, slots=True)
class Rebuilt:
    """A blank from the sheet, or None where its lines do not make one; rows of what was compared on the
    way.
    """

    blank: Blank | None
    table: Table


def rebuild(part: ReadPart, record: Blank, cutter: Cutter) -> Rebuilt:
    """Rebuild one copy of a blank and compare it with its record, line by line."""
    table = Table()
    where = part.name if part.copy == 1 else f"{part.name} #{part.copy}"
    drawn = draw_blank(record, cutter)
    rings = _without_kerf(part, drawn, cutter.kerf_mm, table, where)
    _slits(part, record, table, where)
    desk = _Desk(list(part.lines), record)
    marks = _find_marks(desk, record, table, where)
    found = [_find_fold(desk, part, fold, drawn, cutter, table, where) for fold in record.folds]
    slanted = _find_bevels(desk, record, drawn, table, where)
    check_words(table, part, record, where)
    for k, line in enumerate(desk.lines):
        if k not in desk.claimed:
            x, y = line.points.mean(axis=0)
            told = f"a {line.pen} line on face {line.face} near ({x:.1f}, {y:.1f})"
            table.wrong("R06", f"{where}: lines", "every line belongs to a fold, bevel or mark", told)
    if rings is None or any(fold is None for fold in found):
        return Rebuilt(None, table)
    folds = [fold for fold in found if fold is not None]
    panels = panels_of(rings, part.slits, folds, slanted, record, table, where)
    if panels is None:
        return Rebuilt(None, table)
    made = tuple(replace(fold.record, p=fold.p, q=fold.q) for fold in folds)
    blank = replace(record, panels=panels, folds=made, marks=tuple(marks))
    return Rebuilt(blank, table)


def _without_kerf(
    part: ReadPart, drawn: BlankDrawing, kerf: float, table: Table, where: str
) -> tuple[FloatArray, ...] | None:
    """Rings with the kerf taken off, in the record's order, each compared with the record."""
    if len(part.rings) != len(drawn.rings):
        table.wrong("R03", f"{where}: holes", str(len(drawn.rings) - 1), str(len(part.rings) - 1))
        return None
    left = list(range(1, len(part.rings)))
    result: list[FloatArray] = []
    worst = 0.0
    for index, true in enumerate(drawn.rings):
        if index == 0:
            ring = part.rings[0]
        else:
            nearest = min(
                left, key=lambda k: float(np.hypot(*(part.rings[k].mean(axis=0) - true.mean(axis=0))))
            )
            left.remove(nearest)
            ring = part.rings[nearest]
        grow = kerf / 2.0 if index == 0 else -kerf / 2.0
        bare = unkerfed(ring, true, grow)
        if bare is None:
            table.wrong(
                "R03", f"{where}: outline", "a ring that is whole without its kerf", "one that crosses itself"
            )
            return None
        result.append(bare)
        worst = max(worst, ring_distance(bare, true))
    table.off("R03", f"{where}: outline and holes without kerf", worst, OUTLINE_MM)
    return tuple(result)


def ring_distance(one: FloatArray, other: FloatArray) -> float:
    """Greatest distance of a corner of either ring from the other ring, mm."""
    a, b = shapely.LinearRing(one), shapely.LinearRing(other)
    return float(
        max(shapely.distance(shapely.points(one), b).max(), shapely.distance(shapely.points(other), a).max())
    )


def _slits(part: ReadPart, record: Blank, table: Table, where: str) -> None:
    wanted = [shapely.LineString(line) for line in cut_lines(record)]
    got = [shapely.LineString(line) for line in part.slits]
    if not wanted and not got:
        return
    if len(wanted) != len(got):
        table.wrong("R03", f"{where}: cuts inside", str(len(wanted)), str(len(got)))
        return
    worst = max(min(float(w.hausdorff_distance(g)) for g in got) for w in wanted)
    table.off("R03", f"{where}: cuts inside", worst, OUTLINE_MM)


def _find_marks(desk: _Desk, record: Blank, table: Table, where: str) -> list[Mark]:
    """Marks of the record found on the face where they belong."""
    found: list[Mark] = []
    for mark in record.marks:
        what = f"{where}: mark {mark.name} on face {mark.face}"
        points = _cross(desk, mark) if len(mark.points) == 1 else _polyline(desk, mark)
        if points is None:
            table.wrong("R05", what, "drawn there", "not there")
            continue
        table.off("R05", what, float(np.hypot(*(points - mark.points).T).max()), MARK_MM)
        found.append(replace(mark, points=points))
    return found


def _polyline(desk: _Desk, mark: Mark) -> FloatArray | None:
    best: tuple[float, int, FloatArray] | None = None
    closed = len(mark.points) > 3 and bool(np.abs(mark.points[0] - mark.points[-1]).max() < 1e-6)
    for k in desk.free(mark.face, ("mark",)):
        points = desk.lines[k].points
        if closed:
            points = np.concatenate([points, points[:1]])
        if points.shape != mark.points.shape:
            continue
        for way in (points, points[::-1]):
            off = float(np.hypot(*(way - mark.points).T).max())
            if best is None or off < best[0]:
                best = (off, k, way)
    if best is None or best[0] > _SEARCH:
        return None
    desk.claimed.add(best[1])
    return best[2]


def _cross(desk: _Desk, mark: Mark) -> FloatArray | None:
    """The middle of two arms that cross at a mark's place."""
    arms: list[int] = []
    for k in desk.free(mark.face, ("mark",)):
        points = desk.lines[k].points
        if len(points) != 2 or abs(np.hypot(*(points[1] - points[0])) - 2.0 * CROSS_MM) > 0.5:
            continue
        if np.hypot(*(points.mean(axis=0) - mark.points[0])) <= _SEARCH:
            arms.append(k)
    if len(arms) != 2:
        return None
    desk.claimed.update(arms)
    middles = np.stack([desk.lines[k].points.mean(axis=0) for k in arms])
    apart = float(np.hypot(*(middles[1] - middles[0])))
    # arms that do not meet in their middles are as far out of place as they are apart
    far = int(np.argmax(np.hypot(*(middles - mark.points[0]).T)))
    point: FloatArray = middles[far] if apart > 1e-3 else middles.mean(axis=0)
    return point[None]


def _find_fold(
    desk: _Desk, part: ReadPart, fold: Fold, drawn: BlankDrawing, cutter: Cutter, table: Table, where: str
) -> FoundFold | None:
    """The lines of one fold, found by its name."""
    what = f"{where}: fold {fold.name} on face {fold.opened}"
    words = _names_of(part, fold, desk.record)
    if len(words) != 1:
        table.wrong("R04", what, "its name beside it, once", f"{len(words)} times")
        return None
    ideal = [line for line in drawn.lines if line.name == fold.name and line.role in {"fold", "edge"}]
    middles = [line for line in ideal if line.role == "fold"]
    pen = middles[0].pen
    reach = max((_away(line, fold) for line in ideal), default=0.0)
    holes = shapely.union_all([shapely.Polygon(ring) for ring in part.rings[1:]])
    middle = _middle(desk, middles, words[0], reach + _NAME_REACH, holes)
    if middle is None:
        table.wrong("R04", what, f"a {pen} line beside its name", "none")
        return None
    p, q = middle
    along = (q - p) / np.hypot(*(q - p))
    if float(np.array([-along[1], along[0]]) @ (words[0].at - p)) < 0.0:
        p, q = q, p
    off = max(float(np.hypot(*(p - fold.p))), float(np.hypot(*(q - fold.q))))
    table.off("R04", what, off, FOLD_MM)
    left, right = _beside(desk, fold, ideal, (p, q), cutter, table, what)
    return FoundFold(fold, p, q, left, right)


def _names_of(part: ReadPart, fold: Fold, record: Blank) -> list[ReadWords]:
    """The words on a fold's face that name it. Where marks have its name too, the fold's are those with its
    method and, where there was no room for that, those nearest to its line.
    """
    named = [w for w in part.words if w.face == fold.opened and w.words.split(",")[0].strip() == fold.name]
    if len(named) < 2 or not any(m.name == fold.name and m.face == fold.opened for m in record.marks):
        return named
    whole = [w for w in named if w.words == fold_words(fold)[0]]
    line = shapely.LineString([fold.p, fold.q])
    return whole or [min(named, key=lambda w: float(line.distance(shapely.Point(w.at))))]


def _away(line: Line, fold: Fold) -> float:
    """Greatest distance of a line from a fold's own line."""
    along = (fold.q - fold.p) / fold.length
    off = line.points - fold.p
    return float(np.abs(along[0] * off[:, 1] - along[1] * off[:, 0]).max())


def _middle(
    desk: _Desk, ideal: Sequence[Line], words: ReadWords, reach: float, holes: shapely.Geometry
) -> tuple[FloatArray, FloatArray] | None:
    """Ends of a fold's own line, with its pieces beyond holes.

    Of the lines beside its name and parallel to it the one is taken that lies most like the line looked for:
    where a cutter can only mark, the lines beside a fold are of the same pen as the fold itself.
    """
    best: tuple[float, int] | None = None
    face, pen = words.face, ideal[0].pen
    for k in desk.free(face, (pen,)):
        points = desk.lines[k].points
        if len(points) != 2 or not parallel(points[1] - points[0], words.along, 0.02):
            continue
        if float(shapely.LineString(points).distance(shapely.Point(words.at))) > reach:
            continue
        off = min(_ends_off(way, line.points) for line in ideal for way in (points, points[::-1]))
        if best is None or off < best[0]:
            best = (off, k)
    if best is None:
        return None
    desk.claimed.add(best[1])
    first = desk.lines[best[1]].points
    run = (first[1] - first[0]) / np.hypot(*(first[1] - first[0]))
    low, high = 0.0, float(np.hypot(*(first[1] - first[0])))
    own = shapely.MultiPoint(np.concatenate([line.points for line in ideal])).convex_hull
    while True:
        grown = _next_piece(desk, desk.free(face, (pen,)), first[0], run, (low, high), (holes, own))
        if grown is None:
            return first[0] + low * run, first[0] + high * run
        low, high = grown


def _next_piece(
    desk: _Desk, free: Sequence[int], origin: FloatArray, run: FloatArray, span: tuple[float, float],
    within: tuple[shapely.Geometry, shapely.Geometry],
) -> tuple[float, float] | None:  # fmt: skip
    """The span with one more piece of the same line, if nothing but a hole lies between the two and the piece
    stands where the fold is wanted: beyond may lie another fold in line with it. within: holes, that place.
    """
    holes, own = within
    for k in free:
        off = desk.lines[k].points - origin
        if len(off) != 2 or bool((np.abs(run[0] * off[:, 1] - run[1] * off[:, 0]) > _ONE_LINE).any()):
            continue
        start, stop = sorted((off @ run).tolist())
        gap = (stop, span[0]) if stop <= span[0] else (span[1], start)
        between = shapely.LineString(origin + np.outer(gap, run))
        if gap[1] < gap[0] or between.difference(holes).length > _OUT_OF_HOLE:
            continue
        middle = shapely.Point(origin + (start + stop) / 2.0 * run)
        if between.intersection(holes).length == 0.0 or float(shapely.distance(own, middle)) > _SEARCH:
            continue
        desk.claimed.add(k)
        return min(start, span[0]), max(stop, span[1])
    return None


def _beside(
    desk: _Desk,
    fold: Fold,
    ideal: Sequence[Line],
    drawn: tuple[FloatArray, FloatArray],
    cutter: Cutter,
    table: Table,
    what: str,
) -> tuple[float, float]:
    """Distances of the lines beside a fold, to the left (child) and to the right (parent), 0 where there
    are none. drawn: ends of the fold's own line.
    """
    p, q = drawn
    along = (q - p) / np.hypot(*(q - p))
    found = {1.0: 0.0, -1.0: 0.0}
    for line in (line for line in ideal if line.role == "edge"):
        wanted = line.points - fold.p
        offset = float((wanted @ np.array([-along[1], along[0]])).mean())
        side = 1.0 if offset > 0.0 else -1.0
        best: tuple[float, int, float] | None = None
        for k in desk.free(line.face or fold.opened, (edge_pen(fold.method, cutter),)):
            points = desk.lines[k].points
            if len(points) != 2 or not parallel(points[1] - points[0], along, PARALLEL):
                continue
            away = float(((points - p) @ np.array([-along[1], along[0]])).mean())
            off = min(_ends_off(points, line.points), _ends_off(points[::-1], line.points))
            if off <= _SEARCH and (best is None or off < best[0]):
                best = (off, k, away)
        if best is None:
            table.wrong("R04", what, f"a line {abs(offset):.2f} mm beside it", "none")
            continue
        desk.claimed.add(best[1])
        table.off("R04", f"{what}, line beside it", best[0], FOLD_MM)
        found[side] = max(found[side], abs(best[2]))
    return found[1.0], found[-1.0]


def _ends_off(one: FloatArray, other: FloatArray) -> float:
    return float(np.hypot(*(one - other).T).max())


def _find_bevels(
    desk: _Desk, record: Blank, drawn: BlankDrawing, table: Table, where: str
) -> list[tuple[FloatArray, EdgeCut]]:
    """Lines of slanted edges as drawn, each with its kind of cut."""
    found: list[tuple[FloatArray, EdgeCut]] = []
    by_name = {line.name: line for line in drawn.lines if line.role == "bevel"}
    for bevel in bevels(record):
        name = f"{bevel.panel}/{bevel.edge}"
        line = by_name[name]
        what = f"{where}: slanted edge {name} on face {bevel.face}"
        best: tuple[float, int] | None = None
        for k in desk.free(bevel.face, (line.pen,)):
            points = desk.lines[k].points
            if len(points) != 2:
                continue
            off = min(_ends_off(points, line.points), _ends_off(points[::-1], line.points))
            if off <= _SEARCH and (best is None or off < best[0]):
                best = (off, k)
        if best is None:
            table.wrong("R04", what, "drawn there", "not there")
            continue
        desk.claimed.add(best[1])
        table.off("R04", what, best[0], FOLD_MM)
        found.append((desk.lines[best[1]].points, record.panel(bevel.panel).cuts[bevel.edge]))
    return found
