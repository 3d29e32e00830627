"""What power does to the pitch: the moment of the thrust line and the steady climb, told apart.

At fixed elevon even a thrust line without moment climbs; what tilt changes is the moment alone.

Source: first principles, M = -T (z cos e + l sin e) (physics.trim.thrust_moment).
"""

from __future__ import annotations

from dataclasses import dataclass
from math import asin, atan2, degrees, hypot, tan

import numpy as np

from foldwright.airframe.model import Airframe
from foldwright.base.band import Band
from foldwright.base.types import FloatArray
from foldwright.flight.balance import Balance
from foldwright.flight.envelope import Envelope, along
from foldwright.flight.lift import Lift, Samples
from foldwright.flight.planform import M
from foldwright.flight.thrust_line import side_of, tilt_words
from foldwright.flight.trim import Pull, Trims, slopes_at, trim_state
from foldwright.physics.trim import TrimState, control_power, edge_up

SLIGHTLY_MM = 1.5
"""What is called slightly nose-up: power acts like this much trailing edge up at launch speed, ahead of the
wing as much down [judgement]."""
BASIS = "thrust line, inflow or slipstream over the controls, assumptions sampled"


@dataclass(frozen=True, slots=True, eq=False)
class PowerPitch:
    """trim_change: mm of trailing edge up that full throttle asks for against the glide, both at launch
    speed, with the thrust that the propeller gives in flight; changes: its samples (n,).

    neutral_tilt, slight_tilt: degrees (thrust vector nose-up positive) at which power does nothing, or acts
    like `SLIGHTLY_MM` of up; each with its sentence. neutral_offset: mm that the motor would have to go up
    (negative: down) at its tilt to do nothing. climb: steady climb at full throttle and launch speed, m/s;
    climb_angle: degrees.
    """

    trim_change: Band
    neutral_tilt: float
    neutral_says: str
    slight_tilt: float
    slight_says: str
    neutral_offset: float
    climb: Band
    climb_angle: Band
    changes: FloatArray


def power_pitch(
    airframe: Airframe, lift: Lift, balance: Balance, trims: Trims, flown: Envelope, samples: Samples
) -> PowerPitch:
    """Work it out for the fitted drive."""
    line = airframe.thrust
    above, aft = (line.z - float(balance.cg[2])) * M, (line.x - float(balance.cg[0])) * M
    speed = trims.launch.condition.speed
    full = np.maximum(flown.drive.at(1.0, speed, flown.density).thrust * flown.drive.count, 0.0)
    powered = trim_state(airframe, lift, balance, samples, Pull(full, speed, flown.density))
    changes, thrust = _change(trims, powered), float(full[0])
    neutral = -atan2(above, aft) if aft > 0.0 else atan2(above, -aft)
    slight = _tilt_for(above, aft, _moment(lift, balance, trims) / thrust if thrust > 0.0 else 0.0)
    rear = side_of(line, float(balance.cg[0]))
    spare = flown.full - flown.level.force
    sine = np.clip(along(spare, flown.level.speeds, speed) / _weight(balance), -1.0, 1.0)
    return PowerPitch(
        trim_change=Band.of(changes, "mm", BASIS),
        neutral_tilt=degrees(neutral),
        neutral_says=tilt_words(degrees(neutral), rear),
        slight_tilt=degrees(slight),
        slight_says=tilt_words(degrees(slight), rear),
        # z cos e + l sin e = 0 at the tilt that it has
        neutral_offset=(-aft * tan(line.tilt) - above) / M,
        climb=Band.of(speed * sine, "m/s", flown.climb.basis),
        climb_angle=Band.of(np.degrees(np.arcsin(sine)), "°", flown.climb.basis),
        changes=changes,
    )


def _weight(balance: Balance) -> FloatArray:
    return np.asarray(balance.mass_samples * M * 9.80665)


def _change(trims: Trims, powered: TrimState) -> FloatArray:
    """Trailing edge up that power asks for, less the glide's, mm, sample by sample."""
    station = trims.launch.station
    with_power, without = (
        edge_up(station.sense * state.delta, station.chord) for state in (powered, trims.launch.state)
    )
    return np.asarray(with_power - without)


def _moment(lift: Lift, balance: Balance, trims: Trims) -> float:
    """Nose-up moment [N m] that acts like `SLIGHTLY_MM` at the trailing edge at launch speed, centre.

    The mixed pitch state is negative nose-up on every layout: on a canard its own edge goes down then.
    """
    station, condition = trims.launch.station, trims.launch.condition
    delta = -asin(min(SLIGHTLY_MM / station.chord, 1.0))
    power = float(control_power(slopes_at(lift, balance.cg_samples))[0] * lift.eta[0])
    force = condition.pressure * lift.mean.area * M * M
    return power * delta * force * lift.mean.chord * M


def _tilt_for(above: float, aft: float, arm: float) -> float:
    """Tilt [rad] at which the thrust line passes `arm` metres below the centre of gravity.

    z cos e + l sin e = r sin(e + φ) with r = hypot, φ = atan2(z, l) for a rear motor.
    """
    reach = hypot(above, aft)
    turn = asin(max(-1.0, min(1.0, -arm / reach)))
    if aft > 0.0:
        return turn - atan2(above, aft)
    return -turn + atan2(above, -aft)
