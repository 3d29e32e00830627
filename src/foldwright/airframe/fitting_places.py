"""Where a fitting may stand: faces of folded board, the room on them and between them.

Frame: x aft, y right, z up, mm. All of it is read off the folded panels, so it follows the board's thickness
and every tilt.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
import shapely

from foldwright.airframe.model import Airframe, Direction, Placed
from foldwright.base.types import FloatArray
from foldwright.geometry.fold.marks import outside
from foldwright.geometry.fold.model import Face, Panel
from foldwright.geometry.fold.rings import face_ring
from foldwright.geometry.fold.solids import manifold, pieces, prism
from foldwright.geometry.solid.core import Area, Solid, box
from foldwright.geometry.transform import apply, inverse

LEVEL = 0.7
"""[judgement] a face whose normal rises more than this is one to stand on: 45 degrees."""
SEEN_MM = 400.0
"""How far free room is looked for, mm."""
TOUCH_MM = 0.02
"""Board nearer than this to a face is the board it stands on, mm."""
_AXES: dict[str, int] = {"x": 0, "y": 1, "z": 2}


@dataclass(frozen=True, slots=True, eq=False)
class BoardPiece:
    """One folded panel as a solid in the aeroplane, with its box (least and greatest corner, mm)."""

    blank: str
    panel: str
    solid: Solid
    low: FloatArray
    high: FloatArray


@dataclass(frozen=True, slots=True, eq=False)
class Stand:
    """A face of board to stand on. frame: see `face_frame`; height: z of the face at the place asked for."""

    placed: Placed
    panel: Panel
    face: Face
    frame: FloatArray
    height: float

    @property
    def blank(self) -> str:
        """Name of the blank."""
        return self.placed.blank.name


@lru_cache(maxsize=128)
def pieces_of(one: Placed) -> tuple[BoardPiece, ...]:
    """The panels of a blank in their places; the last ones are remembered (by identity)."""
    found = []
    for name, piece in sorted(pieces(one.blank).items()):
        solid = Solid(manifold(prism(piece.panel, piece.thickness))).placed(one.transforms[name])
        low, high = solid.bounds
        found.append(BoardPiece(one.blank.name, name, solid, low, high))
    return tuple(found)


def board(
    airframe: Airframe, low: FloatArray, high: FloatArray, skip: Iterable[str] = ()
) -> list[BoardPiece]:
    """Folded panels whose box meets the one from `low` to `high`; skip: names of blanks left out."""
    left_out = set(skip)
    return [
        piece
        for one in airframe.placed
        if one.blank.name not in left_out
        for piece in pieces_of(one)
        if bool((piece.low < high).all() and (piece.high > low).all())
    ]


def bites(airframe: Airframe, solid: Solid, skip: Iterable[str] = ()) -> dict[str, float]:
    """What a solid in the aeroplane shares with board, mm³, by "blank:panel"; nothing where it is free."""
    low, high = solid.bounds
    found = {f"{p.blank}:{p.panel}": (p.solid & solid).volume for p in board(airframe, low, high, skip)}
    return {name: volume for name, volume in found.items() if volume > 0.0}


def placed_named(airframe: Airframe, blank: str) -> Placed | None:
    """A blank in its place by its name ("body/motor-former"), or None."""
    return next((one for one in airframe.placed if one.blank.name == blank), None)


def face_frame(one: Placed, panel: str, face: Face) -> FloatArray:
    """4x4 from a face's own frame into the aeroplane: z out of the board, x along the blank's u, z = 0 on the
    face, the origin at the blank's own. On face A (x, y) are the blank's (u, v), on face B (u, -v).
    """
    local = np.eye(4)
    if face == "a":
        local[2, 3] = one.blank.thickness
    else:
        local[1, 1] = local[2, 2] = -1.0
    found: FloatArray = one.transforms[panel] @ local
    return found


def face_looking(one: Placed, panel: str, way: Sequence[float]) -> Face:
    """The face whose outward normal looks more along `way` (3,)."""
    return "a" if float(one.transforms[panel][:3, 2] @ np.asarray(way, dtype=np.float64)) >= 0.0 else "b"


def face_area(one: Placed, panel: str, face: Face) -> Area:
    """The sound part of a panel's face without bevels and holes, in the frame of `face_frame`."""
    own = one.blank.panel(panel)
    flip = np.array([1.0, 1.0 if face == "a" else -1.0])
    ring = face_ring(own, face) * flip
    holes = [shapely.Polygon(hole * flip).buffer(0.0) for hole in own.holes]
    return area_of(shapely.Polygon(ring).buffer(0.0).difference(shapely.union_all(holes)))


def area_of(found: shapely.Geometry) -> Area:
    """The flat parts of what shapely gives, lines and points left out."""
    parts = [part for part in shapely.get_parts(found) if isinstance(part, shapely.Polygon)]
    return parts[0] if len(parts) == 1 else shapely.MultiPolygon(parts)


def room_on(
    airframe: Airframe,
    stand: tuple[Placed, str, Face],
    high: float,
    gap: float,
    seen: FloatArray | None = None,
) -> Area:
    """Where something `high` may stand on a face of board, `gap` off its edges and off all other board.

    stand: blank, panel, face; its holes are bridged. seen: 4x4 of a frame whose z is the way that the thing
    rises, where it does not rise square to the face; the area is seen along it and given in its (x, y), else
    in the frame of `face_frame`. An empty area where there is no room.
    """
    one, panel, face = stand
    whole = [shapely.Polygon(part.exterior) for part in shapely.get_parts(face_area(one, panel, face))]
    area = area_of(shapely.union_all(whole))
    frame = face_frame(one, panel, face)
    x0, y0, x1, y1 = area.bounds
    slab = box((x0 - 1.0, y0 - 1.0, TOUCH_MM), (x1 + 1.0, y1 + 1.0, high + TOUCH_MM))
    there = slab.placed(frame)
    back = inverse(frame if seen is None else seen)
    turn = back @ frame

    def as_seen(points: FloatArray) -> FloatArray:
        return points @ turn[:2, :2].T + turn[:2, 3]

    shadows = []
    for piece in board(airframe, *there.bounds, (one.blank.name,)):
        common = (piece.solid & there).placed(back)
        if common.volume > 1e-6:
            shadows.append(common.shadow().buffer(gap, join_style="mitre"))
    free = shapely.transform(area.buffer(-gap, join_style="mitre"), as_seen)
    return area_of(free.difference(shapely.union_all(shadows)))


def former_room(airframe: Airframe, blank: str, face: Face, high: float, gap: float) -> Area:
    """As `room_on` for a former (a blank of one panel)."""
    one = placed_named(airframe, blank)
    if one is None:
        return shapely.Polygon()
    return room_on(airframe, (one, one.blank.panels[0].name, face), high, gap)


def floor_under(airframe: Airframe, x: float, y: float, z: float, skip: Iterable[str] = ()) -> Stand | None:
    """The highest face that looks up at (x, y), at z or below it; None where there is none."""
    return _level(airframe, (x, y, z), 1.0, skip)


def roof_over(airframe: Airframe, x: float, y: float, z: float, skip: Iterable[str] = ()) -> Stand | None:
    """The lowest face that looks down at (x, y), at z or above it; None where there is none."""
    return _level(airframe, (x, y, z), -1.0, skip)


def _level(
    airframe: Airframe, place: tuple[float, float, float], up: float, skip: Iterable[str]
) -> Stand | None:
    """up: +1 for a floor under the place, -1 for a roof over it."""
    x, y, z = place
    left_out, best = set(skip), None
    for one in airframe.placed:
        if one.blank.name in left_out:
            continue
        for panel in one.blank.panels:
            normal = one.transforms[panel.name][:3, 2] * up
            if abs(float(normal[2])) < LEVEL:
                continue
            face: Face = "a" if normal[2] > 0.0 else "b"
            frame = face_frame(one, panel.name, face)
            n, origin = frame[:3, 2], frame[:3, 3]
            height = float(origin[2] - (n[0] * (x - origin[0]) + n[1] * (y - origin[1])) / n[2])
            if up * (z - height) < -TOUCH_MM or not _on(one, panel, np.array([x, y, height])):
                continue
            if best is None or up * (height - best.height) > 1e-9:
                best = Stand(one, panel, face, frame, height)
    return best


def _on(one: Placed, panel: Panel, point: FloatArray) -> bool:
    """Whether a point of the aeroplane lies over a panel and in none of its holes."""
    spot = apply(inverse(one.transforms[panel.name]), point)[:2]
    if outside(panel.polygon, spot) > 0.0:
        return False
    return all(outside(hole, spot) > 0.0 for hole in panel.holes)


def free_along(
    airframe: Airframe, low: Sequence[float], high: Sequence[float], way: Direction, skip: Iterable[str] = ()
) -> float:
    """How far a block may be pushed along an axis before it meets board, mm; SEEN_MM where it meets none.

    low, high: its corners. Board that it already shares room with counts as met at once where it reaches
    past the block's leading face, so a block that is to be tried should be clear of board.
    """
    axis, sign = _AXES[way[1]], 1.0 if way[0] == "+" else -1.0
    start, stop = np.array(low, dtype=np.float64), np.array(high, dtype=np.float64)
    edge = float(stop[axis] if sign > 0.0 else start[axis])
    start[axis], stop[axis] = sorted((edge, edge + sign * SEEN_MM))
    swept, gap = box(start.tolist(), stop.tolist()), SEEN_MM
    for piece in board(airframe, start, stop, skip):
        common = piece.solid & swept
        if common.volume > 1e-6:
            ends = common.bounds
            met = float(ends[0][axis] if sign > 0.0 else ends[1][axis])
            gap = min(gap, max(0.0, sign * (met - edge)))
    return gap


def free_across(
    airframe: Airframe, low: Sequence[float], high: Sequence[float], skip: Iterable[str] = ()
) -> tuple[float, float]:
    """Least and greatest y that is free of board about a block's middle, over its length and height, mm."""
    middle = (low[1] + high[1]) / 2.0
    thin_low, thin_high = (low[0], middle - 0.01, low[2]), (high[0], middle + 0.01, high[2])
    left = free_along(airframe, thin_low, thin_high, "-y", skip)
    right = free_along(airframe, thin_low, thin_high, "+y", skip)
    return middle - left - 0.01, middle + right + 0.01


def panels_near(airframe: Airframe, point: Sequence[float], reach: float = 30.0) -> list[tuple[float, Stand]]:
    """Faces of board near a point, nearest first: distance in mm, and the face that looks at the point.

    A face counts where the point lies straight over it; height: z where the point's foot is.
    """
    place, found = np.array(point, dtype=np.float64), []
    for one in airframe.placed:
        for panel in one.blank.panels:
            u, v, w = apply(inverse(one.transforms[panel.name]), place).tolist()
            t = one.blank.thickness
            face: Face = "a" if w > t / 2.0 else "b"
            gap = w - t if face == "a" else -w
            if gap > reach or outside(panel.polygon, np.array([u, v])) > 0.0:
                continue
            foot = apply(one.transforms[panel.name], np.array([u, v, t if face == "a" else 0.0]))
            stand = Stand(one, panel, face, face_frame(one, panel.name, face), float(foot[2]))
            found.append((max(gap, 0.0), stand))
    return sorted(found, key=lambda row: (round(row[0], 6), row[1].blank, row[1].panel.name))
