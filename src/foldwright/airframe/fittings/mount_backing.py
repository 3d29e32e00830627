"""What a motor mount is screwed to: a thin plate behind its former that spreads the pull of the screws' nuts.

Foam board holds no screw. Screws go through mount, former and plate into nuts, so the mount comes off again.
The plate's own frame lies on the former's far face where the thrust line leaves it, z out of the board.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from math import ceil

import numpy as np
import shapely

from foldwright.airframe.fitting_places import area_of, face_frame, room_on
from foldwright.airframe.fittings.mount_shape import Point, Rect
from foldwright.airframe.model import Airframe, Direction, MarkRequest, Note, Placed
from foldwright.base.finding import Param
from foldwright.base.types import FloatArray
from foldwright.geometry.fold.model import Face
from foldwright.geometry.solid.core import Area
from foldwright.geometry.solid.shape import disc
from foldwright.geometry.transform import apply, frame, inverse

THICK_MM = 1.6
"""[judgement] two nuts' worth of stiffness; a washer for each nut in one piece."""
RIM_MM = 6.4
"""About a screw: a nut M2 is 4 mm across flats (ISO 4032), and glue beside it."""
NUT_MM = 3.2
"""A nut M2 and what stands out of it (ISO 4032: 1.6 mm high)."""
LEAST_SCREWS = 3
"""Fewer let a mount rock."""
FOAM_MM = 2.0
"""[judgement] of foam between a screw and a hole in the former, or its edge."""
WINDOW_MM = 5.0
"""Width of the plate's rim: what lies within it is left out, mm."""
_CROSS_MM = 2.0
_STEPS_MM = (10.0, 12.0, 14.0, 16.0, 18.0, 20.0, 25.0, 30.0, 35.0, 40.0, 45.0, 50.0, 60.0, 70.0, 80.0)
"""Lengths in which screws M2 are sold."""


@dataclass(frozen=True)
class BackingShape:
    """A flat plate: outline and openings as corners, mm; screws, screw: middles and diameter of its holes."""

    ring: tuple[Point, ...]
    cuts: tuple[tuple[Point, ...], ...]
    screws: tuple[Point, ...]
    screw: float
    thick: float

    @cached_property
    def area(self) -> shapely.Polygon:
        """Without the screws' holes."""
        return shapely.Polygon(self.ring, self.cuts)

    @property
    def drilled(self) -> Area:
        """With the screws' holes."""
        return area_of(self.area.difference(shapely.union_all([disc(at, self.screw) for at in self.screws])))

    @property
    def volume(self) -> float:
        """Area times thickness, mm³."""
        return float(self.drilled.area) * self.thick

    @property
    def surface(self) -> float:
        """Both faces and all edges, mm²."""
        return float(2.0 * self.drilled.area + self.drilled.length * self.thick)

    @property
    def box(self) -> tuple[tuple[float, float, float], tuple[float, float, float]]:
        """Least and greatest corner."""
        x0, y0, x1, y1 = self.area.bounds
        return (x0, y0, 0.0), (x1, y1, self.thick)


@dataclass(frozen=True, slots=True, eq=False)
class Stood:
    """Where a mount stands: its former, panel and face, and the mount's own frame (4x4)."""

    one: Placed
    panel: str
    face: Face
    placement: FloatArray

    def on(self, face: Face, points: FloatArray) -> FloatArray:
        """Points (n, 2) of the mount's frame carried along the thrust axis on to a face, in the aeroplane."""
        at = face_frame(self.one, self.panel, face)
        lines = apply(self.placement, np.column_stack([points, np.zeros(len(points))]))
        way, normal = self.placement[:3, 2], at[:3, 2]
        along = (at[:3, 3] - lines) @ normal / float(way @ normal)
        found: FloatArray = lines + along[:, None] * way
        return found

    @property
    def far(self) -> Face:
        """The face that looks away from the motor."""
        return "b" if self.face == "a" else "a"

    def far_frame(self) -> FloatArray:
        """4x4 of the backing plate."""
        normal = face_frame(self.one, self.panel, self.far)[:3, 2]
        side = self.placement[:3, 0]
        origin = self.on(self.far, np.zeros((1, 2)))[0]
        return frame(origin, side - float(side @ normal) * normal, normal)

    def outline(self) -> shapely.Polygon:
        """The former as seen along the thrust axis, in the mount's frame, its holes bridged."""
        own, back = self.one.blank.panel(self.panel), inverse(self.placement)
        flat = np.column_stack([own.polygon, np.zeros(len(own.polygon))])
        return shapely.Polygon(apply(back, apply(self.one.transforms[self.panel], flat))[:, :2]).buffer(0.0)

    def holes(self) -> Area:
        """Holes of the former as seen along the thrust axis, in the mount's frame."""
        own, back = self.one.blank.panel(self.panel), inverse(self.placement)
        found = []
        for hole in own.holes:
            spots = apply(self.one.transforms[self.panel], np.column_stack([hole, np.zeros(len(hole))]))
            found.append(shapely.Polygon(apply(back, spots)[:, :2]).buffer(0.0))
        return area_of(shapely.union_all(found))


def sound(stood: Stood, screws: tuple[Point, ...], screw: float) -> tuple[Point, ...]:
    """Those of some screws that leave foam beside the former's holes."""
    holes = stood.holes()
    return tuple(
        at for at in screws
        if holes.is_empty or holes.distance(shapely.Point(*at)) >= screw / 2.0 + FOAM_MM
    )  # fmt: skip


def holds(screws: tuple[Point, ...]) -> bool:
    """Whether screws hold a mount by themselves: three or more about the thrust line."""
    hull = shapely.MultiPoint(screws).convex_hull
    return len(screws) >= LEAST_SCREWS and bool(hull.contains(shapely.Point(0.0, 0.0)))


def behind(airframe: Airframe, stood: Stood) -> Area:
    """Where the plate and its nuts find room behind the former, in the mount's frame."""
    far = (stood.one, stood.panel, stood.far)
    return room_on(airframe, far, THICK_MM + NUT_MM, 0.5, stood.placement)


def backing(
    stood: Stood, room: Area, screws: tuple[Point, ...], screw: float, lead: Rect | None
) -> BackingShape | None:
    """The plate for some screws; None where they do not hold a mount, or there is no room for it behind.

    room: see `behind`. lead: hole for the motor's leads, in the mount's frame.
    """
    if not holds(screws):
        return None
    whole = shapely.union_all([disc(at, RIM_MM) for at in screws]).convex_hull
    taken = [whole.buffer(-WINDOW_MM).buffer(-1.0).buffer(1.0), stood.holes()]
    if lead is not None:
        taken.append(shapely.box(*lead).buffer(0.5))
    found = area_of(whole.intersection(room).difference(shapely.union_all(taken)).buffer(-0.5).buffer(0.5))
    least = shapely.union_all([disc(at, least_rim(screw)) for at in screws])
    if not isinstance(found, shapely.Polygon) or not found.buffer(0.01).contains(least):
        return None
    back = inverse(stood.far_frame())

    def seen(points: FloatArray) -> tuple[Point, ...]:
        """In the plate's own frame, to 1e-6 mm, so that alike ones are the same numbers."""
        spots = apply(back, stood.on(stood.far, points))[:, :2]
        return tuple((round(x, 6) + 0.0, round(y, 6) + 0.0) for x, y in spots.tolist())

    rings = [shapely.get_coordinates(ring)[:-1] for ring in (found.exterior, *found.interiors)]
    ring, *cuts = (seen(one) for one in rings)
    return BackingShape(ring, tuple(cuts), seen(np.array(screws)), screw, THICK_MM)


def least_rim(screw: float) -> float:
    """Diameter of what a screw needs of the plate."""
    return screw + 3.2


def screw_length(through: float) -> float:
    """Length of a screw as it is sold that reaches through so much and a nut, mm."""
    need = through + THICK_MM + 2.0
    return next((long for long in _STEPS_MM if long >= need), float(ceil(need)))


def screw_marks(stood: Stood, screws: tuple[Point, ...], look: Direction) -> list[MarkRequest]:
    """A cross on the former wherever a screw goes through, on the face that the mount stands on."""
    name, found = stood.one.blank.name, []
    for x, y in screws:
        for dx, dy in ((_CROSS_MM, 0.0), (0.0, _CROSS_MM)):
            ends = stood.on(stood.face, np.array([(x - dx, y - dy), (x + dx, y + dy)]))
            found.append(MarkRequest("screw", name, look, _points(ends), stood.face, 0.0, needs=name))
    return found


def lead_hole(stood: Stood, notch: Rect | None, deep: float) -> Rect | None:
    """The hole that has to be cut for the leads where they leave the mount; None where one is there already,
    or they do not go that way, or the former has no room for one.

    notch: see `MotorMountShape`, its outer edge past the outline. deep: of the way out, mm; the hole may
    reach past the mount, never nearer than FOAM_MM to the former's edge.
    """
    if notch is None:
        return None
    x0, y0, x1, y1 = notch
    sides = {"left": x1 < 0.0, "down": y1 < 0.0, "right": x0 > 0.0, "up": y0 > 0.0}
    way = next(name for name, there in sides.items() if there)
    limit = stood.outline().buffer(-FOAM_MM)
    for reach in np.arange(deep, 1.9, -0.5).tolist():
        hole = {
            "left": (x1 - reach, y0, x1, y1), "down": (x0, y1 - reach, x1, y1),
            "right": (x0, y0, x0 + reach, y1), "up": (x0, y0, x1, y0 + reach),
        }[way]  # fmt: skip
        if meets(shapely.box(*hole), stood.holes()):
            return None
        if limit.contains(shapely.box(*hole)):
            return hole
    return None


def meets(way: Area, holes: Area) -> bool:
    """Whether leads get straight through: half of their way out lies over holes."""
    return bool(way.intersection(holes).area >= 0.5 * way.area)


def lead_mark(stood: Stood, hole: Rect, look: Direction) -> MarkRequest:
    """The hole's outline on the former."""
    x0, y0, x1, y1 = hole
    ring = stood.on(stood.face, np.array([(x0, y0), (x1, y0), (x1, y1), (x0, y1), (x0, y0)]))
    name = stood.one.blank.name
    return MarkRequest("lead", name, look, _points(ring), stood.face, 0.0, needs=name)


def _points(points: FloatArray) -> tuple[tuple[float, float, float], ...]:
    return tuple((float(x), float(y), float(z)) for x, y, z in points.tolist())


def lead_note(blank: str, name: str, lead: Rect) -> Note:
    """P122: the hole in the former that the motor's leads go through."""
    size: dict[str, Param] = {
        "id": name, "wide": round(lead[2] - lead[0], 1), "high": round(lead[3] - lead[1], 1),
    }  # fmt: skip
    return Note("P122", blank, size)
