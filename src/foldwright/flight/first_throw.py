"""How to throw it: throttle and trim that climb away, and what comes of the throw over all samples."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from foldwright.base.band import Band
from foldwright.base.types import BoolArray, FloatArray
from foldwright.flight.launch import Launches, Thrower, Thrown
from foldwright.flight.planform import Detail

THROTTLES = np.round(np.linspace(0.3, 1.0, 8), 2)
"""Throttles that are tried."""
TRIMS: dict[Detail, int] = {"interactive": 0, "final": 13}
"""Trims that are tried at each throttle; none: no launch is flown."""
_BELOW, _STEP = -4.0, 1.0
"""Trims from this far below the launch trim, in steps, mm."""
BASIS = "six degrees of freedom from the hand, controls held, assumptions sampled"


@dataclass(frozen=True, slots=True, eq=False)
class FirstThrow:
    """What to do, and what comes of it.

    throttles (a,), trims (b,) mm up; window (a, b): good launches of the centre, thrown as the targets say.
    throttle, trim: in the middle of the window; None where it is empty. low, high: ends of the trims that are
    good at that throttle, mm up; throttle_low, throttle_high: of the throttles at that trim. lost [m], bank
    [degrees, right wing down]: bands of the throw as recommended; good: share of the samples that climb away;
    flown: the launches of all samples.
    """

    throttles: FloatArray
    trims: FloatArray
    window: BoolArray
    throttle: float | None
    trim: float | None
    trim_range: tuple[float, float]
    throttle_range: tuple[float, float]
    lost: Band
    bank: Band
    good: float
    flown: Launches


def first_throw(thrower: Thrower, speed: float, trim: float, detail: Detail) -> FirstThrow | None:
    """Try throttles and trims in the centre, then throw all samples at the best of them.

    speed [m/s] of the targets; trim: launch trim without power, mm up. None where the detail flies no launch.
    """
    count = TRIMS[detail]
    if count == 0:
        return None
    trims = np.round(trim, 1) + _BELOW + _STEP * np.arange(count)
    window = _window(thrower, speed, trims)
    best = _best(window)
    row, column = best if best is not None else (_nearest(THROTTLES, 0.7), _nearest(trims, trim))
    throttle, up = float(THROTTLES[row]), float(trims[column])
    flown = thrower.launches(_spread(thrower, speed, throttle, up))
    good_trims, good_throttles = trims[window[row]], THROTTLES[window[:, column]]
    return FirstThrow(
        throttles=THROTTLES,
        trims=trims,
        window=window,
        throttle=throttle if best is not None else None,
        trim=up if best is not None else None,
        trim_range=_ends(good_trims, up),
        throttle_range=_ends(good_throttles, throttle),
        lost=Band.of(flown.lost, "m", BASIS),
        bank=Band.of(np.degrees(flown.bank), "°", BASIS),
        good=float(np.mean(flown.good)),
        flown=flown,
    )


def _window(thrower: Thrower, speed: float, trims: FloatArray) -> BoolArray:
    """(throttles, trims) good launches of the centre sample."""
    grid = np.stack(np.meshgrid(THROTTLES, trims, indexing="ij")).reshape(2, -1)
    count = grid.shape[1]
    one, zeros = thrower.only(0, count), np.zeros(count)
    pitch = np.radians(one.samples["throw_pitch_deg"])
    thrown = Thrown(zeros + speed, pitch, zeros, grid[0], grid[1], zeros)
    return np.asarray(one.launches(thrown).good.reshape(len(THROTTLES), len(trims)))


def _spread(thrower: Thrower, speed: float, throttle: float, up: float) -> Thrown:
    """The recommended throw as people throw and builders build."""
    s = thrower.samples
    return Thrown(
        speed + s["throw_speed_shift_m_s"],
        np.radians(s["throw_pitch_deg"]),
        np.radians(s["throw_bank_deg"]),
        np.full_like(s["trim_error_mm"], throttle),
        up + s["trim_error_mm"],
        0.5 * np.radians(s["warp_deg"]),
    )


def _best(window: BoolArray) -> tuple[int, int] | None:
    """The good launch farthest from any that is not, along rows and columns; None where none is good.

    Of several the one with least throttle, then least trim: hands are nearer to a slower propeller.
    """
    if not window.any():
        return None
    padded = np.pad(window, 1)
    away = np.zeros(window.shape)
    held = padded.copy()
    while held[1:-1, 1:-1].any():
        away += held[1:-1, 1:-1]
        inner = held[1:-1, 1:-1] & held[:-2, 1:-1] & held[2:, 1:-1] & held[1:-1, :-2] & held[1:-1, 2:]
        held = np.pad(inner, 1)
    row, column = np.unravel_index(int(np.argmax(away)), away.shape)
    same = np.nonzero(away[row] == away[row, column])[0]
    return int(row), int(same[len(same) // 2]) if int(column) in same else int(column)


def _nearest(values: FloatArray, wanted: float) -> int:
    return int(np.argmin(np.abs(values - wanted)))


def _ends(values: FloatArray, here: float) -> tuple[float, float]:
    """Least and greatest of the values; the place itself where there are none."""
    return (float(values.min()), float(values.max())) if values.size else (here, here)
