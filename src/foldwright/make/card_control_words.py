"""The printed card's words about controls, made from the card's data alone."""

from __future__ import annotations

from typing import Any

from foldwright.make.card_handling import rate_line
from foldwright.make.card_say import NONE_FOUND, figure, way, way_spread

Json = dict[str, Any]

MOST_CONTROLS = 8
_FREE_DEG = 90.0
_STICKS = {"elevon": "roll", "ruddervator": "yaw"}


def trimming(card: Json) -> Json:
    """The control whose neutral stands in the box."""
    found: Json = card["controls"][0]
    return found


def neutral_place(row: Json) -> str:
    """Where a control is measured, in a few words."""
    if row["all_moving"]:
        return f"trailing edge at the root of the all-moving {row['name']}"
    return f"trailing edge at the {_end(row)} end of the {row['name']}"


def _end(row: Json) -> str:
    return "lower" if _upright(row) else "inner"


def _upright(row: Json) -> bool:
    return bool(row["throws"][0]["way"] == "left")


def throw_note(row: Json, *, others: bool) -> str:
    """What stands under the throws in the box."""
    stick = _STICKS.get(row["kind"])
    alike = f"; pitch and {stick} alike" if stick else ""
    more = "; the others: see Controls" if others else ""
    return f"from the control neutral, at the same place{alike}{more}"


def control_lines(card: Json) -> list[str]:
    """How the control that trims is set up, then mixing and rates."""
    row = trimming(card)
    lines = [_measured(row)]
    if row["neutral_up_mm"]["value"] is None:
        return [*lines, f"Neutral: {NONE_FOUND} at launch speed. Do not fly."]
    neutral = way(row["neutral_up_mm"]["value"])
    return [
        *lines,
        f"Neutral: {neutral}, made in the linkage, with transmitter trims centred.",
        _throw_line(row),
        _stop_line(row),
        _cruise_line(row, figure(card["cruise"]["speed_m_s"])),
        *card["mixing"],
        rate_line(card["rates"]),
    ]


def _measured(row: Json) -> str:
    each = "each" if row["pieces"] > 1 else "the"
    chord, place = figure(row["chord_mm"]), _from(row)
    if row["all_moving"]:
        return (
            f"Measure at the trailing edge of {each} all-moving {row['name']}, {place}, from in line with"
            f" the design ({chord} mm behind the pivot)."
        )
    against = "the fixed trailing edge beside it" if row["station"]["mm"] else "a straight edge along it"
    return (
        f"Measure at the {_end(row)} end of {each} {row['name']}, {place}, against {against}"
        f" (chord {chord} mm)."
    )


def _from(row: Json) -> str:
    station = row["station"]
    root = "its root" if station["from"] == "root" else "the centre line"
    return f"{figure(station['mm'])} mm from {root}" if station["mm"] else f"at {root}"


def _throw_line(row: Json) -> str:
    stick = _STICKS.get(row["kind"])
    alike = f"; {stick} the same" if stick else ""
    reach = ", ".join(f"{figure(one['mm'])} mm {one['way']} ({figure(one['deg'])}°)" for one in row["throws"])
    return f"Throws from there: {reach}{alike}."


def _stop_line(row: Json) -> str:
    stick = _STICKS.get(row["kind"])
    both = f"; pitch and {stick} together never beyond" if stick else ""
    above, below = (_side(one["mm"], sign) for one, sign in zip(row["ends"], (1, -1), strict=True))
    seat = "the fixed trailing edge" if row["station"]["mm"] and not row["all_moving"] else "in line"
    cut = " Throws are cut short where the hinge bevel ends." if row["throw_cut_short"] else ""
    return f"Linkage stops: {above} and {below} {seat}{both}.{_bevel(row)}{cut}"


def _bevel(row: Json) -> str:
    limits = [one for one in row["bevel_clears"] if one["deg"] < _FREE_DEG]
    said = " and ".join(f"{figure(one['deg'])}° {one['way']}" for one in limits)
    return f" The bevel clears {said}." if said else ""


def _side(value: float, sign: int) -> str:
    return f"{figure(abs(value))} mm {'above' if value * sign >= 0 else 'below'}"


def _cruise_line(row: Json, speed: str) -> str:
    cruise = row["cruise_up_from_neutral_mm"]
    if cruise["value"] is None:
        return f"Cruise at {speed} m/s: {NONE_FOUND}."
    trim = f"{way(cruise['value'])} from neutral (band {way_spread(cruise)})"
    return f"Cruise at {speed} m/s: {trim}, by stick or trim."


def control_table(card: Json) -> Json:
    """All other controls, a row each."""
    others = card["controls"][1:]
    rows = [
        [_called(row), _neutral(row), _reach(row), f"{_from(row)}, chord {figure(row['chord_mm'])} mm"]
        for row in others[:MOST_CONTROLS]
    ]
    more = len(others) - len(rows)
    return {
        "head": ["Other control", "Neutral", "Throws, mm", "Measured"],
        "rows": rows,
        "more": f"{more} more in setup-card.json" if more > 0 else "",
    }


def _called(row: Json) -> str:
    moving = "all-moving " if row["all_moving"] else ""
    pieces = f" ({row['pieces']})" if row["pieces"] > 1 else ""
    return f"{moving}{row['name']}{pieces}"


def _neutral(row: Json) -> str:
    if row["neutral_up_mm"] is None:
        return "in line"
    return way(row["neutral_up_mm"]["value"])


def _reach(row: Json) -> str:
    if row["throws"][0]["mm"] is None:
        return NONE_FOUND
    reach = ", ".join(f"{figure(one['mm'])} {one['way']}" for one in row["throws"])
    return f"{reach} (bevel ends there)" if row["throw_cut_short"] else reach


__all__ = ["control_lines", "control_table", "neutral_place", "throw_note", "trimming"]
