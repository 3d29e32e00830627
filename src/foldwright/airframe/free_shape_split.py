"""An outline split along fold lines into panels: ends brought on to the outline, then cut chord by chord.

Everything flat, mm. Rings run counter-clockwise.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from itertools import combinations

import numpy as np
import shapely

from foldwright.base.finding import Finding, Param
from foldwright.base.types import FloatArray

REACH_MM = 0.1
"""An end nearer to the outline than this is brought on to it; common practice, no source."""
LEAST_AREA_MM2 = 1.0
_ALONG = 10.0  # times the reach: how far along its own line an end may be carried on
_OFF_MM = 1e-3
_NECK_MM = 1.0
_SAME = 1e-6


@dataclass(frozen=True, slots=True, eq=False)
class Line:
    """A fold line as drawn, p→q (2,). where: its key path."""

    id: str
    p: FloatArray
    q: FloatArray
    where: str


@dataclass(frozen=True, slots=True)
class Seamed:
    """A fold between two pieces: `left` and `right` of start→stop, indices of pieces and of points."""

    id: str
    start: int
    stop: int
    left: int
    right: int


@dataclass(frozen=True, slots=True, eq=False)
class Split:
    """points (n, 2): the outline's corners with the folds' ends. pieces: rings of indices into them.

    Without findings there is one seam a line, in the order of the lines, and they make the pieces a tree.
    """

    points: FloatArray
    pieces: tuple[tuple[int, ...], ...]
    seams: tuple[Seamed, ...]
    findings: tuple[Finding, ...] = ()

    def ring(self, piece: int) -> FloatArray:
        """Corners (k, 2) of a piece."""
        corners: FloatArray = self.points[list(self.pieces[piece])]
        return corners

    def turned_over(self) -> Split:
        """The same seen from the other face: second axis the other way."""
        return replace(
            self,
            points=self.points * np.array([1.0, -1.0]),
            pieces=tuple(piece[::-1] for piece in self.pieces),
            seams=tuple(replace(seam, left=seam.right, right=seam.left) for seam in self.seams),
        )


@dataclass(slots=True)
class _Ring:
    """An outline that takes points on its edges."""

    corners: FloatArray
    extra: list[tuple[int, float, FloatArray]] = field(default_factory=list)


def split(outline: FloatArray, lines: Sequence[Line]) -> Split:
    """Pieces of an outline (n, 2) between its fold lines; findings G183-G185, G187, G197 say why not."""
    whole = tuple(range(len(outline)))
    ends, findings = _ends(outline, lines)
    if not findings:
        findings = [*_crossings(lines, ends), *_off_board(outline, lines, ends)]
    if findings:
        return Split(outline, (whole,), (), tuple(findings))
    points, pairs = _with_ends(outline, ends)
    pieces = [list(range(len(points)))]
    for line, (i, j) in zip(lines, pairs, strict=True):
        cut = _cut(points, pieces, i, j)
        small = 0.0 if cut is None else min(abs(_area(points[part])) for part in cut[1])
        if cut is None or small < LEAST_AREA_MM2:
            params: dict[str, Param] = {"area": small, "least": LEAST_AREA_MM2}
            findings.append(Finding("G185", "no-go", line.where, params, small, LEAST_AREA_MM2, "mm²"))
            continue
        pieces[cut[0] : cut[0] + 1] = cut[1]
    if findings:
        return Split(outline, (whole,), (), tuple(findings))
    return Split(points, tuple(map(tuple, pieces)), _seams(lines, pairs, pieces))


def _area(ring: FloatArray) -> float:
    u, v = ring.T
    return float(u @ np.roll(v, -1) - np.roll(u, -1) @ v) / 2.0


def _ends(
    outline: FloatArray, lines: Sequence[Line]
) -> tuple[list[tuple[FloatArray, FloatArray]], list[Finding]]:
    """Both ends of every line on the outline; G183 for an end that is too far from it."""
    ends: list[tuple[FloatArray, FloatArray]] = []
    findings: list[Finding] = []
    for line in lines:
        length = float(np.hypot(*(line.q - line.p)))
        if length < _SAME:
            params: dict[str, Param] = {"area": 0.0, "least": LEAST_AREA_MM2}
            findings.append(Finding("G185", "no-go", line.where, params, 0.0, LEAST_AREA_MM2, "mm²"))
            continue
        along = (line.q - line.p) / length
        found = [_on_outline(outline, end, along) for end in (line.p, line.q)]
        for end, place in zip((line.p, line.q), found, strict=True):
            if place is None:
                findings.append(_on_fold(lines, line, end) or _away(outline, line, end, along))
        if found[0] is not None and found[1] is not None:
            ends.append((found[0], found[1]))
    return ends, findings


def _on_outline(outline: FloatArray, end: FloatArray, along: FloatArray) -> FloatArray | None:
    """Where an end belongs on the outline: a corner near by, else along its line, else straight across."""
    off = np.hypot(*(outline - end).T)
    nearest = int(np.argmin(off))
    if off[nearest] <= REACH_MM:
        corner: FloatArray = outline[nearest].copy()
        return corner
    ring = shapely.LinearRing(outline)
    if shapely.distance(ring, shapely.Point(end)) > REACH_MM:
        return None
    runs = [(abs(t), place) for t, place in _meetings(outline, end, along) if abs(t) <= _ALONG * REACH_MM]
    if runs:
        return min(runs, key=lambda run: run[0])[1]
    foot = shapely.line_interpolate_point(ring, shapely.line_locate_point(ring, shapely.Point(end)))
    return np.array(foot.coords[0])


def _meetings(outline: FloatArray, end: FloatArray, along: FloatArray) -> list[tuple[float, FloatArray]]:
    """Where the line through `end` meets the outline's edges: how far along it, and the place (2,)."""
    found: list[tuple[float, FloatArray]] = []
    for a, b in zip(outline, np.roll(outline, -1, axis=0), strict=True):
        edge, gap = b - a, a - end
        sine = float(along[0] * edge[1] - along[1] * edge[0])
        if abs(sine) < 1e-9 * float(np.hypot(*edge)):
            continue
        share = float(along[1] * gap[0] - along[0] * gap[1]) / sine
        if -1e-12 <= share <= 1.0 + 1e-12:
            run = float(gap[0] * edge[1] - gap[1] * edge[0]) / sine
            found.append((run, a + min(max(share, 0.0), 1.0) * edge))
    return found


def _on_fold(lines: Sequence[Line], line: Line, end: FloatArray) -> Finding | None:
    """G184 for an end that lies on another fold."""
    for other in lines:
        if other is not line and shapely.distance(_segment(other), shapely.Point(end)) <= REACH_MM:
            params: dict[str, Param] = {"other": other.id, "x": float(end[0]), "y": float(end[1])}
            return Finding("G184", "no-go", line.where, params)
    return None


def _segment(line: Line) -> shapely.LineString:
    return shapely.LineString([line.p, line.q])


def _away(outline: FloatArray, line: Line, end: FloatArray, along: FloatArray) -> Finding:
    """G183: how far an end is from the outline, and where its line meets it."""
    ring = shapely.LinearRing(outline)
    away = float(shapely.distance(ring, shapely.Point(end)))
    foot = shapely.line_interpolate_point(ring, shapely.line_locate_point(ring, shapely.Point(end)))
    meetings = _meetings(outline, end, along)
    to = min(meetings, key=lambda run: abs(run[0]))[1] if meetings else np.array(foot.coords[0])
    params: dict[str, Param] = {
        "x": float(end[0]), "y": float(end[1]), "away": away, "reach": REACH_MM,
        "to_x": float(to[0]), "to_y": float(to[1]),
    }  # fmt: skip
    return Finding("G183", "no-go", line.where, params, away, REACH_MM, "mm")


def _crossings(lines: Sequence[Line], ends: Sequence[tuple[FloatArray, FloatArray]]) -> list[Finding]:
    """G184: folds that meet anywhere but in a common end."""
    found: list[Finding] = []
    for (one, a), (other, b) in combinations(zip(lines, ends, strict=True), 2):
        place = _meet(a, b)
        if place is not None:
            params: dict[str, Param] = {"other": other.id, "x": float(place[0]), "y": float(place[1])}
            found.append(Finding("G184", "no-go", one.where, params))
    return found


def _meet(a: tuple[FloatArray, FloatArray], b: tuple[FloatArray, FloatArray]) -> FloatArray | None:
    """Where two segments meet or come nearer than the reach, common ends left out; None if nowhere."""
    one, other = shapely.LineString(a), shapely.LineString(b)
    common = [p for p in a for q in b if np.hypot(*(p - q)) < _SAME]
    if len(common) > 1:
        return common[0] / 2.0 + common[1] / 2.0
    for ends, line in ((a, other), (b, one)):
        for end in ends:
            apart = all(np.hypot(*(end - p)) >= _SAME for p in common)
            if apart and shapely.distance(line, shapely.Point(end)) <= REACH_MM:
                return end
    met = shapely.intersection(one, other)
    if common or met.is_empty:
        return None
    return np.array(met.centroid.coords[0])


def _off_board(
    outline: FloatArray, lines: Sequence[Line], ends: Sequence[tuple[FloatArray, FloatArray]]
) -> list[Finding]:
    """G187, G197: lines that leave or touch the outline between their ends."""
    board = shapely.Polygon(outline).buffer(_OFF_MM)
    found: list[Finding] = []
    for line, pair in zip(lines, ends, strict=True):
        outside = float(shapely.difference(shapely.LineString(pair), board).length)
        if outside > _OFF_MM:
            found.append(Finding("G187", "no-go", line.where, {"length": outside}, outside, 0.0, "mm"))
        elif (corner := _touched(outline, pair)) is not None:
            found.append(Finding("G197", "no-go", line.where, {"x": float(corner[0]), "y": float(corner[1])}))
    return found


def _touched(outline: FloatArray, ends: tuple[FloatArray, FloatArray]) -> FloatArray | None:
    """A corner of the outline that a line touches between its ends, None where it touches none."""
    line = shapely.LineString(ends)
    for corner in outline:
        away = min(float(np.hypot(*(corner - end))) for end in ends)
        if away > _NECK_MM and shapely.distance(line, shapely.Point(corner)) <= REACH_MM:
            found: FloatArray = corner
            return found
    return None


def _with_ends(
    outline: FloatArray, ends: Sequence[tuple[FloatArray, FloatArray]]
) -> tuple[FloatArray, list[tuple[int, int]]]:
    """The outline with the ends among its corners, and the two indices of each line."""
    ring = _Ring(outline)
    for pair in ends:
        for end in pair:
            _take(ring, end)
    rows = [(k, 0.0, corner) for k, corner in enumerate(ring.corners)] + ring.extra
    points = np.array([place for _, _, place in sorted(rows, key=lambda row: (row[0], row[1]))])

    def index(end: FloatArray) -> int:
        return int(np.argmin(np.hypot(*(points - end).T)))

    return points, [(index(p), index(q)) for p, q in ends]


def _take(ring: _Ring, end: FloatArray) -> None:
    """Add a point to the edge that it lies on, unless a corner or a point is there already."""
    known = [*ring.corners, *(place for _, _, place in ring.extra)]
    if min(float(np.hypot(*(place - end))) for place in known) < _SAME:
        return
    edge = np.roll(ring.corners, -1, axis=0) - ring.corners
    gap = end - ring.corners
    square = np.einsum("ij,ij->i", edge, edge)
    share = np.clip(np.einsum("ij,ij->i", gap, edge) / square, 0.0, 1.0)
    k = int(np.argmin(np.hypot(*(gap - share[:, None] * edge).T)))
    ring.extra.append((k, float(share[k]), end))


def _cut(
    points: FloatArray, pieces: Sequence[list[int]], i: int, j: int
) -> tuple[int, tuple[list[int], list[int]]] | None:
    """Number of the piece that the chord from point i to j divides, and its two parts; None if there is none.

    The first part lies right of i→j, the second left.
    """
    middle = shapely.Point((points[i] + points[j]) / 2.0)
    for number, piece in enumerate(pieces):
        if i not in piece or j not in piece:
            continue
        at = piece.index(i)
        turned = piece[at:] + piece[:at]
        stop = turned.index(j)
        if shapely.Polygon(points[piece]).contains(middle) and 1 < stop < len(turned) - 1:
            return number, (turned[: stop + 1], [*turned[stop:], i])
    return None


def _seams(
    lines: Sequence[Line], pairs: Sequence[tuple[int, int]], pieces: Sequence[list[int]]
) -> tuple[Seamed, ...]:
    sides = {
        (a, b): number
        for number, piece in enumerate(pieces)
        for a, b in zip(piece, [*piece[1:], piece[0]], strict=True)
    }
    return tuple(
        Seamed(line.id, i, j, sides[i, j], sides[j, i]) for line, (i, j) in zip(lines, pairs, strict=True)
    )
