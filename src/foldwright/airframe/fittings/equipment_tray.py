"""A tray on the floor of a body: pegs for boards, rims and straps for boxes, strain relief, wire channels."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import lru_cache
from math import atan, ceil, degrees
from types import MappingProxyType

import numpy as np
import shapely

from foldwright.airframe.fitting import FittingBuild, Site
from foldwright.airframe.fitting_model import Fitting
from foldwright.airframe.fitting_places import Stand, area_of, face_frame, floor_under, room_on
from foldwright.airframe.model import Airframe, MarkRequest, Note, Placed
from foldwright.airframe.tray_plan import PEG_HIGH, RIM_HIGH, WEB, Ground, Layout, Thing, planned
from foldwright.airframe.tray_shape import TAPER, TrayShape, ring_of
from foldwright.base.finding import Finding
from foldwright.base.types import FloatArray
from foldwright.design.equipment import Wire
from foldwright.design.fittings import EquipmentTray
from foldwright.design.resolve import FittedItem
from foldwright.geometry.fold.model import Face
from foldwright.geometry.solid.core import Area
from foldwright.geometry.transform import apply, shift

MODEL = EquipmentTray
LEAST_PEG = 1.2
"""A thinner peg breaks off when the board is pressed on. [judgement]"""
HELP = 0.0
_SAME = 0.05
_SIDES = MappingProxyType({"-x": "front", "+x": "rear", "-y": "left", "+y": "right"})
_CONTROLLER = "controller"


def build(fitting: EquipmentTray, site: Site) -> FittingBuild:
    """One tray, or findings that say why there is none: P50-P55."""
    where = f"fitting.{fitting.id}"
    items, found = _items(fitting, site, where)
    if found:
        return FittingBuild(findings=tuple(found))
    stand, found = _stand(items, site, where)
    if stand is None:
        return FittingBuild(findings=tuple(found))
    slope = _slope(stand)
    thick = fitting.floor_mm * float(np.sqrt(1.0 + slope[0] ** 2 + slope[1] ** 2))
    found = [finding for item in items for finding in _under(item, stand, thick, where)]
    room = _room(items, stand, site)
    found += [finding for item in items for finding in _beside(item, room, stand, where)]
    if found:
        return FittingBuild(findings=tuple(found))
    return _laid(fitting, site, items, stand, (slope, thick, room))


def _items(fitting: EquipmentTray, site: Site, where: str) -> tuple[tuple[FittedItem, ...], list[Finding]]:
    """What it holds, or P50 for ids that are no equipment, P55 for pegs that would break."""
    found: list[Finding] = []
    items: list[FittedItem] = []
    for name in fitting.holds:
        placed = site.fitted.placed(name)
        items += placed
        if not placed:
            known = ", ".join(sorted({item.item for item in site.fitted.items})) or "none"
            found.append(Finding("P50", "no-go", f"{where}.holds", {"got": name, "known": known}))
    for item in items:
        peg = _peg(item, fitting, site)
        if item.holes_mm is not None and peg < LEAST_PEG:
            need = LEAST_PEG + site.printer.clearance_mm if item.hole_mm is not None else LEAST_PEG
            facts: dict[str, str | int | float] = {
                "item": item.id, "peg": round(peg, 2), "need": round(need, 2),
                "key": "the stock's hole_mm" if item.hole_mm is not None else f"{where}.peg_mm",
            }  # fmt: skip
            found.append(Finding("P55", "no-go", f"{where}.peg_mm", facts, peg, LEAST_PEG, "mm"))
    return tuple(items), found


def _peg(item: FittedItem, fitting: EquipmentTray, site: Site) -> float:
    return fitting.peg_mm if item.hole_mm is None else item.hole_mm - site.printer.clearance_mm


def _bottom(item: FittedItem) -> float:
    return item.place_mm[2] - item.size_mm[2] / 2.0


def _box(item: FittedItem) -> tuple[tuple[float, float], tuple[float, float]]:
    (x, y, _), (long, wide, _) = item.place_mm, item.size_mm
    return (x - long / 2.0, y - wide / 2.0), (x + long / 2.0, y + wide / 2.0)


def _stand(items: Sequence[FittedItem], site: Site, where: str) -> tuple[Stand | None, list[Finding]]:
    """The one floor under all of them; P51 where there is none, P52 where they stand on several."""
    stands = []
    for item in items:
        x, y, z = item.place_mm
        stand = floor_under(site.airframe, x, y, z)
        if stand is None:
            return None, [Finding("P51", "no-go", where, {"item": item.id, "x": round(x), "y": round(y)})]
        stands.append(stand)
    first = stands[0]
    for item, stand in zip(items, stands, strict=True):
        if (stand.blank, stand.panel.name) != (first.blank, first.panel.name):
            facts: dict[str, str | int | float] = {
                "item": item.id, "here": f"{stand.panel.name} of {stand.blank}",
                "other": items[0].id, "there": f"{first.panel.name} of {first.blank}",
            }  # fmt: skip
            return None, [Finding("P52", "no-go", f"{where}.holds", facts)]
    return first, []


def _slope(stand: Stand) -> tuple[float, float]:
    """Rise of the face along x and y."""
    n = stand.frame[:3, 2]
    return float(-n[0] / n[2]), float(-n[1] / n[2])


def _floor_at(stand: Stand, x: float, y: float) -> float:
    """Height of the face at (x, y)."""
    at, (a, b) = stand.frame[:3, 3], _slope(stand)
    return float(at[2] + a * (x - at[0]) + b * (y - at[1]))


def _under(item: FittedItem, stand: Stand, thick: float, where: str) -> list[Finding]:
    """P53 where the plate has no room under an item."""
    (x0, y0), (x1, y1) = _box(item)
    floor = max(_floor_at(stand, x, y) for x in (x0, x1) for y in (y0, y1))
    lack = floor + thick - _bottom(item)
    if lack <= _SAME:
        return []
    facts: dict[str, str | int | float] = {
        "item": item.id, "gap": round(_bottom(item) - floor, 1), "plate": round(thick, 1),
        "key": f"equipment.{item.item}.z_mm", "need": ceil((item.place_mm[2] + lack) * 10.0 - 1e-6) / 10.0,
    }  # fmt: skip
    return [Finding("P53", "no-go", where, facts, _bottom(item) - floor, thick, "mm")]


def _room(items: Sequence[FittedItem], stand: Stand, site: Site) -> Area:
    """Where the tray may lie, in plan: the face less its edges and all other board, by the clearance."""
    tops = [
        _bottom(item) - _floor_at(stand, *item.place_mm[:2]) + max(RIM_HIGH, PEG_HIGH + TAPER)
        for item in items
    ]
    at = (stand.placed, stand.panel.name, stand.face)
    return _room_of(
        _Asked(site.airframe.placed, at, round(max(tops), 6), site.printer.clearance_mm, site.airframe)
    )


@dataclass(frozen=True, slots=True)
class _Asked:
    """Room that is asked for; the same on the same board (by identity) and floor."""

    placed: tuple[Placed, ...]
    at: tuple[Placed, str, Face]
    high: float
    gap: float
    airframe: Airframe = field(compare=False)


@lru_cache(maxsize=32)
def _room_of(asked: _Asked) -> Area:
    """Room on a floor in plan; the last ones are remembered."""
    one, panel, face = asked.at
    room = room_on(asked.airframe, asked.at, asked.high, asked.gap)
    return _in_plan(room, face_frame(one, panel, face))


def _in_plan(area: Area, frame: FloatArray) -> Area:
    """An area of a face's own frame seen from above, in the aeroplane."""

    def seen(points: FloatArray) -> FloatArray:
        flat = np.column_stack([points, np.zeros(len(points))])
        plan: FloatArray = apply(frame, flat)[:, :2]
        return plan

    return area_of(shapely.transform(area, seen).buffer(0.0))


def _beside(item: FittedItem, room: Area, stand: Stand, where: str) -> list[Finding]:
    """P54 where an item's footprint reaches past the room on the floor."""
    (x0, y0), (x1, y1) = _box(item)
    foot = shapely.box(x0, y0, x1, y1)
    over = foot.difference(room.buffer(_SAME))
    if over.area < _SAME:
        return []
    low_x, low_y, high_x, high_y = over.bounds
    long, wide = high_x - low_x, high_y - low_y
    along = long < wide if abs(long - wide) > _SAME else True
    key, lack = ("x_mm", long) if along else ("y_mm", wide)
    middle = item.place_mm[0 if along else 1]
    end = (low_x + high_x) / 2.0 if along else (low_y + high_y) / 2.0
    step = ceil((lack + _SAME) * 10.0) / 10.0  # to the safe side
    need = middle + (step if end < middle else -step)
    facts: dict[str, str | int | float] = {
        "item": item.id, "over": round(lack, 1), "floor": f"{stand.panel.name} of {stand.blank}",
        "key": f"equipment.{item.item}.{key}", "need": round(need, 1),
        "way": ("forward", "aft", "left", "right")[2 * (not along) + (end > middle)],
    }  # fmt: skip
    return [Finding("P54", "no-go", where, facts, lack, 0.0, "mm")]


def _laid(
    fitting: EquipmentTray, site: Site, items: Sequence[FittedItem], stand: Stand,
    floor: tuple[tuple[float, float], float, Area],
) -> FittingBuild:  # fmt: skip
    """The tray in its place; P56 where it falls in pieces."""
    slope, thick, room = floor
    x = float(np.mean([item.place_mm[0] for item in items]))
    y = float(np.mean([item.place_mm[1] for item in items]))
    z = _floor_at(stand, x, y)
    things = tuple(_thing(item, fitting, site, (x, y, z)) for item in items)
    own = area_of(shapely.transform(room, lambda points: points - np.array([x, y])))
    ground = Ground(slope, thick, own, site.printer.clearance_mm, fitting.rim_mm, fitting.channel_mm)
    plan = planned(things, ground)
    plate = plan.plate
    if not isinstance(plate, shapely.Polygon):
        pieces = len(shapely.get_parts(plate))
        facts: dict[str, str | int | float] = {
            "pieces": pieces,
            "floor": f"{stand.panel.name} of {stand.blank}",
        }
        return FittingBuild(findings=(Finding("P56", "no-go", f"fitting.{fitting.id}.holds", facts),))
    shape = TrayShape(
        slope, fitting.floor_mm, (ring_of(plate), *(ring_of(ring) for ring in plate.interiors)),
        plan.raised, plan.hollows, plan.pegs,
    )  # fmt: skip
    made = Fitting(
        fitting.id, fitting.kind, f"equipment tray for {_listed([item.id for item in items])}", shape,
        shift(x, y, z), site.printed(fitting), blank=stand.blank, figures=_figures(shape, plan),
    )  # fmt: skip
    return FittingBuild(
        (made,),
        tuple(_spare(plan, fitting)),
        _guides(made, stand),
        _notes(made, plan, items),
    )


def _thing(item: FittedItem, fitting: EquipmentTray, site: Site, at: tuple[float, float, float]) -> Thing:
    low, high = _box(item)
    holes = item.holes_mm
    return Thing(
        item.id,
        (low[0] - at[0], low[1] - at[1]),
        (high[0] - at[0], high[1] - at[1]),
        round(_bottom(item) - at[2], 6),
        item.size_mm[2],
        holes,
        0.0 if holes is None else _peg(item, fitting, site),
        _ways(item, site),
    )


def _ways(item: FittedItem, site: Site) -> tuple[tuple[str, ...], ...]:
    """Sides that each wire may leave by, best first: toward the first point it passes, or its far end."""
    points: list[Sequence[float]] = []
    named = [wire for wire in site.design.wire if {item.id, item.item} & set(wire.ends)]
    for wire in named:
        first = wire.ends[0] in {item.id, item.item}
        via = wire.via_mm if first else wire.via_mm[::-1]
        points += via[:1] or _ends(wire, first, site)
    if item.kind == _CONTROLLER:
        told = {end for wire in named for end in wire.ends}
        points += [point for end, point in _drive(site) if end not in told]
    return tuple(dict.fromkeys(_way(item, point) for point in points))


def _ends(wire: Wire, first: bool, site: Site) -> list[tuple[float, float, float]]:
    """Places of a wire's far end: several where that is mirrored."""
    other = wire.ends[1 if first else 0]
    for end, point in _drive(site):
        if end == other:
            return [point]
    return [item.place_mm for item in site.fitted.items if other in {item.id, item.item}]


def _drive(site: Site) -> tuple[tuple[str, tuple[float, float, float]], ...]:
    """Battery (the middle of its slide where the balance has not placed it) and motor."""
    fitted = site.fitted
    x = fitted.battery_x_mm
    x = sum(fitted.battery_slide_mm) / 2.0 if x is None else x
    return ("battery", (x, fitted.battery_y_mm, fitted.battery_z_mm)), ("motor", fitted.motor.place_mm)


def _way(item: FittedItem, point: Sequence[float]) -> tuple[str, ...]:
    """The side of an item that looks most toward a point, against its size; then the others, far one last."""
    away = [(point[k] - item.place_mm[k]) / max(item.size_mm[k], 1.0) for k in (0, 1)]
    first, then = sorted((0, 1), key=lambda axis: -abs(away[axis]))

    def side(axis: int, sign: float) -> str:
        return f"{'+' if sign * away[axis] >= 0.0 else '-'}{'xy'[axis]}"

    ends = ("+", "-") if away[then] >= 0.0 else ("-", "+")
    return side(first, 1.0), *(f"{sign}{'xy'[then]}" for sign in ends)


def _figures(shape: TrayShape, plan: Layout) -> dict[str, float]:
    low, high = shape.box
    figures = {
        "long_mm": high[0] - low[0], "wide_mm": high[1] - low[1], "high_mm": high[2] - low[2],
        "pegs": float(len(plan.pegs)), "straps": float(plan.straps), "strain_reliefs": float(plan.posts),
        "slope_deg": degrees(atan(shape.slope[0])),
    }  # fmt: skip
    if plan.pegs:
        figures["peg_mm"] = plan.pegs[0].diameter
    return {key: round(value, 3) + 0.0 for key, value in figures.items()}


def _spare(plan: Layout, fitting: EquipmentTray) -> list[Finding]:
    """P57: straps that there was no room for."""
    where = f"fitting.{fitting.id}"
    lost = [f"there is no room beside {name} for a strap's slots" for name in plan.unstrapped]
    if plan.straps and not any(hollow.low == 0.0 for hollow in plan.hollows):
        lost.append(f"floor_mm of {fitting.floor_mm:g} leaves no groove for straps; {WEB + 0.3:.1f} does")
    return [Finding("P57", "watch", where, {"why": why}) for why in lost]


def _guides(made: Fitting, stand: Stand) -> tuple[MarkRequest, ...]:
    """Front and rear edge of the tray on the face it is glued to."""
    low, high = made.shape.box
    move = made.placement[:3, 3]
    x0, y0, z = low[0] + move[0], low[1] + move[1], float(move[2])
    x1, y1 = high[0] + move[0], high[1] + move[1]
    lines = (((x, y0, z), (x, y1, z)) for x in (x0, x1))
    return tuple(MarkRequest(made.id, stand.blank, "-z", line, stand.face, HELP) for line in lines)


def _notes(made: Fitting, plan: Layout, items: Sequence[FittedItem]) -> tuple[Note, ...]:
    """P59 how it is put in; P58 for wires that have no strain relief on it."""
    low, _ = made.shape.box
    straps = ", held by straps through the slots" if plan.straps else ""
    note = Note("P59", made.blank, {
        "fitting": made.id, "items": _listed([item.id for item in items]),
        "front": round(float(made.placement[0, 3]) + low[0]), "blank": made.blank, "straps": straps,
        "ties": "; tie the wires to the posts" if plan.posts else "",
    })  # fmt: skip
    loose = (name.partition(" ") for name in plan.unrelieved)
    return (note, *(Note("P58", made.blank, {"item": item, "side": _SIDES[way]}) for item, _, way in loose))


def _listed(names: Sequence[str]) -> str:
    return names[0] if len(names) == 1 else ", ".join(names[:-1]) + " and " + names[-1]
