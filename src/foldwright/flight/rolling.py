"""Rolling: rate, time to a bank, and the crosswind that the controls hold.

An aeroplane without ailerons is rolled by its rudder: it yaws, and the sideslip rolls it by its dihedral.

Source: first principles; physics.answer for the single degree of freedom in roll.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from foldwright.base.band import Band
from foldwright.base.types import FloatArray
from foldwright.flight.controls import Axis, answering
from foldwright.flight.steps import STEP, SideMotion, side_motion
from foldwright.flight.sticks import Case, full, moment
from foldwright.physics.answer import acting, solved, steady_roll, turned_for

BANK_DEG = 45.0
"""Bank that the time is told for, degrees."""
USUAL_RATE: dict[Axis, float] = {"roll": 120.0, "yaw": 60.0}
"""Rate wanted where the targets name none, degrees a second, by what rolls it [judgement]."""
MOST_SLIP = np.radians(45.0)
"""No more sideslip is told, rad; what is past 20° counts half, as of flaps [judgement]: fins stall."""
CROSS_SLIP = np.radians(15.0)
"""Sideslip of a throw at which a crosswind is called the most for it [judgement]."""
BASIS = "lattice derivatives, throws of the design, assumptions sampled"
MOTION_BASIS = "linear motion in roll, yaw and sideslip, assumptions sampled"
BY_RUDDER = "rudder through sideslip and dihedral, half of what is past 20°, assumptions sampled"


@dataclass(frozen=True, slots=True, eq=False)
class Roll:
    """by: "roll" (ailerons, elevons) or "yaw" (rudder through the dihedral). wanted: mean rate to `BANK_DEG`.

    cruise, launch: steady rate at full stick, degrees a second, of roll alone; settled: what is left of it in
    cruise when the nose has swung and the sideslip rolls against it. bank: s from level to `BANK_DEG` at full
    stick in cruise, all three motions together. share: of full stick that gets there at the rate wanted, over
    1 where full stick takes longer.
    """

    by: Axis
    wanted: float
    cruise: Band
    launch: Band
    settled: Band
    bank: Band
    share: Band


@dataclass(frozen=True, slots=True, eq=False)
class Crosswind:
    """launch: crosswind at launch speed that brings `CROSS_SLIP` of sideslip, m/s; held: crosswind at launch
    speed that full controls hold wings level, or the nose off the wind, m/s; slip_deg: sideslip then; by:
    what runs out first, "roll" or "yaw".
    """

    launch: Band
    held: Band
    slip_deg: float
    by: Axis


def motion_of(case: Case) -> SideMotion | None:
    """What full stick right does, or the rudder without ailerons; None where neither is there."""
    by: Axis = "roll" if answering(case.lift.rigged, "roll") else "yaw"
    return side_motion(case, by) if answering(case.lift.rigged, by) else None


def rolls(case: Case, motion: SideMotion) -> Roll:
    """Rates of roll."""
    by = motion.axis
    speeds = (case.cruise.speed, case.targets.launch_speed_m_s)
    flies = (case.cruise.flies, ~case.trims.launch.state.stalled)
    cruise, launch = (
        np.where(there, _rate(case, slopes, speed, by), np.nan)
        for slopes, speed, there in zip((case.cruise.slopes, case.launch), speeds, flies, strict=True)
    )
    basis = BASIS if by == "roll" else BY_RUDDER
    wanted = case.targets.roll_rate_deg_s or USUAL_RATE[by]
    bank = np.degrees(motion.state[:, 3])
    return Roll(
        by,
        wanted,
        Band.of(np.degrees(cruise), "°/s", basis),
        Band.of(np.degrees(launch), "°/s", basis),
        Band.of(np.degrees(_settled(motion.matrix, motion.column)), "°/s", MOTION_BASIS),
        Band.of(_bank_time(bank), "s", MOTION_BASIS),
        Band.of(_share(case, bank, BANK_DEG / wanted, by), "", MOTION_BASIS),
    )


def _settled(matrix: FloatArray, column: FloatArray) -> FloatArray:
    """Rate of roll (n,) [rad/s] at which sideslip, roll and yaw balance, gravity left out."""
    return np.asarray(solved(matrix[:, :3, :3], -column[:, :3])[:, 1])


def _bank_time(bank: FloatArray) -> FloatArray:
    """Time (n,) [s] at which banks (n, k) [degrees] first reach `BANK_DEG`; NaN where they do not."""
    there = bank >= BANK_DEG
    at = np.maximum(np.argmax(there, axis=1), 1)
    columns = np.arange(len(bank))
    before, after = bank[columns, at - 1], bank[columns, at]
    part = (BANK_DEG - before) / np.where(after == before, 1.0, after - before)
    return np.asarray(np.where(there.any(axis=1), STEP * (at - 1 + part), np.nan))


def _share(case: Case, bank: FloatArray, within: float, by: Axis) -> FloatArray:
    """Share (n,) of full stick that banks `BANK_DEG` within a time [s]. bank (n, k): of full stick.

    The motion is linear in the deflection; past the linear throw it takes more than in proportion.
    """
    place = min(within / STEP, bank.shape[1] - 1.001)
    low = int(place)
    there = bank[:, low] + (place - low) * (bank[:, low + 1] - bank[:, low])
    most = np.maximum(np.max(bank[:, : low + 1], axis=1), there)
    part = np.where(most > 0.0, BANK_DEG / np.where(most > 0.0, most, 1.0), np.nan)
    throw = full(case, by)
    if throw <= 0.0:
        return np.full_like(part, np.nan)
    return np.asarray(turned_for(part * acting(throw)) / throw)


def _rate(case: Case, slopes: Mapping[str, float], speed: float, by: Axis) -> FloatArray:
    """Steady rate at full stick right, rad/s, right wing down positive."""
    rolling = moment(case, slopes, "Cl", by)
    if by == "yaw":
        rolling = rolling + slopes["Cl_beta"] * case.samples["dihedral_factor"] * _slip(case, slopes)
    return steady_roll(rolling, slopes["Cl_p"] * case.samples["damping_factor"], speed, case.span)


def _slip(case: Case, slopes: Mapping[str, float]) -> FloatArray:
    """Sideslip (n,) [rad] that full right rudder makes, wind from the left negative: C_nβ β + C_nδ δ = 0.

    NaN without a weathercock moment: it would swing round.
    """
    turning, stiff = moment(case, slopes, "Cn", "yaw"), slopes["Cn_beta"]
    if stiff <= 0.0:
        return np.full_like(turning, np.nan)
    held = stiff * case.samples["directional_factor"]
    return acting(np.clip(-turning / held, -MOST_SLIP, MOST_SLIP))


def crosswind(case: Case) -> Crosswind:
    """What wind from the side asks of a launch and of a slow straight flight, at launch speed."""
    speed = case.targets.launch_speed_m_s + case.samples["throw_speed_shift_m_s"]
    slip, by = _held(case)
    return Crosswind(
        Band.of(speed * np.sin(CROSS_SLIP), "m/s", "15° of sideslip at the speed of the throw"),
        Band.of(speed * np.sin(slip), "m/s", "moments of a straight sideslip, full control"),
        float(np.degrees(slip[0])),
        by,
    )


def _held(case: Case) -> tuple[FloatArray, Axis]:
    """Greatest sideslip (n,) [rad] that the controls hold straight, and what runs out first in the centre.

    NaN where they do nothing, or where it is stalled at launch speed.

    C_lβ β + C_lδ δ = 0 where ailerons roll, C_nβ β + C_nδ δ = 0 where a rudder yaws, both at once where both
    are there.
    """
    slopes = case.launch
    axes: tuple[Axis, ...] = ("roll", "yaw")
    has = [axis for axis in axes if answering(case.lift.rigged, axis)]
    if not has:
        return np.zeros_like(case.weight), "roll"
    names = [{"roll": "Cl", "yaw": "Cn"}[axis] for axis in has]
    # full controls in columns, moments in rows; what they answer to one radian of sideslip
    rows = [np.stack([moment(case, slopes, name, axis) for axis in has], axis=-1) for name in names]
    factors = {"Cl": case.samples["dihedral_factor"], "Cn": case.samples["directional_factor"]}
    wanted = np.stack([-slopes[f"{name}_beta"] * factors[name] for name in names], axis=-1)
    used = np.abs(solved(np.stack(rows, axis=-2), wanted))
    slip = acting(np.minimum(1.0 / np.maximum(np.max(used, axis=-1), 1e-9), MOST_SLIP))
    slip = np.where(case.trims.launch.state.stalled, np.nan, slip)
    return slip, has[int(np.argmax(used[0]))]
