"""Sections of folded board: the solid of every panel cut by a plane, exact, as shapely shapes.

A panel is the solid between its outline on face B and its outline on face A, joined edge by edge; bevels,
grooves and trims are therefore in the section, and paper that stands out beyond its foam is not. Where a
plane lies in a face of the solid it belongs to the side its normal points away from, so two panels that
meet in the plane are not both cut.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from math import hypot

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from foldwright.airframe.model import Placed
from foldwright.base.types import FloatArray
from foldwright.geometry.fold.flat import transforms
from foldwright.geometry.fold.model import Blank, Panel
from foldwright.geometry.fold.rings import solid_rings
from foldwright.geometry.transform import apply, inverse

_ON_PLANE = 1e-10  # mm: nearer corners count as lying in the plane
_GRID = 1e-8  # mm: panels that touch are joined on this grid

Node = tuple[str, int, int]
Spot = tuple[float, float]


@dataclass(frozen=True, slots=True, eq=False)
class Prism:
    """A folded panel as a solid: its outline and holes on face B and on face A, in the aeroplane, mm.

    name: "blank/panel". walls: (n, 3) pairs, corner by corner, outline first. normal: (3,) of face A.
    """

    name: str
    walls: tuple[tuple[FloatArray, FloatArray], ...]
    normal: FloatArray

    @property
    def corners(self) -> int:
        """How many corners there are on both faces together."""
        return 2 * sum(len(b) for b, _ in self.walls)

    @property
    def span(self) -> tuple[FloatArray, FloatArray]:
        """Least and greatest x, y, z."""
        b, a = self.walls[0]
        return np.minimum(b.min(axis=0), a.min(axis=0)), np.maximum(b.max(axis=0), a.max(axis=0))


@lru_cache(maxsize=128)
def placed(part: str, blank: Blank) -> Placed:
    """A blank of a part, folded, with live hinges at rest; the last ones are remembered (by identity)."""
    return Placed(part, blank, transforms(blank))


def prism(name: str, panel: Panel, thickness: float, matrix: FloatArray) -> Prism:
    """A panel as a solid; matrix: 4x4 from its blank frame."""
    rings = [solid_rings(panel), *((hole, hole) for hole in panel.holes)]
    walls = tuple((_space(low, 0.0, matrix), _space(high, thickness, matrix)) for low, high in rings)
    return Prism(name, walls, matrix[:3, 2])


def prisms(blanks: Iterable[Placed]) -> tuple[Prism, ...]:
    """Every panel of folded blanks as a solid."""
    return tuple(solid for item in blanks for solid in _prisms(item))


@lru_cache(maxsize=128)
def _prisms(item: Placed) -> tuple[Prism, ...]:
    """The panels of one blank; the last ones are remembered (by identity)."""
    return tuple(
        prism(f"{item.blank.name}/{panel.name}", panel, item.blank.thickness, item.transforms[panel.name])
        for panel in item.blank.panels
    )


def plane_frame(y: float) -> FloatArray:
    """4x4 of the plane y = const: local x is x, local y is z, so its normal points to -y."""
    matrix = np.eye(4)
    matrix[:3, 1], matrix[:3, 2], matrix[:3, 3] = (0.0, 0.0, 1.0), (0.0, -1.0, 0.0), (0.0, y, 0.0)
    return matrix


def slice_contour(blanks: Iterable[Placed], y: float) -> BaseGeometry:
    """Board cut by the plane y = const: one or more polygons in (x, z), mm, panels that touch joined.

    Empty where nothing is cut. Corners are exact to 1e-8 mm (the grid on which touching panels are joined).
    """
    return joined(cut_panels(prisms(blanks), plane_frame(y)).values())


def joined(shapes: Iterable[BaseGeometry]) -> BaseGeometry:
    """Union of shapes that may touch along a line to within rounding."""
    return shapely.union_all(list(shapes), grid_size=_GRID)


def cut_panels(solids: Iterable[Prism], plane: FloatArray) -> dict[str, BaseGeometry]:
    """Section of every panel that a plane cuts, by "blank/panel", in the plane's own x and y, mm.

    plane: 4x4 whose local z is the plane's normal.
    """
    to_plane = inverse(plane)
    every = tuple(solids)
    result: dict[str, BaseGeometry] = {}
    if not every:
        return result
    rows = _local(every, to_plane)
    begins = np.cumsum([0, *(solid.corners for solid in every)])
    # the plane passes by most panels: those with all corners on one side are not looked at
    above = np.add.reduceat(rows[:, 2] > 0.0, begins[:-1], dtype=np.int64)
    cut = (above > 0) & (above < np.diff(begins))
    for number in np.flatnonzero(cut).tolist():
        solid = every[number]
        section = _cut(solid, rows[begins[number] : begins[number + 1]].tolist(), to_plane)
        if section is not None:
            result[solid.name] = section
    return result


def _local(solids: Sequence[Prism], to_plane: FloatArray) -> FloatArray:
    """All corners (n, 3) of all solids in the plane's frame, wall by wall, face B before face A."""
    moved = apply(to_plane, np.concatenate([ring for one in solids for wall in one.walls for ring in wall]))
    moved[np.abs(moved[:, 2]) < _ON_PLANE, 2] = 0.0
    return moved


def _cut(solid: Prism, rows: list[list[float]], to_plane: FloatArray) -> BaseGeometry | None:
    """Section of one panel by the plane z = 0; rows: its corners in the plane's frame. None if not cut.

    The surface is taken as a closed mesh; every corner is above the plane or not (one on it is not), so
    the crossings always link up to closed rings, whatever passes through a corner.
    """
    points: dict[Node, Spot] = {}
    links: list[tuple[Node, Node]] = []
    begin = 0
    for number, (b, _) in enumerate(solid.walls):
        count = len(b)
        middle = begin + count
        _wall_links(number, rows[begin:middle], rows[middle : middle + count], points, links)
        begin = middle + count
    if not links:
        return None
    normal = to_plane[:3, :3] @ solid.normal
    along = (float(normal[1]), -float(normal[0]))  # normal x (0, 0, 1): where a face meets the plane
    for face in ("b", "a"):
        links += _cap_links([node for node in points if node[0] == face], points, along)
    return _shape(_rings(links, points))


def _space(ring: FloatArray, w: float, matrix: FloatArray) -> FloatArray:
    return apply(matrix, np.column_stack([ring, np.full(len(ring), w)]))


def _wall_links(
    number: int,
    b: list[list[float]],
    a: list[list[float]],
    points: dict[Node, Spot],
    links: list[tuple[Node, Node]],
) -> None:
    """Crossings of the plane with the wall between two rings, two triangles an edge; adds to both maps."""
    count = len(b)
    for i in range(count):
        j = i + 1 if i + 1 < count else 0
        above = (b[i][2] > 0.0, b[j][2] > 0.0, a[j][2] > 0.0, a[i][2] > 0.0)
        if all(above) or not any(above):
            continue
        corners = (b[i], b[j], a[j], a[i])
        diagonal: Node = ("d", number, i)
        for trio, names in (
            ((0, 1, 2), (("b", number, i), ("v", number, j), diagonal)),
            ((0, 2, 3), (diagonal, ("a", number, i), ("v", number, i))),
        ):
            crossed: list[Node] = []
            for name, p, q in zip(names, trio, (*trio[1:], trio[0]), strict=True):
                if above[p] != above[q]:
                    crossed.append(name)
                    if name not in points:
                        points[name] = _crossing(corners[p], corners[q])
            if crossed:
                links.append((crossed[0], crossed[1]))


def _crossing(p: list[float], q: list[float]) -> Spot:
    share = p[2] / (p[2] - q[2])
    return p[0] + share * (q[0] - p[0]), p[1] + share * (q[1] - p[1])


def _cap_links(nodes: list[Node], points: Mapping[Node, Spot], along: Spot) -> list[tuple[Node, Node]]:
    """Crossings of the plane with a flat face: its edges' crossings along the common line, in pairs."""

    def place(node: Node) -> tuple[float, Node]:
        x, y = points[node]
        return x * along[0] + y * along[1], node

    ordered = sorted(nodes, key=place)
    return list(zip(ordered[::2], ordered[1::2], strict=True))


def _rings(links: Sequence[tuple[Node, Node]], points: Mapping[Node, Spot]) -> list[list[Spot]]:
    beside: dict[Node, list[Node]] = {}
    for one, other in links:
        beside.setdefault(one, []).append(other)
        beside.setdefault(other, []).append(one)
    rings: list[list[Spot]] = []
    while beside:
        start = next(iter(beside))
        ring, here = [start], start
        while beside[here]:
            step = beside[here].pop()
            beside[step].remove(here)
            if step == start:
                break
            ring.append(step)
            here = step
        for node in ring:
            beside.pop(node, None)
        rings.append([points[node] for node in ring])
    return rings


def _shape(rings: Sequence[list[Spot]]) -> BaseGeometry | None:
    """Rings as one shape, even-odd: a ring inside another is a hole. None where nothing has an area."""
    shape: BaseGeometry | None = None
    for ring in rings:
        clean = _without_repeats(ring)
        if len(clean) < 3:
            continue
        piece: BaseGeometry = shapely.polygons(clean)
        if not piece.is_valid:
            piece = shapely.make_valid(piece)
        if piece.area > 0.0:
            shape = piece if shape is None else shape.symmetric_difference(piece)
    return shape


def _without_repeats(ring: list[Spot]) -> list[Spot]:
    """A ring without double points and without points in the middle of a straight edge."""
    kept = [p for p, q in zip(ring, _next(ring), strict=True) if hypot(q[0] - p[0], q[1] - p[1]) > _ON_PLANE]
    bends = []
    for before, here, after in zip([kept[-1], *kept[:-1]] if kept else [], kept, _next(kept), strict=True):
        one, two = (here[0] - before[0], here[1] - before[1]), (after[0] - here[0], after[1] - here[1])
        if abs(one[0] * two[1] - one[1] * two[0]) > _ON_PLANE * hypot(one[0] + two[0], one[1] + two[1]):
            bends.append(here)
    return bends


def _next(ring: list[Spot]) -> list[Spot]:
    return [*ring[1:], *ring[:1]]
