"""The payload carrier as a solid, and the dummy that is printed along with it."""

from __future__ import annotations

import numpy as np
import shapely

from foldwright.airframe.fitting_model import Fitting
from foldwright.airframe.fitting_places import area_of
from foldwright.airframe.fittings.payload_shape import (
    EASE_MM,
    HEAD_MM,
    PIN_WALL_MM,
    RIB_MM,
    STRAP_MM,
    CarrierShape,
)
from foldwright.base.types import FloatArray
from foldwright.design.workshop import Printer
from foldwright.evaluate import Results
from foldwright.geometry.solid.core import Area, Solid, box, extrude, rod, union, without
from foldwright.make.fittings.payload_dummy import dummy_for
from foldwright.make.printing import Extra, Made

SHAPE = CarrierShape

_ALONG: FloatArray = np.array(
    [[0.0, 0.0, 1.0, 0.0], [1.0, 0.0, 0.0, 0.0], [0.0, 1.0, 0.0, 0.0], [0.0, 0.0, 0.0, 1.0]]
)
"""An area of (y, z) raised along x."""


def along(area: Area, start: float, stop: float) -> Solid:
    """An area of the plane (y, z) raised along x from `start` to `stop`."""
    return extrude(area, stop - start, start).placed(_ALONG)


def solid(shape: CarrierShape, _printer: Printer) -> Made:
    """Floor, walls, tab and four feet; slots for a strap; a hole for the pin."""
    r = shape.rail
    half, wide, t = r.half_long, r.half_wide, r.floor
    inner_x, inner_y = r.inside[0] / 2.0, r.inside[1] / 2.0
    low, top = shape.box[0][2], r.stack + r.wall
    parts = [
        box((-half, -wide, r.under), (half, wide, r.stack)),
        box((-half, -inner_y - t, r.under), (half, inner_y + t, top))
        - box((-inner_x, -inner_y, r.under - 1.0), (inner_x, inner_y, top + 1.0)),
        box((half - t, -r.tab_half, r.under), (half + r.tab, r.tab_half, r.stack)),
    ]
    for side in (1.0, -1.0):
        leg = sorted((side * (r.stem + EASE_MM), side * (r.stem + EASE_MM + PIN_WALL_MM)))
        parts.append(box((half, leg[0], low), (half + r.tab, leg[1], r.under + t / 2.0)))
    sunk = shapely.box(r.foot, r.top, wide, r.under + t / 2.0)  # into the floor, to join it
    for start in (-half, half - HEAD_MM):
        foot = along(area_of(shape.foot_area.union(sunk)), start, start + HEAD_MM)
        parts += [foot, foot.mirrored((0.0, 1.0, 0.0))]
    parts += _ribs(shape, low)
    body = union(parts)
    taken = [rod((r.pin_x, 0.0, r.under - 1.0), (r.pin_x, 0.0, r.stack + 1.0), shape.hole)]
    if shape.strapped:
        far, (long, high) = wide + 1.0, STRAP_MM
        taken.append(box((-long / 2.0, -far, r.stack), (long / 2.0, -inner_y, r.stack + high)))
        taken.append(box((-long / 2.0, inner_y, r.stack), (long / 2.0, far, r.stack + high)))
    return Made(
        without(body, taken),
        orientation=f"feet down; the floor bridges {shape.bridge:.1f} mm at most, over the rail",
        notes=("A strap or a rubber band goes through the slots in the walls and over the payload.",),
    )


def _ribs(shape: CarrierShape, low: float) -> list[Solid]:
    """Ribs from foot to foot along both sides; they stand on the bed as the feet do."""
    r, (long, _) = shape.rail, shape.rib_box
    if long <= 0.0:
        return []
    far, top = long / 2.0 + 0.5, r.under + r.floor / 2.0
    starts = (y for inner in shape.ribs for y in (inner, -inner - RIB_MM))
    return [box((-far, y, low), (far, y + RIB_MM, top)) for y in starts]


def extras(fitting: Fitting, _results: Results, printer: Printer) -> tuple[Extra, ...]:
    """The dummy, where the design wants one."""
    return (dummy_for(fitting, printer),) if fitting.figures["dummy"] else ()
