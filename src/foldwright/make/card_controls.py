"""Controls of the setup card, as data: where each is measured, its throws, its ends, and which way is right.

Travel is measured in mm at the trailing edge, at the inner end of a control: against the fixed edge beside
it, or, for a surface that turns as a whole, from where it stands at rest. Throws count from the neutral, the
linkage's ends from the fixed edge. Only controls that trim have a neutral that is not in line.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any

import numpy as np

from foldwright.airframe.model import Airframe, Control, LiftingSurface, Placed
from foldwright.base.band import Band
from foldwright.base.types import FloatArray
from foldwright.evaluate import Results
from foldwright.flight.controls import Rigged, ahead_of_wing, rigged
from foldwright.flight.trim import Trim, Trims
from foldwright.geometry.fold.flat import fold_matrix
from foldwright.geometry.transform import apply
from foldwright.make.card_figures import band, rounded
from foldwright.physics.trim import edge_up

Json = dict[str, Any]
Way = tuple[str, str]
UP_DOWN: Way = ("up", "down")
LEFT_RIGHT: Way = ("left", "right")

_STEEP = 0.3
_TRIM = ("neutral_up_mm", "cruise_up_from_neutral_mm", "launch_full_power_up_mm")
_ALIKE = ("control", "kind", "role", "ahead", "rises", "chord_mm", "station", "throws")


def ways_of(surface: LiftingSurface) -> Way:
    """What travel up and travel down are called: fins go left and right."""
    return LEFT_RIGHT if surface.upright else UP_DOWN


def part_of(one: Rigged) -> str:
    """Id of the part that a control belongs to."""
    return one.surface.id.split("/")[0]


def clearance(airframe: Airframe, one: Rigged) -> tuple[float, float]:
    """Turns [rad] up and down (fins: left and right) from in line that the hinge bevel clears, both positive.

    A live hinge closes towards the face that its bevel is cut in, and is free (90 degrees taken) the other
    way. Without a hinge fold of that name nothing limits it. Of several hinges the nearest limit counts.
    """
    up = down = math.pi / 2.0
    for placed in airframe.placed:
        if placed.part != part_of(one):
            continue
        for fold in placed.blank.folds:
            if fold.name not in one.control.fold_names:
                continue
            if _closes_down(placed, fold.name, one.surface):
                down = min(down, fold.limit)
            else:
                up = min(up, fold.limit)
    return up, down


def _closes_down(placed: Placed, name: str, surface: LiftingSurface) -> bool:
    """Whether a hinge that turns towards its opened face takes the trailing edge down (fins: right)."""
    fold = next(fold for fold in placed.blank.folds if fold.name == name)
    small = 1e-3 if fold.toward == fold.opened else -1e-3
    polygon = placed.blank.panel(fold.child).polygon
    flat = np.column_stack([polygon, np.zeros(len(polygon))])
    parent = placed.transforms[fold.parent]
    before = apply(parent, flat)
    moved = apply(parent @ fold_matrix(fold, small, placed.blank.thickness), flat) - before
    up = upward(surface)
    if surface.symmetric and not surface.upright and float(before[:, 1].mean()) < 0.0:
        up = up * np.array([1.0, -1.0, 1.0])
    return float(moved[int(np.argmax(before[:, 0]))] @ up) < 0.0


def upward(surface: LiftingSurface) -> FloatArray:
    """Direction (3,) in which a trailing edge of the right half goes when it goes up: aft times outward; on
    fins, hanging ones too, to the left.
    """
    span = surface.le[-1] - surface.le[0]
    across = np.array([0.0, float(span[1]), float(span[2])])
    length = float(np.linalg.norm(across))
    up = np.asarray(np.cross([1.0, 0.0, 0.0], across / length if length > 0.0 else [0.0, 1.0, 0.0]))
    return -up if surface.upright and up[1] > 0.0 else up


def controls(results: Results) -> list[Json]:
    """A row a control, the one that trims and is measured first; controls alike share a row."""
    rows: list[Json] = []
    for one in rigged(results.airframe.surfaces):
        row = _row(results, one)
        twin = next((other for other in rows if all(other[key] == row[key] for key in _ALIKE)), None)
        if twin is None:
            rows.append(row)
        else:
            twin["parts"] = sorted({*twin["parts"], *row["parts"]})
            twin["pieces"] += row["pieces"]
    rows.sort(key=lambda row: (not row["measured"], not row["trims"]))
    _name(rows)
    return rows


def _name(rows: Sequence[Json]) -> None:
    """Names by id, with the part's where two rows have one id."""
    ids = [row["control"] for row in rows]
    for row in rows:
        plain = row["control"]
        row["name"] = f"{row['parts'][0]} {plain}" if ids.count(plain) > 1 else plain


def _row(results: Results, one: Rigged) -> Json:
    control, surface, trims = one.control, one.surface, results.trims
    gain, station = one.gain("pitch"), trims.launch.station
    measured = gain != 0.0 and station.control == control.id and station.surface in {"", surface.id}
    chord = station.chord if measured else control.chord
    neutral = -gain * float(trims.launch.state.delta[0]) if gain else 0.0
    ways, clear = ways_of(surface), clearance(results.airframe, one)
    return {
        "control": control.id,
        "kind": control.kind,
        "parts": [part_of(one)],
        "role": surface.role,
        "ahead": ahead_of_wing(surface, results.airframe.surfaces),
        "rises": bool(surface.le[-1, 2] >= surface.le[0, 2]),
        "pieces": 2 if surface.symmetric else 1,
        "trims": gain != 0.0,
        "measured": measured,
        "all_moving": control.all_moving,
        "station": _station(one),
        "chord_mm": rounded(chord, 1),
        "horn_mm2": rounded(control.horn_area, 0) if control.horn_area > 0.0 else None,
        "bevel_clears": _ways(ways, clear, "deg", math.degrees(1.0)),
        **(_trim_figures(trims, gain * chord) if gain else dict.fromkeys(_TRIM)),
        **throws(neutral, control, chord, clear, ways),
    }


def _trim_figures(trims: Trims, chord: float) -> Json:
    """Trim in mm of trailing edge up at a control. chord: times its share of the pitch stick."""

    def up(trim: Trim) -> FloatArray:
        return np.asarray(edge_up(trim.state.delta, chord))

    launch, cruise, power = trims.launch, trims.cruise, trims.launch_power
    return {
        "neutral_up_mm": band(Band.of(up(launch), "mm", launch.up.basis), 1),
        "cruise_up_from_neutral_mm": band(Band.of(up(cruise) - up(launch), "mm", cruise.up.basis), 1),
        "launch_full_power_up_mm": band(Band.of(up(power), "mm", power.up.basis), 1),
    }


def _station(one: Rigged) -> Json:
    """Where travel is measured, along the surface: from the centre line, or from the root of what stands."""
    surface, along = one.surface, one.control.inner
    span = surface.le[-1] - surface.le[0]
    if surface.role in {"fin", "v_tail"} or abs(float(span[2])) > _STEEP * abs(float(span[1])):
        return {"mm": rounded(along, 1), "from": "root"}
    return {"mm": rounded(abs(float(surface.le[0, 1])) + along, 1), "from": "centre line"}


def throws(neutral: float, control: Control, chord: float, clear: tuple[float, float], ways: Way) -> Json:
    """Throws from the built-in neutral, and where the linkage must stop, from in line.

    neutral: rad, trailing edge up (fins: left). The travel of the design file counts from the built-in
    neutral, as the transmitter does, and is cut short where the bevel does not clear it. Ends are positive
    on the side that their way names.
    """
    if not math.isfinite(neutral):
        none = _ways(ways, (math.nan, math.nan), "mm", 1.0)
        return {"throws": [row | {"deg": None} for row in none], "ends": none,
                "throw_cut_short": False}  # fmt: skip
    high, low = min(neutral + control.up, clear[0]), max(neutral - control.down, -clear[1])
    edge = [chord * math.sin(turn) for turn in (low, neutral, high)]
    cut = high < neutral + control.up - 1e-9 or low > neutral - control.down + 1e-9
    reach, turn = (edge[2] - edge[1], edge[1] - edge[0]), (high - neutral, neutral - low)
    return {
        "throws": [
            {
                "way": way,
                "mm": rounded(mm, 1),
                "deg": rounded(math.degrees(deg), 1),
            }
            for way, mm, deg in zip(ways, reach, turn, strict=True)
        ],
        "ends": _ways(ways, (edge[2], -edge[0]), "mm", 1.0),
        "throw_cut_short": cut,
    }


def _ways(ways: Way, values: tuple[float, float], unit: str, scale: float) -> list[Json]:
    return [{"way": way, unit: rounded(value * scale, 1)} for way, value in zip(ways, values, strict=True)]


def right_way(rows: Sequence[Json]) -> list[str]:
    """Which way each trailing edge goes for each stick, in words: back, right, rudder right, flaps.

    Pitch: nose up takes trailing edges up behind the wing and down ahead of it. Roll: right up, left down.
    Yaw: a fin's edge to the right; of a V-tail, right down and left up, the other way round where it hangs.
    Ahead of the wing yaw turns round too.
    """
    said = []
    for stick, one in (("stick back", _pitch), ("stick right", _roll), ("rudder right", _yaw)):
        found = list(dict.fromkeys(words for row in rows if (words := one(row))))
        if found:
            said.append(f"{stick}, {', '.join(found)}")
    flaps = [row for row in rows if row["kind"] in {"flap", "flaperon"}]
    if flaps:
        said.append(f"flap switch, {' and '.join(dict.fromkeys(_both(row) for row in flaps))} down")
    return said


def _both(row: Json) -> str:
    """What a row's control is called when its pieces move alike."""
    kind = row["kind"]
    ahead = "canard " if row["ahead"] else ""
    if row["pieces"] < 2 or kind == "elevator":
        return f"{ahead}{kind}"
    return f"both {ahead}{kind}s" if row["pieces"] == 2 else f"all {ahead}{kind}s"


def _pitch(row: Json) -> str:
    if row["kind"] not in {"elevon", "elevator", "ruddervator"}:
        return ""
    return f"{_both(row)} {'down' if row['ahead'] else 'up'}"


def _roll(row: Json) -> str:
    kind = row["kind"]
    if kind not in {"elevon", "aileron", "flaperon"}:
        return ""
    return f"right {kind} up and left one down"


def _yaw(row: Json) -> str:
    if row["kind"] == "rudder":
        name = "rudder" if row["pieces"] < 2 else f"{'both' if row['pieces'] == 2 else 'all'} rudders"
        return f"{name} to the {'left' if row['ahead'] else 'right'}"
    if row["kind"] == "ruddervator":
        down = row["rises"] != row["ahead"]
        return f"right ruddervator {'down' if down else 'up'} and left one {'up' if down else 'down'}"
    return ""


_MIXED = {
    "elevon": "Elevons mix pitch and roll",
    "ruddervator": "The V-tail mixes pitch and yaw",
    "flaperon": "Flaperons mix roll and flaps",
}


def mixing(rows: Sequence[Json]) -> list[str]:
    """What has to be mixed, each once."""
    kinds = {row["kind"] for row in rows}
    where = "in the transmitter or in a mixer, never both"
    return [f"{words}: {where}." for kind, words in _MIXED.items() if kind in kinds]
