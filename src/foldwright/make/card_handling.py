"""What the setup card says of rates, the answer to the stick, servos, side wind and landing, as data and in
words.
"""

from __future__ import annotations

from typing import Any

from foldwright.flight.handling import Handling, Rate
from foldwright.flight.landing import Landing
from foldwright.flight.rolling import BANK_DEG
from foldwright.flight.servos import ServoLoad
from foldwright.make.card_figures import band, rounded
from foldwright.make.card_say import figure, spread

Json = dict[str, Any]

_STICKS = {"pitch": "pitch", "roll": "roll", "yaw": "rudder"}
RATES_BASIS = "so that full stick gives the answer wanted"


def rates(found: Handling) -> Json:
    """Low rate and expo of each axis, with the answers that they are suggested for."""
    roll, pitch = found.roll, found.pitch
    return {
        "axes": [_rate(each) for each in found.rates],
        "load_wanted": rounded(pitch.wanted, 1),
        "bank_deg": rounded(BANK_DEG, 0),
        "bank_within_s": None if roll is None else rounded(BANK_DEG / roll.wanted, 2),
        "basis": RATES_BASIS,
    }


def _rate(each: Rate) -> Json:
    return {
        "axis": each.axis,
        "times_wanted": rounded(each.ratio, 1),
        "low_pct": rounded(100.0 * each.rate, 0),
        "expo_pct": rounded(100.0 * each.expo, 0),
        "short": each.short,
    }


def handling(found: Handling) -> Json:
    """Answers to full stick, throws for the answers wanted, servos, side wind."""
    roll, pitch, wind = found.roll, found.pitch, found.wind
    return {
        "load_g": band(pitch.load, 1),
        "up_mm_per_g": band(pitch.per_g, 1),
        "stall_up_mm": band(pitch.slow.slow_up, 1),
        "pitch_with_power": band(pitch.slow.strength, 2),
        "reaches_stall_pct": rounded(100.0 * pitch.slow.reach_glide, 0),
        "roll_by": None if roll is None else roll.by,
        "roll_deg_s": None if roll is None else band(roll.cruise, 0),
        "roll_settled_deg_s": None if roll is None else band(roll.settled, 0),
        "bank_s": None if roll is None else band(roll.bank, 2),
        "throws_wanted": [
            {
                "axis": each.axis,
                "control": each.control,
                "now_mm": rounded(each.now_mm, 1),
                "wanted_mm": band(each.wanted_mm, 1),
            }
            for each in found.throws
        ],
        "mixing": [
            {
                "control": each.control,
                "axes": list(each.axes),
                "used_pct": rounded(100.0 * each.used, 0),
                "full_pct": rounded(100.0 * each.full, 0),
            }
            for each in found.mixing
        ],
        "servos": [_servo(each) for each in found.servos],
        "crosswind_throw_m_s": band(wind.launch, 1),
        "crosswind_held_m_s": band(wind.held, 1),
    }


def _servo(each: ServoLoad) -> Json:
    return {
        "control": each.control,
        "servo": each.servo,
        "pieces": each.halves,
        "hinge_n_cm": band(each.hinge_top, 2),
        "torque_n_cm": band(each.torque_top, 2),
        "gear": rounded(each.gear, 2),
        "stall_n_cm": rounded(each.stall, 1),
        "used_pct": None if each.used is None else rounded(100.0 * each.used.value, 0),
    }


def landing(found: Landing) -> Json:
    """Approach and flare."""
    return {
        "approach_m_s": band(found.approach, 1),
        "sink_m_s": band(found.sink, 1),
        "path_deg": band(found.angle, 0),
        "flare_m": band(found.flare, 1),
        "energy_down_j": band(found.energy_down, 2),
    }


def rate_line(said: Json) -> str:
    """Rates and expo in words, with their reason."""
    known = [each for each in said["axes"] if each["times_wanted"] is not None]
    enough = [each for each in known if not each["short"]]
    lines = ["Rates: these throws are the high rate."]
    if enough:
        low = ", ".join(
            f"{_STICKS[each['axis']]} {figure(each['low_pct'])} %{_goal(each, said)}" for each in enough
        )
        expo = ", ".join(f"{_STICKS[each['axis']]} {figure(each['expo_pct'])} %" for each in enough)
        lines.append(f"Low rate: {low}; or expo: {expo}.")
    lines += [
        f"Full {_STICKS[each['axis']]} falls short{_goal(each, said)}." for each in known if each["short"]
    ]
    return " ".join(lines)


def _goal(each: Json, said: Json) -> str:
    if each["axis"] == "pitch":
        return f" (for {figure(said['load_wanted'])} g)"
    return f" (for {figure(said['bank_deg'])}° in {figure(said['bank_within_s'])} s)"


def handling_rows(card: Json) -> list[list[str]]:
    """Row of the numbers: approach and sinking."""
    speed, sink = card["landing"]["approach_m_s"], card["landing"]["sink_m_s"]["value"]
    if speed["value"] is None or sink is None:
        return []
    says = f"{figure(speed['value'])} m/s ({spread(speed, 'm/s')}), sinks {figure(sink)} m/s"
    return [["Approach, no power", says]]
