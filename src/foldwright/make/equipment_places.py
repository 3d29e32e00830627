"""Where every piece of equipment goes, in sentences: behind the nose, off the centre line, how high [mm]."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from types import MappingProxyType

import numpy as np

from foldwright.airframe.model import Airframe, Placed
from foldwright.base.types import FloatArray
from foldwright.design.equipment import Leg
from foldwright.design.model import Design
from foldwright.design.resolve import FittedItem, Resolved
from foldwright.geometry.fold.marks import outside
from foldwright.geometry.fold.model import Panel

STANDS_MM = 2.0
"""[judgement] a thing whose underside is this near to a board stands on it."""
_FAR_MM = 150.0
_NEAR_MM = 8.0
_LEVEL = 0.7
_ABOUT = (
    "All figures are in mm: places to a thing's middle, from the nose datum and the centre line; in"
    " brackets its length, width and height."
)
_KINDS = MappingProxyType({"video_transmitter": "video transmitter", "item": ""})


@dataclass(frozen=True, slots=True)
class _Thing:
    """One thing, or a mirrored pair of them: name, what it is, centre (the right one's), size, mm."""

    name: str
    what: str
    place: tuple[float, float, float]
    size: tuple[float, float, float]
    pair: bool = False
    more: str = ""


def equipment_places(
    design: Design, airframe: Airframe, fitted: Resolved, battery_x: float
) -> tuple[str, ...]:
    """A paragraph for every thing: motor, battery, equipment, legs, grip.

    battery_x: its centre as the aeroplane balances, mm behind the nose datum.
    """
    said = [_ABOUT]
    said.append(_motor(design, airframe, fitted))
    said += [_said(thing, airframe) for thing in _things(fitted, battery_x)]
    said += [_leg(leg) for leg in design.leg]
    if design.grip is not None:
        fore, aft = (design.grip.x_mm + side * design.grip.width_mm / 2.0 for side in (-1.0, 1.0))
        said.append(f"hand: holds it between {_mm(fore)} and {_mm(aft)} mm behind the nose, from below.")
    return tuple(said)


def _motor(design: Design, airframe: Airframe, fitted: Resolved) -> str:
    motor, place = fitted.motor, design.motor
    x, y, z = motor.place_mm
    pair = place.mirrored
    turning = fitted.propeller.name
    turning = turning if turning.lower().startswith("propeller") else f"propeller {turning}"
    words = [f"{'motors' if pair else 'motor'}, {motor.name.removeprefix('motor, ')}, {turning}."]
    words.append(f"Propeller plane {_behind(x)}, {_aside(y, pair)}, thrust line there {_high(z)}.")
    if airframe.mounts:
        stands = ", ".join(dict.fromkeys(mount.blank for mount in airframe.mounts))
        words.append(f"It is screwed to {stands}, its middle on the cross named thrust-line there.")
    if motor.tilt_deg:
        way = "up" if motor.tilt_deg > 0.0 else "down"
        words.append(f"The thrust line looks {abs(motor.tilt_deg):g}° {way}.")
    return " ".join(words)


def _things(fitted: Resolved, battery_x: float) -> Iterator[_Thing]:
    battery = fitted.battery
    place = (battery_x, fitted.battery_y_mm, fitted.battery_z_mm)
    front = f"Its front face {_behind(battery_x - battery.size_mm[0] / 2.0)}."
    yield _Thing("battery", battery.name, place, battery.size_mm, more=front)
    for item in fitted.items:
        pair = item.id != item.item
        if pair and item.id.endswith("/left"):
            continue
        yield _Thing(item.item, _what(item), item.place_mm, item.size_mm, pair)


def _what(item: FittedItem) -> str:
    """Name from the stock and sort, each where it says something."""
    kind = _KINDS.get(item.kind, item.kind)
    own = item.name if item.name != item.item else ""
    if kind and kind in own.lower():
        kind = ""
    own = own.removeprefix(f"{item.item}, ")
    return ", ".join(word for word in (own, kind) if word)


def _said(thing: _Thing, airframe: Airframe) -> str:
    x, y, _ = thing.place
    what = f", {thing.what}" if thing.what else ""
    long, wide, high = (_mm(size) for size in thing.size)
    where = f"{_behind(x)}, {_aside(y, thing.pair)}, {_height(thing, airframe)}"
    said = f"{thing.name}{what} ({long} x {wide} x {high}): {where}."
    return f"{said} {thing.more}" if thing.more else said


def _leg(leg: Leg) -> str:
    name = f"leg {leg.id}"
    reach = f"reaches down {_mm(leg.long_mm)} mm"
    return (
        f"{name}: fixed {_behind(leg.x_mm)}, {_aside(leg.y_mm, leg.mirrored)},"
        f" where the cross named leg-{leg.id} is; {reach}."
    )


def _behind(x: float) -> str:
    return f"{_mm(abs(x))} {'ahead of' if round(x) < 0 else 'behind'} the nose"


def _aside(y: float, pair: bool) -> str:
    if pair:
        return f"{_mm(abs(y))} right and left of the centre line"
    if round(abs(y)) == 0:
        return "on the centre line"
    return f"{_mm(abs(y))} {'right' if y > 0.0 else 'left'} of the centre line"


def _mm(value: float) -> str:
    return f"{round(value) + 0:g}"


def _height(thing: _Thing, airframe: Airframe) -> str:
    """Where the thing's underside is against the nearest level board under or over it."""
    x, y, z = thing.place
    low, high = z - thing.size[2] / 2.0, z + thing.size[2] / 2.0
    best: tuple[float, float, str] | None = None
    for name, under, over in _boards(airframe.placed, x, y):
        if under - STANDS_MM <= low <= over + STANDS_MM and high > over:
            # what it stands on goes before what is over it
            gap, said = 0.0, f"on {name}" if low >= over - STANDS_MM else f"let into {name}"
        elif under <= z <= over or (low < under and high > over):
            gap, said = 0.5, f"through {name}"
        elif low > over:
            gap, said = low - over, f"its underside {_mm(low - over)} above {name}"
        elif high < under + STANDS_MM:
            gap = abs(under - high)
            said = f"against {name} from below" if gap <= STANDS_MM else f"its top {_mm(gap)} below {name}"
        else:
            gap, said = abs(high - under), f"let into {name} from below"
        # of boards that it goes through the lowest: what it is let into from below
        found = (round(gap, 3), round(under, 3), said)
        if gap <= _FAR_MM and (best is None or found < best):
            best = found
    if best is not None and best[0] <= _NEAR_MM:
        return best[2]
    upright = _at_upright(thing, airframe.placed)
    if upright is not None:
        return f"{upright}, its middle {_high(z)}"
    return best[2] if best is not None else f"its middle {_high(z)}"


def _high(z: float) -> str:
    if round(z) == 0:
        return "at the height of the nose datum"
    return f"{_mm(abs(z))} {'below' if z < 0.0 else 'above'} the nose datum"


def _at_upright(thing: _Thing, placed: Sequence[Placed]) -> str | None:
    """The upright board along the aeroplane that the thing is let into or stands against, or None."""
    found: list[tuple[float, str]] = []
    place, half = np.array(thing.place), np.array(thing.size) / 2.0
    for one in placed:
        for panel in one.blank.panels:
            frame, middle = one.transforms[panel.name], one.blank.thickness / 2.0
            normal = frame[:3, 2]
            u, v, w = (frame[:3, :3].T @ (place - frame[:3, 3])).tolist()
            gap = abs(w - middle) - middle - float(np.abs(normal) @ half)
            if (
                abs(float(normal[1])) < _LEVEL
                or gap > _NEAR_MM
                or outside(panel.polygon, np.array([u, v])) > 0.0
            ):
                continue
            name = one.blank.name if len(one.blank.panels) == 1 else f"{panel.name} of {one.blank.name}"
            side = "right" if (w - middle) * float(normal[1]) > 0.0 else "left"
            said = f"let into {name}" if gap < -STANDS_MM else f"against the {side} face of {name}"
            found.append((abs(round(gap, 3)), said))
    return min(found)[1] if found else None


def _boards(placed: Sequence[Placed], x: float, y: float) -> Iterator[tuple[str, float, float]]:
    """Name, height of the underside and of the top of every board that lies more or less level at (x, y)."""
    for one in placed:
        for panel in one.blank.panels:
            found = _level_at(one.transforms[panel.name], panel, one.blank.thickness, x, y)
            if found is not None:
                alone = len(one.blank.panels) == 1
                yield one.blank.name if alone else f"{panel.name} of {one.blank.name}", *found


def _level_at(
    place: FloatArray, panel: Panel, thickness: float, x: float, y: float
) -> tuple[float, float] | None:
    """Heights of a panel's two faces above (x, y), the lower one first; None where it is not there."""
    normal = place[:3, 2]
    if abs(float(normal[2])) < _LEVEL:
        return None
    heights = []
    for depth in (0.0, thickness):
        at = place[:3, 3] + depth * normal
        z = float(at[2] - (normal[0] * (x - at[0]) + normal[1] * (y - at[1])) / normal[2])
        heights.append(z)
    flat = place[:3, :3].T @ (np.array([x, y, sum(heights) / 2.0]) - place[:3, 3])
    if outside(panel.polygon, flat[:2]) > 0.0:
        return None
    return min(heights), max(heights)
