"""Letters that print: single strokes thickened to a stem, as areas to be recessed, raised or cut out. mm.

The strokes are those of `geometry.lettering`. A counter (the inside of an o) or an opening (the mouth of an
e) narrower than `OPEN` would close in the print, so a text has a least height for its stem.
"""

from __future__ import annotations

from functools import cache, lru_cache
from math import inf

import numpy as np
import shapely
from shapely import affinity

from foldwright.base.types import FloatArray
from foldwright.geometry.lettering import Polyline, plain, strokes, width_mm
from foldwright.geometry.solid.core import Area

LEAST_STEM = 0.8
"""Two lines of a 0.4 mm nozzle, mm: a thinner stem prints broken or not at all. [judgement]"""

OPEN = 0.35
"""Least clear width of counters, mouths and gaps between letters, mm. [judgement: looked at in pictures]"""

USUAL = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-/.,+:°"
"""What names and notes on prints are written in."""

_QUARTER = 3
_THIN = 0.07
"""Strokes as thin as this share of the height show a letter as it is meant: the grid's gaps are closed."""
_STEP = 0.0005
_SPECK = 0.01
_GRID = 1e-5
_SPACE_SHARE = 0.35
_APART = 0.75
_LEAST_STEMS = 4.5
"""Letters lower than this many stems are blots, counters or not. [judgement: looked at in pictures]"""


def letters(text: str, height: float, stem: float) -> Area:
    """One line of text as an area: its ink starts at x = 0, the baseline at y = 0, capitals `height` high.

    height: of capitals over all, stem included, mm; stem: width of the strokes, mm. Letters that would stand
    closer than three quarters of a stem are moved apart. Characters outside the alphabet are written as
    `lettering.plain` says, which also tells what was replaced.

    Raises:
        ValueError: stem under `LEAST_STEM`, height not more than twice the stem, or nothing to be seen in
            the text.
    """
    placed = _placed(text, height, stem)
    parts = [
        part
        for char, x in placed
        for part in shapely.get_parts(affinity.translate(_glyph(char, height, stem), xoff=x))
    ]
    return parts[0] if len(parts) == 1 else shapely.MultiPolygon(parts)


def letters_size(text: str, height: float, stem: float) -> tuple[float, float]:
    """Width and height of the ink of `letters`, mm: tails below the baseline count. Errors as there."""
    low_x, low_y, high_x, high_y = shapely.total_bounds(
        [affinity.translate(_glyph(char, height, stem), xoff=x) for char, x in _placed(text, height, stem)]
    ).tolist()
    return high_x - low_x, high_y - low_y


def least_height(stem: float, text: str = USUAL) -> float:
    """Height of capitals, mm, below which a counter or mouth of some letter of the text is under `OPEN`.

    A glyph closes when strokes of (stem + OPEN) join where strokes of no width do not; found on the glyph's
    own strokes, which scale with (height - stem).
    """
    _check(stem, inf)
    widest = min((_room(char) for char in plain(text).text if char.strip()), default=inf)
    return max(_LEAST_STEMS * stem, stem + (stem + OPEN) / widest)


def _check(stem: float, height: float) -> None:
    if not stem >= LEAST_STEM:
        raise ValueError(f"letters need a stem of at least {LEAST_STEM:g} mm, got {stem:g}")
    if not height > 2.0 * stem:
        raise ValueError(
            f"letters with a stem of {stem:g} mm are higher than {2 * stem:g} mm, got {height:g}"
        )


def _placed(text: str, height: float, stem: float) -> list[tuple[str, float]]:
    """Each letter that leaves ink, and where its own x = 0 comes."""
    _check(stem, height)
    core = height - stem
    placed: list[tuple[str, float]] = []
    pen = 0.0
    for char in plain(text).text:
        if char == " ":
            pen += max(width_mm(" ", core), _SPACE_SHARE * height)
            continue
        if placed:
            last, at = placed[-1]
            pen = max(pen, at + _apart(last, char, height, stem))
        placed.append((char, pen))
        pen += width_mm(char, core)
    if not placed:
        raise ValueError("a text without letters")
    start = _glyph(placed[0][0], height, stem).bounds[0] + placed[0][1]
    return [(char, x - start) for char, x in placed]


def _lines(char: str, core: float) -> list[Polyline]:
    return strokes(char, core)


@lru_cache(maxsize=2048)
def _glyph(char: str, height: float, stem: float) -> Area:
    """One letter, its advance box starting at x = 0, the foot of its strokes half a stem above y = 0."""
    half = stem / 2.0
    ink = shapely.MultiLineString(_lines(char, height - stem)).buffer(half, quad_segs=_QUARTER)
    # On a grid no two corners lie so close that moving the letter would make them one.
    clean = shapely.set_precision(affinity.translate(ink, yoff=half), _GRID)
    parts = [_without_specks(part) for part in shapely.get_parts(clean)]
    return parts[0] if len(parts) == 1 else shapely.MultiPolygon(parts)


def _without_specks(part: shapely.Polygon) -> shapely.Polygon:
    """A piece of ink less holes that no nozzle could leave open."""
    return shapely.Polygon(part.exterior, [r for r in part.interiors if shapely.Polygon(r).area > _SPECK])


@lru_cache(maxsize=8192)
def _apart(one: str, other: str, height: float, stem: float) -> float:
    """Least distance of the origins of two letters that leaves them apart, mm.

    Rays at every tenth of a stem compare the right edge of one with the left edge of the other, each edge
    widened upwards and downwards by `OPEN`, so that the true distance is never under it by more than a step.
    """
    right, left = _edges(one, height, stem), _edges(other, height, stem)
    rows = min(len(right), len(left))
    gap = right[:rows, 1] - left[:rows, 0]
    gap = gap[np.isfinite(gap)]
    return float(gap.max()) + max(OPEN, _APART * stem) if len(gap) else 0.0


@lru_cache(maxsize=2048)
def _edges(char: str, height: float, stem: float) -> FloatArray:
    """Least and greatest x of a letter in rows from one height below the baseline to two above it."""
    step = stem / 5.0
    glyph = _glyph(char, height, stem)
    rows = np.arange(-height, 2.0 * height, step)
    bars = [shapely.box(-height, row - OPEN, 8.0 * height, row + OPEN) for row in rows.tolist()]
    bounds = shapely.bounds(shapely.intersection(glyph, np.array(bars)))
    edges: FloatArray = np.where(np.isnan(bounds[:, [0, 2]]), [inf, -inf], bounds[:, [0, 2]])
    return edges


@cache
def _room(char: str) -> float:
    """Width of strokes, as a share of the height of their centre lines, at which a letter begins to close."""
    core = shapely.MultiLineString(_lines(char, 1.0))
    wanted = _holes(core, _THIN)
    low, high = _THIN, 1.0
    while high - low > _STEP:
        middle = 0.5 * (low + high)
        low, high = (middle, high) if _same_to(core, middle, wanted) else (low, middle)
    return low


def _same_to(core: shapely.MultiLineString, width: float, wanted: tuple[int, int]) -> bool:
    """Whether all widths up to this one leave as many holes and pieces as thin strokes do."""
    return all(_holes(core, share) == wanted for share in np.linspace(_THIN, width, 5)[1:].tolist())


def _holes(core: shapely.MultiLineString, width: float) -> tuple[int, int]:
    """Holes and pieces of strokes of a width; holes of less than a hundredth of it count as closed."""
    parts = shapely.get_parts(core.buffer(width / 2.0, quad_segs=8))
    least = 0.01 * width * width
    rings = [ring for part in parts for ring in part.interiors]
    return sum(shapely.Polygon(ring).area > least for ring in rings), len(parts)
