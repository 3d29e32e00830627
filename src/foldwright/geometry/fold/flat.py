"""Folding a blank into space and unfolding panels in space into a blank: exact, no iteration.

Every panel is a pair of parallel planes, inner n.X = d and outer n.X = d + t (n points to face A). A
fold axis is the meeting of two panels' planes on the hinge skin. Unfolding keeps the coordinates along
and across the axis.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import atan2, copysign, hypot, pi, sqrt

import numpy as np

from foldwright.base.types import FloatArray
from foldwright.geometry.fold.methods import cuts as method_cuts
from foldwright.geometry.fold.methods import radius_gain
from foldwright.geometry.fold.model import SQUARE, Blank, EdgeCut, Face, Fold, Method, Panel
from foldwright.geometry.fold.rings import inset_outline
from foldwright.geometry.transform import apply, cross, frame, inverse, shift, turn

_PARALLEL = 1e-9
_ON_AXIS = 1e-6


@dataclass(frozen=True, slots=True, eq=False)
class SpacePanel:
    """A panel where it ends up: n.X = d is its inner face (B), corners (k, 3) in the order of its outline.

    Corners need not lie in the plane: they are dropped on to it along the normal. They run
    counter-clockwise seen from outside (from the side the normal points to).
    """

    name: str
    normal: FloatArray
    offset: float
    corners: FloatArray
    holes: tuple[FloatArray, ...] = ()


@dataclass(frozen=True, slots=True)
class SpaceFold:
    """How two panels in space are joined: the edges `parent_edge` and `child_edge` of their outlines.

    radius: outer radius of the finished corner, mm (crushed folds; 0 for a sharp one).
    """

    name: str
    parent: str
    child: str
    parent_edge: int
    child_edge: int
    method: Method
    hinge: Face
    tool_width: float = 0.0
    limit: float = 0.0
    order: int = 0
    radius: float = 0.0


class PlanesDoNotMeetError(ValueError):
    """Two panels to be folded whose hinge skins meet in no line.

    blank, thickness, panels, folds: what was to be laid flat, for `checks.check_planes`; empty where one
    pair of planes was asked for.
    """

    def __init__(self, message: str) -> None:
        super().__init__(message)
        self.blank = ""
        self.thickness = 0.0
        self.panels: tuple[SpacePanel, ...] = ()
        self.folds: tuple[SpaceFold, ...] = ()


def axis(one: SpacePanel, other: SpacePanel, thickness: float, hinge: Face) -> tuple[FloatArray, FloatArray]:
    """Point and unit direction of the line where two panels' hinge skins meet.

    Raises ValueError for parallel panels (planes that do not meet).
    """
    add = thickness if hinge == "a" else 0.0
    direction = cross(one.normal, other.normal)
    square = float(direction @ direction)
    if square < _PARALLEL**2:
        raise PlanesDoNotMeetError(f"planes of {one.name} and {other.name} do not meet")
    # the point of both planes nearest the origin: (d1*n2 - d2*n1) x (n1 x n2) / |n1 x n2|^2
    blend = (one.offset + add) * other.normal - (other.offset + add) * one.normal
    return cross(blend, direction) / square, direction / sqrt(square)


def _root_map(panel: SpacePanel, u_axis: FloatArray) -> FloatArray:
    """4x4 from space to the blank frame for the root panel: w measured from its inner face."""
    origin = panel.corners[0]
    foot = origin + (panel.offset - origin @ panel.normal) * panel.normal
    return inverse(frame(foot, u_axis, panel.normal))


def _hinge(
    parent: SpacePanel, child: SpacePanel, fold: SpaceFold, thickness: float
) -> tuple[FloatArray, FloatArray, float]:
    """Axis point, axis direction with the child on its left seen from A, and signed turn (+ toward A)."""
    add = thickness if fold.hinge == "a" else 0.0
    edge = _dropped(child, fold.child_edge, add)
    along = edge[1] - edge[0]
    sine = cross(parent.normal, child.normal)
    cosine = float(parent.normal @ child.normal)
    if float(sine @ sine) >= _PARALLEL**2:
        point, direction = axis(parent, child, thickness, fold.hinge)
        if direction @ along < 0.0:  # the child's own edge runs with the child on its left
            direction = -direction
        signed = atan2(float(direction @ sine), cosine)
    else:
        point, direction = edge[0], along / sqrt(float(along @ along))
        signed = _flat_turn(parent, child, fold, add, cosine)
    _check_on_axis(_dropped(parent, fold.parent_edge, add), parent.name, fold.name, point, direction)
    _check_on_axis(edge, child.name, fold.name, point, direction)
    return point, direction, signed


def _flat_turn(parent: SpacePanel, child: SpacePanel, fold: SpaceFold, add: float, cosine: float) -> float:
    """Turn of two parallel panels: 0, or a full half turn on to the hinge face."""
    gap = parent.offset + add - copysign(1.0, cosine) * (child.offset + add)
    if abs(gap) > _ON_AXIS:
        raise PlanesDoNotMeetError(f"planes of {parent.name} and {child.name} do not meet")
    if cosine > 0.0:
        return 0.0
    if fold.method != "slit":
        raise PlanesDoNotMeetError(f"fold {fold.name} turns by 180 degrees: only a slit can")
    return pi if fold.hinge == "a" else -pi


def _dropped(panel: SpacePanel, index: int, add: float) -> FloatArray:
    """An edge (2, 3) of a panel dropped along its normal on to the skin `add` mm above the inner face."""
    edge = _edge(panel, index)
    dropped: FloatArray = edge + np.outer(panel.offset + add - edge @ panel.normal, panel.normal)
    return dropped


def _check_on_axis(edge: FloatArray, panel: str, fold: str, point: FloatArray, direction: FloatArray) -> None:
    off = edge - point
    across = off - np.outer(off @ direction, direction)
    away = float(np.abs(across).max())
    if away > _ON_AXIS:
        raise ValueError(f"fold {fold}: the edge of {panel} lies {away:.3g} mm off the fold's axis")


def unfold(
    name: str,
    thickness: float,
    panels: tuple[SpacePanel, ...],
    folds: tuple[SpaceFold, ...],
    u_axis: FloatArray,
    edge_cuts: Mapping[tuple[str, int], EdgeCut] | None = None,
) -> Blank:
    """Lay panels in space flat.

    panels: the first is the root; folds: each parent before it is a child's parent (a tree); u_axis: (3,)
    direction in space that becomes u in the blank; edge_cuts: extra cuts (panel, edge) of free edges.
    Returns the blank whose fold at fraction 1 gives the panels back (round trip to 1e-9 mm).
    Raises ValueError if two planes do not meet, an edge does not lie on its fold's axis (1e-6 mm), a fold
    other than a slit turns by 180 degrees, or the folds are no tree.
    """
    try:
        return _unfold(name, thickness, panels, folds, u_axis, edge_cuts)
    except PlanesDoNotMeetError as error:
        error.blank, error.thickness, error.panels, error.folds = name, thickness, panels, folds
        raise


def _unfold(
    name: str,
    thickness: float,
    panels: tuple[SpacePanel, ...],
    folds: tuple[SpaceFold, ...],
    u_axis: FloatArray,
    edge_cuts: Mapping[tuple[str, int], EdgeCut] | None,
) -> Blank:
    by_name = {panel.name: panel for panel in panels}
    root = panels[0]
    maps = {root.name: _root_map(root, u_axis)}
    made: list[Fold] = []
    cut_of: dict[tuple[str, int], EdgeCut] = dict(edge_cuts or {})
    moved: dict[tuple[str, int], float] = {}
    for fold in folds:
        if fold.parent not in maps or fold.child in maps:
            raise ValueError(f"fold {fold.name} is out of order: folds must form a tree from the root")
        parent, child = by_name[fold.parent], by_name[fold.child]
        point, direction, signed = _hinge(parent, child, fold, thickness)
        gain = radius_gain(abs(signed), fold.radius)
        to_flat = maps[fold.parent] @ turn(point, direction, -signed)
        edge = apply(to_flat, _edge(child, fold.child_edge))[:, :2]
        across = _left(edge)
        maps[fold.child] = shift(-gain * across[0], -gain * across[1], 0.0) @ to_flat if gain else to_flat
        made.append(_fold(fold, edge - gain / 2.0 * across, signed, gain))
        moved[fold.parent, fold.parent_edge] = moved[fold.child, fold.child_edge] = gain / 2.0
        cut_of[fold.parent, fold.parent_edge], cut_of[fold.child, fold.child_edge] = method_cuts(
            fold.method, fold.hinge, abs(signed), thickness, fold.tool_width, fold.limit
        )
    flat = tuple(_flat_panel(panel, maps[panel.name], cut_of, moved) for panel in panels)
    return Blank(name, thickness, flat, tuple(made), root.name, inverse(maps[root.name]))


def _edge(panel: SpacePanel, index: int) -> FloatArray:
    return panel.corners[[index, (index + 1) % len(panel.corners)]]


def _left(edge: FloatArray) -> FloatArray:
    """Unit vector to the left of a directed line in the blank."""
    (px, py), (qx, qy) = edge.tolist()
    length = hypot(qx - px, qy - py)
    return np.array([(py - qy) / length, (qx - px) / length])


def _fold(fold: SpaceFold, line: FloatArray, signed: float, gain: float) -> Fold:
    toward: Face = "a" if signed > 0 else "b"
    if signed == 0.0:
        toward = "b" if fold.hinge == "a" else "a"
    limit = fold.limit if fold.method == "live" else (np.pi / 2 if fold.method == "rebate" else np.pi)
    return Fold(
        fold.name, fold.parent, fold.child, line[0], line[1], fold.method, fold.hinge, toward,
        abs(signed), float(limit), fold.tool_width, fold.order, gain,
    )  # fmt: skip


def _flat_panel(
    panel: SpacePanel,
    to_flat: FloatArray,
    cut_of: Mapping[tuple[str, int], EdgeCut],
    moved: Mapping[tuple[str, int], float],
) -> Panel:
    polygon = apply(to_flat, panel.corners)[:, :2]
    source: Sequence[int] = range(len(polygon))
    steps = [moved.get((panel.name, edge), 0.0) for edge in source]
    if any(steps):
        polygon, source = inset_outline(polygon, np.array(steps))
    holes = tuple(apply(to_flat, hole)[:, :2] for hole in panel.holes)
    cuts = tuple(cut_of.get((panel.name, edge), SQUARE) for edge in source)
    return Panel(panel.name, polygon, cuts, holes)


def transforms(
    blank: Blank, fraction: float = 1.0, deflection: Mapping[str, float] | None = None
) -> dict[str, FloatArray]:
    """4x4 of every panel from the blank frame to the aeroplane.

    fraction: 0 flat to 1 folded, applied to every fold but live hinges. deflection: rad by fold name for
    live hinges, positive toward the fold's `toward` face.
    """
    return stages(blank, {fold.name: fraction for fold in blank.folds}, deflection)


def stages(
    blank: Blank, fractions: Mapping[str, float], deflection: Mapping[str, float] | None = None
) -> dict[str, FloatArray]:
    """As `transforms`, with a fraction for each fold name of its own (missing: 0)."""
    live = deflection or {}
    result = {blank.root: blank.placement}
    waiting = list(blank.folds)
    while waiting:
        ready = [fold for fold in waiting if fold.parent in result]
        if not ready:
            raise ValueError(f"folds of {blank.name} form no tree")
        for fold in ready:
            angle = (
                fold.angle * fractions.get(fold.name, 0.0)
                if fold.method != "live"
                else live.get(fold.name, 0.0)
            )
            result[fold.child] = result[fold.parent] @ fold_matrix(fold, angle, blank.thickness)
        waiting = [fold for fold in waiting if fold.child not in result]
    return result


def fold_matrix(fold: Fold, angle: float, thickness: float) -> FloatArray:
    """4x4 in the blank frame that turns the child by `angle` rad about the fold's hinge.

    Rotation is right-handed about p -> q; the child lies on the left, so + lifts it toward face A. With a
    rounded corner the child also moves out by the share of `gain` that the turn has used up.
    """
    w = thickness if fold.hinge == "a" else 0.0
    signed = angle if fold.toward == "a" else -angle
    across = _left(np.stack([fold.p, fold.q]))
    (px, py), (ax, ay) = fold.p.tolist(), across.tolist()
    point = np.array([px + fold.gain / 2.0 * ax, py + fold.gain / 2.0 * ay, w])
    turned = turn(point, np.array([ay, -ax, 0.0]), signed)
    if fold.gain == 0.0 or fold.angle == 0.0:
        return turned
    out = fold.gain * angle / fold.angle
    return turned @ shift(out * across[0], out * across[1], 0.0)


def fold_matrices(fold: Fold, fractions: FloatArray, thickness: float) -> FloatArray:
    """`fold_matrix` at many fractions (s,) of the fold's angle at once, (s, 4, 4)."""
    w = thickness if fold.hinge == "a" else 0.0
    ax, ay = _left(np.stack([fold.p, fold.q])).tolist()
    angles = fold.angle * fractions * (1.0 if fold.toward == "a" else -1.0)
    # the axis runs along (ay, -ax, 0); Rodrigues' formula as in `turn`
    k = np.array([[0.0, 0.0, -ax], [0.0, 0.0, -ay], [ax, ay, 0.0]])
    sine, versine = np.sin(angles)[:, None, None], (1.0 - np.cos(angles))[:, None, None]
    rotation = np.eye(3) + sine * k + versine * (k @ k)
    across = np.array([ax, ay, 0.0])
    point = np.array([*fold.p, w]) + fold.gain / 2.0 * across
    result = np.zeros((len(fractions), 4, 4))
    result[:, :3, :3] = rotation
    result[:, :3, 3] = point - rotation @ point + fold.gain * fractions[:, None] * (rotation @ across)
    result[:, 3, 3] = 1.0
    return result
