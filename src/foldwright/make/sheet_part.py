"""One placed blank as it is drawn on its sheet, on the face up and on the face underneath [mm]."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from math import hypot, pi

import numpy as np
import shapely

from foldwright.base.types import FloatArray
from foldwright.geometry.fold.model import Blank, Face, Fold
from foldwright.layout.from_airframe import Lying
from foldwright.make.blank_drawing import BlankDrawing, Line
from foldwright.make.drawing import Item, Path, Point
from foldwright.make.fold_table import fold_words
from foldwright.make.lettering_room import Room, fold_name, grain_arrow, name_beside, part_name, taken_by

To = Callable[[FloatArray], FloatArray]

# Lines of one mark that lie nearer together than this share their name.
_NEAR_MM = 20.0


@dataclass(frozen=True, slots=True, eq=False)
class PartItems:
    """What one copy of a blank puts on its sheet.

    up: seen from above, cuts included. down: seen from below, in the frame of the sheet turned over.
    ground: the part's area with its kerf, seen from above.
    """

    up: tuple[Item, ...]
    down: tuple[Item, ...]
    ground: shapely.Polygon


@dataclass(frozen=True, slots=True)
class Naming:
    """Words on a part. revision: of the design. copies: of this blank over all sheets. grain_rad: in the
    view, or None.
    """

    revision: str
    copy: int
    copies: int
    grain_rad: float | None


def points_of(points: FloatArray) -> tuple[Point, ...]:
    """An array (n, 2) as the points of a path."""
    return tuple((float(x), float(y)) for x, y in points)


def label_of(name: str, copy: int, copies: int) -> str:
    """A part's name on the sheet: which copy is said where there are several."""
    return f"{name} #{copy}" if copies > 1 else name


def part_items(lying: Lying, drawing: BlankDrawing, to_up: To, to_down: To, naming: Naming) -> PartItems:
    """Lines and words of a placed blank. to_up, to_down: blank frame → the two views of the sheet."""
    name_face = "b" if lying.up == "b" or lying.both else "a"
    views = []
    for face, to in ((lying.up, to_up), (lying.down, to_down)):
        lines = [line for line in drawing.lines if line.face == face]
        if face == lying.up or lines:
            views.append(_view(lying.blank, drawing, face, lines, to, naming, named=face == name_face))
        else:
            views.append([])
    cuts = [_path(line, to_up) for line in drawing.lines if not line.face]
    ground = shapely.Polygon(cuts[0].points)
    return PartItems((*cuts, *views[0]), tuple(views[1]), ground)


def _view(
    blank: Blank, drawing: BlankDrawing, face: Face, lines: list[Line], to: To, naming: Naming, *, named: bool
) -> list[Item]:
    outer, *holes = (to(ring) for ring in drawing.rings)
    room = Room(face, shapely.Polygon(outer, holes).buffer(-1.0))
    if room.inside.is_empty or not isinstance(room.inside, shapely.Polygon):
        room.inside = shapely.Polygon(outer, holes)
    room.taken += taken_by(to(line.points) for line in lines)
    items: list[Item] = [_path(line, to) for line in lines]
    items += [_fold_text(room, fold, drawing, to) for fold in blank.folds if fold.opened == face]
    items += _small_words(room, lines, to)
    if named:
        title = label_of(drawing.name, naming.copy, naming.copies)
        items += part_name(room, (title, f"rev {naming.revision}, face {face.upper()} up"))
        if naming.grain_rad is not None:
            items += [Path("letter", face, points_of(p)) for p in grain_arrow(room, naming.grain_rad)]
    return items


def _fold_text(room: Room, fold: Fold, drawing: BlankDrawing, to: To) -> Item:
    """The fold's name beside the longest piece of its line, on the child's side."""
    pieces = [to(line.points) for line in drawing.lines if line.role == "fold" and line.name == fold.name]
    if not pieces:
        pieces = [to(np.stack([fold.p, fold.q]))]
    p, q = max(
        pieces, key=lambda piece: (round(hypot(*(piece[1] - piece[0])), 6), -round(float(piece[0, 0]), 6))
    )
    inward = np.array([-(fold.q - fold.p)[1], (fold.q - fold.p)[0]]) / fold.length
    beside = to(np.stack([fold.p, fold.p + inward]))
    child = beside[1] - beside[0]
    left = np.array([-(q - p)[1], (q - p)[0]])
    offsets = [
        float((to(line.points)[0] - p) @ child)
        for line in drawing.lines
        if line.role == "edge" and line.name == fold.name
    ]
    return fold_name(
        room, fold_words(fold), p, q, max([0.0, *offsets]), 1.0 if float(left @ child) > 0.0 else -1.0
    )


def _small_words(room: Room, lines: list[Line], to: To) -> list[Item]:
    """Names of marks, once where the same name stands near, and what the lines of slanted edges mean."""
    items: list[Item] = []
    said: list[tuple[str, FloatArray]] = []
    for line in lines:
        words = {"mark": line.name, "bevel": "slant"}.get(line.role)
        middle = to(line.points).mean(axis=0)
        if words is None or any(w == line.name and hypot(*(at - middle)) < _NEAR_MM for w, at in said):
            continue
        said.append((line.name, middle))
        text = name_beside(room, words, middle)
        if text is not None:
            items.append(text)
    return items


def _path(line: Line, to: To) -> Path:
    return Path(line.pen, line.face, points_of(to(line.points)), line.closed)


def grain_in_view(grain: str) -> float | None:
    """Direction of the board's grain on a sheet, rad; the same seen from either side. None: the board has
    none.
    """
    return {"along": 0.0, "across": pi / 2.0}.get(grain)
