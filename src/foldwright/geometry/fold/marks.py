"""Marks: from a place in the aeroplane on to the right face of the right panel of a blank, and back."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise
from math import hypot, inf
from typing import Literal

import numpy as np

from foldwright.base.types import FloatArray
from foldwright.geometry.fold.flat import transforms as folded
from foldwright.geometry.fold.model import Blank, Face, Mark, Panel
from foldwright.geometry.fold.rings import face_ring
from foldwright.geometry.transform import apply, cross

_ON_EDGE = 1e-9
_MARGIN = 1e-6
_ONE_PLACE = 1e-7
_FACES: tuple[Face, Face] = ("a", "b")

Reason = Literal["off the part", "on a bevel"]
Corners = list[list[float]]
Box = tuple[float, ...]


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
    """One face of a panel in plain numbers, which for a few corners are quicker than arrays.

    box: least u and v, greatest u and v of the outline, widened by a hair. smooth: where the face is whole.
    hole_boxes: as box, of every hole.
    """

    panel: str
    face: Face
    box: Box
    outline: Corners
    smooth: Corners
    holes: tuple[Corners, ...]
    hole_boxes: tuple[Box, ...]

    @property
    def borders(self) -> tuple[Corners, ...]:
        """Outline, smooth ring where it is another, and holes."""
        own = (self.outline,) if self.smooth is self.outline else (self.outline, self.smooth)
        return (*own, *self.holes)

    def on_part(self, u: float, v: float) -> bool:
        """Whether the panel, bevels counted in, is met: in its outline, in no hole; boxes first."""
        if not _within(self.box, u, v) or _outside(self.outline, u, v) > _ON_EDGE:
            return False
        holes = zip(self.holes, self.hole_boxes, strict=True)
        return not any(_within(box, u, v) and _outside(hole, u, v) < -_ON_EDGE for hole, box in holes)

    def off_outline(self, u: float, v: float) -> float:
        """Signed distance from the panel, its holes left out, mm: + off it."""
        return max([_outside(self.outline, u, v), *(-_outside(hole, u, v) for hole in self.holes)])

    def off_smooth(self, u: float, v: float) -> float:
        """Signed distance from where the face is whole, mm."""
        return max([_outside(self.smooth, u, v), *(-_outside(hole, u, v) for hole in self.holes)])


def _within(box: Box, u: float, v: float) -> bool:
    return box[0] <= u <= box[2] and box[1] <= v <= box[3]


@lru_cache(maxsize=512)
def _target(panel: Panel, face: Face) -> _Target:
    """The last ones are remembered (by identity)."""
    low, high = panel.polygon.min(axis=0) - _MARGIN, panel.polygon.max(axis=0) + _MARGIN
    outline: Corners = panel.polygon.tolist()
    smooth: Corners = face_ring(panel, face).tolist()
    return _Target(
        panel.name,
        face,
        (*low.tolist(), *high.tolist()),
        outline,
        outline if smooth == outline else smooth,
        tuple(hole.tolist() for hole in panel.holes),
        tuple((*hole.min(axis=0).tolist(), *hole.max(axis=0).tolist()) for hole in panel.holes),
    )


Spot = tuple[float, float, float, _Target]
"""Where a ray meets the plane of a face: how far along it, u and v in the blank."""
Passed = tuple[_Target, list[float], list[float]]
"""A face and where the rays from both ends of a segment meet its plane, as in a spot."""


@dataclass(frozen=True, slots=True, eq=False)
class Targets:
    """Faces of folded panels, m of them, and where they stand.

    to_flat (m, 4, 4): from space to the blank frame; depth (m,): w of the face, mm. low, high (m, 2): box
    round the panel's outline, widened by a hair.
    """

    faces: tuple[_Target, ...]
    to_flat: FloatArray
    depth: FloatArray
    low: FloatArray
    high: FloatArray

    def meet(self, origins: FloatArray, direction: FloatArray) -> FloatArray:
        """Where rays from (n, 3) meet each face's plane (n, m, 3): how far along them, u and v in the blank.

        NaN for a plane that the rays run along.
        """
        rotation = self.to_flat[:, :3, :3]
        start = np.swapaxes(rotation @ origins.T, 1, 2).swapaxes(0, 1) + self.to_flat[:, :3, 3]
        run = rotation @ direction
        level = np.abs(run[:, 2]) < 1e-12 * float(np.linalg.norm(direction))
        along = np.where(level, np.nan, (self.depth - start[..., 2]) / np.where(level, 1.0, run[:, 2]))
        return np.concatenate([along[..., None], start[..., :2] + along[..., None] * run[:, :2]], axis=-1)


def land(
    blank: Blank,
    origin: FloatArray,
    direction: FloatArray,
    name: str,
    face: Face | None = None,
    transforms: Mapping[str, FloatArray] | None = None,
    ready: Targets | None = None,
) -> Mark | MarkMiss:
    """Send a ray from `origin` (3,) mm along `direction` (3,) on to a folded part and mark where it lands.

    It lands on the nearest face that it meets, or on the nearest `face` of those wanted (then from either
    side, so that a mark can go on an inner face). transforms: of the panels; the blank fully folded if not
    given. ready: `targets` of all this, if they are at hand. The mark has one point; a ray through a hole
    goes on to what lies behind.
    """
    faces = ready or targets(blank, transforms, face)
    start, way = np.asarray(origin), np.asarray(direction)
    meets = faces.meet(start[None], way)[0]
    spots: list[Spot] = [(*meet, one) for meet, one in zip(meets.tolist(), faces.faces, strict=True)]
    found = _first(spots)
    if found is None:
        return _off_the_part(faces, meets, name, start, way)
    along, u, v, target = spots[found[0]]
    if found[1] > _ON_EDGE:
        return MarkMiss(name, "on a bevel", found[1], target.panel, target.face, start + along * way)
    return Mark(name, target.panel, target.face, np.array([(u, v)]))


def land_line(
    blank: Blank,
    places: FloatArray,
    direction: FloatArray,
    name: str,
    face: Face | None = None,
    transforms: Mapping[str, FloatArray] | None = None,
    ready: Targets | None = None,
) -> tuple[Mark | MarkMiss, ...]:
    """As `land` for a polyline (n, 3) in mm, split where it passes from one panel's face to another's.

    Returns the pieces in order; a stretch that lands nowhere good is one MarkMiss whose `distance` is the
    length of the stretch in mm as seen along `direction`, and whose `place` is its beginning.
    """
    faces = ready or targets(blank, transforms, face)
    every = faces.meet(places, direction)
    pieces: list[tuple[Mark | MarkMiss, float]] = []
    for number, (start, stop) in enumerate(pairwise(places)):
        length = float(np.linalg.norm(cross(stop - start, direction)) / np.linalg.norm(direction))
        first, last = every[number], every[number + 1]
        passed = _passed(faces, first, last)
        for low, high in pairwise(_breaks(passed)):
            found = _stretch(passed, low, high, name, (start, stop, direction))
            if found is None:
                middle = 0.5 * (low + high)
                origin = start + middle * (stop - start)
                found = _off_the_part(faces, first + middle * (last - first), name, origin, direction)
            pieces.append((found, 0.0 if isinstance(found, Mark) else (high - low) * length))
    return _join(pieces)


def station_of(blank: Blank, mark: Mark, transforms: Mapping[str, FloatArray] | None = None) -> FloatArray:
    """Where a mark's points end up in the aeroplane, (n, 3) mm: the reverse of `land`."""
    places = folded(blank) if transforms is None else transforms
    depth = np.full((len(mark.points), 1), blank.thickness if mark.face == "a" else 0.0)
    return apply(places[mark.panel], np.concatenate([mark.points, depth], axis=1))


def targets(
    blank: Blank, transforms: Mapping[str, FloatArray] | None = None, face: Face | None = None
) -> Targets:
    """The faces that a mark can land on, for many rays on one blank; arguments as in `land`."""
    places = folded(blank) if transforms is None else transforms
    sides = _FACES if face is None else (face,)
    count = len(sides)
    matrices = np.stack([places[panel.name] for panel in blank.panels])
    # the inverse of a rigid motion
    back = np.zeros_like(matrices)
    back[:, :3, :3] = np.swapaxes(matrices[:, :3, :3], -1, -2)
    back[:, :3, 3] = -np.einsum("mij,mj->mi", back[:, :3, :3], matrices[:, :3, 3])
    back[:, 3, 3] = 1.0
    faces = tuple(_target(panel, side) for panel in blank.panels for side in sides)
    boxes = np.array([one.box for one in faces])
    depth = np.array([blank.thickness if one.face == "a" else 0.0 for one in faces])
    return Targets(faces, back.repeat(count, axis=0), depth, boxes[:, :2], boxes[:, 2:])


def _first(spots: Sequence[Spot]) -> tuple[int, float] | None:
    """The spot that a ray lands on and its distance from where that face is whole, mm; None: it meets none.

    What lies behind the panel that is met first is not looked at.
    """
    nearest, close = inf, list[tuple[float, int]]()
    ahead = [number for number, spot in enumerate(spots) if spot[0] >= -_ON_EDGE]  # false for NaN
    for number in sorted(ahead, key=lambda number: spots[number][0]):
        along, u, v, target = spots[number]
        if along > nearest + _ONE_PLACE:
            break
        if target.on_part(u, v):
            nearest = min(nearest, along)
            close.append((target.off_smooth(u, v), number))
    if not close:
        return None
    # Of faces met at one place (a ray on the fold itself) a smooth one is taken.
    off, best = min(close, key=lambda item: (item[0] > _ON_EDGE, spots[item[1]][0]))
    return best, off


def _off_the_part(
    targets: Targets, meets: FloatArray, name: str, origin: FloatArray, direction: FloatArray
) -> MarkMiss:
    """The miss of a ray that meets no panel: the nearest one, boxes asked first; meets (m, 3)."""
    along = meets[:, 0]
    ahead = np.flatnonzero(along >= -_ON_EDGE)
    if not len(ahead):
        return MarkMiss(name, "off the part", inf, "", "a", origin)
    over = np.maximum(np.maximum(targets.low - meets[:, 1:], meets[:, 1:] - targets.high), 0.0)
    off_box = np.hypot(over[:, 0], over[:, 1])
    best, least = -1, inf
    for index in ahead[np.argsort(off_box[ahead], kind="stable")].tolist():
        if off_box[index] > least:  # no outline is nearer than its box
            break
        off = targets.faces[index].off_outline(*meets[index, 1:].tolist())
        if off < least:
            best, least = index, off
    target = targets.faces[best]
    return MarkMiss(name, "off the part", least, target.panel, target.face, origin + along[best] * direction)


def _passed(targets: Targets, first: FloatArray, last: FloatArray) -> list[Passed]:
    """Faces whose box the shadow of a segment passes; first, last (m, 3): where its ends meet the planes."""
    beside = (np.maximum(first, last)[:, 1:] < targets.low) | (np.minimum(first, last)[:, 1:] > targets.high)
    near = np.flatnonzero(~beside.any(axis=1) & np.isfinite(first[:, 0]))
    ends = zip(near.tolist(), first[near].tolist(), last[near].tolist(), strict=True)
    return [(targets.faces[index], start, stop) for index, start, stop in ends]


def _stretch(
    passed: Sequence[Passed],
    low: float,
    high: float,
    name: str,
    line: tuple[FloatArray, FloatArray, FloatArray],
) -> Mark | MarkMiss | None:
    """Where a stretch of a segment lands, judged by its middle; None where it meets no panel.

    low, high: where it begins and ends, 0-1; line: ends of the segment, direction of the rays. Where a ray
    meets a plane moves straight on while its origin does: the segment's ends tell all between.
    """
    middle = 0.5 * (low + high)
    spots: list[Spot] = [
        (a + middle * (to_a - a), u + middle * (to_u - u), v + middle * (to_v - v), target)
        for target, (a, u, v), (to_a, to_u, to_v) in passed
    ]
    found = _first(spots)
    if found is None:
        return None
    target, (_, u, v), (_, to_u, to_v) = passed[found[0]]
    if found[1] > _ON_EDGE:
        start, stop, direction = line
        place = start + middle * (stop - start) + spots[found[0]][0] * direction
        return MarkMiss(name, "on a bevel", found[1], target.panel, target.face, place)
    points = [(u + share * (to_u - u), v + share * (to_v - v)) for share in (low, high)]
    return Mark(name, target.panel, target.face, np.array(points))


def _breaks(passed: Sequence[Passed]) -> list[float]:
    """Parameters 0…1 of a segment at which its shadow crosses an outline, a smooth ring or a hole."""
    cuts = [0.0, 1.0]
    for target, (_, *start), (_, *stop) in passed:
        for ring in target.borders:
            cuts += _crossings(start, stop, ring)
    ordered = sorted(cuts)
    kept = [0.0, *(cut for before, cut in pairwise(ordered) if cut - before > 1e-12)]
    kept[-1] = 1.0
    return kept


def _crossings(start: Sequence[float], stop: Sequence[float], corners: Corners) -> list[float]:
    """Parameters in (0, 1) at which a segment crosses the edges of a ring."""
    (x, y), (to_x, to_y) = start, stop
    run_x, run_y = to_x - x, to_y - y
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
    if one.panel != other.panel or one.face != other.face:
        return False
    return bool(np.allclose(one.points[0], other.points[-1]))


def _without_middle(points: FloatArray, index: int) -> FloatArray:
    """The polyline less the point at `index` if it lies on the straight line of its neighbours."""
    back, on = points[index] - points[index - 1], points[index + 1] - points[index]
    scale = max(1.0, float(np.linalg.norm(back) * np.linalg.norm(on)))
    if abs(back[0] * on[1] - back[1] * on[0]) > 1e-9 * scale:
        return points
    return np.delete(points, index, axis=0)


def outside(ring: FloatArray, point: FloatArray) -> float:
    """Signed distance in mm of a point (2,) from a ring (k, 2): + outside, - inside, either way round."""
    u, v = point.tolist()
    return _outside(ring.tolist(), u, v)


def _outside(corners: Corners, x: float, y: float) -> float:
    """As `outside`, in plain numbers."""
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
