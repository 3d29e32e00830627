"""All rules of the review, by number."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from foldwright.base.finding import Finding
from foldwright.review import (
    air_rules,
    balance_rules,
    bay_rules,
    geometry_rules,
    handling_air_rules,
    handling_rules,
    held_rules,
    installation,
    linkage_rules,
    reach_rules,
    room_rules,
    sheet_rules,
    tail_rules,
    trim_rules,
)
from foldwright.review.keys import battery_keys, elevon_keys, margin_keys
from foldwright.review.subject import CureKey, Rule, Subject

RULES: tuple[Rule, ...] = (
    *geometry_rules.RULES,
    *room_rules.RULES,
    *held_rules.RULES,
    *installation.RULES,
    *bay_rules.RULES,
    *balance_rules.RULES,
    *reach_rules.RULES,
    *handling_rules.RULES,
    *trim_rules.RULES,
    *linkage_rules.RULES,
    *tail_rules.RULES,
    *air_rules.RULES,
    *handling_air_rules.RULES,
    *sheet_rules.RULES,
)


# Findings that the flight itself or a fitting gives, not a rule, and the keys that could cure them.
FLIGHT_CURES: Mapping[str, Callable[[Subject], tuple[CureKey, ...]]] = {
    "B01": battery_keys,
    "B02": margin_keys,
    "T02": elevon_keys,
    **linkage_rules.CURES,
}


def review(subject: Subject) -> tuple[Finding, ...]:
    """Findings of every rule, clear ones too, in the order of the rules."""
    return tuple(finding for rule in RULES for finding in rule.judge(subject))


def cure_keys(code: str, subject: Subject) -> tuple[CureKey, ...]:
    """Keys that could cure a finding of that code, in the order to be tried; none for an unknown code."""
    if code in FLIGHT_CURES:
        return FLIGHT_CURES[code](subject)
    return tuple(key for rule in RULES if rule.code == code for key in rule.cures(subject))
