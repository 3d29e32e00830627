"""Parts, sheets and where the parts lie on them. Lengths in mm, turns in degrees counter-clockwise."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np
import shapely

from foldwright.base.types import FloatArray

Turn = Literal["quarter", "half", "none"]
Reason = Literal["larger than every sheet", "larger than the bed", "no sheet left"]

TURNS: dict[Turn, tuple[int, ...]] = {"quarter": (0, 90, 180, 270), "half": (0, 180), "none": (0,)}

# Whole numbers, so that a quarter turn is exact.
_QUARTERS = {
    0: ((1.0, 0.0), (0.0, 1.0)),
    90: ((0.0, -1.0), (1.0, 0.0)),
    180: ((-1.0, 0.0), (0.0, -1.0)),
    270: ((0.0, 1.0), (-1.0, 0.0)),
}


@dataclass(frozen=True, slots=True, eq=False)
class Part:
    """A flat part to be cut.

    outline: ring (n, 2) that does not cross itself. openings: rings cut out of it that may hold other parts.
    copies: how many are wanted. turn: the turns allowed ("half" or "none" where the board's grain matters);
    a part is never mirrored.
    """

    name: str
    outline: FloatArray
    openings: tuple[FloatArray, ...] = ()
    copies: int = 1
    turn: Turn = "quarter"


@dataclass(frozen=True, slots=True)
class SheetStock:
    """Sheets to be had: size, the border that cannot be used, and how many (None: as many as needed)."""

    name: str
    width_mm: float
    height_mm: float
    border_mm: float = 0.0
    count: int | None = None


@dataclass(frozen=True, slots=True)
class Bed:
    """The cutter's bed. A sheet larger than it is divided into pieces that fit, turned or not."""

    width_mm: float
    height_mm: float


@dataclass(frozen=True, slots=True)
class Area:
    """A usable rectangle of a sheet; the origin is the sheet's lower left corner."""

    x0_mm: float
    y0_mm: float
    x1_mm: float
    y1_mm: float

    @property
    def width_mm(self) -> float:
        """Extent along x."""
        return self.x1_mm - self.x0_mm

    @property
    def height_mm(self) -> float:
        """Extent along y."""
        return self.y1_mm - self.y0_mm


@dataclass(frozen=True, slots=True)
class Placement:
    """One copy (1, 2, ...) of a part: turned about the part's own origin, then moved by (x, y)."""

    part: str
    copy: int
    x_mm: float
    y_mm: float
    turn_deg: int


@dataclass(frozen=True, slots=True)
class SheetLayout:
    """One sheet and what lies on it. areas: its usable rectangles, more than one where the bed is smaller."""

    stock: str
    width_mm: float
    height_mm: float
    border_mm: float
    areas: tuple[Area, ...]
    placements: tuple[Placement, ...]


@dataclass(frozen=True, slots=True)
class Unplaced:
    """A copy that found no place.

    least_width_mm, least_height_mm: the least sheet that holds it with its border, or, where the bed is what
    limits, the least bed.
    """

    part: str
    copy: int
    reason: Reason
    least_width_mm: float
    least_height_mm: float


@dataclass(frozen=True, slots=True)
class Layout:
    """All sheets in the order they are filled, what found no place, and the spacing kept between parts."""

    sheets: tuple[SheetLayout, ...]
    unplaced: tuple[Unplaced, ...]
    spacing_mm: float


def turned(ring: FloatArray, turn_deg: int) -> FloatArray:
    """A ring (n, 2) turned about the origin by 0, 90, 180 or 270 degrees; KeyError for any other turn."""
    result: FloatArray = np.asarray(ring, dtype=np.float64) @ np.array(_QUARTERS[turn_deg]).T
    return result


def placed_rings(part: Part, placement: Placement) -> tuple[FloatArray, ...]:
    """Outline and openings of a placed part in the sheet's frame."""
    move = np.array([placement.x_mm, placement.y_mm])
    return tuple(turned(ring, placement.turn_deg) + move for ring in (part.outline, *part.openings))


def placed_polygon(part: Part, placement: Placement) -> shapely.Polygon:
    """A placed part in the sheet's frame."""
    outline, *openings = placed_rings(part, placement)
    return shapely.Polygon(outline, openings)
