"""Where this aeroplane stands and what hangs lowest, for tools that carry it over a table. mm."""

from __future__ import annotations

import numpy as np
import shapely

from foldwright.airframe.model import Airframe, LiftingSurface, Placed
from foldwright.airframe.section import slice_contour
from foldwright.base.types import FloatArray
from foldwright.review.extents import box_of, under

_PROBE_MM = 2.0
_ABOVE = 1e5


def part_of(surface: LiftingSurface) -> str:
    """Id of the part that a surface belongs to."""
    return surface.id.split("/")[0]


def blanks_of(airframe: Airframe, part: str) -> tuple[Placed, ...]:
    """The folded blanks of a part."""
    return tuple(one for one in airframe.placed if one.part == part)


def half_width(airframe: Airframe, fore: float, aft: float) -> float:
    """Half of the greatest width of any body between two x; 0 without one."""
    x = np.linspace(fore, aft, 25)
    found = [0.0]
    for body in airframe.bodies:
        inside = x[(x >= body.x[0]) & (x <= body.x[-1])]
        found += (0.5 * np.interp(inside, body.x, body.width)).tolist()
    return max(found)


def underside(airframe: Airframe, part: str, y: float) -> tuple[FloatArray, FloatArray] | None:
    """X (n,) and height (n,) of the underside of a part's board where the plane y = const cuts it, from its
    foremost to its aftmost point; None where it is not cut. Steps are kept: two points 0.01 mm apart.
    """
    section = slice_contour(blanks_of(airframe, part), y)
    if section.is_empty:
        return None
    low, _, high, _ = section.bounds
    corners = shapely.get_coordinates(section)[:, 0]
    spots = np.concatenate([corners - 0.01, corners + 0.01, np.arange(low, high, _PROBE_MM)])
    x = np.unique(np.clip(spots, low + 0.005, high - 0.005))
    rays = [shapely.LineString([(one, -_ABOVE), (one, _ABOVE)]) for one in x.tolist()]
    met = [section.intersection(ray) for ray in rays]
    kept = [(one, cut.bounds[1]) for one, cut in zip(x.tolist(), met, strict=True) if not cut.is_empty]
    return np.array([row[0] for row in kept]), np.array([row[1] for row in kept])


def nose_at(airframe: Airframe, part: str, y: float) -> tuple[float, float] | None:
    """X and greatest height of a part's foremost edge at y, mm; None where the part does not reach."""
    section = slice_contour(blanks_of(airframe, part), y)
    if section.is_empty:
        return None
    points = shapely.get_coordinates(section)
    front = float(points[:, 0].min())
    return front, float(points[points[:, 0] < front + 0.5, 1].max())


def lowest(airframe: Airframe) -> float:
    """Height of the lowest board, stick or fitting."""
    box = box_of(airframe)
    found = [] if box is None else [float(box[0][2])]
    found += [float(bar.ends[:, 2].min()) - bar.height / 2.0 for bar in airframe.bars]
    found += [float(one.corners[:, 2].min()) for one in airframe.fittings]
    return min(found, default=0.0)


def belly(airframe: Airframe, x: float) -> float | None:
    """Height of what is lowest on the centre line at x, board or stick; None for nothing."""
    met = under(airframe, x, 0.0)
    found = [] if met is None else [met[1]]
    for bar in airframe.bars:
        ends = bar.ends[np.argsort(bar.ends[:, 0])]
        if abs(float(ends[:, 1].mean())) < 30.0 and ends[0, 0] <= x <= ends[1, 0]:
            found.append(float(np.interp(x, ends[:, 0], ends[:, 2])) - bar.height / 2.0)
    return min(found, default=None)


def propeller_low(airframe: Airframe) -> float:
    """Height of the propeller's lowest reach."""
    return airframe.thrust.z - airframe.thrust.disc_diameter_mm / 2.0
