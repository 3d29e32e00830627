"""The printed card's words, made from the card's data alone: every figure on paper is one of the data's."""

from __future__ import annotations

from typing import Any

Json = dict[str, Any]

MOST_BATTERIES = 5
MOST_FINDINGS = 5
LONGEST_FINDING = 180
LONGEST_NAME = 40
ROOMS = {"It may stand": "front_for_first_flights_mm"}
NONE_FOUND = "no trim found"
WEIGHED = (
    "All-up, weighed: ________ g",
    "Balance, measured: ________ mm",
    "Neutral, measured: ________ mm up",
)


def figure(value: float | None) -> str:
    """A figure as it stands in the data; "not known" for none."""
    return "not known" if value is None else f"{value:g}"


def spread(band: Json, unit: str) -> str:
    """Low and high of a band, and for how many samples there is no value."""
    if band["low"] is None:
        return "no band"
    return f"{figure(band['low'])} to {figure(band['high'])} {unit}{_missing(band)}"


def _missing(band: Json) -> str:
    share = band["missing_pct"]
    return f"; none in {figure(share)} % of the samples" if share else ""


def way(value: float | None) -> str:
    """Millimetres of trailing edge as up or down."""
    if value is None:
        return NONE_FOUND
    return f"{figure(abs(value))} mm {'up' if value >= 0 else 'down'}"


def way_spread(band: Json) -> str:
    """A band of trailing-edge travel, each end as up or down."""
    low, high = band["low"], band["high"]
    if low is None or high is None:
        return "no band"
    if (low < 0) == (high < 0):
        inner, outer = sorted((low, high), key=abs)
        return f"{figure(abs(inner))} to {way(outer)}{_missing(band)}"
    return f"{way(low)} to {way(high)}{_missing(band)}"


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
        "controls": _controls(card),
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
    window = (
        f"First flights: {figure(balance['forward_limit']['behind_le_mm'])} to"
        f" {figure(balance['first_aft_limit']['behind_le_mm'])} mm."
        if balance["first_window"]
        else "No window for first flights."
    )
    aft = figure(balance["first_aft_limit"]["behind_le_mm"])
    never = f" Never behind {aft} mm." if balance["first_window"] else ""
    note = f"behind the leading edge. {window}{never}"
    return _box("Balance point", figure(balance["point"]["behind_le_mm"]), "mm", note)


def _neutral_box(card: Json) -> Json:
    controls = card["controls"]
    neutral = controls["neutral_up_mm"]
    name = "Control neutral"
    where = f"trailing edge at the inner end of the {controls['control']}"
    if neutral["value"] is None:
        return _box(name, NONE_FOUND, "", f"{where}: none below the greatest lift at launch speed")
    unit = "mm up" if neutral["value"] >= 0 else "mm down"
    return _box(name, figure(abs(neutral["value"])), unit, f"{where}. Band {way_spread(neutral)}.")


def _throw_box(card: Json) -> Json:
    controls = card["controls"]
    if controls["throw_up_mm"] is None:
        return _box("Throws", NONE_FOUND, "", "throws count from the neutral")
    value = f"{figure(controls['throw_up_mm'])} / {figure(controls['throw_down_mm'])}"
    note = "from the control neutral, at the same place; pitch and roll alike"
    return _box("Throws up / down", value, "mm", note)


def _weight_box(card: Json) -> Json:
    weight = card["weight"]
    note = f"Band {spread(weight['all_up_g'], 'g')}. Limit {figure(weight['all_up_limit_g'])} g."
    return _box("All-up weight", figure(weight["all_up_g"]["value"]), "g", note)


def _measure(card: Json) -> list[str]:
    balance = card["balance"]
    lines = []
    marks = balance["marks_from_centre_line_mm"]
    place = "beside the body" if marks is None else f"at the marks, {figure(marks)} mm from the centre line"
    lines.append(f"Fingertips under the wing, {place}, battery in: it hangs level or a little nose-down.")
    step = balance["point"]["ahead_of_step_mm"]
    if step is not None:
        lines.append(
            f"From below: {figure(step)} mm ahead of the step where the under strip ends"
            f" ({figure(balance['step_height_mm'])} mm high)."
        )
    point, wanted = balance["point"]["behind_le_mm"], balance["wanted"]["behind_le_mm"]
    if abs(point - wanted) > 0.5:
        lines.append(f"The battery's slide ends there; the design asks for {figure(wanted)} mm.")
    return lines


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
        f"As placed, the battery gives {figure(point)} mm, outside the first-flight window of {figure(low)}"
        f" to {figure(high)} mm, and the control neutral holds only there: put it right in the design and"
        " make a new card before the first flight."
    )


def _battery(card: Json) -> list[str]:
    battery = card["battery"]
    lines = [
        f"{_brief(battery['name'])} ({figure(battery['mass_g'])} g)",
        _front(battery),
    ]
    for name, key in ROOMS.items():
        room = battery[key]
        reach = f"{figure(room['from'])} to {figure(room['to'])} mm behind the nose edge" if room else ""
        lines.append(f"{name}: front face {reach or 'finds no place in the bay'}.")
    if not battery["fits"]:
        lines.append(f"Out of limits: {advice(battery)}.")
    return lines


def _front(battery: Json) -> str:
    nose = figure(battery["front_behind_nose_mm"])
    wing = _ahead(battery["front_ahead_of_le_mm"])
    return f"Front face {nose} mm behind the nose edge, {wing} the leading edge."


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
    more = len(card["alternatives"]) - len(rows)
    return {
        "head": ["Other battery", "Fits", "What to do", "All-up g"],
        "rows": rows,
        "more": f"{more} more in setup-card.json" if more > 0 else "",
    }


def _controls(card: Json) -> list[str]:
    controls = card["controls"]
    place = figure(controls["station_from_centre_line_mm"])
    station = (
        f"Measure at the inner end of each {controls['control']}, {place} mm from the centre line, against"
        f" the fixed trailing edge beside it (chord {figure(controls['chord_mm'])} mm)."
    )
    if len(controls["alike"]) > 1:
        station += f" All of {', '.join(controls['alike'])} move alike."
    neutral = controls["neutral_up_mm"]
    if neutral["value"] is None:
        return [station, f"Neutral: {NONE_FOUND} at launch speed. Do not fly."]
    return [
        station,
        f"Neutral: {way(neutral['value'])}, made in the linkage, with transmitter trims centred.",
        _throw_line(controls),
        _stop_line(controls),
        _cruise_line(controls, figure(card["cruise"]["speed_m_s"])),
    ]


def _throw_line(controls: Json) -> str:
    up, down = figure(controls["throw_up_mm"]), figure(controls["throw_down_mm"])
    turns = figure(controls["throw_up_deg"]), figure(controls["throw_down_deg"])
    return f"Throws from there: {up} mm up ({turns[0]}°), {down} mm down ({turns[1]}°); roll the same."


def _stop_line(controls: Json) -> str:
    above, below = _end(controls["linkage_up_mm"]), _end(-controls["linkage_down_mm"])
    cut = " Throws are cut short where the hinge bevel ends." if controls["throw_cut_short"] else ""
    stops = f"Linkage stops: {above} and {below} the fixed trailing edge"
    return f"{stops}; pitch and roll together never beyond.{cut}"


def _cruise_line(controls: Json, speed: str) -> str:
    cruise = controls["cruise_up_from_neutral_mm"]
    if cruise["value"] is None:
        return f"Cruise at {speed} m/s: {NONE_FOUND}."
    trim = f"{way(cruise['value'])} from neutral (band {way_spread(cruise)})"
    return f"Cruise at {speed} m/s: {trim}, by stick or trim."


def _end(value: float) -> str:
    return f"{figure(abs(value))} mm {'above' if value >= 0 else 'below'}"


def _power(card: Json) -> list[str]:
    thrust = card["thrust"]
    fitted = "; ".join(_brief(thrust[name]) for name in ("motor", "propeller"))
    lines = [f"Thrust line: {thrust['tilt_says']}. Fitted: {fitted}."]
    if thrust["power_says"] is None:
        lines.append("The stock states no static thrust: what power does to the nose is not assessed.")
    else:
        acts = thrust["power_acts_as_up_mm"]
        says = f"{thrust['power_says'][:1].upper()}{thrust['power_says'][1:]}"
        lines.append(
            f"{says} (in {figure(thrust['power_certain_pct'])} % of the samples): full static thrust"
            f" ({figure(thrust['static_thrust_n'])} N) acts like trailing edge {way(acts['value'])}"
            f" at launch speed (band {way_spread(acts)})."
        )
    lines.append(
        f"Launch: wings level, level to slightly nose-up, aimed at {figure(card['launch']['speed_m_s'])} m/s"
        " through the air."
    )
    return lines


def _numbers(card: Json) -> list[list[str]]:
    margin, loading = card["balance"]["static_margin_pct"], card["weight"]["wing_loading_g_dm2"]
    neutral = card["balance"]["neutral_point_behind_le_mm"]
    board, cutter = card["workshop"]["board"], card["workshop"]["cutter"]
    weight = f"{figure(board['thickness_mm'])} mm, {figure(board['areal_density_g_m2'])} g/m²"
    return [
        ["Static margin", f"{figure(margin['value'])} % ({spread(margin, '%')})"],
        ["Neutral point", f"{figure(neutral['value'])} mm behind the leading edge ({spread(neutral, 'mm')})"],
        ["Wing loading", f"{figure(loading['value'])} g/dm² ({spread(loading, 'g/dm²')})"],
        ["Cruise, wanted", f"{figure(card['cruise']['speed_m_s'])} m/s"],
        ["Board", f"{_brief(board['name'])}, {weight}"],
        ["Cutter", f"{cutter['kind']}, kerf {figure(cutter['kerf_mm'])} mm"],
    ]


def _findings(rows: list[Json]) -> Json:
    graver = {"no-go": "NO-GO: ", "watch": ""}
    shown = [
        {"code": row["code"], "says": graver[row["verdict"]] + _short(row["says"])}
        for row in rows[:MOST_FINDINGS]
    ]
    more = len(rows) - len(shown)
    return {"rows": shown, "more": f"{more} more in setup-card.json" if more > 0 else ""}


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
        f" Trim: {card['controls']['neutral_up_mm']['basis']}."
        f" Neutral point: {card['balance']['neutral_point_behind_le_mm']['basis']}. Predicted, not flown."
    )
