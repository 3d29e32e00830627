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
TRIMS: dict[Detail, int] = {"interactive": 0, "final": 10}
"""Trims that are tried at each throttle; none: no launch is flown."""
_STEP, _BELOW = 0.5, -2.5
"""Steps of these trims, and the first of them against the middle of what a coarse search finds, mm."""
_COARSE_THROTTLES = np.array([0.6, 0.8, 1.0])
_COARSE = np.linspace(-4.0, 8.0, 13)
"""The coarse search: throttles, and trims nose-up of the launch trim, mm."""
_ENOUGH = 3
"""Steps from the nearest launch that is not good, beyond which less throttle counts for more [judgement]."""
BASIS = "six degrees of freedom from the hand, controls held, assumptions sampled"


@dataclass(frozen=True, slots=True, eq=False)
class FirstThrow:
    """What to do, and what comes of it.

    throttles (a,), trims (b,) mm up; window (a, b): good launches of the centre, thrown as the targets say.
    throttle, trim: in the middle of the window; None where it is empty. trim_range: ends of the trims tried
    around it that are good at that throttle, without a gap, mm up; throttle_range: of the throttles at that
    trim. lost [m], bank
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
    # stalled at launch speed there is no trim to start from: about neutral then
    middle = float(np.nan_to_num(trim))
    start = _around(thrower, speed, round(middle, 1)) + _BELOW
    trims = np.asarray(start + _STEP * np.arange(count), dtype=np.float64)
    window = _window(thrower, speed, THROTTLES, trims)
    best = _best(window)
    row, column = best if best is not None else (_nearest(THROTTLES, 0.7), _nearest(trims, middle))
    throttle, up = float(THROTTLES[row]), float(trims[column])
    flown = thrower.launches(_spread(thrower, speed, throttle, up))
    return FirstThrow(
        throttles=THROTTLES,
        trims=trims,
        window=window,
        throttle=throttle if best is not None else None,
        trim=up if best is not None else None,
        trim_range=_ends(trims, window[row], column),
        throttle_range=_ends(THROTTLES, window[:, column], row),
        lost=Band.of(flown.lost, "m", BASIS),
        bank=Band.of(np.degrees(flown.bank), "°", BASIS),
        good=float(np.mean(flown.good)),
        flown=flown,
    )


def _around(thrower: Thrower, speed: float, middle: float) -> float:
    """Trim [mm up] in the middle of the good launches of a coarse search; the middle itself without any.

    Nose-up is trailing edge up behind the wing, down ahead of it.
    """
    station = thrower.lift.station
    trims = np.sort(middle + (1.0 if station is None else station.sense) * _COARSE)
    best = _best(_window(thrower, speed, _COARSE_THROTTLES, trims))
    return middle if best is None else float(trims[best[1]])


def _window(thrower: Thrower, speed: float, throttles: FloatArray, trims: FloatArray) -> BoolArray:
    """(throttles, trims) good launches of the centre sample."""
    grid = np.stack(np.meshgrid(throttles, trims, indexing="ij")).reshape(2, -1)
    count = grid.shape[1]
    one, zeros = thrower.only(0, count), np.zeros(count)
    pitch = np.radians(one.samples["throw_pitch_deg"])
    thrown = Thrown(zeros + speed, pitch, zeros, grid[0], grid[1], zeros)
    return np.asarray(one.launches(thrown).good.reshape(len(throttles), len(trims)))


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

    `_ENOUGH` is far enough. There is no throttle past the whole to fail at: beyond it counts what the last
    row is. Of several the one with the most good launches about it, then with least throttle (hands are
    nearer to a slower propeller), in the middle of its trims.
    """
    if not window.any():
        return None
    away = np.zeros(window.shape)
    held = window
    while held.any():
        away += held
        wide = _padded(held)
        held = held & wide[:-2, 1:-1] & wide[2:, 1:-1] & wide[1:-1, :-2] & wide[1:-1, 2:]
    wide, (rows, columns) = _padded(window), window.shape
    about = np.sum([wide[i : i + rows, j : j + columns] for i in range(3) for j in range(3)], axis=0)
    rank = 10.0 * np.minimum(away, _ENOUGH) + about
    row = int(np.argmax(rank.max(axis=1)))
    same = np.nonzero(rank[row] == rank[row].max())[0]
    return row, int(same[len(same) // 2])


def _padded(held: BoolArray) -> BoolArray:
    """With a rim: the last row again past the last throttle, nothing good elsewhere."""
    wide = np.pad(held, 1)
    wide[-1] = wide[-2]
    return wide


def _nearest(values: FloatArray, wanted: float) -> int:
    return int(np.argmin(np.abs(values - wanted)))


def _ends(values: FloatArray, good: BoolArray, at: int) -> tuple[float, float]:
    """Ends of the good values about a place, without a gap; the place itself where it is not good."""
    low = high = at
    while low > 0 and good[low - 1] and good[at]:
        low -= 1
    while high < len(values) - 1 and good[high + 1] and good[at]:
        high += 1
    return float(values[low]), float(values[high])
