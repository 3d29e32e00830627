"""Elevon trim of this aeroplane at a speed, in mm of trailing edge, over the samples of the assumptions.

The thrust line acts through its moment and through the stream over the controls (physics.stream). Without
thrust the trim is the glide's, which is what is built into the linkage.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from foldwright.airframe.model import Airframe, Control, Thrust
from foldwright.base.band import Band
from foldwright.base.finding import Finding
from foldwright.base.types import FloatArray
from foldwright.design.model import Targets
from foldwright.flight.balance import Balance
from foldwright.flight.lift import Lift, Samples, Station
from foldwright.flight.planform import M
from foldwright.physics.atmosphere import STANDARD_GRAVITY
from foldwright.physics.stream import inflow_factor
from foldwright.physics.trim import LINEAR_DEFLECTION, Slopes, TrimState, edge_up, solve_trim, thrust_moment

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

    up: mm of trailing edge up at the station; delta: degrees, trailing edge down positive; alpha: incidence
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


def trim(airframe: Airframe, lift: Lift, balance: Balance, samples: Samples, condition: Condition) -> Trim:
    """Trim at one condition. Raises LookupError for an aeroplane without pitch control."""
    if lift.station is None:
        raise LookupError("no pitch control")
    slopes = slopes_at(lift, balance.cg_samples)
    weight = balance.mass_samples * M * STANDARD_GRAVITY
    force = condition.pressure * lift.mean.area * M * M
    thrust = static_thrust(airframe.thrust, samples) * condition.power
    moment = pitch_of(airframe.thrust, thrust, balance, samples)
    stream = _stream(airframe, lift, thrust, samples, condition)
    state = solve_trim(slopes, weight / force, moment / (force * lift.mean.chord * M), stream)
    return _trim(lift, lift.station, condition, state)


def _trim(lift: Lift, station: Station, condition: Condition, state: TrimState) -> Trim:
    return Trim(
        condition=condition,
        station=station,
        up=Band.of(edge_up(state.delta, station.chord), "mm", BASIS),
        delta=Band.of(np.degrees(state.delta), "°", BASIS),
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
    """Full static thrust (n,) [N]; zero where the stock gives none."""
    return np.asarray((thrust.static_n or 0.0) * samples["thrust_factor"])


def pitch_of(thrust: Thrust, newton: FloatArray, balance: Balance, samples: Samples) -> FloatArray:
    """Nose-up moment (n,) [N m] of the thrust line about the centre of gravity, with the building errors."""
    above = (thrust.z + samples["motor_height_shift_mm"] - balance.cg[2]) * M
    aft = (thrust.x - balance.cg_samples) * M
    return thrust_moment(newton, above, aft, thrust.tilt + np.radians(samples["tilt_shift_deg"]))


def _stream(
    airframe: Airframe, lift: Lift, thrust: FloatArray, samples: Samples, condition: Condition
) -> FloatArray:
    """Inflow factor (n,), mean over the controls weighted by span."""
    line, total = airframe.thrust, np.zeros_like(thrust)
    if line.disc_diameter_mm <= 0.0 or condition.power == 0.0:
        return total + 1.0
    radius, spans = 0.5 * line.disc_diameter_mm, [control.outer - control.inner for control in lift.controls]
    for control, span in zip(lift.controls, spans, strict=True):
        middle, height = _middle(airframe, control)
        share = stream_share(control, radius, line.z - height)
        ahead = (line.x - middle) * M
        scale = samples["inflow_factor"]
        factor = inflow_factor(thrust, condition.speed, condition.density, radius * M, ahead, share, scale)
        total = total + span * factor
    return np.asarray(total / sum(spans))


def _middle(airframe: Airframe, control: Control) -> tuple[float, float]:
    """Place (x, z) [mm] of the middle of a control's inner end."""
    surface = next(each for each in airframe.surfaces if control in each.controls)
    y = surface.le[:, 1]
    x, z = (float(np.interp(control.inner, y, surface.le[:, axis])) for axis in (0, 2))
    chord = float(np.interp(control.inner, y, surface.chord))
    return x + chord - 0.5 * control.chord, z


def stream_share(control: Control, radius: float, height: float) -> float:
    """Part of a control's span (0-1) inside a stream of the disc's radius, `height` off its axis, mm."""
    half = float(np.sqrt(max(radius**2 - height**2, 0.0)))
    return float(np.clip((half - control.inner) / (control.outer - control.inner), 0.0, 1.0))


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
