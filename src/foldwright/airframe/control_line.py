"""The hinge or pivot line of a control as it lies in the folded aeroplane: place, faces, travel.

Frame: x aft, y right, z up, mm; angles rad.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import cos, sin
from typing import Literal

import numpy as np
from shapely import affinity

from foldwright.airframe.fitting_places import face_area, face_frame
from foldwright.airframe.model import Airframe, Control, Direction, LiftingSurface, Placed
from foldwright.base.types import FloatArray
from foldwright.geometry.fold.edges import fold_sides
from foldwright.geometry.fold.marks import outside
from foldwright.geometry.fold.model import Face, Fold
from foldwright.geometry.solid.core import Area
from foldwright.geometry.transform import apply, inverse

Side = Literal["upper", "under"]
SIDES: tuple[Side, Side] = ("upper", "under")
_LOOKS: tuple[tuple[Direction, Direction], ...] = (("-x", "+x"), ("-y", "+y"), ("-z", "+z"))


@dataclass(frozen=True, slots=True, eq=False)
class ControlLine:
    """One half of a control, or the whole of one that has a single piece.

    placed: blank that carries it; panel: of the control itself. ends (2, 3): of the hinge line, inner end
    first. upper (3,): unit normal out of the face called "upper" (of fins the right one). aft (3,): unit,
    in the control's board, square to the line, to the trailing edge. depth: mm from each face down to the
    line, positive inward. behind: mm behind the line at which the control's face begins on each side.
    """

    surface: LiftingSurface
    control: Control
    placed: Placed
    panel: str
    ends: FloatArray
    upper: FloatArray
    aft: FloatArray
    depth: dict[Side, float]
    behind: dict[Side, float]

    @property
    def line(self) -> FloatArray:
        """(3,) unit vector along the hinge, a right-handed turn about which is trailing edge toward under."""
        found: FloatArray = np.cross(self.upper, self.aft)
        return found

    @property
    def outward(self) -> FloatArray:
        """(3,) unit vector from the inner end to the outer one."""
        run = self.ends[1] - self.ends[0]
        found: FloatArray = run / np.linalg.norm(run)
        return found

    @property
    def length(self) -> float:
        """Of the hinge line, mm."""
        return float(np.linalg.norm(self.ends[1] - self.ends[0]))

    @property
    def side(self) -> float:
        """+1 right of the middle or on it, -1 left."""
        return -1.0 if float(self.ends[:, 1].mean()) < -1e-6 else 1.0

    @property
    def to_upper(self) -> float:
        """Travel of the trailing edge toward the upper face: up; of fins to the right, which is "down"."""
        return self.control.down if self.surface.upright else self.control.up

    @property
    def to_under(self) -> float:
        """Travel of the trailing edge toward the under face."""
        return self.control.up if self.surface.upright else self.control.down

    @property
    def ways(self) -> dict[Side, str]:
        """What a builder calls a deflection toward each face."""
        if self.surface.upright:
            return {"upper": "right", "under": "left"}
        return {"upper": "up", "under": "down"}

    def normal(self, side: Side) -> FloatArray:
        """(3,) unit, out of that face."""
        return self.upper if side == "upper" else -self.upper

    def face(self, side: Side) -> Face:
        """The blank's face there."""
        own = self.placed.transforms[self.panel][:3, 2]
        return "a" if float(own @ self.normal(side)) > 0.0 else "b"

    def hinge_side(self) -> Side | None:
        """The face that the line lies in; None where it lies within the board."""
        return next((side for side in SIDES if abs(self.depth[side]) < 1e-6), None)

    def at(self, along: float) -> FloatArray:
        """(3,) point of the line, mm from its inner end."""
        found: FloatArray = self.ends[0] + along * self.outward
        return found

    def along_of(self, point: FloatArray) -> float:
        """Where a point's foot is on the line, mm from its inner end; may lie beyond the ends."""
        return float((point - self.ends[0]) @ self.outward)

    def frame(self, along: float, side: Side) -> FloatArray:
        """4x4 of something on a face: x aft, z out of the board, the origin on the face over the line."""
        normal, matrix = self.normal(side), np.eye(4)
        matrix[:3, 0], matrix[:3, 1], matrix[:3, 2] = self.aft, np.cross(normal, self.aft), normal
        matrix[:3, 3] = self.at(along) + self.depth[side] * normal
        return matrix

    def area(self, side: Side, along: float) -> Area:
        """The control's sound face in (x, y) of `frame`."""
        face = self.face(side)
        own = face_area(self.placed, self.panel, face)
        to = inverse(self.frame(along, side)) @ face_frame(self.placed, self.panel, face)
        return moved(own, to)

    def turned(self, points: FloatArray, angle: float) -> FloatArray:
        """Points (..., 3) carried along by a deflection, positive toward the under face."""
        k, off = self.line, points - self.ends[0]
        along = (off @ k)[..., None] * k
        found: FloatArray = self.ends[0] + along + cos(angle) * (off - along) + sin(angle) * np.cross(k, off)
        return found

    def arc(self, point: FloatArray) -> float:
        """Distance of a point from the surface's root along the surface seen from ahead, mm."""
        seen = np.array([float(point[1]), float(point[2])])
        if self.surface.symmetric and self.side < 0.0:
            seen[0] = -seen[0]
        le, arc = self.surface.le[:, 1:], self.surface.arc
        best = (np.inf, 0.0)
        for i in range(len(le) - 1):
            run = le[i + 1] - le[i]
            share = float((seen - le[i]) @ run / (run @ run)) if float(run @ run) > 0.0 else 0.0
            low, high = (-np.inf if i == 0 else 0.0), (np.inf if i == len(le) - 2 else 1.0)
            share = min(max(share, low), high)
            miss = float(np.hypot(*(le[i] + share * run - seen)))
            best = min(best, (miss, float(arc[i] + share * (arc[i + 1] - arc[i]))))
        return best[1]

    def along_at(self, arc: float) -> float:
        """Where on the line a distance from the surface's root lies, mm from the inner end."""
        first, last = self.arc(self.ends[0]), self.arc(self.ends[1])
        return self.length * (arc - first) / (last - first)


def control_lines(airframe: Airframe, name: str) -> tuple[ControlLine, ...]:
    """All pieces of a control such as "wing.elevon"; none where there is no such control."""
    part, _, wanted = name.partition(".")
    found = []
    for surface in airframe.surfaces:
        if surface.id.split("/")[0] != part:
            continue
        for control in surface.controls:
            if control.id != wanted:
                continue
            for one in airframe.placed:
                if one.part == part:
                    found += list(_hinged(surface, control, one))
                    found += list(_pivoted(surface, control, one)) if control.all_moving else []
    return tuple(found)


def nearest_line(lines: tuple[ControlLine, ...], point: FloatArray) -> ControlLine:
    """The piece on the point's own side, and of those the one whose hinge line is nearest."""

    def rank(one: ControlLine) -> tuple[bool, float]:
        along = min(max(one.along_of(point), 0.0), one.length)
        side = 1.0 if point[1] >= -1e-9 else -1.0
        return one.side != side, round(float(np.linalg.norm(one.at(along) - point)), 6)

    return min(lines, key=rank)


def looking_at(normal: FloatArray) -> Direction:
    """The way the eye looks on to a face with that outward normal."""
    axis = int(np.argmax(np.round(np.abs(normal), 6)))
    against, along = _LOOKS[axis]
    return against if float(normal[axis]) > 0.0 else along


def _hinged(surface: LiftingSurface, control: Control, one: Placed) -> Iterator[ControlLine]:
    """Pieces that hang on live folds of a blank."""
    for fold in one.blank.folds:
        if fold.name not in control.fold_names or fold.method != "live":
            continue
        t, frame = one.blank.thickness, one.transforms[fold.child]
        w = t if fold.hinge == "a" else 0.0
        ends = apply(frame, np.array([[*fold.p, w], [*fold.q, w]]))
        along = (fold.q - fold.p) / fold.length
        aft = frame[:3, :3] @ np.array([-along[1], along[0], 0.0])  # the child lies to the left of p -> q
        upper = _upper(frame[:3, 2], surface)
        lacks = _behind(one, fold)
        depth: dict[Side, float] = {}
        behind: dict[Side, float] = {}
        for side in SIDES:
            sign = 1.0 if side == "upper" else -1.0
            face: Face = "a" if float(frame[:3, 2] @ upper) * sign > 0.0 else "b"
            depth[side] = 0.0 if face == fold.hinge else t
            behind[side] = lacks[face]
        yield _line(surface, control, (one, fold.child), (ends, upper, aft), (depth, behind))


def _pivoted(surface: LiftingSurface, control: Control, one: Placed) -> Iterator[ControlLine]:
    """Halves of a surface that turns as a whole: the line lies in the middle of the board."""
    t = one.blank.thickness
    for sign in (1.0, -1.0) if surface.symmetric else (1.0,):
        ends = surface.le[[0, -1]].copy()
        ends[:, 0] += surface.chord[[0, -1]] * np.array(control.hinge)
        ends[:, 1] *= sign
        middle = ends.mean(axis=0)
        for panel in one.blank.panels:
            frame = one.transforms[panel.name]
            u, v, w = apply(inverse(frame), middle).tolist()
            if abs(w - t / 2.0) > t or outside(panel.polygon, np.array([u, v])) > 0.0:
                continue
            back = apply(inverse(frame), ends)
            back[:, 2] = t / 2.0
            flat = apply(frame, back)
            upper = _upper(frame[:3, 2], surface)
            aft = np.cross(flat[1] - flat[0], upper)
            aft *= 1.0 if aft[0] > 0.0 else -1.0
            depth: dict[Side, float] = dict.fromkeys(SIDES, t / 2.0)
            behind: dict[Side, float] = dict.fromkeys(SIDES, 0.0)
            yield _line(surface, control, (one, panel.name), (flat, upper, aft), (depth, behind))
            break


def _line(
    surface: LiftingSurface,
    control: Control,
    board: tuple[Placed, str],
    lie: tuple[FloatArray, FloatArray, FloatArray],
    faces: tuple[dict[Side, float], dict[Side, float]],
) -> ControlLine:
    """board: blank and panel; lie: ends, upper normal, aft; faces: depth and behind."""
    ends, upper, aft = lie
    root = surface.le[0] * np.array([1.0, 0.0, 1.0]) if surface.symmetric else surface.le[0]
    off = np.hypot(*(ends - root)[:, 1:].T)
    ordered = ends if off[0] <= off[1] else ends[::-1]
    return ControlLine(
        surface, control, *board, ordered, upper, aft / np.linalg.norm(aft), faces[0], faces[1]
    )


def _upper(normal: FloatArray, surface: LiftingSurface) -> FloatArray:
    """A board's normal turned to look up, or to the right where the surface stands."""
    return normal * (1.0 if normal[1 if surface.upright else 2] > 0.0 else -1.0)


def _behind(one: Placed, fold: Fold) -> dict[Face, float]:
    """How far behind the hinge line each face of the control begins, mm."""
    panel = one.blank.panel(fold.child)
    edges = fold_sides(one.blank, fold)[1]
    return {
        "a": max((panel.cuts[i].a for i in edges), default=0.0),
        "b": max((panel.cuts[i].b for i in edges), default=0.0),
    }


def moved(area: Area, to: FloatArray) -> Area:
    """A flat area by a 4x4 that keeps it in its plane."""
    rows = to[:2]
    found: Area = affinity.affine_transform(
        area, [rows[0, 0], rows[0, 1], rows[1, 0], rows[1, 1], rows[0, 3], rows[1, 3]]
    )
    return found
