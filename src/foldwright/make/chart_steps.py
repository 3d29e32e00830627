"""Chart of what a step of the stick does: rate and answer over time, pitch beside roll."""

from __future__ import annotations

import numpy as np

from foldwright.base.types import FloatArray
from foldwright.flight.steps import Step, Steps
from foldwright.make.card_figures import rounded
from foldwright.make.chart_frame import FULL, PALE, Frame, axes, axis, between, curve, level_line
from foldwright.make.chart_model import (
    BELOW,
    HEAD,
    HEIGHT_MM,
    LEFT,
    RIGHT,
    WIDTH_MM,
    Chart,
    Json,
    chart,
    numbers,
)
from foldwright.make.drawing import Item

_GAP = 16.0
_SAYS = {"pitch": "stick back", "roll": "stick right", "yaw": "rudder right"}
_ROOM = 1.08


def steps_chart(found: Steps) -> Chart:
    """Pitch rate and load factor after stick back, roll rate and bank after stick or rudder to the right."""
    shown = [(found.pitch, "load factor")]
    if found.roll is not None:
        shown.append((found.roll, "bank, degrees"))
    count = 2 * len(shown)
    wide = (WIDTH_MM - LEFT - RIGHT - (count - 1) * _GAP) / count
    items: list[Item] = []
    for k, (step, label) in enumerate(shown):
        for m, (values, words) in enumerate(((step.rate, "degrees a second"), (step.answer, label))):
            left = LEFT + (2 * k + m) * (wide + _GAP)
            items += _panel(left, wide, step, values, words)
    about = " ".join(_says(step) for step, _ in shown) + " Pale bands hold 90 in 100 cases."
    data: Json = {step.axis: _data(step) for step, _ in shown}
    return chart("steps", "After a step of the stick, in cruise", about, items, data)


def _panel(left: float, wide: float, step: Step, values: FloatArray, label: str) -> list[Item]:
    """One answer over time."""
    low, high = float(np.min(values)), float(np.max(values))
    x = axis(f"s after {_SAYS[step.axis]}", 0.0, float(step.time[-1]), 4, whole=False)
    y = axis(label, min(0.0, low), _ROOM * max(high, 1.0))
    frame = Frame(left, BELOW, wide, HEIGHT_MM - BELOW - HEAD, x, y)
    return [
        *between(frame, step.time, values[1], values[2], PALE),
        *axes(frame),
        *(level_line(frame, 0.0) if y.low < 0.0 else []),
        *curve(frame, step.time, values[0], FULL),
    ]


def _says(step: Step) -> str:
    """What a step comes to, in words."""
    rate, answer = float(np.max(np.abs(step.rate[0]))), float(step.answer[0, -1])
    share, end = f"{100.0 * step.share:.0f} % {_SAYS[step.axis]}", f"{step.time[-1]:g} s"
    if step.axis == "pitch":
        return f"{share}: up to {rate:.0f}° a second, load factor {answer:.1f} after {end}."
    return f"{share}: up to {rate:.0f}° a second, {answer:.0f}° of bank after {end}."


def _data(step: Step) -> Json:
    answer = "load_factor" if step.axis == "pitch" else "bank_deg"
    three = ("value", "low", "high")
    return {
        "share_pct": rounded(100.0 * step.share, 1),
        "time_s": numbers(step.time, 4),
        "rate_deg_s": {name: numbers(row, 2) for name, row in zip(three, step.rate, strict=True)},
        answer: {name: numbers(row, 3) for name, row in zip(three, step.answer, strict=True)},
    }
