"""Wing-seat jig: two plates on edge beside the body carry the wing at its height and incidence over the
table.

Their upper edge is the wing's under face where they stand; their lower edge, straight, is parallel to the
datum. While the glue of the seat sets they hold the wing; under a wing that is banded on they show whether
the seat is right.

Frame of a plate: x as in the aeroplane, y up from the table, mm.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from math import atan2, degrees

import numpy as np
import shapely

from foldwright.airframe.model import Airframe
from foldwright.base.finding import Finding
from foldwright.base.types import FloatArray
from foldwright.evaluate import Results
from foldwright.geometry.solid.core import Area
from foldwright.make.print_bed import room_text, size_text
from foldwright.make.printing import Made
from foldwright.make.tools import Tool, ToolBench
from foldwright.make.tools.flat_plates import Line, first_written, pieces, plate, title_of
from foldwright.make.tools.ground import belly, half_width, part_of, underside

ORDER = 40

THICK_MM, BESIDE_MM = 8.0, 1.5
LEAST_MM = 10.0  # [judgement] least height of a plate
BAR_MM, RIB_MM, BAY_MM, ENDS_MM = 13.0, 8.0, 34.0, 2.0
STEP_CLEAR_MM, _BESIDE_MM, _STEP_MM = 0.5, 0.52, 0.3
_FRONT_MM = 15.0
_TOP_MM, _ROUND_MM, _SOLID_MM, _LEVEL_MM = 8.0, 3.0, 16.0, 0.3


Profile = tuple[FloatArray, FloatArray]
"""x and height of an under face, mm."""


@dataclass(frozen=True, slots=True, eq=False)
class Seat:
    """Where the plates stand. y: of a plate's inner face; x, z (n,): the wing's under face there, in the
    aeroplane; table: z of the table; incidence: of the chord, rad,
    nose up; front: of the under face at its front, rad, nose up; under_front, under_rear: what is put under
    the body at the wing's leading and trailing edge so that its datum is level, mm.
    """

    y: float
    x: FloatArray
    z: FloatArray
    table: float
    incidence: float
    front: float
    under_front: float
    under_rear: float


def make(bench: ToolBench) -> tuple[Tool, ...]:
    """Plates in as few pieces as the bed needs; none without a wing seated in, on or through a body."""
    seat = seat_of(bench.results)
    return () if seat is None else _tools(bench, seat)


def seat_of(results: Results) -> Seat | None:
    """The seat of the wing; None where no joint holds it to a body, or no body lies under it."""
    airframe = results.airframe
    wing, bodies = part_of(airframe.wing), {body.id for body in airframe.bodies}
    if not any(wing in joint.parts and bodies & set(joint.parts) for joint in airframe.joints):
        return None
    root = float(airframe.wing.le[0, 0])
    half = half_width(airframe, root, root + float(airframe.wing.chord[0]))
    found = [_under(airframe, wing, half + BESIDE_MM + off) for off in (0.0, THICK_MM)]
    if found[0] is None or found[1] is None or half <= 0.0:
        return None
    x, z = _lower(found[0], found[1])
    if len(x) < 2:
        return None
    return _stood(results, half + BESIDE_MM, x, _eased(x, z))


def _lower(one: Profile, other: Profile) -> Profile:
    """The lower of two under faces where both are, with all corners of both."""
    corners = np.concatenate([one[0], other[0]])
    spots = np.unique(
        np.concatenate(
            [corners + off for off in (-_BESIDE_MM, -STEP_CLEAR_MM, 0.0, STEP_CLEAR_MM, _BESIDE_MM)]
        )
    )
    low, high = max(one[0][0], other[0][0]), min(one[0][-1], other[0][-1])
    x = spots[(spots >= low) & (spots <= high)]
    return x, np.minimum(np.interp(x, *one), np.interp(x, *other))


def _eased(x: FloatArray, z: FloatArray) -> FloatArray:
    """Heights with the plate kept clear of a step on the side where it is higher, so that the step goes
    in.
    """
    near = np.abs(x[:, None] - x[None, :]) <= STEP_CLEAR_MM + 1e-9
    least = np.where(near, z[None, :], np.inf).min(axis=1)
    return np.where(z - least > _STEP_MM, least, z)


def _under(airframe: Airframe, wing: str, y: float) -> Profile | None:
    """The wing's under face at y, its rounded or sharp ends left out."""
    found = underside(airframe, wing, y)
    if found is None:
        return None
    x, z = found
    inside = (x >= x[0] + ENDS_MM) & (x <= x[-1] - ENDS_MM)
    return x[inside], z[inside]


def _stood(results: Results, y: float, x: FloatArray, z: FloatArray) -> Seat | None:
    """The seat over a table that the body stands on, or is blocked up from."""
    airframe = results.airframe
    below = [belly(airframe, float(at)) for at in np.linspace(x[0], x[-1], 9)]
    known = [one for one in below if one is not None]
    if not known:
        return None
    table = min(*known, float(z.min()) - LEAST_MM)
    front, rear = below[0], below[-1]
    first, last = (known[0] if front is None else front), (known[-1] if rear is None else rear)
    incidence = float(airframe.wing.twist[0])
    front = -atan2(float(np.interp(x[0] + _FRONT_MM, x, z) - z[0]), _FRONT_MM)
    return Seat(y, x, z, table, incidence, front, max(first - table, 0.0), max(last - table, 0.0))


def seat_area(seat: Seat, parted: Iterable[float] = ()) -> Area:
    """Outline of a plate with its windows. parted: x where it stays whole, for a joint."""
    x, top = seat.x, seat.z - seat.table
    ring = [(float(x[0]), 0.0), (float(x[-1]), 0.0), *zip(x[::-1].tolist(), top[::-1].tolist(), strict=True)]
    whole = shapely.Polygon(ring).simplify(0.005)
    inside = whole.buffer(-_TOP_MM).difference(shapely.box(-1e5, -1e5, 1e5, BAR_MM))
    count = max(1, round((x[-1] - x[0]) / (BAY_MM + RIB_MM)))
    ribs = [float(x[0] + (x[-1] - x[0]) * k / count) for k in range(count + 1)]
    solid = [(at, RIB_MM / 2.0) for at in ribs] + [(at, _SOLID_MM) for at in parted]
    inside = inside.difference(
        shapely.union_all([shapely.box(at - half, -1e5, at + half, 1e5) for at, half in solid])
    )
    windows = inside.buffer(-_ROUND_MM).buffer(_ROUND_MM, quad_segs=6)
    found = whole.difference(windows)
    if not isinstance(found, shapely.Polygon):
        raise TypeError("a plate in more than one piece")
    return found


def _tools(bench: ToolBench, seat: Seat) -> tuple[Tool, ...]:
    printer, template = bench.printer, bench.evaluation.workshop.template
    low, high = float(seat.x[0]), float(seat.x[-1])
    parts: tuple[Area, ...] = ()
    for count in range(1, 9):
        cuts = [low + (high - low) * k / count for k in range(1, count)]
        parts = pieces(seat_area(seat, cuts), THICK_MM, printer)
        if len(parts) == count:
            break
        parts = ()
    figures = {
        "incidence_deg": round(degrees(seat.incidence), 3),
        "front_deg": round(degrees(seat.front), 3) + 0.0, "y_mm": round(seat.y, 2),
        "under_front_mm": round(seat.under_front, 2), "under_rear_mm": round(seat.under_rear, 2),
        "height_front_mm": round(float(seat.z[0]) - seat.table, 2),
        "height_rear_mm": round(float(seat.z[-1]) - seat.table, 2),
    }  # fmt: skip
    use = _use(bench, seat)
    if not parts:
        found = (_too_large(bench, seat),)
        return (Tool("wing-seat-jig", "Wing-seat jig, plate", None, use, 2, None, figures, found),)
    several = len(parts) > 1
    return tuple(
        Tool(
            f"wing-seat-jig-{number}" if several else "wing-seat-jig",
            f"Wing-seat jig, piece {number} of {len(parts)} from the front" if several else "Wing-seat jig,"
            " plate",
            Made(
                plate(part, THICK_MM, _sunk(bench, seat, part, number, len(parts)), template.recess_mm),
                orientation="flat on its side, letters up",
            ),
            f"{use} Glue the dovetails first, flat on a table." if several else use,
            2,
            None,
            figures,
        )
        for number, part in enumerate(parts, 1)
    )  # fmt: skip


def _sunk(bench: ToolBench, seat: Seat, part: Area, number: int, count: int) -> tuple[Area, ...]:
    """Letters along the lower edge of a piece: which end is the front, whose it is, incidence."""
    low, _, high, _ = part.bounds
    title, turn = title_of(bench), turn_text(seat.incidence)
    whose = [f"< nose {title}", f"< {title}", title, "<"]
    angle = [f"chord {turn}", turn, turn.replace("nose ", "")]
    if count == 1:
        rows = [(whose, low + 0.26 * (high - low)), (angle, low + 0.74 * (high - low))]
        room = 0.48 * (high - low) - 4.0
    else:
        angle = [f"< {number} {angle[0]}", *(f"< {number} {one}" for one in angle[1:])]
        rows = [(angle if number % 2 else [f"< {number} {title}", *whose[1:]], 0.5 * (low + high))]
        room = high - low - 12.0
    stem = bench.evaluation.workshop.template.stem_mm
    return tuple(
        ink
        for texts, x in rows
        for ink in first_written(
            part, [Line(text, (x, BAR_MM / 2.0), (room, BAR_MM - 2.0), 0.0, 6.0) for text in texts], stem
        )
    )


def turn_text(angle: float) -> str:
    """Such as "2.2° nose up", from rad: never a sign."""
    turn = round(degrees(angle), 1)
    return f"{abs(turn):.1f}°" + ("" if turn == 0.0 else " nose up" if turn > 0.0 else " nose down")


def _use(bench: ToolBench, seat: Seat) -> str:
    front, rear = seat.under_front, seat.under_rear
    if max(front, rear) <= _LEVEL_MM:
        body = "Stand the body on a level table"
    else:
        body = f"Stand the body on a level table with {_packs(front, rear)}, so that its datum is level"
    joint = (
        "until the glue is hard"
        if _glued(bench.results)
        else "while the bands go on, to see that the seat is right"
    )
    return (
        f"{body}, what hangs lower over the table's edge. Both plates stand on the table beside the body,"
        f" their inner faces {2.0 * seat.y:.1f} mm apart, the arrow to the nose; the wing lies on both along"
        f" its whole seat {joint}: its chord then stands {turn_text(seat.incidence)} to the datum, its under"
        f" face at the front {turn_text(seat.front)}."
    )


def _packs(front: float, rear: float) -> str:
    places = ((front, "leading"), (rear, "trailing"))
    return " and ".join(
        f"{high:.1f} mm under it at the wing's {edge} edge" for high, edge in places if high > _LEVEL_MM
    )


def _glued(results: Results) -> bool:
    wing = part_of(results.airframe.wing)
    bodies = {body.id for body in results.airframe.bodies}
    return any(joint.glued for joint in results.airframe.joints
               if wing in joint.parts and bodies & set(joint.parts))  # fmt: skip


def _too_large(bench: ToolBench, seat: Seat) -> Finding:
    size = (float(seat.x[-1] - seat.x[0]), float(seat.z.max()) - seat.table, THICK_MM)
    front, rear = float(seat.z[0]) - seat.table, float(seat.z[-1]) - seat.table
    heights = f"{front:.1f} mm of height at the wing's front, {rear:.1f} mm at its rear"
    params = {
        "what": "wing-seat jig",
        "size": size_text(size),
        "room": room_text(bench.printer),
        "figures": heights,
    }
    return Finding("P73", "watch", "printer.bed_mm", params, source="geometry")
