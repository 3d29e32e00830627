"""The folded section of a wing: slopes and planes in the section's own frame.

Section frame: x aft from the leading edge, z up from the inner face of the under strip, mm. The spar's
height h is measured between the inner skins at the ridge.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import acos, atan, atan2, cos, degrees, hypot, inf, isnan, nan, pi, sin, sqrt, tan

from foldwright.design.parts import FoldedWing

_STEPS = 60


@dataclass(frozen=True, slots=True)
class Section:
    """Numbers of one folded section, mm and rad.

    alpha: front slope; mu: aft slope; start: forward edge of the under strip
    on its hinge skin; nose_height: height s of the narrow nose strip (two_fold), else 0.
    """

    t: float
    chord: float
    spar_x: float
    height: float
    strip_aft: float
    alpha: float
    mu: float
    nose: str
    nose_height: float

    @property
    def start(self) -> float:
        """Forward edge of the under strip, x on the hinge skin: t*sin(alpha) for a slit nose, else 0."""
        return self.t * sin(self.alpha) if self.nose == "slit" else 0.0


def slit_slope(d: float, h: float, t: float) -> float:
    """Front slope of a slit nose: root of h = (d - t*sin a)*tan a, rad; NaN where there is none.

    d: spar behind the leading edge; h: spar height; t: board, mm. Newton starts
    from atan(h/d), below the root, and stays on the branch where the height rises with the slope.
    """
    alpha = atan(h / d)
    for _ in range(_STEPS):
        value = (d - t * sin(alpha)) * tan(alpha) - h
        slope = (d - t * sin(alpha)) / cos(alpha) ** 2 - t * sin(alpha)
        if slope <= 0.0:
            return nan
        step = value / slope
        alpha -= step
        if not 0.0 < alpha < pi / 2:
            return nan
        if abs(step) < 1e-15:
            break
    return alpha if abs((d - t * sin(alpha)) * tan(alpha) - h) < 1e-9 else nan


def mitre_slope(d: float, h: float, t: float) -> float:
    """Front slope of a mitred nose, acos(-t/R) - atan2(d, h + t), R = hypot(d, h + t), rad."""
    radius = hypot(d, h + t)
    return acos(-t / radius) - atan2(d, h + t) if radius > t else nan


def two_fold_slope(d: float, h: float, t: float, s: float | None) -> tuple[float, float]:
    """Front slope (rad) and nose strip height s (mm) of a nose with two folds.

    s given: root of h = s - t(1 + sec a) + d tan a, i.e. (h - s + t) cos a + t = d sin a; s left out:
    s = t(1 + sec a), so tan a = h/d.
    """
    if s is None:
        alpha = atan(h / d)
        return alpha, t * (1.0 + 1.0 / cos(alpha))
    rise = h - s + t
    radius = hypot(d, rise)
    # d sin a - rise cos a = t  ->  sin(a - atan2(rise, d)) = t / radius
    if radius <= t:
        return nan, s
    return atan2(rise, d) + atan2(t, sqrt(radius * radius - t * t)), s


def least_nose_strip(alpha: float, t: float) -> float:
    """Least height of the narrow nose strip, t(1 + tan(45 deg - alpha/2)), mm."""
    return t * (1.0 + tan(pi / 4 - alpha / 2))


def least_strip_for(d: float, h: float, t: float) -> float:
    """Least nose strip height that holds with the slope it gives itself, s = t(1 + tan(45 deg - a(s)/2)), mm.

    A higher strip makes the front flatter and wants more in turn; the steps shrink about tenfold each. NaN
    where it gives no slope.
    """
    s = 2.0 * t
    for _ in range(_STEPS):
        s = least_nose_strip(two_fold_slope(d, h, t, s)[0], t)
    return s


def slope_for(method: str, d: float, h: float, t: float, s: float | None) -> tuple[float, float]:
    """Front slope (rad, NaN where none) and nose strip height (0 unless two_fold)."""
    if method == "slit":
        return slit_slope(d, h, t), 0.0
    if method == "mitre":
        return mitre_slope(d, h, t), 0.0
    return two_fold_slope(d, h, t, s)


def greatest_height(method: str, d: float, t: float, s: float | None, limit: float) -> float:
    """Highest spar at `d` whose front slope keeps within `limit` rad, mm (closed forms of the slopes)."""
    if method == "slit":
        return (d - t * sin(limit)) * tan(limit)
    if method == "mitre":
        return d * tan(limit) - t - t / cos(limit)
    if s is None:
        return d * tan(limit)
    return s - t * (1.0 + 1.0 / cos(limit)) + d * tan(limit)


def least_setback(method: str, h: float, t: float, s: float | None, limit: float) -> float:
    """Least spar distance behind the leading edge for height `h` within `limit` rad, mm."""
    if method == "slit":
        return h / tan(limit) + t * sin(limit)
    if method == "mitre":
        return (h + t + t / cos(limit)) / tan(limit)
    if s is None:
        return h / tan(limit)
    return max(0.0, (h - s + t * (1.0 + 1.0 / cos(limit))) / tan(limit))


def solve(part: FoldedWing, t: float) -> Section:
    """Section of a wing part on board of thickness t. Slopes are NaN where there is no solution."""
    d, h = part.spar.x_mm, part.spar.height_mm
    alpha, s = slope_for(part.nose.method, d, h, t, part.nose.strip_height_mm)
    run = part.strip.aft_mm - d
    mu = atan(h / run) if run > 0.0 else nan
    return Section(t, part.chord_mm, d, h, part.strip.aft_mm, alpha, mu, part.nose.method, s)


def in_degrees(angle: float) -> float:
    """Angle in degrees rounded for printing; inf for NaN (no solution)."""
    return inf if isnan(angle) else round(degrees(angle), 1)
