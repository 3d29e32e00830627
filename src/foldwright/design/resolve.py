"""What is fitted: stock entries and own numbers turned into masses, sizes and places.

The workshop's `fit` goes before the design's equipment, since the builder knows what is on their table.
All lengths mm, masses g, angles degrees, as in the files.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from math import pi
from typing import TYPE_CHECKING, Any, TypeVar

from foldwright.base.finding import Finding, Param, severity, worst
from foldwright.design.load import Loaded
from foldwright.design.references import STOCK_KINDS, stock_finding
from foldwright.design.stock import (
    StockBattery,
    StockFilament,
    StockItem,
    StockMotor,
    StockPropeller,
    StockSpar,
)

if TYPE_CHECKING:
    from foldwright.design.equipment import Look, Way
    from foldwright.design.model import Design, Item
    from foldwright.design.stock import Entry, Stock
    from foldwright.design.workshop import Workshop

Point3 = tuple[float, float, float]
E = TypeVar("E", bound="Entry")


@dataclass(frozen=True, slots=True)
class FittedMotor:
    """The motor and its thrust line.

    place_mm: middle of the propeller plane on the thrust line. tilt_deg: positive where the thrust vector
    points nose-up. static_thrust_n: the stock entry's figure, as stated there; static_holds: whether it was
    stated with the propeller and cells that are fitted. bolts_mm: screw holes: diameter of their circle and
    angle in degrees from up, clockwise seen from the propeller; bolt_mm: of the screws; shaft_mm: what stands
    out behind. side_deg: positive where the thrust vector points to the right. resistance_ohm, idle_a: as the
    stock says, else estimated.
    """

    id: str
    name: str
    source: str
    mass_g: float
    mount_mass_g: float
    diameter_mm: float
    length_mm: float
    kv_rpm_v: float
    max_current_a: float
    place_mm: Point3
    tilt_deg: float
    static_thrust_n: float
    static_propeller: str
    static_cells: int
    static_holds: bool
    lead_mm: float = 60.0
    bolts_mm: tuple[tuple[float, float], ...] = ()
    bolt_mm: float = 3.0
    shaft_mm: float = 8.0
    side_deg: float = 0.0
    resistance_ohm: float = 0.1
    idle_a: float = 0.6


@dataclass(frozen=True, slots=True)
class FittedPropeller:
    """The propeller."""

    id: str
    name: str
    source: str
    mass_g: float
    diameter_mm: float
    pitch_mm: float
    blades: int


@dataclass(frozen=True, slots=True)
class FittedBattery:
    """A battery that may stand on the battery's slide.

    size_mm: along x, y, z. lead_mm: to its plug, which is connector_mm wide and high.
    """

    id: str
    name: str
    source: str
    mass_g: float
    size_mm: Point3
    cells: int
    capacity_mah: float
    lead_mm: float = 80.0
    connector_mm: tuple[float, float] = (16.0, 8.0)
    resistance_ohm: float = 0.04


@dataclass(frozen=True, slots=True)
class Access:
    """Where a tool comes from: way out of the item, width of the tool and how far it reaches out, mm."""

    way: Way
    wide: float
    long: float


@dataclass(frozen=True, slots=True)
class FittedItem:
    """One piece of equipment in its place.

    id: "camera", or "servo/right" and "servo/left" of a mirrored one. item: id of its table in the file.
    kind: as in the stock; "item" for one with its own numbers. place_mm: its centre.
    slide_mm: foremost and aftmost x of the centre, None for one that stays. lead_mm, connector_mm: of its own
    lead; heat_w, current_a: with the file's own numbers before the stock's; regulator_a, max_current_a:
    of controllers, 0 where not stated. case_mm: size as the stock states it: a servo's length, width, height.
    arm_mm … screw_mm: of servos; holes_mm, hole_mm: of boards; as in the
    stock. antennas, look, keep_out_mm, access: as in the file, mirrored where
    the item is.
    """

    id: str
    item: str
    name: str
    kind: str
    source: str
    mass_g: float
    size_mm: Point3
    place_mm: Point3
    slide_mm: tuple[float, float] | None
    lead_mm: float = 0.0
    connector_mm: tuple[float, float] | None = None
    heat_w: float = 0.0
    current_a: float = 0.0
    regulator_a: float = 0.0
    max_current_a: float = 0.0
    resistance_ohm: float = 0.0
    torque_n_cm: float = 0.0
    turn_s: float = 0.0
    case_mm: Point3 | None = None
    arm_mm: tuple[float, ...] = ()
    travel_deg: float = 45.0
    lugs_mm: Point3 | None = None
    shaft_from_end_mm: float | None = None
    screw_mm: float | None = None
    holes_mm: tuple[float, float] | None = None
    hole_mm: float | None = None
    antennas: tuple[tuple[Point3, Point3], ...] = ()
    look: Look | None = None
    keep_out_mm: float = 0.0
    access: Access | None = None


@dataclass(frozen=True, slots=True)
class FittedSpar:
    """A bought spar, stick or dowel.

    part: id of the part or joint it belongs to. where: key path that names it. mass_g_m: grams per metre of
    its length. material, form: as in the stock.
    """

    part: str
    where: str
    id: str
    name: str
    source: str
    width_mm: float
    height_mm: float
    mass_g_m: float
    material: str
    form: str


@dataclass(frozen=True, slots=True)
class FittedFilament:
    """A filament. softens_c: it loses its stiffness from here on. bends: good for a living hinge."""

    id: str
    name: str
    source: str
    density_g_cm3: float
    softens_c: float
    bends: bool


@dataclass(frozen=True, slots=True)
class Resolved:
    """All equipment of one aeroplane as this workshop builds it.

    battery: the one fitted. alternatives: the others that the files name, without the fitted one.
    battery_x_mm: centre as the design wants it, None where the balance chooses. battery_y_mm, battery_z_mm:
    its centre. battery_slide_mm: foremost place of the front face and aftmost place of the rear face.
    items: in the order of the file, right before left. spars: bought ones only. filaments: all of the stock,
    by id.
    """

    motor: FittedMotor
    propeller: FittedPropeller
    battery: FittedBattery
    alternatives: tuple[FittedBattery, ...]
    battery_x_mm: float | None
    battery_y_mm: float
    battery_z_mm: float
    battery_slide_mm: tuple[float, float]
    items: tuple[FittedItem, ...]
    spars: tuple[FittedSpar, ...]
    filaments: Mapping[str, FittedFilament] = field(default_factory=dict)

    def placed(self, item: str) -> tuple[FittedItem, ...]:
        """The items of one table of the file: two of a mirrored one, right before left; none if unknown."""
        return tuple(one for one in self.items if one.item == item)


@dataclass(frozen=True, slots=True)
class _Choice:
    """Ids that are fitted, and where each is named."""

    motor: tuple[str, str]
    propeller: tuple[str, str]
    battery: tuple[str, str]
    alternatives: tuple[tuple[str, str], ...]
    items: tuple[tuple[Item, str], ...]
    printer: str | None = None


def _choose(design: Design, workshop: Workshop | None) -> _Choice:
    """The workshop's wishes over the design's; the design's own battery stays as an alternative."""
    fit = workshop.fit if workshop is not None else None
    motor = (fit.motor, "fit.motor") if fit and fit.motor else (design.motor.stock, "motor.stock")
    own = (fit.propeller, "fit.propeller") if fit and fit.propeller else None
    propeller = own or (design.propeller.stock, "propeller.stock")
    first = (design.battery.stock, "battery.stock")
    battery = (fit.battery, "fit.battery") if fit and fit.battery else first
    named = [
        first,
        *((name, f"battery.alternatives.{i + 1}") for i, name in enumerate(design.battery.alternatives)),
    ]
    others = tuple(pair for pair in named if pair[0] != battery[0])
    wishes = {item.id: item for item in fit.equipment} if fit else {}
    items: list[tuple[Item, str]] = [
        (wishes.pop(item.id), f"fit.equipment.{item.id}")
        if item.id in wishes
        else (item, f"equipment.{item.id}")
        for item in design.equipment
    ]
    items += [(item, f"fit.equipment.{item.id}") for item in wishes.values() if not item.only_instead]
    printer = workshop.printer.material if workshop is not None and workshop.printer is not None else None
    return _Choice(motor, propeller, battery, others, tuple(items), printer)


def _references(choice: _Choice, design: Design) -> Iterator[tuple[str, str, str]]:
    """(id, where, sort) of everything taken from the stock."""
    yield (*choice.motor, "motor")
    yield (*choice.propeller, "propeller")
    for name, where in (choice.battery, *choice.alternatives):
        yield name, where, "battery"
    for item, where in choice.items:
        if item.stock is not None:
            yield item.stock, f"{where}.stock", "item"
    for where, name in _spar_ids(design):
        yield name, where, "spar"
    for one in design.fitting:
        if one.filament is not None:
            yield one.filament, f"fitting.{one.id}.filament", "filament"
    if choice.printer is not None:
        yield choice.printer, "printer.material", "filament"


def _spar_ids(design: Design) -> Iterator[tuple[str, str]]:
    for part in design.part:
        for keys in part.stock_keys():
            here: object = part
            for key in keys:
                here = getattr(here, key, None)
            if isinstance(here, str):
                yield f"{part.id}.{'.'.join(keys)}", here
    for joint in design.joint:
        name = getattr(joint, joint.stock_key) if joint.stock_key is not None else None
        if isinstance(name, str):
            yield f"joint.{joint.id}.{joint.stock_key}", name


def _entry(stock: Stock, name: str, kind: type[E]) -> E:
    """An entry whose presence and kind have been checked before."""
    entry = stock.by_id[name]
    if not isinstance(entry, kind):
        raise TypeError(f"{name} is not a {kind.__name__}")
    return entry


def _battery(stock: Stock, name: str) -> FittedBattery:
    e = _entry(stock, name, StockBattery)
    return FittedBattery(
        e.id,
        e.name,
        e.source,
        e.mass_g,
        e.size_mm,
        e.cells,
        e.capacity_mah,
        e.lead_mm,
        e.connector_mm,
        _cells(e),
    )


_MOTOR_CONSTANT = 5.5e-4
"""Torque over the root of the copper's heat, N m/√W, for each gram of a small outrunner [judgement]."""
_CELL_OHM_AH = 0.0156
"""Resistance of one cell times its capacity, ohm Ah: 12 milliohm at 1.3 Ah [judgement]."""
_LEAD_OHM = 0.004
"""Lead and plug of a battery [judgement]."""


def _winding(e: StockMotor) -> float:
    """Resistance of a motor, ohm: the stock's, else from its mass, R = (K_t / K_m)² with K_t = 1/K_v."""
    if e.resistance_ohm is not None:
        return e.resistance_ohm
    torque_a = 60.0 / (2.0 * pi * e.kv_rpm_v)
    return (torque_a / (_MOTOR_CONSTANT * max(e.mass_g, 1.0))) ** 2


def _cells(e: StockBattery) -> float:
    """Resistance of a battery, ohm: the stock's, else from cells and capacity."""
    if e.resistance_ohm is not None:
        return e.resistance_ohm
    return e.cells * _CELL_OHM_AH * 1000.0 / e.capacity_mah + _LEAD_OHM


def _propeller(e: StockPropeller) -> FittedPropeller:
    return FittedPropeller(e.id, e.name, e.source, e.mass_g, e.diameter_mm, e.pitch_mm, e.blades)


def _motor(design: Design, stock: Stock, name: str, propeller: str, cells: int) -> FittedMotor:
    e, place = _entry(stock, name, StockMotor), design.motor
    holds = e.static_propeller == propeller and e.static_cells == cells
    return FittedMotor(
        e.id, e.name, e.source, e.mass_g, place.mount_mass_g, e.diameter_mm, e.length_mm, e.kv_rpm_v,
        e.max_current_a, (place.x_mm, place.y_mm, place.z_mm), place.tilt_deg,
        e.static_thrust_n, e.static_propeller, e.static_cells, holds, place.lead_mm,
        e.bolts_mm, e.bolt_mm, e.shaft_mm, place.side_deg, _winding(e),
        e.max_current_a / 20.0 if e.idle_a is None else e.idle_a,
    )  # fmt: skip


def _items(item: Item, stock: Stock) -> Iterator[FittedItem]:
    """One item, or two where it is mirrored. Own numbers go before the stock entry's."""
    entry = _entry(stock, item.stock, StockItem) if item.stock is not None else None
    mass, size = item.mass_g, item.size_mm
    if entry is not None:
        mass = entry.mass_g if mass is None else mass
        size = size or entry.size_mm
    if mass is None or size is None:
        raise ValueError(f"equipment {item.id} has no mass or size")
    slide = None
    if item.movable and item.slide_from_mm is not None and item.slide_to_mm is not None:
        slide = (item.slide_from_mm, item.slide_to_mm)
    sides = (("/right", 1.0), ("/left", -1.0)) if item.mirrored else (("", 0.0),)
    for tail, side in sides:
        y = side * abs(item.y_mm) if item.mirrored else item.y_mm
        yield FittedItem(
            item.id + tail, item.id,
            entry.name if entry is not None else item.id, entry.kind if entry is not None else "item",
            entry.source if entry is not None else "own numbers",
            mass, size, (item.x_mm, y, item.z_mm), slide, **_installed(item, entry, side == -1.0),
        )  # fmt: skip


def _installed(item: Item, entry: StockItem | None, flip: bool) -> dict[str, Any]:
    """Wiring and room of one item; flip: it is the left one of a mirrored pair."""

    def own(value: float | None, stocked: float) -> float:
        return stocked if value is None else value

    def turned(point: Point3) -> Point3:
        return (point[0], -point[1], point[2]) if flip else point

    look = item.look
    if look is not None and flip:
        look = look.model_copy(update={"lens_mm": turned(look.lens_mm), "side_deg": -look.side_deg})
    return {
        "lead_mm": 0.0 if entry is None else entry.lead_mm,
        "connector_mm": None if entry is None else entry.connector_mm,
        "heat_w": own(item.heat_w, 0.0 if entry is None else entry.heat_w),
        "current_a": own(item.current_a, 0.0 if entry is None else entry.current_a),
        "regulator_a": 0.0 if entry is None else entry.regulator_a,
        "max_current_a": 0.0 if entry is None else entry.max_current_a,
        "case_mm": None if entry is None else entry.size_mm,
        **_as_stocked(entry),
        "antennas": tuple((turned(one.foot_mm), turned(one.tip_mm)) for one in item.antenna),
        "look": look,
        "keep_out_mm": item.keep_out_mm,
        "access": None
        if item.access is None
        else Access(item.access, item.access_wide_mm, item.access_long_mm),
    }


_STOCKED = (
    "resistance_ohm", "torque_n_cm", "turn_s", "arm_mm", "travel_deg", "lugs_mm", "shaft_from_end_mm",
    "screw_mm", "holes_mm", "hole_mm",
)  # fmt: skip


def _as_stocked(entry: StockItem | None) -> dict[str, Any]:
    """What only the stock says of an item."""
    return {} if entry is None else {key: getattr(entry, key) for key in _STOCKED}


def _filaments(stock: Stock) -> dict[str, FittedFilament]:
    return {
        e.id: FittedFilament(e.id, e.name, e.source, e.density_g_cm3, e.softens_c, e.bends)
        for e in stock.entry
        if isinstance(e, StockFilament)
    }


def _spars(design: Design, stock: Stock) -> Iterator[FittedSpar]:
    for where, name in _spar_ids(design):
        e = _entry(stock, name, StockSpar)
        owner = where.removeprefix("joint.").split(".")[0]
        yield FittedSpar(
            owner, where, e.id, e.name, e.source, e.width_mm, e.height_mm, e.mass_g_m, e.material, e.form
        )


def _doubts(choice: _Choice, resolved: Resolved) -> Iterator[Finding]:
    """F37 where the thrust was stated with something else, F38 for an alternative of other cells."""
    motor, battery = resolved.motor, resolved.battery
    if not motor.static_holds:
        stated = f"{motor.static_propeller} on {motor.static_cells} cells"
        fitted = f"{resolved.propeller.id} on {battery.cells} cells"
        facts: dict[str, Param] = {
            "motor": motor.id,
            "thrust": f"{motor.static_thrust_n:g}",
            "stated": stated,
            "fitted": fitted,
        }
        yield Finding("F37", "watch", choice.motor[1], facts, source=motor.source)
    for (_, where), other in zip(choice.alternatives, resolved.alternatives, strict=True):
        if other.cells != motor.static_cells:
            counts: dict[str, Param] = {"got": other.id, "cells": other.cells, "stated": motor.static_cells}
            yield Finding("F38", "watch", where, counts, source=motor.source)


def _standing(z: float, drawn: FittedBattery, fitted: FittedBattery) -> float:
    """Height of the fitted battery's middle: it stands on the same floor as the design's own, mm."""
    return z + (fitted.size_mm[2] - drawn.size_mm[2]) / 2.0


def fit(design: Design, workshop: Workshop | None, stock: Stock) -> Loaded[Resolved]:
    """The equipment of a design as a workshop fits it, or the findings that say what is not in the stock.

    Watches come with a value: a static thrust stated with another propeller or cell count is used as it is
    stated and never scaled.
    """
    choice = _choose(design, workshop)
    found = [
        finding
        for name, where, sort in _references(choice, design)
        if (finding := stock_finding(name, where, STOCK_KINDS[sort], stock, "")) is not None
    ]
    if severity(worst(found)) == severity("no-go"):
        return Loaded(None, tuple(found))
    propeller = _entry(stock, choice.propeller[0], StockPropeller)
    battery = _battery(stock, choice.battery[0])
    place = design.battery
    resolved = Resolved(
        motor=_motor(design, stock, choice.motor[0], propeller.id, battery.cells),
        propeller=_propeller(propeller),
        battery=battery,
        alternatives=tuple(_battery(stock, name) for name, _ in choice.alternatives),
        battery_x_mm=place.x_mm,
        battery_y_mm=place.y_mm,
        battery_z_mm=_standing(place.z_mm, _battery(stock, place.stock), battery),
        battery_slide_mm=(place.slide_from_mm, place.slide_to_mm),
        items=tuple(fitted for item, _ in choice.items for fitted in _items(item, stock)),
        spars=tuple(_spars(design, stock)),
        filaments=_filaments(stock),
    )
    return Loaded(resolved, tuple(_doubts(choice, resolved)))
