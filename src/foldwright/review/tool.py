"""Whether a tool reaches a piece of equipment from the side it has to come from, loose boards taken off."""

from __future__ import annotations

import numpy as np

from foldwright.design.resolve import FittedItem
from foldwright.review.in_the_way import first_met
from foldwright.review.subject import Subject

TOUCH_MM = 0.2
_AXES = {"x": 0, "y": 1, "z": 2}


def blocked(subject: Subject, item: FittedItem) -> str:
    """Name of the board that stands in the tool's way, "" for none. Raises ValueError without an access.

    The tool is a box, `wide` across, from the item's face `long` outward.
    """
    if item.access is None:
        raise ValueError(f"{item.id} has no access")
    sign = 1.0 if item.access.way[0] == "+" else -1.0
    axis = _AXES[item.access.way[1]]
    size = np.full(3, item.access.wide)
    size[axis] = item.access.long
    centre = np.array(item.place_mm)
    centre[axis] += sign * (item.size_mm[axis] / 2.0 + item.access.long / 2.0)
    low, high, loose = centre - size / 2.0, centre + size / 2.0, frozenset(subject.airframe.loose)
    return first_met(subject.airframe, low, high, TOUCH_MM, loose)[1]
