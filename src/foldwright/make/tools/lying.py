"""How a folded half lies on a table, and where something under it carries it without twisting it. mm.

A half touches the table along two lines of its underside: behind the under strip, say, the board is one
thickness higher and touches nothing. What stands under the other half has to meet lines of the same sort, or
to be as much taller as the board is higher there.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import shapely

from foldwright.airframe.model import Airframe
from foldwright.airframe.section import slice_contour
from foldwright.base.types import FloatArray
from foldwright.make.tools.ground import blanks_of, underside

TOUCH_MM = 0.3
"""[judgement] an underside that is no further from the line between its lowest edges lies on it."""
APART = 0.4
"""[judgement] two places nearer together than this share of the chord do not keep a half from tipping."""
IN_MM = 4.0
"""Between the edge of what is carried and the edge of a block, mm."""
END_MM = 2.0
"""The outer of two sections lies so far inboard of the end itself, mm."""


@dataclass(frozen=True, slots=True)
class Under:
    """A place under a half. behind: of the middle of what stands there, from the leading edge; height: of the
    underside over the table, at the end of the half.
    """

    behind: float
    height: float


@dataclass(frozen=True, slots=True, eq=False)
class Table:
    """The plane that a half lies on. normal (3,): upward; offset: of its points along it."""

    normal: FloatArray
    offset: float

    def heights(self, x: FloatArray, y: float, z: FloatArray) -> FloatArray:
        """Heights (n,) of points over the table."""
        found: FloatArray = np.column_stack([x, np.full(len(x), y), z]) @ self.normal - self.offset
        return found


def table_under(airframe: Airframe, part: str, ys: tuple[float, float]) -> Table | None:
    """The table that a part lies on between two y: through its lowest edges there; None without them."""
    rows = []
    for y in ys:
        line = _rests_on(airframe, part, y)
        if line is None:
            return None
        rows += [(line[0][0], y, line[0][1]), (line[1][0], y, line[1][1])]
    points = np.array(rows)
    # z = a x + b y + c by least squares
    plane, *_ = np.linalg.lstsq(np.column_stack([points[:, :2], np.ones(len(points))]), points[:, 2])
    normal = np.array([-plane[0], -plane[1], 1.0]) / np.hypot(np.hypot(plane[0], plane[1]), 1.0)
    return Table(normal, float(normal @ points.mean(axis=0)))


def _rests_on(
    airframe: Airframe, part: str, y: float
) -> tuple[tuple[float, float], tuple[float, float]] | None:
    """Both ends (x, z), front first, of the line under a section that its own weight rests on."""
    section = slice_contour(blanks_of(airframe, part), y)
    if section.is_empty:
        return None
    middle = float(section.centroid.x)
    ring = shapely.get_coordinates(section.convex_hull).tolist()
    lines = [sorted(((p[0], p[1]), (q[0], q[1]))) for p, q in pairwise(ring)]
    below = [line for line in lines if line[0][0] <= middle < line[1][0]]
    if not below:
        return None
    low = min(below, key=lambda line: line[0][1] + line[1][1])
    return low[0], low[1]


def under_end(
    airframe: Airframe, part: str, ends: tuple[float, float], table: Table, wide: float
) -> tuple[Under, Under] | None:
    """Two places, front and rear, for things `wide` along the chord under a half.

    ends: y inboard, and END_MM short of its end. Where the underside touches the line that it would rest on,
    the foremost and the aftmost such place; where those are too near together, or none, as far apart as the
    line is long. The height is the lowest point's over that width, at the end.
    """
    y0, y1 = ends
    line, sections = _rests_on(airframe, part, y0), [underside(airframe, part, y) for y in ends]
    if line is None or sections[0] is None or sections[1] is None:
        return None
    x, z = sections[0]
    nose, half = float(x[0]), wide / 2.0
    spots = np.arange(line[0][0] + half + IN_MM, line[1][0] - half - IN_MM + 1e-9, 1.0)
    if len(spots) < 2:
        return None
    slope = (line[1][1] - line[0][1]) / (line[1][0] - line[0][0])
    gap = z - (line[0][1] + slope * (x - line[0][0]))
    touching = [at for at in spots.tolist() if _most(x, gap, (at - half, at + half)) < TOUCH_MM]
    far = touching and touching[-1] - touching[0] >= APART * (line[1][0] - line[0][0])
    chosen = (touching[0], touching[-1]) if far else (float(spots[0]), float(spots[-1]))
    shifts = (0.0, float(sections[1][0][0]) - nose)
    rows = [(sx - shift, table.heights(sx, y, sz)) for (sx, sz), y, shift in
            zip((sections[0], sections[1]), ends, shifts, strict=True)]  # fmt: skip
    found = []
    for at in chosen:
        inner, outer = (_least(sx, high, (at - half, at + half)) for sx, high in rows)
        found.append(Under(at - nose, outer + (outer - inner) * END_MM / abs(y1 - y0)))
    return found[0], found[1]


def _most(x: FloatArray, values: FloatArray, span: tuple[float, float]) -> float:
    inside = values[(x >= span[0]) & (x <= span[1])]
    return float(inside.max()) if len(inside) else float("inf")


def _least(x: FloatArray, values: FloatArray, span: tuple[float, float]) -> float:
    inside = values[(x >= span[0]) & (x <= span[1])]
    return float(inside.min()) if len(inside) else float(np.interp(0.5 * (span[0] + span[1]), x, values))
