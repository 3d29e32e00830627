"""What `check` says of the air: speeds, drive, time aloft, throw, modes, and what the bands come from."""

from __future__ import annotations

from dataclasses import asdict, replace
from math import inf, isnan, log
from typing import TYPE_CHECKING, Any

from foldwright.cli.show import band_text

if TYPE_CHECKING:
    from foldwright.base.band import Band
    from foldwright.evaluate import Evaluation, Results
    from foldwright.flight.air import Flown
    from foldwright.flight.first_throw import FirstThrow
    from foldwright.flight.modes import Modes, Swing
    from foldwright.flight.shares import Shares

TOLD = ("launch_trim", "stall", "glide", "top", "launch_climb", "time_flown", "full_current")
"""Predictions whose greatest contributors `check` names; the JSON and the chart have all."""

Rows = list[tuple[str, str]]


def air_figures(results: Results) -> Rows:
    """Figures of the air by name, each with its band."""
    flown = results.flown
    return [*_speeds(flown, results), *_drive(flown, results), *_throw(flown, results), *_modes(flown.modes)]


def _speeds(flown: Flown, results: Results) -> Rows:
    found, launch = flown.envelope, results.trims.launch.condition.speed
    angle = _degrees(flown.power.climb_angle)
    return [
        ("stall", f"{band_text(found.stall)}; first flights in wind up to {found.wind_first.value:.1f} m/s"),
        ("glide", f"{band_text(found.glide)} : 1 at {_plain(found.glide_speed, 'm/s')}"),
        ("least sink", f"{band_text(found.sink)} at {_plain(found.sink_speed, 'm/s')}"),
        ("top speed", band_text(found.top)),
        ("climb", f"{band_text(flown.power.climb)}, {angle}; at full throttle and {launch:g} m/s"),
    ]


def _drive(flown: Flown, results: Results) -> Rows:
    found, speed = flown.envelope, results.trims.cruise.condition.speed
    at_rest, power = found.static, flown.power
    draws = f"{band_text(at_rest.current)}, {_plain(at_rest.watts, 'W', 0)}"
    throttle = band_text(_per_cent(found.cruise_throttle), 0)
    straight = band_text(found.reach, 0)
    return [
        ("static thrust", f"{band_text(at_rest.thrust)} at {draws}; from: {found.drive.basis}"),
        ("cruise", f"throttle {throttle}, {band_text(found.cruise_current)} at {speed:g} m/s"),
        ("time aloft", f"{band_text(found.time_flown, 0)} as flown, reserve kept; {straight} straight"),
        ("neutral tilt", f"{power.neutral_says}; slightly nose-up: {power.slight_says}"),
    ]


def _throw(flown: Flown, results: Results) -> Rows:
    throw, speed = flown.throw, results.trims.launch.condition.speed
    return [] if throw is None else [("throw", throw_text(throw, speed))]


def throw_text(throw: FirstThrow, speed: float) -> str:
    """The throttle and the trim that climb away, and how many throws do."""
    share = f"{100.0 * throw.good:.0f} % of the samples climb away with nobody at the stick"
    if throw.throttle is None or throw.trim is None:
        return f"no throttle and trim that were tried climb away at {speed:g} m/s; {share}"
    low, high = (100.0 * value for value in throw.throttle_range)
    least, most = throw.trim_range
    return (
        f"{100.0 * throw.throttle:.0f} % throttle ({low:.0f} to {high:.0f}), trailing edge"
        f" {_up(throw.trim)} ({_up(least)} to {_up(most)}) at {speed:g} m/s; {share}"
    )


def _up(value: float) -> str:
    return f"{abs(value):.1f} mm {'up' if value >= 0.0 else 'down'}"


def _modes(modes: Modes) -> Rows:
    if isnan(modes.short_period.growth.value):
        return [("cruise modes", "none: it does not fly level at cruise speed")]
    swings = (
        ("short period", modes.short_period),
        ("phugoid", modes.phugoid),
        ("Dutch roll", modes.dutch_roll),
    )
    return [
        ("cruise modes", "; ".join(f"{name} {_swing(swing)}" for name, swing in swings)),
        ("", f"roll settles in {_plain(modes.roll, 's', 2)}; spiral {_spiral(modes.spiral)}"),
    ]


def _swing(swing: Swing) -> str:
    """Period and damping; a mode that does not swing has neither."""
    if isnan(swing.period.value):
        return "does not swing"
    return f"{_plain(swing.period, 's', 2)}, damping {swing.damping.value:.2f}"


def _spiral(rate: Band) -> str:
    if isnan(rate.value):
        return "joined with the roll mode"
    time = log(2.0) / abs(rate.value) if rate.value else inf
    return f"{'doubles' if rate.value > 0.0 else 'halves'} in {time:.1f} s"


def _plain(band: Band, unit: str, digits: int = 1) -> str:
    """The value without its band."""
    return "none" if isnan(band.value) else f"{band.value:.{digits}f} {unit}"


def _degrees(angle: Band) -> str:
    """An angle with its band, whole degrees."""
    return "none" if isnan(angle.value) else f"{angle.value:.0f}° ({angle.low:.0f} to {angle.high:.0f})"


def _per_cent(share: Band) -> Band:
    return replace(share, value=100.0 * share.value, low=100.0 * share.low, high=100.0 * share.high, unit="%")


def contributors(result: Evaluation) -> tuple[Shares, ...]:
    """What the band of each prediction comes from; none without results."""
    from foldwright.evaluate import SAMPLES
    from foldwright.make.charts import contributors as found

    if result.results is None:
        return ()
    return found(result, result.results, result.assumptions.samples(SAMPLES[result.detail]))


def contributor_figures(rows: tuple[Shares, ...]) -> Rows:
    """The judgement value that contributes most to each band, in one line."""
    told = {one.prediction: one for one in rows}
    said = [
        f"{one.title} {one.most.name} ({100.0 * one.most.share:.0f} %)"
        for one in (told[name] for name in TOLD if name in told)
        if one.most is not None
    ]
    return [("bands rest on", "; ".join(said))] if said else []


def contributors_data(rows: tuple[Shares, ...]) -> list[dict[str, Any]]:
    """Shares of the variance of each prediction, greatest first."""
    return [
        {
            "prediction": one.prediction,
            "title": one.title,
            "explained": one.explained,
            "by_ranks": one.ranks,
            "shares": [asdict(each) for each in one.shares],
        }
        for one in rows
    ]


def air_data(results: Results) -> dict[str, Any]:
    """Figures of the air with unit suffixes; None for the throw where none was flown."""
    flown, found = results.flown, results.flown.envelope
    return {
        "density_height_m": flown.density_height,
        "stall_m_s": asdict(found.stall),
        "glide": asdict(found.glide),
        "glide_speed_m_s": asdict(found.glide_speed),
        "sink_m_s": asdict(found.sink),
        "sink_speed_m_s": asdict(found.sink_speed),
        "top_m_s": asdict(found.top),
        "climb_at_launch_m_s": asdict(flown.power.climb),
        "climb_at_launch_deg": asdict(flown.power.climb_angle),
        "best_climb_m_s": asdict(found.climb),
        "best_climb_speed_m_s": asdict(found.climb_speed),
        "static_thrust_n": asdict(found.static.thrust),
        "static_current_a": asdict(found.static.current),
        "static_power_w": asdict(found.static.watts),
        "static_speed_1_min": asdict(found.static.rpm),
        "drive_basis": found.drive.basis,
        "cruise_throttle_pct": asdict(_per_cent(found.cruise_throttle)),
        "cruise_current_a": asdict(found.cruise_current),
        "cruise_power_w": asdict(found.cruise_watts),
        "time_level_min": asdict(found.time_cruise),
        "time_aloft_min": asdict(found.time_flown),
        "reach_km": asdict(found.reach),
        "load_at_cruise_g": asdict(found.load),
        "turn_radius_m": asdict(found.radius),
        "wind_first_m_s": asdict(found.wind_first),
        "power_trim_mm_up": asdict(flown.power.trim_change),
        "neutral_tilt_deg": flown.power.neutral_tilt,
        "neutral_tilt": flown.power.neutral_says,
        "slight_tilt_deg": flown.power.slight_tilt,
        "slight_tilt": flown.power.slight_says,
        "neutral_offset_mm_up": flown.power.neutral_offset,
        "throw": None if flown.throw is None else _throw_data(flown.throw),
        "modes": _modes_data(flown.modes),
    }


def _throw_data(throw: FirstThrow) -> dict[str, Any]:
    found = throw.throttle is not None
    return {
        "throttle_pct": None if throw.throttle is None else 100.0 * throw.throttle,
        "throttle_from_to_pct": [100.0 * value for value in throw.throttle_range] if found else None,
        "trim_mm_up": throw.trim,
        "trim_from_to_mm_up": list(throw.trim_range) if found else None,
        "lost_m": asdict(throw.lost),
        "bank_deg": asdict(throw.bank),
        "good_pct": 100.0 * throw.good,
    }


def _modes_data(modes: Modes) -> dict[str, Any]:
    swings = {"short_period": modes.short_period, "phugoid": modes.phugoid, "dutch_roll": modes.dutch_roll}
    return {
        "speed_m_s": modes.speed,
        **{f"{name}_s": asdict(swing.period) for name, swing in swings.items()},
        **{f"{name}_damping": asdict(swing.damping) for name, swing in swings.items()},
        "roll_s": asdict(modes.roll),
        "spiral_growth_1_s": asdict(modes.spiral),
    }
