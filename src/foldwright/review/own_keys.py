"""Cures of findings that no rule gives: the number that the finding is about, and those beside it."""

from __future__ import annotations

from collections.abc import Mapping

from foldwright.base.finding import Finding
from foldwright.review.subject import CureKey

_BESIDE: Mapping[str, tuple[str, ...]] = {
    "G20": ("spar.x_mm",),
    "G23": ("strip.aft_mm",),
    "G24": ("spar.x_mm",),
    "G25": ("spar.height_mm", "spar.x_mm"),
    "G29": ("strip.aft_mm",),
}
"""Keys of the same part that bear on a finding, by its code; the finding's own key comes first."""
_UNITS = {"mm": "mm", "deg": "deg", "g": "g", "pct": "%"}


def own_keys(finding: Finding, values: Mapping[str, float]) -> tuple[CureKey, ...]:
    """Keys that a geometry finding names, with bounds about their values.

    values: number of every key asked for by `names_of`; those that hold none are left out.
    """
    return tuple(_key(name, values[name]) for name in names_of(finding) if name in values)


def names_of(finding: Finding) -> tuple[str, ...]:
    """Key paths that bear on a finding: where it stands, and its neighbours."""
    part = finding.where.split(".")[0]
    beside = [f"{part}.{name}" for name in _BESIDE.get(finding.code, ())]
    return (finding.where, *beside) if "." in finding.where else tuple(beside)


def _key(name: str, value: float) -> CureKey:
    """Bounds as wide as the value itself, at least 30 steps of what a builder can hold."""
    unit = _UNITS.get(name.rsplit("_", 1)[-1], "")
    step = 1.0 if abs(value) >= 40.0 else 0.5
    reach = max(0.8 * abs(value), 30.0 * step)
    return CureKey(name, value - reach, value + reach, step, unit)
