"""The first seconds after the hand: does it climb away, how much height does it lose, how far does it bank.

Nobody touches the stick. The pitch control stands where the trim was set, the throttle where it was left; the
propeller pulls less as it gathers speed, turns the aeroplane against its own turning, and streams over the
controls. Six degrees of freedom, many launches at once.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from foldwright.airframe.model import Airframe
from foldwright.base.types import BoolArray, FloatArray
from foldwright.flight.balance import Balance
from foldwright.flight.drive import Drive
from foldwright.flight.lift import Lift, Samples
from foldwright.flight.planform import M
from foldwright.flight.trim import Pull, pitch_of, slopes_at, stream_factor
from foldwright.physics.airloads import Shape, air_loads
from foldwright.physics.trajectory import HEIGHT, ROLL, Push, Rigid, U, V, W, fly, start
from foldwright.physics.trim import deflection

SECONDS, STEP = 3.0, 0.04
"""How long is flown, in steps of how much, s."""
LOST_M, BANK_DEG = 1.0, 45.0
"""A good launch loses no more height in the first three seconds and banks no further after one
[judgement]."""
HAND_M = 1.8
"""Height of the hand above the ground, m [judgement]."""
LEAST_SPEED = 2.0
"""The stream is not reckoned below this speed, m/s."""
_SPEEDS = np.linspace(0.0, 30.0, 21)


@dataclass(frozen=True, slots=True, eq=False)
class Thrown:
    """How it is thrown; each (n,).

    speed [m/s] through the air (a headwind counts as speed); pitch, bank [rad]; throttle 0-1; up: trailing
    edge up at the station [mm]; warp [rad]: right tip nose-up against the middle.
    """

    speed: FloatArray
    pitch: FloatArray
    bank: FloatArray
    throttle: FloatArray
    up: FloatArray
    warp: FloatArray


@dataclass(frozen=True, slots=True, eq=False)
class Launches:
    """What became of n launches.

    time (k,) s; track (k, 12, n): states (physics.trajectory). lost: greatest height below the hand in the
    first three seconds, to the ground at most [m]; bank: after one second [rad], right wing down; climbs: it
    rises at the end and stands above the hand; good: it climbs away, lost little and did not bank far.
    """

    time: FloatArray
    track: FloatArray
    lost: FloatArray
    bank: FloatArray
    climbs: BoolArray
    good: BoolArray


@dataclass(frozen=True, slots=True, eq=False)
class Thrower:
    """An aeroplane ready to be thrown: one sample in every column. drag_area (n,): at zero lift [m²]; slopes:
    derivatives at launch trim.
    """

    airframe: Airframe
    lift: Lift
    balance: Balance
    drive: Drive
    samples: Samples
    density: float
    drag_area: FloatArray
    slopes: Mapping[str, float]

    def launches(self, thrown: Thrown) -> Launches:
        """Fly them all; raises LookupError for an aeroplane without pitch control."""
        state = start(len(thrown.speed), thrown.speed, thrown.pitch)
        state[ROLL] = thrown.bank
        track = fly(_push(self, thrown), state, self._rigid(), STEP, round(SECONDS / STEP))
        return _judged(track)

    def _rigid(self) -> Rigid:
        inertia = self.balance.inertia * 1e-9
        mass = self.balance.mass_samples * M
        whole = (inertia[0, 0], inertia[1, 1], inertia[2, 2], -inertia[0, 2])
        return Rigid(mass, *(np.asarray(value) for value in whole))

    def shape(self, warp: FloatArray) -> Shape:
        """Coefficients about the centre of gravity. A twist of the tips acts like a steady roll rate."""
        lift, mean, s = self.lift, self.lift.mean, self.slopes
        at = slopes_at(lift, self.balance.cg_samples)
        steep = np.asarray(at.margin) * at.cl_alpha
        lattice, kept = lift.lattice, self.samples["suction_share"]
        alpha = lattice.index("alpha")
        induced = float(lattice.form("CD")[alpha, alpha]) / lift.pitch.cl_alpha**2
        return Shape(
            area=mean.area * M * M, chord=mean.chord * M, span=mean.span * M,
            cl0=-at.cl_alpha * np.asarray(at.alpha0), cl_alpha=at.cl_alpha, cl_q=s["CL_q"],
            cl_delta=np.asarray(at.eta) * at.cl_delta,
            cm0=at.cm0 + steep * at.alpha0, cm_alpha=-steep, cm_q=s["Cm_q"],
            cm_delta=np.asarray(at.eta) * at.cm_delta,
            cl_max=lift.cl_max, cd0=self.drag_area / (mean.area * M * M),
            rise=kept * induced + (1.0 - kept) / lift.pitch.cl_alpha,
            cy_beta=s["CY_beta"], roll_beta=s["Cl_beta"], roll_p=s["Cl_p"], roll_r=s["Cl_r"],
            yaw_beta=s["Cn_beta"], yaw_p=s["Cn_p"], yaw_r=s["Cn_r"],
            roll0=s["Cl_p"] * warp, yaw0=s["Cn_p"] * warp,
        )  # fmt: skip

    def only(self, column: int, copies: int) -> Thrower:
        """One sample, over and over: for a table of throws."""
        pick = np.full(copies, column)
        lift, balance, chain = self.lift, self.balance, self.drive.chain
        screw = self.drive.screw
        return replace(
            self,
            lift=replace(
                lift, cm0=lift.cm0[pick], neutral_point=lift.neutral_point[pick], eta=lift.eta[pick],
                cl_max=lift.cl_max[pick],
            ),
            balance=replace(
                balance, cg_samples=balance.cg_samples[pick], mass_samples=balance.mass_samples[pick]
            ),
            drive=replace(
                self.drive,
                screw=replace(
                    screw, thrust_factor=np.asarray(screw.thrust_factor)[pick],
                    power_factor=np.asarray(screw.power_factor)[pick],
                ),
                chain=replace(
                    chain, cells=np.asarray(chain.cells)[pick], loss=np.asarray(chain.loss)[pick],
                    volt=np.asarray(chain.volt)[pick],
                ),
            ),
            samples={name: values[pick] for name, values in self.samples.items()},
            drag_area=self.drag_area[pick],
        )  # fmt: skip


def _push(thrower: Thrower, thrown: Thrown) -> Push:
    """Force and moment at a state."""
    station, line = thrower.lift.station, thrower.airframe.thrust
    if station is None:
        raise LookupError("no pitch control")
    reach = 0.9 * station.chord
    delta = station.sense * deflection(np.clip(thrown.up, -reach, reach), station.chord)
    powered = _powered(thrower, thrown.throttle)
    columns = np.arange(powered.shape[2])
    shape = thrower.shape(thrown.warp)
    cos_e, sin_e = float(np.cos(line.tilt)), float(np.sin(line.tilt))
    arm = pitch_of(line, np.ones_like(thrown.speed), thrower.balance, thrower.samples)

    def push(state: FloatArray, _time: float) -> tuple[FloatArray, FloatArray]:
        """Force (3, n) [N] and moment (3, n) [N m] of air and propeller on states (12, n), body axes."""
        speed = np.sqrt(state[U] ** 2 + state[V] ** 2 + state[W] ** 2)
        place = np.clip((speed - _SPEEDS[0]) / (_SPEEDS[1] - _SPEEDS[0]), 0.0, len(_SPEEDS) - 1.001)
        low = place.astype(np.intp)
        before, after = powered[:, low, columns], powered[:, low + 1, columns]
        thrust, twist, stream = before + (place - low) * (after - before)
        force, moment = air_loads(state, shape, delta, stream, thrower.density)
        force[0] += thrust * cos_e
        force[2] -= thrust * sin_e
        moment[1] += thrust * arm
        # a propeller that turns clockwise seen from behind turns the aeroplane the other way
        moment[0] -= twist
        return force, moment

    return push


def _powered(thrower: Thrower, throttle: FloatArray) -> FloatArray:
    """(3, k, n) thrust [N], torque on the aeroplane [N m] and stream factor at the speeds of `_SPEEDS`.

    Two motors that mirror each other turn against each other.
    """
    v = _SPEEDS[:, None]
    run = thrower.drive.at(throttle, v, thrower.density)
    thrust = np.maximum(run.thrust * thrower.drive.count, 0.0)
    twist = np.divide(run.shaft, run.omega, out=np.zeros_like(run.shaft), where=run.omega > 0.0)
    hand = 0.0 if thrower.airframe.thrust.mirrored else 1.0
    air = Pull(thrust, np.maximum(v, LEAST_SPEED), thrower.density)
    stream = stream_factor(thrower.airframe, thrower.lift, thrower.samples, air)
    return np.stack([thrust, hand * twist, stream])


def _judged(track: FloatArray) -> Launches:
    height = track[:, HEIGHT]
    # it falls no further than to the ground
    lost = np.asarray(np.clip(-height.min(axis=0), 0.0, HAND_M))
    bank = track[round(1.0 / STEP), ROLL]
    climbs = (height[-1] > 0.0) & (height[-1] > height[-1 - round(0.5 / STEP)])
    good = climbs & (lost <= LOST_M) & (np.abs(bank) <= np.radians(BANK_DEG))
    return Launches(np.asarray(np.arange(len(track)) * STEP), track, lost, bank, climbs, good)
