"""Battery stops: an angle glued to what the battery stands on, so that it cannot slide out of balance.

Its own frame: the origin in the middle of the wall's lower edge on the battery's side, x away from the
battery along the floor, z up; y = z x x.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil, sqrt

import numpy as np

from foldwright.airframe.fitting import FittingBuild, Site
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


@dataclass(frozen=True, slots=True)
class BatteryStopShape:
    """Wall, foot and two cheeks that stiffen the corner, mm.

    wide: across; high: of the wall from the floor; foot: along the floor, wall included; thick: of all.
    """

    wide: float
    high: float
    foot: float
    thick: float

    @property
    def leg(self) -> float:
        """Cathetus of a cheek, 45 degrees, inside wall and foot."""
        return min(self.high, self.foot) - self.thick

    @property
    def cheek(self) -> float:
        """Thickness of a cheek."""
        return min(self.thick, self.wide / 4.0)

    @property
    def volume(self) -> float:
        """Wall, foot beyond it, two triangles, mm³."""
        flat = self.wide * self.thick * (self.high + self.foot - self.thick)
        return flat + 2.0 * self.cheek * self.leg**2 / 2.0

    @property
    def surface(self) -> float:
        """All faces, mm²."""
        section = self.thick * (self.high + self.foot - self.thick)
        around = 2.0 * (self.high + self.foot)
        slopes = self.cheek * self.leg * (sqrt(2.0) - 2.0) + self.leg**2
        return 2.0 * section + around * self.wide + 2.0 * slopes

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
    wide, high = _room(site, (edge, away * fitting.foot_mm), (y, width), stand.height, wish)
    if wide < LEAST_WIDE_MM or high < LEAST_HIGH_MM:
        small: dict[str, Param] = {
            "wide": round(wide, 1), "high": round(high, 1), "x": round(edge, 1),
            "least": LEAST_WIDE_MM, "low": LEAST_HIGH_MM,
        }  # fmt: skip
        return FittingBuild(findings=(Finding("P21", "no-go", where, small),))
    thick = min(fitting.thick_mm, fitting.foot_mm / 2.0, high / 2.0)
    shape = BatteryStopShape(wide, high, fitting.foot_mm, thick)
    placement = frame(np.array([edge, y, stand.height]), np.array([away, 0.0, 0.0]), stand.frame[:3, 2])
    made = Fitting(
        fitting.id, fitting.kind, "battery stop", shape, placement, site.printed(fitting, SOLID), 0.0,
        stand.blank, {"wide_mm": wide, "high_mm": high, "x_mm": edge},
    )  # fmt: skip
    return FittingBuild((made,), (), (), (_note(fitting, stand, length),))


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
    site: Site, along: tuple[float, float], across: tuple[float, float], floor: float, wish: float
) -> tuple[float, float]:
    """Width and height that are free there, the height no more than wished for."""
    (edge, reach), (y, width) = along, across
    x0, x1 = sorted((edge, edge + reach))
    play = site.printer.clearance_mm
    low = (x0, y - 0.5, floor + 0.1)
    left, right = free_across(site.airframe, low, (x1, y + 0.5, floor + 3.0))
    half = min(max(LEAST_WIDE_MM, width * WIDE_SHARE) / 2.0, y - left - play, right - y - play)
    if half <= 1.0:
        return max(0.0, 2.0 * half), 0.0
    # the roof counts, hatches too: they are put on over it
    high = free_along(site.airframe, (x0, y - half + 0.1, low[2]), (x1, y + half - 0.1, floor + 1.0), "+z")
    # the block probed is 1 mm high; 1 mm stays free above
    tall = min(wish, high)
    left, right = free_across(site.airframe, low, (x1, y + 0.5, floor + max(tall, 3.0)))
    return 2.0 * min(half, y - left - play, right - y - play), tall


def _note(fitting: BatteryStop, stand: Stand, length: float) -> Note:
    """P22 at the front, P23 behind: the mark is that of the battery's front."""
    if fitting.end == "front":
        return Note("P22", stand.blank, {"id": fitting.id})
    return Note("P23", stand.blank, {"id": fitting.id, "behind": ceil(length + 0.5)})
