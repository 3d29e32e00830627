"""Pieces of templates as prints, laid on as few beds as fit; each bed is one file. Lengths in mm."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from math import cos, radians, sin

import numpy as np
import shapely

from foldwright.base.types import FloatArray
from foldwright.design.resolve import FittedFilament
from foldwright.design.workshop import Printer
from foldwright.geometry.transform import inverse, turn
from foldwright.layout.model import Part, Placement, SheetStock
from foldwright.layout.place import place
from foldwright.make.print_job import FOLDERS, Job, Lying
from foldwright.make.printing import Print, Settings, laid, minutes_for
from foldwright.make.templates.pieces import Piece
from foldwright.make.templates.plate_solid import solid_of

SPACING_MM = 4.0
"""Between two pieces on a bed: a brim each and a little more [judgement]."""

# The layout works with outlines that are grown by this and then made simpler.
_COARSE = 0.05
_UP = np.array([0.0, 0.0, 1.0])


def print_of(piece: Piece, title: str, printer: Printer, filament: FittedFilament) -> Print:
    """A piece as a print: flat, upper side up, turned where only that way it fits the bed.

    Its `place` brings it back to the frame of its blank.
    """
    solid = solid_of(piece.body, piece.through, piece.grooves, piece.letters, piece.thickness, piece.recess)
    body, back = laid(solid, turn(np.zeros(3), _UP, piece.turn) if piece.turn else np.eye(4))
    settings = Settings(
        filament, printer.layer_mm, printer.line_mm, printer.walls, printer.infill_pct / 100.0
    )
    numbered = f", piece {piece.index} of {piece.total}" if piece.total > 1 else ""
    notes = (f"joints {', '.join(piece.joints)}: push together number to number",) if piece.joints else ()
    return Print(
        name=piece.name,
        title=f"template: {title}{numbered}",
        group="templates",
        body=body,
        settings=settings,
        orientation="flat, upper side up",
        notes=notes,
        of=piece.blank,
        place=back,
        figures={"thickness_mm": piece.thickness, "piece": float(piece.index), "pieces": float(piece.total)},
    )


def beds(prints: Sequence[Print], bodies: Mapping[str, shapely.Polygon], printer: Printer) -> tuple[Job, ...]:
    """Prints on beds, the margin left free, small ones in the windows of large ones where they fit.

    bodies: what each print covers in the frame of its blank, by its name. The same input, the same beds.
    Raises ValueError for a print larger than the bed.
    """
    if not prints:
        return ()
    margin = printer.margin_mm
    width, depth = (side - 2.0 * margin for side in printer.bed_mm[:2])
    parts = [_part(one, bodies[one.name]) for one in prints]
    stock = SheetStock("bed", width + 2.0 * _COARSE, depth + 2.0 * _COARSE, 0.0)
    found = place(parts, [stock], spacing_mm=SPACING_MM - _COARSE)
    if found.unplaced:
        raise ValueError(f"{found.unplaced[0].part} is larger than the bed")
    named = {one.name: one for one in prints}
    loads = [
        [
            Lying(named[spot.part], _at(named[spot.part], spot, (width, depth), margin))
            for spot in sheet.placements
        ]
        for sheet in found.sheets
    ]
    return tuple(_job(number, len(loads), load, printer) for number, load in enumerate(loads, 1))


def _part(one: Print, body: shapely.Polygon) -> Part:
    """What a print covers of the bed, a hair more, with its windows."""
    matrix = inverse(_placed(one))
    flat = shapely.transform(body, lambda points: points @ matrix[:2, :2].T + matrix[:2, 3])
    grown = flat.buffer(_COARSE, quad_segs=1)
    simple = grown.simplify(0.5 * _COARSE)
    whole = isinstance(simple, shapely.Polygon) and simple.is_valid
    covered = simple if whole else grown.convex_hull
    if not isinstance(covered, shapely.Polygon):
        raise TypeError(f"{one.name} covers nothing of the bed")
    rings = [np.asarray(ring.coords)[:-1] for ring in (covered.exterior, *covered.interiors)]
    return Part(one.name, rings[0], tuple(rings[1:]))


def _placed(one: Print) -> FloatArray:
    if one.place is None:
        raise ValueError(f"{one.name} has no place on its blank")
    return one.place


def _at(one: Print, spot: Placement, room: tuple[float, float], margin: float) -> FloatArray:
    """4x4 from a print's frame on to the bed; what the layout's coarse outline put over the edge by a hair
    is moved back.
    """
    angle = radians(spot.turn_deg)
    c, s = round(cos(angle)), round(sin(angle))
    matrix = np.eye(4)
    matrix[:2, :2] = [[c, -s], [s, c]]
    size = one.body.size
    corners = np.array([[0.0, 0.0], [size[0], size[1]]]) @ matrix[:2, :2].T
    low, high = corners.min(axis=0), corners.max(axis=0)
    wanted = np.array([spot.x_mm, spot.y_mm])
    fitted = np.minimum(np.maximum(wanted, -low), np.array(room) - high)
    matrix[:2, 3] = np.round(fitted, 4) + margin
    return matrix


def _job(number: int, count: int, load: Sequence[Lying], printer: Printer) -> Job:
    filled = sum(one.made.filled for one in load)
    height = max(float(one.made.body.size[2]) for one in load)
    return Job(
        path=f"{FOLDERS['templates']}/templates-bed-{number}",
        title=f"templates, bed {number} of {count}",
        group="templates",
        lying=tuple(load),
        copies=1,
        minutes=minutes_for(filled, height, printer),
    )
