"""Marks: from a place in the aeroplane on to the right face of the right panel of a blank, and back."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise
from math import hypot, inf
from typing import Literal

import numpy as np

from foldwright.base.types import BoolArray, FloatArray
from foldwright.geometry.fold.flat import transforms as folded
from foldwright.geometry.fold.model import Blank, Face, Mark, Panel
from foldwright.geometry.fold.rings import face_ring
from foldwright.geometry.transform import apply

_ON_EDGE = 1e-9
_MARGIN = 1e-6
_ONE_PLACE = 1e-7
_FACES: tuple[Face, Face] = ("a", "b")

Reason = Literal["off the part", "on a bevel"]


@dataclass(frozen=True, slots=True, eq=False)
class MarkMiss:
    """A mark that found no place.

    reason: "off the part" (the ray meets no panel) or "on a bevel" (it meets one where its face is cut
    away or pressed). distance: mm in the board's plane from the ray to the nearest good place. panel, face:
    the one that comes nearest ("" and "a" if the ray runs along every panel). place: (3,) where the ray
    meets that face's plane.
    """

    name: str
    reason: Reason
    distance: float
    panel: str
    face: Face
    place: FloatArray


@dataclass(frozen=True, slots=True, eq=False)
class _Targets:
    """Faces of folded panels, m of them.

    panels, faces: which each is. to_flat (m, 4, 4): from space to the blank frame; depth (m,): w of the
    face, mm. low, high (m, 2): box round the panel's outline, widened by a hair.
    """

    panels: tuple[Panel, ...]
    faces: tuple[Face, ...]
    to_flat: FloatArray
    depth: FloatArray
    low: FloatArray
    high: FloatArray

    def meet(self, origin: FloatArray, direction: FloatArray) -> tuple[FloatArray, FloatArray]:
        """How far along a ray (m,) and where in the blank (m, 2) it meets each face's plane.

        NaN for a plane that the ray runs along.
        """
        start = self.to_flat[:, :3, :3] @ origin + self.to_flat[:, :3, 3]
        run = self.to_flat[:, :3, :3] @ direction
        level = np.abs(run[:, 2]) < 1e-12 * float(np.linalg.norm(direction))
        along = np.where(level, np.nan, (self.depth - start[:, 2]) / np.where(level, 1.0, run[:, 2]))
        return along, start[:, :2] + along[:, None] * run[:, :2]


@dataclass(frozen=True, slots=True, eq=False)
class _Hit:
    """Where a ray meets a face's plane: how far along it, where in the blank, how far off the panel's box."""

    index: int
    panel: Panel
    face: Face
    along: float
    point: FloatArray
    off_box: float

    @property
    def off_outline(self) -> float:
        """Signed distance from the panel, its holes left out, mm: + off it."""
        return self._off(self.panel.polygon)

    @property
    def off_smooth(self) -> float:
        """Signed distance from where the face is whole, mm."""
        return self._off(face_ring(self.panel, self.face))

    @property
    def on_part(self) -> bool:
        """Whether the panel, bevels counted in, is met; its box is asked first, which is quicker."""
        return self.off_box == 0.0 and self.off_outline <= _ON_EDGE

    def _off(self, ring: FloatArray) -> float:
        off = outside(ring, self.point)
        return max([off, *(-outside(hole, self.point) for hole in self.panel.holes)])


def land(
    blank: Blank,
    origin: FloatArray,
    direction: FloatArray,
    name: str,
    face: Face | None = None,
    transforms: Mapping[str, FloatArray] | None = None,
) -> Mark | MarkMiss:
    """Send a ray from `origin` (3,) mm along `direction` (3,) on to a folded part and mark where it lands.

    It lands on the nearest face that it meets, or on the nearest `face` of those wanted (then from either
    side, so that a mark can go on an inner face). transforms: of the panels; the blank fully folded if not
    given. The mark has one point; a ray through a hole goes on to what lies behind.
    """
    hits = _hits(_targets(blank, transforms, face), np.asarray(origin), np.asarray(direction))
    return _choose(hits, np.asarray(origin), np.asarray(direction), name)


def land_line(
    blank: Blank,
    places: FloatArray,
    direction: FloatArray,
    name: str,
    face: Face | None = None,
    transforms: Mapping[str, FloatArray] | None = None,
) -> tuple[Mark | MarkMiss, ...]:
    """As `land` for a polyline (n, 3) in mm, split where it passes from one panel's face to another's.

    Returns the pieces in order; a stretch that lands nowhere good is one MarkMiss whose `distance` is the
    length of the stretch in mm as seen along `direction`, and whose `place` is its beginning.
    """
    targets = _targets(blank, transforms, face)
    pieces: list[tuple[Mark | MarkMiss, float]] = []
    for start, stop in pairwise(places):
        length = float(np.linalg.norm(np.cross(stop - start, direction)) / np.linalg.norm(direction))
        breaks = _breaks(targets, start, stop, direction)
        for low, high in pairwise(breaks.tolist()):
            middle = start + 0.5 * (low + high) * (stop - start)
            hits = _hits(targets, middle, direction)
            found = _choose(hits, middle, direction, name)
            ends = np.stack([start + low * (stop - start), start + high * (stop - start)])
            if isinstance(found, Mark):
                index = next(h.index for h in hits if h.panel.name == found.panel and h.face == found.face)
                points = np.stack([targets.meet(end, direction)[1][index] for end in ends])
                pieces.append((Mark(name, found.panel, found.face, points), 0.0))
            else:
                pieces.append((found, (high - low) * length))
    return _join(pieces)


def station_of(blank: Blank, mark: Mark, transforms: Mapping[str, FloatArray] | None = None) -> FloatArray:
    """Where a mark's points end up in the aeroplane, (n, 3) mm: the reverse of `land`."""
    places = folded(blank) if transforms is None else transforms
    depth = np.full((len(mark.points), 1), blank.thickness if mark.face == "a" else 0.0)
    return apply(places[mark.panel], np.concatenate([mark.points, depth], axis=1))


def _targets(blank: Blank, transforms: Mapping[str, FloatArray] | None, face: Face | None) -> _Targets:
    places = folded(blank) if transforms is None else transforms
    sides = _FACES if face is None else (face,)
    count = len(sides)
    matrices = np.stack([places[panel.name] for panel in blank.panels])
    # the inverse of a rigid motion
    back = np.zeros_like(matrices)
    back[:, :3, :3] = np.swapaxes(matrices[:, :3, :3], -1, -2)
    back[:, :3, 3] = -np.einsum("mij,mj->mi", back[:, :3, :3], matrices[:, :3, 3])
    back[:, 3, 3] = 1.0
    boxes = np.array([_box(panel) for panel in blank.panels]).repeat(count, axis=0)
    depths = [blank.thickness if side == "a" else 0.0 for side in sides]
    return _Targets(
        tuple(panel for panel in blank.panels for _ in sides),
        sides * len(blank.panels),
        back.repeat(count, axis=0),
        np.array(depths * len(blank.panels)),
        boxes[:, :2],
        boxes[:, 2:],
    )


def _hits(targets: _Targets, origin: FloatArray, direction: FloatArray) -> list[_Hit]:
    along, points = targets.meet(origin, direction)
    ahead: BoolArray = along >= -_ON_EDGE  # false for NaN
    over = np.maximum(np.maximum(targets.low - points, points - targets.high), 0.0)
    off = np.hypot(over[:, 0], over[:, 1])
    return [
        _Hit(i, targets.panels[i], targets.faces[i], float(along[i]), points[i], float(off[i]))
        for i in np.flatnonzero(ahead).tolist()
    ]


def _choose(hits: list[_Hit], origin: FloatArray, direction: FloatArray, name: str) -> Mark | MarkMiss:
    on_part = [hit for hit in hits if hit.on_part]
    if on_part:
        nearest = min(hit.along for hit in on_part)
        # Of faces met at one place (a ray on the fold itself) a smooth one is taken.
        close = [(hit.off_smooth, hit.along, hit) for hit in on_part if hit.along <= nearest + _ONE_PLACE]
        off, _, best = min(close, key=lambda item: (item[0] > _ON_EDGE, item[1]))
        if off <= _ON_EDGE:
            return Mark(name, best.panel.name, best.face, best.point[None, :])
        return _miss(best, "on a bevel", off, origin, direction, name)
    if not hits:
        return MarkMiss(name, "off the part", inf, "", "a", origin)
    best, least = hits[0], inf
    for hit in sorted(hits, key=lambda hit: hit.off_box):
        if hit.off_box > least:  # no outline is nearer than its box
            break
        off = hit.off_outline
        if off < least:
            best, least = hit, off
    return _miss(best, "off the part", least, origin, direction, name)


def _miss(
    hit: _Hit, reason: Reason, distance: float, origin: FloatArray, direction: FloatArray, name: str
) -> MarkMiss:
    place = origin + hit.along * direction
    return MarkMiss(name, reason, distance, hit.panel.name, hit.face, place)


def _breaks(targets: _Targets, start: FloatArray, stop: FloatArray, direction: FloatArray) -> FloatArray:
    """Parameters 0…1 of a segment at which its shadow crosses an outline, a smooth ring or a hole."""
    cuts = [0.0, 1.0]
    first, last = targets.meet(start, direction)[1], targets.meet(stop, direction)[1]
    beside = (np.maximum(first, last) < targets.low) | (np.minimum(first, last) > targets.high)
    for i in np.flatnonzero(~beside.any(axis=1) & np.isfinite(first[:, 0])).tolist():
        panel = targets.panels[i]
        rings = (panel.polygon, face_ring(panel, targets.faces[i]), *panel.holes)
        for ring in rings:
            cuts += _crossings(first[i], last[i], ring)
    sorted_cuts = np.unique(cuts)
    keep = np.concatenate([[True], np.diff(sorted_cuts) > 1e-12])
    kept: FloatArray = sorted_cuts[keep]
    kept[-1] = 1.0
    return kept


@lru_cache(maxsize=256)
def _box(panel: Panel) -> tuple[float, float, float, float]:
    """Least u and v, greatest u and v of an outline, widened by a hair; remembered by identity."""
    low, high = panel.polygon.min(axis=0) - _MARGIN, panel.polygon.max(axis=0) + _MARGIN
    return float(low[0]), float(low[1]), float(high[0]), float(high[1])


def _crossings(first: FloatArray, last: FloatArray, ring: FloatArray) -> list[float]:
    """Parameters in (0, 1) at which the segment first→last crosses the edges of a ring (k, 2).

    Rings are short: plain numbers are quicker than arrays.
    """
    (x, y), (to_x, to_y) = first.tolist(), last.tolist()
    run_x, run_y = to_x - x, to_y - y
    corners: list[list[float]] = ring.tolist()
    found = []
    px, py = corners[-1]
    for qx, qy in corners:
        edge_x, edge_y = qx - px, qy - py
        cross = run_x * edge_y - run_y * edge_x
        if abs(cross) > 1e-12:
            gap_x, gap_y = px - x, py - y
            along_run = (gap_x * edge_y - gap_y * edge_x) / cross
            along_edge = (gap_x * run_y - gap_y * run_x) / cross
            if 0.0 < along_run < 1.0 and abs(along_edge - 0.5) <= 0.5 + 1e-9:
                found.append(along_run)
        px, py = qx, qy
    return found


def _join(pieces: list[tuple[Mark | MarkMiss, float]]) -> tuple[Mark | MarkMiss, ...]:
    """Neighbouring pieces on one face of one panel made one; neighbouring misses of one reason likewise."""
    joined: list[tuple[Mark | MarkMiss, float]] = []
    for piece, length in pieces:
        last, before = joined[-1] if joined else (None, 0.0)
        if isinstance(piece, Mark) and isinstance(last, Mark) and _same_face(piece, last):
            points = _without_middle(np.concatenate([last.points, piece.points[1:]]), len(last.points) - 1)
            joined[-1] = (Mark(piece.name, piece.panel, piece.face, points), 0.0)
        elif isinstance(piece, MarkMiss) and isinstance(last, MarkMiss) and piece.reason == last.reason:
            joined[-1] = (last, before + length)
        else:
            joined.append((piece, length))
    return tuple(
        piece if isinstance(piece, Mark) else
        MarkMiss(piece.name, piece.reason, length, piece.panel, piece.face, piece.place)
        for piece, length in joined
    )  # fmt: skip


def _same_face(one: Mark, other: Mark) -> bool:
    meets = bool(np.allclose(one.points[0], other.points[-1]))
    return meets and one.panel == other.panel and one.face == other.face


def _without_middle(points: FloatArray, index: int) -> FloatArray:
    """The polyline less the point at `index` if it lies on the straight line of its neighbours."""
    back, on = points[index] - points[index - 1], points[index + 1] - points[index]
    scale = max(1.0, float(np.linalg.norm(back) * np.linalg.norm(on)))
    if abs(back[0] * on[1] - back[1] * on[0]) > 1e-9 * scale:
        return points
    return np.delete(points, index, axis=0)


def outside(ring: FloatArray, point: FloatArray) -> float:
    """Signed distance in mm of a point (2,) from a ring (k, 2): + outside, - inside, either way round."""
    x, y = point.tolist()
    corners: list[list[float]] = ring.tolist()
    least, inside = inf, False
    px, py = corners[-1]
    for qx, qy in corners:
        edge_x, edge_y, gap_x, gap_y = qx - px, qy - py, x - px, y - py
        square = edge_x * edge_x + edge_y * edge_y
        share = (gap_x * edge_x + gap_y * edge_y) / square if square > 0.0 else 0.0
        share = max(0.0, min(share, 1.0))
        least = min(least, hypot(gap_x - share * edge_x, gap_y - share * edge_y))
        # crossings of the ray to the right
        if (py > y) != (qy > y) and x < px + gap_y / edge_y * edge_x:
            inside = not inside
        px, py = qx, qy
    return -least if inside else least
