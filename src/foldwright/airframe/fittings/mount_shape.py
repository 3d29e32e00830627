"""The motor mount as a shape: a block between a former and the motor's mounting face.

Own frame: z along the thrust axis toward the propeller, the motor's face in z = 0, the origin on the thrust
line; y is up (as near as the axis lets it), x = y x z. Seen from the propeller x is to the right, so a hole
at angle a from up, clockwise, stands at r (sin a, cos a). The body reaches down to the foot's plane
z = -(h0 + hx x + hy y), which lies on the former.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from math import hypot, pi

import shapely

from foldwright.airframe.fitting_places import area_of
from foldwright.geometry.solid.core import Area
from foldwright.geometry.solid.shape import disc, rounded

Point = tuple[float, float]
Rect = tuple[float, float, float, float]
"""Least x, least y, greatest x, greatest y, mm."""

CORNER_MM = 3.0
EAR_MM = 3.0
"""Radius of a mount's ear about a screw."""
WALL_MM = 2.4
"""Least thickness of a wall about the pocket; [judgement] five lines and more."""


def rect_area(rect: Rect, radius: float = 0.0) -> shapely.Polygon:
    """A rectangle as an area, its corners rounded."""
    x0, y0, x1, y1 = rect
    return rounded(x1 - x0, y1 - y0, radius, ((x0 + x1) / 2.0, (y0 + y1) / 2.0))


@dataclass(frozen=True)
class MotorMountShape:
    """Numbers of a motor mount, mm.

    outline: what the block stays within: all of it, or, where screws hold it, walls about the pocket with an
    ear for each. foot: (h0, hx, hy), see above. plate: thickness under the motor's screws, which
    have their heads in the pocket behind it. pocket: round all heads, `head` the
    diameter it leaves each of them; hollow: all but walls, and posts about the
    screws, is pocket. bolts, bolt: middles and diameter of the motor's holes; shaft: diameter of the hole in
    the middle. screws, screw: those into the former. notch: way out for the leads, None for none. up: what
    stands on its sides, top first ("UP", "2.9 DEG", ...).
    """

    outline: Rect
    foot: tuple[float, float, float]
    plate: float
    pocket: Rect
    head: float
    hollow: bool
    bolts: tuple[Point, ...]
    bolt: float
    shaft: float
    screws: tuple[Point, ...]
    screw: float
    notch: Rect | None
    words: tuple[str, ...] = ()

    def depth(self, at: Point) -> float:
        """From the motor's face to the former, along the thrust axis, mm."""
        h0, hx, hy = self.foot
        return h0 + hx * at[0] + hy * at[1]

    @property
    def depths(self) -> tuple[float, float]:
        """Least and greatest depth over the block."""
        found = [self.depth((x, y)) for x, y in shapely.get_coordinates(self.block_area).tolist()]
        return min(found), max(found)

    @property
    def trunk(self) -> Rect:
        """The block without ears: walls about the pocket where screws hold it, else all of its outline."""
        if not self.screws:
            return self.outline
        wide = [value + sign * WALL_MM for value, sign in zip(self.pocket, (-1, -1, 1, 1), strict=True)]
        low = [max(wide[k], self.outline[k]) for k in (0, 1)]
        high = [min(wide[k], self.outline[k]) for k in (2, 3)]
        return low[0], low[1], high[0], high[1]

    @cached_property
    def block_area(self) -> Area:
        """Trunk and ears less the way out for the leads."""
        ears = [disc(at, 2.0 * EAR_MM) for at in self.screws]
        arms = [shapely.LineString([at, (0.0, 0.0)]).buffer(EAR_MM, cap_style="flat") for at in self.screws]
        whole = area_of(shapely.union_all([rect_area(self.trunk, CORNER_MM), *ears, *arms]))
        return whole if self.notch is None else area_of(whole.difference(shapely.box(*self.notch)))

    @cached_property
    def pocket_area(self) -> Area:
        """The pocket behind the plate, open to the former."""
        round_one = rect_area(self.pocket, self.head / 2.0)
        if not self.hollow:
            return area_of(round_one.intersection(self.block_area))
        posts = [disc(at, self.screw + 2.0 * WALL_MM) for at in self.screws]
        inner = self.block_area.buffer(-WALL_MM).difference(shapely.union_all(posts))
        kept = inner.buffer(-1.0).buffer(1.0)  # no slivers narrower than 2 mm
        return area_of(kept.union(round_one).intersection(self.block_area))

    @property
    def volume(self) -> float:
        """Prisms with slanted ends: area times depth at its centroid, mm³."""
        found = self._prism(self.block_area, 0.0) - self._prism(self.pocket_area, self.plate)
        found -= pi / 4.0 * self.plate * (len(self.bolts) * self.bolt**2 + self.shaft**2)
        return found - sum(pi / 4.0 * self.screw**2 * self.depth(at) for at in self.screws)

    def _prism(self, area: Area, less: float) -> float:
        middle = area.centroid
        return float(area.area) * (self.depth((middle.x, middle.y)) - less)

    @property
    def surface(self) -> float:
        """Sides, both ends, pocket and holes, mm²."""
        block, pocket = self.block_area, self.pocket_area
        h = self.foot[0]
        holes = pi * (
            self.plate * (len(self.bolts) * self.bolt + self.shaft) + len(self.screws) * self.screw * h
        )
        return float(2.0 * block.area + block.length * h + pocket.length * (h - self.plate)) + holes

    @property
    def box(self) -> tuple[tuple[float, float, float], tuple[float, float, float]]:
        """Least and greatest corner."""
        x0, y0, x1, y1 = self.block_area.bounds
        return (x0, y0, -self.depths[1]), (x1, y1, 0.0)

    @property
    def reach(self) -> float:
        """Of the outline's corners from the thrust line, mm."""
        x0, y0, x1, y1 = self.outline
        return max(hypot(x, y) for x in (x0, x1) for y in (y0, y1))
