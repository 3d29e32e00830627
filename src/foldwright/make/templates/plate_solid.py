"""A plate, or a piece of one, as a solid: z = 0 is its underside, which lies on the bed [mm]."""

from __future__ import annotations

from collections.abc import Sequence

import shapely

from foldwright.geometry.solid.core import Area, Solid, extrude, without
from foldwright.geometry.solid.shape import OVER
from foldwright.make.templates.areas import area_of, joined
from foldwright.make.templates.model import Letters, Plate
from foldwright.make.templates.plate_letters import letters_area

_LEAST_MM2 = 0.01
_GRID = 1e-4


def solid_of(
    body: Area, through: Area, grooves: Area, letters: Sequence[Letters], thickness: float, recess: float
) -> Solid:
    """The solid of a plate or of a piece of it, in the blank's frame.

    body: what there is of it seen from above; through: taken right through; grooves and letters: recessed
    into the upper side, letters with `under` into the underside. Parts of them outside the body do nothing.
    Raises ValueError for a body without area or a recess as deep as the plate.
    """
    if not 0.0 < recess < thickness:
        raise ValueError(f"a recess of {recess:g} mm does not fit a plate of {thickness:g} mm")
    # on a grid, or slivers between openings that all but touch become bodies of their own
    section = area_of(shapely.set_precision(body.difference(through), _GRID), _LEAST_MM2)
    upper = [grooves, *(letters_area(one) for one in letters if not one.under)]
    under = [letters_area(one) for one in letters if one.under]
    if section.is_empty:
        raise ValueError("nothing is left of the plate")
    taken = []
    for some, z in ((upper, thickness - recess), (under, -OVER)):
        sunk = area_of(joined(some).intersection(section), _LEAST_MM2)
        taken += [] if sunk.is_empty else [extrude(sunk, recess + OVER, z)]
    return without(extrude(section, thickness), taken)


def plate_solid(plate: Plate) -> Solid:
    """The whole plate, before it is split."""
    return solid_of(plate.body, plate.through, plate.grooves, plate.letters, plate.thickness, plate.recess)
