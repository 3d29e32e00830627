"""Display list: what is drawn, in mm, before any file format is thought of.

Frame of a drawing: x right, y up, origin at the lower left corner of the page or sheet, mm.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Pen = Literal["cut", "to_paper", "crush", "mark", "letter", "sheet_edge", "outline", "thin", "dimension"]
Face = Literal["a", "b", ""]
Align = Literal["left", "centre", "right"]
Point = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Path:
    """A polyline. `closed` joins the last point to the first (which is not repeated)."""

    pen: Pen
    face: Face
    points: tuple[Point, ...]
    closed: bool = False


@dataclass(frozen=True, slots=True)
class Text:
    """One line of text; `at` is the baseline point that `align` refers to; angle in degrees, ccw."""

    pen: Pen
    face: Face
    at: Point
    height_mm: float
    text: str
    angle_deg: float = 0.0
    align: Align = "left"


@dataclass(frozen=True, slots=True)
class Fill:
    """A filled area with holes; shade 0 (black) to 1 (white); drawn below all paths and texts."""

    rings: tuple[tuple[Point, ...], ...]
    shade: float


Item = Path | Text | Fill


@dataclass(frozen=True, slots=True)
class Drawing:
    """A page at true scale, 1 unit = 1 mm.

    title: names the file's content, in the file's own metadata. about: what is seen, for those who cannot
    see it; "" where the title is enough.
    width_mm, height_mm: page or sheet size; items lie within.
    """

    title: str
    width_mm: float
    height_mm: float
    items: tuple[Item, ...]
    about: str = ""
