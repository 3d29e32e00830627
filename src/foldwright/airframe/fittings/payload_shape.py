"""Payload carrier, its tray and its pin as shapes.

One frame for carrier and tray: the origin on the body's floor under the payload's middle, z up, the tab with
the pin at +x (the frame is turned by half a turn where the tab is at the front), y = z x x. The tray's rail
is a dovetail of 45 degrees in two short heads on a stem; the carrier's four feet grip under them. The carrier
is put down one head's length toward the tab, slid home, and locked by the pin.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise
from math import ceil, pi, sqrt

import shapely

RAIL_MM = 2.4
"""Height of the dovetail: common practice, no source."""
HEAD_MM = 8.0
"""Length of a head of the rail, and of a foot of the carrier, mm."""
FOOT_AIR_MM = 0.2
PIN_WALL_MM = 2.4
STRAP_MM = (12.0, 2.5)
"""Length and height of the slots for a strap."""
RIB_MM = 1.2
"""Thickness of a rib under the carrier's floor."""
BRIDGE_MM = 12.0
"""[judgement] lines laid over more air than this sag."""
EASE_MM = 0.5
"""Between stem and tab, mm."""


@dataclass(frozen=True, slots=True)
class Rail:
    """What carrier and tray share, mm.

    inside: length and width between the carrier's walls. floor: thickness of floor and walls. wall: height of
    the walls. lift: how far the dovetail stands above the body's floor. pin: its diameter. play: clearance.
    """

    inside: tuple[float, float]
    floor: float
    wall: float
    lift: float
    pin: float
    play: float

    @property
    def half_long(self) -> float:
        """Half the carrier's length without its tab."""
        return self.inside[0] / 2.0 + self.floor

    @property
    def stem(self) -> float:
        """Half the width of the tray's stem."""
        return self.pin / 2.0 + PIN_WALL_MM

    @property
    def crown(self) -> float:
        """Half the width of the dovetail's top."""
        return self.stem + RAIL_MM

    @property
    def top(self) -> float:
        """Top of the rail, z."""
        return self.lift + RAIL_MM

    @property
    def under(self) -> float:
        """Under face of the carrier's floor, z."""
        return self.top + self.play

    @property
    def stack(self) -> float:
        """What the payload stands on above the body's floor, z."""
        return self.under + self.floor

    @property
    def tab(self) -> float:
        """Length of the tab."""
        return self.pin + 2.0 * PIN_WALL_MM

    @property
    def half_wide(self) -> float:
        """Half the carrier's width: walls, or its feet where the payload is narrower."""
        return max(self.inside[1] / 2.0 + self.floor, self.foot + 3.0)

    @property
    def foot(self) -> float:
        """Inner face of the feet above the dovetail."""
        return self.crown + sqrt(2.0) * self.play

    @property
    def tab_half(self) -> float:
        """Half the width of the tab."""
        return self.stem + EASE_MM + PIN_WALL_MM

    @property
    def pin_x(self) -> float:
        """Middle of the pin."""
        return self.half_long + self.tab / 2.0

    @property
    def travel(self) -> float:
        """How far the carrier slides."""
        return HEAD_MM + 1.0


@dataclass(frozen=True)
class CarrierShape:
    """The carrier."""

    rail: Rail

    @cached_property
    def foot_area(self) -> shapely.Polygon:
        """Section (y, z) of a foot on the right, as high as the floor's under face."""
        r, low = self.rail, self.rail.lift + FOOT_AIR_MM
        tip = r.foot - RAIL_MM + FOOT_AIR_MM
        return shapely.Polygon([
            (tip, low), (r.half_wide, low), (r.half_wide, r.under), (r.foot, r.under), (r.foot, r.top),
        ])  # fmt: skip

    @property
    def leg_area(self) -> tuple[float, float]:
        """Width and height of the legs that the tab stands on when it is printed."""
        r = self.rail
        return PIN_WALL_MM, r.under - (r.lift + FOOT_AIR_MM)

    @property
    def ribs(self) -> tuple[float, ...]:
        """Inner faces, on the right, of the ribs from foot to foot that carry the floor while it is printed:
        one beside the rail, one at the edge, and as many between as leave no more than BRIDGE_MM of air.
        """
        first, last = self.rail.foot, self.rail.half_wide - RIB_MM
        gaps = max(1, ceil((last - first - 1e-9) / (BRIDGE_MM + RIB_MM)))
        return tuple(first + (last - first) * k / gaps for k in range(gaps + 1))

    @property
    def bridge(self) -> float:
        """The widest air that the floor is printed over: across the rail, or between two ribs, mm."""
        ribs = self.ribs
        return max(2.0 * self.rail.foot, *(b - a - RIB_MM for a, b in pairwise(ribs)))

    @property
    def rib_box(self) -> tuple[float, float]:
        """Length and height of a rib."""
        r = self.rail
        return 2.0 * (r.half_long - HEAD_MM), r.under - (r.lift + FOOT_AIR_MM)

    @property
    def strapped(self) -> bool:
        """Whether its side walls are high and long enough for slots."""
        return self.rail.wall >= STRAP_MM[1] + 2.0 and self.rail.inside[0] >= STRAP_MM[0] + 6.0

    @property
    def hole(self) -> float:
        """Diameter of the hole for the pin."""
        return self.rail.pin + self.rail.play

    @property
    def volume(self) -> float:
        """Floor, walls, tab, feet, less slots and hole, mm³."""
        r = self.rail
        (long, wide), t = r.inside, r.floor
        found = 4.0 * r.half_long * r.half_wide * t
        found += ((long + 2.0 * t) * (wide + 2.0 * t) - long * wide) * r.wall
        found += 2.0 * r.tab_half * r.tab * t + 2.0 * r.tab * self.leg_area[0] * self.leg_area[1]
        found += 2.0 * len(self.ribs) * RIB_MM * max(0.0, self.rib_box[0]) * self.rib_box[1]
        found += 4.0 * HEAD_MM * float(self.foot_area.area) - pi / 4.0 * self.hole**2 * t
        return found - (2.0 * STRAP_MM[0] * STRAP_MM[1] * t if self.strapped else 0.0)

    @property
    def surface(self) -> float:
        """Both sides of everything, mm²."""
        r = self.rail
        (long, wide), t = r.inside, r.floor
        found = 8.0 * r.half_long * r.half_wide + 4.0 * (r.half_long + r.half_wide) * t
        found += 2.0 * (2.0 * (long + wide) + 4.0 * t) * r.wall
        feet = (self.foot_area.length - (r.half_wide - r.foot) * 2.0) * HEAD_MM + 2.0 * self.foot_area.area
        found += 4.0 * float(feet)
        found += 4.0 * len(self.ribs) * max(0.0, self.rib_box[0]) * self.rib_box[1]
        legs = 2.0 * (2.0 * self.leg_area[1] * r.tab + self.leg_area[0] * self.leg_area[1])
        return found + 4.0 * r.tab_half * r.tab + 2.0 * r.tab * t + legs

    @property
    def box(self) -> tuple[tuple[float, float, float], tuple[float, float, float]]:
        """Least and greatest corner."""
        r = self.rail
        low = (-r.half_long, -r.half_wide, r.lift + FOOT_AIR_MM)
        return low, (r.half_long + r.tab, r.half_wide, r.stack + r.wall)


@dataclass(frozen=True)
class TrayShape:
    """The tray: a stem on the body's floor with two dovetailed heads."""

    rail: Rail

    @cached_property
    def head_area(self) -> shapely.Polygon:
        """Section (y, z) of a head."""
        r = self.rail
        return shapely.Polygon([
            (-r.stem, 0.0), (r.stem, 0.0), (r.stem, r.lift), (r.crown, r.top), (-r.crown, r.top),
            (-r.stem, r.lift),
        ])  # fmt: skip

    @property
    def hole(self) -> float:
        """Diameter of the hole for the pin."""
        return self.rail.pin + self.rail.play

    @property
    def volume(self) -> float:
        """Stem, what the heads stand out of it, less the hole, mm³."""
        r = self.rail
        long = 2.0 * r.half_long + r.tab
        return 2.0 * r.stem * r.top * long + 2.0 * HEAD_MM * RAIL_MM**2 - pi / 4.0 * self.hole**2 * r.top

    @property
    def surface(self) -> float:
        """All faces, mm²."""
        r = self.rail
        long = 2.0 * r.half_long + r.tab
        stem = 2.0 * (2.0 * r.stem + r.top) * long + 4.0 * r.stem * r.top
        heads = 4.0 * HEAD_MM * RAIL_MM * sqrt(2.0) + 4.0 * RAIL_MM**2
        return stem + heads + pi * self.hole * r.top

    @property
    def box(self) -> tuple[tuple[float, float, float], tuple[float, float, float]]:
        """Least and greatest corner."""
        r = self.rail
        return (-r.half_long, -r.crown, 0.0), (r.half_long + r.tab, r.crown, r.top)


@dataclass(frozen=True, slots=True)
class PinShape:
    """The locking pin: the origin in the middle under its head, z up. thick: of the head."""

    diameter: float
    long: float
    head: float
    thick: float

    @property
    def volume(self) -> float:
        """Two cylinders, mm³."""
        return pi / 4.0 * (self.diameter**2 * self.long + self.head**2 * self.thick)

    @property
    def surface(self) -> float:
        """All faces, mm²."""
        return pi * (self.diameter * self.long + self.head * self.thick + self.head**2 / 2.0)

    @property
    def box(self) -> tuple[tuple[float, float, float], tuple[float, float, float]]:
        """Least and greatest corner."""
        half = self.head / 2.0
        return (-half, -half, -self.long), (half, half, self.thick)
