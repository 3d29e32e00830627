"""The battery's place: where the balance wants it, how far it may go, and what helps where it cannot.

mm, g, in the aeroplane's frame; x of a battery is its centre, the faces are half its length ahead and
behind.
"""

from __future__ import annotations

from dataclasses import dataclass

from foldwright.design.resolve import FittedBattery
from foldwright.flight.weights import Ballast, Move, Weights, least_ballast, moves_for, place_for


@dataclass(frozen=True, slots=True)
class Bay:
    """Where a battery may stand: foremost x of its front face, aftmost x of its rear face."""

    foremost: float
    aftmost: float


@dataclass(frozen=True, slots=True)
class Limits:
    """Centres of gravity [mm]: the one wanted, foremost and aftmost allowed, aftmost for first flights;
    neutral point and chord.
    """

    wanted: float
    forward: float
    aft: float
    first_aft: float
    neutral: float
    chord: float

    def margin(self, cg: float) -> float:
        """Static margin, fraction of the chord."""
        return (self.neutral - cg) / self.chord


@dataclass(frozen=True, slots=True)
class BatteryPlace:
    """One battery in the aeroplane.

    x, front, rear: its place, mm. wanted: the centre that balances at the wanted margin, whether or not the
    bay reaches it. low, high: least and greatest x of its centre that keep to limits and bay; first: the
    same for the window of the first flights; None where there is no such place.
    cg_x: centre of gravity with it at x; static_margin: fraction of the chord; mass: all-up, g.
    too_long: longer than the bay. fits: at x it stands within the bay and balances within limits.
    moves: items that, all moved, bring the centre of gravity into the window of the first flights without
    ballast; ballast: what would do it without moving anything. Both are empty where it is within limits.
    """

    id: str
    battery_mass: float
    mass: float
    x: float
    front: float
    rear: float
    wanted: float
    low: float | None
    high: float | None
    first: tuple[float, float] | None
    cg_x: float
    static_margin: float
    too_long: bool
    fits: bool
    moves: tuple[Move, ...]
    ballast: Ballast | None


def place_battery(
    battery: FittedBattery,
    bay: Bay,
    limits: Limits,
    weights: Weights,
    ends: tuple[float, float],
    fixed: float | None = None,
) -> BatteryPlace:
    """Place a battery.

    fixed: x of its centre where the design sets it; None puts it where the wanted margin is reached, or as
    near as the bay lets it. ends: x of the aeroplane's nose and tail, for ballast.
    """
    mass, first, own = float(weights.mass[0]), float(weights.first[0]), battery.mass_g
    half = 0.5 * battery.size_mm[0]
    wanted, foremost, aftmost, first_aft = (
        place_for(cg, mass, first, own)
        for cg in (limits.wanted, limits.forward, limits.aft, limits.first_aft)
    )
    bay_low, bay_high = bay.foremost + half, bay.aftmost - half
    too_long = bay_low > bay_high + 1e-9
    ahead = max(foremost, bay_low)
    within = _range(ahead, min(aftmost, bay_high))
    middle = 0.5 * (bay_low + bay_high)
    x = fixed if fixed is not None else (middle if too_long else min(max(wanted, bay_low), bay_high))
    cg = (first + own * x) / (mass + own)
    inside = limits.forward - 1e-9 <= cg <= limits.aft + 1e-9
    in_bay = bay_low - 1e-9 <= x <= bay_high + 1e-9
    # what is put right is put right for the first flights; without a window for them, at the forward limit
    rear = max(limits.forward, min(limits.aft, limits.first_aft))
    edge = rear if cg > limits.aft else limits.forward
    allowed = (limits.forward, rear)
    return BatteryPlace(
        id=battery.id,
        battery_mass=own,
        mass=mass + own,
        x=x,
        front=x - half,
        rear=x + half,
        wanted=wanted,
        low=None if within is None else within[0],
        high=None if within is None else within[1],
        first=_range(ahead, min(first_aft, bay_high)),
        cg_x=cg,
        static_margin=limits.margin(cg),
        too_long=too_long,
        fits=inside and in_bay,
        moves=() if inside else moves_for(weights.movable, (edge - cg) * (mass + own)),
        ballast=None if inside else least_ballast(mass + own, cg, allowed, ends),
    )


def _range(low: float, high: float) -> tuple[float, float] | None:
    return None if low > high else (low, high)
