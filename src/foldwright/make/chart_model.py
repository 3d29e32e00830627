"""What a chart is, and how its figures become data and words."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from foldwright.base.band import Band
from foldwright.base.types import FloatArray
from foldwright.design.model import Design
from foldwright.evaluate import Results
from foldwright.flight.lift import Samples
from foldwright.make.card_figures import rounded
from foldwright.make.chart_frame import TITLE, Axis, Frame
from foldwright.make.drawing import Drawing, Item, Text

Json = dict[str, Any]

WIDTH_MM, HEIGHT_MM = 184.0, 72.0
LEFT, RIGHT, BELOW, HEAD = 16.0, 4.0, 10.5, 13.5
"""Room about a chart's field: for figures, for the title and the names of upright lines."""
MOST_MISSING = 0.5
"""A band is drawn where at least this share of the samples has a value [judgement]."""


@dataclass(frozen=True, slots=True, eq=False)
class Source:
    """What charts are drawn from: one evaluation's results, its samples and its design."""

    results: Results
    samples: Samples
    design: Design


@dataclass(frozen=True, slots=True, eq=False)
class Chart:
    """One chart. name: of its file; about: what it shows in words; data: its figures, units in the keys."""

    name: str
    title: str
    about: str
    drawing: Drawing
    data: Json


def chart(name: str, title: str, about: str, items: Sequence[Item], data: Json) -> Chart:
    """A chart of the usual size under its title."""
    head = Text("letter", "", (2.0, HEIGHT_MM - TITLE - 1.0), TITLE, title)
    drawing = Drawing(title, WIDTH_MM, HEIGHT_MM, (head, *items), about)
    return Chart(name, title, about, drawing, data)


def field(x: Axis, y: Axis, left: float = LEFT, right: float = RIGHT) -> Frame:
    """The field of a chart that has one: left and right of it so much is kept free, mm."""
    size = (WIDTH_MM - left - right, HEIGHT_MM - BELOW - HEAD)
    return Frame(left, BELOW, *size, x, y)


@dataclass(frozen=True, slots=True, eq=False)
class Spread:
    """Centre, 5th and 95th percentile along a table's speeds, (k,) each; NaN where there is too little."""

    value: FloatArray
    low: FloatArray
    high: FloatArray

    def data(self, digits: int) -> Json:
        """As JSON."""
        return {name: numbers(getattr(self, name), digits) for name in ("value", "low", "high")}


def spread(values: FloatArray) -> Spread:
    """Of samples (k, n); the centre is column 0."""
    low, high = np.full(len(values), np.nan), np.full(len(values), np.nan)
    for k, row in enumerate(values):
        there = row[np.isfinite(row)]
        if there.size >= MOST_MISSING * row.size and there.size > 1:
            low[k], high[k] = np.percentile(there, (5.0, 95.0))
    return Spread(np.asarray(values[:, 0]), low, high)


def numbers(values: FloatArray | Sequence[float], digits: int) -> list[float | int | None]:
    """Rounded for JSON; null where there is none."""
    return [rounded(float(value), digits) for value in values]


def said(value: float, digits: int, unit: str) -> str:
    """A figure in words."""
    if not np.isfinite(value):
        return "none"
    return f"{round(float(value), digits) + 0.0:.{digits}f}{unit}"


def band_said(band: Band, digits: int, unit: str) -> str:
    """A band in words."""
    if not np.isfinite(band.value):
        return "none"
    return f"{said(band.value, digits, unit)} ({said(band.low, digits, '')} to {said(band.high, digits, '')})"


def greatest(values: FloatArray, least: float) -> float:
    """Greatest finite value, or `least`."""
    there = values[np.isfinite(values)]
    return max(least, float(there.max())) if there.size else least
