"""Rules B19, B22-B29: carried to the field, held for the throw, set on legs, seen in the air, two motors."""

from __future__ import annotations

from itertools import chain

import numpy as np

from foldwright.base.finding import Finding, Verdict
from foldwright.design.equipment import Leg
from foldwright.review.extents import under
from foldwright.review.subject import JUDGED, PRACTICE, CureKey, Rule, Subject, held, judged
from foldwright.review.transport import transport

UNDER_MM = 3.0
"""[judgement] how far a leg's place may be off the board that it is fixed to."""
ASIDE_MM = 2.0
"""[judgement] a single thrust line off the middle by more turns the aeroplane with power."""
DISCS_MM = 10.0
"""Gap between two propellers, as between propeller and foam; common practice, no source."""
_AWAY_MM = 1.0


def transport_size(subject: Subject) -> tuple[Finding, ...]:
    """B19: every piece goes into the transport box, where the design names one."""
    box = subject.design.targets.transport_mm
    if box is None:
        return ()
    room = sorted(box, reverse=True)
    found = transport(subject.airframe)
    over = {
        piece.parts: max(
            side - have for side, have in zip(sorted(piece.size, reverse=True), room, strict=True)
        )
        for piece in found.parts
    }
    worst = max(found.parts, key=lambda piece: over[piece.parts])
    size = " x ".join(f"{side:.0f}" for side in sorted(worst.size, reverse=True))
    return judged(
        "B19", "clear" if over[worst.parts] <= 0.0 else "watch", "targets.transport_mm",
        over[worst.parts], 0.0, "mm", "the design's own box",
        parts=" with ".join(worst.parts), size=size, box=" x ".join(f"{side:.0f}" for side in room),
        over=round(max(over[worst.parts], 0.0)), pieces=len(found.parts),
        whole=" x ".join(f"{side:.0f}" for side in sorted(found.whole, reverse=True)),
    )  # fmt: skip


def grip_balance(subject: Subject) -> tuple[Finding, ...]:
    """B22: the hand holds it near the balance point."""
    grip = subject.design.grip
    if grip is None:
        return ()
    ahead = float(subject.balance.cg[0]) - grip.x_mm
    side = "ahead of" if ahead >= 0.0 else "behind"
    return held(subject, "B22", "grip_mm", "grip.x_mm", ahead, size=round(abs(ahead)), side=side)


def grip_on_body(subject: Subject) -> tuple[Finding, ...]:
    """B23: there is a body under the whole hand."""
    grip = subject.design.grip
    if grip is None:
        return ()
    low, high = grip.x_mm - grip.width_mm / 2.0, grip.x_mm + grip.width_mm / 2.0
    reaches = [(float(body.x[0]), float(body.x[-1])) for body in subject.airframe.bodies]
    off = min((max(start - low, high - end, 0.0) for start, end in reaches), default=grip.width_mm)
    return judged(
        "B23", "clear" if off <= _AWAY_MM else "watch", "grip.x_mm", off, _AWAY_MM, "mm", JUDGED,
        off=round(off), low=round(low), high=round(high),
    )  # fmt: skip


def leg_places(leg: Leg) -> tuple[tuple[float, float], ...]:
    """(x, y) of a leg, right before left where it is mirrored, mm."""
    return tuple((leg.x_mm, sign * leg.y_mm) for sign in ((1.0, -1.0) if leg.mirrored else (1.0,)))


def legs_under_board(subject: Subject) -> tuple[Finding, ...]:
    """B24: every leg is fixed under board."""
    found: list[Finding] = []
    for leg in subject.design.leg:
        away = 0.0
        for x, y in leg_places(leg):
            met = under(subject.airframe, x, y)
            away = max(away, abs(met[1] - leg.z_mm) if met is not None else leg.long_mm)
        ok = away <= UNDER_MM
        found += judged(
            "B24", "clear" if ok else "watch", f"leg.{leg.id}.z_mm", away, UNDER_MM, "mm", JUDGED,
            leg=leg.id, away=round(away, 1), limit_mm=UNDER_MM,
        )  # fmt: skip
    return tuple(found)


def _main_legs(subject: Subject) -> list[Leg]:
    return [leg for leg in subject.design.leg if leg.mirrored or abs(leg.y_mm) > _AWAY_MM]


def _nose_leg(subject: Subject, x: float) -> bool:
    return any(leg.x_mm < x and leg not in _main_legs(subject) for leg in subject.design.leg)


def legs_and_balance(subject: Subject) -> tuple[Finding, ...]:
    """B25: main legs ahead of the balance point; behind it where a nose leg carries the front."""
    legs = _main_legs(subject)
    if not legs:
        return ()
    leg, cg = legs[0], float(subject.balance.cg[0])
    nose = _nose_leg(subject, leg.x_mm)
    value = leg.x_mm - cg if nose else cg - leg.x_mm
    side = "behind" if leg.x_mm > cg else "ahead of"
    return held(
        subject, "B25", "legs_behind_mm" if nose else "legs_ahead_mm", f"leg.{leg.id}.x_mm", value,
        leg=leg.id, size=round(abs(leg.x_mm - cg), 1), side=side,
        should="behind it, a nose leg being there" if nose else "ahead of it, no nose leg being there",
    )  # fmt: skip


def ground_clearance(subject: Subject) -> tuple[Finding, ...]:
    """B26: the propeller's tips clear the ground with the aeroplane level on its main legs."""
    legs = _main_legs(subject) or list(subject.design.leg)
    if not legs:
        return ()
    line = subject.airframe.thrust
    ground = min(leg.z_mm - leg.long_mm for leg in legs)
    value = line.z - line.disc_diameter_mm / 2.0 - ground
    leg = min(legs, key=lambda leg: (leg.z_mm - leg.long_mm, leg.id))
    return held(subject, "B26", "ground_mm", f"leg.{leg.id}.long_mm", value, gap=round(value, 1))


def told_apart(subject: Subject) -> tuple[Finding, ...]:
    """B27: top and underside differ enough to be told apart far away, where the design says what they are."""
    tell = subject.design.tell
    if tell is None:
        return ()
    value = abs(tell.top_light_pct - tell.under_light_pct)
    return held(
        subject, "B27", "tell_pct", "tell.under_light_pct", value, apart=round(value),
        top=tell.top, under=tell.under,
    )  # fmt: skip


def thrust_aside(subject: Subject) -> tuple[Finding, ...]:
    """B28: a single thrust line lies in the middle; two are mirrored and balance each other."""
    line = subject.airframe.thrust
    off = 0.0 if line.mirrored else abs(line.y)
    return judged(
        "B28", "clear" if off <= ASIDE_MM else "watch", "motor.y_mm", off, ASIDE_MM, "mm", JUDGED,
        off=round(off, 1), side="right" if line.y > 0.0 else "left", limit_mm=ASIDE_MM,
    )  # fmt: skip


def discs_apart(subject: Subject) -> tuple[Finding, ...]:
    """B29: two propellers do not meet."""
    line = subject.airframe.thrust
    if not line.mirrored:
        return ()
    gap = 2.0 * abs(line.y) - line.disc_diameter_mm
    verdict: Verdict = "clear" if gap >= DISCS_MM else ("watch" if gap > 0.0 else "no-go")
    return judged(
        "B29", verdict, "motor.y_mm", gap, DISCS_MM, "mm", PRACTICE, gap=round(gap, 1), good=DISCS_MM
    )


def _grip_keys(subject: Subject) -> tuple[CureKey, ...]:
    grip = subject.design.grip
    if grip is None:
        return ()
    return (
        CureKey("grip.x_mm", grip.x_mm - 150.0, grip.x_mm + 150.0, 1.0),
        CureKey("grip.width_mm", 60.0, grip.width_mm, 1.0),
    )


def _leg_keys(subject: Subject, *names: str) -> tuple[CureKey, ...]:
    """Keys of every leg, one step of what a builder can hold."""
    reach = {"x_mm": 120.0, "y_mm": 60.0, "z_mm": 60.0, "long_mm": 120.0}
    pairs = chain.from_iterable(((leg, name) for leg in subject.design.leg) for name in names)
    keys = []
    for leg, name in pairs:
        value = float(getattr(leg, name))
        least = 5.0 if name == "long_mm" else value - reach[name]
        keys.append(CureKey(f"leg.{leg.id}.{name}", least, value + reach[name], 1.0))
    return tuple(keys)


def _motor_keys(subject: Subject) -> tuple[CureKey, ...]:
    y = subject.design.motor.y_mm
    far = float(np.copysign(abs(y) + subject.airframe.thrust.disc_diameter_mm, y))
    return (CureKey("motor.y_mm", 0.0 if not subject.design.motor.mirrored else y, far, 1.0),)


RULES = (
    Rule("B19", transport_size),
    Rule("B22", grip_balance, _grip_keys),
    Rule("B23", grip_on_body, _grip_keys),
    Rule("B24", legs_under_board, lambda s: _leg_keys(s, "z_mm", "x_mm", "y_mm")),
    Rule("B25", legs_and_balance, lambda s: _leg_keys(s, "x_mm")),
    Rule("B26", ground_clearance, lambda s: _leg_keys(s, "long_mm")),
    Rule("B27", told_apart, lambda _s: (CureKey("tell.under_light_pct", 0.0, 100.0, 1.0, "%"),)),
    Rule("B28", thrust_aside, _motor_keys),
    Rule("B29", discs_apart, _motor_keys),
)
