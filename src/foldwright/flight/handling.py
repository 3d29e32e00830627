"""How it answers the stick: roll, pitch, throws for the answer wanted, rates, mixing, servos, crosswind."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import isfinite, nan

import numpy as np

from foldwright.base.band import Band
from foldwright.design.resolve import FittedItem
from foldwright.flight.controls import Axis, Rigged, answering
from foldwright.flight.pitching import Pitch, pitches
from foldwright.flight.rolling import Crosswind, Roll, crosswind, motion_of, rolls
from foldwright.flight.servos import ServoLoad, servo_loads
from foldwright.flight.steps import Steps, steps
from foldwright.flight.sticks import Case, travel

LEAST_RATE, RATE_STEP = 0.4, 0.05
"""Low rates below this are not suggested: the stick would have no feel [judgement]; rounded to the step."""
MOST_EXPO = 0.5
"""Expo beyond this makes the ends of the stick abrupt [judgement]."""


@dataclass(frozen=True, slots=True, eq=False)
class Throw:
    """A control's throw on one axis: what the design gives and what the answer wanted asks for.

    axis; control, surface: ids. now_mm: trailing edge at the inner end, mm, back, right or rudder right (the
    mean where pieces go opposite ways); wanted_mm: for the answer wanted. share: wanted over full stick.
    """

    axis: Axis
    control: str
    surface: str
    now_mm: float
    wanted_mm: Band
    share: Band


@dataclass(frozen=True, slots=True)
class Rate:
    """Suggested of one axis. ratio: answer of full stick over the answer wanted. rate: low rate, share of the
    full throws; expo: share, for flying on the full rate; both rounded. short: full stick gives too little.
    """

    axis: Axis
    ratio: float
    rate: float
    expo: float
    short: bool


@dataclass(frozen=True, slots=True)
class Mix:
    """A control that two sticks turn. axes: of them; wanted: shares of full stick that the answers wanted ask
    for; used: both at once over the travel (1: just within it); full: both sticks full at once.
    """

    control: str
    surface: str
    axes: tuple[Axis, Axis]
    wanted: tuple[float, float]
    used: float
    full: float


@dataclass(frozen=True, slots=True, eq=False)
class Handling:
    """All of it. roll: None where nothing rolls it."""

    roll: Roll | None
    pitch: Pitch
    throws: tuple[Throw, ...]
    rates: tuple[Rate, ...]
    mixing: tuple[Mix, ...]
    servos: tuple[ServoLoad, ...]
    wind: Crosswind
    steps: Steps


def handling(case: Case, items: Sequence[FittedItem]) -> Handling:
    """Work it all out. items: the equipment, servos among it."""
    motion, pitch = motion_of(case), pitches(case)
    roll = None if motion is None else rolls(case, motion)
    shares: dict[Axis, Band] = {"pitch": pitch.share}
    if roll is not None:
        shares[roll.by] = roll.share
    return Handling(
        roll=roll,
        pitch=pitch,
        throws=tuple(
            _throw(one, axis, share)
            for axis, share in shares.items()
            for one in answering(case.lift.rigged, axis)
        ),
        rates=tuple(rate_for(axis, share.value) for axis, share in shares.items()),
        mixing=_mixing(case, {axis: share.value for axis, share in shares.items()}),
        servos=servo_loads(case, items),
        wind=crosswind(case),
        steps=steps(
            case,
            pitch.share.value,
            None if motion is None or roll is None else (motion, roll.share.value),
        ),
    )


def rate_for(axis: Axis, share: float) -> Rate:
    """Low rate and expo from the share of full stick that the answer wanted asks for.

    On the low rate full stick gives the answer wanted. Expo e leaves (1 - e) of the slope at the middle: with
    e = 1 - share the middle is as gentle as on the low rate.
    """
    if not isfinite(share) or share <= 0.0:
        return Rate(axis, nan, 1.0, 0.0, short=False)
    low = min(1.0, max(LEAST_RATE, share))
    rate = round(round(low / RATE_STEP) * RATE_STEP, 2)
    expo = round(round(min(MOST_EXPO, max(0.0, 1.0 - share)) / RATE_STEP) * RATE_STEP, 2)
    return Rate(axis, 1.0 / share, rate, expo, short=share > 1.0)


def _throw(one: Rigged, axis: Axis, share: Band) -> Throw:
    """In mm at the trailing edge, E c sin(delta); band ends go with the share's."""
    turn, chord = travel(one, axis)[0], one.control.chord

    def edge(part: float) -> float:
        return float(chord * np.sin(min(part * turn, 0.5 * np.pi))) if isfinite(part) else nan

    wanted = Band(edge(share.value), edge(share.low), edge(share.high), "mm", share.basis, share.missing)
    return Throw(axis, one.control.id, one.surface.id, edge(1.0), wanted, share)


def _mixing(case: Case, shares: dict[Axis, float]) -> tuple[Mix, ...]:
    """Controls that answer two sticks: their turns add."""
    found = []
    axes: tuple[Axis, ...] = ("pitch", "roll", "yaw")
    for one in case.lift.rigged:
        both = [axis for axis in axes if one.gain(axis) != 0.0]
        if len(both) < 2:
            continue
        first, second = both[0], both[1]
        turns = [travel(one, axis)[0] for axis in (first, second)]
        wanted = (_held(shares.get(first, 1.0)), _held(shares.get(second, 1.0)))
        room = max(one.control.up, one.control.down)
        used = (wanted[0] * turns[0] + wanted[1] * turns[1]) / room
        mix = Mix(one.control.id, one.surface.id, (first, second), wanted, used, (turns[0] + turns[1]) / room)
        found.append(mix)
    return tuple(found)


def _held(share: float) -> float:
    """At most full stick; that where nothing is known."""
    return min(1.0, max(0.0, share)) if isfinite(share) else 1.0
