"""Blocks that wings stand on while glue dries: under a tip, under the end of a bay, under a twisted edge.

Heights are those of the notes to the builder, which folding.txt prints too. A block is a flat plate on edge,
its top sloped like what lies on it.

Frame of a block's outline: x across the slope, falling toward +x, y up from the table, mm; the height counts
at the lip, x = 0.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
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

ORDER = 30

THICK_MM, TOP_MM, LEAST_MM = 16.0, 24.0, 1.2
LIP_MM, LIP_WIDE_MM = 3.0, 3.0
TALL_MM = 30.0  # lower ones are whole blocks
ARROW_FROM_MM = 11.0  # lower ones have no room for an arrow
_WAIST_MM, _FOOT_MM, _STEEP = 18.0, 10.0, 0.38


@dataclass(frozen=True, slots=True)
class Block:
    """One block. height: mm at the lip; slope: rad, falling away from the lip; lip: whether there is one.

    name, label: of the file, and as lettered; use: where it goes.
    """

    name: str
    label: str
    height: float
    slope: float
    lip: bool
    use: str


def make(bench: ToolBench) -> tuple[Tool, ...]:
    """A pair of each height; none for wings that need none."""
    return tuple(_tool(bench, one) for one in blocks(bench.results))


def blocks(results: Results) -> tuple[Block, ...]:
    """Every block that the notes to the builder name, those alike once."""
    found: list[Block] = []
    for note in results.airframe.notes:
        made = _BY_CODE[note.code](results, note) if note.code in _BY_CODE else None
        if made is not None and made.height >= LEAST_MM:
            found.append(made)
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
        yield Block(name, one.label, one.height, one.slope, one.lip, one.use)


def _halves(results: Results, note: Note) -> Block | None:
    """G198: the tip of one half, the inmost bay of the other flat on the table."""
    height, surface = float(note.params["block"]), _surface(results, note.about)
    if surface is None:
        return None
    if height < 0.0:
        return Block(
            f"{_part(note)}-root-block", "root", -height, 0.0, False,
            f"One half of the {_part(note)} lies flat on both blocks, {-height:.0f} mm over the table; the"
            " tip of the other rests on the table until the glue is hard.",
        )  # fmt: skip
    return Block(
        f"{_part(note)}-tip-block", "tip", height, _lean(surface), True,
        f"One half of the {_part(note)} lies flat on the table; the tip of the other stands on both blocks,"
        f" one near its leading and one near its trailing edge, its end against the lips, {height:.0f} mm"
        " over the table, until the glue is hard.",
    )  # fmt: skip


def _bay(results: Results, note: Note) -> Block | None:
    """G34, G36: the outer end of a bay that is a blank of its own, or the bay inboard of it."""
    height, surface = float(note.params["block"]), _surface(results, note.about)
    outer, inner = str(note.params["outer"]), str(note.params["inner"])
    if note.code == "G36" or surface is None:
        return Block(
            f"{_part(note)}-bay-block", "bay", height, 0.0, False,
            f"{inner} lies flat on both blocks, which end under the joint; the outer end of {outer} rests on"
            " the table until the glue is hard. The left side likewise.",
        )  # fmt: skip
    return Block(
        f"{_part(note)}-bay-block", "bay", height, _bay_lean(surface, float(note.params["y"])), True,
        f"The bay inboard of the joint lies flat on the table; the outer end of {outer} stands on both"
        f" blocks, its end against the lips, {height:g} mm over the table, until the glue is hard. The left"
        " side likewise.",
    )  # fmt: skip


def _twisted(_results: Results, note: Note) -> Block:
    """G113, G200: the edge that is lifted while the glue of a twisted bay dries."""
    height, y = float(note.params["block"]), float(note.params["y"])
    edge = str(note.params["edge"])
    return Block(
        f"{_part(note)}-washout-block", "washout" if edge == "trailing" else "washin", height,
        radians(abs(float(note.params["washout"]))), False,
        f"Under the {edge} edge {y:.0f} mm from the centre line, on both sides alike, its arrow to the edge:"
        f" {height:g} mm over the building board, until the glue is hard.",
    )  # fmt: skip


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
    """Two of it; one higher than the bed is made lower, and stands on something."""
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
        2,
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
