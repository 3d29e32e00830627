"""Rules T40-T47: does it answer the stick, are the servos strong enough, what of side wind and landing."""

from __future__ import annotations

from math import degrees, isnan

from foldwright.base.finding import Finding, Verdict
from foldwright.flight.controls import Axis, Rigged, answering
from foldwright.flight.handling import Mix, Rate
from foldwright.flight.landing import APPROACH
from foldwright.flight.rolling import BANK_DEG, USUAL_RATE, Roll
from foldwright.flight.servos import ServoLoad
from foldwright.flight.steps import SIDE_S
from foldwright.review.keys import control_base, part_of
from foldwright.review.subject import JUDGED, PRACTICE, CureKey, Rule, Subject, judged

MOST_ANSWER = 5.0
"""[judgement] full stick gives no more than this many times the answer wanted."""
SERVO_SHARE = 1.0 / 3.0
"""Share of a servo's stall torque that the air may take at top speed; common practice, no source."""
FLARE_M = 1.0
"""[judgement] height within which full up has ended the sinking: no more than can be judged by eye."""
SLANT = 0.7
"""Share of a wind from 45° off the nose that comes from the side: who throws across it can turn that far."""
STICKS: dict[Axis, str] = {"pitch": "stick back", "roll": "stick right", "yaw": "rudder right"}
_MOST_DEG = 30.0


def _base(subject: Subject, one: Rigged) -> str:
    return control_base(one.surface, one.control, part_of(subject, one.surface))


def _found(subject: Subject, surface: str, control: str) -> Rigged | None:
    """The control of those ids."""
    pairs = ((each.surface.id, each.control.id, each) for each in subject.lift.rigged)
    return next((each for on, name, each in pairs if (on, name) == (surface, control)), None)


def _where(subject: Subject, axis: Axis) -> str:
    """Key path of the first control of an axis."""
    found = answering(subject.lift.rigged, axis)
    return _base(subject, found[0]) if found else "part"


def roll(subject: Subject) -> tuple[Finding, ...]:
    """T40: full stick banks it as quickly as is wanted."""
    found = subject.flown.handling.roll
    if found is None:
        return judged(
            "T40", "watch", "part", 0.0, 1.0, "", JUDGED,
            says="Nothing banks it: it has neither ailerons nor rudder", time="never",
            wanted=round(USUAL_RATE["roll"]), within=f"{BANK_DEG / USUAL_RATE['roll']:.2f}",
            bank=round(BANK_DEG),
        )  # fmt: skip
    if isnan(found.cruise.value) and not subject.flown.handling.steps.told:
        return ()  # stalled in cruise: T31 says so
    share = found.share.value
    slow = isnan(share) or share > 1.0
    value = 0.0 if isnan(share) else 1.0 / share
    time = f"not within {SIDE_S:.0f} s" if isnan(found.bank.value) else f"in {found.bank.value:.2f} s"
    return judged(
        "T40", "watch" if slow else "clear", _where(subject, found.by), value, 1.0, "", found.share.basis,
        says=f"Full {STICKS[found.by]} banks {BANK_DEG:.0f}° {time}{_rates_of(found)}", time=time,
        bank=round(BANK_DEG), wanted=round(found.wanted), within=f"{BANK_DEG / found.wanted:.2f}",
    )  # fmt: skip


def _rates_of(found: Roll) -> str:
    """Rates of roll in words; a rudder has none of its own before the sideslip."""
    if found.by == "roll":
        return f"; it rolls at {found.cruise.value:.0f}°/s, and at {found.settled.value:.0f}°/s once it slips"
    return f"; once it slips it rolls at {found.settled.value:.0f}°/s"


def pull(subject: Subject) -> tuple[Finding, ...]:
    """T41: full stick back pulls as much as is wanted, or goes on to the stall."""
    found = subject.flown.handling.pitch
    share = found.share.value
    if isnan(share):
        return ()
    return judged(
        "T41", "watch" if share > 1.0 else "clear", _where(subject, "pitch"), found.load.value, found.wanted,
        "", found.load.basis, load=round(found.load.value, 1), low=round(found.load.low, 1),
        high=round(found.load.high, 1), wanted=round(found.wanted, 1), part=round(100.0 * share),
        top=round(found.top.value, 1),
    )  # fmt: skip


def slow_flight(subject: Subject) -> tuple[Finding, ...]:
    """T42: full up holds the approach without power."""
    slow, stall = subject.flown.handling.pitch.slow, float(subject.lift.cl_max[0])
    if isnan(slow.lift_glide.value):
        return ()
    held, wanted = slow.lift_glide.value, stall / APPROACH**2
    return judged(
        "T42", "clear" if held >= wanted else "watch", _where(subject, "pitch"), held, wanted, "",
        slow.lift_glide.basis, held=round(held, 2), wanted=round(wanted, 2), stall=round(stall, 2),
        glide=round(100.0 * slow.reach_glide), power=round(100.0 * slow.reach_power),
        strength=round(slow.strength.value, 2),
    )  # fmt: skip


def rates(subject: Subject) -> tuple[Finding, ...]:
    """T43: full stick does not answer far too strongly; which rates go with it."""
    known = [each for each in subject.flown.handling.rates if not isnan(each.ratio)]
    return tuple(finding for each in known for finding in _rate(subject, each))


def _rate(subject: Subject, each: Rate) -> tuple[Finding, ...]:
    return judged(
        "T43", "clear" if each.ratio <= MOST_ANSWER else "watch", _where(subject, each.axis), each.ratio,
        MOST_ANSWER, "", JUDGED, stick=STICKS[each.axis], ratio=round(each.ratio, 1), most=MOST_ANSWER,
        rate=round(100.0 * each.rate), expo=round(100.0 * each.expo),
    )  # fmt: skip


def mixing(subject: Subject) -> tuple[Finding, ...]:
    """T44: what two sticks ask of one control at once is within its travel."""
    return tuple(finding for each in subject.flown.handling.mixing for finding in _mix(subject, each))


def _mix(subject: Subject, each: Mix) -> tuple[Finding, ...]:
    one = _found(subject, each.surface, each.control)
    return judged(
        "T44", "clear" if each.used <= 1.0 else "watch", each.surface if one is None else _base(subject, one),
        each.used, 1.0, "", "the turns of both sticks add", control=each.control, first=each.axes[0],
        second=each.axes[1], used=round(100.0 * each.used), full=round(100.0 * each.full),
    )  # fmt: skip


def servos(subject: Subject) -> tuple[Finding, ...]:
    """T45: the servo holds its control at full throw and top speed."""
    return tuple(finding for each in subject.flown.handling.servos for finding in _servo(subject, each))


def _servo(subject: Subject, each: ServoLoad) -> tuple[Finding, ...]:
    if each.used is None or each.stall is None or isnan(each.used.value):
        return ()
    one = _found(subject, each.surface, each.control)
    used = each.used.value
    verdict: Verdict = "clear" if used <= SERVO_SHARE else ("watch" if used <= 1.0 else "no-go")
    return judged(
        "T45", verdict, each.surface if one is None else _base(subject, one), each.torque_top.value,
        SERVO_SHARE * each.stall, "N cm", PRACTICE, servo=each.servo or "", control=each.control,
        torque=f"{each.torque_top.value:.2g}", high=f"{each.torque_top.high:.2g}", stall=round(each.stall, 1),
        part=round(100.0 * used), gear=f"{each.gear:.2f}",
        wanted=f"{each.torque_top.value / SERVO_SHARE:.2g}",
    )  # fmt: skip


def crosswind(subject: Subject) -> tuple[Finding, ...]:
    """T46: full control holds the wind of first flights where it comes slanting."""
    wind, first = subject.flown.handling.wind, subject.flown.envelope.wind_first.value
    held, across = wind.held.value, SLANT * first
    if isnan(held) or isnan(across):
        return ()
    return judged(
        "T46", "clear" if held >= across else "watch", _where(subject, wind.by), held, across, "m/s",
        wind.held.basis, held=round(held, 1), low=round(wind.held.low, 1), high=round(wind.held.high, 1),
        slip=round(wind.slip_deg), first=round(first, 1), across=round(across, 1),
        launch=round(wind.launch.value, 1), stick="roll" if wind.by == "roll" else "rudder",
    )  # fmt: skip


def flare(subject: Subject) -> tuple[Finding, ...]:
    """T47: full up ends the sinking of the approach within a height that the eye can judge."""
    found = subject.flown.landing
    height = found.flare.value
    if isnan(found.sink.value) or isnan(found.load.value):
        return ()
    verdict: Verdict = "watch" if isnan(height) or height > FLARE_M else "clear"
    return judged(
        "T47", verdict, _where(subject, "pitch"), None if isnan(height) else height, FLARE_M, "m", JUDGED,
        approach=round(found.approach.value, 1), sink=round(found.sink.value, 1),
        height="never" if isnan(height) else f"{height:.1f} m", most=FLARE_M,
        ends="does not end that" if isnan(height) else f"ends that within {height:.1f} m",
        energy=f"{found.energy_down.value:.2g}",
    )  # fmt: skip


def _travel_keys(subject: Subject, axis: Axis) -> tuple[CureKey, ...]:
    """More travel of the controls of an axis."""
    keys: list[CureKey] = []
    for one in answering(subject.lift.rigged, axis):
        keys += _travels(subject, one, grow=True)
    return tuple(keys)


def _travels(subject: Subject, one: Rigged, grow: bool) -> tuple[CureKey, ...]:
    base = _base(subject, one)
    pairs = (("up_deg", one.control.up), ("down_deg", one.control.down))
    return tuple(
        CureKey(f"{base}.{name}", now if grow else 5.0, _MOST_DEG if grow else now, 1.0, "deg")
        for name, turn in pairs
        if (now := round(degrees(turn), 6)) < _MOST_DEG or not grow
    )


def _roll_keys(subject: Subject) -> tuple[CureKey, ...]:
    found = subject.flown.handling.roll
    return () if found is None else _travel_keys(subject, found.by)


def _mixed_keys(subject: Subject) -> tuple[CureKey, ...]:
    names = {(each.surface, each.control) for each in subject.flown.handling.mixing}
    found = [each for each in subject.lift.rigged if (each.surface.id, each.control.id) in names]
    return tuple(key for one in found for key in _travels(subject, one, grow=True))


def _servo_keys(subject: Subject) -> tuple[CureKey, ...]:
    """A shorter control and less travel, of those whose servos are short of torque."""
    keys: list[CureKey] = []
    for each in subject.flown.handling.servos:
        one = _found(subject, each.surface, each.control)
        if one is None or each.used is None or each.used.value <= SERVO_SHARE:
            continue
        if not one.control.all_moving:
            keys.append(
                CureKey(f"{_base(subject, one)}.chord_mm", 0.5 * one.control.chord, one.control.chord, 1.0)
            )
        keys += _travels(subject, one, grow=False)
    return tuple(keys)


RULES = (
    Rule("T40", roll, _roll_keys),
    Rule("T41", pull, lambda s: _travel_keys(s, "pitch")),
    Rule("T42", slow_flight, lambda s: _travel_keys(s, "pitch")),
    Rule("T43", rates),
    Rule("T44", mixing, _mixed_keys),
    Rule("T45", servos, _servo_keys),
    Rule("T46", crosswind, _roll_keys),
    Rule("T47", flare, lambda s: _travel_keys(s, "pitch")),
)
