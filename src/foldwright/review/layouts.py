"""What is usual for each layout: the limits that rules hold an aeroplane against.

Ranges of common practice are quoted from memory and have no source; what nobody quotes is a judgement and
says so. Every one of them is replaced by the design's own `[usual]` table where it names it.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from foldwright.design.model import Design, Layout
from foldwright.design.usual import USUAL

PRACTICE, JUDGED = "common practice, no source", "[judgement]"
OWN = "set in the design file"
NO_LIMIT = 1e6
"""A range that is open at one end."""


@dataclass(frozen=True, slots=True)
class Range:
    """Least and most that is usual, in the unit of `design.usual`, and where the numbers come from."""

    low: float
    high: float
    source: str = PRACTICE

    def holds(self, value: float, slack: float = 0.0) -> bool:
        """Whether a value lies within, or outside by no more than `slack`."""
        return self.low - slack <= value <= self.high + slack

    def passed(self, value: float) -> float:
        """The end that a value lies outside of, or is to be held against."""
        return self.low if value < self.low else (self.high if value > self.high else self._nearer(value))

    def _nearer(self, value: float) -> float:
        if self.high >= NO_LIMIT:
            return self.low
        if self.low <= -NO_LIMIT:
            return self.high
        return min((self.high, self.low), key=lambda end: abs(end - value))

    @property
    def says(self) -> str:
        """The range in words, without its unit."""
        if self.high >= NO_LIMIT:
            return f"at least {self.low:g}"
        return f"at most {self.high:g}" if self.low <= -NO_LIMIT else f"from {self.low:g} to {self.high:g}"


def _judged(low: float, high: float) -> Range:
    return Range(low, high, JUDGED)


def _least(low: float) -> Range:
    return Range(low, NO_LIMIT, JUDGED)


# The same whatever the layout.
_COMMON: Mapping[str, Range] = {
    "trim_of_travel": _judged(0.0, 0.60),
    "dihedral_alone_deg": Range(6.0, 10.0),
    "grip_mm": _judged(-60.0, 60.0),
    "legs_ahead_mm": _judged(5.0, 25.0),
    "legs_behind_mm": _judged(5.0, 40.0),
    "ground_mm": _least(15.0),
    "tell_pct": _least(40.0),
}

_TAILLESS: Mapping[str, Range] = {
    "static_margin_pct": Range(5.0, 10.0),
    "cruise_trim_mm": _judged(-0.5, 10.0),
    "power_edge_mm": _judged(-0.2, 8.0),
    "thrust_to_weight": Range(0.6, 1.3, f"{PRACTICE}: hand-launched pusher 0.8-1.3, low end with room"),
    "control_chord_pct": Range(15.0, 30.0),
    "cn_beta": _least(0.015),
}

_TAILED: Mapping[str, Range] = {
    "static_margin_pct": Range(10.0, 18.0),
    "balance_pct": Range(25.0, 40.0),
    "launch_trim_mm": _judged(-4.0, 6.0),
    "cruise_trim_mm": _judged(-6.0, 4.0),
    "power_edge_mm": _judged(-4.0, 4.0),
    "thrust_to_weight": Range(0.5, 0.8),
    "control_chord_pct": Range(15.0, 30.0),
    "elevator_pct": Range(25.0, 40.0),
    "aileron_area_pct": Range(8.0, 12.0),
    "tail_volume": Range(0.4, 0.6),
    "fin_volume": Range(0.025, 0.045),
    "dihedral_deg": Range(3.0, 6.0),
    "cn_beta": _least(0.03),
}

_OWN: Mapping[Layout, Mapping[str, Range]] = {
    "tailless pusher": {
        **_TAILLESS,
        "wing_loading_g_dm2": Range(20.0, 50.0, f"{PRACTICE}: plank 20-35, fast 35-50"),
        "balance_pct": Range(15.0, 22.0),
        "launch_trim_mm": Range(3.0, 8.0),
    },
    "swept tailless": {
        **_TAILLESS,
        "wing_loading_g_dm2": Range(15.0, 50.0, f"{PRACTICE}: plank 20-35, fast 35-50; light end judged"),
        "static_margin_pct": _judged(4.0, 12.0),
        "balance_pct": _judged(15.0, 28.0),
        "launch_trim_mm": _judged(0.0, 8.0),
        "washout_deg": _judged(1.5, 6.0),
    },
    "tailed trainer": {**_TAILED, "wing_loading_g_dm2": Range(12.0, 25.0)},
    "flat profile": {
        **_TAILED,
        "wing_loading_g_dm2": _judged(6.0, 25.0),
        "static_margin_pct": _judged(5.0, 18.0),
        "balance_pct": _judged(20.0, 40.0),
        "thrust_to_weight": _judged(0.5, 1.5),
        "elevator_pct": _judged(25.0, 60.0),
        "aileron_area_pct": _judged(8.0, 20.0),
        "tail_volume": _judged(0.3, 0.7),
        "fin_volume": _judged(0.02, 0.06),
        "dihedral_deg": _judged(0.0, 6.0),
        "cn_beta": _least(0.02),
    },
    "v-tail": {
        **_TAILED,
        "wing_loading_g_dm2": _judged(12.0, 35.0),
        "thrust_to_weight": _judged(0.5, 1.0),
        "dihedral_deg": _judged(2.0, 6.0),
        "cn_beta": _least(0.02),
    },
    "canard": {
        "wing_loading_g_dm2": _judged(15.0, 40.0),
        "static_margin_pct": _judged(8.0, 25.0),
        "balance_pct": _judged(-80.0, 15.0),
        "launch_trim_mm": _judged(-10.0, 3.0),
        "cruise_trim_mm": _judged(-6.0, 5.0),
        "power_edge_mm": _judged(-8.0, 8.0),
        "thrust_to_weight": _judged(0.5, 1.3),
        "control_chord_pct": Range(15.0, 30.0),
        "elevator_pct": _judged(25.0, 60.0),
        "aileron_area_pct": Range(8.0, 12.0),
        "tail_volume": _judged(0.2, 0.7),
        "dihedral_deg": _judged(0.0, 6.0),
        "cn_beta": _least(0.015),
    },
    "other": {
        "wing_loading_g_dm2": _judged(6.0, 50.0),
        "static_margin_pct": _judged(4.0, 20.0),
        "launch_trim_mm": _judged(-10.0, 10.0),
        "cruise_trim_mm": _judged(-10.0, 10.0),
        "power_edge_mm": _judged(-8.0, 8.0),
        "thrust_to_weight": _judged(0.4, 1.5),
        "cn_beta": _least(0.015),
    },
}  # fmt: skip

LAYOUTS: Mapping[Layout, Mapping[str, Range]] = MappingProxyType(
    {layout: MappingProxyType({**_COMMON, **own}) for layout, own in _OWN.items()}
)
"""Usual ranges of each layout by their names in `design.usual`; what is not there is not judged."""

SPOKEN: Mapping[Layout, str] = MappingProxyType(
    {
        "tailless pusher": "a tailless pusher",
        "swept tailless": "a swept tailless aeroplane",
        "tailed trainer": "a tailed trainer",
        "flat profile": "an aeroplane of flat board",
        "v-tail": "an aeroplane with a V-tail",
        "canard": "a canard",
        "other": "small aeroplanes of folded board",
    }
)
"""Layouts as the findings name them."""


def usual(design: Design, name: str) -> Range | None:
    """The usual range of a quantity: the design's own, else its layout's; None where nothing is usual.

    Raises KeyError for a name that `design.usual` does not have.
    """
    named = USUAL[name]
    own = design.usual.get(named.name)
    if own is not None:
        return Range(min(own), max(own), OWN)
    return LAYOUTS[design.design.layout].get(name)


def spoken(design: Design) -> str:
    """The design's layout as the findings name it."""
    return SPOKEN[design.design.layout]
