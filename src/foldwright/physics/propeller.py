"""A propeller by blade elements with momentum: thrust and power against advance ratio.

Each ring of the disc gives the stream what its blade elements push (source 1). With W the flow that an
element meets, phi its angle to the plane of the disc, sigma the solidity of the ring and F the tip loss,

    v_i = W sigma c_n / (4 F sin phi),   v_t = W sigma c_t / (4 F sin phi),
    W sin phi = V + v_i,                 W cos phi = Omega r - v_t,

so that phi is the root of V (cos phi + k_t) = Omega r (sin phi - k_n), which a bisection finds for all rings
and advance ratios at once; it holds at rest too (V = 0).

Sources
1. H. Glauert, *Airplane Propellers*, in W. F. Durand (ed.), *Aerodynamic Theory* IV, division L, 1935, ch. VI
   (blade elements with momentum) and VII (Prandtl's tip loss).
2. R. W. Deters, G. K. Ananda and M. S. Selig, "Reynolds number effects on the performance of small-scale
   propellers", AIAA 2014-2151: measured small propellers, for the range of the results.

SI units, angles in rad.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from foldwright.base.types import FloatArray

Number = FloatArray | float

RINGS = 16
ADVANCE_MOST = 1.2
"""Greatest advance ratio J = V/(n D) of a table."""
_STEPS = 48
_HALVINGS = 44
_HUB = 0.15


@dataclass(frozen=True, slots=True)
class Blade:
    """A blade's shape and section; defaults are typical moulded propellers of 5 to 10 inches [judgement].

    chord: widest chord over the tip radius. slope: of its section's lift, 1/rad. zero_lift: angle of the face
    that the pitch is measured on, at zero lift, rad (negative: cambered). lift_most: where it stalls.
    drag_least, drag_rise, drag_lift: c_d = drag_least + drag_rise (c_l - drag_lift)².
    """

    chord: float = 0.22
    slope: float = 5.5
    zero_lift: float = -0.055
    lift_most: float = 1.1
    drag_least: float = 0.03
    drag_rise: float = 0.09
    drag_lift: float = 0.4


@dataclass(frozen=True, slots=True, eq=False)
class Table:
    """Coefficients against advance ratio, evenly spaced: C_T = T/(rho n² D⁴), C_P = P/(rho n³ D⁵).

    advance, thrust, power: (k,). Between the points they run straight; past the last one they are held.
    """

    advance: FloatArray
    thrust: FloatArray
    power: FloatArray

    def at(self, advance: Number) -> tuple[FloatArray, FloatArray]:
        """C_T and C_P at advance ratios of any shape."""
        return self._between(self.thrust, advance), self.power_at(advance)

    def power_at(self, advance: Number) -> FloatArray:
        """C_P alone."""
        return self._between(self.power, advance)

    def power_line(self, advance: FloatArray) -> tuple[FloatArray, FloatArray]:
        """C_P = a + s J about advance ratios, as (a, s): zero where the wind would turn the propeller."""
        index = np.minimum(advance * ((len(self.advance) - 1) / self.advance[-1]), len(self.advance) - 1)
        # past the last point C_P is held
        slope = np.append(np.diff(self.power) / np.diff(self.advance), 0.0)
        start = self.power - slope * self.advance
        at = index.astype(np.intp)
        s, a = slope[at], start[at]
        driven = a + s * advance > 0.0
        return np.where(driven, a, 0.0), np.where(driven, s, 0.0)

    def _between(self, values: FloatArray, advance: Number) -> FloatArray:
        """Straight between evenly spaced points: the place is reckoned, not searched for."""
        count = len(self.advance) - 1
        place = np.asarray(advance, dtype=np.float64) * (count / self.advance[-1])
        place = np.minimum(np.maximum(place, 0.0), count)
        index = np.minimum(place.astype(np.intp), count - 1)
        low = values[index]
        return np.asarray(low + (place - index) * (values[index + 1] - low))

    @property
    def zero_thrust(self) -> float:
        """Advance ratio at which the thrust vanishes; the last one where it never does."""
        below = np.nonzero(self.thrust <= 0.0)[0]
        if not below.size:
            return float(self.advance[-1])
        k = int(below[0])
        a, b = self.thrust[k - 1], self.thrust[k]
        return float(self.advance[k - 1] + (self.advance[k] - self.advance[k - 1]) * a / (a - b))


def lift_drag(blade: Blade, incidence: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Lift and drag coefficient of the section at an angle from zero lift [rad].

    Lift is held at its greatest past the stall, where drag rises like that of a plate, 2 sin² [judgement].
    """
    free = blade.slope * incidence
    lift = blade.lift_most * np.tanh(free / blade.lift_most)
    drag = blade.drag_least + blade.drag_rise * (lift - blade.drag_lift) ** 2
    past = np.maximum(np.abs(incidence) - blade.lift_most / blade.slope, 0.0)
    return lift, drag + 2.0 * np.sin(past) ** 2


def chord_law(blade: Blade, share: FloatArray) -> FloatArray:
    """Chord over tip radius at a share of the radius: widest at 0.4, three quarters at the hub, a rounded tip
    [judgement].
    """
    inner = 1.0 - 0.25 * ((0.4 - share) / 0.25) ** 2
    outer = np.sqrt(np.maximum(1.0 - ((share - 0.4) / 0.62) ** 2, 0.0))
    return blade.chord * np.where(share < 0.4, inner, outer)


@lru_cache(maxsize=64)
def table(diameter: float, pitch: float, blades: int, blade: Blade = Blade()) -> Table:
    """Thrust and power of a propeller against advance ratio, 0 to ADVANCE_MOST.

    diameter, pitch [m]; the pitch angle at radius r is atan(pitch/(2 pi r)), measured on the blade's face.
    Only their ratio and the number of blades count.
    """
    edges = np.linspace(_HUB, 1.0, RINGS + 1)
    share = 0.5 * (edges[1:] + edges[:-1])
    advance = np.linspace(0.0, ADVANCE_MOST, _STEPS + 1)
    solidity = blades * chord_law(blade, share) / (2.0 * np.pi * share)
    twist = np.arctan(pitch / (np.pi * diameter * share)) - blade.zero_lift
    # speeds over the tip's: V/(Omega R) = J/pi
    forward = (advance / np.pi)[:, None]
    phi = _inflow(blade, blades, share, solidity, twist, forward)
    lift, drag = lift_drag(blade, twist - phi)
    loss = _tip_loss(blades, share, phi)
    sine, cosine = np.sin(phi), np.cos(phi)
    push, drive = lift * cosine - drag * sine, lift * sine + drag * cosine
    flow = share / (cosine + solidity * drive / (4.0 * loss * sine))
    width = np.diff(edges)
    # dT = B c/2 rho W² c_n dr with lengths over R and speeds over Omega R; T/(rho n² D⁴) = (pi²/4) dT/(rho …)
    ring = 0.5 * (2.0 * np.pi * share * solidity) * flow**2 * width
    thrust = (np.pi**2 / 4.0) * np.sum(ring * push, axis=1)
    torque = (np.pi**2 / 8.0) * np.sum(ring * drive * share, axis=1)
    return Table(advance, thrust, 2.0 * np.pi * torque)


def _tip_loss(blades: int, share: FloatArray, phi: FloatArray) -> FloatArray:
    """Prandtl's factor (source 1): (2/pi) acos exp(-(B/2) (1 - r)/(r sin phi))."""
    power = 0.5 * blades * (1.0 - share) / (share * np.maximum(np.sin(phi), 1e-6))
    return np.asarray(np.maximum(2.0 / np.pi * np.arccos(np.exp(-power)), 1e-4))


def _inflow(
    blade: Blade, blades: int, share: FloatArray, solidity: FloatArray, twist: FloatArray, forward: FloatArray
) -> FloatArray:
    """Angle phi of every ring (columns) at every advance ratio (rows), by bisection."""

    def residual(phi: FloatArray) -> FloatArray:
        lift, drag = lift_drag(blade, twist - phi)
        sine, cosine = np.sin(phi), np.cos(phi)
        factor = solidity / (4.0 * _tip_loss(blades, share, phi) * sine)
        normal = factor * (lift * cosine - drag * sine)
        around = factor * (lift * sine + drag * cosine)
        return np.asarray(forward * (cosine + around) - share * (sine - normal))

    low = np.full((forward.shape[0], share.size), 1e-5)
    high = np.full_like(low, np.pi / 2.0 - 1e-3)
    for _ in range(_HALVINGS):
        middle = 0.5 * (low + high)
        above = residual(middle) > 0.0
        low, high = np.where(above, middle, low), np.where(above, high, middle)
    return 0.5 * (low + high)
