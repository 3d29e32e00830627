"""Hinge moments of every control at full throw, and what they ask of its servo.

The lattice's hinge moments are scaled to Glauert's (physics.lattice.hinge) and hold no viscous loss, so that
they are on the safe side. Through a linkage without friction the servo gives H dδ/dθ; dδ/dθ is taken as the
control's travel over the servo's, as rods and horns are chosen to use the servo's whole turn. All-moving
surfaces are summed about their pivot from the strips' loads.

Source: H. Glauert, ARC R&M 1095, 1927; virtual work for the linkage.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import isfinite, nan

import numpy as np

from foldwright.base.band import Band
from foldwright.base.types import FloatArray
from foldwright.design.resolve import FittedItem
from foldwright.flight.controls import Rigged, mixed, place
from foldwright.flight.sticks import Case
from foldwright.flight.trim import Pull, trim_state

BASIS = "lattice hinge moments scaled to Glauert's, linkage without friction, assumptions sampled"
N_CM = 100.0
"""N cm in a N m."""
_SIDE = 0.05
"""A servo nearer to the middle than this, of the half span, serves both halves."""


@dataclass(frozen=True, slots=True, eq=False)
class ServoLoad:
    """One control and the servo that turns it.

    control, surface: ids; name: as the lattice's states. servo: id of the item, None where the design has no
    servo. halves: pieces that this servo turns. hinge_cruise, hinge_top: moment about the hinge of one piece
    at full throw, cruise and top speed, N cm, a size. torque_cruise, torque_top: of the servo, all its
    pieces, N cm. gear: dδ/dθ. stall: torque of the servo, N cm, None where the stock does not state it;
    used: share of it at top speed, None likewise.
    """

    control: str
    surface: str
    name: str
    servo: str | None
    halves: int
    hinge_cruise: Band
    hinge_top: Band
    torque_cruise: Band
    torque_top: Band
    gear: float
    stall: float | None
    used: Band | None


def servo_loads(case: Case, items: Sequence[FittedItem]) -> tuple[ServoLoad, ...]:
    """Every control of the lattice, in its order."""
    top = case.found.top.value
    speeds = (case.cruise.speed, top if isfinite(top) else case.cruise.speed)
    states = _states(case, speeds)
    servos = [item for item in items if "servo" in item.kind]
    return tuple(
        _load(case, one, servos, [_hinge(case, one, u, v) for u, v in zip(states, speeds, strict=True)])
        for one in case.lift.rigged
        if one.axes
    )


def _load(case: Case, one: Rigged, servos: list[FittedItem], hinge: list[FloatArray]) -> ServoLoad:
    servo, halves = _servo(one, servos, case)
    wide = max(one.control.up, one.control.down)
    gear = wide / np.radians(servo.travel_deg if servo is not None else 45.0)
    bands = [Band.of(N_CM * each, "N cm", BASIS) for each in hinge]
    torque = [N_CM * halves * gear * each for each in hinge]
    stall = servo.torque_n_cm if servo is not None and servo.torque_n_cm > 0.0 else None
    return ServoLoad(
        one.control.id, one.surface.id, one.name, servo.id if servo is not None else None, halves,
        bands[0], bands[1],
        Band.of(torque[0], "N cm", BASIS), Band.of(torque[1], "N cm", BASIS),
        float(gear), stall,
        None if stall is None else Band.of(torque[1] / stall, "", BASIS),
    )  # fmt: skip


def _states(case: Case, speeds: tuple[float, float]) -> FloatArray:
    """Lattice states (2, n, m) of level flight without power at both speeds, controls trimmed."""
    v = np.array(speeds)[:, None]
    still = np.zeros((2, len(case.weight)))
    trim = trim_state(
        case.airframe, case.lift, case.balance, case.samples, Pull(still, v, case.found.density)
    )
    lattice = case.lift.lattice
    u = np.zeros((*trim.alpha.shape, len(lattice.states)))
    u[..., 0], u[..., lattice.index("alpha")] = 1.0, trim.alpha
    for name, gain in mixed(case.lift.rigged, "pitch").items():
        u[..., lattice.index(name)] = gain * trim.delta
    return u


def _hinge(case: Case, one: Rigged, u: FloatArray, speed: float) -> FloatArray:
    """Greatest hinge moment (n,) [N m] of the right-hand piece, thrown either way from its trim; a size."""
    rows = np.stack([_row(case, one, axis_state) for axis_state in map(one.state, one.axes)])
    columns = [case.lift.lattice.index(one.state(axis)) for axis in one.axes]
    own = rows[np.arange(len(columns)), columns]
    row, column = rows[int(np.argmax(np.abs(own)))], columns[int(np.argmax(np.abs(own)))]
    steady = u @ row
    thrown = np.maximum(
        np.abs(steady - row[column] * one.control.up), np.abs(steady + row[column] * one.control.down)
    )
    pressure = 0.5 * case.found.density * speed**2
    return np.asarray(pressure * thrown * case.samples["hinge_moment_factor"])


def _row(case: Case, one: Rigged, state: str) -> FloatArray:
    """Hinge moment over dynamic pressure [m³] as a row of the state, trailing edge down positive."""
    lattice = case.lift.lattice
    if not one.control.all_moving:
        found = lattice.hinge(state)
        return np.asarray(found.row * found.area * found.chord)
    strips = lattice.strip(one.surface.id)
    # nose-up about the pivot: the strip's moment about its quarter point, and its lift ahead of the pivot
    middle = 0.5 * (one.control.hinge[0] + one.control.hinge[1])
    arm = (middle - 0.25) * strips.chord
    turn = strips.cm * strips.chord[:, None] + strips.cl * arm[:, None]
    return np.asarray((strips.width * strips.chord) @ turn)


def _servo(one: Rigged, servos: list[FittedItem], case: Case) -> tuple[FittedItem | None, int]:
    """The servo that turns the right-hand piece, and how many pieces it turns.

    A servo named after the control comes first; of those left, the nearest. Where servos stand on both sides,
    or where two sticks turn the control and there are two of them, each turns its own piece.
    """
    words = {one.control.id, one.control.kind}
    others = {word for each in case.lift.rigged if each is not one for word in _words(each)} - words
    named = [item for item in servos if any(word in item.id for word in words)]
    free = [item for item in servos if not any(word in item.id for word in others)]
    chosen = named or free or servos
    if not chosen:
        return None, 2 if one.surface.symmetric else 1
    x, y, z = place(one.surface, 0.5 * (one.control.inner + one.control.outer))
    aside = _SIDE * 0.5 * case.lift.mean.span
    right = [item for item in chosen if item.place_mm[1] > aside]
    left = [item for item in chosen if item.place_mm[1] < -aside]
    sticks = sum(one.gain(axis) != 0.0 for axis in one.axes)
    sides = bool(right) and bool(left)
    pair = one.surface.symmetric and (sides or (sticks > 1 and len(chosen) > 1))
    among = right if pair and sides else chosen
    point = np.array([x, y if pair else 0.0, z])
    nearest = min(among, key=lambda item: (round(float(np.linalg.norm(item.place_mm - point)), 3), item.id))
    return nearest, 1 if pair or not one.surface.symmetric else 2


def _words(one: Rigged) -> set[str]:
    return {one.control.id, one.control.kind}


def greatest(loads: Sequence[ServoLoad]) -> float:
    """Greatest share of a servo's torque in the centre; NaN where no servo states its torque."""
    return max((each.used.value for each in loads if each.used is not None), default=nan)
