"""What a plate draws on the board when it is used as it says: for checks, in the frame of its blank [mm]."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import shapely

from foldwright.base.types import FloatArray
from foldwright.geometry.solid.core import Area
from foldwright.make.templates.areas import area_of
from foldwright.make.templates.halves import FIRST, SECOND, mirror_about
from foldwright.make.templates.model import Guide, Plate

To = Callable[[FloatArray], FloatArray]

_FLIP = np.array([1.0, -1.0])


def second_place(plate: Plate) -> To | None:
    """Where the second use of a half plate brings its points; None for a plate of all of a blank."""
    if plate.use == "slide" and plate.shift is not None:
        shift = plate.shift
        return lambda points: points + shift
    if plate.use == "turn over" and plate.middle is not None:
        axis = int(np.argmin(np.abs(plate.middle[1] - plate.middle[0])))
        middle = float(plate.middle[0, axis])
        return lambda points: mirror_about(axis, middle, points)
    return None


def traced_lines(plate: Plate, name: str) -> tuple[Guide, ...]:
    """Every line that the plate draws on one of its blanks; both uses of a half plate, overlaps twice.

    name: of the blank. For a blank that the plate is turned over for, lines lie as on that blank. KeyError
    for one that the plate does not serve.
    """
    if name not in (plate.blank, *plate.same, *plate.turned):
        raise KeyError(name)
    second = second_place(plate)
    drawn = [guide for guide in plate.guides if _serves(guide, name, FIRST)]
    if second is not None:
        drawn += [_moved(guide, second) for guide in plate.guides if _serves(guide, name, SECOND)]
    return tuple(_moved(guide, _flipped) for guide in drawn) if name in plate.turned else tuple(drawn)


def traced_area(plate: Plate, name: str) -> Area:
    """Outline and holes that the plate draws of one of its blanks."""
    second = second_place(plate)
    area = plate.outline
    if second is not None:
        # the halves of a plate that is slid meet in the middle line
        other = shapely.transform(area, second)
        area = area_of(shapely.union_all([area, other], grid_size=1e-6))
    return shapely.transform(area, _flipped) if name in plate.turned else area


def _serves(guide: Guide, name: str, use: str) -> bool:
    """Whether a line belongs to a blank and to a use of the plate."""
    only = set(guide.only.split(", ")) - {""}
    uses = only & {FIRST, SECOND}
    names = only - uses
    return (not uses or use in uses) and (not names or name in names)


def _moved(guide: Guide, to: To) -> Guide:
    return replace(guide, points=to(guide.points))


def _flipped(points: FloatArray) -> FloatArray:
    flipped: FloatArray = points * _FLIP
    return flipped
