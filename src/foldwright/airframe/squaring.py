"""Marks and lengths that square a wing to a body, and what a joint of the two shows.

Marks stand at both edges of the wing: on its underside where the outer faces of the body's sides come, on
its upper side at the middle where it runs through there, and on the sides' outer faces at the ends of the
chord. Two strings from the tips to the tail, equally long, square it.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace

import numpy as np

from foldwright.airframe.joined import Joined
from foldwright.airframe.model import Direction, JointShown, MarkRequest, Note, PartBuild
from foldwright.airframe.saddle import Seated
from foldwright.airframe.saddle_cut import kind_of
from foldwright.airframe.section import Prism, placed, prisms
from foldwright.base.finding import Param
from foldwright.base.types import FloatArray
from foldwright.design.parts import BandOn, Saddle, Through
from foldwright.geometry.transform import apply

LONG_MM = 10.0  # length of a mark
OFF_MM = 3.0  # judgement: a mark on the wing starts this far inside its edge, clear of the nose's bevel
BELOW_MM = 1.5  # a mark on a side starts this far below the wing
EDGE_MM = 12.0  # the part of the section whose underside counts as its edge's height
END_MM = 2.0  # nearer to the end of a side its own edge says where the wing ends
TIP_MM = 0.5  # corners within this of the outermost one are the tip's
HELP = 0.0
"""Marks that help in putting together may fall away where they find no good face."""

Point = tuple[float, float, float]


@dataclass(frozen=True, slots=True, eq=False)
class Squaring:
    """Marks for both parts, the lengths to measure (mm, keys with their unit), the note that says how."""

    wing: tuple[MarkRequest, ...] = ()
    body: tuple[MarkRequest, ...] = ()
    figures: dict[str, float] = field(default_factory=dict)
    notes: tuple[Note, ...] = ()


def finished(
    joint: Saddle | Through | BandOn,
    wing: PartBuild,
    done: Seated,
    *,
    glued: bool,
    notes: Sequence[Note] = (),
    figures: dict[str, float] | None = None,
) -> Joined:
    """Both parts with cut-outs, glue and marks, and what the joint shows in them."""
    if not wing.blanks or not done.body.blanks:
        return Joined(findings=done.findings)
    body = replace(done.body, seams=done.body.seams + done.seams)
    able = bool(done.cut) and joint.notches
    square = squaring(wing, body, done.solids) if able else Squaring()
    wing = replace(
        wing,
        guides=wing.guides + square.wing,
        notes=(*wing.notes, *(notes if done.cut else ()), *square.notes),
    )
    body = replace(body, guides=body.guides + square.body)
    if not done.cut:
        return Joined({wing.id: wing, body.id: body}, done.findings)
    cut = {"saddle": "cut-out", "band_on": "cut-out", "through": "slot"}[joint.kind]
    numbers = {
        "clearance_mm": joint.clearance_mm,
        "seat_length_mm": round(done.length, 2),
        **({} if done.left is None else {"left_below_mm": round(done.left, 2)}),
        **square.figures,
        **(figures or {}),
    }
    first = (
        *(f"{name.rsplit('/', 1)[0]} {name.rsplit('/', 1)[1]}: in the {cut}" for name in done.worn),
        *_marks_shown(wing.id, square.wing),
    )
    second = (*(f"{place}: {cut}" for place in done.cut), *_marks_shown(body.id, square.body))
    shown = JointShown(joint.id, joint.kind, joint.parts, first, second, glued, numbers)
    return Joined({wing.id: wing, body.id: body}, done.findings, shown)


def _marks_shown(part: str, marks: Sequence[MarkRequest]) -> tuple[str, ...]:
    return (f"{part}: {len(marks)} marks",) if marks else ()


def squaring(wing: PartBuild, body: PartBuild, solids: Sequence[Prism] = ()) -> Squaring:
    """Marks at both edges of a wing and on the sides of the body it crosses; lengths from tips to tail.

    solids: the wing's panels, where they are at hand.
    """
    solids = solids or prisms(placed(wing.id, blank) for blank in wing.blanks)
    edges, sides = _edges_of(solids), _side_faces(body)
    # halves that meet in the centre line show it themselves
    whole = any(
        ring[:, 1].min() < -LONG_MM and ring[:, 1].max() > LONG_MM
        for solid in solids
        for ring in solid.walls[0]
    )
    on_wing: list[MarkRequest] = []
    on_body: list[MarkRequest] = []
    for aft in (False, True):
        middle = _edge(edges, 0.0, aft) if whole else None
        if middle is not None:
            on_wing.append(MarkRequest("centre", wing.id, "-z", _inward(middle, aft), None, HELP))
        for right in (True, False):
            met = _met(edges, sides, right, aft)
            if met is None:
                continue
            on_wing.append(MarkRequest("body-side", wing.id, "+z", _inward(met, aft), None, HELP))
            x, y, z = met
            if not any(side.x[0] + END_MM <= x <= side.x[1] - END_MM for side in sides):
                continue
            way: Direction = "-y" if right else "+y"
            line = ((x, y, z - BELOW_MM), (x, y, z - BELOW_MM - LONG_MM))
            on_body.append(MarkRequest(f"{wing.id}-edge", body.id, way, line, None, HELP))
    figures, notes = _strings(solids, wing, body)
    return Squaring(tuple(on_wing), tuple(on_body), figures, notes)


def _inward(edge: Point, aft: bool) -> tuple[Point, Point]:
    """A short line along x that starts inside the wing's edge."""
    x, y, z = edge
    way = -1.0 if aft else 1.0
    return (x + way * OFF_MM, y, z), (x + way * (OFF_MM + LONG_MM), y, z)


def _edges_of(solids: Sequence[Prism]) -> FloatArray:
    """All straight edges of the outlines of folded panels, (n, 2, 3) mm."""
    rows = []
    for solid in solids:
        b, a = solid.walls[0]
        rows += [np.stack([ring, np.roll(ring, -1, axis=0)], axis=1) for ring in (b, a)]
        rows.append(np.stack([b, a], axis=1))
    return np.concatenate(rows)


def _edge(edges: FloatArray, y: float, aft: bool) -> Point | None:
    """The wing's leading (or trailing) edge at a station y, its z that of the underside there."""
    start, stop = edges[:, 0], edges[:, 1]
    crossed = ((start[:, 1] <= y) & (stop[:, 1] > y)) | ((stop[:, 1] <= y) & (start[:, 1] > y))
    if not crossed.any():
        return None
    start, stop = start[crossed], stop[crossed]
    share = (y - start[:, 1]) / (stop[:, 1] - start[:, 1])
    points = start + share[:, None] * (stop - start)
    x = float(points[:, 0].max() if aft else points[:, 0].min())
    near = points[np.abs(points[:, 0] - x) <= EDGE_MM]
    return x, y, float(near[:, 2].min())


@dataclass(frozen=True, slots=True, eq=False)
class SideFace:
    """One side panel's outer and inner faces seen from above: from and to along x, y at both ends, mm."""

    x: tuple[float, float]
    right: tuple[float, float]
    left: tuple[float, float]


def _outlines(build: PartBuild) -> Iterator[tuple[FloatArray, FloatArray]]:
    """4x4 of every folded panel and the corners of its outline on both faces, (n, 3) mm."""
    for blank in build.blanks:
        for name, matrix in placed(build.id, blank).transforms.items():
            ring = blank.panel(name).polygon
            flat = np.concatenate([ring, ring])
            depth = np.repeat([0.0, blank.thickness], len(ring))
            yield matrix, apply(matrix, np.column_stack([flat, depth]))


def _side_faces(body: PartBuild) -> tuple[SideFace, ...]:
    """Every upright panel that faces sideways: its greatest and least y at both of its ends."""
    faces = []
    for matrix, points in _outlines(body):
        fore, aft = float(points[:, 0].min()), float(points[:, 0].max())
        if kind_of(matrix) != "side" or aft - fore < 1e-6:
            continue
        edge = 0.25 * (aft - fore)
        first, last = points[points[:, 0] < fore + edge], points[points[:, 0] > aft - edge]
        faces.append(
            SideFace(
                (fore, aft),
                (float(first[:, 1].max()), float(last[:, 1].max())),
                (float(first[:, 1].min()), float(last[:, 1].min())),
            )
        )
    return tuple(faces)


def _outer_y(sides: Sequence[SideFace], x: float, right: bool) -> float | None:
    """Outermost y of the sides at x, on one side; None where there is no side."""
    here = [side for side in sides if side.x[0] - 1e-6 <= x <= side.x[1] + 1e-6]
    values = [float(np.interp(x, side.x, side.right if right else side.left)) for side in here]
    if not values:
        return None
    return max(values) if right else min(values)


def _met(edges: FloatArray, sides: Sequence[SideFace], right: bool, aft: bool) -> Point | None:
    """Where an edge of the wing meets the outer face of a side: found by going to and fro twice."""
    if not sides:
        return None
    widest = [side.right if right else side.left for side in sides]
    y: float | None = max(max(pair) for pair in widest) if right else min(min(pair) for pair in widest)
    edge: Point | None = None
    for _ in range(2):
        edge = None if y is None else _edge(edges, y, aft)
        y = None if edge is None else _outer_y(sides, edge[0], right)
    return None if edge is None or y is None else (edge[0], y, edge[2])


def _strings(
    solids: Sequence[Prism], wing: PartBuild, body: PartBuild
) -> tuple[dict[str, float], tuple[Note, ...]]:
    """Lengths from the tips' leading edges to the middle of the body's rear end, and the note with them."""
    corners = np.concatenate([ring for solid in solids for ring in solid.walls[0]])
    hull = np.concatenate([points for _, points in _outlines(body)])
    x = float(hull[:, 0].max())
    rear = hull[hull[:, 0] > x - 1.0]
    point = np.array([x, 0.0, float(rear[:, 2].max())])
    lengths = []
    for sign in (1.0, -1.0):
        out = corners[:, 1] * sign
        tip = corners[out > out.max() - TIP_MM]
        lengths.append(float(np.linalg.norm(tip[np.argmin(tip[:, 0])] - point)))
    right, left = (round(length, 1) for length in lengths)
    figures = {
        "tip_to_tail_right_mm": right,
        "tip_to_tail_left_mm": left,
        "tail_x_mm": round(x, 1),
        "tail_z_mm": round(float(point[2]), 1),
    }
    if abs(right - left) > TIP_MM:
        return figures, ()
    params: dict[str, Param] = {
        "part": wing.id, "other": body.id, "x": round(x, 1), "z": round(float(point[2]), 1), "distance": right
    }  # fmt: skip
    return figures, (Note("G179", wing.id, params),)
