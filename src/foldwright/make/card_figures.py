"""Figures as they stand in the card's data: rounded once, null for what is no number."""

from __future__ import annotations

import math
from typing import Any

from foldwright.base.band import Band


def rounded(value: float | None, digits: int) -> float | int | None:
    """Rounded, whole numbers as such, no negative zero; null for what is no number."""
    if value is None or not math.isfinite(value):
        return None
    number = round(float(value), digits) + 0.0
    return int(number) if digits <= 0 else number


def band(value: Band, digits: int) -> dict[str, Any]:
    """A band's figures, rounded; null where they do not exist. missing_pct: samples without a value."""
    return {
        "value": rounded(value.value, digits),
        "low": rounded(value.low, digits),
        "high": rounded(value.high, digits),
        "missing_pct": rounded(100.0 * value.missing, 0),
        "basis": value.basis,
    }
