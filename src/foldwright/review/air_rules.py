"""Rules T30-T39: does the drive carry it, does it fly at the speeds wanted, does it behave, does it leave the
hand.
"""

from __future__ import annotations

from math import isnan, log, pi

from foldwright.base.finding import Finding, Verdict
from foldwright.flight.modes import (
    DUTCH_LEAST,
    DUTCH_SLOW,
    GROWS_DOUBLE_S,
    PHUGOID_LEAST,
    ROLL_MOST_S,
    SHORT_PERIOD,
    SPIRAL_DOUBLE_S,
    Swing,
    halving,
)
from foldwright.flight.propellers import OVER_CONTROLLER
from foldwright.review.keys import thrust_keys
from foldwright.review.subject import JUDGED, PRACTICE, CureKey, Rule, Subject, judged

LAUNCH_OVER, CRUISE_OVER = 1.1, 1.3
"""[judgement] launch and cruise speed over the stall speed, at least."""
LEAST_CLIMB_DEG = 5.0
"""[judgement] steady climb at launch speed and full throttle, at least."""
GOOD_LEAST = 0.15
"""[judgement] share of throws that climb away unaided when everything that is not known is left open."""
GUIDED = 0.1
"""[judgement] share by which a damping may fall short of a limit that is meant for full-size aeroplanes."""
GUIDANCE = "MIL-F-8785C class I, times scaled by the root of the span: guidance"


def drive_turns(subject: Subject) -> tuple[Finding, ...]:
    """T30: the motor turns the propeller, and level flight at cruise is within the drive."""
    flown, speed = subject.flown.envelope, subject.design.targets.cruise_speed_m_s
    top, throttle = flown.top.value, flown.cruise_throttle.value
    short = isnan(throttle) and not isnan(flown.stall.value) and flown.stall.value < speed
    where = "targets.cruise_speed_m_s" if not isnan(top) else subject.names("propeller")
    verdict: Verdict = "no-go" if isnan(top) else ("watch" if short else "clear")
    return judged(
        "T30", verdict, where, 0.0 if isnan(top) else top, speed, "m/s", flown.top.basis,
        top="none" if isnan(top) else f"{top:.1f} m/s", speed=speed,
        throttle="not reached" if isnan(throttle) else f"{100.0 * throttle:.0f} % throttle",
    )  # fmt: skip


def speeds(subject: Subject) -> tuple[Finding, ...]:
    """T31: launch and cruise lie far enough above the stall."""
    stall, targets = subject.flown.envelope.stall, subject.design.targets
    found: tuple[Finding, ...] = ()
    for key, speed, least in (
        ("launch_speed_m_s", targets.launch_speed_m_s, LAUNCH_OVER),
        ("cruise_speed_m_s", targets.cruise_speed_m_s, CRUISE_OVER),
    ):
        ratio = speed / stall.value
        verdict: Verdict = "clear" if ratio >= least else ("watch" if ratio > 1.0 else "no-go")
        found += judged(
            "T31", verdict, f"targets.{key}", ratio, least, "", JUDGED, ratio=round(ratio, 2), least=least,
            speed=speed, stall=round(stall.value, 1), low=round(stall.low, 1), high=round(stall.high, 1),
            wanted=round(least * stall.value, 1), what=key.split("_")[0],
        )  # fmt: skip
    return found


def motor_current(subject: Subject) -> tuple[Finding, ...]:
    """T32: the motor takes the current of full throttle at rest."""
    drive, current = subject.flown.envelope.drive, subject.flown.envelope.static.current
    each, limit = current.value / drive.count, drive.motor_limit
    return judged(
        "T32", "clear" if each <= limit else "watch", subject.names("motor"), each, limit, "A",
        subject.fitted.motor.source, current=round(each, 1), most=limit,
        high=round(current.high / drive.count, 1),
    )  # fmt: skip


def controller_current(subject: Subject) -> tuple[Finding, ...]:
    """T33: the controller is taken for a quarter more than that."""
    drive, current = subject.flown.envelope.drive, subject.flown.envelope.static.current
    if drive.controller_limit is None:
        return ()
    wanted = OVER_CONTROLLER * current.value / drive.count
    verdict: Verdict = "clear" if wanted <= drive.controller_limit else "watch"
    if current.value / drive.count > drive.controller_limit:
        verdict = "no-go"
    return judged(
        "T33", verdict, "equipment", drive.controller_limit, wanted, "A", PRACTICE,
        current=round(current.value / drive.count, 1), takes=drive.controller_limit, wanted=round(wanted, 1),
    )  # fmt: skip


def climb(subject: Subject) -> tuple[Finding, ...]:
    """T34: full throttle at launch speed leaves a climb."""
    angle = subject.flown.power.climb_angle
    if isnan(angle.value):
        return ()
    verdict: Verdict = (
        "clear" if angle.value >= LEAST_CLIMB_DEG else ("watch" if angle.value > 0.0 else "no-go")
    )
    return judged(
        "T34", verdict, "targets.launch_speed_m_s", angle.value, LEAST_CLIMB_DEG, "°", JUDGED,
        angle=round(angle.value, 1), low=round(angle.low, 1), high=round(angle.high, 1),
        rate=round(subject.flown.power.climb.value, 1),
    )  # fmt: skip


def throw(subject: Subject) -> tuple[Finding, ...]:
    """T35: some throttle and trim carry it away from the hand."""
    found = subject.flown.throw
    if found is None:
        return ()
    none = found.throttle is None or found.trim is None
    verdict: Verdict = "watch" if none or found.good < GOOD_LEAST else "clear"
    return judged(
        "T35", verdict, "targets.launch_speed_m_s", found.good, GOOD_LEAST, "", JUDGED,
        share=round(100.0 * found.good),
        how="No throttle and trim that were tried climb away"
        if none
        else f"{100.0 * (found.throttle or 0.0):.0f} % throttle, {_edge(found.trim or 0.0)}, climbs away",
    )  # fmt: skip


def _edge(up: float) -> str:
    return f"{abs(up):.1f} mm {'up' if up >= 0.0 else 'down'}"


def _pitching(
    subject: Subject, code: str, where: str, swing: Swing, limits: tuple[float, float], **facts: float
) -> tuple[Finding, ...]:
    """A mode of the pitching motion: its damping, or without a swing how soon it doubles."""
    value, growth = swing.damping.value, swing.growth.value
    if isnan(growth):
        return ()
    if isnan(value):
        least, doubles = GROWS_DOUBLE_S * subject.flown.modes.scale, -halving(growth)
        soon = growth > 0.0 and doubles < least
        says = f"{'doubles' if growth > 0.0 else 'halves'} in {abs(doubles):.2g} s without a swing"
        return judged(
            code, "watch" if soon else "clear", where, growth, log(2.0) / least, "1/s", GUIDANCE, moves=says,
            got=says, **facts,
        )  # fmt: skip
    low, high = limits[0] * (1.0 - GUIDED), limits[1]
    got, period = f"damping {value:.2f}", swing.period.value
    return judged(
        code, "clear" if low <= value <= high else "watch", where, value, high if value > high else low, "",
        GUIDANCE, moves=f"swings at {period:.{2 if period < 3.0 else 1}f} s with {got}", got=got, **facts,
    )  # fmt: skip


def short_period(subject: Subject) -> tuple[Finding, ...]:
    """T36: pitching after a gust dies away, and is not sluggish."""
    return _pitching(
        subject, "T36", "targets.static_margin_pct", subject.flown.modes.short_period, SHORT_PERIOD,
        low=SHORT_PERIOD[0], high=SHORT_PERIOD[1],
    )  # fmt: skip


def phugoid(subject: Subject) -> tuple[Finding, ...]:
    """T37: the slow swing of speed and height dies away."""
    return _pitching(
        subject, "T37", "targets.cruise_speed_m_s", subject.flown.modes.phugoid, (PHUGOID_LEAST, 1e6),
        least=PHUGOID_LEAST,
    )  # fmt: skip


def dutch_roll(subject: Subject) -> tuple[Finding, ...]:
    """T38: wagging and rolling dies away, and is not sluggish."""
    swing, scale = subject.flown.modes.dutch_roll, subject.flown.modes.scale
    value, period = swing.damping.value, swing.period.value
    if isnan(value):
        return ()
    least, slowest = DUTCH_LEAST * (1.0 - GUIDED), 2.0 * pi * scale / DUTCH_SLOW
    weak = value < least
    verdict: Verdict = "watch" if weak or period > slowest else "clear"
    pair = (value, least, "") if weak or period <= slowest else (period, slowest, "s")
    return judged(
        "T38", verdict, "part", *pair, GUIDANCE, period=round(period, 2), damping=round(value, 2),
        least=DUTCH_LEAST, slowest=round(slowest, 1),
    )  # fmt: skip


def roll_and_spiral(subject: Subject) -> tuple[Finding, ...]:
    """T39: roll answers at once; a spiral leaves time to correct it."""
    modes = subject.flown.modes
    roll, spiral = modes.roll.value, modes.spiral.value
    if isnan(roll) or isnan(spiral):
        return ()
    slow, double = ROLL_MOST_S * modes.scale, SPIRAL_DOUBLE_S * modes.scale
    verdict: Verdict = "watch" if roll > slow or spiral > log(2.0) / double else "clear"
    says = f"{'doubles' if spiral > 0.0 else 'halves'} in {abs(halving(spiral)):.1f} s"
    return judged(
        "T39", verdict, "part", roll, slow, "s", GUIDANCE, roll=round(roll, 2), slow=round(slow, 2),
        spiral=says, double=round(double, 1),
    )  # fmt: skip


def _cruise_keys(subject: Subject) -> tuple[CureKey, ...]:
    speed = subject.design.targets.cruise_speed_m_s
    return (CureKey("targets.cruise_speed_m_s", max(3.0, speed - 6.0), speed + 6.0, 0.5, "m/s"),)


def _launch_keys(subject: Subject) -> tuple[CureKey, ...]:
    speed = subject.design.targets.launch_speed_m_s
    return (CureKey("targets.launch_speed_m_s", speed, speed + 6.0, 0.5, "m/s"),)


RULES = (
    Rule("T30", drive_turns, _cruise_keys),
    Rule("T31", speeds, lambda s: (*_launch_keys(s), *_cruise_keys(s))),
    Rule("T32", motor_current),
    Rule("T33", controller_current),
    Rule("T34", climb, _launch_keys),
    Rule("T35", throw, lambda s: (*_launch_keys(s), *thrust_keys(s))),
    Rule("T36", short_period),
    Rule("T37", phugoid),
    Rule("T38", dutch_roll),
    Rule("T39", roll_and_spiral),
)
