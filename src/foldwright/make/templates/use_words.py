"""Where a direction lies on a plate as its name is read, for words that found no room on it."""

from __future__ import annotations

from collections.abc import Mapping
from math import atan2, pi

import numpy as np
import shapely

from foldwright.base.types import FloatArray
from foldwright.geometry.fold.model import Blank
from foldwright.make.templates.model import Letters, Plate
from foldwright.make.way_round import way_round

# Two edges at nearly the same distance from a cross are not told apart by it, mm.
_TOLD_APART = 2.0
_SIDES = ("right", "top", "left", "bottom")


def way_of(blank: Blank, plate: Plate) -> Mapping[str, str] | None:
    """Which way round a flat blank is built in, and on which side of its plate that edge lies as the letters
    read ("up", "left", "no 6"); None for a folded blank, or where the plate carries neither name nor number.
    """
    way = way_round(blank)
    name = _name(plate)
    if way is None or name is None:
        return None
    return {"word": way.word, "side": side_of(name, way.toward), "reads": name.text}


def where_is(blank: Blank, plate: Plate) -> str:
    """The edge that a flat blank's word ("up", "front") stands for, in figures: how far it is from a hole
    for a sign where that tells it from the others, else "": `way_of` says on which side it is.
    """
    way = way_round(blank)
    if way is None:
        return ""
    ring = shapely.get_coordinates(plate.outline)
    holes = [guide for guide in plate.guides if guide.how == "hole" and guide.pen != "cut"]
    middles = [guide.points.mean(axis=0) for guide in holes]
    # the two lines of a cross share their middle
    crossed = len(middles) > 1 and len({tuple(at.round(1).tolist()) for at in middles}) == 1
    cross = middles[0] if crossed else None
    if cross is not None:
        turns = (way.toward, -way.toward, way.toward[::-1] * (1.0, -1.0), way.toward[::-1] * (-1.0, 1.0))
        far = [float((ring @ turn).max() - cross @ turn) for turn in turns]
        if min(abs(far[0] - other) for other in far[1:]) > _TOLD_APART:
            return f"{way.word} is the edge {far[0]:.0f} mm from the cross"
    return ""


def edge_at(plate: Plate) -> str:
    """Which side is laid on the board's own edge, in figures."""
    if plate.straight is None:
        return ""
    run = plate.straight[1] - plate.straight[0]
    length = float(np.hypot(*run))
    said = f"the straight side of {length:.0f} mm is laid on the board's edge"
    read = _name(plate)
    if read is None:
        return said
    out = np.array([run[1], -run[0]]) / length
    middle = shapely.get_coordinates(plate.outline.centroid)[0]
    toward = out if float((plate.straight.mean(axis=0) - middle) @ out) > 0.0 else -out
    return f'{said}, at the {side_of(read, toward)} with "{read.text}" upright before you'


def side_of(read: Letters, toward: FloatArray) -> str:
    """Side of a plate that a direction (2,) points to, as a line of letters on its upper side is read."""
    angle = atan2(float(toward[1]), float(toward[0])) - read.angle
    return _SIDES[round(angle / (pi / 2.0)) % 4]


def _name(plate: Plate) -> Letters | None:
    """The plate's name on its upper side, whole or in short, or its number."""
    own = {plate.blank, plate.blank.rpartition("/")[2], f"no {plate.number}", f"{plate.number}"}
    known = {one.lower() for one in own}
    return next((one for one in plate.letters if not one.under and one.text.lower() in known), None)
