"""Pitch: load factor of full stick, the lift that full up reaches, what power does to the control.

Sources
1. B. Etkin and L. D. Reid, *Dynamics of Flight*, 3rd ed., section 3.1: deflection for each g in a pull-up at
   one speed.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from foldwright.base.band import Band
from foldwright.base.types import FloatArray
from foldwright.flight.envelope import along
from foldwright.flight.planform import M
from foldwright.flight.sticks import Case, full
from foldwright.flight.trim import Pull, pitch_of, slopes_at, stream_factor
from foldwright.physics.answer import acting, pull_slope, turned_for
from foldwright.physics.trim import control_power, edge_up

BASIS = "lattice derivatives, trim, throws of the design, assumptions sampled"


@dataclass(frozen=True, slots=True, eq=False)
class Slow:
    """lift_glide, lift_power: greatest lift coefficient that full up holds at the stall's speed, without
    power and at full throttle, at most that of the stall; reach_glide, reach_power: shares of the samples in
    which it reaches the stall. slow_up: trailing edge up that the stall asks for without power, mm; full_up:
    what full stick gives from the launch trim. strength: pitch moment of the control at full throttle over
    that without power, at the stall's speed.
    """

    lift_glide: Band
    lift_power: Band
    reach_glide: float
    reach_power: float
    slow_up: Band
    full_up: Band
    strength: Band


@dataclass(frozen=True, slots=True, eq=False)
class Pitch:
    """load: load factor of full stick back in level cruise, at most that of the stall. stalls: share of the
    samples that stall first. per_g: trailing edge up at the station for one more g, mm; negative: down, as of
    a canard, and so on below. wanted: load factor of the targets, no more than the centre has at the stall.
    share: of full stick for it, over 1 where full stick gives less. top: load factor of the stall at cruise.

    slow: at the end of slow flight.
    """

    load: Band
    stalls: float
    per_g: Band
    wanted: float
    share: Band
    top: Band
    slow: Slow


def pitches(case: Case) -> Pitch:
    """All of it."""
    throw, at = full(case, "pitch"), case.cruise
    trimmed = along(case.found.level.delta, case.found.level.speeds, at.speed)
    slope = deflection_per_g(case)
    reached = acting(trimmed - throw) - acting(trimmed)
    # past the manoeuvre point no deflection is too small: it goes on to the stall
    more = np.where(slope < 0.0, reached / np.where(slope < 0.0, slope, -1.0), np.inf)
    most = (at.speed / case.stall) ** 2
    load = np.where(np.isfinite(trimmed), np.minimum(1.0 + more, most), np.nan)
    wanted = min(case.targets.pitch_load_g, float(most[0]))
    turned = trimmed - turned_for(acting(trimmed) + slope * (wanted - 1.0))
    share = turned / throw if throw > 0.0 else np.full_like(turned, np.nan)
    return Pitch(
        load=Band.of(load, "", BASIS),
        stalls=float(np.mean(1.0 + more > most)),
        per_g=Band.of(_up(case, trimmed + slope) - _up(case, trimmed), "mm", BASIS),
        wanted=wanted,
        share=Band.of(share, "", BASIS),
        top=Band.of(most, "", "cruise speed over stall speed, squared"),
        slow=_slow(case, throw),
    )


def deflection_per_g(case: Case) -> FloatArray:
    """Mixed pitch deflection (n,) [rad] for one more g at cruise speed; negative: trailing edge up."""
    at = case.cruise
    slopes = slopes_at(case.lift, case.balance.cg_samples)
    turn = 9.80665 * case.lift.mean.chord * M / (2.0 * at.speed**2)
    level = case.weight / (0.5 * at.density * at.speed**2 * case.wing)
    asked = pull_slope(slopes.margin, level, at.slopes["CL_q"], at.uncertain["Cm_q"], turn)
    return np.asarray(asked / (case.lift.eta * stream_at_cruise(case) * control_power(slopes)))


def stream_at_cruise(case: Case) -> FloatArray:
    """Stream factor (n,) over the pitch controls in level cruise."""
    level, speed = case.found.level, case.cruise.speed
    thrust = np.nan_to_num(along(level.thrust, level.speeds, speed))
    return stream_factor(case.airframe, case.lift, case.samples, Pull(thrust, speed, case.found.density))


def _slow(case: Case, throw: float) -> Slow:
    """What full up holds at the stall's speed of the centre: a trim turned round.

    C_L = (C_m0 + C_mT + η f P δ)/SM; with a margin of nothing or less any up goes on to the stall.
    """
    slopes = slopes_at(case.lift, case.balance.cg_samples)
    speed, density = float(case.stall[0]), case.found.density
    neutral = case.trims.launch.state.delta
    end = acting(neutral - throw)
    power = control_power(slopes)
    thrust = np.stack([np.zeros_like(power), _full_thrust(case, speed)])
    pull = Pull(thrust, speed, density)
    stream = stream_factor(case.airframe, case.lift, case.samples, pull)
    force = 0.5 * density * speed**2 * case.wing
    push = pitch_of(case.airframe.thrust, thrust, case.balance, case.samples)
    push = push / (force * case.lift.mean.chord * M)
    margin, most = np.asarray(slopes.margin), np.asarray(slopes.cl_max)
    nose_up = np.asarray(slopes.cm0) + push + case.lift.eta * stream * power * end
    held = np.where(margin > 0.0, nose_up / np.where(margin > 0.0, margin, 1.0), np.inf)
    lift = np.where(np.isfinite(end), np.clip(held, 0.0, most), np.nan)
    asked = turned_for((margin * most - slopes.cm0) / (case.lift.eta * power))
    return Slow(
        lift_glide=Band.of(lift[0], "", BASIS),
        lift_power=Band.of(lift[1], "", BASIS),
        reach_glide=float(np.mean(held[0] >= most)),
        reach_power=float(np.mean(held[1] >= most)),
        slow_up=Band.of(_up(case, asked), "mm", BASIS),
        full_up=Band.of(_up(case, neutral - throw), "mm", BASIS),
        strength=Band.of(stream[1], "", "stream of the propeller over the controls"),
    )


def _full_thrust(case: Case, speed: float) -> FloatArray:
    """Thrust of full throttle (n,) [N]; of the nearest speed of the table beyond its ends."""
    speeds = case.found.level.speeds
    return along(case.found.full, speeds, float(np.clip(speed, speeds[0], speeds[-1])))


def _up(case: Case, delta: FloatArray) -> FloatArray:
    """Trailing edge up at the station, mm, of a mixed deflection."""
    station = case.trims.launch.station
    return edge_up(station.sense * np.clip(delta, -0.5 * np.pi, 0.5 * np.pi), station.chord)
