"""What the setup card says, as data: `setup-card.json`, and the one source of the printed card.

Keys carry their unit. Figures are rounded once, here, to what can be measured at the field; what does not
exist is null, never a made-up number. Bands run from the 5th to the 95th percentile of the samples.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

import numpy as np

from foldwright.airframe.model import Airframe
from foldwright.base.band import Band
from foldwright.base.finding import Finding, severity
from foldwright.base.messages import words
from foldwright.base.types import FloatArray
from foldwright.evaluate import SAMPLES, Evaluation, Results
from foldwright.flight.balance import BalancePoint, ends
from foldwright.flight.battery import BatteryPlace
from foldwright.geometry.fold.marks import station_of
from foldwright.geometry.fold.mass import mass_properties
from foldwright.make.card_controls import controls, mixing, right_way
from foldwright.make.card_figures import band, rounded
from foldwright.make.card_flight import flight, launch
from foldwright.make.card_handling import handling, landing, rates
from foldwright.review.transport import Size, transport

FORMAT = 2
NOT_ASSESSED = ("strength", "the slide on the ground")
_LEAST_TURN = 1e-4
Json = dict[str, Any]


def card(evaluation: Evaluation) -> Json:
    """Everything on the setup card, ready for `json.dumps(..., sort_keys=True, allow_nan=False)`.

    Raises ValueError for an evaluation without results: such a design has no card.
    """
    results = evaluation.results
    if results is None:
        raise ValueError("a setup card needs complete results")
    targets, rows = evaluation.design.targets, controls(results)
    return {
        "format": FORMAT,
        "kind": "setup card",
        "design": _design(evaluation),
        "workshop": _workshop(evaluation),
        "prediction": _prediction(evaluation),
        "balance": _balance(results),
        "weight": {
            "all_up_g": band(results.balance.mass, 0),
            "all_up_limit_g": rounded(targets.all_up_limit_g, 0),
            "wing_loading_g_dm2": band(results.balance.wing_loading, 1),
        },
        "battery": _battery(results, results.balance.battery),
        "alternatives": [_battery(results, place) for place in results.balance.alternatives],
        "controls": rows,
        "right_way": right_way(rows),
        "mixing": mixing(rows),
        "rates": rates(results.flown.handling),
        "washout": washout(results.airframe),
        "comes_off": comes_off(results.airframe),
        "transport": _transport(results.airframe),
        "thrust": _thrust(results),
        "launch": launch(
            results.flown.throw,
            targets.launch_speed_m_s,
            evaluation.assumptions.centre("throw_pitch_deg"),
        ),
        "cruise": {"speed_m_s": rounded(targets.cruise_speed_m_s, 1)},
        "handling": handling(results.flown.handling),
        "landing": landing(results.flown.landing),
        "flight": flight(results.flown, targets.reserve_pct),
        "findings": _findings(evaluation.findings),
        "cautions": cautions(results, rows),
        "not_assessed": list(NOT_ASSESSED),
        "reference": reference(results),
    }


def _prediction(evaluation: Evaluation) -> Json:
    return {"detail": evaluation.detail, "samples": SAMPLES[evaluation.detail], "low_pct": 5, "high_pct": 95}


def _design(evaluation: Evaluation) -> Json:
    about = evaluation.design.design
    return {
        "name": about.name,
        "revision": about.revision,
        "author": about.author,
        "licence": about.licence,
        "layout": about.layout,
        "flown": about.flown,
        "verdict": evaluation.verdict,
    }


def _workshop(evaluation: Evaluation) -> Json:
    workshop = evaluation.workshop
    board, cutter = workshop.board, workshop.cutter
    return {
        "id": workshop.id,
        "name": workshop.name,
        "board": {
            "name": board.name,
            "thickness_mm": rounded(board.thickness, 2),
            "areal_density_g_m2": rounded(board.areal_density_g_m2, 0),
        },
        "cutter": {"kind": cutter.kind, "kerf_mm": rounded(cutter.kerf_mm, 2)},
    }


def _balance(results: Results) -> Json:
    balance, wing = results.balance, results.airframe.wing
    marks = mark_place(results.airframe)
    leading, step = leading_edge(results), under_step(results.airframe)

    def at(point: BalancePoint) -> Json:
        return {
            "behind_le_mm": rounded(point.x - leading, 1),
            "ahead_of_step_mm": None if step is None else rounded(step - point.x, 1),
            "margin_pct": rounded(point.margin_pct, 1),
        }

    neutral = balance.neutral_point
    value, low, high = (x - leading for x in (neutral.value, neutral.low, neutral.high))
    shifted = Band(value, low, high, "mm", neutral.basis, neutral.missing)
    return {
        "point": at(balance.placed),
        "wanted": at(balance.wanted),
        "forward_limit": at(balance.forward),
        "first_aft_limit": at(balance.first_aft),
        "first_window": balance.first_window,
        "placed_behind_le_mm": rounded(balance.placed.x - leading, 1),
        "marks_from_centre_line_mm": rounded(marks, 1),
        "marks_on_body": any(part != wing.id for part, _ in _balance_marks(results.airframe)),
        "le_aft_of_root_at_marks_mm": rounded(leading - float(wing.le[0, 0]), 1),
        "step_behind_le_mm": None if step is None else rounded(step - leading, 1),
        "step_height_mm": rounded(wing.step, 1),
        "step_on_top": None if step is None else wing.step_on_top,
        "neutral_point_behind_le_mm": band(shifted, 1),
        "static_margin_pct": band(balance.static_margin, 1),
    }


def leading_edge(results: Results) -> float:
    """Leading edge (x, mm) that the balance is measured from: beside the marks, at the root without any."""
    wing = results.airframe.wing
    return float(np.interp(mark_place(results.airframe) or 0.0, np.abs(wing.le[:, 1]), wing.le[:, 0]))


def under_step(airframe: Airframe) -> float | None:
    """Place (x, mm) of the step where the under strip ends, or a doubler on top, beside the balance marks;
    None for a wing without one.
    """
    wing = airframe.wing
    if wing.step_x is not None:
        return float(np.interp(mark_place(airframe) or 0.0, np.abs(wing.le[:, 1]), wing.step_x))
    return None


def washout(airframe: Airframe) -> Json | None:
    """Turn of the wing's tip against its root, nose-down positive, and how high that lifts its trailing edge;
    None for a wing without any.
    """
    wing = airframe.wing
    turn = 0.0 if wing.washout is None else float(wing.washout[-1] - wing.washout[0])
    if abs(turn) < _LEAST_TURN:
        return None
    return {
        "tip_deg": rounded(np.degrees(turn), 1),
        "trailing_edge_up_mm": rounded(float(wing.chord[-1]) * float(np.sin(turn)), 1),
    }


def mark_place(airframe: Airframe) -> float | None:
    """Distance from the centre line of the middle of the wing's balance marks, mm; None without any."""
    places = [
        abs(float(points[:, 1].mean()))
        for part, points in _balance_marks(airframe)
        if part == airframe.wing.id
    ]
    return max(places) if places else None


def _balance_marks(airframe: Airframe) -> list[tuple[str, FloatArray]]:
    """Part and ends (n, 3) of every mark of the balance point."""
    return [
        (one.part, station_of(one.blank, mark, one.transforms))
        for one in airframe.placed
        for mark in one.blank.marks
        if mark.name == "balance"
    ]


def _battery(results: Results, place: BatteryPlace) -> Json:
    fitted = {each.id: each for each in (results.fitted.battery, *results.fitted.alternatives)}[place.id]
    nose, _ = ends(results.airframe)
    half = 0.5 * (place.rear - place.front)
    within = None if place.low is None or place.high is None else (place.low, place.high)

    def fronts(centres: tuple[float, float] | None) -> Json | None:
        if centres is None:
            return None
        return {"from": rounded(centres[0] - half - nose, 1), "to": rounded(centres[1] - half - nose, 1)}

    return {
        "id": place.id,
        "name": fitted.name,
        "mass_g": rounded(place.battery_mass, 0),
        "length_mm": rounded(2.0 * half, 1),
        "front_behind_nose_mm": rounded(place.front - nose, 1),
        "front_ahead_of_le_mm": rounded(float(results.airframe.wing.le[0, 0]) - place.front, 1),
        "front_within_limits_mm": fronts(within),
        "front_for_first_flights_mm": fronts(place.first),
        "balance_behind_le_mm": rounded(place.cg_x - leading_edge(results), 1),
        "all_up_g": rounded(place.mass, 0),
        "fits": place.fits,
        "too_long": place.too_long,
        "moves": [
            {"item": move.item, "aft_mm": rounded(move.after - move.before, 1)} for move in place.moves
        ],
        "ballast": _ballast(place),
    }


def _ballast(place: BatteryPlace) -> Json | None:
    if place.ballast is None:
        return None
    return {"mass_g": place.ballast.grams, "end": place.ballast.end}


def _thrust(results: Results) -> Json:
    line, thrust = results.thrust, results.airframe.thrust
    total = thrust.total_n
    known = total is not None and total > 0.0
    return {
        "motor": results.fitted.motor.name,
        "propeller": results.fitted.propeller.name,
        "motors": thrust.count,
        "side": line.side,
        "tilt_deg": rounded(line.tilt_deg, 1),
        "tilt_says": line.tilt_says,
        "static_thrust_n": rounded(total, 1) if known else None,
        "power_says": line.says if known else None,
        "power_certain_pct": rounded(100.0 * line.certain, 0) if known else None,
        "power_acts_as_up_mm": band(line.edge_launch, 1) if known else None,
    }


def _transport(airframe: Airframe) -> Json:
    """Boxes of the board, longest side first, whole and of the pieces that it comes apart into."""
    found = transport(airframe)

    def sides(size: Size) -> list[float | int | None]:
        return [rounded(side, 0) for side in sorted(size, reverse=True)]

    return {
        "whole_mm": sides(found.whole),
        "apart_mm": sides(found.largest) if found.comes_apart else None,
        "pieces": [{"parts": list(piece.parts), "size_mm": sides(piece.size)} for piece in found.parts],
    }


def comes_off(airframe: Airframe) -> list[str]:
    """Parts that come off for transport, sorted: the first ones of joints that are not glued."""
    return sorted({joint.parts[0] for joint in airframe.joints if not joint.glued})


def cautions(results: Results, rows: list[Json]) -> list[str]:
    """What to mind at the field, for this layout."""
    airframe = results.airframe
    fast = ["hinges", "horns", "battery", *comes_off(airframe)]
    said = [
        _propeller(results.thrust.side, airframe.thrust.count),
        "Lithium cells: no dented or swollen ones; charge watched, on a surface that cannot burn.",
        f"Before every flight: {', '.join(fast)} fast.",
        f"Right way of the controls: {'; '.join(right_way(rows))}.",
        f"First flights: calm air, soft ground, {_dummy(results)}level to slightly nose-up.",
        "Keep people away and behind the thrower. Local rules for flying come before this card.",
    ]
    if airframe.thrust.count > 1:
        said.insert(1, "Two motors: both run up alike before the throw; if one stops, close the throttle.")
    return said


def _dummy(results: Results) -> str:
    """What to leave at home: a camera, where the design has one."""
    camera = any(item.kind == "camera" for item in results.fitted.items)
    return "a dummy instead of the camera, " if camera else ""


def _propeller(side: str, count: int) -> str:
    where = "hand at least 100 mm ahead of it" if side == "rear" else "hand and sleeve well behind it"
    if count > 1:
        where = where.replace("it", "both")
        return f"Propellers: arm them last, with nobody in their planes; {where}."
    return f"Propeller: arm it last, with nobody in its plane. {side.capitalize()} propeller: {where}."


def _findings(findings: Iterable[Finding]) -> list[Json]:
    """Those that are not clear, gravest first."""
    rows = []
    for finding in sorted(findings, key=lambda each: (-severity(each.verdict), each.code, each.where)):
        if finding.verdict != "clear":
            text = words(finding)
            rows.append({
                "code": finding.code, "verdict": finding.verdict, "where": finding.where,
                "title": text.title, "says": text.says,
            })  # fmt: skip
    return rows


def reference(results: Results) -> Json:
    """What readback compares with: masses, centre of gravity of the board, place of every mark."""
    airframe = results.airframe
    board = [item for item in airframe.masses if item.group == "board"]
    whole = mass_properties(np.sum([item.moments for item in board], axis=0))
    return {
        "board_mass_g": rounded(whole.mass, 3),
        "board_cg_mm": [rounded(value, 3) for value in whole.cg.tolist()],
        "blank_mass_g": {item.id: rounded(float(item.moments[3, 3]), 3) for item in board},
        "balance_mm_behind_le": rounded(results.balance.placed_behind_marks, 3),
        "balance_x_mm": rounded(results.balance.placed.x, 3),
        "marks": _marks(airframe),
    }


def _marks(airframe: Airframe) -> list[Mapping[str, Any]]:
    rows = [
        {
            "name": mark.name,
            "blank": one.blank.name,
            "panel": mark.panel,
            "face": mark.face,
            "points_mm": [
                [rounded(value, 3) for value in point]
                for point in station_of(one.blank, mark, one.transforms).tolist()
            ],
        }
        for one in airframe.placed
        for mark in one.blank.marks
    ]
    return sorted(
        rows, key=lambda row: [str(row[key]) for key in ("blank", "name", "panel", "face", "points_mm")]
    )
