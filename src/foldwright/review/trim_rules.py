"""Rules T10-T18: does it trim, what does power do, is it stable."""

from __future__ import annotations

from math import radians

import numpy as np

from foldwright.base.finding import Finding, Verdict
from foldwright.physics.atmosphere import STANDARD_GRAVITY
from foldwright.review.keys import (
    balance_keys,
    control_base,
    elevon_keys,
    margin_keys,
    part_of,
    pitch_control,
    place_keys,
    size_keys,
    thrust_keys,
    travel_keys,
)
from foldwright.review.subject import JUDGED, CureKey, Rule, Subject, held, judged

STALLED_WATCH, STALLED_NO_GO = 0.10, 0.50
"""[judgement] share of the samples that may have no launch trim."""


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
    launch, found, wanted = subject.trims.launch, pitch_control(subject), subject.usual("trim_of_travel")
    if not launch.below_stall or found is None or wanted is None:
        return ()
    surface, control = found
    up = launch.delta.value < 0.0
    turn, travel = abs(radians(launch.delta.value)), control.up if up else control.down
    share = turn / travel
    base = control_base(surface, control, part_of(subject, surface))
    return judged(
        "T11",
        "clear" if share <= wanted.high else "watch",
        f"{base}.{'up' if up else 'down'}_deg",
        share,
        wanted.high,
        "",
        wanted.source,
        share=round(100.0 * share),
        turn=round(abs(launch.delta.value), 1),
        travel=round(float(np.degrees(travel)), 1),
        most=round(100.0 * wanted.high),
    )


def _edge(value: float) -> dict[str, float | str]:
    """Size and side of a trailing edge's travel in words; value: mm up."""
    size = round(abs(value), 1)
    return {"size": size, "side": "up" if value >= 0.0 or size == 0.0 else "down"}


def launch_trim(subject: Subject) -> tuple[Finding, ...]:
    """T12: launch trim of the size that such aeroplanes want."""
    launch = subject.trims.launch
    if not launch.below_stall:
        return ()
    value = launch.up.value
    return held(
        subject, "T12", "launch_trim_mm", "targets.launch_speed_m_s", value, **_edge(value),
        band_low=round(launch.up.low, 1), band_high=round(launch.up.high, 1),
    )  # fmt: skip


def cruise_trim(subject: Subject) -> tuple[Finding, ...]:
    """T13: cruise trim keeps to its side; below the stall T10 speaks, launch being no faster."""
    cruise = subject.trims.cruise
    if not cruise.below_stall:
        return ()
    value = cruise.up.value
    return held(subject, "T13", "cruise_trim_mm", "targets.cruise_speed_m_s", value, **_edge(value))


def power(subject: Subject) -> tuple[Finding, ...]:
    """T14: power pitches the nose no more than the pilot expects, and to the side that is usual."""
    line, edge = subject.thrust, subject.thrust.edge_launch
    size = abs(edge.value)
    pitch = {"up": size, "down": -size, "neither": edge.value}[line.direction]
    return held(
        subject, "T14", "power_edge_mm", "motor.tilt_deg", pitch,
        says=line.says, tilt=line.tilt_says, edge=round(size, 1), up="up" if edge.value >= 0 else "down",
        band_low=round(edge.low, 1), band_high=round(edge.high, 1),
    )  # fmt: skip


def elevon_chord(subject: Subject) -> tuple[Finding, ...]:
    """T15: chord of a pitch control on the wing, in the usual range; tails have T23."""
    found = pitch_control(subject)
    if found is None or not found[0].main or found[1].all_moving:
        return ()
    surface, control = found
    value = 100.0 * (1.0 - sum(control.hinge) / 2.0)
    where = f"{control_base(surface, control, part_of(subject, surface))}.chord_mm"
    return held(subject, "T15", "control_chord_pct", where, value, pct=round(value, 1), kind=control.kind)


def thrust_to_weight(subject: Subject) -> tuple[Finding, ...]:
    """T16: static thrust of all motors to weight."""
    thrust = subject.airframe.thrust.total_n
    if thrust is None:
        return ()
    value = thrust / (subject.balance.mass.value * 1e-3 * STANDARD_GRAVITY)
    return held(
        subject, "T16", "thrust_to_weight", subject.names("motor"), value,
        ratio=round(value, 2), thrust=round(thrust, 1),
    )  # fmt: skip


def directional(subject: Subject) -> tuple[Finding, ...]:
    """T17: the fins turn it into the wind, the body counted; turning away from it is a no-go."""
    value, wanted = weathercock(subject), subject.usual("cn_beta")
    least = 0.0 if wanted is None else wanted.low
    verdict: Verdict = "clear" if value >= least else ("watch" if value > 0.0 else "no-go")
    return judged(
        "T17", verdict, "part", value, least, "1/rad", JUDGED if wanted is None else wanted.source,
        slope=round(value, 3), least=least,
    )  # fmt: skip


def weathercock(subject: Subject) -> float:
    """C_n,beta [1/rad] about the axis square to the stream at cruise trim, C_n cos α - C_l sin α.

    About the design's own z axis it would change with the line that the designer calls level: a wing that
    flies nose-up leans its dihedral effect into the yaw (first principles: a turn of the axes).
    """
    alpha = float(np.nan_to_num(subject.trims.cruise.state.alpha[0]))
    return float(subject.slopes["Cn_beta"] * np.cos(alpha) - subject.slopes["Cl_beta"] * np.sin(alpha))


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
    """Size and place of everything that stands upright or leans, in the order of the file."""
    keys: list[CureKey] = []
    for surface in subject.airframe.surfaces:
        part = part_of(subject, surface)
        if not surface.main and (surface.upright or surface.role in ("fin", "v_tail")) and part is not None:
            keys += [*size_keys(part, surface.id), *place_keys(part, surface.id)]
    return tuple(dict.fromkeys(keys))


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
