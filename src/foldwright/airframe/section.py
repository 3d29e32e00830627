"""Sections of folded board: the solid of every panel cut by a plane, exact, as shapely shapes.

A panel is the solid between its outline on face B and its outline on face A, joined edge by edge; bevels,
grooves and trims are therefore in the section, and paper that stands out beyond its foam is not. Where a
plane lies in a face of the solid it belongs to the side its normal points away from, so two panels that
meet in the plane are not both cut.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

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


def placed(part: str, blank: Blank) -> Placed:
    """A blank of a part, folded, with live hinges at rest."""
    return Placed(part, blank, transforms(blank))


def plane_frame(y: float) -> FloatArray:
    """4x4 of the plane y = const: local x is x, local y is z, so its normal points to -y."""
    matrix = np.eye(4)
    matrix[:3, 1], matrix[:3, 2], matrix[:3, 3] = (0.0, 0.0, 1.0), (0.0, -1.0, 0.0), (0.0, y, 0.0)
    return matrix


def slice_contour(blanks: Iterable[Placed], y: float) -> BaseGeometry:
    """Board cut by the plane y = const: one or more polygons in (x, z), mm, panels that touch joined.

    Empty where nothing is cut. Corners are exact to 1e-8 mm (the grid on which touching panels are joined).
    """
    return joined(cut_panels(blanks, plane_frame(y)).values())


def joined(shapes: Iterable[BaseGeometry]) -> BaseGeometry:
    """Union of shapes that may touch along a line to within rounding."""
    return shapely.union_all(list(shapes), grid_size=_GRID)


def cut_panels(blanks: Iterable[Placed], plane: FloatArray) -> dict[str, BaseGeometry]:
    """Section of every panel that a plane cuts, by "blank/panel", in the plane's own x and y, mm.

    plane: 4x4 whose local z is the plane's normal.
    """
    to_plane = inverse(plane)
    result: dict[str, BaseGeometry] = {}
    for item in blanks:
        for panel in item.blank.panels:
            matrix = to_plane @ item.transforms[panel.name]
            section = cut_panel(panel, item.blank.thickness, matrix)
            if not section.is_empty:
                result[f"{item.blank.name}/{panel.name}"] = section
    return result


def cut_panel(panel: Panel, thickness: float, to_plane: FloatArray) -> BaseGeometry:
    """Section of one panel by the plane z = 0 of a frame; to_plane: 4x4 from its blank frame to that frame.

    The surface is taken as a closed mesh; every corner is above the plane or not (one on it is not), so
    the crossings always link up to closed rings, whatever passes through a corner.
    """
    low, high = solid_rings(panel)
    walls = [(_space(low, 0.0, to_plane), _space(high, thickness, to_plane))]
    walls += [(_space(hole, 0.0, to_plane), _space(hole, thickness, to_plane)) for hole in panel.holes]
    points: dict[Node, FloatArray] = {}
    links: list[tuple[Node, Node]] = []
    for number, (b, a) in enumerate(walls):
        _wall_links(number, b, a, points, links)
    cap_direction = np.cross(to_plane[:3, 2], np.array([0.0, 0.0, 1.0]))
    for face in ("b", "a"):
        links += _cap_links([node for node in points if node[0] == face], points, cap_direction)
    return _shape(_rings(links, points))


def _space(ring: FloatArray, w: float, matrix: FloatArray) -> FloatArray:
    result = apply(matrix, np.column_stack([ring, np.full(len(ring), w)]))
    result[np.abs(result[:, 2]) < _ON_PLANE, 2] = 0.0
    return result


def _wall_links(
    number: int, b: FloatArray, a: FloatArray, points: dict[Node, FloatArray], links: list[tuple[Node, Node]]
) -> None:
    """Crossings of the plane with the wall between two rings, two triangles an edge; adds to both maps."""
    above_b, above_a = b[:, 2] > 0.0, a[:, 2] > 0.0
    if not (above_b.any() or above_a.any()) or (above_b.all() and above_a.all()):
        return
    count = len(b)
    for i in range(count):
        j = (i + 1) % count
        corners = ((b[i], above_b[i]), (b[j], above_b[j]), (a[j], above_a[j]), (a[i], above_a[i]))
        if len({bool(flag) for _, flag in corners}) == 1:
            continue
        diagonal: Node = ("d", number, i)
        for first, second, third, names in (
            (0, 1, 2, (("b", number, i), ("v", number, j), diagonal)),
            (0, 2, 3, (diagonal, ("a", number, i), ("v", number, i))),
        ):
            ends = ((first, second), (second, third), (third, first))
            crossed: list[Node] = []
            for name, (p, q) in zip(names, ends, strict=True):
                if corners[p][1] != corners[q][1]:
                    crossed.append(name)
                    if name not in points:
                        points[name] = _crossing(corners[p][0], corners[q][0])
            if crossed:
                links.append((crossed[0], crossed[1]))


def _crossing(p: FloatArray, q: FloatArray) -> FloatArray:
    share = p[2] / (p[2] - q[2])
    point: FloatArray = p[:2] + share * (q[:2] - p[:2])
    return point


def _cap_links(
    nodes: list[Node], points: Mapping[Node, FloatArray], direction: FloatArray
) -> list[tuple[Node, Node]]:
    """Crossings of the plane with a flat face: its edges' crossings along the common line, in pairs."""
    along = sorted(nodes, key=lambda node: (float(points[node] @ direction[:2]), node))
    return list(zip(along[::2], along[1::2], strict=True))


def _rings(links: Sequence[tuple[Node, Node]], points: Mapping[Node, FloatArray]) -> list[FloatArray]:
    beside: dict[Node, list[Node]] = {}
    for one, other in links:
        beside.setdefault(one, []).append(other)
        beside.setdefault(other, []).append(one)
    rings: list[FloatArray] = []
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
        rings.append(np.array([points[node] for node in ring]))
    return rings


def _shape(rings: Sequence[FloatArray]) -> BaseGeometry:
    """Rings as one shape, even-odd: a ring inside another is a hole."""
    shape: BaseGeometry = shapely.Polygon()
    for ring in rings:
        clean = _without_repeats(ring)
        if len(clean) < 3:
            continue
        piece: BaseGeometry = shapely.Polygon(clean)
        if not piece.is_valid:
            piece = shapely.make_valid(piece)
        if piece.area > 0.0:
            shape = piece if shape.is_empty else shape.symmetric_difference(piece)
    return shape


def _without_repeats(ring: FloatArray) -> FloatArray:
    """A ring without double points and without points in the middle of a straight edge."""
    step = np.abs(np.roll(ring, -1, axis=0) - ring).max(axis=1)
    kept: FloatArray = ring[step > _ON_PLANE]
    before, after = kept - np.roll(kept, 1, axis=0), np.roll(kept, -1, axis=0) - kept
    cross = before[:, 0] * after[:, 1] - before[:, 1] * after[:, 0]
    bend: FloatArray = kept[np.abs(cross) > _ON_PLANE * np.hypot(*(before + after).T)]
    return bend
