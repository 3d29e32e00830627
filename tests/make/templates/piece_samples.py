"""Plates made by hand for the tests of pieces, beds and choice: rims with bars, slots, holes and letters."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import shapely

from foldwright.design.workshop import Printer, Template, TemplateKind
from foldwright.geometry.fold.model import Blank
from foldwright.geometry.solid.core import Area
from foldwright.layout.as_cut import as_cut, contours
from foldwright.make.templates.model import Guide, Letters, Plate

RIM, SLOT, BRIDGE, PITCH = 13.0, 1.4, 6.0, 60.0


def area(shape: shapely.Geometry) -> Area:
    parts = [p for p in shapely.get_parts(shape) if isinstance(p, shapely.Polygon) and p.area > 0.01]
    return parts[0] if len(parts) == 1 else shapely.MultiPolygon(parts)


def slotted(line: shapely.LineString) -> list[shapely.LineString]:
    """A line as slots with bridges."""
    count = max(1, round(line.length / PITCH))
    ends = np.linspace(0.0, line.length, count + 1)
    return [
        shapely.LineString([line.interpolate(a + 0.5 * BRIDGE), line.interpolate(b - 0.5 * BRIDGE)])
        for a, b in pairwise(ends.tolist())
        if b - a > BRIDGE + 4.0
    ]


def plate_of(
    ring: Area,
    lines: tuple[shapely.LineString, ...] = (),
    *,
    kind: TemplateKind = "rim",
    name: str = "wing-main",
    blank: str = "wing/main",
    thickness: float = 3.0,
    holes: tuple[tuple[float, float], ...] = (),
    words: tuple[Letters, ...] = (),
) -> Plate:
    """A rim with bars along lines, or a full plate."""
    edge = area(ring.buffer(-0.3, join_style="mitre"))
    body = edge
    if kind == "rim":
        rim = edge.difference(edge.buffer(-RIM, join_style="mitre"))
        bars = [line.buffer(0.5 * RIM, cap_style="flat") for line in lines]
        body = area(shapely.union_all([rim, *bars]).intersection(edge))
    inner = edge.buffer(-6.0)
    slots = [
        s for line in lines for piece in slotted(line) for s in shapely.get_parts(piece.intersection(inner))
    ]
    cut = [s.buffer(0.5 * SLOT) for s in slots if s.length > 2.0]
    cut += [shapely.Point(p).buffer(1.0) for p in holes]
    guides = tuple(
        Guide(f"fold-{k}", "crush", "a", np.asarray(line.coords), "slot") for k, line in enumerate(lines)
    )
    return Plate(
        name, name, blank, (), "whole", kind, ring, edge, body, area(shapely.union_all(cut)),
        shapely.MultiPolygon(), words, guides, thickness, 0.6,
    )  # fmt: skip


def of_blank(blank: Blank, kind: TemplateKind = "rim", half: bool = False) -> Plate:
    """A plate of a blank's outline, with slots along its folds and holes at its signs."""
    outer, *inner = contours(as_cut(blank))
    ring: Area = shapely.Polygon(outer, inner)
    lines = [shapely.LineString([f.p, f.q]) for f in blank.folds]
    if half:
        x0, y0, x1, y1 = ring.bounds
        ring = area(ring.intersection(shapely.box(x0, y0, x1, 0.5 * (y0 + y1))))
        lines = [
            part
            for line in lines
            for part in shapely.get_parts(line.intersection(ring))
            if part.length > 20.0
        ]
    holes = tuple((float(m.points[0, 0]), float(m.points[0, 1])) for m in blank.marks if len(m.points) == 1)
    return plate_of(
        ring, tuple(lines), kind=kind, name=blank.name.replace("/", "-"), blank=blank.name, holes=holes
    )


def printer(side: float = 200.0, **changes: object) -> Printer:
    return Printer.model_validate({"bed_mm": (side, side, 180.0), **changes})


def template(**changes: object) -> Template:
    return Template.model_validate(changes)
