"""What was read off a coupon, turned into the value of a key of the workshop file. mm, rad."""

from __future__ import annotations

from math import radians

from foldwright.geometry.fold.methods import bevel, radius_gain


def kerf_from_fit(tab_mm: float, slot_mm: float) -> float:
    """Full width of the cut, from a tab and the slot that it just holds in, as drawn without kerf, mm.

    First principles: a tab drawn d is cut to d - k, a slot drawn s to s + k; they fit where these are the
    same, k = (d - s)/2. Never negative.
    """
    return max(0.0, (tab_mm - slot_mm) / 2.0)


def outer_radius_from(flat_mm: float, outside_mm: float, angle_deg: float) -> float:
    """Outer radius of a crushed corner, from a strip measured flat and folded, mm.

    outside_mm: both legs together, each from its end to where the outer faces would meet (what a square
    measures). angle_deg: turn of the fold, 0 for flat, under 180. The gain outside - flat is that of the
    fold model, (2 tan(θ/2) - θ) r. A gain below zero is a sharp corner: 0.

    Raises:
        ValueError: an angle that is not between 0 and 180 degrees.
    """
    if not 0.0 < angle_deg < 180.0:
        raise ValueError(f"a fold turns between 0 and 180 degrees, got {angle_deg:g}")
    return max(0.0, (outside_mm - flat_mm) / radius_gain(radians(angle_deg), 1.0))


def squeeze_share_from(width_mm: float, thickness_mm: float, angle_deg: float) -> float:
    """Share of the wedge that may be squeezed, from the narrowest band that folded well, 0-1.

    First principles: a band w wide takes t w/2 of a wedge of t² tan(θ/2) on either side, so
    1 - w / (2 t tan(θ/2)) of it is squeezed. 0 where the band is as wide as the wedge.

    Raises:
        ValueError: an angle that is not between 0 and 180 degrees, or no thickness.
    """
    if not (0.0 < angle_deg < 180.0 and thickness_mm > 0.0):
        raise ValueError(f"no wedge in {thickness_mm:g} mm turned by {angle_deg:g} degrees")
    return min(1.0, max(0.0, 1.0 - width_mm / (2.0 * bevel(radians(angle_deg), thickness_mm))))


def band_for(share: float, thickness_mm: float, angle_deg: float) -> float:
    """Width of the band of which that share of the wedge is squeezed, mm: the inverse of the above."""
    return 2.0 * bevel(radians(angle_deg), thickness_mm) * (1.0 - share)


def clearance_from_fit(hole_mm: float, pin_mm: float) -> float:
    """Clearance all round of parts that slide, from the least hole that a pin slides in, as drawn, mm."""
    return max(0.0, (hole_mm - pin_mm) / 2.0)
