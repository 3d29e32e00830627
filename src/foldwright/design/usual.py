"""Names of the ranges that the review holds to be usual; a design's `[usual]` table replaces single ones."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType


@dataclass(frozen=True, slots=True)
class Named:
    """A quantity with a usual range. unit: of both its ends. meaning: what it is and which way it counts."""

    name: str
    unit: str
    meaning: str


_ALL = (
    Named("wing_loading_g_dm2", "g/dm²", "all-up weight over the wing's area"),
    Named("static_margin_pct", "% chord", "balance point ahead of the neutral point"),
    Named("balance_pct", "% chord", "balance point behind the front of the mean aerodynamic chord"),
    Named("launch_trim_mm", "mm", "trailing edge up at launch; negative: down"),
    Named("cruise_trim_mm", "mm", "trailing edge up at cruise; negative: down"),
    Named("trim_of_travel", "", "share of the travel, 0-1, that launch trim may take"),
    Named("power_edge_mm", "mm", "full power, as trailing edge that pitches as much; nose-up positive"),
    Named("thrust_to_weight", "", "static thrust of all motors over the weight"),
    Named("control_chord_pct", "% chord", "pitch control on the wing, of the wing's chord there"),
    Named("elevator_pct", "%", "elevator's area, of the surface that it is hinged to"),
    Named("aileron_area_pct", "%", "area of ailerons and flaperons, of the wing's"),
    Named("tail_volume", "", "level area times its arm to the balance point, over wing area and mean chord"),
    Named("fin_volume", "", "upright area times its arm to the balance point, over wing area and span"),
    Named("dihedral_deg", "°", "rise of the wing's halves, with a control that rolls"),
    Named("dihedral_alone_deg", "°", "rise of the wing's halves where the rudder alone banks it"),
    Named("cn_beta", "1/rad", "yawing moment with sideslip, nose into the wind positive"),
    Named("washout_deg", "°", "tip turned nose-down against the root, folding twist counted in"),
    Named("grip_mm", "mm", "middle of the throwing hand ahead of the balance point; negative: behind"),
    Named("legs_ahead_mm", "mm", "main legs ahead of the balance point, without a nose leg"),
    Named("legs_behind_mm", "mm", "main legs behind the balance point, with a nose leg"),
    Named("ground_mm", "mm", "propeller's tips above the ground, standing level on its legs"),
    Named("tell_pct", "%", "how much lighter one side is than the other"),
)

USUAL: Mapping[str, Named] = MappingProxyType({one.name: one for one in _ALL})
"""All of them by name."""
