"""Rules B10-B18: does it balance, is its weight right."""

from __future__ import annotations

from foldwright.base.finding import Finding, Verdict
from foldwright.flight.battery import BatteryPlace
from foldwright.review.keys import balance_keys, battery_keys, equipment_keys, margin_keys
from foldwright.review.subject import CureKey, Rule, Subject, held, judged

LATERAL_WATCH_MM, LATERAL_NO_GO_MM = 2.0, 8.0
"""[judgement] what a trim of the controls hides, and what it does not."""
BEHIND_MM = 2.0
"""[judgement] behind the aft limit by more than fingers can find: nobody should throw that."""
WINDOW_LEAST_MM = 2.0
"""[judgement] a window that fingers can find."""


def static_margin(subject: Subject) -> tuple[Finding, ...]:
    """B10: the static margin reached lies in the range asked for; never behind the neutral point."""
    targets, margin = subject.design.targets, subject.balance.static_margin
    low, high = targets.static_margin_least_pct, targets.static_margin_most_pct
    # a tenth of a percent of the chord is a quarter of a millimetre: nobody balances finer
    verdict: Verdict = "clear" if low - 0.05 <= margin.value <= high + 0.05 else "watch"
    if margin.value <= 0.0:
        verdict = "no-go"
    return judged(
        "B10",
        verdict,
        "targets.static_margin_pct",
        margin.value,
        low if margin.value < low else high,
        "% chord",
        "the design's own targets",
        margin=round(margin.value, 1),
        low=low,
        high=high,
        band_low=round(margin.low, 1),
        band_high=round(margin.high, 1),
    )


def battery_place(subject: Subject) -> tuple[Finding, ...]:
    """B11: the fitted battery balances the aeroplane within its slide (B01 where it is longer than that)."""
    place = subject.balance.battery
    if place.too_long:
        return ()
    slide = subject.fitted.battery_slide_mm
    short = place.wanted - place.x
    way = "aft" if short > 0 else "forward"
    reach = "" if slide[0] <= place.front + short and place.rear + short <= slide[1] else ", beyond its slide"
    in_bay = slide[0] - 1e-6 <= place.front and place.rear <= slide[1] + 1e-6
    near = _nearest_allowed(subject, place)
    helps = [f"Battery {abs(short):.1f} mm {way} to the place asked for{reach}{near}"]
    if in_bay:
        helps += _helps(place, _reached(subject, place))
    return judged(
        "B11",
        "clear" if place.fits else "no-go",
        "battery.x_mm",
        place.x,
        place.wanted,
        "mm",
        "statics",
        battery=place.id,
        x=round(place.x, 1),
        wanted=round(place.wanted, 1),
        how_far=round(abs(short), 1),
        bay_low=slide[0],
        bay_high=slide[1],
        help="; or ".join(helps),
    )


def _nearest_allowed(subject: Subject, place: BatteryPlace) -> str:
    """How far the battery is from the nearest place within the limits, "" where it balances.

    Statics: the centre of gravity moves by the battery's share of the mass.
    """
    balance = subject.balance
    cg, (forward, aft) = place.cg_x, (balance.forward, balance.aft)
    limit = aft if cg > aft.x else forward
    if forward.x <= cg <= aft.x:
        return ""
    move = (limit.x - cg) * place.mass / place.battery_mass
    way = "aft" if move > 0.0 else "forward"
    return f" ({abs(move):.1f} mm {way} to the nearest allowed, static margin {limit.margin_pct:.0f} %)"


def _reached(subject: Subject, place: BatteryPlace) -> str:
    """What balance the ballast brings, as `flight.battery` reckons it: for the first flights where it can."""
    balance = subject.balance
    aft = min(balance.aft, balance.first_aft, key=lambda each: each.x)
    rear = aft if aft.x > balance.forward.x else balance.forward
    point = rear if place.cg_x > balance.aft.x else balance.forward
    for_what = "the aft end of the first-flight window" if point is balance.first_aft else "the nearest limit"
    return f", which brings it to {for_what} (static margin {point.margin_pct:.0f} %)"


def _advice(place: BatteryPlace) -> str:
    """What to do with an alternative battery."""
    if place.fits:
        return "Keep it for later flights: nowhere in the bay is it right for the first ones"
    helps = " or ".join(_helps(place))
    return f"With this battery {helps}, or leave it out" if helps else "Leave it out of the alternatives"


def _helps(place: BatteryPlace, reached: str = "") -> list[str]:
    """What brings a battery's balance right with the battery where it is; reached: what ballast brings."""
    moves = [f"{move.item} from x {move.before:.0f} to {move.after:.0f} mm" for move in place.moves]
    helps = [f"move {' and '.join(moves)}"] if moves else []
    if place.ballast is not None:
        ballast = place.ballast
        helps.append(f"add {ballast.grams} g at the {ballast.end} (x {ballast.x:.0f} mm){reached}")
    return helps


def alternatives(subject: Subject) -> tuple[Finding, ...]:
    """B12: every battery the files name as an alternative balances too (B01 where it is too long)."""
    found: list[Finding] = []
    for place in subject.balance.alternatives:
        if place.too_long:
            continue
        first = place.first is not None or not subject.balance.first_window
        found += judged(
            "B12",
            "clear" if place.fits and first else "watch",
            f"battery.alternatives.{place.id}",
            place.x,
            place.wanted,
            "mm",
            "statics",
            battery=place.id,
            x=round(place.x, 1),
            wanted=round(place.wanted, 1),
            help=_advice(place),
        )
    return tuple(found)


def weight(subject: Subject) -> tuple[Finding, ...]:
    """B13: all-up weight within the limit, its band too."""
    mass, limit = subject.balance.mass, subject.design.targets.all_up_limit_g
    verdict: Verdict = "no-go" if mass.value > limit else ("watch" if mass.high > limit else "clear")
    return judged(
        "B13",
        verdict,
        "targets.all_up_limit_g",
        mass.value,
        limit,
        "g",
        "the design's own limit",
        mass=round(mass.value),
        high=round(mass.high),
        limit_g=limit,
    )


def loading(subject: Subject) -> tuple[Finding, ...]:
    """B14: wing loading of this kind of aeroplane."""
    value = subject.balance.wing_loading.value
    return held(subject, "B14", "wing_loading_g_dm2", "design", value, loading=round(value, 1))


def balance_point(subject: Subject) -> tuple[Finding, ...]:
    """B15: balance point on the mean aerodynamic chord, as usual for the layout."""
    value = float(subject.lift.share(float(subject.balance.cg[0]))) * 100.0
    return held(subject, "B15", "balance_pct", "targets.static_margin_pct", value, pct=round(value, 1))


def margin_asked(subject: Subject) -> tuple[Finding, ...]:
    """B18: the static margin asked for is usual for the layout."""
    value = subject.design.targets.static_margin_pct
    return held(
        subject, "B18", "static_margin_pct", "targets.static_margin_pct", value, margin=round(value, 1)
    )


def lateral(subject: Subject) -> tuple[Finding, ...]:
    """B16: balance from side to side."""
    value = float(subject.balance.cg[1])
    size = abs(value)
    verdict: Verdict = (
        "clear" if size <= LATERAL_WATCH_MM else ("watch" if size <= LATERAL_NO_GO_MM else "no-go")
    )
    return judged(
        "B16",
        verdict,
        "equipment",
        value,
        LATERAL_WATCH_MM,
        "mm",
        "[judgement]",
        size=round(size, 1),
        side="either side" if size < 0.05 else ("right" if value > 0 else "left"),
        limit_mm=LATERAL_WATCH_MM,
    )


def window(subject: Subject) -> tuple[Finding, ...]:
    """B17: the first-flight window can be found with fingers and holds the balance point, as placed too."""
    forward, aft = subject.balance.forward, subject.balance.first_aft
    width, placed = aft.x - forward.x, float(subject.balance.cg[0])
    holds = all(forward.x - 0.5 <= x <= aft.x + 0.5 for x in (subject.balance.wanted.x, placed))
    verdict: Verdict = "clear" if width >= WINDOW_LEAST_MM and holds else "watch"
    if width >= 0.0 and placed > aft.x + BEHIND_MM:
        verdict = "no-go"
    return judged(
        "B17",
        verdict,
        "targets.static_margin_pct",
        width,
        WINDOW_LEAST_MM,
        "mm",
        "neutral point with its band",
        width=round(width, 1),
        forward=round(forward.behind_root, 1),
        aft=round(aft.behind_root, 1),
        wanted=round(subject.balance.wanted.behind_root, 1),
        placed=round(subject.balance.placed_behind_marks, 1),
    )


def _weight_keys(subject: Subject) -> tuple[CureKey, ...]:
    """What saves weight without asking for less: the wing's size."""
    wing = subject.wing_part
    return (CureKey(f"{wing.id}.span_mm", wing.span_mm * 0.85, wing.span_mm, 5.0),)


def _span_keys(subject: Subject) -> tuple[CureKey, ...]:
    wing = subject.wing_part
    return (
        CureKey(f"{wing.id}.span_mm", wing.span_mm * 0.8, wing.span_mm * 1.25, 10.0),
        CureKey(f"{wing.id}.chord_mm", wing.chord_mm * 0.85, wing.chord_mm * 1.2, 5.0),
    )


def _usual_margin_keys(subject: Subject) -> tuple[CureKey, ...]:
    """The margin asked for, as far as what is usual."""
    wanted, value = subject.usual("static_margin_pct"), subject.design.targets.static_margin_pct
    if wanted is None:
        return ()
    low, high = min(wanted.low, value), max(wanted.high, value)
    return (CureKey("targets.static_margin_pct", low, high, 0.5, "% chord"),)


RULES = (
    Rule("B10", static_margin, lambda s: (*balance_keys(s), *margin_keys(s))),
    Rule("B11", battery_place, balance_keys),
    Rule("B12", alternatives, lambda s: (*battery_keys(s)[-2:], *equipment_keys(s))),
    Rule("B13", weight, _weight_keys),
    Rule("B14", loading, _span_keys),
    Rule("B15", balance_point, lambda s: (*margin_keys(s), *balance_keys(s))),
    Rule(
        "B16",
        lateral,
        lambda s: tuple(
            CureKey(f"equipment.{i.id}.y_mm", i.y_mm - 20.0, i.y_mm + 20.0, 1.0)
            for i in s.design.equipment
            if not i.mirrored
        ),
    ),
    Rule("B17", window, lambda s: (*margin_keys(s), *balance_keys(s))),
    Rule("B18", margin_asked, _usual_margin_keys),
)
