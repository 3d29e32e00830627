"""Rules T10-T19: does it trim, what does power do, is it stable."""

from __future__ import annotations

from math import radians

import numpy as np

from foldwright.base.finding import Finding, Verdict
from foldwright.physics.atmosphere import STANDARD_GRAVITY
from foldwright.review.keys import balance_keys, elevon_keys, margin_keys, thrust_keys, travel_keys
from foldwright.review.subject import PRACTICE, CureKey, Rule, Subject, judged

STALLED_WATCH, STALLED_NO_GO = 0.10, 0.50
"""[judgement] share of the samples that may have no launch trim."""
TRAVEL_SHARE = 0.60
"""[judgement] launch trim over travel: the linkage holds both, and a control set far up steers poorly."""
LAUNCH_TRIM_MM = (3.0, 8.0)
"""Trailing edge up at launch for a plank of this size; common practice, no source."""
CRUISE_LEAST_MM = -0.5
"""[judgement] a trailing edge trimmed down at cruise means it is balanced too far aft."""
ELEVON_PCT = (15.0, 30.0)
"""Elevon chord, % of the wing's; common practice, no source."""
THRUST_TO_WEIGHT = (0.6, 1.3)
"""Static thrust to weight of hand-launched pushers 0.8-1.3, low end with room; common practice, no source."""
POWER_EDGE_MM = 8.0
"""[judgement] power that acts like more up elevon than launch trim itself surprises the pilot."""
CN_BETA_LEAST = 0.015
"""[judgement] directional stability per rad below which a tailless aeroplane wanders."""


def launch_exists(subject: Subject) -> tuple[Finding, ...]:
    """T10: a launch trim exists below the stall."""
    launch = subject.trims.launch
    share = launch.stalled
    verdict: Verdict = "clear" if share <= STALLED_WATCH else ("watch" if share <= STALLED_NO_GO else "no-go")
    if not launch.below_stall:
        verdict = "no-go"
    return judged(
        "T10",
        verdict,
        "targets.launch_speed_m_s",
        share,
        STALLED_WATCH,
        "",
        "[judgement]",
        share=round(100.0 * share),
        speed=launch.condition.speed,
        lift=round(launch.lift.value, 2),
        most=round(launch.lift.value + launch.reserve.value, 2),
    )


def launch_travel(subject: Subject) -> tuple[Finding, ...]:
    """T11: launch trim is moderate against the control's travel, which counts from the built-in neutral."""
    launch, control = subject.trims.launch, subject.lift.controls[0]
    if not launch.below_stall:
        return ()
    turn = abs(radians(launch.delta.value))
    travel = control.up if launch.delta.value < 0 else control.down
    share = turn / travel
    verdict: Verdict = "clear" if share <= TRAVEL_SHARE else "watch"
    return judged(
        "T11",
        verdict,
        f"{subject.wing_part.id}.control.{control.id}.up_deg",
        share,
        TRAVEL_SHARE,
        "",
        "[judgement]",
        share=round(100.0 * share),
        turn=round(abs(launch.delta.value), 1),
        travel=round(float(np.degrees(travel)), 1),
        most=round(100.0 * TRAVEL_SHARE),
    )


def launch_trim(subject: Subject) -> tuple[Finding, ...]:
    """T12: launch trim of the size that such aeroplanes want."""
    launch = subject.trims.launch
    if not launch.below_stall:
        return ()
    low, high = LAUNCH_TRIM_MM
    value = launch.up.value
    verdict: Verdict = "clear" if low <= value <= high else "watch"
    return judged(
        "T12",
        verdict,
        "targets.launch_speed_m_s",
        value,
        low if value < low else high,
        "mm",
        PRACTICE,
        up=round(value, 1),
        low=low,
        high=high,
        band_low=round(launch.up.low, 1),
        band_high=round(launch.up.high, 1),
    )


def cruise_trim(subject: Subject) -> tuple[Finding, ...]:
    """T13: cruise trim is not trailing edge down; below the stall T10 speaks, launch being no faster."""
    cruise = subject.trims.cruise
    if not cruise.below_stall:
        return ()
    value = cruise.up.value
    return judged(
        "T13",
        "clear" if value >= CRUISE_LEAST_MM else "watch",
        "targets.cruise_speed_m_s",
        value,
        CRUISE_LEAST_MM,
        "mm",
        "[judgement]",
        up=round(value, 1),
        limit_mm=CRUISE_LEAST_MM,
    )


def power(subject: Subject) -> tuple[Finding, ...]:
    """T14: power pitches the nose up a little, or not at all."""
    line = subject.thrust
    edge = line.edge_launch.value
    verdict: Verdict = "watch" if line.direction == "down" or edge > POWER_EDGE_MM else "clear"
    return judged(
        "T14",
        verdict,
        "motor.tilt_deg",
        edge,
        POWER_EDGE_MM,
        "mm",
        PRACTICE,
        says=line.says,
        tilt=line.tilt_says,
        edge=round(abs(edge), 1),
        up="up" if edge >= 0 else "down",
        band_low=round(line.edge_launch.low, 1),
        band_high=round(line.edge_launch.high, 1),
    )


def elevon_chord(subject: Subject) -> tuple[Finding, ...]:
    """T15: elevon chord in the usual range."""
    wing, control = subject.wing_part, subject.lift.controls[0]
    value = 100.0 * control.chord / subject.lift.mean.chord
    low, high = ELEVON_PCT
    return judged(
        "T15",
        "clear" if low <= value <= high else "watch",
        f"{wing.id}.control.{control.id}.chord_mm",
        value,
        low if value < low else high,
        "% chord",
        PRACTICE,
        pct=round(value, 1),
        low=low,
        high=high,
    )


def thrust_to_weight(subject: Subject) -> tuple[Finding, ...]:
    """T16: static thrust to weight."""
    thrust = subject.airframe.thrust.static_n
    if thrust is None:
        return ()
    value = thrust / (subject.balance.mass.value * 1e-3 * STANDARD_GRAVITY)
    low, high = THRUST_TO_WEIGHT
    return judged(
        "T16",
        "clear" if low <= value <= high else "watch",
        subject.names("motor"),
        value,
        low if value < low else high,
        "",
        PRACTICE,
        ratio=round(value, 2),
        low=low,
        high=high,
        thrust=round(thrust, 1),
    )


def directional(subject: Subject) -> tuple[Finding, ...]:
    """T17: the fins turn it into the wind, the body counted."""
    value = subject.slopes["Cn_beta"]
    verdict: Verdict = "clear" if value >= CN_BETA_LEAST else ("watch" if value > 0.0 else "no-go")
    return judged(
        "T17",
        verdict,
        "part",
        value,
        CN_BETA_LEAST,
        "1/rad",
        "[judgement]",
        slope=round(value, 3),
        least=CN_BETA_LEAST,
    )


def roll_with_slip(subject: Subject) -> tuple[Finding, ...]:
    """T18: a sideslip does not roll it into the slip."""
    value = subject.slopes["Cl_beta"]
    return judged(
        "T18",
        "clear" if value <= 0.0 else "watch",
        "part",
        value,
        0.0,
        "1/rad",
        "stability in roll",
        slope=round(value, 3),
    )


def _speed_keys(subject: Subject) -> tuple[CureKey, ...]:
    speed = subject.design.targets.launch_speed_m_s
    return (CureKey("targets.launch_speed_m_s", speed, speed + 6.0, 0.5, "m/s"),)


def _fin_keys(subject: Subject) -> tuple[CureKey, ...]:
    keys = []
    for part in subject.design.part:
        if part.kind == "plate" and part.taper is not None:
            keys.append(
                CureKey(f"{part.id}.taper.height_mm", part.taper.height_mm, part.taper.height_mm * 2.0, 5.0)
            )
            keys.append(
                CureKey(f"{part.id}.taper.root_mm", part.taper.root_mm, part.taper.root_mm * 1.5, 5.0)
            )
    return tuple(keys)


RULES = (
    Rule("T10", launch_exists, _speed_keys),
    Rule("T11", launch_travel, lambda s: (*travel_keys(s), *elevon_keys(s), *margin_keys(s))),
    Rule("T12", launch_trim, lambda s: (*margin_keys(s), *elevon_keys(s), *_speed_keys(s), *balance_keys(s))),
    Rule("T13", cruise_trim, lambda s: (*margin_keys(s), *balance_keys(s))),
    Rule("T14", power, thrust_keys),
    Rule("T15", elevon_chord, lambda s: elevon_keys(s)[:1]),
    Rule("T16", thrust_to_weight),
    Rule("T17", directional, _fin_keys),
    Rule("T18", roll_with_slip, _fin_keys),
)
