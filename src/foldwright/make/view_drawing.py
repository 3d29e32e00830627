"""Pictures, sections and wires laid on paper: from the aeroplane's size to a scale that is stated."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from foldwright.base.types import FloatArray
from foldwright.geometry.cut_view import Cut
from foldwright.geometry.facets import Solid
from foldwright.geometry.hidden import Picture, Segments, picture, visible_parts
from foldwright.geometry.scene import build_scene
from foldwright.geometry.views import View
from foldwright.make.drawing import Fill, Item, Path, Pen, Point

SCALES = (
    1.0, 1.5, 2.0, 2.5, 3.0, 3.5, 4.0, 5.0, 6.0, 7.0, 8.0, 10.0, 12.0, 15.0, 20.0, 25.0, 30.0, 40.0, 50.0,
)  # fmt: skip
"""What a picture may be drawn smaller by."""

Bounds = tuple[float, float, float, float]
_PALE = {"board": (0.82, 0.985), "equipment": (0.66, 0.84), "bought": (0.66, 0.84)}
_SILHOUETTE = 0.92
_CUT_SHADE = {"board": 0.78, "equipment": 0.90, "bought": 0.66}


@dataclass(frozen=True, slots=True)
class Plot:
    """Where a picture stands: `ratio` mm of the aeroplane a mm of paper, its origin at `origin` on paper."""

    ratio: float
    origin: Point

    def at(self, x: float, y: float) -> Point:
        """Place on paper of a place in the picture's frame, both mm."""
        return (self.origin[0] + x / self.ratio, self.origin[1] + y / self.ratio)

    def ring(self, points: Sequence[Point]) -> tuple[Point, ...]:
        """`at` of many points."""
        return tuple(self.at(x, y) for x, y in points)

    @property
    def says(self) -> str:
        """The scale in words."""
        return f"scale 1 : {self.ratio:g}"


def ratio_for(bounds: Bounds, width_mm: float, height_mm: float = float("inf")) -> float:
    """The least round ratio that brings a picture inside a width and a height on paper.

    bounds: least x, least y, greatest x, greatest y, mm. Raises ValueError for a picture that even the
    smallest scale does not bring inside.
    """
    wanted = max((bounds[2] - bounds[0]) / width_mm, (bounds[3] - bounds[1]) / height_mm)
    for ratio in SCALES:
        if ratio >= wanted - 1e-9:
            return ratio
    raise ValueError(f"a picture of {bounds[2] - bounds[0]:.0f} mm does not fit into {width_mm:g} mm")


def joined_bounds(parts: Sequence[Bounds]) -> Bounds:
    """Bounds of all. Raises ValueError for none."""
    if not parts:
        raise ValueError("nothing to draw")
    rows = np.array(parts)
    low, high = rows.min(axis=0), rows.max(axis=0)
    return (float(low[0]), float(low[1]), float(high[2]), float(high[3]))


def points_bounds(points: Sequence[Point]) -> Bounds:
    """Bounds of points."""
    return joined_bounds([(x, y, x, y) for x, y in points])


def see(solids: Sequence[Solid], view: View) -> Picture:
    """What is seen of solids, shaded in few steps so that fills stay large."""
    return picture(solids, view, shades=8)


def picture_items(seen: Picture, plot: Plot) -> list[Item]:
    """A picture: pale fills, outlines 0.5 mm, fold edges 0.25 mm."""
    items: list[Item] = [
        Fill(tuple(plot.ring(ring) for ring in (fill.outer, *fill.holes)), _SILHOUETTE)
        for fill in seen.silhouette
    ]
    for fill in seen.fills:
        low, high = _PALE.get(fill.tone, _PALE["board"])
        rings = tuple(plot.ring(ring) for ring in (fill.outer, *fill.holes))
        items.append(Fill(rings, round(low + (high - low) * fill.shade, 4)))
    for line in seen.lines:
        pen: Pen = "outline" if line.kind == "outline" else "thin"
        items.append(Path(pen, "", (plot.at(line.x1, line.y1), plot.at(line.x2, line.y2))))
    return items


def section_items(cuts: Sequence[Cut], plot: Plot) -> list[Item]:
    """A section: cut board filled, its outline 0.5 mm; cut equipment paler and thin, drawn first."""
    items: list[Item] = []
    for tone, pen in (("equipment", "thin"), ("bought", "thin"), ("board", "outline")):
        for cut in cuts:
            if cut.tone != tone:
                continue
            rings = tuple(plot.ring(ring) for ring in (cut.outer, *cut.holes))
            items.append(Fill(rings, _CUT_SHADE[tone]))
            items += [Path("thin" if pen == "thin" else "outline", "", ring, closed=True) for ring in rings]
    return items


def cut_bounds(cuts: Sequence[Cut]) -> Bounds:
    """Bounds of a section. Raises ValueError for none."""
    return joined_bounds([points_bounds(cut.outer) for cut in cuts])


def wire_items(points: FloatArray, solids: Sequence[Solid], view: View, plot: Plot) -> list[Item]:
    """A thin closed line (n, 3) in the aeroplane, drawn where no solid hides it."""
    scene = build_scene(solids, view)
    start = view.project(points)
    end = np.roll(start, -1, axis=0)
    long = np.hypot(*(end - start)[:, :2].T) > 1e-6
    segments = Segments(start[long], end[long], np.zeros(int(long.sum()), dtype=np.int64))
    owner, low, high = visible_parts(segments, scene)
    items: list[Item] = []
    run: list[Point] = []
    last = -2.0
    for k in np.lexsort((low, owner)).tolist():
        first, stop = segments.start[owner[k], :2], segments.end[owner[k], :2]
        a, b = (plot.at(*(first + share * (stop - first)).tolist()) for share in (low[k], high[k]))
        if abs(float(owner[k]) + float(low[k]) - last) > 1e-9:
            items += _thin(run)
            run = [a]
        run.append(b)
        last = float(owner[k]) + float(high[k])
    return items + _thin(run)


def _thin(run: Sequence[Point]) -> list[Item]:
    return [Path("thin", "", tuple(run))] if len(run) > 1 else []
