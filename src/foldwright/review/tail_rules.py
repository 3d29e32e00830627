"""Rules T19-T25: tails, dihedral, and what the pilot steers with."""

from __future__ import annotations

from math import degrees

from foldwright.airframe.model import Control, LiftingSurface
from foldwright.base.finding import Finding, Verdict
from foldwright.flight.tail import area_of
from foldwright.review.keys import control_base, last_bay, part_of, pitch_control, place_keys, size_keys
from foldwright.review.subject import JUDGED, CureKey, Rule, Subject, held, judged
from foldwright.review.tails import (
    control_area,
    has_tail,
    largest_lying,
    largest_standing,
    lying_volume,
    mean_dihedral,
    nose_down_at_tip,
    quarter_sweep,
)

BANKS, HARDLY_BANKS = -0.06, -0.02
"""[judgement] rolling moment with sideslip, 1/rad, from which a rudder banks it well, and below which not."""
SWEPT_DEG = 12.0
"""[judgement] sweep from which a tailless wing needs its tips washed out."""


def tail_volume(subject: Subject) -> tuple[Finding, ...]:
    """T19: the level tail is large and far enough for the layout."""
    value, name = lying_volume(subject.tail), largest_lying(subject.tail)
    return held(
        subject, "T19", "tail_volume", name or "part", value, volume=round(value, 3),
        of=name or "no level tail",
    )  # fmt: skip


def fin_volume(subject: Subject) -> tuple[Finding, ...]:
    """T20: the fin is large and far enough for the layout."""
    value, name = subject.tail.fin_volume, largest_standing(subject.tail)
    return held(
        subject, "T20", "fin_volume", name or "part", value, volume=round(value, 3), of=name or "no fin"
    )


def dihedral(subject: Subject) -> tuple[Finding, ...]:
    """T21: dihedral as the controls fitted want it: less with ailerons, more where the rudder banks it."""
    wing = subject.airframe.wing
    value, rolls = mean_dihedral(wing), bool(_with(subject, 1))
    if not rolls and subject.usual("dihedral_deg") is None:
        return ()
    name, fitted = (
        ("dihedral_deg", "with a control that rolls")
        if rolls
        else ("dihedral_alone_deg", "without a control that rolls")
    )
    where = _bay_key(subject, "dihedral_deg")
    return held(subject, "T21", name, where, value, rise=round(value, 1), fitted=fitted)


def aileron_area(subject: Subject) -> tuple[Finding, ...]:
    """T22: area of the ailerons against the wing's; elevons are held by their chord (T15)."""
    wing = subject.airframe.wing
    rolling = [one for one in wing.controls if one.gains[1] != 0.0 and one.gains[0] == 0.0]
    if not rolling:
        return ()
    value = 100.0 * sum(control_area(wing, one) for one in rolling) / area_of(wing)
    where = f"{control_base(wing, rolling[0], part_of(subject, wing))}.chord_mm"
    return held(subject, "T22", "aileron_area_pct", where, value, pct=round(value, 1), kind=rolling[0].kind)


def elevator_share(subject: Subject) -> tuple[Finding, ...]:
    """T23: elevator's share of its tail; a tail that turns as a whole has none to judge."""
    found = pitch_control(subject)
    if found is None or found[0].main or found[1].all_moving:
        return ()
    surface, control = found
    value = 100.0 * control_area(surface, control) / area_of(surface)
    where = f"{control_base(surface, control, part_of(subject, surface))}.chord_mm"
    return held(subject, "T23", "elevator_pct", where, value, pct=round(value, 1), kind=control.kind)


def _with(subject: Subject, axis: int) -> list[tuple[LiftingSurface, Control]]:
    """Controls that turn the aeroplane about an axis: 0 pitch, 1 roll, 2 yaw."""
    return [
        (surface, control)
        for surface in subject.airframe.surfaces
        for control in surface.controls
        if control.gains[axis] != 0.0
    ]


def way_to_bank(subject: Subject) -> tuple[Finding, ...]:
    """T24: it can be banked: by a control that rolls, or by a rudder and enough dihedral effect."""
    slope = subject.slopes["Cl_beta"]
    if rolling := _with(subject, 1):
        return _banks("clear", slope, f"the {rolling[0][1].kind} rolls it")
    yawing = _with(subject, 2)
    if not yawing:
        return _banks("no-go", slope, "no control rolls it and none yaws it")
    verdict: Verdict = "clear" if slope <= BANKS else ("watch" if slope <= HARDLY_BANKS else "no-go")
    kind = yawing[0][1].kind
    says = {
        "clear": f"the {kind} banks it by its dihedral",
        "watch": f"the {kind} banks it slowly, having little dihedral",
        "no-go": f"the {kind} hardly banks it, for want of dihedral",
    }
    return _banks(verdict, slope, says[verdict])


def _banks(verdict: Verdict, slope: float, how: str) -> tuple[Finding, ...]:
    return judged("T24", verdict, "part", slope, BANKS, "1/rad", JUDGED, how=how, slope=round(slope, 3))


def washout(subject: Subject) -> tuple[Finding, ...]:
    """T25: the tips of a swept tailless wing stall last."""
    wing, sweep = subject.airframe.wing, quarter_sweep(subject.airframe.wing)
    if sweep <= SWEPT_DEG or has_tail(subject.tail):
        return ()
    value = nose_down_at_tip(wing)
    folding = 0.0 if wing.folding_twist is None else degrees(float(wing.folding_twist[-1]))
    return held(
        subject, "T25", "washout_deg", _bay_key(subject, "washout_deg"), value,
        turn=round(value, 1), sweep=round(sweep),
        folding=f"{abs(folding):.1f}° nose-{'up' if folding > 0.0 else 'down'}",
    )  # fmt: skip


def _bay_key(subject: Subject, name: str) -> str:
    wing = subject.wing_part
    last = last_bay(wing)
    return f"{wing.id}.bay.{last}.{name}" if last else wing.id


def _size_keys(subject: Subject, name: str) -> tuple[CureKey, ...]:
    """Size and place of the part of that id."""
    part = next((one for one in subject.design.part if one.id == name), None)
    return () if part is None else (*size_keys(part, name), *place_keys(part, name))


def _bay_keys(subject: Subject, name: str, low: float, high: float) -> tuple[CureKey, ...]:
    wing = subject.wing_part
    return tuple(
        CureKey(f"{wing.id}.bay.{number}.{name}", low, high, 0.5, "deg")
        for number in range(last_bay(wing), 0, -1)
    )


def _control_keys(surface: LiftingSurface, control: Control, base: str) -> tuple[CureKey, ...]:
    chord = float(surface.chord[0])
    return (
        CureKey(f"{base}.chord_mm", 0.1 * chord, 0.6 * chord, 1.0),
        CureKey(f"{base}.inner_mm", 0.0, control.outer - 30.0, 5.0),
    )


def _aileron_keys(subject: Subject) -> tuple[CureKey, ...]:
    wing = subject.airframe.wing
    base = wing.id
    for one in wing.controls:
        if one.gains[1] != 0.0 and one.gains[0] == 0.0:
            base = control_base(wing, one, part_of(subject, wing))
            return _control_keys(wing, one, base)
    return ()


def _elevator_keys(subject: Subject) -> tuple[CureKey, ...]:
    found = pitch_control(subject)
    if found is None or found[0].main or found[1].all_moving:
        return ()
    return _control_keys(*found, control_base(*found, part_of(subject, found[0])))


RULES = (
    Rule("T19", tail_volume, lambda s: _size_keys(s, largest_lying(s.tail))),
    Rule("T20", fin_volume, lambda s: _size_keys(s, largest_standing(s.tail))),
    Rule("T21", dihedral, lambda s: _bay_keys(s, "dihedral_deg", 0.0, 14.0)),
    Rule("T22", aileron_area, _aileron_keys),
    Rule("T23", elevator_share, _elevator_keys),
    Rule("T24", way_to_bank, lambda s: _bay_keys(s, "dihedral_deg", 0.0, 14.0)),
    Rule("T25", washout, lambda s: _bay_keys(s, "washout_deg", -2.0, 8.0)),
)
