"""The printed card's words, made from the card's data alone: every figure on paper is one of the data's."""

from __future__ import annotations

from typing import Any

from foldwright.make.card_control_words import (
    control_lines,
    control_table,
    neutral_place,
    throw_note,
    trimming,
)
from foldwright.make.card_flight import flight_rows, launch_words
from foldwright.make.card_handling import handling_rows
from foldwright.make.card_say import NONE_FOUND, figure, spread, way, way_spread

Json = dict[str, Any]

MOST_BATTERIES = 5
MOST_FINDINGS = 5
LONGEST_FINDING = 180
LONGEST_NAME = 40
ROOMS = {"It may stand": "front_for_first_flights_mm"}
WEIGHED = (
    "All-up, weighed: ________ g",
    "Balance, measured: ________ mm",
    "Neutral, measured: ________ mm up / down",
)


def sheet_words(card: Json) -> Json:
    """Everything that is printed, in the order of the page."""
    design, workshop = card["design"], card["workshop"]
    about = ("Setup card", f"revision {design['revision']}", design["layout"], f"built by {workshop['name']}")
    return {
        "title": design["name"],
        "about": " · ".join(about),
        "status": design["flown"],
        "big": [_balance_box(card), _neutral_box(card), _throw_box(card), _weight_box(card)],
        "measure": _measure(card),
        "warning": _window_warning(card),
        "boxes": list(WEIGHED),
        "battery": _battery(card),
        "alternatives": _alternatives(card),
        "controls": control_lines(card),
        "control_table": control_table(card),
        "power": _power(card),
        "numbers": _numbers(card),
        "findings": _findings(card["findings"]),
        "cautions": card["cautions"],
        "not_assessed": _not_assessed(card["not_assessed"]),
        "basis": _basis(card),
    }


def _box(name: str, value: str, unit: str, note: str) -> Json:
    return {"name": name, "value": value, "unit": unit, "note": note}


def _balance_box(card: Json) -> Json:
    balance = card["balance"]
    point = balance["point"]["behind_le_mm"]
    side = "behind" if point >= 0 else "ahead of"
    note = f"{side} the leading edge{_at_marks(balance)}. {_window(balance)}"
    return _box("Balance point", figure(abs(point)), "mm", note)


def _window(balance: Json) -> str:
    if not balance["first_window"]:
        return "No window for first flights."
    first, last = (balance[name]["behind_le_mm"] for name in ("forward_limit", "first_aft_limit"))
    low, high = figure(abs(first)), figure(abs(last))
    if first >= 0:
        return f"First flights: {low} to {high} mm. Never behind {high} mm."
    if last <= 0:
        return f"First flights: {low} to {high} mm ahead. Never less than {high} mm ahead."
    return f"First flights: {low} mm ahead to {high} mm behind. Never further aft."


def _at_marks(balance: Json) -> str:
    """Where along a wing whose leading edge does not run straight across."""
    return " at the marks" if balance["le_aft_of_root_at_marks_mm"] else ""


def _behind(value: float) -> str:
    """Millimetres behind the leading edge."""
    return f"{figure(abs(value))} mm{' ahead' if value < 0 else ''}"


def _neutral_box(card: Json) -> Json:
    row = trimming(card)
    neutral, name, where = row["neutral_up_mm"], "Control neutral", neutral_place(row)
    if neutral["value"] is None:
        return _box(name, NONE_FOUND, "", f"{where}: none below the greatest lift at launch speed")
    unit = "mm up" if neutral["value"] >= 0 else "mm down"
    return _box(name, figure(abs(neutral["value"])), unit, f"{where}. Band {way_spread(neutral)}.")


def _throw_box(card: Json) -> Json:
    row = trimming(card)
    first, second = row["throws"]
    if first["mm"] is None:
        return _box("Throws", NONE_FOUND, "", "throws count from the neutral")
    value = f"{figure(first['mm'])} / {figure(second['mm'])}"
    note = throw_note(row, others=len(card["controls"]) > 1)
    return _box(f"Throws {first['way']} / {second['way']}", value, "mm", note)


def _weight_box(card: Json) -> Json:
    weight = card["weight"]
    note = f"Band {spread(weight['all_up_g'], 'g')}. Limit {figure(weight['all_up_limit_g'])} g."
    return _box("All-up weight", figure(weight["all_up_g"]["value"]), "g", note)


def _measure(card: Json) -> list[str]:
    balance = card["balance"]
    lines = []
    marks, point = balance["marks_from_centre_line_mm"], balance["point"]["behind_le_mm"]
    place = "beside the body" if marks is None else f"at the marks, {figure(marks)} mm from the centre line"
    if point < 0:
        place = f"{_behind(point)} of the wing's leading edge"
    if balance["marks_on_body"]:
        place += ", or at the marks on the body's sides"
    where = "wing" if point >= 0 else "body"
    lines.append(f"Fingertips under the {where}, {place}, battery in: it hangs level or a little nose-down.")
    swept = balance["le_aft_of_root_at_marks_mm"]
    if swept:
        lines.append(f"There the leading edge lies {_aft(swept)} where it meets the centre line.")
    step = balance["point"]["ahead_of_step_mm"]
    if step is not None:
        side, what = ("above", "doubler") if balance["step_on_top"] else ("below", "under strip")
        height = figure(balance["step_height_mm"])
        lines.append(f"From {side}: {_ahead(step)} the step where the {what} ends ({height} mm high).")
    wanted = balance["wanted"]["behind_le_mm"]
    if abs(point - wanted) > 0.5:
        lines.append(f"The battery's slide ends there; the design asks for {_behind(wanted)}.")
    if card["washout"] is not None:
        lines.append(_washout(card["washout"]))
    return lines


def _aft(value: float) -> str:
    return f"{figure(abs(value))} mm {'aft' if value >= 0 else 'ahead'} of"


def _washout(turn: Json) -> str:
    lift, high = turn["tip_deg"], turn["trailing_edge_up_mm"]
    return (
        f"Washout: each tip {figure(abs(lift))}° nose-{'down' if lift >= 0 else 'up'} against the root, its"
        f" trailing edge {figure(abs(high))} mm {'higher' if high >= 0 else 'lower'} than flat; both alike."
    )


def _window_warning(card: Json) -> str:
    balance = card["balance"]
    if not balance["first_window"]:
        return (
            "The neutral point is not known well enough for any first-flight window: do not fly before the"
            " limits have been widened in the design."
        )
    low, high = (balance[name]["behind_le_mm"] for name in ("forward_limit", "first_aft_limit"))
    point = balance["point"]["behind_le_mm"]
    if low <= point <= high:
        return ""
    return (
        f"As placed, the battery gives {_behind(point)}, outside the first-flight window of {_behind(low)}"
        f" to {_behind(high)}, and the control neutral holds only there: put it right in the design and"
        " make a new card before the first flight."
    )


def _battery(card: Json) -> list[str]:
    battery = card["battery"]
    root = " at the root" if card["balance"]["le_aft_of_root_at_marks_mm"] else ""
    lines = [
        f"{_brief(battery['name'])} ({figure(battery['mass_g'])} g)",
        _front(battery, root),
    ]
    for name, key in ROOMS.items():
        room = battery[key]
        reach = f"{figure(room['from'])} to {figure(room['to'])} mm behind the nose edge" if room else ""
        lines.append(f"{name}: front face {reach or 'finds no place in the bay'}.")
    if not battery["fits"]:
        lines.append(f"Out of limits: {advice(battery)}.")
    return lines


def _front(battery: Json, root: str) -> str:
    nose = figure(battery["front_behind_nose_mm"])
    wing = _ahead(battery["front_ahead_of_le_mm"])
    return f"Front face {nose} mm behind the nose edge, {wing} the leading edge{root}."


def _ahead(value: float) -> str:
    return f"{figure(abs(value))} mm {'ahead of' if value >= 0 else 'behind'}"


def advice(battery: Json) -> str:
    """What to do with a battery."""
    if battery["too_long"]:
        return f"too long for the bay ({figure(battery['length_mm'])} mm)"
    if battery["fits"]:
        later = "" if battery["front_for_first_flights_mm"] else ", not for first flights"
        return f"front face at {figure(battery['front_behind_nose_mm'])} mm{later}"
    choices = []
    if battery["moves"]:
        moved = (
            f"{move['item']} {figure(abs(move['aft_mm']))} mm {'aft' if move['aft_mm'] > 0 else 'forward'}"
            for move in battery["moves"]
        )
        choices.append("move " + " and ".join(moved))
    if battery["ballast"] is not None:
        choices.append(f"{figure(battery['ballast']['mass_g'])} g in the {battery['ballast']['end']}")
    place = figure(battery["front_behind_nose_mm"])
    return f"front face at {place} mm and {' or '.join(choices)}" if choices else "cannot be balanced"


def _alternatives(card: Json) -> Json:
    rows = [
        [_brief(each["name"]), "yes" if each["fits"] else "no", advice(each), figure(each["all_up_g"])]
        for each in card["alternatives"][:MOST_BATTERIES]
    ]
    return {
        "head": ["Other battery", "Fits", "What to do", "All-up g"],
        "rows": rows,
        "more": _more(len(card["alternatives"]), len(rows)),
    }


def _more(count: int, most: int) -> list[str]:
    """What stands under 0, 1, ... rows, at most so many, of a count: how many more there are."""
    return [f"{count - shown} more in setup-card.json" if count > shown else "" for shown in range(most + 1)]


def _power(card: Json) -> list[str]:
    thrust = card["thrust"]
    fitted = "; ".join(_brief(thrust[name]) for name in ("motor", "propeller"))
    count = thrust["motors"]
    each, of = (f", {count} of each", f" of {count} motors") if count > 1 else ("", "")
    lines = [f"Thrust line: {thrust['tilt_says']}. Fitted: {fitted}{each}."]
    if thrust["power_says"] is None:
        lines.append("The stock states no static thrust: what power does to the nose is not assessed.")
    else:
        acts = thrust["power_acts_as_up_mm"]
        says = f"{thrust['power_says'][:1].upper()}{thrust['power_says'][1:]}"
        lines.append(
            f"{says} (in {figure(thrust['power_certain_pct'])} % of the samples): full static thrust"
            f" ({figure(thrust['static_thrust_n'])} N{of}) acts like trailing edge {way(acts['value'])}"
            f" at launch speed (band {way_spread(acts)})."
        )
    return [*lines, *launch_words(card)]


def _numbers(card: Json) -> list[list[str]]:
    margin, loading = card["balance"]["static_margin_pct"], card["weight"]["wing_loading_g_dm2"]
    neutral = card["balance"]["neutral_point_behind_le_mm"]
    board, cutter = card["workshop"]["board"], card["workshop"]["cutter"]
    weight = f"{figure(board['thickness_mm'])} mm, {figure(board['areal_density_g_m2'])} g/m²"
    return [
        ["Static margin", f"{figure(margin['value'])} % ({spread(margin, '%')})"],
        ["Neutral point", f"{_ahead(-neutral['value'])} the leading edge ({_spread_unsigned(neutral)})"],
        ["Wing loading", f"{figure(loading['value'])} g/dm² ({spread(loading, 'g/dm²')})"],
        *flight_rows(card),
        *handling_rows(card),
        ["Cruise, wanted", f"{figure(card['cruise']['speed_m_s'])} m/s"],
        ["Transport", _transport(card["transport"])],
        ["Board", f"{_brief(board['name'])}, {weight}"],
        ["Cutter", f"{cutter['kind']}, kerf {figure(cutter['kerf_mm'])} mm"],
    ]


def _spread_unsigned(band: Json) -> str:
    """Low and high of a place behind a point, counted ahead of it where its value lies there."""
    if band["low"] is None or band["value"] >= 0.0:
        return spread(band, "mm")
    return spread({**band, "low": -band["low"], "high": -band["high"]}, "mm")


def _transport(found: Json) -> str:
    whole, apart = (found[key] for key in ("whole_mm", "apart_mm"))
    more = f"; apart, each within {_box_words(apart)}" if apart else ""
    return f"{_box_words(whole)}{more}"


def _box_words(sides: list[float]) -> str:
    return f"{' x '.join(figure(side) for side in sides)} mm"


def _findings(rows: list[Json]) -> Json:
    graver = {"no-go": "NO-GO: ", "watch": ""}
    shown = [
        {"code": row["code"], "says": graver[row["verdict"]] + _short(row["says"])}
        for row in rows[:MOST_FINDINGS]
    ]
    return {"rows": shown, "more": _more(len(rows), len(shown))}


def _brief(name: str) -> str:
    """A name cut where it is too long for a column; the data hold it whole."""
    return name if len(name) <= LONGEST_NAME else f"{name[: LONGEST_NAME - 1]}…"


def _short(says: str) -> str:
    """A sentence cut at a word where it is too long for the card."""
    if len(says) <= LONGEST_FINDING:
        return says
    return f"{says[:LONGEST_FINDING].rsplit(' ', 1)[0]} … (whole sentence in setup-card.json)"


def _not_assessed(names: list[str]) -> str:
    first, *rest = names
    return f"{first[:1].upper()}{first[1:]} not assessed; {', '.join(rest)}: not assessed either."


def _basis(card: Json) -> str:
    prediction = card["prediction"]
    low, high, count = (figure(prediction[key]) for key in ("low_pct", "high_pct", "samples"))
    return (
        f"Band: {low} to {high} % of {count} samples of the assumptions."
        f" Weight: {card['weight']['all_up_g']['basis']}."
        f" Trim: {trimming(card)['neutral_up_mm']['basis']}."
        f" Neutral point: {card['balance']['neutral_point_behind_le_mm']['basis']}. Predicted, not flown."
    )
