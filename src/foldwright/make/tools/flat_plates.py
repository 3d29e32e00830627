"""Tools made of flat plates: letters on them where there is room, halves where the bed is too short. mm,
rad.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import ceil

import numpy as np
import shapely

from foldwright.base.finding import Finding, Param, Verdict
from foldwright.design.workshop import Printer
from foldwright.geometry.solid.core import Area, Solid, extrude
from foldwright.geometry.solid.keyed import Key, key_positions, keyed_cut
from foldwright.geometry.solid.letters import least_height, letters, letters_size
from foldwright.geometry.solid.shape import at_place, middle_of, recess
from foldwright.make.print_bed import seated
from foldwright.make.printing import laid
from foldwright.make.tools import ToolBench

EDGE_MM = 0.8
"""[judgement] left between a letter and an edge: two lines."""
GROOVE_MM = 0.8
_STEP = 0.25
KEY = Key(neck=6.0, head=8.0, depth=5.0)
_WALL_MM = 2.0
_MOST_PIECES = 8


@dataclass(frozen=True, slots=True)
class Line:
    """One line of letters: its middle, the room about it (along, across), its direction, height wished
    for.
    """

    text: str
    at: tuple[float, float]
    room: tuple[float, float]
    angle: float = 0.0
    height: float = 6.0


def title_of(bench: ToolBench) -> str:
    """Name and revision, as they are lettered."""
    about = bench.evaluation.design.design
    return f"{about.name} {about.revision}".strip()


def written(area: Area, lines: Iterable[Line], stem: float) -> tuple[Area, ...]:
    """Letters of each line as large as its room and the area take them; a line without room is left out."""
    return tuple(ink for line in lines if (ink := _written(area, line, stem)) is not None)


def _written(area: Area, line: Line, stem: float) -> Area | None:
    least = least_height(stem, line.text)
    within = area.buffer(-EDGE_MM)
    for step in range(max(0, ceil((line.height - least) / _STEP)) + 1):
        height = max(line.height - step * _STEP, least)
        wide, high = letters_size(line.text, height, stem)
        if wide > line.room[0] or high > line.room[1]:
            continue
        ink = at_place(middle_of(letters(line.text, height, stem)), line.at, line.angle)
        if within.covers(ink):
            return ink
    return None


def first_written(area: Area, lines: Iterable[Line], stem: float) -> tuple[Area, ...]:
    """Letters of the first line that has room, the longest wording first; nothing where none has."""
    return next(((ink,) for line in lines if (ink := _written(area, line, stem)) is not None), ())


def groove(p: tuple[float, float], q: tuple[float, float], width: float = GROOVE_MM) -> shapely.Polygon:
    """A straight groove with square ends."""
    return shapely.LineString([p, q]).buffer(width / 2.0, cap_style="flat")


def plate(area: Area, thickness: float, sunk: Sequence[Area], depth: float) -> Solid:
    """A plate with letters and grooves sunk into its top face, no deeper than half of it."""
    solid = extrude(area, thickness)
    deep = min(depth, thickness / 2.0)
    return recess(solid, together(sunk), deep, thickness) if sunk else solid


def together(areas: Sequence[Area]) -> Area:
    """Areas as one: what is sunk at once is sunk quickly. Raises TypeError for none."""
    found = shapely.union_all(list(areas))
    if not isinstance(found, shapely.Polygon | shapely.MultiPolygon):
        raise TypeError("areas that make up no area")
    return found


def fits(solid: Solid, printer: Printer) -> bool:
    """Whether a solid that lies as it is printed goes on the bed."""
    return seated(laid(solid, np.eye(4))[0], printer) is not None


def longest(printer: Printer) -> float:
    """The longer side of what may be printed on, mm."""
    return max(printer.bed_mm[:2]) - 2.0 * printer.margin_mm


def lowered(bench: ToolBench, what: str, wanted: float, made: float) -> Finding:
    """P70: a tool that the bed does not take as high as it should be. Told, not to be watched, where it is
    made and stands on blocks, as its use says.
    """
    verdict: Verdict = "clear" if made > 0.0 else "watch"
    params: dict[str, Param] = {
        "what": what, "wanted": round(wanted, 1), "made": round(made, 1), "rest": round(wanted - made, 1),
        "room": round(longest(bench.printer), 1),
    }  # fmt: skip
    return Finding("P70", verdict, "printer.bed_mm", params, wanted, made, "mm", "geometry")


def pieces(area: Area, thickness: float, printer: Printer) -> tuple[Area, ...]:
    """A long flat area parted across x with dovetails into as few pieces as the bed needs; the area itself
    where it fits, nothing where no number of pieces does.
    """
    low, _, high, _ = area.bounds
    for count in range(1, _MOST_PIECES + 1):
        cuts = [low + (high - low) * k / count for k in range(1, count)]
        found = _parted(area, cuts, printer.clearance_mm)
        if found and all(fits(extrude(one, thickness), printer) for one in found):
            return found
    return ()


def _parted(area: Area, cuts: Sequence[float], clearance: float) -> tuple[Area, ...]:
    """Pieces from the front to the rear; nothing where a cut finds no room for a dovetail."""
    rest, found = area, []
    _, low, _, high = area.bounds
    for x in cuts:
        p, q = (x, low - 1.0), (x, high + 1.0)
        places = key_positions(rest, p, q, KEY, _WALL_MM, 40.0)
        if not places:
            return ()
        front, rest = keyed_cut(rest, p, q, places, KEY, min(clearance, 1.0))
        found.append(front)
    return (*found, rest)
