"""Shapes that prints are made of: areas to raise or cut, holes, recesses, slopes, halves. mm, rad.

Areas lie in (x, y). An axis is a direction, not necessarily of length one. Functions that take a solid give
a new one; none checks that the result is one body (`check.faults` does).
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from math import cos, hypot, pi, radians, sin, sqrt, tan

import numpy as np
import shapely
from manifold3d import Manifold
from shapely import affinity

from foldwright.base.types import FloatArray
from foldwright.geometry.solid.core import SIDES, Area, Place, Solid, area_of, extrude, rod, without

Point = tuple[float, float]
Z: tuple[float, float, float] = (0.0, 0.0, 1.0)

OVER = 0.01
"""What is cut reaches this far out of a face, what is put on sinks this far into it, to part or join cleanly,
mm."""


@dataclass(frozen=True, slots=True)
class Plane:
    """A plane through a point, square to a normal (need not be unit)."""

    at: tuple[float, float, float]
    normal: tuple[float, float, float]


def recess(solid: Solid, area: Area, depth: float, top: float | None = None) -> Solid:
    """An area sunk into a solid from its top face, at z = `top` (its highest point unless given).

    What stands above `top` is left, save `OVER`. Raises ValueError without area or depth.
    """
    if depth <= 0.0:
        raise ValueError("a recess needs a depth above zero")
    level = float(solid.bounds[1][2]) if top is None else top
    return solid - extrude(area, depth + OVER, level - depth)


def recess_below(solid: Solid, area: Area, depth: float, bottom: float | None = None) -> Solid:
    """An area sunk into a solid from its bottom face, at z = `bottom`. The area is as seen from above."""
    if depth <= 0.0:
        raise ValueError("a recess needs a depth above zero")
    level = float(solid.bounds[0][2]) if bottom is None else bottom
    return solid - extrude(area, depth + OVER, level - OVER)


def emboss(solid: Solid, area: Area, height: float, top: float | None = None) -> Solid:
    """An area raised on a solid's top face, at z = `top` (its highest point unless given)."""
    if height <= 0.0:
        raise ValueError("a raised area needs a height above zero")
    level = float(solid.bounds[1][2]) if top is None else top
    return solid + extrude(area, height + OVER, level - OVER)


def hole(solid: Solid, at: Place, diameter: float, axis: Place = Z) -> Solid:
    """A round hole right through, along an axis through a point."""
    return holes(solid, [at], diameter, axis)


def holes(solid: Solid, places: Iterable[Place], diameter: float, axis: Place = Z) -> Solid:
    """Round holes right through, all along one direction, each through its point (x, y, z)."""
    low, high = solid.bounds
    unit, middle, reach = _unit(axis), 0.5 * (low + high), 0.5 * float(np.linalg.norm(high - low)) + 1.0
    bars = []
    for place in places:
        p = np.asarray(place, dtype=np.float64)
        foot = p + float((middle - p) @ unit) * unit
        bars.append(rod(foot - reach * unit, foot + reach * unit, diameter))
    return without(solid, bars)


def blind(solid: Solid, at: Place, diameter: float, depth: float, axis: Place = Z) -> Solid:
    """A round hole of a depth: from the point `at` on the surface, against `axis`, which points out of it."""
    p, unit = np.asarray(at, dtype=np.float64), _unit(axis)
    return solid - rod(p + OVER * unit, p - depth * unit, diameter)


def countersink(
    solid: Solid, at: Place, head: float, axis: Place = Z, angle: float = pi / 2, cylinder: float = 0.0
) -> Solid:
    """A cone for a screw's head: diameter `head` at the point `at` on the surface, `axis` out of it.

    angle: between opposite sides of the cone. cylinder: depth that the head is sunk by before the cone
    begins.
    """
    if head <= 0.0 or not 0.0 < angle < pi:
        raise ValueError("a countersink needs a diameter above zero and an angle between 0 and 180°")
    slope = tan(angle / 2.0)
    depth = head / 2.0 / slope
    wide = head / 2.0 + (OVER * slope if cylinder <= 0.0 else 0.0)
    top = OVER if cylinder <= 0.0 else 0.0
    cone = Manifold.cylinder(depth + top, 0.0, wide, SIDES).translate((0.0, 0.0, -depth - cylinder))
    taken = Solid(cone)
    if cylinder > 0.0:
        taken += rod((0.0, 0.0, -cylinder), (0.0, 0.0, OVER), head)
    return solid - taken.placed(placing(at, axis))


def hexagon(across: float, at: Point = (0.0, 0.0), turn: float = 0.0) -> shapely.Polygon:
    """A nut's outline, `across` its flats; a corner lies in direction `turn` from +x."""
    if across <= 0.0:
        raise ValueError("a nut has a width above zero")
    radius = across / sqrt(3.0)
    return shapely.Polygon([
        (at[0] + radius * cos(turn + k * pi / 3.0), at[1] + radius * sin(turn + k * pi / 3.0))
        for k in range(6)
    ])  # fmt: skip


def hex_pocket(
    solid: Solid, at: Place, across: float, depth: float, axis: Place = Z, turn: float = 0.0
) -> Solid:
    """A pocket for a nut, sunk from the point `at` on the surface against `axis`, which points out of it."""
    pocket = extrude(hexagon(across, turn=turn), depth + OVER, -depth)
    return solid - pocket.placed(placing(at, axis))


def placing(at: Place, axis: Place, toward: Place | None = None) -> FloatArray:
    """4x4 that brings the origin to `at` and +z to `axis`; +x points as nearly as it can to `toward`.

    Unless given, +x points to the x axis, or to the y axis where the axis itself runs along x.
    """
    z = _unit(axis)
    given = toward if toward is not None else ((0.0, 1.0, 0.0) if abs(float(z[0])) > 0.9 else (1.0, 0.0, 0.0))
    wish = np.asarray(given, dtype=np.float64)
    x = wish - float(wish @ z) * z
    if float(np.linalg.norm(x)) < 1e-9:
        raise ValueError("the side direction runs along the axis")
    x /= np.linalg.norm(x)
    matrix = np.eye(4)
    matrix[:3, 0], matrix[:3, 1], matrix[:3, 2], matrix[:3, 3] = x, np.cross(z, x), z, np.asarray(at)
    return matrix


def disc(at: Point, diameter: float, sides: int = SIDES) -> shapely.Polygon:
    """A round area; its corners lie on the circle."""
    if diameter <= 0.0:
        raise ValueError("a disc needs a diameter above zero")
    angles = 2.0 * pi * np.arange(sides) / sides
    ring = np.column_stack([at[0] + diameter / 2.0 * np.cos(angles), at[1] + diameter / 2.0 * np.sin(angles)])
    return shapely.Polygon(ring)


def slot(p: Point, q: Point, width: float) -> shapely.Polygon:
    """A slot with round ends whose centres are p and q. Raises ValueError without width."""
    if width <= 0.0:
        raise ValueError("a slot needs a width above zero")
    if p == q:
        return disc(p, width)
    area = shapely.LineString([p, q]).buffer(width / 2.0, quad_segs=SIDES // 4)
    return _polygon(area)


def rectangle(width: float, height: float, at: Point = (0.0, 0.0), angle: float = 0.0) -> shapely.Polygon:
    """A rectangle about its centre, turned by an angle."""
    area = shapely.box(-width / 2.0, -height / 2.0, width / 2.0, height / 2.0)
    return _polygon(affinity.translate(affinity.rotate(area, angle, (0.0, 0.0), use_radians=True), *at))


def rounded(width: float, height: float, radius: float, at: Point = (0.0, 0.0)) -> shapely.Polygon:
    """A rectangle about its centre with round corners. Raises ValueError for a radius that does not fit."""
    if radius <= 0.0:
        return rectangle(width, height, at)
    if 2.0 * radius > min(width, height) + 1e-9:
        raise ValueError(f"corners of {radius:g} mm do not fit {width:g} × {height:g} mm")
    w, h = width / 2.0 - radius, height / 2.0 - radius
    quarter = np.linspace(0.0, pi / 2.0, SIDES // 4 + 1)
    ring = np.concatenate(
        [
            np.column_stack([x + radius * np.cos(quarter + turn), y + radius * np.sin(quarter + turn)])
            for x, y, turn in ((w, h, 0.0), (-w, h, pi / 2), (-w, -h, pi), (w, -h, 3 * pi / 2))
        ]
    )
    return shapely.Polygon(ring + np.asarray(at))


def eased(area: Area, radius: float) -> Area:
    """An area with its outward corners rounded; parts narrower than 2 radii vanish."""
    return area_of(area.buffer(-radius).buffer(radius, quad_segs=SIDES // 4))


def arrow(length: float, width: float, head: float = 0.0, stem: float = 0.0) -> shapely.Polygon:
    """An arrow from (0, 0) to (length, 0), pointing along +x.

    width: of its head; head: length of its head, as long as wide unless given; stem: width of its shaft, a
    third of `width` unless given.
    """
    head = head or width
    half, shaft = width / 2.0, (stem or width / 3.0) / 2.0
    if not (0.0 < head <= length and 0.0 < shaft < half):
        raise ValueError(f"no arrow of {length:g} mm with a head of {head:g} × {width:g} mm")
    neck = length - head
    if neck < 1e-9:
        return shapely.Polygon([(0.0, -half), (length, 0.0), (0.0, half)])
    return shapely.Polygon([
        (0.0, -shaft), (neck, -shaft), (neck, -half), (length, 0.0),
        (neck, half), (neck, shaft), (0.0, shaft),
    ])  # fmt: skip


def at_place(area: Area, at: Point, angle: float = 0.0) -> Area:
    """An area turned about its origin by an angle, then moved: its origin comes to `at`."""
    return area_of(affinity.translate(affinity.rotate(area, angle, (0.0, 0.0), use_radians=True), *at))


def middle_of(area: Area) -> Area:
    """An area moved so that the middle of its bounds is the origin."""
    low_x, low_y, high_x, high_y = area.bounds
    return area_of(affinity.translate(area, -0.5 * (low_x + high_x), -0.5 * (low_y + high_y)))


def wedge(area: Area, lower: Plane, upper: Plane) -> Solid:
    """What lies over an area between two planes that need not be parallel.

    Raises ValueError where a plane stands upright, or the upper one does not clear the lower one over all of
    the area.
    """
    corners = shapely.get_coordinates(area)
    low, high = _heights(lower, corners), _heights(upper, corners)
    if float((high - low).min()) <= 0.0:
        raise ValueError(f"the planes meet over the area: {float((high - low).min()):g} mm between them")
    # The block runs past both planes; where a plane is level the trim takes a flat slice.
    block = extrude(area, float(high.max() - low.min()) + 2.0, float(low.min()) - 1.0)
    for plane, side in ((upper, -1.0), (lower, 1.0)):
        unit = _unit(plane.normal)
        unit = side * unit if unit[2] > 0.0 else -side * unit
        offset = float(unit @ np.asarray(plane.at))
        block = Solid(block.form.trim_by_plane(tuple(unit.tolist()), offset))
    return block


def tilt(area: Area, height: float, angle: float, axis: Point = (1.0, 0.0), at: Point = (0.0, 0.0)) -> Solid:
    """A plate on z = 0 whose top face is tilted: `height` high at `at`, turned about `axis` through there.

    angle: right-handed about the axis, rad: about +x the top rises with y, about +y it falls with x. Its
    volume is the area times the height at its centroid. Raises ValueError where the top meets z = 0.
    """
    along = np.array([axis[0], axis[1], 0.0]) / hypot(*axis)
    # Rodrigues' formula for +z, which is square to the axis.
    normal = np.cross(along, np.array(Z)) * sin(angle) + np.array(Z) * cos(angle)
    top = Plane((at[0], at[1], height), tuple(normal.tolist()))
    return wedge(area, Plane((0.0, 0.0, 0.0), Z), top)


def split(solid: Solid, at: Place, normal: Place) -> tuple[Solid, Solid]:
    """A solid in two by a plane: what lies on the side the normal points to, and the rest.

    Raises ValueError where the plane misses it.
    """
    unit = _unit(normal)
    front, back = solid.form.split_by_plane(tuple(unit.tolist()), float(unit @ np.asarray(at)))
    if front.is_empty() or back.is_empty():
        raise ValueError("the plane does not cut the solid")
    return Solid(front), Solid(back)


def pinned(
    solid: Solid, at: Place, normal: Place, pins: Iterable[Place], bore: float, depth: float
) -> tuple[Solid, Solid]:
    """`split`, with blind holes in both halves for loose pins across the plane.

    pins: points, brought on to the plane; bore: diameter of the holes, clearance included; depth: of each.
    """
    front, back = split(solid, at, normal)
    unit, home = _unit(normal), np.asarray(at, dtype=np.float64)
    bars = []
    for pin in pins:
        p = np.asarray(pin, dtype=np.float64)
        p = p - float((p - home) @ unit) * unit
        bars.append(rod(p - depth * unit, p + depth * unit, bore))
    return without(front, bars), without(back, bars)


def _heights(plane: Plane, corners: FloatArray) -> FloatArray:
    """Heights z of a plane over points (n, 2)."""
    unit = _unit(plane.normal)
    if abs(float(unit[2])) < sin(radians(0.5)):
        raise ValueError("a plane that stands upright bounds nothing from above or below")
    away = corners - np.asarray(plane.at[:2])
    heights: FloatArray = plane.at[2] - (away @ unit[:2]) / unit[2]
    return heights


def _unit(axis: Place) -> FloatArray:
    vector = np.asarray(axis, dtype=np.float64)
    length = float(np.linalg.norm(vector))
    if not length > 0.0:
        raise ValueError("a direction needs a length above zero")
    unit: FloatArray = vector / length
    return unit


def _polygon(shape: object) -> shapely.Polygon:
    if not isinstance(shape, shapely.Polygon) or shape.is_empty:
        raise ValueError("no single area")
    return shape
