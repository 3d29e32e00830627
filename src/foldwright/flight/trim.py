"""Pitch trim of this aeroplane at a speed, in mm of trailing edge, over the samples of the assumptions.

The thrust line acts through its moment and through the stream over the controls (physics.stream). Without
thrust the trim is the glide's, which is what is built into the linkage.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from foldwright.airframe.model import Airframe, Thrust
from foldwright.base.band import Band
from foldwright.base.finding import Finding
from foldwright.base.types import FloatArray
from foldwright.design.model import Targets
from foldwright.flight.balance import Balance
from foldwright.flight.controls import Rigged, answering, place
from foldwright.flight.lift import Lift, Samples, Station
from foldwright.flight.planform import M
from foldwright.physics.atmosphere import STANDARD_GRAVITY
from foldwright.physics.stream import contraction, inflow_factor
from foldwright.physics.trim import (
    LINEAR_DEFLECTION,
    Slopes,
    TrimState,
    control_power,
    edge_up,
    solve_trim,
    thrust_moment,
)

LEAST_POWER = 0.05
"""Pitching moment about the neutral point per radian of pitch control, at least [1/rad] [judgement]: 15
degrees of such a control move the trimmed lift coefficient by less than 0.2 at a margin of 7 %."""
BASIS = "vortex lattice, linear trim below the greatest lift, assumptions sampled"


@dataclass(frozen=True, slots=True, eq=False)
class Condition:
    """One flight condition: speed [m/s], air density [kg/m³], share of the full static thrust 0-1."""

    speed: float
    density: float
    power: float = 0.0

    @property
    def pressure(self) -> float:
        """Dynamic pressure ½ ρ V² [Pa]."""
        return 0.5 * self.density * self.speed**2


@dataclass(frozen=True, slots=True, eq=False)
class Trim:
    """Trim at one condition.

    up: mm of trailing edge up at the station; delta: degrees, the station's own control, trailing edge down
    positive (state.delta: the mixed pitch state of flight.controls, opposite on a canard); alpha: incidence
    of the x axis, degrees; lift: lift coefficient; reserve: greatest lift coefficient less `lift` (negative:
    stalled). stalled: share of the samples (0-1) that have no trim because they would need more than the
    greatest lift; they are NaN in `state` and counted in the bands' `missing`. below_stall: whether the
    centre value is below the greatest lift.
    """

    condition: Condition
    station: Station
    up: Band
    delta: Band
    alpha: Band
    lift: Band
    reserve: Band
    stalled: float
    state: TrimState

    @property
    def below_stall(self) -> bool:
        """Whether the centre sample has a trim."""
        return not bool(self.state.stalled[0])


@dataclass(frozen=True, slots=True, eq=False)
class Trims:
    """Launch and cruise trim without power, and launch trim with full static thrust."""

    launch: Trim
    cruise: Trim
    launch_power: Trim


def trims(
    airframe: Airframe, lift: Lift, balance: Balance, targets: Targets, samples: Samples
) -> tuple[Trims | None, tuple[Finding, ...]]:
    """Trim at launch and cruise speed, or None and the finding that says why there is none."""
    if lift.station is None:
        return None, (Finding("T01", "no-go", "part", source="statics"),)
    weak = _weak(lift, balance)
    if weak:
        return None, weak
    density = targets.field_density_kg_m3
    wanted = (
        ("launch", targets.launch_speed_m_s, 0.0),
        ("cruise", targets.cruise_speed_m_s, 0.0),
        ("launch_power", targets.launch_speed_m_s, 1.0),
    )
    done = {
        name: trim(airframe, lift, balance, samples, Condition(speed, density, power))
        for name, speed, power in wanted
    }
    found = _findings(done["launch"], done["cruise"])
    return Trims(done["launch"], done["cruise"], done["launch_power"]), found


def _weak(lift: Lift, balance: Balance) -> tuple[Finding, ...]:
    """T05 where the pitch controls together hardly turn the aeroplane, or turn it the wrong way."""
    power = float(control_power(slopes_at(lift, balance.cg_samples))[0])
    if power <= -LEAST_POWER or lift.station is None:
        return ()
    params = {"power": round(-power, 3), "least": LEAST_POWER}
    where = f"{lift.station.surface}.control.{lift.station.control}"
    return (Finding("T05", "no-go", where, params, round(-power, 3), LEAST_POWER, "1/rad", "[judgement]"),)


def trim(airframe: Airframe, lift: Lift, balance: Balance, samples: Samples, condition: Condition) -> Trim:
    """Trim at one condition. Raises LookupError for an aeroplane without pitch control."""
    if lift.station is None:
        raise LookupError("no pitch control")
    thrust = static_thrust(airframe.thrust, samples) * condition.power
    pull = Pull(thrust, condition.speed, condition.density)
    return _trim(lift, lift.station, condition, trim_state(airframe, lift, balance, samples, pull))


@dataclass(frozen=True, slots=True, eq=False)
class Pull:
    """A thrust at a speed: thrust (..., n) [N] of all motors, speed [m/s], a number or (..., 1), density."""

    thrust: FloatArray
    speed: FloatArray | float
    density: float

    @property
    def pressure(self) -> FloatArray:
        """Dynamic pressure ½ ρ V² [Pa]."""
        return np.asarray(0.5 * self.density * np.asarray(self.speed) ** 2)


def trim_state(
    airframe: Airframe,
    lift: Lift,
    balance: Balance,
    samples: Samples,
    pull: Pull,
    borne: FloatArray | float = 0.0,
) -> TrimState:
    """Trim under a thrust, (..., n); borne: weight that the thrust line itself carries [N]."""
    weight = balance.mass_samples * M * STANDARD_GRAVITY - borne
    force = pull.pressure * lift.mean.area * M * M
    moment = pitch_of(airframe.thrust, pull.thrust, balance, samples)
    stream = stream_factor(airframe, lift, samples, pull)
    slopes = slopes_at(lift, balance.cg_samples)
    return solve_trim(slopes, weight / force, moment / (force * lift.mean.chord * M), stream)


def _trim(lift: Lift, station: Station, condition: Condition, state: TrimState) -> Trim:
    own = station.sense * state.delta
    return Trim(
        condition=condition,
        station=station,
        up=Band.of(edge_up(own, station.chord), "mm", BASIS),
        delta=Band.of(np.degrees(own), "°", BASIS),
        alpha=Band.of(np.degrees(state.alpha), "°", BASIS),
        lift=Band.of(state.lift, "", "weight over dynamic pressure and wing area"),
        reserve=Band.of(lift.cl_max - state.lift, "", "assumed greatest lift less the lift needed"),
        stalled=float(np.mean(state.stalled)),
        state=state,
    )


def slopes_at(lift: Lift, cg: FloatArray) -> Slopes:
    """Trim coefficients with the centre of gravity at x = cg (n,) [mm].

    Moments move there from the lattice's reference point: C_mδ,cg = C_mδ + C_Lδ (x_cg - x_ref)/c.
    """
    arm = lift.share(cg) - 0.25
    return Slopes(
        alpha0=lift.pitch.alpha0,
        cl_alpha=lift.pitch.cl_alpha,
        cl_delta=lift.pitch.cl_delta,
        cm_delta=lift.pitch.cm_delta + lift.pitch.cl_delta * arm,
        cm0=lift.cm0,
        margin=lift.margin(cg),
        eta=lift.eta,
        cl_max=lift.cl_max,
    )


def static_thrust(thrust: Thrust, samples: Samples) -> FloatArray:
    """Full static thrust of all motors (n,) [N], as stated or measured; zero where neither is there."""
    factor = "static_test_factor" if thrust.tested else "thrust_factor"
    return np.asarray((thrust.total_n or 0.0) * samples[factor])


def pitch_of(thrust: Thrust, newton: FloatArray, balance: Balance, samples: Samples) -> FloatArray:
    """Nose-up moment (n,) [N m] of the thrust line about the centre of gravity, with the building errors."""
    above = (thrust.z + samples["motor_height_shift_mm"] - balance.cg[2]) * M
    aft = (thrust.x - balance.cg_samples) * M
    return thrust_moment(newton, above, aft, thrust.tilt + np.radians(samples["tilt_shift_deg"]))


def stream_factor(airframe: Airframe, lift: Lift, samples: Samples, pull: Pull) -> FloatArray:
    """Inflow factor (..., n) of the pitch controls, each counted by its share in their moment."""
    line, total = airframe.thrust, np.zeros_like(pull.thrust)
    if line.disc_diameter_mm <= 0.0 or not np.any(pull.thrust):
        return total + 1.0
    each_motor, scale = np.maximum(pull.thrust, 0.0) / line.count, samples["inflow_factor"]
    radius = 0.5 * line.disc_diameter_mm
    for control, weight in zip(answering(lift.rigged, "pitch"), lift.shares, strict=True):
        x, z = _middle(control)
        ahead, air = (line.x - x) * M, (each_motor, pull.speed, pull.density, radius * M)
        wide = radius * contraction(*air, ahead, scale)
        span = tuple(
            float(place(control.surface, at)[1]) for at in (control.control.inner, control.control.outer)
        )
        share = span_share((span[0], span[1]), wide, line.z - z, line.y if line.mirrored else 0.0)
        total = total + weight * inflow_factor(*air, ahead, share, scale)
    return np.asarray(total)


def _middle(rigged: Rigged) -> tuple[float, float]:
    """Place (x, z) [mm] of the middle of a control's inner end."""
    control, surface = rigged.control, rigged.surface
    x, _, z = place(surface, control.inner)
    chord = float(np.interp(control.inner, surface.arc, surface.chord))
    return float(x) + chord - 0.5 * control.chord, float(z)


def span_share(span: tuple[float, float], radius: FloatArray, height: float, y: float) -> FloatArray:
    """Part (0-1) of a right-hand span (inner y, outer y) inside streams about y and -y; radius (n,), mm."""
    half = np.sqrt(np.maximum(radius**2 - height**2, 0.0))
    inner, outer = span
    length = max(outer - inner, 1e-9)
    right = np.clip(y + half, inner, outer) - np.clip(y - half, inner, outer)
    left = np.clip(half - y, inner, outer) - inner  # the left disc's stream where it reaches over
    both = np.clip(half - y, inner, outer) - np.clip(y - half, inner, outer)  # counted twice
    return np.asarray((right + (left - np.maximum(both, 0.0) if y > 0.0 else 0.0)) / length)


def _findings(launch: Trim, cruise: Trim) -> tuple[Finding, ...]:
    """T02 where trim turns controls further than the flap's lift is linear."""
    limit = round(float(np.degrees(LINEAR_DEFLECTION)), 1)
    found = []
    for where, state in (("targets.launch_speed_m_s", launch), ("targets.cruise_speed_m_s", cruise)):
        if abs(state.delta.value) > limit:
            value = round(state.delta.value, 1)
            params = {"turn": abs(value), "speed": state.condition.speed, "most": limit}
            found.append(Finding("T02", "watch", where, params, value, limit, "°", "thin flaps separate"))
    return tuple(found)
