"""Whether a tool reaches a piece of equipment from the side it has to come from, loose boards taken off."""

from __future__ import annotations

import numpy as np

from foldwright.design.resolve import FittedItem
from foldwright.geometry.fold.model import SQUARE, Blank, Panel
from foldwright.geometry.fold.solids import meeting, pieces
from foldwright.geometry.transform import inverse, shift
from foldwright.review.room_rules import extents
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
    corner = centre - size / 2.0
    outline = np.array([(0.0, 0.0), (size[0], 0.0), (size[0], size[1]), (0.0, size[1])])
    place = shift(*corner.tolist())
    blank = Blank("tool", float(size[2]), (Panel("tool", outline, (SQUARE,) * 4),), (), "tool", place)
    mine = pieces(blank)["tool"]
    for one, panel, low, high in extents(subject.airframe):
        if one.blank.name in subject.airframe.loose:
            continue
        if np.any(low >= corner + size) or np.any(high <= corner):
            continue
        other = pieces(one.blank).get(panel.name)
        if other is None:
            continue
        if meeting(mine, other, inverse(place) @ one.transforms[panel.name]).thickness > TOUCH_MM:
            return f"{one.blank.name} {panel.name}"
    return ""
