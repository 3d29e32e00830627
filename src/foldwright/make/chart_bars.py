"""Charts of rows: where it balances, what drags, what each band comes from."""

from __future__ import annotations

import numpy as np

from foldwright.base.types import FloatArray
from foldwright.flight.battery import BatteryPlace
from foldwright.flight.envelope import along
from foldwright.flight.shares import Shares
from foldwright.make.card_figures import rounded
from foldwright.make.chart_frame import (
    AXIS,
    FULL,
    NAME,
    PALE,
    SMALL,
    THIN,
    Axis,
    Frame,
    axes,
    axis,
    block,
    uprights,
)
from foldwright.make.chart_model import (
    BELOW,
    HEAD,
    HEIGHT_MM,
    RIGHT,
    WIDTH_MM,
    Chart,
    Json,
    Source,
    band_said,
    chart,
    said,
)
from foldwright.make.dimension import balance_sign, text_width
from foldwright.make.drawing import Item, Path, Text

_SHADES = (0.72, 0.84, 0.90, 0.94, 0.97)
_ROW_LABELS = 46.0
_BAR = 0.30


def _rows(count: int) -> Axis:
    """Rows from the top, one unit each."""
    return Axis("", 0.0, float(count), 1.0, 0)


def _frame(x: Axis, count: int) -> Frame:
    size = (WIDTH_MM - _ROW_LABELS - RIGHT, HEIGHT_MM - BELOW - HEAD)
    return Frame(_ROW_LABELS, BELOW, *size, x, _rows(count))


def _label(frame: Frame, row: float, words: str) -> Text:
    """Name of a row, smaller where rows are narrow."""
    x, y = frame.at(frame.x.low, row)
    size = min(NAME, 0.55 * frame.height / frame.y.high)
    return Text("letter", "", (x - 1.8, y - 0.5 * size), size, words, 0.0, "right")


def balance_chart(source: Source) -> Chart:
    """Neutral point, what is allowed, where it balances and how far the battery moves that."""
    balance = source.results.balance
    lead = balance.wanted.x - balance.wanted.behind_root
    neutral, shift = balance.neutral_point, np.percentile(balance.cg_samples, (5.0, 95.0)) - lead
    wide = (neutral.low - lead, neutral.high - lead)
    places = [balance.battery, *balance.alternatives]
    slides = [_slide(place, source) for place in places]
    marks = (balance.forward.behind_root, balance.first_aft.behind_root, balance.aft.behind_root)
    ends = [*wide, *shift.tolist(), *marks, *(x - lead for one in slides if one for x in one)]
    count = 3 + len(places)
    frame = _frame(axis("mm behind the leading edge at the root", min(ends) - 1.0, max(ends) + 1.0, 9), count)
    items: list[Item] = list(axes(frame, figures=False))
    rows = [count - 0.5 - k for k in range(count)]
    items += [_label(frame, rows[0], "neutral point"), *_bar(frame, rows[0], wide, PALE)]
    items += [_tick(frame, rows[0], neutral.value - lead)]
    items += [_label(frame, rows[1], "allowed; shaded: first flights")]
    if balance.first_window:
        items += _bar(frame, rows[1], (marks[0], marks[1]), _SHADES[0])
    items += _hollow(frame, rows[1], (marks[0], marks[2]))
    items += [_label(frame, rows[2], "balance point, as held"), *_bar(frame, rows[2], tuple(shift), PALE)]
    items += balance_sign(frame.at(balance.placed.behind_root, rows[2]), 1.8)
    for row, place, slide in zip(rows[3:], places, slides, strict=True):
        items.append(_label(frame, row, f"battery {place.id}"))
        if slide is not None:
            items += _bar(frame, row, (slide[0] - lead, slide[1] - lead), _SHADES[2])
            items.append(_tick(frame, row, place.cg_x - lead))
    items += _margins(frame, source)
    point = balance.placed
    about = (
        f"It balances {said(point.behind_root, 1, ' mm')} behind the leading edge, static margin"
        f" {band_said(balance.static_margin, 1, ' %')} of the chord; first flights"
        + (f" {said(marks[0], 1, '')} to {said(marks[1], 1, ' mm')}." if balance.first_window else ": none.")
        + " Battery rows: how far its slide moves the balance, and where it stands."
    )
    return chart("balance", "Balance", about, items, _balance_data(source, shift, slides))


def _balance_data(source: Source, shift: FloatArray, slides: list[tuple[float, float] | None]) -> Json:
    balance = source.results.balance
    lead = balance.wanted.x - balance.wanted.behind_root
    neutral, places = balance.neutral_point, [balance.battery, *balance.alternatives]
    return {
        "neutral_point_mm": {
            name: rounded(getattr(neutral, name) - lead, 2) for name in ("value", "low", "high")
        },
        "forward_limit_mm": rounded(balance.forward.behind_root, 2),
        "aft_limit_mm": rounded(balance.aft.behind_root, 2),
        "first_flights_aft_mm": rounded(balance.first_aft.behind_root, 2) if balance.first_window else None,
        "balance_point_mm": {
            "value": rounded(balance.placed.behind_root, 2),
            "low": rounded(float(shift[0]), 2), "high": rounded(float(shift[1]), 2),
        },
        "chord_mm": rounded(source.results.lift.mean.chord, 2),
        "batteries": [
            {
                "id": place.id, "balances_mm": rounded(place.cg_x - lead, 2),
                "slide_mm": None if slide is None else [rounded(x - lead, 2) for x in slide],
            }
            for place, slide in zip(places, slides, strict=True)
        ],
    }  # fmt: skip


def _slide(place: BatteryPlace, source: Source) -> tuple[float, float] | None:
    """Balance points [x, mm] with a battery at the foremost and aftmost place of its slide."""
    if place.too_long:
        return None
    foremost, aftmost = source.results.fitted.battery_slide_mm
    half = 0.5 * (place.rear - place.front)
    share = place.battery_mass / place.mass
    first, last = (place.cg_x + share * (x - place.x) for x in (foremost + half, aftmost - half))
    return first, last


def _margins(frame: Frame, source: Source) -> list[Item]:
    """Static margin in percent of the chord along the top."""
    balance, chord = source.results.balance, source.results.lift.mean.chord
    at = balance.neutral_point.value - (balance.wanted.x - balance.wanted.behind_root)
    most, least = (100.0 * (at - x) / chord for x in (frame.x.low, frame.x.high))
    scale = axis("", least, most, 8, whole=False)
    marked = [(at - each * chord / 100.0, f"{scale.says(each)} %") for each in scale.ticks]
    title = Text("letter", "", (frame.left - 1.8, frame.top + 0.9), SMALL, "static margin", 0.0, "right")
    return [*uprights(frame, marked, THIN), title]


def _bar(frame: Frame, row: float, x: tuple[float, ...], shade: float) -> list[Item]:
    """A filled bar with a thin rim."""
    fill = block(frame, (x[0], x[1]), (row - _BAR, row + _BAR), shade)
    return [fill, Path(AXIS, "", fill.rings[0], closed=True)]


def _hollow(frame: Frame, row: float, x: tuple[float, float]) -> list[Item]:
    return [Path(FULL, "", block(frame, x, (row - _BAR, row + _BAR), 1.0).rings[0], closed=True)]


def _tick(frame: Frame, row: float, x: float) -> Item:
    return Path(FULL, "", (frame.at(x, row - 1.2 * _BAR), frame.at(x, row + 1.2 * _BAR)))


def drag_chart(source: Source) -> Chart:
    """Drag in level flight at cruise, item by item, with bands."""
    flown, targets = source.results.flown.envelope, source.design.targets
    speeds = flown.level.speeds
    speed = float(np.clip(targets.cruise_speed_m_s, speeds[0], speeds[-1]))
    pressure = 0.5 * flown.density * speed**2
    found: list[tuple[str, FloatArray, str]] = []
    for k, item in enumerate(flown.drags[0].items):
        area = along(np.stack([each.items[k].area for each in flown.drags]), speeds, speed)
        found.append((item.name, area * pressure, item.basis))
    whole = along(flown.level.force, speeds, speed)
    rest = whole - np.sum([force for _, force, _ in found], axis=0)
    found.append(("drag of lift", rest, "lattice, share of the leading-edge suction lost"))
    found.sort(key=lambda row: -float(np.nan_to_num(row[1][0])))
    ends = [_percentiles(force) for _, force, _ in found]
    most = max([0.05, *(float(np.nan_to_num(high)) for _, high in ends)])
    frame = _frame(axis(f"drag at {speed:.3g} m/s, N", 0.0, 1.12 * most, 8), len(found))
    items: list[Item] = list(axes(frame, figures=False))
    total = float(whole[0])
    for k, ((name, force, _), (low, high)) in enumerate(zip(found, ends, strict=True)):
        row, value = len(found) - 0.5 - k, float(force[0])
        items.append(_label(frame, row, name))
        if not np.isfinite(value):
            continue
        items += _bar(frame, row, (0.0, max(value, 0.0)), _SHADES[0])
        items.append(Path(FULL, "", (frame.at(low, row), frame.at(high, row))))
        x, y = frame.at(max(high, value), row)
        words = f"{value:.3f} N, {100.0 * value / total:.0f} %"
        items.append(Text("letter", "", (x + 1.2, y - 0.5 * SMALL), SMALL, words))
    about = (
        f"Drag in level flight at {speed:.3g} m/s, {said(total, 2, ' N')} in all; the largest item is"
        f" {found[0][0]} with {said(float(found[0][1][0]), 2, ' N')}. Thick lines hold 90 in 100 cases."
    )
    data = {
        "speed_m_s": rounded(speed, 2), "whole_n": rounded(total, 4),
        "items": [
            {"name": name, "drag_n": rounded(float(force[0]), 4), "low_n": rounded(low, 4),
             "high_n": rounded(high, 4), "basis": basis}
            for (name, force, basis), (low, high) in zip(found, ends, strict=True)
        ],
    }  # fmt: skip
    return chart("drag", "Drag, item by item", about, items, data)


def _percentiles(values: FloatArray) -> tuple[float, float]:
    there = values[np.isfinite(values)]
    if not there.size:
        return float("nan"), float("nan")
    low, high = np.percentile(there, (5.0, 95.0))
    return float(low), float(high)


def _often(rows: tuple[Shares, ...]) -> str:
    """Which input is most often the greatest."""
    first: dict[str, list[str]] = {}
    for one in rows:
        if one.most is not None:
            first.setdefault(one.most.name, []).append(one.title)
    if not first:
        return "None stands out."
    name = min(first, key=lambda each: (-len(first[each]), each))
    return f"Most often the greatest: {name} ({', '.join(first[name])})."


def contributors_chart(rows: tuple[Shares, ...]) -> Chart:
    """For each prediction, the inputs that its band comes from, greatest first."""
    frame = _frame(axis("share of the variance, %", 0.0, 100.0, 10), len(rows))
    items: list[Item] = list(axes(frame, figures=False))
    for k, one in enumerate(rows):
        row, start = len(rows) - 0.5 - k, 0.0
        items.append(_label(frame, row, one.title))
        for place, each in enumerate(one.shares):
            end = min(start + 100.0 * each.share, 100.0)
            items += _bar(frame, row, (start, end), _SHADES[min(place, len(_SHADES) - 1)])
            (x0, y), (x1, _) = frame.at(start, row), frame.at(end, row)
            words = each.name.replace("_", " ")
            size = 1.5
            if text_width(words, size) * 0.8 < x1 - x0 - 1.0:
                at = (0.5 * (x0 + x1), y - 0.5 * size)
                items.append(Text("letter", "", at, size, words, 0.0, "centre"))
            start = end
    about = (
        "Share of each judgement value in the variance, greatest first; what a bar lacks to 100 % is bends"
        f" and chance. {_often(rows)}"
    )
    data = {
        "predictions": [
            {
                "name": one.prediction, "title": one.title, "explained": rounded(one.explained, 3),
                "by_ranks": one.ranks,
                "shares": [
                    {"assumption": each.name, "share": rounded(each.share, 3), "rises": each.rises}
                    for each in one.shares
                ],
            }
            for one in rows
        ]
    }  # fmt: skip
    return chart("contributors", "What each band comes from", about, items, data)
