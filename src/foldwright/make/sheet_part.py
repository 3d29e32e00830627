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
from foldwright.make.blank_drawing import CROSS_MM, BlankDrawing, Line
from foldwright.make.drawing import Item, Path, Point
from foldwright.make.fold_table import fold_words
from foldwright.make.folded_way import edge_words as end_words
from foldwright.make.lettering_room import (
    SMALL_HEIGHTS,
    Room,
    fold_name,
    grain_arrow,
    more_lines,
    part_name,
    taken_by,
)
from foldwright.make.mark_names import edge_words, forced_words, mark_name
from foldwright.make.way_round import WayRound, end_items, faces_where, way_items, way_round

To = Callable[[FloatArray], FloatArray]

# What is tried in turn: the part's name before the words beside lines, which way round after the name,
# heights of the words beside lines.
_ORDERS = (
    (False, False, SMALL_HEIGHTS),
    (True, False, SMALL_HEIGHTS),
    (True, True, SMALL_HEIGHTS[1:]),
    (True, True, SMALL_HEIGHTS[2:]),
    (False, True, SMALL_HEIGHTS[2:]),
)
_IN_PANEL_MM = 1.0
# Lines of one mark that lie nearer together than this share their name.
_NEAR_MM = 20.0
# Crosses of one name, such as four screws, that lie nearer together than this are named once.
_NEAR_SIGNS_MM = 60.0
# A slant below this need not be lettered where there is no room [judgement].
_LITTLE_MM = 1.0


@dataclass(frozen=True, slots=True, eq=False)
class PartItems:
    """What one copy of a blank puts on its sheet.

    up: seen from above, cuts included. down: seen from below, in the frame of the sheet turned over.
    shadow: the part's outline and name in the frame of the sheet turned over, for files on paper only: what
    lies where, for who measures and pricks by hand. ground: the part's area with its kerf, seen from above.
    """

    up: tuple[Item, ...]
    down: tuple[Item, ...]
    shadow: tuple[Item, ...]
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
    blank = lying.blank
    name_face = "b" if lying.up == "b" or lying.both else "a"
    views: list[list[Item]] = []
    rooms: list[Room] = []
    for face, to in ((lying.up, to_up), (lying.down, to_down)):
        lines = [line for line in drawing.lines if line.face == face]
        title = label_of(drawing.name, naming.copy, naming.copies) if face == name_face else ""
        room, items = _lettered(blank, drawing, face, lines, to, naming, title)
        rooms.append(room)
        views.append(items if face == lying.up or lines else [])
    cuts = [_path(line, to_up) for line in drawing.lines if not line.face]
    ground = shapely.Polygon(cuts[0].points)
    return PartItems((*cuts, *views[0]), tuple(views[1]), _shadow(drawing, rooms[1], to_down, naming), ground)


def _lettered(
    blank: Blank, drawing: BlankDrawing, face: Face, lines: list[Line], to: To, naming: Naming, title: str
) -> tuple[Room, list[Item]]:
    """Lines and words of one face. title: the part's name where it stands on this face, else "".

    Where the part is too small for all words in the usual order, its name is put first and letters beside
    lines are made smaller, as far as that helps.
    """
    tried: list[tuple[Room, list[Item]]] = []
    for name_first, way_last, heights in _ORDERS:
        room = _room(drawing, face, lines, to)
        room.heights = heights
        drawn: list[Item] = [_path(line, to) for line in lines]
        names = _names(blank, room, to, naming, title, way_last=way_last) if title and name_first else []
        words = _line_words(blank, drawing, lines, to, room)
        if title and not name_first:
            names = _names(blank, room, to, naming, title, way_last=way_last)
        tried.append((room, [*drawn, *words, *names]))
        if not room.forced or not title:
            break
    room, items = min(tried, key=lambda one: one[0].forced)
    return room, [*items, *(_panel_words(blank, room, to) if title else [])]


def _panel_words(blank: Blank, room: Room, to: To) -> list[Item]:
    """Names of the panels and words at the ends of a folded blank, each where there is room in its panel.

    What is a fold's name already is not said again.
    """
    if len(blank.panels) < 2:
        return []
    said = {fold.name for fold in blank.folds} | {mark.name for mark in blank.marks}
    within = {panel.name: _within(room, to(panel.polygon)) for panel in blank.panels}
    items: list[Item] = []
    for end in end_words(blank):
        ends = to(np.stack([np.zeros(2), end.toward]))
        inside = within[end.panel]
        if inside is not None and end.word not in said:
            items += end_items(inside, end.word, ends[1] - ends[0])
    for panel in blank.panels:
        inside = within[panel.name]
        if inside is not None and panel.name not in said:
            items += more_lines(inside, (panel.name,))
    return items


def _within(room: Room, ring: FloatArray) -> Room | None:
    """The room of one panel; what is put there is taken in the whole room."""
    inside = shapely.Polygon(ring).buffer(-_IN_PANEL_MM).intersection(room.inside)
    pieces = [piece for piece in shapely.get_parts(inside) if isinstance(piece, shapely.Polygon)]
    if not pieces:
        return None
    return Room(room.face, max(pieces, key=lambda piece: round(piece.area, 3)), room.taken)


def _room(drawing: BlankDrawing, face: Face, lines: list[Line], to: To) -> Room:
    outer, *holes = (to(ring) for ring in drawing.rings)
    room = Room(face, shapely.Polygon(outer, holes).buffer(-1.0))
    if room.inside.is_empty or not isinstance(room.inside, shapely.Polygon):
        room.inside = shapely.Polygon(outer, holes)
    # a cut inside runs through both faces
    room.taken += taken_by(to(line.points) for line in drawing.lines if line in lines or line.role == "slit")
    return room


def _names(blank: Blank, room: Room, to: To, naming: Naming, title: str, *, way_last: bool) -> list[Item]:
    """Name, revision and face, which way round the part is built in, the grain."""
    lines = [title, f"rev {naming.revision}, face {room.face.upper()} up"]
    items: list[Item] = []
    way = way_round(blank)
    if way is not None:
        items += [] if way_last else _way(room, way, to)
        lines.append(f"built in, this side looks {faces_where(blank, room.face)}")
    named = part_name(room, lines)
    items += named
    if way is not None and way.word == "up" and lines[-1] not in {text.text for text in named}:
        items += more_lines(room, (lines[-1].removeprefix("built in, "),))
    if way is not None and way_last:
        items += _way(room, way, to)
    if naming.grain_rad is not None:
        items += [Path("letter", room.face, points_of(p)) for p in grain_arrow(room, naming.grain_rad)]
    return items


def _way(room: Room, way: WayRound, to: To) -> list[Item]:
    ends = to(np.stack([np.zeros(2), way.toward]))
    return way_items(room, way.word, ends[1] - ends[0])


def _shadow(drawing: BlankDrawing, room: Room, to: To, naming: Naming) -> tuple[Item, ...]:
    title = label_of(drawing.name, naming.copy, naming.copies)
    outlines = [
        Path("thin", "", points_of(to(line.points)), line.closed) for line in drawing.lines if not line.face
    ]
    return (*outlines, *part_name(room, (title, f"face {room.face.upper()} up")))


def _line_words(blank: Blank, drawing: BlankDrawing, lines: list[Line], to: To, room: Room) -> list[Item]:
    """Words beside the lines of one face: folds, marks, slanted edges."""
    items: list[Item] = [_fold_text(room, f, drawing, to) for f in blank.folds if f.opened == room.face]
    return items + _small_words(blank, room, lines, to)


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


def _small_words(blank: Blank, room: Room, lines: list[Line], to: To) -> list[Item]:
    """Names of marks, once where the same name stands near, then what the lines of slanted edges mean: each
    where there is room, and each at least once.
    """
    items: list[Item] = []
    shapes = [(line.name, shapely.LineString(to(line.points))) for line in lines]
    said: list[tuple[str, FloatArray]] = []
    slants: dict[tuple[str, str], bool] = {}
    missed: list[tuple[tuple[str, str], FloatArray]] = []
    for line in sorted(lines, key=lambda one: one.role != "mark"):
        points = to(line.points)
        middle = points.mean(axis=0)
        reach = _NEAR_SIGNS_MM if _is_sign(line) else _NEAR_MM
        if line.role not in {"mark", "bevel"} or _near(said, line.name, middle, reach):
            continue
        said.append((line.name, middle))
        own, others = _own_and_others(shapes, line.name, middle)
        if line.role == "mark":
            items += mark_name(room, _spoken(line.name), points, own, others)
            continue
        words = slant_words(blank, line)
        found = edge_words(room, words, points, own, others)
        slants[words] = slants.get(words, False) or bool(found)
        items += found
        missed.append((words, points))
    for words, done in slants.items():
        if _little(words):
            continue
        points = next(ends for said_there, ends in missed if said_there == words)
        items += [] if done else forced_words(room, words[-1], points[0], points[-1])
    return items


def _spoken(name: str) -> tuple[str, ...]:
    """A mark's name, and its first word for where there is no room for more: "thrust" of "thrust-line"."""
    first = name.partition("-")[0]
    return (name,) if first == name else (name, first)


def _little(words: tuple[str, str]) -> bool:
    """Whether a slant is so small that its words may be left out for want of room: the legend tells of it."""
    return float(words[-1].split()[1]) < _LITTLE_MM


def _own_and_others(
    shapes: list[tuple[str, shapely.LineString]], name: str, middle: FloatArray
) -> tuple[shapely.Geometry, shapely.Geometry]:
    """The lines of a name near a place, and all the others."""
    own = [s for other, s in shapes if other == name and hypot(*(_middle(s) - middle)) < _NEAR_MM]
    return shapely.union_all(own), shapely.union_all([s for _, s in shapes if s not in own])


def _middle(shape: shapely.LineString) -> FloatArray:
    middle: FloatArray = np.asarray(shape.coords).mean(axis=0)
    return middle


def _near(said: list[tuple[str, FloatArray]], name: str, middle: FloatArray, reach: float) -> bool:
    return any(word == name and hypot(*(at - middle)) < reach for word, at in said)


def _is_sign(line: Line) -> bool:
    """Whether a line is an arm of a cross."""
    arm = line.role == "mark" and len(line.points) == 2 and not line.closed
    return arm and _long(line) <= 2.01 * CROSS_MM


def _long(line: Line) -> float:
    return float(hypot(*(line.points[-1] - line.points[0])))


def slant_words(blank: Blank, line: Line) -> tuple[str, str]:
    """How far a slanted edge lies back on the face that lacks more: its line's distance from the outline; or
    the same without the face.
    """
    panel, _, edge = line.name.rpartition("/")
    cut = blank.panel(panel).cuts[int(edge)]
    brief = f"slant {max(cut.a, cut.b):.1f} mm"
    return f"{brief} on face {line.face.upper()}", brief


def _path(line: Line, to: To) -> Path:
    return Path(line.pen, line.face, points_of(to(line.points)), line.closed)


def grain_in_view(grain: str) -> float | None:
    """Direction of the board's grain on a sheet, rad; the same seen from either side. None: the board has
    none.
    """
    return {"along": 0.0, "across": pi / 2.0}.get(grain)
