"""Charts over speed: trim, power needed and available, current and time aloft."""

from __future__ import annotations

import numpy as np

from foldwright.base.types import FloatArray
from foldwright.flight.envelope import AS_FLOWN
from foldwright.flight.trim import Pull, Trim, trim_state
from foldwright.make.card_figures import band, rounded
from foldwright.make.card_say import way, way_spread
from foldwright.make.chart_frame import (
    FULL,
    LONG,
    PALE,
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
from foldwright.make.chart_model import (
    BELOW,
    HEAD,
    HEIGHT_MM,
    LEFT,
    RIGHT,
    WIDTH_MM,
    Chart,
    Source,
    Spread,
    band_said,
    chart,
    field,
    greatest,
    numbers,
    said,
    spread,
)
from foldwright.make.drawing import Item
from foldwright.physics.trim import edge_up

_SPEED = "speed, m/s"
_GAP = 20.0
_ROOM = 1.08
_BEYOND = 1.02


def marked(source: Source) -> list[tuple[float, str]]:
    """Speeds that matter, by name."""
    flown, targets = source.results.flown.envelope, source.design.targets
    return [
        (flown.stall.value, "stall"),
        (targets.launch_speed_m_s, "launch"),
        (targets.cruise_speed_m_s, "cruise"),
        (flown.top.value, "top speed"),
    ]


def shown(source: Source) -> tuple[FloatArray, slice]:
    """Speeds of the table that charts show, and which those are: to a little over top and cruise speed."""
    flown = source.results.flown.envelope
    speeds = flown.level.speeds
    wanted = (flown.top.value, flown.top.high, source.design.targets.cruise_speed_m_s)
    fast = _BEYOND * max([0.0, *(each for each in wanted if np.isfinite(each))])
    count = int(np.searchsorted(speeds, fast)) + 1
    return np.asarray(speeds[:count]), slice(0, max(count, 2))


def trim_chart(source: Source) -> Chart:
    """Trailing edge up for level flight with the motor on and for the glide, over speed."""
    results, level = source.results, source.results.flown.envelope.level
    (speeds, kept), station = shown(source), results.trims.launch.station
    powered_delta = np.where(level.weak, np.nan, level.delta)[kept]
    still = np.zeros_like(powered_delta)
    pull = Pull(still, speeds[:, None], results.flown.envelope.density)
    off = trim_state(results.airframe, results.lift, results.balance, source.samples, pull)
    powered, glide = (
        spread(edge_up(station.sense * delta, station.chord)) for delta in (powered_delta, off.delta)
    )
    low, high = _reach(powered, glide)
    frame = field(axis(_SPEED, float(speeds[0]), float(speeds[-1]), 9, whole=False),
                  axis("trailing edge, mm up", low, high))  # fmt: skip
    apart = powered.value - glide.value
    there = apart[np.isfinite(apart)]
    # at the fast end, where the names stand
    higher = bool(there.size and there[-1] > 0.0)
    on = Named(speeds, powered.value, "level, motor on", "above" if higher else "below")
    without = Named(speeds, glide.value, "glide, motor off", "below" if higher else "above")
    items: list[Item] = [
        *between(frame, speeds, powered.low, powered.high, PALE),
        *axes(frame), *level_line(frame, 0.0),
        *curve(frame, speeds, glide.value, LONG), *curve(frame, speeds, powered.value, FULL),
        *uprights(frame, marked(source)),
        *names(frame, [on, without], across_all(frame, [0.0], marked(source))),
    ]  # fmt: skip
    launch, cruise = results.trims.launch, results.trims.cruise
    about = (
        f"Trailing edge of {station.control} for level flight, measured at its inner end. Motor off:"
        f" {_edge(launch)}, {_edge(cruise)}."
        " The pale band holds 90 in 100 cases with the motor on."
    )
    data = {
        "speed_m_s": numbers(speeds, 2), "level_motor_on_mm_up": powered.data(2),
        "glide_mm_up": glide.data(2), "marked_m_s": _marks(source),
    }  # fmt: skip
    return chart("trim", "Trim against speed", about, items, data)


def _edge(trim: Trim) -> str:
    """Trailing edge at one speed, in words."""
    up = band(trim.up, 1)
    return f"{way(up['value'])} ({way_spread(up)}) at {trim.condition.speed:g} m/s"


def _reach(*spreads: Spread) -> tuple[float, float]:
    """Least and greatest of centre and band that are drawn, with 0 among them; at least 2 mm either way."""
    values = np.concatenate([np.concatenate([one.value, one.low, one.high]) for one in spreads])
    there = values[np.isfinite(values)]
    if not there.size:
        return -2.0, 2.0
    return min(-2.0, float(there.min())), max(2.0, float(there.max()))


def power_chart(source: Source) -> Chart:
    """Power that drag takes and power that the propeller gives at full throttle, over speed."""
    flown, (speeds, kept) = source.results.flown.envelope, shown(source)
    needed, given = (spread(speeds[:, None] * force[kept]) for force in (flown.level.force, flown.full))
    most = _ROOM * greatest(np.concatenate([given.high, given.value]), 1.0)
    frame = field(axis(_SPEED, float(speeds[0]), float(speeds[-1]), 9, whole=False),
                  axis("power, W", 0.0, most))  # fmt: skip
    lines = [
        Named(speeds, given.value, "available, full throttle", "above"),
        Named(speeds, needed.value, "needed in level flight", "below"),
    ]
    items: list[Item] = [
        *between(frame, speeds, given.low, given.high, PALE),
        *between(frame, speeds, needed.low, needed.high, PALE),
        *axes(frame),
        *curve(frame, speeds, given.value, LONG), *curve(frame, speeds, needed.value, FULL),
        *uprights(frame, marked(source)),
        *names(frame, lines, across_all(frame, [], marked(source))),
    ]  # fmt: skip
    about = (
        "Power of drag in level flight and of the propeller's pull at full throttle; what lies between them"
        f" is climb. Best climb {band_said(flown.climb, 1, ' m/s')} at"
        f" {said(flown.climb_speed.value, 1, ' m/s')}; the lines meet at"
        f" {band_said(flown.top, 1, ' m/s')}."
    )
    data = {
        "speed_m_s": numbers(speeds, 2), "needed_w": needed.data(2), "available_w": given.data(2),
        "climb_m_s": band(flown.climb, 2), "climb_speed_m_s": band(flown.climb_speed, 2),
        "top_m_s": band(flown.top, 2), "marked_m_s": _marks(source),
    }  # fmt: skip
    return chart("power", "Power needed and available", about, items, data)


def current_chart(source: Source) -> Chart:
    """Current in level flight and how long the battery lasts at it, side by side over speed."""
    flown, (speeds, kept) = source.results.flown.envelope, shown(source)
    current = spread(flown.level.current[kept])
    minutes = spread(60.0 * flown.usable / flown.level.current[kept] / AS_FLOWN)
    wide = 0.5 * (WIDTH_MM - LEFT - RIGHT - _GAP)
    items: list[Item] = []
    for k, (told, label) in enumerate(((current, "current, A"), (minutes, "time aloft, min"))):
        most = _ROOM * greatest(np.concatenate([told.high, told.value]), 1.0)
        x = axis(_SPEED, float(speeds[0]), float(speeds[-1]), 6, whole=False)
        frame = Frame(
            LEFT + k * (wide + _GAP), BELOW, wide, HEIGHT_MM - BELOW - HEAD, x, axis(label, 0.0, most)
        )
        items += between(frame, speeds, told.low, told.high, PALE)
        items += [*axes(frame), *curve(frame, speeds, told.value, FULL), *uprights(frame, marked(source))]
    lasts = (
        f"Level at cruise it draws {band_said(flown.cruise_current, 1, ' A')} and stays up"
        f" {band_said(flown.time_flown, 0, ' min')} with climbs and turns, {AS_FLOWN:g} times the current of"
        f" level flight, {source.design.targets.reserve_pct:g} % of the charge kept."
    )
    flies = bool(np.isfinite(flown.cruise_current.value))
    about = lasts if flies else "Level flight at the cruise speed of the targets is not reached."
    data = {
        "speed_m_s": numbers(speeds, 2), "current_a": current.data(3), "time_aloft_min": minutes.data(2),
        "cruise_current_a": band(flown.cruise_current, 2), "cruise_time_aloft_min": band(flown.time_flown, 1),
        "marked_m_s": _marks(source),
    }  # fmt: skip
    return chart("current", "Current and time aloft in level flight", about, items, data)


def _marks(source: Source) -> dict[str, float | int | None]:
    return {name.replace(" ", "_"): rounded(value, 2) for value, name in marked(source)}
