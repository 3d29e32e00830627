"""What the setup card says, as data: `setup-card.json`, and the one source of the printed card.

Keys carry their unit. Figures are rounded once, here, to what can be measured at the field; what does not
exist is null, never a made-up number. Bands run from the 5th to the 95th percentile of the samples.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from typing import Any

import numpy as np

from foldwright.airframe.model import Airframe, Control, Placed
from foldwright.base.band import Band
from foldwright.base.finding import Finding, severity
from foldwright.base.messages import words
from foldwright.evaluate import SAMPLES, Evaluation, Results
from foldwright.flight.balance import BalancePoint, ends
from foldwright.flight.battery import BatteryPlace
from foldwright.geometry.fold.flat import fold_matrix
from foldwright.geometry.fold.marks import station_of
from foldwright.geometry.fold.mass import mass_properties
from foldwright.geometry.fold.rings import solid_rings
from foldwright.geometry.transform import apply
from foldwright.physics.trim import edge_up

FORMAT = 1
NOT_ASSESSED = ("strength", "stall", "endurance", "drive", "throttle and throw of the launch")
CAUTIONS = (
    "Propeller: arm it last, with nobody in its plane. Rear propeller: hand at least 100 mm ahead of it.",
    "Lithium cells: no dented or swollen ones; charge watched, on a surface that cannot burn.",
    "Before every flight: hinges, horns, battery fast.",
    "Right way of the controls: stick back, both edges up; stick right, right edge up.",
    "First flights: calm air, soft ground, the dummy instead of the camera, level to slightly nose-up.",
    "Keep people away and behind the thrower. Local rules for flying come before this card.",
)
_THROWS = (
    "throw_up_mm", "throw_down_mm", "throw_up_deg", "throw_down_deg", "linkage_up_mm", "linkage_down_mm",
)  # fmt: skip
Json = dict[str, Any]


def card(evaluation: Evaluation) -> Json:
    """Everything on the setup card, ready for `json.dumps(..., sort_keys=True, allow_nan=False)`.

    Raises ValueError for an evaluation without results: such a design has no card.
    """
    results = evaluation.results
    if results is None:
        raise ValueError("a setup card needs complete results")
    targets = evaluation.design.targets
    return {
        "format": FORMAT,
        "kind": "setup card",
        "design": _design(evaluation),
        "workshop": _workshop(evaluation),
        "prediction": _prediction(evaluation),
        "balance": _balance(results),
        "weight": {
            "all_up_g": band(results.balance.mass, 0),
            "all_up_limit_g": _figure(targets.all_up_limit_g, 0),
            "wing_loading_g_dm2": band(results.balance.wing_loading, 1),
        },
        "battery": _battery(results, results.balance.battery),
        "alternatives": [_battery(results, place) for place in results.balance.alternatives],
        "controls": _controls(results),
        "thrust": _thrust(results),
        "launch": {"speed_m_s": _figure(targets.launch_speed_m_s, 1)},
        "cruise": {"speed_m_s": _figure(targets.cruise_speed_m_s, 1)},
        "findings": _findings(evaluation.findings),
        "cautions": list(CAUTIONS),
        "not_assessed": list(NOT_ASSESSED),
        "reference": reference(results),
    }


def band(value: Band, digits: int) -> Json:
    """A band's figures, rounded; null where they do not exist. missing_pct: samples without a value."""
    return {
        "value": _figure(value.value, digits),
        "low": _figure(value.low, digits),
        "high": _figure(value.high, digits),
        "missing_pct": _figure(100.0 * value.missing, 0),
        "basis": value.basis,
    }


def _figure(value: float | None, digits: int) -> float | int | None:
    """Rounded, whole numbers as such, no negative zero; null for what is no number."""
    if value is None or not math.isfinite(value):
        return None
    rounded = round(float(value), digits) + 0.0
    return int(rounded) if digits <= 0 else rounded


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
            "thickness_mm": _figure(board.thickness, 2),
            "areal_density_g_m2": _figure(board.areal_density_g_m2, 0),
        },
        "cutter": {"kind": cutter.kind, "kerf_mm": _figure(cutter.kerf_mm, 2)},
    }


def _balance(results: Results) -> Json:
    balance = results.balance
    leading = balance.wanted.x - balance.wanted.behind_marks
    step = under_step(results.airframe)

    def at(point: BalancePoint) -> Json:
        return {
            "behind_le_mm": _figure(point.behind_marks, 1),
            "ahead_of_step_mm": None if step is None else _figure(step - point.x, 1),
            "margin_pct": _figure(point.margin_pct, 1),
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
        "placed_behind_le_mm": _figure(balance.placed_behind_marks, 1),
        "marks_from_centre_line_mm": _figure(_mark_place(results.airframe), 1),
        "step_behind_le_mm": None if step is None else _figure(step - leading, 1),
        "step_height_mm": _figure(results.airframe.wing.step, 1),
        "neutral_point_behind_le_mm": band(shifted, 1),
        "static_margin_pct": band(balance.static_margin, 1),
    }


def under_step(airframe: Airframe) -> float | None:
    """Place (x, mm) of the step on the underside where the under strip ends; None for a wing without one."""
    for one in airframe.placed:
        if one.part == airframe.wing.id and any(panel.name == "strip" for panel in one.blank.panels):
            panel = one.blank.panel("strip")
            _, ring = solid_rings(panel)
            points = np.column_stack([ring, np.full(len(ring), one.blank.thickness)])
            return float(apply(one.transforms["strip"], points)[:, 0].max())
    return None


def _mark_place(airframe: Airframe) -> float | None:
    """Distance from the centre line of the middle of the balance marks, mm; None where there are none."""
    places = [
        abs(float(station_of(one.blank, mark, one.transforms)[:, 1].mean()))
        for one in airframe.placed
        for mark in one.blank.marks
        if mark.name == "balance"
    ]
    return max(places) if places else None


def _battery(results: Results, place: BatteryPlace) -> Json:
    fitted = {each.id: each for each in (results.fitted.battery, *results.fitted.alternatives)}[place.id]
    nose, _ = ends(results.airframe)
    half = 0.5 * (place.rear - place.front)
    within = None if place.low is None or place.high is None else (place.low, place.high)

    def fronts(centres: tuple[float, float] | None) -> Json | None:
        if centres is None:
            return None
        return {"from": _figure(centres[0] - half - nose, 1), "to": _figure(centres[1] - half - nose, 1)}

    return {
        "id": place.id,
        "name": fitted.name,
        "mass_g": _figure(place.battery_mass, 0),
        "length_mm": _figure(2.0 * half, 1),
        "front_behind_nose_mm": _figure(place.front - nose, 1),
        "front_ahead_of_le_mm": _figure(float(results.airframe.wing.le[0, 0]) - place.front, 1),
        "front_within_limits_mm": fronts(within),
        "front_for_first_flights_mm": fronts(place.first),
        "balance_behind_le_mm": _figure(place.cg_x - float(results.airframe.wing.le[0, 0]), 1),
        "all_up_g": _figure(place.mass, 0),
        "fits": place.fits,
        "too_long": place.too_long,
        "moves": [
            {"item": move.item, "aft_mm": _figure(move.after - move.before, 1)} for move in place.moves
        ],
        "ballast": _ballast(place),
    }


def _ballast(place: BatteryPlace) -> Json | None:
    if place.ballast is None:
        return None
    return {"mass_g": place.ballast.grams, "end": place.ballast.end}


def clearance(airframe: Airframe, control: Control) -> tuple[float, float]:
    """Turns [rad] up and down from the geometric neutral that the hinge bevel clears, both positive.

    A live hinge closes towards the face that its bevel is cut in, and is free (90 degrees taken) the other
    way. Without a hinge fold of that name nothing limits it.
    """
    up = down = math.pi / 2.0
    for one in airframe.placed:
        for fold in one.blank.folds:
            if fold.name in control.fold_names:
                if _closes_down(one, fold.name):
                    down = min(down, fold.limit)
                else:
                    up = min(up, fold.limit)
    return up, down


def _closes_down(one: Placed, name: str) -> bool:
    """Whether a hinge that turns towards its opened face takes the trailing edge down."""
    fold = next(fold for fold in one.blank.folds if fold.name == name)
    small = 1e-3 if fold.toward == fold.opened else -1e-3
    polygon = one.blank.panel(fold.child).polygon
    flat = np.column_stack([polygon, np.zeros(len(polygon))])
    parent = one.transforms[fold.parent]
    before = apply(parent, flat)
    after = apply(parent @ fold_matrix(fold, small, one.blank.thickness), flat)
    aft = int(np.argmax(before[:, 0]))
    return bool(after[aft, 2] < before[aft, 2])


def _controls(results: Results) -> Json:
    trims, lift = results.trims, results.lift
    station, control = trims.launch.station, lift.controls[0]
    launch, cruise = trims.launch.state.delta, trims.cruise.state.delta
    change = edge_up(cruise, station.chord) - edge_up(launch, station.chord)
    up_clear, down_clear = clearance(results.airframe, control)
    built_in = -math.radians(trims.launch.delta.value)
    shown: Json = {
        "control": control.id,
        "kind": control.kind,
        "alike": sorted({each.id for each in lift.controls}),
        "station_from_centre_line_mm": _figure(station.y, 1),
        "chord_mm": _figure(station.chord, 1),
        "neutral_up_mm": band(trims.launch.up, 1),
        "cruise_up_from_neutral_mm": band(Band.of(change, "mm", trims.cruise.up.basis), 1),
        "launch_full_power_up_mm": band(trims.launch_power.up, 1),
        "bevel_clears_up_deg": _figure(math.degrees(up_clear), 1),
        "bevel_clears_down_deg": _figure(math.degrees(down_clear), 1),
        "roll_as_pitch": True,
    }
    return shown | _throws(built_in, control, station.chord, (up_clear, down_clear))


def _throws(neutral: float, control: Control, chord: float, clear: tuple[float, float]) -> Json:
    """Throws from the built-in neutral, and where the linkage must stop, from the geometric one.

    neutral: rad, trailing edge up. The travel of the design file counts from the built-in neutral, as the
    transmitter does, and is cut short where the bevel does not clear it.
    """
    if not math.isfinite(neutral):
        return {**dict.fromkeys(_THROWS), "throw_cut_short": False}
    high, low = min(neutral + control.up, clear[0]), max(neutral - control.down, -clear[1])
    edge = [chord * math.sin(turn) for turn in (low, neutral, high)]
    cut = high < neutral + control.up - 1e-9 or low > neutral - control.down + 1e-9
    return {
        "throw_up_mm": _figure(edge[2] - edge[1], 1),
        "throw_down_mm": _figure(edge[1] - edge[0], 1),
        "throw_up_deg": _figure(math.degrees(high - neutral), 1),
        "throw_down_deg": _figure(math.degrees(neutral - low), 1),
        "linkage_up_mm": _figure(edge[2], 1),
        "linkage_down_mm": _figure(-edge[0], 1),
        "throw_cut_short": cut,
    }


def _thrust(results: Results) -> Json:
    line, stated = results.thrust, results.airframe.thrust.static_n
    known = stated is not None and stated > 0.0
    return {
        "motor": results.fitted.motor.name,
        "propeller": results.fitted.propeller.name,
        "side": line.side,
        "tilt_deg": _figure(line.tilt_deg, 1),
        "tilt_says": line.tilt_says,
        "static_thrust_n": _figure(stated, 1) if known else None,
        "power_says": line.says if known else None,
        "power_certain_pct": _figure(100.0 * line.certain, 0) if known else None,
        "power_acts_as_up_mm": band(line.edge_launch, 1) if known else None,
    }


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
        "board_mass_g": _figure(whole.mass, 3),
        "board_cg_mm": [_figure(value, 3) for value in whole.cg.tolist()],
        "blank_mass_g": {item.id: _figure(float(item.moments[3, 3]), 3) for item in board},
        "balance_mm_behind_le": _figure(results.balance.placed_behind_marks, 3),
        "balance_x_mm": _figure(results.balance.placed.x, 3),
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
                [_figure(value, 3) for value in point]
                for point in station_of(one.blank, mark, one.transforms).tolist()
            ],
        }
        for one in airframe.placed
        for mark in one.blank.marks
    ]
    return sorted(
        rows, key=lambda row: [str(row[key]) for key in ("blank", "name", "panel", "face", "points_mm")]
    )
