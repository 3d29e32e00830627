"""Rules I10-I19: equipment wired, reached, cooled, and out of the way of camera and radio."""

from __future__ import annotations

from itertools import combinations
from math import pi

import numpy as np

from foldwright.airframe.model import Gap
from foldwright.base.finding import Finding, Verdict
from foldwright.base.types import FloatArray
from foldwright.design.resolve import FittedItem
from foldwright.review.distance import apart, to_box
from foldwright.review.sight import hidden
from foldwright.review.subject import PRACTICE, CureKey, Rule, Subject, judged
from foldwright.review.tool import blocked
from foldwright.review.wiring import Run, missing_ends, runs

RADIO_MM = 50.0
"""Receiver antenna from carbon, battery and video transmitter, least; common practice, no source."""
WHIPS_DEG = (60.0, 120.0)
"""Two antennas of one receiver stand about square to each other; common practice, no source."""
AIR_W = 2.0
"""[judgement] heat that foam lets out by itself; more wants an air path."""
INLET_MM2_W = 40.0
"""[judgement] inlet for each watt."""
OUTLET = 1.5
"""Outlet 1.5-2 times the inlet; common practice, no source."""
HIDDEN_PCT = 0.5
"""[judgement] share of a camera's picture that may be hidden."""
REGULATOR_SHARE = 1.0
PEAK = 1.25
"""Controller over the motor's peak current, least; common practice, no source."""
SHIELDS = ("carbon", "aluminium")


def connectors(subject: Subject) -> tuple[Finding, ...]:
    """I10: every plug passes the openings that its lead goes through."""
    gaps = {gap.id: gap for gap in subject.airframe.gaps}
    found: list[Finding] = []
    for run in runs(subject):
        for name in run.through:
            gap = gaps.get(name)
            if gap is None:
                known = ", ".join(sorted(gaps)) or "none"
                found += judged(
                    "I11",
                    "no-go",
                    f"wire.{run.id}.through",
                    0.0,
                    0.0,
                    "",
                    "the design",
                    name=name,
                    known=known,
                )
            elif run.connector is not None:
                found += _passes(run, gap, run.connector)
    for where, end in missing_ends(subject):
        found += judged("I12", "no-go", where, 0.0, 0.0, "", "the design", name=end)
    return tuple(found)


def _passes(run: Run, gap: Gap, plug: tuple[float, float]) -> tuple[Finding, ...]:
    """A plug goes lengthways through; through a round hole its diagonal has to pass."""
    small, large = sorted(gap.size)
    width, height = max(plug), min(plug)
    round_hole = abs(gap.area - pi / 4.0 * small * large) < 0.02 * gap.area
    over = float(np.hypot(width, height)) - small if round_hole else max(height - small, width - large)
    return judged(
        "I10", "clear" if over <= 0.0 else "no-go", f"wire.{run.id}.through", over, 0.0, "mm", "geometry",
        wire=run.id, gap=gap.id, width=width, height=height, room=f"{small:g} x {large:g}",
        more=round(max(over, 0.0), 1),
    )  # fmt: skip


def leads(subject: Subject) -> tuple[Finding, ...]:
    """I13: leads are long enough; what is short is made up on the motor's side, never at the battery."""
    found: list[Finding] = []
    for run in runs(subject):
        if run.there is None:
            continue
        short = run.needed - run.there
        found += judged(
            "I13", "clear" if short <= 0.0 else "watch", run.where, run.there, run.needed, "mm", PRACTICE,
            wire=run.id, one=run.ends[0], other=run.ends[1], there=round(run.there), needed=round(run.needed),
            help=_lengthen(run, short),
        )  # fmt: skip
    return tuple(found)


def _lengthen(run: Run, short: float) -> str:
    short = max(round(short), 0)
    if "battery" in run.ends:
        other = next(end for end in run.ends if end != "battery")
        return (
            f"Move {other} {short} mm nearer to the battery and lengthen the leads to the motor by as much: "
            "long battery leads harm the controller"
        )
    return f"Lengthen this lead by {short} mm"


def tools(subject: Subject) -> tuple[Finding, ...]:
    """I14: a tool or finger reaches what has to be reached, with hatches off."""
    found: list[Finding] = []
    for item in subject.fitted.items:
        if item.access is not None:
            board = blocked(subject, item)
            found += judged(
                "I14", "watch" if board else "clear", f"equipment.{item.item}.access", float(bool(board)),
                0.0, "", "geometry", name=item.id, way=item.access.way, board=board or "nothing",
            )  # fmt: skip
    return tuple(found)


def view(subject: Subject) -> tuple[Finding, ...]:
    """I15: nothing of the aeroplane stands in a camera's picture, and the propeller does not turn in it."""
    found: list[Finding] = []
    for item in subject.fitted.items:
        if item.look is None:
            continue
        share, what = hidden(subject, item.look)
        pct = round(100.0 * share, 1)
        found += judged(
            "I15", "clear" if pct <= HIDDEN_PCT else "watch", f"equipment.{item.item}.look", pct,
            HIDDEN_PCT, "%", "[judgement]", name=item.id, pct=pct, what=what or "nothing",
        )  # fmt: skip
    return tuple(found)


def radio(subject: Subject) -> tuple[Finding, ...]:
    """I16: antennas stand clear of carbon, battery and video transmitter; I17: two of them about square."""
    found: list[Finding] = []
    for item in subject.fitted.items:
        for index, ends in enumerate(item.antennas):
            line = np.array(ends)
            distance, what = _nearest_shield(subject, item, line)
            verdict: Verdict = "clear" if distance >= RADIO_MM else "watch"
            found += judged(
                "I16", verdict, f"equipment.{item.item}.antenna.{index + 1}", distance, RADIO_MM, "mm",
                PRACTICE, name=item.id, what=what, distance=round(distance), least=RADIO_MM,
            )  # fmt: skip
        for one, other in combinations(item.antennas, 2):
            found += _square(item, np.subtract(one[1], one[0]), np.subtract(other[1], other[0]))
    return tuple(found)


def _nearest_shield(subject: Subject, item: FittedItem, line: FloatArray) -> tuple[float, str]:
    """Least distance from an antenna to what disturbs it, mm, and what that is."""
    found: list[tuple[float, str]] = [(1e3, "anything")]
    found.extend(
        (apart(line, bar.ends) - max(bar.width, bar.height) / 2.0, f"{bar.id} ({bar.material})")
        for bar in subject.airframe.bars
        if bar.material in SHIELDS
    )
    found.extend(
        (to_box(line, np.array(other.place_mm), np.array(other.size_mm)), other.id)
        for other in subject.fitted.items
        if other.kind == "video_transmitter" and other is not item
    )
    fitted, place = subject.fitted, subject.balance.battery
    centre = np.array([place.x, fitted.battery_y_mm, fitted.battery_z_mm])
    found.append((to_box(line, centre, np.array(fitted.battery.size_mm)), "battery"))
    return min(found)


def _square(item: FittedItem, one: FloatArray, other: FloatArray) -> tuple[Finding, ...]:
    lengths = float(np.linalg.norm(one) * np.linalg.norm(other))
    angle = float(np.degrees(np.arccos(np.clip(one @ other / lengths, -1.0, 1.0)))) if lengths > 0.0 else 0.0
    low, high = WHIPS_DEG
    return judged(
        "I17", "clear" if low <= angle <= high else "watch", f"equipment.{item.item}.antenna", angle,
        low if angle < low else high, "°", PRACTICE, name=item.id, angle=round(angle), low=low, high=high,
    )  # fmt: skip


def air(subject: Subject) -> tuple[Finding, ...]:
    """I18: what gets hot has air: an inlet, and an outlet larger than it."""
    heat = sum(item.heat_w for item in subject.fitted.items)
    hottest = max(subject.fitted.items, key=lambda item: item.heat_w, default=None)
    if hottest is None or heat <= AIR_W:
        return ()
    inlet, outlet = (
        sum(gap.area for gap in subject.airframe.gaps if gap.role == role) for role in ("inlet", "outlet")
    )
    need = heat * INLET_MM2_W
    good = inlet >= need and outlet >= OUTLET * inlet
    return judged(
        "I18", "clear" if good else "watch", f"equipment.{hottest.item}.heat_w", inlet, need, "mm²", PRACTICE,
        heat=round(heat, 1), inlet=round(inlet), outlet=round(outlet), need=round(need),
        need_out=round(OUTLET * max(inlet, need)),
    )  # fmt: skip


def supply(subject: Subject) -> tuple[Finding, ...]:
    """I19: the regulators carry what hangs on them; I20: the controller carries its motor."""
    controllers = [item for item in subject.fitted.items if item.kind == "controller"]
    drawn = sum(item.current_a for item in subject.fitted.items)
    given = max((item.regulator_a for item in controllers), default=0.0)
    found: list[Finding] = []
    if given > 0.0:
        first = max(controllers, key=lambda item: item.regulator_a)
        verdict: Verdict = "clear" if drawn <= REGULATOR_SHARE * given + 1e-9 else "watch"
        found += judged(
            "I19", verdict, f"equipment.{first.item}.stock", drawn, given, "A", PRACTICE, name=first.id,
            drawn=round(drawn, 2), given=given,
        )  # fmt: skip
    each = max(subject.airframe.thrust.count / max(len(controllers), 1), 1.0)  # motors on one controller
    peak = subject.fitted.motor.max_current_a * each
    for item in controllers:
        if item.max_current_a > 0.0:
            need = PEAK * peak
            found += judged(
                "I20", "clear" if item.max_current_a >= need - 1e-9 else "watch",
                f"equipment.{item.item}.stock", item.max_current_a, need, "A", PRACTICE, name=item.id,
                takes=item.max_current_a, peak=peak, need=round(need, 1),
            )  # fmt: skip
    return tuple(found)


def keep_outs(subject: Subject) -> tuple[Finding, ...]:
    """I21: nothing stands in the room that a piece of equipment keeps round itself."""
    found: list[Finding] = []
    for item in subject.fitted.items:
        if item.keep_out_mm <= 0.0:
            continue
        others = [other for other in subject.fitted.items if other.id != item.id]
        intruders = [(depth, other.id) for other in others if (depth := _into(item, other)) > 0.0]
        depth, name = max(intruders, default=(0.0, "nothing"))
        found += judged(
            "I21", "watch" if intruders else "clear", f"equipment.{item.item}.keep_out_mm", depth, 0.0, "mm",
            "the design", name=item.id, other=name, depth=round(depth, 1),
        )  # fmt: skip
    return tuple(found)


def _into(item: FittedItem, other: FittedItem) -> float:
    """How far another piece reaches into the room that one keeps, mm; not above 0: it does not."""
    half = (np.array(item.size_mm) + np.array(other.size_mm)) / 2.0 + item.keep_out_mm
    return float(np.min(half - np.abs(np.subtract(other.place_mm, item.place_mm))))


def _lead_keys(subject: Subject) -> tuple[CureKey, ...]:
    """What is short on the motor's side is made up there; a controller moves towards the battery."""
    motor = subject.design.motor
    names = {item.item for item in subject.fitted.items if item.kind == "controller"}
    keys = [
        CureKey(f"equipment.{item.id}.x_mm", item.x_mm - 200.0, item.x_mm + 200.0, 5.0)
        for item in subject.design.equipment
        if item.id in names
    ]
    return (CureKey("motor.lead_mm", motor.lead_mm, motor.lead_mm + 400.0, 10.0), *keys)


RULES = (
    Rule("I10", connectors),
    Rule("I13", leads, _lead_keys),
    Rule("I14", tools),
    Rule("I15", view),
    Rule("I16", radio),
    Rule("I18", air),
    Rule("I19", supply),
    Rule("I21", keep_outs),
)
