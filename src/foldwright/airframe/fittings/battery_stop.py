"""Battery stops: an angle glued to what the battery stands on, so that it cannot slide out of balance.

Its own frame: the origin in the middle of the wall's lower edge on the battery's side, x away from the
battery along the floor, z up; y = z x x.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil, floor, sqrt

import numpy as np

from foldwright.airframe.fitting import FittingBuild, Site, given
from foldwright.airframe.fitting_model import SOLID, Fitting
from foldwright.airframe.fitting_places import Stand, floor_under, free_across, free_along
from foldwright.airframe.model import Note
from foldwright.base.finding import Finding, Param
from foldwright.design.fittings import BatteryStop
from foldwright.geometry.transform import frame

MODEL = BatteryStop

WIDE_SHARE = 0.6
"""Of the battery's width: enough to hold it [judgement]."""
HIGH_SHARE = 2.0 / 3.0
"""Of the battery's height, where the design does not say [judgement]."""
LEAST_WIDE_MM, LEAST_HIGH_MM = 12.0, 5.0
"""[judgement] a stop smaller than this holds no battery."""
PAD_MM = 6.0
"""A floor further below the battery than this carries something else, mm."""
_PROBE_MM = 1.5
_EDGE_MM = 0.3
"""So near to its ends the foot is looked for floor under it, mm."""


@dataclass(frozen=True, slots=True)
class BatteryStopShape:
    """Wall, foot and a cheek on one side that stiffens the corner, mm: on the bed when it is printed.

    wide: across; high: of the wall from the floor; foot: along the floor, wall included; thick: of all.
    """

    wide: float
    high: float
    foot: float
    thick: float

    @property
    def leg(self) -> float:
        """Cathetus of the cheek, 45 degrees, inside wall and foot."""
        return min(self.high, self.foot) - self.thick

    @property
    def cheek(self) -> float:
        """Thickness of the cheek."""
        return min(2.0 * self.thick, self.wide / 3.0)

    @property
    def volume(self) -> float:
        """Wall, foot beyond it, a triangle, mm³."""
        flat = self.wide * self.thick * (self.high + self.foot - self.thick)
        return flat + self.cheek * self.leg**2 / 2.0

    @property
    def surface(self) -> float:
        """All faces, mm²."""
        section = self.thick * (self.high + self.foot - self.thick)
        around = 2.0 * (self.high + self.foot)
        slope = self.cheek * self.leg * (sqrt(2.0) - 2.0) + self.leg**2
        return 2.0 * section + around * self.wide + slope

    @property
    def box(self) -> tuple[tuple[float, float, float], tuple[float, float, float]]:
        """Least and greatest corner."""
        return (0.0, -self.wide / 2.0, 0.0), (self.foot, self.wide / 2.0, self.high)


def build(fitting: BatteryStop, site: Site) -> FittingBuild:
    """One stop on the floor or tray that the battery stands on."""
    battery, where = site.fitted.battery, f"fitting.{fitting.id}"
    length, width, height = battery.size_mm
    y, low = site.fitted.battery_y_mm, site.fitted.battery_z_mm - height / 2.0
    away = -1.0 if fitting.end == "front" else 1.0
    edge = stop_x(site, fitting.end, length)
    spot = (edge + away * fitting.foot_mm / 2.0, y, low + _PROBE_MM)
    stand = floor_under(site.airframe, *spot, skip=site.airframe.loose)
    if stand is None or low - stand.height > PAD_MM:
        got = "none" if stand is None else f"{stand.blank}, {low - stand.height:.1f} mm below it"
        params: dict[str, Param] = {"x": round(spot[0], 1), "got": got, "most": PAD_MM}
        return FittingBuild(findings=(Finding("P20", "no-go", where, params),))
    wish = fitting.high_mm or height * HIGH_SHARE
    task = _Task(site, fitting, away, (y, width), low, stand, wish)
    wide, high = task.room((edge, edge))
    if wide < LEAST_WIDE_MM or high < LEAST_HIGH_MM:
        small: dict[str, Param] = {
            "wide": round(wide, 1), "high": round(high, 1), "x": round(edge, 1),
            "least": LEAST_WIDE_MM, "low": LEAST_HIGH_MM,
        }  # fmt: skip
        return FittingBuild(findings=(Finding("P21", "no-go", where, small),))
    ends = slide(site, fitting.end)
    span = task.reach(edge, ends)
    all_along = task.room(span)
    if all_along[0] >= LEAST_WIDE_MM and all_along[1] >= LEAST_HIGH_MM:
        wide, high = all_along
    thick = min(fitting.thick_mm, fitting.foot_mm / 2.0, high / 2.0)
    less = [
        *given(fitting, "high_mm", high, "a roof or hatch is over it"),
        *given(fitting, "thick_mm", thick, "its foot and height leave no more"),
    ]
    shape = BatteryStopShape(wide, high, fitting.foot_mm, thick)
    placement = frame(np.array([edge, y, stand.height]), np.array([away, 0.0, 0.0]), stand.frame[:3, 2])
    made = Fitting(
        fitting.id, fitting.kind, "battery stop", shape, placement, site.printed(fitting, SOLID), 0.0,
        stand.blank, {"wide_mm": wide, "high_mm": high, "x_mm": edge},
    )  # fmt: skip
    notes = (_note(fitting, stand, length), *_short_of(fitting, stand, span, ends))
    return FittingBuild((made,), tuple(less), (), notes)


def slide(site: Site, end: str) -> tuple[float, float]:
    """Foremost and aftmost x of the stop's wall: wherever the battery, or another one that the files name,
    may stand on its slide; one place where the design sets the battery's.
    """
    battery, fore_aft = site.fitted.battery, site.fitted.battery_slide_mm
    if site.fitted.battery_x_mm is not None:
        edge = stop_x(site, end, battery.size_mm[0])
        return edge, edge
    short = min(one.size_mm[0] for one in (battery, *site.fitted.alternatives))
    fore, aft = fore_aft
    if end == "front":
        return fore, max(fore, aft - short)
    return min(fore + short, aft), max(aft, fore + short)


@dataclass(frozen=True, slots=True, eq=False)
class _Task:
    """Where a stop is looked for. away: sign of x away from the battery; across: middle and width of the
    battery; low: its underside; stand: floor under the middle of the slide; wish: height asked for.
    """

    site: Site
    fitting: BatteryStop
    away: float
    across: tuple[float, float]
    low: float
    stand: Stand
    wish: float

    def room(self, edges: tuple[float, float]) -> tuple[float, float]:
        """Width and height that are free wherever the wall may stand between two x."""
        spots = [edges[0], edges[1], *(edge + self.away * self.fitting.foot_mm for edge in edges)]
        return _room(self.site, (min(spots), max(spots)), self.across, self.stand.height, self.wish)

    def right(self, edge: float) -> bool:
        """Whether all of the foot lies on the floor there, and there is room for the least stop."""
        for off in (_EDGE_MM, self.fitting.foot_mm - _EDGE_MM):
            spot = (edge + self.away * off, self.across[0], self.low + _PROBE_MM)
            floor = floor_under(self.site.airframe, *spot, skip=self.site.airframe.loose)
            if floor is None or floor.blank != self.stand.blank or self.low - floor.height > PAD_MM:
                return False
        wide, high = self.room((edge, edge))
        return wide >= LEAST_WIDE_MM and high >= LEAST_HIGH_MM

    def reach(self, edge: float, ends: tuple[float, float]) -> tuple[float, float]:
        """From and to of the wall's places about a right one that are right too."""
        if not self.right(edge):
            return edge, edge
        found = []
        for end in ends:
            good, bad = edge, end
            if self.right(end):
                good = end
            while abs(good - bad) > 0.5 and good != end:
                middle = (good + bad) / 2.0
                good, bad = (middle, bad) if self.right(middle) else (good, middle)
            found.append(good)
        return found[0], found[1]


def _short_of(
    fitting: BatteryStop, stand: Stand, span: tuple[float, float], ends: tuple[float, float]
) -> tuple[Note, ...]:
    """P123 where the stop cannot stand wherever the battery may: its foot hangs over, or runs into board."""
    if span[0] <= ends[0] + 1.0 and span[1] >= ends[1] - 1.0:
        return ()
    params: dict[str, Param] = {
        "id": fitting.id, "fore": ceil(span[0]), "aft": floor(span[1]), "blank": stand.blank,
        "first": round(ends[0]), "last": round(ends[1]), "face": fitting.end,
    }  # fmt: skip
    return (Note("P123", stand.blank, params),)


def stop_x(site: Site, end: str, length: float) -> float:
    """X of the battery's face that the stop stands against, mm, as far as it is known before balancing.

    Where the design does not set the battery's place, the middle of what its slide allows; balance finds the
    place itself and its mark, battery-front, is drawn on the board. A stop of 3 g, 30 mm off, moves the
    balance point by 0.2 mm in an aeroplane of 450 g.
    """
    fore, aft = site.fitted.battery_slide_mm
    fixed = site.fitted.battery_x_mm
    middle = fixed if fixed is not None else (fore + max(aft, fore + length)) / 2.0
    return middle + (-length / 2.0 if end == "front" else length / 2.0)


def _room(
    site: Site, along: tuple[float, float], across: tuple[float, float], ground: float, wish: float
) -> tuple[float, float]:
    """Width and height that are free from one x to another, the height no more than wished for."""
    (x0, x1), (y, width) = along, across
    play = site.printer.clearance_mm
    low = (x0, y - 0.5, ground + 0.1)
    left, right = free_across(site.airframe, low, (x1, y + 0.5, ground + 3.0))
    half = min(max(LEAST_WIDE_MM, width * WIDE_SHARE) / 2.0, y - left - play, right - y - play)
    if half <= 1.0:
        return max(0.0, 2.0 * half), 0.0
    # the roof counts, hatches too: they are put on over it
    high = free_along(site.airframe, (x0, y - half + 0.1, low[2]), (x1, y + half - 0.1, ground + 1.0), "+z")
    # the block probed is 1 mm high; 1 mm stays free above
    tall = min(wish, high)
    left, right = free_across(site.airframe, low, (x1, y + 0.5, ground + max(tall, 3.0)))
    return 2.0 * min(half, y - left - play, right - y - play), tall


def _note(fitting: BatteryStop, stand: Stand, length: float) -> Note:
    """P22 at the front, P23 behind: the mark is that of the battery's front."""
    if fitting.end == "front":
        return Note("P22", stand.blank, {"id": fitting.id})
    return Note("P23", stand.blank, {"id": fitting.id, "behind": ceil(length + 0.5)})
