"""All that the aeroplane does in the air, from one call: envelope, modes, power, first throw."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from foldwright.airframe.model import Airframe
from foldwright.design.model import Design
from foldwright.design.resolve import Resolved
from foldwright.flight.balance import Balance
from foldwright.flight.drag import drag
from foldwright.flight.envelope import Envelope, along, envelope
from foldwright.flight.first_throw import FirstThrow, first_throw
from foldwright.flight.handling import Handling, handling
from foldwright.flight.landing import Landing, landing
from foldwright.flight.launch import Thrower
from foldwright.flight.lift import Lift, Samples, derivatives
from foldwright.flight.modes import Modes, Trimmed, modes_of
from foldwright.flight.planform import Detail
from foldwright.flight.power_pitch import PowerPitch, power_pitch
from foldwright.flight.sticks import Case
from foldwright.flight.trim import Trims
from foldwright.physics.atmosphere import Air, density_height, viscosity

ZERO_CELSIUS = 273.15
_STEP = 0.5
"""Half a step of speed over which the pull's slope is taken, m/s."""


@dataclass(frozen=True, slots=True, eq=False)
class Flown:
    """air: of the field. density_height: where standard air is as thin, m. throw: None where the detail flies
    no launch.
    """

    air: Air
    density_height: float
    envelope: Envelope
    modes: Modes
    power: PowerPitch
    throw: FirstThrow | None
    handling: Handling
    landing: Landing


@dataclass(frozen=True, slots=True, eq=False)
class Ready:
    """What has been worked out before: of one evaluation."""

    airframe: Airframe
    lift: Lift
    balance: Balance
    trims: Trims
    samples: Samples


def field_air(design: Design) -> Air:
    """The air of the field: its density as the design says, its viscosity from the temperature."""
    targets = design.targets
    kelvin = np.asarray(targets.field_temperature_c + ZERO_CELSIUS)
    density = np.asarray(targets.field_density_kg_m3)
    return Air(kelvin, np.asarray(density * 287.05287 * kelvin), density, viscosity(kelvin))


def fly(ready: Ready, design: Design, equipment: Resolved, detail: Detail) -> Flown:
    """Envelope, modes in cruise, power, first throw, handling and landing."""
    air = field_air(design)
    parts = (ready.lift, ready.balance, ready.samples)
    found = envelope(ready.airframe, design, equipment, parts, air, detail)
    power = power_pitch(ready.airframe, ready.lift, ready.balance, ready.trims, found, ready.samples)
    launch = design.targets.launch_speed_m_s
    slow = drag(ready.airframe, design, ready.samples, air, launch).area
    state = ready.trims.launch.state
    at = [float(np.nan_to_num(value[0])) for value in (state.alpha, state.delta)]
    slopes = derivatives(ready.lift, ready.balance.cg, *at)
    parts_of = (ready.airframe, ready.lift, ready.balance, found.drive, ready.samples)
    thrower = Thrower(*parts_of, float(air.density), slow, slopes)
    case = case_of(ready, design, found, slopes)
    return Flown(
        air,
        density_height(float(air.density)),
        found,
        modes_of(ready.lift, ready.balance, case.cruise),
        power,
        first_throw(thrower, launch, ready.trims.launch.up.value, detail),
        handling(case, equipment.items),
        landing(case),
    )


def case_of(ready: Ready, design: Design, found: Envelope, launch: Mapping[str, float]) -> Case:
    """What handling and landing are worked out from. launch: derivatives at launch trim."""
    return Case(
        ready.airframe, ready.lift, ready.balance, ready.trims, ready.samples, design.targets, found,
        _cruise(ready, design, found), launch,
    )  # fmt: skip


def _cruise(ready: Ready, design: Design, found: Envelope) -> Trimmed:
    """Level cruise; the table's nearest speed where cruise lies outside it."""
    speeds = found.level.speeds
    speed = float(np.clip(design.targets.cruise_speed_m_s, speeds[0], speeds[-1]))
    drag_ = along(found.level.drag, speeds, speed)
    flies = np.isfinite(drag_)
    lift = np.where(flies, along(found.level.lift, speeds, speed), np.nan)
    # stalled in the centre there is no state to take slopes at: about the middle then, and no value is told
    alpha, delta = (
        float(np.nan_to_num(along(v, speeds, speed)[0])) for v in (found.level.alpha, found.level.delta)
    )
    steps = np.array([speed - _STEP, speed + _STEP])[:, None]
    # one that the drive cannot hold level is flown at full throttle
    throttle = np.nan_to_num(along(found.level.throttle, speeds, speed), nan=1.0)
    pull = found.drive.at(throttle, steps, found.density).thrust * found.drive.count
    kept = ready.samples["suction_share"]
    lattice = ready.lift.lattice
    at = lattice.index("alpha")
    induced = float(lattice.form("CD")[at, at]) / ready.lift.pitch.cl_alpha**2
    rise = kept * induced + (1.0 - kept) / ready.lift.pitch.cl_alpha
    return Trimmed(
        samples=ready.samples,
        speed=speed,
        density=found.density,
        alpha=alpha,
        lift=lift,
        drag=drag_,
        # C_D = c_d0 + k C_L²: its slope with alpha is 2 k C_L C_L,alpha
        drag_slope=np.asarray(2.0 * rise * lift * ready.lift.pitch.cl_alpha),
        pull_slope=np.where(flies, (pull[1] - pull[0]) / (2.0 * _STEP), np.nan),
        slopes=derivatives(ready.lift, ready.balance.cg, alpha, delta),
    )
