"""A tray on a floor that may slope: its numbers, and what they weigh. mm.

Frame: as the aeroplane's axes (x aft, y right, z up), so that what stands on it stands level; the origin lies
on the floor. "Above the floor" is measured upright, not square to it.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from math import pi, sqrt

import shapely

from foldwright.airframe.fitting_places import area_of
from foldwright.geometry.solid.core import Area

Ring = tuple[tuple[float, float], ...]
TAPER = 1.0
"""Height of a peg's cone, mm; it narrows by as much in diameter as it is high: steeper than 45 degrees."""


@dataclass(frozen=True, slots=True)
class Raised:
    """Something that stands on the plate: pad, rim, wall, post.

    top: height of its top above the floor; with `level` the z of a level top in the tray's frame.
    """

    ring: Ring
    top: float
    level: bool


@dataclass(frozen=True, slots=True)
class Hollow:
    """What is cut out between two heights above the floor: a strap's groove, a cable tie's tunnel."""

    ring: Ring
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class Peg:
    """A peg: foot, height of its cylinder, diameter; a cone of `TAPER` on top."""

    x: float
    y: float
    z: float
    high: float
    diameter: float

    @property
    def volume(self) -> float:
        """Cylinder and cone's frustum, mm³."""
        r = self.diameter / 2.0
        q = r - TAPER / 2.0
        return pi * r * r * self.high + pi * TAPER / 3.0 * (r * r + r * q + q * q)


@dataclass(frozen=True, slots=True)
class TrayShape:
    """A tray.

    slope: rise of the floor along x and y. floor: thickness of its plate, square to it. plate: outline, then
    holes. raised: in falling order of height.
    """

    slope: tuple[float, float]
    floor: float
    plate: tuple[Ring, ...]
    raised: tuple[Raised, ...] = ()
    hollows: tuple[Hollow, ...] = ()
    pegs: tuple[Peg, ...] = ()

    @property
    def thick(self) -> float:
        """Thickness of the plate, upright."""
        return self.floor * sqrt(1.0 + self.slope[0] ** 2 + self.slope[1] ** 2)

    @property
    def area(self) -> shapely.Polygon:
        """The plate in plan."""
        return shapely.Polygon(self.plate[0], self.plate[1:])

    def ground(self, x: float, y: float) -> float:
        """Z of the floor."""
        return self.slope[0] * x + self.slope[1] * y

    def height(self, one: Raised, x: float, y: float) -> float:
        """How far a raised thing's top stands above the plate at (x, y)."""
        over = one.top - self.ground(x, y) if one.level else one.top
        return over - self.thick

    def stacked(self) -> tuple[tuple[Raised, Area], ...]:
        """Raised things with the part of each that none before it covers."""
        done: shapely.Geometry = shapely.Polygon()
        found = []
        for one in self.raised:
            own = shapely.Polygon(one.ring)
            left = area_of(own.difference(done))
            done = shapely.union_all([done, own])
            if left.area > 1e-9:
                found.append((one, left))
        return tuple(found)

    @property
    def volume(self) -> float:
        """Area times the height at its centroid, which is exact under a slanting top, mm³."""
        return _sums(self)[0]

    @property
    def surface(self) -> float:
        """Faces of the plate and sides of all that stands, mm²."""
        return _sums(self)[1]

    @property
    def box(self) -> tuple[tuple[float, float, float], tuple[float, float, float]]:
        """Least and greatest corner."""
        return _box(self)


@lru_cache(maxsize=64)
def _sums(shape: TrayShape) -> tuple[float, float]:
    """Volume and surface; the last ones are remembered."""
    plate, stacked = shape.area, shape.stacked()
    over = shapely.union_all([area for _, area in stacked])
    rows = [(area, shape.height(one, *_centre(area))) for one, area in stacked]
    volume = plate.area * shape.thick + sum(peg.volume for peg in shape.pegs)
    volume += sum(area.area * high for area, high in rows)
    for hollow in shape.hollows:
        there = plate if hollow.high <= shape.thick else over
        volume -= shapely.Polygon(hollow.ring).intersection(there).area * (hollow.high - hollow.low)
    surface = 2.0 * plate.area + plate.length * shape.thick + sum(area.length * high for area, high in rows)
    surface += sum(pi * peg.diameter * (peg.high + TAPER) for peg in shape.pegs)
    return float(volume), float(surface)


@lru_cache(maxsize=64)
def _box(shape: TrayShape) -> tuple[tuple[float, float, float], tuple[float, float, float]]:
    """Least and greatest corner; the last ones are remembered."""
    x0, y0, x1, y1 = shape.area.bounds
    grounds = [shape.ground(x, y) for x in (x0, x1) for y in (y0, y1)]
    tops = [max(grounds) + shape.thick, *(peg.z + peg.high + TAPER for peg in shape.pegs)]
    for one in shape.raised:
        tops += [shape.ground(x, y) + shape.thick + shape.height(one, x, y) for x, y in one.ring]
    return (x0, y0, min(grounds)), (x1, y1, max(tops))


def ring_of(area: shapely.Polygon | shapely.LinearRing) -> Ring:
    """Corners of an outline, rounded to 1e-6 mm, the first not repeated."""
    line = area.exterior if isinstance(area, shapely.Polygon) else area
    return tuple((round(x, 6) + 0.0, round(y, 6) + 0.0) for x, y in list(line.coords)[:-1])


def _centre(area: Area) -> tuple[float, float]:
    point = area.centroid
    return float(point.x), float(point.y)
