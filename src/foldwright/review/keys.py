"""Keys that several rules offer as cures, with bounds taken from the design itself."""

from __future__ import annotations

from foldwright.review.subject import CureKey, Subject


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


def elevon_keys(subject: Subject) -> tuple[CureKey, ...]:
    """Chord and ends of the first control."""
    wing = subject.wing_part
    if not wing.control:
        return ()
    control = wing.control[0]
    room = wing.chord_mm - wing.strip.aft_mm - (wing.strip.land_mm if wing.strip.runs_on else 0.0) - 5.0
    base = f"{wing.id}.control.{control.id}"
    return (
        CureKey(f"{base}.chord_mm", 0.10 * wing.chord_mm, max(room, control.chord_mm), 1.0),
        CureKey(f"{base}.outer_mm", control.inner_mm + 30.0, wing.span_mm / 2.0, 5.0),
    )


def travel_keys(subject: Subject) -> tuple[CureKey, ...]:
    """Travel of the first control."""
    wing = subject.wing_part
    if not wing.control:
        return ()
    control = wing.control[0]
    return (CureKey(f"{wing.id}.control.{control.id}.up_deg", control.up_deg, 30.0, 1.0, "deg"),)


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
