"""What of a line or an area lies within an upright rectangle."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

import shapely
from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry

from foldwright.make.drawing import Path, Point

if TYPE_CHECKING:
    from collections.abc import Iterable


@dataclass(frozen=True, slots=True)
class Box:
    """An upright rectangle, its border belonging to it [mm]."""

    left: float
    bottom: float
    right: float
    top: float

    @property
    def width(self) -> float:
        """Left to right [mm]."""
        return self.right - self.left

    @property
    def height(self) -> float:
        """Bottom to top [mm]."""
        return self.top - self.bottom

    def holds(self, point: Point) -> bool:
        """Whether a point lies within or on the border."""
        return self.left <= point[0] <= self.right and self.bottom <= point[1] <= self.top

    def misses(self, points: Iterable[Point]) -> bool:
        """Whether all points lie beyond one side: nothing between them can be within."""
        corners = list(points)
        xs, ys = [x for x, _ in corners], [y for _, y in corners]
        if not corners:
            return True
        return max(xs) < self.left or min(xs) > self.right or max(ys) < self.bottom or min(ys) > self.top

    def pinned(self, point: Point) -> Point:
        """The point, or the nearest of the rectangle: takes rounding off a point that lies on the border."""
        return min(max(point[0], self.left), self.right), min(max(point[1], self.bottom), self.top)


def clip_path(path: Path, box: Box) -> list[Path]:
    """Pieces of a path within a box, in drawing order; the path itself where all of it is within.

    Each segment is cut by parameter (Liang and Barsky 1984), so nothing is moved but new end points.
    Pieces without length are left out.
    """
    if box.misses(path.points):
        return []
    if all(box.holds(point) for point in path.points):
        return [path]
    points = [*path.points, path.points[0]] if path.closed else list(path.points)
    pieces: list[list[Point]] = []
    for start, end in pairwise(points):
        span = _inside(start, end, box)
        if span is None:
            continue
        if span[0] == span[1]:
            continue
        first, last = (box.pinned(_between(start, end, t)) for t in span)
        if pieces and span[0] == 0.0 and pieces[-1][-1] == start:
            pieces[-1].append(last)
        else:
            pieces.append([first, last])
    # A closed path that starts within the box: its last piece runs on into its first.
    if path.closed and len(pieces) > 1 and pieces[-1][-1] == pieces[0][0] == path.points[0]:
        pieces[0] = pieces.pop() + pieces[0][1:]
    return [
        Path(path.pen, path.face, tuple(piece)) for piece in pieces if any(a != b for a, b in pairwise(piece))
    ]


def clip_rings(rings: tuple[tuple[Point, ...], ...], box: Box) -> list[tuple[tuple[Point, ...], ...]]:
    """An area (rings by the even-odd rule) within a box: the outer ring and holes of each piece."""
    if box.misses(point for ring in rings for point in ring):
        return []
    area: BaseGeometry = Polygon()
    for ring in rings:
        area = area.symmetric_difference(shapely.make_valid(Polygon(ring)))
    cut = area.intersection(shapely.box(box.left, box.bottom, box.right, box.top))
    parts = list(cut.geoms) if hasattr(cut, "geoms") else [cut]
    return [
        tuple(_corners(ring) for ring in (part.exterior, *part.interiors))
        for part in parts
        if isinstance(part, Polygon) and not part.is_empty
    ]


def _corners(ring: shapely.LinearRing) -> tuple[Point, ...]:
    return tuple((float(x), float(y)) for x, y in ring.coords[:-1])


def _between(start: Point, end: Point, t: float) -> Point:
    if t == 0.0:
        return start
    if t == 1.0:
        return end
    return start[0] + t * (end[0] - start[0]), start[1] + t * (end[1] - start[1])


def _inside(start: Point, end: Point, box: Box) -> tuple[float, float] | None:
    """Parameters 0 to 1 between which a segment lies within the box."""
    enter, leave = 0.0, 1.0
    dx, dy = end[0] - start[0], end[1] - start[1]
    for step, room in (
        (-dx, start[0] - box.left),
        (dx, box.right - start[0]),
        (-dy, start[1] - box.bottom),
        (dy, box.top - start[1]),
    ):
        if step == 0.0:
            if room < 0.0:
                return None
        elif step < 0.0:
            enter = max(enter, room / step)
        else:
            leave = min(leave, room / step)
    return (enter, leave) if enter <= leave else None
