"""Keys that several rules offer as cures, with bounds taken from the design itself.

A part is asked for what it has, never for what it is: a key that a part lacks is not offered.
"""

from __future__ import annotations

from math import degrees

from pydantic import BaseModel

from foldwright.airframe.model import Control, LiftingSurface
from foldwright.design.parts import WingPlan
from foldwright.review.subject import CureKey, Subject


def number_at(table: BaseModel, path: str) -> float | None:
    """The number at a dotted path inside a table; None where there is none."""
    here: object = table
    for step in path.split("."):
        here = getattr(here, step, None)
    return float(here) if isinstance(here, int | float) and not isinstance(here, bool) else None


def part_of(subject: Subject, surface: LiftingSurface) -> BaseModel | None:
    """The design's part that a lifting surface is made of."""
    return next((part for part in subject.design.part if part.id == surface.id), None)


def pitch_control(subject: Subject) -> tuple[LiftingSurface, Control] | None:
    """The control whose travel trim is measured at, and its surface; None without one."""
    station = subject.lift.station
    if station is None:
        return None
    for surface in subject.airframe.surfaces:
        for control in surface.controls:
            if control.id == station.control and station.surface in ("", surface.id):
                return surface, control
    return None


def control_base(surface: LiftingSurface, control: Control, part: BaseModel | None) -> str:
    """Key path of a control's table: its own, or the part's pivot where the whole surface turns."""
    if control.all_moving and part is not None and number_at(part, "pivot.x_mm") is not None:
        return f"{surface.id}.pivot"
    return f"{surface.id}.control.{control.id}"


def battery_keys(subject: Subject) -> tuple[CureKey, ...]:
    """Moving the battery: its place where the design fixes it, and the ends of its slide."""
    slide = subject.fitted.battery_slide_mm
    half = subject.fitted.battery.size_mm[0] / 2.0
    keys = []
    if subject.design.battery.x_mm is not None and slide[1] - slide[0] > 2.0 * half:
        keys.append(CureKey("battery.x_mm", slide[0] + half, slide[1] - half, 1.0))
    keys.append(CureKey("battery.slide_from_mm", slide[0] - 60.0, slide[0], 1.0))
    keys.append(CureKey("battery.slide_to_mm", slide[1], slide[1] + 60.0, 1.0))
    return tuple(keys)


def equipment_keys(subject: Subject) -> tuple[CureKey, ...]:
    """Movable equipment along its slide."""
    return tuple(
        CureKey(f"equipment.{item.id}.x_mm", item.slide_from_mm, item.slide_to_mm, 1.0)
        for item in subject.design.equipment
        if item.movable and item.slide_from_mm is not None and item.slide_to_mm is not None
    )


def wing_place_keys(subject: Subject) -> tuple[CureKey, ...]:
    """Moving the wing along the body."""
    wing = subject.wing_part
    return (CureKey(f"{wing.id}.x_mm", wing.x_mm - 40.0, wing.x_mm + 40.0, 1.0),)


def balance_keys(subject: Subject) -> tuple[CureKey, ...]:
    """All that moves the balance, gentlest first."""
    return (*battery_keys(subject), *equipment_keys(subject), *wing_place_keys(subject))


def _room_for_control(wing: BaseModel, chord: float) -> float:
    """Longest control chord that a wing leaves, mm: 5 mm behind its strip, or 60 % of the chord."""
    strip = number_at(wing, "strip.aft_mm")
    if strip is None:
        return 0.6 * chord
    runs_on = getattr(getattr(wing, "strip", None), "runs_on", False)
    land = (number_at(wing, "strip.land_mm") or 0.0) if runs_on else 0.0
    return chord - strip - land - 5.0


def elevon_keys(subject: Subject) -> tuple[CureKey, ...]:
    """Chord and ends of the pitch control."""
    found = pitch_control(subject)
    part = part_of(subject, found[0]) if found is not None else None
    if found is None or part is None or found[1].all_moving:
        return ()
    surface, control = found
    chord, reach = float(surface.chord[0]), float(surface.arc[-1])
    room, base = _room_for_control(part, chord), control_base(surface, control, part)
    return (
        CureKey(f"{base}.chord_mm", 0.10 * chord, max(room, control.chord), 1.0),
        CureKey(f"{base}.outer_mm", control.inner + 30.0, reach, 5.0),
    )


def travel_keys(subject: Subject) -> tuple[CureKey, ...]:
    """Travel of the pitch control, the way that launch trim turns it."""
    found = pitch_control(subject)
    if found is None:
        return ()
    surface, control = found
    base = control_base(surface, control, part_of(subject, surface))
    up = subject.trims.launch.delta.value < 0.0
    name, travel = ("up_deg", control.up) if up else ("down_deg", control.down)
    return (CureKey(f"{base}.{name}", round(degrees(travel), 6), 30.0, 1.0, "deg"),)


def thrust_keys(subject: Subject) -> tuple[CureKey, ...]:
    """Tilt and height of the thrust line."""
    motor = subject.design.motor
    return (
        CureKey(
            "motor.tilt_deg", max(-8.0, motor.tilt_deg - 6.0), min(8.0, motor.tilt_deg + 6.0), 0.1, "deg"
        ),
        CureKey("motor.z_mm", motor.z_mm - 25.0, motor.z_mm + 25.0, 1.0),
    )


def margin_keys(subject: Subject) -> tuple[CureKey, ...]:
    """The static margin asked for."""
    targets = subject.design.targets
    low, high = targets.static_margin_least_pct, targets.static_margin_most_pct
    return (CureKey("targets.static_margin_pct", low, high, 0.5, "% chord"),)


_SIZES = (
    ("taper.height_mm", 0.5, 2.0),
    ("taper.root_mm", 0.6, 1.5),
    ("span_mm", 0.6, 1.6),
    ("chord_mm", 0.7, 1.5),
)
"""Keys that make a surface larger or smaller, with the shares of themselves that they may take."""


def size_keys(part: BaseModel, name: str) -> tuple[CureKey, ...]:
    """What makes a surface larger or smaller: of those keys, the ones that the part of that id has."""
    keys = []
    for path, least, most in _SIZES:
        value = number_at(part, path)
        if value is not None:
            keys.append(CureKey(f"{name}.{path}", least * value, most * value, 5.0))
    return tuple(keys)


def place_keys(part: BaseModel, name: str) -> tuple[CureKey, ...]:
    """Moving a part along the body."""
    x = number_at(part, "x_mm")
    return () if x is None else (CureKey(f"{name}.x_mm", x - 150.0, x + 150.0, 5.0),)


def last_bay(wing: WingPlan) -> int:
    """Number, from 1, of the outermost bay; 0 for a wing without bays."""
    return len(getattr(wing, "bay", ()))
