"""A layout checked with exact geometry, however it was made, and what it comes to. Lengths in mm."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import shapely
from shapely.geometry.base import BaseGeometry

from foldwright.layout.model import TURNS, Layout, Part, Placement, SheetLayout, placed_polygon

ProblemKind = Literal[
    "outside the usable area",
    "overlap",
    "too close",
    "turn not allowed",
    "copy missing",
    "copy placed twice",
    "unknown part",
    "area outside the sheet",
]

_TOLERANCE_MM = 1e-3


@dataclass(frozen=True, slots=True)
class Problem:
    """Something wrong with a layout.

    sheet: number of the sheet from 1, or 0 where none is meant. part, other: "name" or "name #copy".
    amount_mm: distance missing, depth of an overlap (its area over its longest extent), or how far something
    stands out; 0 where no length is meant.
    """

    kind: ProblemKind
    sheet: int
    part: str
    other: str = ""
    amount_mm: float = 0.0


@dataclass(frozen=True, slots=True)
class Statistics:
    """What a layout comes to.

    sheets: how many. part_area_mm2: board in the placed parts. board_area_mm2: board in the sheets.
    used_share: their ratio, 0 to 1, of all sheets; used_shares: of each.
    """

    sheets: int
    part_area_mm2: float
    board_area_mm2: float
    used_share: float
    used_shares: tuple[float, ...]


def check(layout: Layout, parts: Sequence[Part]) -> tuple[Problem, ...]:
    """Everything wrong with a layout, sheet by sheet; nothing where it holds.

    Every part inside one usable area, no overlap, the spacing kept, turns allowed, every copy placed once or
    listed as unplaced. Lengths count as wrong from 0.001 mm on.
    """
    by_name = {part.name: part for part in parts}
    problems = _copies(layout, parts)
    for number, sheet in enumerate(layout.sheets, start=1):
        known = [spot for spot in sheet.placements if spot.part in by_name]
        turnable = [spot for spot in known if spot.turn_deg in TURNS[by_name[spot.part].turn]]
        problems += [Problem("turn not allowed", number, _label(s)) for s in known if s not in turnable]
        shapes = [placed_polygon(by_name[spot.part], spot) for spot in turnable]
        problems += _areas(number, sheet)
        problems += _inside(number, sheet, turnable, shapes)
        problems += _apart(number, layout.spacing_mm, turnable, shapes)
    return tuple(problems)


def statistics(layout: Layout, parts: Sequence[Part]) -> Statistics:
    """How much of the board is used; a part's openings count as not used unless something lies in them."""
    area = {part.name: shapely.Polygon(part.outline, list(part.openings)).area for part in parts}
    used = [sum(area[spot.part] for spot in sheet.placements) for sheet in layout.sheets]
    boards = [sheet.width_mm * sheet.height_mm for sheet in layout.sheets]
    shares = tuple(float(u / b) for u, b in zip(used, boards, strict=True))
    total = float(sum(boards))
    return Statistics(
        len(boards), float(sum(used)), total, float(sum(used)) / total if total else 0.0, shares
    )


def _label(spot: Placement) -> str:
    """Name and copy of a placed part."""
    return f"{spot.part} #{spot.copy}"


def _copies(layout: Layout, parts: Sequence[Part]) -> list[Problem]:
    """Copies missing, placed twice or of no known part."""
    found = Counter((spot.part, spot.copy) for sheet in layout.sheets for spot in sheet.placements)
    found.update((left.part, left.copy) for left in layout.unplaced)
    wanted = {(part.name, copy) for part in parts for copy in range(1, part.copies + 1)}
    problems = [Problem("copy missing", 0, f"{name} #{k}") for name, k in sorted(wanted - found.keys())]
    for (name, copy), times in sorted(found.items()):
        if (name, copy) not in wanted:
            problems.append(Problem("unknown part", 0, f"{name} #{copy}"))
        elif times > 1:
            problems.append(Problem("copy placed twice", 0, f"{name} #{copy}"))
    return problems


def _areas(number: int, sheet: SheetLayout) -> list[Problem]:
    """Usable areas that reach into the sheet's border."""
    border = sheet.border_mm
    problems: list[Problem] = []
    for k, area in enumerate(sheet.areas, start=1):
        over = max(
            border - area.x0_mm,
            border - area.y0_mm,
            area.x1_mm - (sheet.width_mm - border),
            area.y1_mm - (sheet.height_mm - border),
        )
        if over > _TOLERANCE_MM:
            problems.append(Problem("area outside the sheet", number, f"area {k}", "", round(over, 4)))
    return problems


def _inside(
    number: int, sheet: SheetLayout, spots: Sequence[Placement], shapes: Sequence[shapely.Polygon]
) -> list[Problem]:
    """Parts that stand out of every usable area."""
    problems: list[Problem] = []
    for spot, shape in zip(spots, shapes, strict=True):
        x0, y0, x1, y1 = shape.bounds
        over = min(
            (max(a.x0_mm - x0, a.y0_mm - y0, x1 - a.x1_mm, y1 - a.y1_mm) for a in sheet.areas),
            default=float("inf"),
        )
        if over > _TOLERANCE_MM:
            problems.append(Problem("outside the usable area", number, _label(spot), "", round(over, 4)))
    return problems


def _depth(shared: BaseGeometry) -> float:
    """How deep an overlap is: its area over its longest extent."""
    if shared.is_empty or shared.area == 0.0:
        return 0.0
    x0, y0, x1, y1 = shared.bounds
    return float(shared.area) / max(x1 - x0, y1 - y0)


def _apart(
    number: int, spacing: float, spots: Sequence[Placement], shapes: Sequence[shapely.Polygon]
) -> list[Problem]:
    """Pairs that overlap or stand closer than the spacing."""
    if len(shapes) < 2:
        return []
    tree = shapely.STRtree(list(shapes))
    i, j = tree.query(list(shapes), predicate="dwithin", distance=max(spacing - _TOLERANCE_MM, 0.0))
    problems: list[Problem] = []
    for a, b in sorted({(int(p), int(q)) for p, q in zip(i, j, strict=True) if p < q}):
        depth = _depth(shapes[a].intersection(shapes[b]))
        gap = float(shapes[a].distance(shapes[b]))
        pair = (_label(spots[a]), _label(spots[b]))
        if depth > _TOLERANCE_MM:
            problems.append(Problem("overlap", number, *pair, round(depth, 4)))
        elif spacing - gap > _TOLERANCE_MM:
            problems.append(Problem("too close", number, *pair, round(spacing - gap, 4)))
    return problems
