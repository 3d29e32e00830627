"""Marks: from a place in the aeroplane on to the right face of the right panel of a blank, and back."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise
from typing import Literal

import numpy as np

from foldwright.base.types import FloatArray
from foldwright.geometry.fold.flat import transforms as folded
from foldwright.geometry.fold.model import Blank, Face, Mark, Panel
from foldwright.geometry.fold.rings import face_ring, following
from foldwright.geometry.transform import apply, inverse

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
class _Target:
    """One face of one folded panel; to_flat: 4x4 from space to the blank frame; depth: w of the face, mm."""

    panel: Panel
    face: Face
    to_flat: FloatArray
    depth: float


@dataclass(frozen=True, slots=True, eq=False)
class _Hit:
    """Where a ray meets a target's plane: how far along the ray, and where in the blank."""

    target: _Target
    along: float
    point: FloatArray

    @property
    def off_outline(self) -> float:
        """Signed distance from the panel, its holes left out, mm: + off it."""
        return self._off(self.target.panel.polygon)

    @property
    def off_smooth(self) -> float:
        """Signed distance from where the face is whole, mm."""
        return self._off(face_ring(self.target.panel, self.target.face))

    @property
    def on_part(self) -> bool:
        """Whether the panel, bevels counted in, is met; a box is asked first, which is quicker."""
        return not _passes_by(self.target.panel, self.point, self.point) and self.off_outline <= _ON_EDGE

    def _off(self, ring: FloatArray) -> float:
        off = outside(ring, self.point)
        return max([off, *(-outside(hole, self.point) for hole in self.target.panel.holes)])


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
                hit = next(
                    h for h in hits if h.target.panel.name == found.panel and h.target.face == found.face
                )
                points = np.stack([_shadow(hit.target, end, direction) for end in ends])
                pieces.append((Mark(name, found.panel, found.face, points), 0.0))
            else:
                pieces.append((found, (high - low) * length))
    return _join(pieces)


def station_of(blank: Blank, mark: Mark, transforms: Mapping[str, FloatArray] | None = None) -> FloatArray:
    """Where a mark's points end up in the aeroplane, (n, 3) mm: the reverse of `land`."""
    places = folded(blank) if transforms is None else transforms
    depth = np.full((len(mark.points), 1), blank.thickness if mark.face == "a" else 0.0)
    return apply(places[mark.panel], np.concatenate([mark.points, depth], axis=1))


def _targets(blank: Blank, transforms: Mapping[str, FloatArray] | None, face: Face | None) -> list[_Target]:
    places = folded(blank) if transforms is None else transforms
    return [
        _Target(panel, side, to_flat, blank.thickness if side == "a" else 0.0)
        for panel, to_flat in ((panel, inverse(places[panel.name])) for panel in blank.panels)
        for side in (_FACES if face is None else (face,))
    ]


def _meet(target: _Target, origin: FloatArray, direction: FloatArray) -> tuple[float, FloatArray] | None:
    """Parameter along the ray and (2,) in the blank where it meets the target's plane."""
    start = target.to_flat[:3, :3] @ origin + target.to_flat[:3, 3]
    run = target.to_flat[:3, :3] @ direction
    if abs(run[2]) < 1e-12 * float(np.linalg.norm(direction)):
        return None
    along = float((target.depth - start[2]) / run[2])
    point: FloatArray = start[:2] + along * run[:2]
    return along, point


def _shadow(target: _Target, origin: FloatArray, direction: FloatArray) -> FloatArray:
    """As the point of `_meet`, for a target that the ray is known to meet."""
    start = target.to_flat[:3, :3] @ origin + target.to_flat[:3, 3]
    run = target.to_flat[:3, :3] @ direction
    point: FloatArray = start[:2] + (target.depth - start[2]) / run[2] * run[:2]
    return point


def _hits(targets: list[_Target], origin: FloatArray, direction: FloatArray) -> list[_Hit]:
    found: list[_Hit] = []
    for target in targets:
        met = _meet(target, origin, direction)
        if met is None or met[0] < -_ON_EDGE:
            continue
        found.append(_Hit(target, *met))
    return found


def _choose(hits: list[_Hit], origin: FloatArray, direction: FloatArray, name: str) -> Mark | MarkMiss:
    on_part = [hit for hit in hits if hit.on_part]
    if on_part:
        nearest = min(hit.along for hit in on_part)
        # Of faces met at one place (a ray on the fold itself) a smooth one is taken.
        close = [(hit.off_smooth, hit.along, hit) for hit in on_part if hit.along <= nearest + _ONE_PLACE]
        off, _, best = min(close, key=lambda item: (item[0] > _ON_EDGE, item[1]))
        if off <= _ON_EDGE:
            return Mark(name, best.target.panel.name, best.target.face, best.point[None, :])
        return _miss(best, "on a bevel", off, origin, direction, name)
    if not hits:
        return MarkMiss(name, "off the part", float("inf"), "", "a", origin)
    best = min(hits, key=lambda hit: hit.off_outline)
    return _miss(best, "off the part", best.off_outline, origin, direction, name)


def _miss(
    hit: _Hit, reason: Reason, distance: float, origin: FloatArray, direction: FloatArray, name: str
) -> MarkMiss:
    place = origin + hit.along * direction
    return MarkMiss(name, reason, distance, hit.target.panel.name, hit.target.face, place)


def _breaks(targets: list[_Target], start: FloatArray, stop: FloatArray, direction: FloatArray) -> FloatArray:
    """Parameters 0…1 of a segment at which its shadow crosses an outline, a smooth ring or a hole."""
    cuts: list[FloatArray] = [np.array([0.0, 1.0])]
    for target in targets:
        first, last = _meet(target, start, direction), _meet(target, stop, direction)
        if first is None or last is None or _passes_by(target.panel, first[1], last[1]):
            continue
        rings = (target.panel.polygon, face_ring(target.panel, target.face), *target.panel.holes)
        cuts.extend(_crossings(first[1], last[1], ring) for ring in rings)
    sorted_cuts = np.unique(np.concatenate(cuts))
    keep = np.concatenate([[True], np.diff(sorted_cuts) > 1e-12])
    kept: FloatArray = sorted_cuts[keep]
    kept[-1] = 1.0
    return kept


def _passes_by(panel: Panel, first: FloatArray, last: FloatArray) -> bool:
    """Whether a segment keeps clear of the box around a panel's outline: a quick way to leave it out."""
    low_u, low_v, high_u, high_v = _box(panel)
    (a, b), (c, d) = first.tolist(), last.tolist()
    beside = max(a, c) < low_u or min(a, c) > high_u or max(b, d) < low_v or min(b, d) > high_v
    return bool(beside)


@lru_cache(maxsize=256)
def _box(panel: Panel) -> tuple[float, float, float, float]:
    """Least u and v, greatest u and v of an outline, widened by a hair; remembered by identity."""
    low, high = panel.polygon.min(axis=0) - _MARGIN, panel.polygon.max(axis=0) + _MARGIN
    return float(low[0]), float(low[1]), float(high[0]), float(high[1])


def _crossings(first: FloatArray, last: FloatArray, ring: FloatArray) -> FloatArray:
    """Parameters in (0, 1) at which the segment first→last crosses the edges of a ring (k, 2)."""
    run = last - first
    edge = following(ring) - ring
    gap = ring - first
    cross = run[0] * edge[:, 1] - run[1] * edge[:, 0]
    solvable = np.abs(cross) > 1e-12
    safe = np.where(solvable, cross, 1.0)
    along_run = (gap[:, 0] * edge[:, 1] - gap[:, 1] * edge[:, 0]) / safe
    along_edge = (gap[:, 0] * run[1] - gap[:, 1] * run[0]) / safe
    within = (along_run > 0.0) & (along_run < 1.0) & (np.abs(along_edge - 0.5) <= 0.5 + 1e-9)
    crossings: FloatArray = along_run[solvable & within]
    return crossings


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
    edge = following(ring) - ring
    gap = point - ring
    square = np.einsum("ij,ij->i", edge, edge)
    share = np.clip(np.einsum("ij,ij->i", gap, edge) / np.where(square > 0.0, square, 1.0), 0.0, 1.0)
    distance = float(np.hypot(*(gap - share[:, None] * edge).T).min())
    above = ring[:, 1] > point[1]
    span = above != (following(ring)[:, 1] > point[1])
    rise = np.where(span, edge[:, 1], 1.0)
    right = span & (point[0] < ring[:, 0] + gap[:, 1] / rise * edge[:, 0])
    return -distance if bool(np.count_nonzero(right) % 2) else distance
