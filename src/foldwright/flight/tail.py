"""What tails and foreplanes do: downwash they stand in, tail volumes, their share in the stability.

A lying surface away from the wing carries C_L,t = a_t (α (1 - dε/dα) + i - ε0). a_t and i come from the
lattice of that surface alone (with the fins that stand on it), C_L,t from the whole aeroplane's, so that the
downwash angle is the one that makes the two agree: the mean over the surface weighted as its lift weighs it.

Sources
1. B. Etkin, L. D. Reid, *Dynamics of Flight*, 3rd ed., 1996, sections 2.2 to 2.4 and 3.9 (tail volume,
   neutral point, fin).
2. P. E. Purser, J. P. Campbell, NACA Report 823, 1945 (V-tail: S cos²Γ lying, S sin²Γ standing; in yaw the
   panels carry opposite loads and are worth some 0.7 of that, which `Weathercock.cn_beta` holds).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from foldwright.airframe.model import Airframe, LiftingSurface
from foldwright.base.band import Band
from foldwright.flight.controls import ahead_of_wing, quarter_x
from foldwright.flight.lift import Lift
from foldwright.flight.planform import M, foot_of, reference, surfaces
from foldwright.flight.strip_sums import Rows, side_rows, strip_rows
from foldwright.physics.lattice import Lattice, loads

WASH_ERROR = 0.15
"""One standard deviation of a downwash angle, of itself [judgement]: the wake is straight, not rolled up."""
Z95 = 1.645
"""Standard deviations to the 95 % point."""
LEAST_SHARE = 0.03
"""Below this share of its area (10 degrees from level or upright) a surface does not lie or stand."""


@dataclass(frozen=True, slots=True)
class Steadier:
    """One lying surface away from the wing: tailplane, V-tail or foreplane.

    surface: id. ahead: it stands ahead of the wing. area: true area, mm²; level_area, upright_area: what it
    is worth lying and standing (S cos²Γ, S sin²Γ, source 2). arm: its quarter chord behind the centre of
    gravity, mm, negative ahead. volume: level_area · arm/(S c). slope: its own lift slope alone in the
    stream, on its own true area, 1/rad (a V-tail's holds cos²Γ). downwash: dε/dα, negative in upwash.
    downwash_zero: ε0, degrees, with the x axis along the stream. neutral_shift: by what part of the mean
    chord its load moves the neutral point aft (negative: forward).
    """

    surface: str
    ahead: bool
    area: float
    level_area: float
    upright_area: float
    arm: float
    volume: float
    slope: float
    downwash: Band
    downwash_zero: Band
    neutral_shift: float


@dataclass(frozen=True, slots=True)
class Weathercock:
    """One surface that steadies in yaw: fin, pair of fins or V-tail.

    area: what counts standing, both of a pair, mm². arm: behind the centre of gravity, mm. volume:
    area · arm/(S b). cn_beta: its load's share of C_n,beta about the centre of gravity, 1/rad.
    """

    surface: str
    area: float
    arm: float
    volume: float
    cn_beta: float


@dataclass(frozen=True, slots=True)
class TailEffect:
    """All of them; the volumes are sums, foreplanes left out of the horizontal one."""

    lying: tuple[Steadier, ...]
    standing: tuple[Weathercock, ...]

    @property
    def volume(self) -> float:
        """Horizontal tail volume of what stands behind the wing."""
        return sum(each.volume for each in self.lying if not each.ahead)

    @property
    def fin_volume(self) -> float:
        """Vertical tail volume; a fin ahead of the centre of gravity takes away."""
        return sum(each.volume for each in self.standing)


def tail_effect(lift: Lift, airframe: Airframe, cg_x: float) -> TailEffect:
    """Downwash, volumes and shares of everything but the wing. cg_x: centre of gravity, mm."""
    held = [each for each in airframe.surfaces if each.id in lift.lattice.surfaces and not each.main]
    lying = [each for each in held if each.symmetric and shares(each)[0] > LEAST_SHARE]
    standing = [each for each in held if shares(each)[1] > LEAST_SHARE]
    about = lift.lattice.about(np.array([cg_x, 0.0, lift.mean.z]) * M)
    return TailEffect(
        tuple(_lying(each, lift, airframe, cg_x) for each in lying),
        tuple(_standing(each, lift, about, cg_x) for each in standing),
    )


def shares(surface: LiftingSurface) -> tuple[float, float]:
    """cos²Γ and sin²Γ, mean over the area (source 2)."""
    step = np.diff(surface.le[:, 1:], axis=0)
    length = np.hypot(step[:, 0], step[:, 1])
    weight = length * (surface.chord[1:] + surface.chord[:-1])
    level = float(np.sum(weight * (step[:, 0] / length) ** 2) / np.sum(weight))
    return level, 1.0 - level


def area_of(surface: LiftingSurface) -> float:
    """True area, both halves of a mirrored surface, mm²."""
    half = float(np.sum(np.diff(surface.arc) * 0.5 * (surface.chord[1:] + surface.chord[:-1])))
    return 2.0 * half if surface.symmetric else half


def _lying(surface: LiftingSurface, lift: Lift, airframe: Airframe, cg_x: float) -> Steadier:
    mean, area = lift.mean, area_of(surface)
    alone = _alone(surface, lift, airframe)
    there = strip_rows(lift.lattice, lift.surfaces, (surface.id,))
    power = alone.get("alpha")[0]
    wash = 1.0 - there.get("alpha")[0] / power
    at_zero = (alone.get("one")[0] - there.get("one")[0]) / power
    level, upright = shares(surface)
    arm = quarter_x(surface) - cg_x
    return Steadier(
        surface=surface.id,
        ahead=ahead_of_wing(surface, airframe.surfaces),
        area=area,
        level_area=area * level,
        upright_area=area * upright,
        arm=arm,
        volume=area * level * arm / (mean.area * mean.chord),
        slope=power * mean.area / area,
        downwash=_band(wash, ""),
        downwash_zero=_band(float(np.degrees(at_zero)), "°"),
        neutral_shift=_neutral_shift(there, lift),
    )


def _alone(surface: LiftingSurface, lift: Lift, airframe: Airframe) -> Rows:
    """Strip rows of the surface alone in the stream, with the pairs of fins on it.

    A fin on the centre line carries nothing in straight flight.
    """
    fins = [each for each in airframe.surfaces if each.symmetric and foot_of(each, surface)]
    wanted = {surface.id, *(each.id for each in fins)}
    parts = [each for each in surfaces(airframe, "final") if each.name in wanted]
    return strip_rows(loads(parts, (), reference(lift.mean)), lift.surfaces, (surface.id,))


def _neutral_shift(own: Rows, lift: Lift) -> float:
    """Neutral point with all loads less that of all loads but these, in mean chords."""
    lift_slope, moment_slope = own.get("alpha")
    rest_lift, rest_moment = lift.pitch.cl_alpha - lift_slope, lift.pitch.cm_alpha - moment_slope
    return rest_moment / rest_lift - lift.pitch.cm_alpha / lift.pitch.cl_alpha


def _standing(surface: LiftingSurface, lift: Lift, about: Lattice, cg_x: float) -> Weathercock:
    mean = lift.mean
    area = area_of(surface) * shares(surface)[1]
    arm = quarter_x(surface) - cg_x
    share = side_rows(about, lift.surfaces, (surface.id,)).get("beta")[1]
    return Weathercock(surface.id, area, arm, area * arm / (mean.area * mean.span), share)


def _band(value: float, unit: str) -> Band:
    spread = abs(value) * WASH_ERROR * Z95
    return Band(value, value - spread, value + spread, unit, "vortex lattice, straight wake")
