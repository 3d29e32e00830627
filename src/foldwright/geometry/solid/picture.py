"""A quick picture of a printed solid: visible edges and pale faces on paper, for pages of many. mm.

Exact hidden lines (`geometry.hidden`) take seconds for the thousands of facets of recessed letters. Here flat
faces are laid into a grid of small squares by depth [1], the edges are sampled against it, and the faces are
painted from the back to the front in the order that the grid shows. Ends of lines are right to one square.

1. Depth buffer: E. Catmull, "A subdivision algorithm for computer display of curved surfaces", University
   of Utah, 1974.
"""

from __future__ import annotations

import heapq
from dataclasses import dataclass
from itertools import pairwise
from math import ceil, cos, radians, sin

import numpy as np
import numpy.typing as npt
import shapely
from scipy.sparse import coo_array
from scipy.sparse.csgraph import connected_components

from foldwright.base.types import BoolArray, FloatArray
from foldwright.geometry.solid.core import IntArray, Mesh
from foldwright.geometry.solid.flat import cross, flat_groups, normals_of, rims
from foldwright.geometry.views import View

Polyline = tuple[tuple[float, float], ...]

SQUARE = 0.3
"""Side of a square of the grid on paper, mm."""

_FEATURE = cos(radians(15.0))
_LEAST_FILL = 0.02
_SHADES = 16
_BEHIND = 0.3
_BEFORE = 0.4
_LEAST_LINE = 0.25
_CONCAVE_LEAST = 1.2
_SMOOTH = 0.03
_LIGHT = (-0.35, -0.45, 0.82)
_EDGE_ON = 1e-6
_PER_MM = 1000.0
_TRIANGLE = 3
_HOLLOW = 1e-6
_LEVELS = 1 << 22
_NEXT = [1, 2, 0]


@dataclass(frozen=True, slots=True)
class Shaded:
    """A face on paper: outer ring and holes; shade 0 (turned from the light) to 1."""

    rings: tuple[Polyline, ...]
    shade: float


@dataclass(frozen=True, slots=True)
class SolidPicture:
    """What is seen, on paper in mm, from its lower left corner.

    outlines: where the surface turns away from the eye. lines: its other edges. fills: from the back to the
    front.
    """

    width: float
    height: float
    outlines: tuple[Polyline, ...]
    lines: tuple[Polyline, ...]
    fills: tuple[Shaded, ...]


def view_of(size: FloatArray) -> View:
    """An eye for a solid of an extent (3,): before it, to one side and above, its long side across the page.

    Plates are seen more from above, so that what is sunk into them can be read.
    """
    x, y, z = size.tolist()
    flat = z < 0.2 * min(x, y)
    up = radians(58.0 if flat else 33.0)
    aside = radians(20.0 if flat else 35.0)
    ahead, beside = cos(up) * cos(aside), cos(up) * sin(aside)
    eye = (beside, -ahead, sin(up)) if x >= y else (ahead, beside, sin(up))
    return View(eye, (0.0, 0.0, 1.0))


def paper_size(mesh: Mesh, view: View) -> tuple[float, float]:
    """Width and height of a picture at 1:1, mm."""
    seen = view.project(mesh.vertices)[:, :2]
    width, height = (seen.max(axis=0) - seen.min(axis=0)).tolist()
    return width, height


def solid_picture(mesh: Mesh, view: View, ratio: float = 1.0, grid: float = 0.0) -> SolidPicture:
    """A closed surface as it is seen. ratio: mm of the solid a mm of paper; grid: what its corners are
    rounded to, mm.
    """
    group, seeds, twin = flat_groups(mesh, grid)
    own = normals_of(Mesh(mesh.vertices, mesh.faces[seeds]))[0]
    normals = own @ view.axes.T
    shades = np.clip(0.5 + 0.5 * (own @ (np.array(_LIGHT) / np.linalg.norm(_LIGHT))), 0.0, 1.0)
    seen = view.project(mesh.vertices) / ratio
    flat = Mesh(seen - np.append(seen[:, :2].min(axis=0), 0.0), mesh.faces)
    one, other = np.repeat(group, 3), group[twin // 3]
    step = np.minimum((shades * _SHADES).astype(np.int64), _SHADES - 1)
    smooth = np.einsum("ij,ij->i", normals[one], normals[other]) > _FEATURE
    smooth &= (normals[one, 2] > _EDGE_ON) & (normals[other, 2] > _EDGE_ON)
    surface = _tied(one[smooth], other[smooth], len(seeds))
    smooth &= step[one] == step[other]
    band = _tied(one[smooth], other[smooth], len(seeds))
    _, first = np.unique(band, return_index=True)
    front = normals[first, 2] > _EDGE_ON
    squares = _grid(flat, band[group], front, surface[first])
    width, height = flat.vertices[:, :2].max(axis=0).tolist()
    off = max(_HOLLOW, 3.0 * grid / ratio)
    outlines, lines = _lines(flat, off, (group, twin), normals, surface, squares)
    fills = _fills(flat, band[group], twin, squares, shades[first])
    return SolidPicture(width, height, outlines, lines, fills)


def _tied(one: IntArray, other: IntArray, count: int) -> IntArray:
    """Number of the connected set of each of `count` faces, tied in pairs."""
    ties = coo_array((np.ones(len(one)), (one, other)), shape=(count, count))
    label: IntArray = connected_components(ties, directed=False)[1].astype(np.int64)
    return label


@dataclass(frozen=True, slots=True, eq=False)
class _Grid:
    """Squares of paper and the faces over each. square, face: sorted by square, the nearest face first.
    seen, deep: the nearest face of every square with a rim of one square about them, -1 for none, and how
    near it comes there; surface: the smooth surface that it is of.
    """

    wide: int
    high: int
    square: IntArray
    face: IntArray
    seen: IntArray
    deep: FloatArray
    surface: IntArray

    def shows(self, points: FloatArray, one: IntArray, other: IntArray) -> BoolArray:
        """Whether points (n, 3) on the edge of two surfaces are seen: one of these is, or something further
        away, in or beside the square, and no other surface in the square is clearly before them.
        """
        column = np.clip((points[:, 0] / SQUARE).astype(np.int64), 0, self.wide - 1) + 1
        row = np.clip((points[:, 1] / SQUARE).astype(np.int64), 0, self.high - 1) + 1
        found = np.zeros(len(points), dtype=bool)
        for up in (-1, 0, 1):
            for right in (-1, 0, 1):
                there = self.surface[row + up, column + right]
                found |= (there == one) | (there == other)
                found |= self.deep[row + up, column + right] < points[:, 2] - _BEHIND
        here = self.surface[row, column]
        before = self.deep[row, column] > points[:, 2] + _BEFORE
        shown: BoolArray = found & ~(before & (here != one) & (here != other))
        return shown

    def over(self) -> list[list[int]]:
        """Pairs of faces, the second of which lies over the first in some square."""
        same = self.square[:-1] == self.square[1:]
        far, near = self.face[1:][same], self.face[:-1][same]
        count = int(self.face.max(initial=0)) + 1
        pairs = np.unique((far * count + near)[far != near])
        return [[pair // count, pair % count] for pair in pairs.tolist()]


def _grid(flat: Mesh, group: IntArray, front: BoolArray, surface: IntArray) -> _Grid:
    """The faces turned to the eye, laid into squares by depth. group: face of each triangle; front, surface:
    whether a face is turned to the eye, and the smooth surface it is of.
    """
    wide, high = (ceil(v / SQUARE) + 1 for v in flat.vertices[:, :2].max(axis=0).tolist())
    shown = np.flatnonzero(front[group])
    square, triangle, depth = _covered(flat.vertices[flat.faces[shown]], wide)
    # Squares by number, in each the nearest first: one whole number for both sorts in half the time.
    top, low = float(depth.max(initial=0.0)), float(depth.min(initial=0.0))
    level = np.rint((top - depth) * (_LEVELS / max(top - low, 1e-9))).astype(np.int64)
    order = np.argsort(square * (_LEVELS + 1) + level, kind="stable")
    square, face = square[order], group[shown[triangle[order]]]
    seen = np.full((high + 2, wide + 2), -1, dtype=np.int64)
    first = np.flatnonzero(np.diff(square, prepend=-1))
    deep = np.full(seen.shape, -np.inf)
    at = (square[first] // wide + 1, square[first] % wide + 1)
    seen[at], deep[at] = face[first], depth[order][first]
    return _Grid(wide, high, square, face, seen, deep, np.where(seen >= 0, surface[seen], -1))


def _covered(corners: FloatArray, wide: int) -> tuple[IntArray, IntArray, FloatArray]:
    """Squares (by number, rows of `wide`) whose middles triangles (n, 3, 3) cover, which triangle, and the
    depth there: row by row, between the least and greatest x of the triangle on that row.
    """
    y = corners[:, :, 1] / SQUARE - 0.5
    low, high = np.ceil(y.min(axis=1)).astype(np.int64), np.floor(y.max(axis=1)).astype(np.int64)
    triangle, row = _runs(low, high)
    a = corners[triangle][:, :, :2]
    b = a[:, _NEXT]
    level = ((row + 0.5) * SQUARE)[:, None]
    rise = b[:, :, 1] - a[:, :, 1]
    share = np.divide(level - a[:, :, 1], rise, out=np.full_like(rise, -1.0), where=np.abs(rise) > 1e-12)
    x = a[:, :, 0] + share * (b[:, :, 0] - a[:, :, 0])
    on = (share >= 0.0) & (share <= 1.0)
    first = np.ceil(np.where(on, x, np.inf).min(axis=1) / SQUARE - 0.5)
    last = np.floor(np.where(on, x, -np.inf).max(axis=1) / SQUARE - 0.5)
    real = np.isfinite(first) & np.isfinite(last) & (last >= first)
    span, column = _runs(first[real].astype(np.int64), last[real].astype(np.int64))
    of, line = triangle[real][span], row[real][span]
    # A plane's depth is linear over the paper: z = a x + b y + c.
    p = corners[:, 0]
    n = cross(corners[:, 1] - p, corners[:, 2] - p)
    slope = -n[:, :2] / np.where(np.abs(n[:, 2]) > 1e-12, n[:, 2], 1.0)[:, None]
    base = p[:, 2] - np.einsum("ij,ij->i", slope, p[:, :2])
    right, up = ((column + 0.5) * SQUARE, (line + 0.5) * SQUARE)
    return line * wide + column, of, slope[of, 0] * right + slope[of, 1] * up + base[of]


def _runs(low: IntArray, high: IntArray) -> tuple[IntArray, IntArray]:
    """For every i the whole numbers from low[i] to high[i]: i of each, and the number."""
    count = np.maximum(high - low + 1, 0)
    owner = np.repeat(np.arange(len(low)), count)
    start = np.cumsum(count) - count
    return owner, low[owner] + np.arange(len(owner)) - start[owner]


def _lines(
    flat: Mesh,
    off: float,
    faces: tuple[IntArray, IntArray],
    normals: FloatArray,
    surface: IntArray,
    grid: _Grid,
) -> tuple[tuple[Polyline, ...], tuple[Polyline, ...]]:
    """Silhouettes, and the other edges, as far as they are seen, joined into polylines.

    An edge at the foot of a wall is left out where it is short: recessed letters show their outlines only.
    off: how far a corner may lie off the plane it is of. faces: group of each triangle, and `twins`.
    """
    group, twin = faces
    half = np.arange(3 * len(group))
    half = half[(half < twin) & (group[half // 3] != group[twin // 3])]
    one, other = group[half // 3], group[twin[half] // 3]
    front_one, front_other = normals[one, 2] > _EDGE_ON, normals[other, 2] > _EDGE_ON
    sharp = np.einsum("ij,ij->i", normals[one], normals[other]) < _FEATURE
    shown = np.where(sharp, front_one | front_other, front_one != front_other)
    start, end = flat.faces.ravel(), flat.faces[:, _NEXT].ravel()
    p, q = flat.vertices[start[half]], flat.vertices[end[half]]
    # An edge is hollow where the far corner of a face lies before the other's plane.
    back = twin[half]
    before = np.maximum(*(
        np.einsum("ij,ij->i", normals[of], flat.vertices[start[h - h % 3 + (h + 2) % 3]] - p)
        for of, h in ((one, back), (other, half))
    ))  # fmt: skip
    hollow = before > off
    length = np.hypot(*(q - p)[:, :2].T)
    shown &= (length > 1e-6) & ~(hollow & (length < _CONCAVE_LEAST))
    rim = shown & (front_one != front_other)
    outlines, lines = (
        _joined(*_seen_parts(p[of], q[of], surface[one[of]], surface[other[of]], grid))
        for of in (rim, shown & ~rim)
    )
    return outlines, lines


def _seen_parts(
    p: FloatArray, q: FloatArray, one: IntArray, other: IntArray, grid: _Grid
) -> tuple[FloatArray, FloatArray]:
    """Ends (n, 2) of the visible runs of segments, found on samples no further apart than a square."""
    length = np.hypot(*(q - p)[:, :2].T)
    count = np.ceil(length / SQUARE).astype(np.int64)
    owner, step = _runs(np.zeros_like(count), count - 1)
    middle = p[owner] + ((step + 0.5) / count[owner])[:, None] * (q - p)[owner]
    seen = grid.shows(middle, one[owner], other[owner])
    before = np.zeros_like(seen)
    before[1:] = seen[:-1] & (owner[1:] == owner[:-1])
    after = np.zeros_like(seen)
    after[:-1] = seen[1:] & (owner[1:] == owner[:-1])
    first, last = np.flatnonzero(seen & ~before), np.flatnonzero(seen & ~after)
    of = owner[first]
    low, high = step[first] / count[of], (step[last] + 1) / count[of]
    along = (q - p)[of, :2]
    return p[of, :2] + low[:, None] * along, p[of, :2] + high[:, None] * along


def _joined(start: FloatArray, end: FloatArray) -> tuple[Polyline, ...]:
    """Segments put end to end, smoothed; what is too short to be seen is left out."""
    ends = np.rint(np.stack([start, end], axis=1) * _PER_MM).astype(np.int64).reshape(-1, 2)
    points, number = np.unique(ends[:, 0] << 32 | ends[:, 1], return_inverse=True)
    one, other = number.reshape(-1, 2).T
    keys = np.unique((np.minimum(one, other) * len(points) + np.maximum(one, other))[one != other])
    if len(keys) == 0:
        return ()
    node, starts = _chained(np.column_stack([keys // len(points), keys % len(points)]), len(points))
    places = np.column_stack([points >> 32, points & 0xFFFFFFFF])[node] / _PER_MM
    owner = np.repeat(np.arange(len(starts)), np.diff(starts, append=len(node)))
    lines = np.asarray(shapely.linestrings(places, indices=owner), dtype=object)
    smooth = shapely.simplify(lines[shapely.length(lines) > _LEAST_LINE], _SMOOTH, preserve_topology=False)
    return tuple(sorted(_polylines(smooth)))


def _chained(pairs: IntArray, count: int) -> tuple[IntArray, IntArray]:
    """Nodes of chains of pairs, one chain after another, and where each starts. A chain ends where other than
    two pairs meet; a ring comes back to its first node. count: of nodes.
    """
    ends = pairs.ravel()
    meet = np.bincount(ends, minlength=count)
    order = np.argsort(ends, kind="stable")
    at = (np.cumsum(meet) - meet).tolist()
    edge, node, through = (order // 2).tolist(), ends[order ^ 1].tolist(), (meet == 2).tolist()
    meeting = meet.tolist()
    done = [False] * len(pairs)
    found: list[int] = []
    starts: list[int] = []
    # Chains with ends first; what is left then are rings.
    for first in (*np.flatnonzero((meet > 0) & (meet != 2)).tolist(), *np.flatnonzero(meet == 2).tolist()):
        for way in range(at[first], at[first] + meeting[first]):
            if done[edge[way]]:
                continue
            starts.append(len(found))
            found.append(first)
            k = way
            while not done[edge[k]]:
                done[edge[k]] = True
                here = node[k]
                found.append(here)
                if not through[here]:
                    break
                k = at[here] + (edge[at[here]] == edge[k])
    return np.array(found, dtype=np.int64), np.array(starts, dtype=np.int64)


def _polylines(lines: npt.NDArray[np.object_]) -> list[Polyline]:
    """Their points, rounded; none for a line that has none."""
    points, owner = shapely.get_coordinates(lines, return_index=True)
    x, y = (np.round(points, 3) + 0.0).T.tolist()
    rows = list(zip(x, y, strict=True))
    bounds = np.searchsorted(owner, np.arange(len(lines) + 1)).tolist()
    return [tuple(rows[low:high]) for low, high in pairwise(bounds)]


def _fills(
    flat: Mesh, group: IntArray, twin: IntArray, grid: _Grid, shades: FloatArray
) -> tuple[Shaded, ...]:
    """Faces that are seen, each as a whole, from the back to the front; crumbs are left out. group: face of
    each triangle.
    """
    shown = np.unique(grid.seen[grid.seen >= 0])
    wanted = np.zeros(len(shades), dtype=bool)
    wanted[shown] = True
    at = np.repeat(group, 3)
    corners, starts, of = rims(flat.faces, at, wanted[at] & (at != at[twin]), twin)
    rings: dict[int, list[Polyline]] = {}
    for k, ring in zip(*_outlines(flat.vertices[corners, :2], starts, of), strict=True):
        if len(ring) > _TRIANGLE:
            rings.setdefault(k, []).append(ring[:-1])
    return tuple(
        Shaded(tuple(rings[k]), round(float(shades[k]), 3))
        for k in _from_the_back(set(shown.tolist()), grid)
        if k in rings
    )


def _outlines(points: FloatArray, starts: IntArray, of: IntArray) -> tuple[list[int], list[Polyline]]:
    """Loops that are no crumbs, smoothed, and the face of each: a face's outline comes before its holes."""
    count = np.diff(starts, append=len(points))
    owner = np.repeat(np.arange(len(starts)), count)
    onward = np.arange(1, len(points) + 1)
    onward[starts + count - 1] = starts
    x, y = (points - points[starts][owner]).T
    twice = np.abs(np.bincount(owner, x * y[onward] - y * x[onward], len(starts)))
    order = np.lexsort((-np.round(twice, 9), of))
    order = order[twice[order] > 2.0 * _LEAST_FILL]
    kept = np.zeros(len(starts), dtype=bool)
    kept[order] = True
    of_kept = np.cumsum(kept) - 1
    which = kept[owner]
    rings = np.asarray(shapely.linearrings(points[which], indices=of_kept[owner[which]]), dtype=object)
    smooth = shapely.simplify(rings[of_kept[order]], _SMOOTH, preserve_topology=False)
    return of[order].tolist(), _polylines(smooth)


def _from_the_back(shown: set[int], grid: _Grid) -> list[int]:
    """Faces in an order in which each comes after those that it lies over; rings of faces are broken at the
    one with the lowest number.
    """
    above: dict[int, list[int]] = {k: [] for k in shown}
    below = dict.fromkeys(shown, 0)
    for far, near in grid.over():
        if far in above and near in above:
            above[far].append(near)
            below[near] += 1
    ready = [k for k, count in below.items() if count == 0]
    heapq.heapify(ready)
    waiting = sorted(below)
    order: list[int] = []
    done: set[int] = set()
    while len(order) < len(shown):
        if not ready:
            ready.append(next(k for k in waiting if k not in done))
        k = heapq.heappop(ready)
        if k in done:
            continue
        done.add(k)
        order.append(k)
        for near in above[k]:
            below[near] -= 1
            if below[near] == 0:
                heapq.heappush(ready, near)
    return order
