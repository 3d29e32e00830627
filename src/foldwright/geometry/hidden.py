"""Exact hidden-line removal of solids with planar faces, seen without perspective. Lengths in mm.

Every edge is clipped against the triangles of every face turned to the eye that lies before it (parametric
clipping, Cyrus & Beck 1978) and cut where the depth difference changes sign; what no face covers is seen.
Where solids pass through each other, the seam of their faces is an edge too. Nothing is sampled: ends of
lines are exact to rounding (about 1e-9 of the scene's size).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import hypot
from typing import TYPE_CHECKING, Literal

import numpy as np
import shapely

from foldwright.geometry.facets import Solid
from foldwright.geometry.fills import Fill, visible_fills
from foldwright.geometry.scene import Scene, build_scene, first_corners
from foldwright.geometry.seams import seams
from foldwright.geometry.spans import clip_parameters, joined, uncovered, without
from foldwright.geometry.views import View

if TYPE_CHECKING:
    from foldwright.base.types import FloatArray, IntArray

LineKind = Literal["outline", "fold"]

_LEAST_LINE = 1e-3
_SAME_ANGLE = 1e-7
_SAME_PLACE = 1e-4


@dataclass(frozen=True, slots=True)
class Line:
    """A visible straight line on paper, mm: from (x1, y1) to (x2, y2)."""

    kind: LineKind
    x1: float
    y1: float
    x2: float
    y2: float

    @property
    def length(self) -> float:
        """Length on paper in mm."""
        return hypot(self.x2 - self.x1, self.y2 - self.y1)


@dataclass(frozen=True, slots=True)
class Picture:
    """What is seen: lines that never lie on each other, and fills that never overlap, on paper in mm.

    Draw `silhouette` first in a middle shade, then `fills`, then `lines`: no white hairline can then show
    between two fills.
    """

    lines: tuple[Line, ...]
    fills: tuple[Fill, ...]
    silhouette: tuple[Fill, ...]

    @property
    def bounds(self) -> tuple[float, float, float, float]:
        """Least x, least y, greatest x, greatest y in mm; four zeros for an empty picture."""
        xs = [x for line in self.lines for x in (line.x1, line.x2)]
        ys = [y for line in self.lines for y in (line.y1, line.y2)]
        return (min(xs), min(ys), max(xs), max(ys)) if xs else (0.0, 0.0, 0.0, 0.0)


@dataclass(frozen=True, slots=True, eq=False)
class Segments:
    """Edges that might be seen: ends (n, 3) in the picture's frame, mm, and fold (n,): true for a fold."""

    start: FloatArray
    end: FloatArray
    fold: IntArray


def picture(solids: Sequence[Solid], view: View, *, shades: int = 12) -> Picture:
    """Visible lines and fills of closed solids.

    Origin on paper: the scene's origin. shades: number of steps that fills are told apart by. Solids may
    touch and pass through each other. Where two solids share a line, an outline is drawn before a fold;
    where front faces of two solids coincide, the one that comes first in `solids` is seen.
    """
    if not solids:
        return Picture((), (), ())
    scene = build_scene(solids, view)
    segments = candidate_segments(solids, scene)
    edge, low, high = visible_parts(segments, scene)
    fills, silhouette = visible_fills(scene, [solid.tone for solid in solids], shades)
    return Picture(_lines(segments, edge, low, high), fills, silhouette)


def candidate_segments(solids: Sequence[Solid], scene: Scene) -> Segments:
    """True edges with a face turned to the eye, silhouettes of curved surfaces, and seams between solids."""
    faces_before = [0, *np.cumsum([len(solid.faces) for solid in solids])[:-1].tolist()]
    rows = [
        (e.a + corner, e.b + corner, e.left + face, e.right + face, e.kind == "fold", e.kind == "smooth")
        for solid, corner, face in zip(solids, first_corners(solids), faces_before, strict=True)
        for e in solid.edges
    ]
    table = np.array(rows, dtype=np.int64).reshape(-1, 6)
    left, right = scene.front[table[:, 2]], scene.front[table[:, 3]]
    table = table[np.where(table[:, 5] == 1, left != right, left | right)]
    seam_start, seam_end = seams(scene)
    start = np.concatenate([scene.points[table[:, 0]], seam_start])
    end = np.concatenate([scene.points[table[:, 1]], seam_end])
    fold = np.concatenate([table[:, 4], np.zeros(len(seam_start), dtype=np.int64)])
    seen = np.hypot(*(end - start)[:, :2].T) > _LEAST_LINE
    return Segments(start[seen], end[seen], fold[seen])


def visible_parts(segments: Segments, scene: Scene) -> tuple[IntArray, FloatArray, FloatArray]:
    """Segment, start and end (0 to 1 along it) of every part that no face before it covers."""
    edge, triangle = _pairs(segments, scene)
    face = scene.triangle_face[triangle]
    normal, offset = scene.normals[face], scene.offsets[face]
    start, end = segments.start[edge], segments.end[edge]
    # Depth below the face along its normal: the sign of the depth difference without dividing by it.
    below_start = offset - np.einsum("ij,ij->i", normal, start) - scene.eps
    below_end = offset - np.einsum("ij,ij->i", normal, end) - scene.eps
    behind = np.maximum(below_start, below_end) > 0.0
    edge, triangle, start, end = edge[behind], triangle[behind], start[behind], end[behind]
    corners = scene.points[scene.triangles[triangle]][:, :, :2]
    inside_start, inside_end = _inside(corners, start, scene.eps), _inside(corners, end, scene.eps)
    low, high = clip_parameters(
        np.column_stack([inside_start, below_start[behind]]), np.column_stack([inside_end, below_end[behind]])
    )
    real = high > low
    owner, first, last = uncovered(edge[real], low[real], high[real], len(segments.start))
    span = np.hypot(*(segments.end - segments.start)[:, :2].T)[owner] * (last - first)
    keep = span > _LEAST_LINE
    return owner[keep], first[keep], last[keep]


def _inside(corners: FloatArray, points: FloatArray, eps: float) -> FloatArray:
    """Distance (n, 3) of points (n, 3) inside the three sides of triangles (n, 3, 2) on paper, plus eps."""
    side = np.roll(corners, -1, axis=1) - corners
    arm = points[:, None, :2] - corners
    length = np.maximum(np.hypot(side[:, :, 0], side[:, :, 1]), eps)
    distance: FloatArray = (side[:, :, 0] * arm[:, :, 1] - side[:, :, 1] * arm[:, :, 0]) / length
    return distance + eps


def _pairs(segments: Segments, scene: Scene) -> tuple[IntArray, IntArray]:
    """Segments and triangles whose boxes on paper meet."""
    corners = scene.points[scene.triangles][:, :, :2]
    low, high = corners.min(axis=1), corners.max(axis=1)
    tree = shapely.STRtree(shapely.box(low[:, 0], low[:, 1], high[:, 0], high[:, 1]))
    start, end = segments.start[:, :2], segments.end[:, :2]
    low, high = np.minimum(start, end) - scene.eps, np.maximum(start, end) + scene.eps
    edge, triangle = tree.query(shapely.box(low[:, 0], low[:, 1], high[:, 0], high[:, 1]))
    return edge.astype(np.int64), triangle.astype(np.int64)


def _lines(segments: Segments, edge: IntArray, low: FloatArray, high: FloatArray) -> tuple[Line, ...]:
    """Visible parts as lines on paper: parts of one line joined, each place drawn once, outlines first."""
    along = (segments.end - segments.start)[edge, :2]
    along = along / np.hypot(along[:, 0], along[:, 1])[:, None]
    start = segments.start[edge, :2] + low[:, None] * (segments.end - segments.start)[edge, :2]
    end = segments.start[edge, :2] + high[:, None] * (segments.end - segments.start)[edge, :2]
    lines: list[Line] = []
    for members in _collinear(along, start, end):
        axis, origin = along[members[0]], start[members[0]]
        ends = np.stack([(start[members] - origin) @ axis, (end[members] - origin) @ axis])
        first, last = ends.min(axis=0), ends.max(axis=0)
        fold = segments.fold[edge[members]] == 1
        outlines = joined(first[~fold], last[~fold], _SAME_PLACE)
        folds = without(joined(first[fold], last[fold], _SAME_PLACE), outlines, _LEAST_LINE)
        lines += [_line("outline", origin, axis, a, b) for a, b in outlines]
        lines += [_line("fold", origin, axis, a, b) for a, b in folds]
    return tuple(sorted(lines, key=_order))


def _line(kind: LineKind, origin: FloatArray, axis: FloatArray, a: float, b: float) -> Line:
    """The line from a to b along an axis, its ends in order of x, then y."""
    (x1, y1), (x2, y2) = sorted(tuple((origin + t * axis).tolist()) for t in (a, b))
    return Line(kind, x1, y1, x2, y2)


def _order(line: Line) -> tuple[str, float, float, float, float]:
    """Order of lines in a picture, safe against rounding."""
    return (line.kind, round(line.x1, 4), round(line.y1, 4), round(line.x2, 4), round(line.y2, 4))


def _collinear(along: FloatArray, start: FloatArray, end: FloatArray) -> list[IntArray]:
    """Groups of parts that lie on one line on paper; along (n, 2): unit directions."""
    angle = np.arctan2(along[:, 1], along[:, 0]) % np.pi
    angle = np.where(np.pi - angle < _SAME_ANGLE, angle - np.pi, angle)
    groups: list[IntArray] = []
    for parallel in _clusters(angle, np.arange(len(angle)), _SAME_ANGLE):
        axis = along[parallel[0]]
        middle = 0.5 * (start[parallel] + end[parallel])
        across = axis[0] * middle[:, 1] - axis[1] * middle[:, 0]
        groups += _clusters(across, parallel, _SAME_PLACE)
    return groups


def _clusters(values: FloatArray, members: IntArray, gap: float) -> list[IntArray]:
    """Members split wherever their sorted values stand further apart than `gap`."""
    if len(values) == 0:
        return []
    order = np.argsort(values, kind="stable")
    breaks = np.flatnonzero(np.diff(values[order]) > gap) + 1
    return [np.asarray(part) for part in np.split(members[order], breaks)]
