"""Figures, bands and travel of the card in words."""

from __future__ import annotations

from typing import Any

Json = dict[str, Any]

NONE_FOUND = "no trim found"


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
