"""Board that an upright box meets: a tool, a battery on its way, a piece of equipment."""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache

import numpy as np

from foldwright.airframe.model import Airframe, Placed
from foldwright.base.types import FloatArray
from foldwright.geometry.fold.apart import body, hull_gaps
from foldwright.geometry.fold.model import SQUARE, Panel
from foldwright.geometry.fold.solids import Piece, meeting, pieces
from foldwright.geometry.transform import inverse, shift
from foldwright.review.extents import stacked


@lru_cache(maxsize=64)
def box_piece(length: float, width: float, height: float) -> Piece:
    """A box as a piece, its corner at the origin: along x, y, z, mm; the last sizes are remembered."""
    outline = np.array([(0.0, 0.0), (length, 0.0), (length, width), (0.0, width)])
    panel = Panel("box", outline, (SQUARE,) * 4)
    return Piece("box", panel, height, body(panel, height))


def first_met(
    airframe: Airframe, low: FloatArray, high: FloatArray, give: float, away: frozenset[str] = frozenset()
) -> tuple[str, str]:
    """Part and name of the first panel that a box stands in by more than `give` mm, "" for none.

    Depth decides for convex panels, the thickness of what they share for those with bays or holes.
    """
    place, mine = shift(*low.tolist()), box_piece(*_size(low, high))
    for one, panel, other in _near(airframe, low, high, give, away):
        relative = inverse(place) @ one.transforms[panel]
        if float(hull_gaps(mine.body, other.body, relative[None])[0]) > -give:
            continue
        if other.body.convex or meeting(mine, other, relative).thickness > give:
            return one.part, f"{one.blank.name} {panel}"
    return "", ""


def met(airframe: Airframe, low: FloatArray, high: FloatArray, give: float) -> Iterator[tuple[str, float]]:
    """Every panel that a box from `low` to `high` (3,) may stand in: name, thickness of what they share, mm.

    give: panels whose own box shares less than that along an axis are left out untried.
    """
    place, mine = shift(*low.tolist()), box_piece(*_size(low, high))
    for one, panel, other in _near(airframe, low, high, give, frozenset()):
        relative = inverse(place) @ one.transforms[panel]
        yield f"{one.blank.name} {panel}", meeting(mine, other, relative).thickness


def _size(low: FloatArray, high: FloatArray) -> tuple[float, float, float]:
    length, width, height = np.round(high - low, 9).tolist()
    return length, width, height


def _near(
    airframe: Airframe, low: FloatArray, high: FloatArray, give: float, away: frozenset[str]
) -> Iterator[tuple[Placed, str, Piece]]:
    """Panels whose box shares more than `give` with this one, blanks in `away` left out."""
    every, least, most = stacked(airframe)
    near = ((least < high - give) & (most > low + give)).all(axis=1)
    for number in np.flatnonzero(near).tolist():
        one, panel = every[number]
        other = None if one.blank.name in away else pieces(one.blank).get(panel.name)
        if other is not None:
            yield one, panel.name, other
