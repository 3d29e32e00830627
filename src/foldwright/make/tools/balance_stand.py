"""Balance stand: two plates on edge carry the wing at its balance point, and a stop at its leading edge sets
it.

Frame of a plate: x aft from the balance point, y up from the table, mm; it stands in the plane of the wing's
ribs, its thickness across. Two bars lock both plates at their distance, lapped half and half.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import degrees, tan

import numpy as np
import shapely
from shapely import affinity

from foldwright.base.finding import Finding, Param
from foldwright.base.types import FloatArray
from foldwright.design.workshop import Printer
from foldwright.evaluate import Results
from foldwright.geometry.solid.core import Area, Solid, box, extrude, rod
from foldwright.geometry.solid.shape import eased
from foldwright.make.fittings import makers
from foldwright.make.print_bed import room_of
from foldwright.make.printing import Made
from foldwright.make.tools import Tool, ToolBench
from foldwright.make.tools.flat_plates import (
    Line,
    fits,
    groove,
    longest,
    lowered,
    pieces,
    plate,
    title_of,
    written,
)
from foldwright.make.tools.ground import half_width, lowest, nose_at, part_of, propeller_low
from foldwright.review.extents import under

ORDER = 10

THICK_MM = 6.0
FOOT_MM, LAP_MM, FOOT_HALF_MM = 18.0, 9.0, 46.0
PIVOT_MM = 2.0  # radius of the edge that the wing tips on
BESIDE_MM = 10.0  # [judgement] between the body's side and a plate
BODY_CLEAR_MM = 40.0  # [judgement] under a body: it tips about 5 degrees before it meets a bar
PROPELLER_CLEAR_MM = 20.0  # [judgement]
TIP = 0.14  # [judgement] rad that the wing may tip before the arm of the stop is met: 8 degrees
AIR_MM = 1.0
"""[judgement] between a plate and what hangs under the aeroplane, tipped as far as it goes."""
WIRE_MM = 3.0
"""[judgement] a leg of wire with the bends at its ends, across."""
_TURNS = 17
_ARM_MM, _STOP_MM, _ABOVE_MM, _STEP_MM = 9.0, 5.0, 4.0, 5.0


@dataclass(frozen=True, slots=True)
class Spot:
    """Where the stand carries: y of a plate's middle; height of what lies on it, z in the aeroplane; stop:
    how far ahead of the balance point the leading edge stands, and its height, None for no stop; on: part;
    meets: what runs into the plate while the aeroplane tips, "" where no place is free of that.
    """

    y: float
    z: float
    stop: tuple[float, float] | None
    on: str
    meets: tuple[str, ...] = ()


def make(bench: ToolBench) -> tuple[Tool, ...]:
    """Plates and bars; none where neither wing nor body lies over the balance point."""
    spot = carried(bench.results)
    if spot is None:
        return ()
    return (_plates(bench, spot), *_bars(bench, spot))


def carried(results: Results) -> Spot | None:
    """Beside the body under the wing, where that is there, else under the body."""
    airframe, x = results.airframe, results.balance.placed.x
    wing = part_of(airframe.wing)
    fore = min(x - FOOT_HALF_MM, float(airframe.wing.le[0, 0]) - 2.0 * _STOP_MM)
    half = half_width(airframe, fore, x + FOOT_HALF_MM)
    end = float(np.abs(airframe.wing.le[:, 1]).max()) - 2.0 * THICK_MM
    low = _hanging(results)
    first: Spot | None = None
    for y in np.arange(half + BESIDE_MM + THICK_MM / 2.0, end, _STEP_MM).tolist():
        z = _met(results, x, y, wing)
        if z is None:
            continue
        spot = Spot(y, z, _stop(results, wing, x, y), wing)
        met = met_by(results, spot, low)
        if not met:
            return spot
        first = first or replace(spot, meets=met)
    if first is not None:
        return first
    for y in np.arange(half - THICK_MM, THICK_MM, -1.0).tolist():
        for body in airframe.bodies:
            z = _met(results, x, y, body.id)
            if z is not None:
                return Spot(y, z, None, body.id)
    return None


@dataclass(frozen=True, slots=True, eq=False)
class Hanging:
    """Something that sticks out of the board: its id, and its solid in the aeroplane."""

    name: str
    solid: Solid


def _hanging(results: Results) -> tuple[Hanging, ...]:
    """Printed fittings as solids, legs of wire as thick rods."""
    printer = results.subject.workshop.printer or Printer()
    found = [
        Hanging(one.id, makers()[type(one.shape)](one.shape, printer).body.placed(one.placement))
        for one in results.airframe.fittings
    ]
    printed = {one.id.partition("/")[0] for one in results.airframe.fittings}
    kept = {item.id.partition("/")[0] for item in results.airframe.masses}
    for leg in results.subject.design.leg:
        if leg.id in kept and leg.id not in printed:
            for y in (leg.y_mm, -leg.y_mm) if leg.mirrored else (leg.y_mm,):
                foot = (leg.x_mm, y, leg.z_mm)
                found.append(Hanging(leg.id, rod(foot, (leg.x_mm, y, leg.z_mm - leg.long_mm), WIRE_MM)))
    return tuple(found)


def met_by(results: Results, spot: Spot, hanging: Sequence[Hanging]) -> tuple[str, ...]:
    """Names of what runs into a plate at a spot, or comes nearer than AIR_MM to it, while the aeroplane tips
    by TIP either way on its edge.
    """
    height = stand_height(results, spot)
    stop = None if spot.stop is None else (spot.stop[0], spot.stop[1] - spot.z)
    area = plate_area(height, stop, THICK_MM)
    pivot = (results.balance.placed.x, spot.z)
    found = []
    for one in hanging:
        for side in (1.0, -1.0):
            y = sorted((side * spot.y - THICK_MM / 2.0 - AIR_MM, side * spot.y + THICK_MM / 2.0 + AIR_MM))
            low, high = one.solid.bounds
            if low[1] >= y[1] or high[1] <= y[0]:
                continue
            slab = box((low[0] - 1.0, y[0], low[2] - 1.0), (high[0] + 1.0, y[1], high[2] + 1.0))
            cut = one.solid & slab
            if cut.volume > 1e-6 and _tips_into(area, cut, pivot, height):
                found.append(one.name)
    return tuple(dict.fromkeys(found))


def _tips_into(area: Area, cut: Solid, pivot: tuple[float, float], height: float) -> bool:
    """Whether what is cut out between both sides of a plate runs into it; area: see `plate_area`."""
    # seen from the left: x aft, z up (a turn of y into z, as the plate's own frame has it)
    seen = affinity.translate(cut.placed(_FROM_SIDE).shadow(), -pivot[0], height - pivot[1]).buffer(AIR_MM)
    turns = np.linspace(-TIP, TIP, _TURNS).tolist()
    return any(
        affinity.rotate(seen, turned, (0.0, height), use_radians=True).intersects(area) for turned in turns
    )


_FROM_SIDE: FloatArray = np.array(
    [[1.0, 0.0, 0.0, 0.0], [0.0, 0.0, 1.0, 0.0], [0.0, -1.0, 0.0, 0.0], [0.0, 0.0, 0.0, 1.0]]
)
"""From x aft, y right, z up to x aft, z up, and what looks at it."""


def _met(results: Results, x: float, y: float, part: str) -> float | None:
    """Height of the underside over a plate's edge, the lowest across it; None where it is not of this
    part.
    """
    heights = []
    for at in (y - THICK_MM / 2.0, y, y + THICK_MM / 2.0):
        met = under(results.airframe, x, at)
        if met is None or met[0].split("/")[0] != part:
            return None
        heights.append(met[1])
    return min(heights)


def _stop(results: Results, wing: str, x: float, y: float) -> tuple[float, float] | None:
    """What the stop's flat face meets first: the foremost leading edge across the plate."""
    ends = (nose_at(results.airframe, wing, y + off) for off in (-THICK_MM / 2.0, THICK_MM / 2.0))
    found = [one for one in ends if one is not None]
    if not found:
        return None
    front = min(found)
    return (x - front[0], front[1]) if x - front[0] > 12.0 else None


def stand_height(results: Results, spot: Spot) -> float:
    """Height of the pivots over the table, mm: body and propeller go clear of bars and table."""
    low = min(lowest(results.airframe) - BODY_CLEAR_MM, propeller_low(results.airframe) - PROPELLER_CLEAR_MM)
    return max(spot.z - low, FOOT_MM + 30.0)


def plate_area(height: float, stop: tuple[float, float] | None, notch: float) -> Area:
    """A plate's outline. stop: how far ahead, and how high over the pivot the leading edge stands; notch:
    width of the laps in the foot.
    """
    top = height - PIVOT_MM
    column = shapely.Polygon(
        [(-15, 0), (15, 0), (4, top - 6), (PIVOT_MM, top), (-PIVOT_MM, top), (-4, top - 6)]
    )
    parts = [
        shapely.box(-FOOT_HALF_MM, 0.0, FOOT_HALF_MM, FOOT_MM),
        column,
        shapely.Point(0.0, top).buffer(PIVOT_MM, quad_segs=8),
    ]
    if stop is not None:
        parts.append(_arm(height, stop))
    filleted = shapely.union_all(parts).buffer(3.0, quad_segs=6).buffer(-3.0, quad_segs=6)
    whole = shapely.union_all([filleted, *parts])
    laps = [shapely.box(x - notch / 2.0, -1.0, x + notch / 2.0, LAP_MM) for x in (-_lap_x(), _lap_x())]
    found = whole.difference(shapely.union_all(laps))
    if not isinstance(found, shapely.Polygon):
        raise TypeError("a plate in more than one piece")
    return found


def _lap_x() -> float:
    return FOOT_HALF_MM - 11.0


def _arm(height: float, stop: tuple[float, float]) -> shapely.Polygon:
    """The arm forward, low enough for the wing to tip, and the stop at its end."""
    ahead, up = stop
    drop = max(8.0, ahead * tan(TIP)) + 2.0
    upper = height - drop
    lower = max(upper - 2.0 * _ARM_MM, 4.0)
    arm = shapely.Polygon(
        [(0.0, upper), (-ahead - _STOP_MM, upper), (-ahead - _STOP_MM, upper - _ARM_MM), (0.0, lower)]
    )
    post = shapely.box(-ahead - _STOP_MM, upper - _ARM_MM, -ahead, height + up + _ABOVE_MM)
    joined = shapely.union_all([arm, post])
    if not isinstance(joined, shapely.Polygon):
        raise TypeError("an arm in more than one piece")
    return joined


def _plates(bench: ToolBench, spot: Spot) -> Tool:
    """Both plates, alike; what the bed cannot take is left off, and said."""
    printer, results = bench.printer, bench.results
    wanted = stand_height(results, spot)
    notch = THICK_MM + printer.clearance_mm
    stop = None if spot.stop is None else (spot.stop[0], spot.stop[1] - spot.z)
    found = [_runs_in(spot)] if spot.meets else []
    if stop is not None and not _lies(wanted, stop, notch, bench):
        shorter = _least(wanted, stop, notch, bench)
        if shorter is None:
            found.append(_too_far(bench, stop[0]))
            stop = None
    height = wanted
    if not _lies(wanted, stop, notch, bench):
        height = _least(wanted, stop, notch, bench) or 0.0
        found.append(lowered(bench, "balance stand", wanted, height))
    figures = {
        "height_mm": round(height, 2), "wanted_height_mm": round(wanted, 2), "apart_mm": round(2.0 * spot.y,
        2), "behind_edge_mm": 0.0 if stop is None else round(stop[0], 2), "under_feet_mm": round(wanted -
        height, 2), "y_mm": round(spot.y, 2),
    }  # fmt: skip
    if height <= 0.0:
        return Tool("balance-stand-plate", "Balance stand, plate", None, "", 2, None, figures, tuple(found))
    area = plate_area(height, stop, notch)
    template = bench.evaluation.workshop.template
    line = groove((0.0, height - 3.0), (0.0, height - 3.0 - min(30.0, height / 3.0)))
    sunk = (line, *written(area, _lines(bench, height, stop), template.stem_mm))
    made = Made(
        plate(area, THICK_MM, sunk, template.recess_mm), orientation="flat on its side, letters up",
        notes=("Two of them, alike.",),
    )  # fmt: skip
    use = _use(bench, spot, stop, wanted - height)
    return Tool("balance-stand-plate", "Balance stand, plate", made, use, 2, None, figures, tuple(found))


def _lies(height: float, stop: tuple[float, float] | None, notch: float, bench: ToolBench) -> bool:
    return fits(extrude(plate_area(height, stop, notch), THICK_MM), bench.printer)


def _least(wanted: float, stop: tuple[float, float] | None, notch: float, bench: ToolBench) -> float | None:
    """The greatest height in steps of 5 mm that the bed takes; None where not even a low one lies on it."""
    least = FOOT_MM + 30.0
    for height in np.arange(5.0 * np.floor(wanted / 5.0), least - 1e-9, -5.0).tolist():
        if _lies(height, stop, notch, bench):
            return float(height)
    return None


def _too_far(bench: ToolBench, ahead: float) -> Finding:
    room = longest(bench.printer)
    params: dict[str, Param] = {"ahead": round(ahead, 1), "room": round(room, 1)}
    return Finding(
        "P71", "watch", "printer.bed_mm", params, round(ahead, 1), round(room, 1), "mm", "geometry"
    )


def _runs_in(spot: Spot) -> Finding:
    """P74: nowhere under the wing is clear of what hangs there."""
    params: dict[str, Param] = {
        "what": ", ".join(spot.meets), "apart": round(2.0 * spot.y, 1), "tip": round(degrees(TIP)),
    }  # fmt: skip
    return Finding("P74", "watch", "fitting", params, None, None, "mm", "geometry")


def _lines(bench: ToolBench, height: float, stop: tuple[float, float] | None) -> list[Line]:
    """Name along the foot, what it is up the column, the figure along the arm."""
    lines = [
        Line(title_of(bench), (0.0, 13.2), (2.0 * FOOT_HALF_MM - 6.0, 8.0), 0.0, 5.5),
        Line("balance", (0.0, FOOT_MM + 0.3 * (height - FOOT_MM)), (0.5 * height, 12.0), np.pi / 2.0, 6.0),
    ]
    if stop is not None:
        at = (-0.5 * stop[0] - 3.0, height - max(8.0, stop[0] * tan(TIP)) - 2.0 - 0.55 * _ARM_MM)
        lines.append(Line(f"{stop[0]:.1f} mm", at, (stop[0] - 4.0, 8.0), 0.0, 5.5))
    return lines


def _use(bench: ToolBench, spot: Spot, stop: tuple[float, float] | None, rest: float) -> str:
    balance = bench.results.balance
    root = balance.placed.behind_root
    set_on = (
        "Lay the wing on both plates with its leading edge touching the stops, not pushed: it then rests"
        f" {stop[0]:.1f} mm behind the leading edge there ({spot.y:.0f} mm from the centre line), which is"
        f" the balance point, {root:.1f} mm behind the leading edge at the root."
        if stop is not None
        else "Lay the aeroplane on both plates with its balance marks over their edges, where the groove is."
    )
    above = float(balance.cg[2]) - spot.z
    way = (
        f" Its centre of gravity lies {above:.0f} mm above the edges, so it tips over to the heavier end: it"
        " is right where it tips neither way more readily."
        if above > 0.0
        else " It is right when it hangs level."
    )
    under_feet = f" Put blocks of {rest:.0f} mm under all four feet." if rest > 0.05 else ""
    return (
        f"{set_on}{way} Propeller on, battery in its place and not connected; move the battery, not the"
        f" marks.{under_feet}"
    )


def bar_area(apart: float, notch: float) -> Area:
    """A bar's outline, laps from above. apart: of the plates' middles."""
    half = apart / 2.0 + THICK_MM / 2.0 + 10.0
    laps = [
        shapely.box(x - notch / 2.0, FOOT_MM - LAP_MM, x + notch / 2.0, FOOT_MM + 1.0)
        for x in (-apart / 2.0, apart / 2.0)
    ]
    body = eased(shapely.box(-half, 0.0, half, FOOT_MM), 2.0)
    found = eased(body, 0.5).difference(shapely.union_all(laps))
    if not isinstance(found, shapely.Polygon):
        raise TypeError("a bar in more than one piece")
    return found


def _bars(bench: ToolBench, spot: Spot) -> tuple[Tool, ...]:
    """Two bars, or as many pieces of them as the bed needs."""
    area = bar_area(2.0 * spot.y, THICK_MM + bench.printer.clearance_mm)
    parts = pieces(area, THICK_MM, bench.printer)
    figures = {"apart_mm": round(2.0 * spot.y, 2)}
    use = f"Two bars hold the plates {2.0 * spot.y:.1f} mm apart: push each lap into the other."
    title = "Balance stand, bar"
    if not parts:
        return (Tool("balance-stand-bar", title, None, use, 2, None, figures, (_no_bar(bench, spot),)),)
    several = len(parts) > 1
    return tuple(
        Tool(
            f"balance-stand-bar-{number}" if several else "balance-stand-bar",
            f"{title}, piece {number} of {len(parts)}" if several else title,
            Made(extrude(part, THICK_MM), orientation="flat on its side"),
            f"{use} Glue the dovetails." if several else use,
            2,
            None,
            figures,
        )
        for number, part in enumerate(parts, 1)
    )


def _no_bar(bench: ToolBench, spot: Spot) -> Finding:
    width = min(room_of(bench.printer)[:2])
    params: dict[str, Param] = {"apart": round(2.0 * spot.y, 1), "room": round(width, 1), "high": FOOT_MM}
    return Finding("P72", "watch", "printer.bed_mm", params, FOOT_MM, round(width, 1), "mm", "geometry")
