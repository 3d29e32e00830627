"""The blanks of an aeroplane as parts for a workshop's sheets: which face up, which way round, how far apart.

Sheet frame: x along the sheet's length, y across, origin at the lower left corner, seen from above, mm.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from foldwright.base.finding import Finding
from foldwright.base.types import FloatArray
from foldwright.design.workshop import Workshop
from foldwright.geometry.fold.flatcheck import fold_lines
from foldwright.geometry.fold.model import Blank, Face
from foldwright.layout.as_cut import as_cut, bevels, contours, is_one_piece, long_axis
from foldwright.layout.model import Bed, Layout, Part, Placement, SheetStock, Turn, turned
from foldwright.layout.place import place

_FACES: tuple[Face, Face] = ("a", "b")


@dataclass(frozen=True, slots=True, eq=False)
class Lying:
    """A blank and how it lies.

    blank: as cut. up: the face seen from above. pre_turn: degrees it was turned before the layout, so that
    its long side runs along the grain. work: length of line on each face, mm (marks count, letters do not).
    """

    blank: Blank
    up: Face
    pre_turn: int
    work: tuple[float, float]

    @property
    def down(self) -> Face:
        """The face underneath."""
        return "a" if self.up == "b" else "b"

    @property
    def both(self) -> bool:
        """True where there is work on the face underneath too."""
        return self.work[_FACES.index(self.down)] > 0.0

    def flat(self, points: FloatArray) -> FloatArray:
        """Points (n, 2) of the blank frame as they lie before the layout moves them."""
        seen = points if self.up == "a" else points * np.array([1.0, -1.0])
        return turned(seen, self.pre_turn)


@dataclass(frozen=True, slots=True, eq=False)
class Laid:
    """All blanks and their places on the sheets.

    kits: aeroplanes cut in one go. findings: what does not fit or lies across the grain.
    """

    layout: Layout
    lying: tuple[Lying, ...]
    parts: tuple[Part, ...]
    kits: int
    findings: tuple[Finding, ...]

    def of(self, name: str) -> Lying:
        """The blank of that name. Raises KeyError."""
        for item in self.lying:
            if item.blank.name == name:
                return item
        raise KeyError(name)


def sheet_points(lying: Lying, placement: Placement, points: FloatArray) -> FloatArray:
    """Points (n, 2) of the blank frame in the sheet's frame."""
    moved: FloatArray = turned(lying.flat(points), placement.turn_deg) + np.array(
        [placement.x_mm, placement.y_mm]
    )
    return moved


def lay_out(blanks: Sequence[Blank], workshop: Workshop, kits: int = 1) -> Laid:
    """Put `kits` sets of blanks on the workshop's sheets. Same input, same layout.

    Each blank lies with the face up that asks for the fewest flips. A board whose faces differ has all blanks
    the same way round, or some would come out with the wrong side outside; the way is taken that leaves
    fewest blanks over, then takes fewest sheets, then turns fewest over. Face b decides a tie: it ends up
    inside, and hides the names written on it.
    """
    every = [as_cut(blank) for blank in blanks]
    whole = [(blank, _work(blank)) for blank in every if is_one_piece(blank)]
    apart = [Finding("S09", "no-go", blank.name) for blank in every if not is_one_piece(blank)]
    if workshop.board.show_face == "both":
        ways: list[list[Face]] = [["a" if a > b else "b" for _, (a, b) in whole]]
    else:
        ways = [["b"] * len(whole), ["a"] * len(whole)]
    tried = [
        _lay([Lying(b, up, 0, work) for (b, work), up in zip(whole, way, strict=True)], workshop, kits, apart)
        for way in ways
    ]
    return min(tried, key=_cost)


def _cost(laid: Laid) -> tuple[int, int, int]:
    """Copies left over, sheets, sheets that are turned over."""
    both = {item.blank.name for item in laid.lying if item.both}
    flips = sum(any(spot.part in both for spot in sheet.placements) for sheet in laid.layout.sheets)
    return len(laid.layout.unplaced), len(laid.layout.sheets), flips


def _lay(blanks: list[Lying], workshop: Workshop, kits: int, apart: list[Finding]) -> Laid:
    lying = [replace(item, pre_turn=_pre_turn(item, workshop)) for item in blanks]
    grain: Turn = "quarter" if workshop.board.grain == "none" else "half"
    parts = [_part(item, kits, grain) for item in lying]
    parts, layout, findings = _across_grain(parts, _place(parts, workshop), workshop)
    left = [_left_over(layout, name, workshop) for name in sorted({u.part for u in layout.unplaced})]
    return Laid(layout, tuple(lying), tuple(parts), kits, (*findings, *apart, *left))


def stocks(workshop: Workshop) -> tuple[SheetStock, ...]:
    """The workshop's sheets for the layout; the cutter's line stays on the sheet even without a border."""
    border = max(workshop.board.border_mm, workshop.cutter.kerf_mm / 2.0)
    return tuple(
        SheetStock(
            f"{sheet.length_mm:g} x {sheet.width_mm:g}", sheet.length_mm, sheet.width_mm, border, sheet.count
        )
        for sheet in workshop.board.sheet
    )


def _place(parts: Sequence[Part], workshop: Workshop) -> Layout:
    bed = workshop.cutter.bed_mm
    # outlines are true; the cutter takes half its kerf on either side of the gap
    spacing = workshop.spacing_mm + workshop.cutter.kerf_mm
    return place(parts, stocks(workshop), spacing_mm=spacing, bed=None if bed is None else Bed(*bed))


def _part(lying: Lying, kits: int, turn: Turn) -> Part:
    outer, *holes = (lying.flat(ring) for ring in contours(lying.blank))
    return Part(lying.blank.name, outer, tuple(holes), kits * lying.blank.copies, turn)


def _pre_turn(lying: Lying, workshop: Workshop) -> int:
    """A quarter turn where the long side would lie across the grain."""
    if workshop.board.grain == "none":
        return 0
    along_x = workshop.board.grain == "along"
    return 0 if (long_axis(contours(lying.blank)[0]) == "u") == along_x else 90


def _work(blank: Blank) -> tuple[float, float]:
    """Length of lines on face a and on face b, mm."""
    length = dict.fromkeys(_FACES, 0.0)
    for fold in fold_lines(blank):
        for line in fold.lines:
            length[line.face] += float(np.hypot(*(line.q - line.p)))
    for bevel in bevels(blank):
        length[bevel.face] += float(np.hypot(*(bevel.q - bevel.p)))
    for mark in blank.marks:
        length[mark.face] += max(1.0, float(np.hypot(*np.diff(mark.points, axis=0).T).sum()))
    return length["a"], length["b"]


def _across_grain(
    parts: list[Part], layout: Layout, workshop: Workshop
) -> tuple[list[Part], Layout, list[Finding]]:
    """Let parts that fit only across the grain lie so, with a finding each."""
    stuck = {left.part for left in layout.unplaced if left.reason != "no sheet left"}
    if workshop.board.grain == "none" or not stuck:
        return parts, layout, []
    freed = [replace(part, turn="quarter") if part.name in stuck else part for part in parts]
    again = _place(freed, workshop)
    still = {left.part for left in again.unplaced}
    turned_names = sorted(stuck - still)
    if not turned_names:
        return parts, layout, []
    found = [Finding("S05", "watch", name, {"grain": workshop.board.grain}) for name in turned_names]
    return freed, again, found


def _left_over(layout: Layout, name: str, workshop: Workshop) -> Finding:
    """The finding of a blank that found no place."""
    mine = [left for left in layout.unplaced if left.part == name]
    first = mine[0]
    params: dict[str, str | float | int] = {
        "copies": len(mine),
        "width": round(first.least_width_mm, 1),
        "height": round(first.least_height_mm, 1),
    }
    if first.reason == "larger than every sheet":
        return Finding("S01", "no-go", name, params)
    if first.reason == "larger than the bed":
        bed = workshop.cutter.bed_mm or (0.0, 0.0)
        return Finding("S02", "no-go", name, {**params, "bed_length": bed[0], "bed_width": bed[1]})
    params["sheets"] = len(layout.sheets)
    return Finding("S03", "no-go", name, params)
