"""Blocks that wings stand on while glue dries: under a tip, under the end of a bay, under a twisted edge.

Where a half stands on two blocks, their places and heights are taken from the folded wing, so that they meet
the same lines of its underside as the table does; heights of other blocks are those of the notes to the
builder, which folding.txt prints too. A block is a flat plate on edge, its top sloped like what lies on it.

Frame of a block's outline: x across the slope, falling toward +x, y up from the table, mm; the height counts
at the lip, x = 0.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from math import atan2, ceil, degrees, pi, radians, tan

import numpy as np
import shapely

from foldwright.airframe.model import LiftingSurface, Note
from foldwright.evaluate import Results
from foldwright.geometry.solid.core import Area, extrude
from foldwright.geometry.solid.shape import arrow, at_place
from foldwright.make.printing import Made
from foldwright.make.tools import Tool, ToolBench
from foldwright.make.tools.flat_plates import GROOVE_MM, Line, fits, lowered, plate, title_of, written
from foldwright.make.tools.ground import part_of
from foldwright.make.tools.lying import END_MM, Under, table_under, under_end
from foldwright.review.extents import box_of

ORDER = 30

THICK_MM, TOP_MM, LEAST_MM = 16.0, 24.0, 1.2
LIP_MM, LIP_WIDE_MM = 3.0, 3.0
TALL_MM = 30.0  # lower ones are whole blocks
ARROW_FROM_MM = 11.0  # lower ones have no room for an arrow
ALIKE_MM = 0.75
"""[judgement] two blocks that should differ by less are made alike: over 80 mm of chord half a degree."""
_WAIST_MM, _FOOT_MM, _STEEP = 18.0, 10.0, 0.38


@dataclass(frozen=True, slots=True)
class Block:
    """One block. height: mm at the lip; slope: rad, falling away from the lip; lip: whether there is one.

    name, label: of the file, and as lettered; use: where it goes; copies: how many of it are wanted.
    """

    name: str
    label: str
    height: float
    slope: float
    lip: bool
    use: str
    copies: int = 2


def make(bench: ToolBench) -> tuple[Tool, ...]:
    """A pair of each height, or a front and a rear one; none for wings that need none."""
    return tuple(_tool(bench, one) for one in blocks(bench.results))


def blocks(results: Results) -> tuple[Block, ...]:
    """Every block that the notes to the builder name, those alike once."""
    found: list[Block] = []
    for note in results.airframe.notes:
        made = _BY_CODE[note.code](results, note) if note.code in _BY_CODE else ()
        found += [one for one in made if one.height >= LEAST_MM]
    return tuple(_named(found))


def _named(found: list[Block]) -> Iterator[Block]:
    """Names made one of a kind by numbers; what is alike in all but its name is made once."""
    seen: dict[tuple[str, str, float, float], Block] = {}
    for one in found:
        seen.setdefault((one.name, one.label, one.height, round(one.slope, 6)), one)
    names = [one.name for one in seen.values()]
    for place, one in enumerate(seen.values()):
        number = names[: place + 1].count(one.name)
        name = one.name if names.count(one.name) == 1 else f"{one.name}-{number}"
        yield replace(one, name=name)


def _halves(results: Results, note: Note) -> tuple[Block, ...]:
    """G198: the tip of one half, the inmost bay of the other flat on the table."""
    height, surface = float(note.params["block"]), _surface(results, note.about)
    if surface is None:
        return ()
    first, end = float(surface.le[1, 1]), float(surface.le[-1, 1])
    places = _places(results, _part(note), (-0.3 * first, -0.8 * first), end if height > 0.0 else -first)
    if height < 0.0:
        block = Block(f"{_part(note)}-root-block", "root", -height, 0.0, False, "")
        use = (
            f"One half of the {_part(note)} lies flat on both blocks, {-height:.0f} mm over the table,"
            " {where}; the tip of the other rests on the table until the glue is hard."
        )
        return _pair(block, use, places, None)
    block = Block(f"{_part(note)}-tip-block", "tip", height, _lean(surface), True, "")
    use = (
        f"One half of the {_part(note)} lies flat on the table; the tip of the other stands on both blocks,"
        " {where}, its end against the lips, {height} mm over the table, until the glue is hard."
    )
    return _pair(block, use, places, None if places is None else 0.0)


def _bay(results: Results, note: Note) -> tuple[Block, ...]:
    """G34, G36: the outer end of a bay that is a blank of its own, or the bay inboard of it."""
    height, surface = float(note.params["block"]), _surface(results, note.about)
    outer, inner, joint = str(note.params["outer"]), str(note.params["inner"]), float(note.params["y"])
    flat = (0.6 * joint, 0.95 * joint)
    if note.code == "G36" or surface is None:
        block = Block(f"{_part(note)}-bay-block", "bay", height, 0.0, False, "")
        use = (
            f"{inner} lies flat on both blocks, which end under the joint, {{where}}; the outer end of"
            f" {outer} rests on the table until the glue is hard. The left side likewise."
        )
        return _pair(block, use, _places(results, _part(note), flat, joint), None)
    block = Block(f"{_part(note)}-bay-block", "bay", height, _bay_lean(surface, joint), True, "")
    use = (
        f"The bay inboard of the joint lies flat on the table; the outer end of {outer} stands on both"
        " blocks, {where}, its end against the lips, {height} mm over the table, until the glue is hard. The"
        " left side likewise."
    )
    end = max((float(box[1][1]) for box in [box_of(results.airframe, [_part(note)])] if box), default=joint)
    return _pair(block, use, _places(results, _part(note), flat, end), height)


def _places(results: Results, part: str, flat: tuple[float, float], end: float) -> tuple[Under, Under] | None:
    """Where the two blocks stand at the end of a half, over the table that it lies on at both y of `flat`."""
    table = table_under(results.airframe, part, flat)
    if table is None:
        return None
    sign = 1.0 if end > 0.0 else -1.0
    ends = (end - sign * (END_MM + 20.0), end - sign * END_MM)
    return under_end(results.airframe, part, ends, table, THICK_MM)


def _pair(
    block: Block, use: str, places: tuple[Under, Under] | None, base: float | None
) -> tuple[Block, ...]:
    """The two blocks of a half: alike, or each as high as the underside is over the place it stands at.

    use: with {where} and {height}. base: None where both are as high as the note says; 0 where the folded
    geometry says how high each is; else the note's height, which the front one has.
    """
    if places is None:
        where = "one near its leading edge and one under its strip's aft edge"
        return (replace(block, use=use.format(where=where, height=f"{block.height:g}")),)
    front, rear = places
    apart = f"their middles {front.behind:.0f} mm and {rear.behind:.0f} mm behind the leading edge"
    if base is None:
        return (replace(block, use=use.format(where=apart, height=f"{block.height:g}")),)
    lift = 0.0 if base == 0.0 else base - front.height
    heights = (front.height + lift, rear.height + lift)
    if abs(heights[1] - heights[0]) < ALIKE_MM:
        high = _half_mm(sum(heights) / 2.0)
        return (replace(block, height=high, use=use.format(where=apart, height=f"{high:g}")),)
    high, low = (_half_mm(one) for one in heights)
    text = use.format(where=apart, height=f"{high:g} mm at the front and {low:g}")
    return (
        replace(block, name=f"{block.name}-front", label=f"{block.label} F", height=high, use=text, copies=1),
        replace(block, name=f"{block.name}-rear", label=f"{block.label} R", height=low, use=text, copies=1),
    )


def _half_mm(value: float) -> float:
    return round(2.0 * value) / 2.0


def _twisted(_results: Results, note: Note) -> tuple[Block, ...]:
    """G113, G200: the edge that is lifted while the glue of a twisted bay dries."""
    height, y = float(note.params["block"]), float(note.params["y"])
    edge = str(note.params["edge"])
    block = Block(
        f"{_part(note)}-washout-block", "washout" if edge == "trailing" else "washin", height,
        radians(abs(float(note.params["washout"]))), False,
        f"Under the {edge} edge {y:.0f} mm from the centre line, on both sides alike, its arrow to the edge:"
        f" {height:g} mm over the building board, until the glue is hard.",
    )  # fmt: skip
    return (block,)


_BY_CODE = {"G198": _halves, "G34": _bay, "G36": _bay, "G113": _twisted, "G200": _twisted}


def _part(note: Note) -> str:
    return note.about.split("/", maxsplit=1)[0]


def _surface(results: Results, about: str) -> LiftingSurface | None:
    """The lifting surface that a note is about, by its id or its part's."""
    part = about.split("/", maxsplit=1)[0]
    return next((s for s in results.airframe.surfaces if s.id == about or part_of(s) == part), None)


def _rises(surface: LiftingSurface) -> list[float]:
    """Rise of every stretch from root to tip seen from ahead, rad."""
    steps = np.diff(surface.le[:, 1:], axis=0)
    return [atan2(float(up), float(out)) for out, up in steps.tolist() if out > 1e-6]


def _lean(surface: LiftingSurface) -> float:
    """Slope of the outmost bay while the other half's inmost one lies flat, rad."""
    rises = _rises(surface)
    return rises[-1] + rises[0]


def _bay_lean(surface: LiftingSurface, y: float) -> float:
    """Slope of the outmost bay while the bay inboard of the joint at y lies flat, rad."""
    rises = _rises(surface)
    inboard = [rise for rise, at in zip(rises, surface.le[:, 1].tolist(), strict=False) if at < y - 1e-3]
    return rises[-1] - (inboard[-1] if inboard else rises[0])


def block_area(height: float, slope: float, *, lip: bool) -> Area:
    """Outline of a block: sloped top, a waist, a foot wide enough to stand on. The lip stands at x < 0."""
    fall = min(TOP_MM * tan(slope), 0.6 * height) if slope > 0.0 else 0.0
    head = [(0.0, height), (TOP_MM, height - fall)]
    thick = min(_FOOT_MM, 0.4 * (height - fall))
    foot = max(TOP_MM, _STEEP * height)
    spread = (foot - TOP_MM) / 2.0
    middle = TOP_MM / 2.0
    left = -LIP_WIDE_MM if lip else 0.0
    waist = (middle - _WAIST_MM / 2.0, middle + _WAIST_MM / 2.0)
    below = [(TOP_MM, height - fall - thick), (waist[1], thick), (waist[0], thick)]
    parts = [
        shapely.Polygon([(left, height), *head, *below, (left, height - thick - LIP_WIDE_MM)]),
        shapely.box(left - spread, 0.0, TOP_MM + spread, thick),
        shapely.box(waist[0], 0.0, waist[1], height - fall - 0.5 * thick),
    ]
    if height < TALL_MM:
        parts = [shapely.Polygon([(left, 0.0), (TOP_MM, 0.0), head[1], head[0], (left, height)])]
    if lip:
        parts.append(shapely.box(left, height - 1.0, 0.0, height + LIP_MM))
    found = shapely.union_all(parts)
    if not isinstance(found, shapely.Polygon):
        raise TypeError("a block in more than one piece")
    return found


def _tool(bench: ToolBench, block: Block) -> Tool:
    """As many of it as are wanted; one higher than the bed is made lower, and stands on something."""
    height = wanted = block.height
    while height > 10.0 and not _lies(bench, block, height):
        height = 5.0 * ceil(height / 5.0) - 5.0
    rest = wanted - height
    found = (lowered(bench, block.name.replace("-", " "), wanted, height),) if rest > 0.0 else ()
    area = block_area(height, block.slope, lip=block.lip)
    template = bench.evaluation.workshop.template
    sunk = written(area, _lines(bench, block, height), template.stem_mm)
    if ARROW_FROM_MM <= height < TALL_MM and block.slope > 0.0:
        sunk += (at_place(arrow(8.0, 3.5, 3.5, GROOVE_MM), (TOP_MM / 2.0 + 4.0, 0.78 * height), pi),)
    under = f" Under each a level block of {rest:.1f} mm." if rest > 0.0 else ""
    return Tool(
        block.name,
        f"{block.name.replace('-', ' ').capitalize()}, {wanted:g} mm",
        Made(plate(area, THICK_MM, sunk, template.recess_mm), orientation="flat on its side, letters up"),
        f"{block.use}{under}",
        block.copies,
        None,
        {"height_mm": wanted, "made_mm": height, "slope_deg": round(degrees(block.slope), 3)},
        found,
    )


def _lies(bench: ToolBench, block: Block, height: float) -> bool:
    return fits(extrude(block_area(height, block.slope, lip=block.lip), THICK_MM), bench.printer)


def _lines(bench: ToolBench, block: Block, height: float) -> list[Line]:
    """Up the waist of a high one, along a low one: height, what for, whose."""
    middle = TOP_MM / 2.0
    label = f"{block.height:g} mm {block.label}"
    if height >= TALL_MM:
        at = height / 2.0
        return [
            Line(title_of(bench), (middle - 4.2, at), (height - 12.0, 8.5), pi / 2.0, 5.5),
            Line(label, (middle + 4.2, at), (height - 12.0, 8.5), pi / 2.0, 5.5),
        ]
    return [Line(f"{block.height:g}", (middle, 0.38 * height), (TOP_MM - 2.0, 8.5), 0.0, 5.5)]
