"""What the setup card says of speeds, drive, time aloft and the throw, as data and in words."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from foldwright.base.band import Band
from foldwright.flight.air import Flown
from foldwright.flight.first_throw import FirstThrow
from foldwright.make.card_figures import band, rounded
from foldwright.make.card_say import figure, spread

Json = dict[str, Any]


def flight(flown: Flown, reserve_pct: float) -> Json:
    """Stall, glide, top speed, climb, current and time aloft with their bands."""
    found = flown.envelope
    return {
        "stall_m_s": band(found.stall, 1),
        "glide": band(found.glide, 1),
        "glide_speed_m_s": band(found.glide_speed, 1),
        "sink_m_s": band(found.sink, 1),
        "top_m_s": band(found.top, 1),
        "climb_m_s": band(flown.power.climb, 1),
        "climb_deg": band(flown.power.climb_angle, 0),
        "cruise_throttle_pct": band(_per_cent(found.cruise_throttle), 0),
        "cruise_current_a": band(found.cruise_current, 1),
        "full_current_a": band(found.static.current, 1),
        "minutes": band(found.time_flown, 0),
        "reserve_pct": rounded(reserve_pct, 0),
        "wind_first_m_s": band(found.wind_first, 1),
        "drive_basis": found.drive.basis,
        "density_height_m": rounded(flown.density_height, 0),
    }


def _per_cent(share: Band) -> Band:
    return replace(share, value=100.0 * share.value, low=100.0 * share.low, high=100.0 * share.high, unit="%")


def launch(throw: FirstThrow | None, speed: float, pitch_deg: float) -> Json:
    """How to throw it; nulls where no throttle and trim climb away, or where none were flown."""
    found = None if throw is None or throw.throttle is None or throw.trim is None else throw
    return {
        "speed_m_s": rounded(speed, 1),
        "pitch_deg": rounded(pitch_deg, 0),
        "throttle_pct": None if found is None else rounded(100.0 * (found.throttle or 0.0), 0),
        "throttle_from_to_pct": None
        if found is None
        else [rounded(100.0 * v, 0) for v in found.throttle_range],
        "trim_up_mm": None if found is None else rounded(found.trim or 0.0, 1),
        "trim_from_to_mm": None if found is None else _ends(found.trim_range, 1.0, 1),
        "lost_m": None if found is None else band(found.lost, 1),
        "bank_deg": None if found is None else band(found.bank, 0),
        "unaided_pct": None if throw is None else rounded(100.0 * throw.good, 0),
        "flown": throw is not None,
    }


def _ends(both: tuple[float, float], scale: float, digits: int) -> list[float | int | None]:
    return [rounded(scale * value, digits) for value in both]


def launch_words(card: Json) -> list[str]:
    """How to throw it, in words."""
    said, fly = card["launch"], card["flight"]
    nose, aim = _nose(said["pitch_deg"]), figure(said["speed_m_s"])
    lines = [f"Launch: wings level, nose {nose}, aimed at {aim} m/s through the air."]
    if said["throttle_pct"] is not None:
        low, high = (figure(value) for value in said["throttle_from_to_pct"])
        least, most = (_up(value) for value in said["trim_from_to_mm"])
        lines.append(
            f"Throttle {figure(said['throttle_pct'])} % ({low} to {high}), trailing edge"
            f" {_up(said['trim_up_mm'])} ({least} to {most}):"
            f" as drawn it climbs away unaided, and in {figure(said['unaided_pct'])} % of the samples."
        )
    elif said["flown"]:
        lines.append("No throttle and trim that were tried climb away unaided: see the findings.")
    wind = fly["wind_first_m_s"]["value"]
    if wind is not None:
        lines.append(f"First flights in wind up to {figure(wind)} m/s, a third of the stall speed.")
    return lines


def _nose(pitch: float) -> str:
    return f"about {figure(abs(pitch))}° {'up' if pitch > 0.0 else 'down'}" if pitch else "level"


def _up(value: float) -> str:
    return f"{figure(abs(value))} mm {'up' if value >= 0.0 else 'down'}"


def flight_rows(card: Json) -> list[list[str]]:
    """Rows of the numbers: what, value and band."""
    fly = card["flight"]
    cruise = fly["cruise_current_a"]["value"]
    rows = [
        _row("Stall", fly["stall_m_s"], "m/s"),
        _row("Best glide", fly["glide"], ": 1", f" at {figure(fly['glide_speed_m_s']['value'])} m/s"),
        _row("Top speed, level", fly["top_m_s"], "m/s"),
        _row("Climb, full throttle", fly["climb_m_s"], "m/s"),
        _row(
            "Current, full / cruise",
            fly["full_current_a"],
            "A",
            " / cruise not reached" if cruise is None else f" / {figure(cruise)} A",
        ),
        _row("Time aloft", fly["minutes"], "min", f", {figure(fly['reserve_pct'])} % left"),
    ]
    return [row for row in rows if row]


def _row(name: str, found: Json, unit: str, more: str = "") -> list[str]:
    if found["value"] is None:
        return [name, "none found"]
    return [name, f"{figure(found['value'])} {unit}{more} ({spread(found, unit)})"]
