"""Charts of the throw and of the loads: flight paths from the hand, load factor over speed."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from foldwright.base.types import FloatArray
from foldwright.flight.first_throw import FirstThrow
from foldwright.flight.launch import HAND_M
from foldwright.make.card_figures import band, rounded
from foldwright.make.card_say import way
from foldwright.make.chart_frame import (
    DOT,
    FULL,
    LONG,
    PALE,
    SHORT,
    SMALL,
    THIN,
    Frame,
    Named,
    across_all,
    axes,
    axis,
    between,
    curve,
    level_line,
    names,
    uprights,
)
from foldwright.make.chart_model import Chart, Source, band_said, chart, field, numbers
from foldwright.make.drawing import Item, Text
from foldwright.physics.trajectory import EAST, HEIGHT, NORTH

PATHS = 48
"""Paths of samples that are drawn and listed; the first ones, spread evenly like all of them."""
INVERTED = 0.6
"""Greatest lift of the wing inverted, as a share of that upright [judgement]: the section is nearly flat
below and cambered above."""
_LEAST_LOAD = 4.0


def launch_chart(throw: FirstThrow) -> Chart:
    """Flight paths of the recommended throw, height against distance, from the side."""
    track = throw.flown.track
    far = np.hypot(track[:, NORTH], track[:, EAST])
    high = _above_ground(track[:, HEIGHT] + HAND_M)
    columns = range(min(PATHS, high.shape[1]))
    frame = _true_scale(far, high, columns)
    items: list[Item] = [*axes(frame), *level_line(frame, HAND_M, DOT)]
    for column in columns[1:]:
        items += curve(frame, far[:, column], high[:, column], THIN)
    items += curve(frame, far[:, 0], high[:, 0], FULL)
    others = [Named(far[:, column], high[:, column]) for column in columns[1:]]
    hand = np.linspace(frame.x.low, frame.x.high, 41)
    level = Named(hand, np.full(41, HAND_M), "height of the hand")
    items += names(frame, [Named(far[:, 0], high[:, 0], "as drawn"), level], others)
    share = f"{100.0 * throw.good:.0f} in 100 samples climb away with nobody at the stick"
    down = 100.0 * float(np.mean(np.isnan(high[-1])))
    if throw.throttle is None or throw.trim is None:
        about = f"No throttle and trim that were tried climb away; one is drawn. {share}."
    else:
        about = (
            f"The first {throw.flown.time[-1]:g} s at {100.0 * throw.throttle:.0f} % throttle, trailing edge"
            f" {way(round(throw.trim, 1))}: {share}, {down:.0f} meet the ground in"
            " that time. A path ends where it does."
        )
    data = {
        "hand_m": HAND_M,
        "throttle_pct": rounded(None if throw.throttle is None else 100.0 * throw.throttle, 0),
        "trim_mm_up": rounded(throw.trim, 1), "good_pct": rounded(100.0 * throw.good, 0),
        "ground_pct": rounded(down, 0),
        "lost_m": band(throw.lost, 2), "bank_deg": band(throw.bank, 1),
        "time_s": numbers(throw.flown.time, 3),
        "paths": [
            {"distance_m": numbers(far[:, k], 2), "height_m": numbers(high[:, k], 2)} for k in columns
        ],
    }  # fmt: skip
    return chart("launch", "The first seconds after the hand", about, items, data)


def _true_scale(far: FloatArray, high: FloatArray, columns: Sequence[int]) -> Frame:
    """The field of the flight paths: metres as long upwards as along."""
    top = max(HAND_M + 1.0, float(np.nanpercentile(high[:, list(columns)], 99.0)), _most(high[:, 0]))
    long = max(1.0, float(far[-1, 0]), float(np.percentile(far[-1], 90.0)))
    plain = field(axis("", 0.0, long, whole=False), axis("", 0.0, top, whole=False))
    metre = min(plain.width / long, plain.height / top)
    return field(
        axis("distance, m", 0.0, plain.width / metre, 9, whole=False),
        axis("height above the ground, m", 0.0, plain.height / metre, whole=False),
    )


def _above_ground(high: FloatArray) -> FloatArray:
    """Heights (k, n) with NaN from where a path has met the ground on."""
    down = np.logical_or.accumulate(high < 0.0, axis=0)
    return np.where(down, np.nan, high)


def _most(values: FloatArray) -> float:
    there = values[np.isfinite(values)]
    return float(there.max()) if there.size else 0.0


def load_chart(source: Source) -> Chart:
    """Load factor that the wing can give before it stalls, over speed."""
    flown, targets = source.results.flown.envelope, source.design.targets
    cruise, stall = targets.cruise_speed_m_s, flown.stall
    fast = float(np.nan_to_num(flown.top.value)) or 2.0 * cruise
    most = max(_LEAST_LOAD, 1.6 * (min(cruise, fast) / stall.value) ** 2)
    x = axis("speed, m/s", 0.0, max(1.05 * fast, 1.2 * cruise), 9)
    frame = field(x, axis("load factor", -INVERTED * most, most))
    v = np.linspace(0.0, x.high, 241)
    upright, least, greatest = ((v / each) ** 2 for each in (stall.value, stall.high, stall.low))
    inverted = -INVERTED * upright
    upright, inverted, least, greatest = (
        np.where(v <= fast, each, np.nan) for each in (upright, inverted, least, greatest)
    )
    marked = [(stall.value, "stall"), (cruise, "cruise"), (flown.top.value, "top speed")]
    items: list[Item] = [
        *between(frame, v, least, greatest, PALE),
        *axes(frame), *level_line(frame, 0.0), *level_line(frame, 1.0, SHORT),
        *curve(frame, v, upright, FULL), *curve(frame, v, inverted, LONG),
        *uprights(frame, marked),
        *names(
            frame,
            [_inside(frame, v, upright, "stall"), _inside(frame, v, inverted, "stall, inverted")],
            across_all(frame, [0.0, 1.0], marked),
        ),
        Text("letter", "", _beside(frame, 1.0), SMALL, "level flight", 0.0, "right"),
    ]  # fmt: skip
    about = (
        f"At cruise the wing stalls at {band_said(flown.load, 1, ' g')}; level it stalls at"
        f" {band_said(stall, 1, ' m/s')}. Inverted {INVERTED:g} of the lift is reckoned with [judgement]."
        " What the structure carries is not in it."
    )
    data = {
        "stall_m_s": band(stall, 2), "cruise_m_s": rounded(cruise, 2), "top_m_s": band(flown.top, 2),
        "load_at_cruise_g": band(flown.load, 2), "inverted_share": INVERTED,
        "speed_m_s": numbers(v[::10], 2), "stall_load_g": numbers(upright[::10], 3),
        "stall_load_inverted_g": numbers(inverted[::10], 3),
    }  # fmt: skip
    return chart("load", "Load factor against speed", about, items, data)


def _inside(frame: Frame, x: FloatArray, y: FloatArray, words: str) -> Named:
    """A line with what lies outside the frame left out."""
    return Named(x, np.where((y >= frame.y.low) & (y <= frame.y.high), y, np.nan), words)


def _beside(frame: Frame, value: float) -> tuple[float, float]:
    x, y = frame.at(frame.x.high, value)
    return x, y + 1.2
