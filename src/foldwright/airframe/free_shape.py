"""Free shapes: a plate with folds, cut-outs, marks and a place of its own.

The outline as written is the flat blank, so no bend is deducted: what a fold takes up or gives is in the
finished size. A crushed corner with an outer radius therefore comes out longer by what the corner saves.

Frame of the form: first axis aft (across: to the right), second up (upright, across) or to the right
(level). Face A looks outside (upright), up (level) or forward (across); upright and across the board's middle
lies at the form's origin, level its under face.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import radians

import numpy as np
import shapely

from foldwright.airframe.bench import Bench
from foldwright.airframe.free_shape_lift import lifting_surface
from foldwright.airframe.free_shape_marks import with_cutouts, with_marks
from foldwright.airframe.free_shape_split import Line, Seamed, Split, split
from foldwright.airframe.mirror import mirror_blank
from foldwright.airframe.model import Board, PartBuild, Role, Seam
from foldwright.base.finding import Finding, Param
from foldwright.base.types import FloatArray
from foldwright.design.parts import FoldLine, Plate
from foldwright.geometry.fold.flat import transforms
from foldwright.geometry.fold.methods import cuts, radius_gain
from foldwright.geometry.fold.model import SQUARE, Blank, EdgeCut, Face, Fold, Panel
from foldwright.geometry.transform import apply, frame, turn

ROOT = "plate"
MITRE_LIMIT_DEG = 150.0
"""Largest turn of a groove or a crush, whose bevel is then nearly four boards wide; judgement, no source."""
_AXES = np.eye(3)
_HAIR = 1e-9


@dataclass(frozen=True, slots=True, eq=False)
class _Tree:
    """Pieces of a split as a tree: names of the pieces, and parent and child of each seam."""

    root: int
    names: dict[int, str]
    links: tuple[tuple[Seamed, int, int], ...]


def build_free(part: Plate, bench: Bench) -> PartBuild:
    """Blanks of a free shape and, where it lifts, its surface.

    The panel that holds the form's origin stays put; where none does, the largest. Panels are called "plate"
    and "flap-<fold>" by the fold that they hang by. Findings: G183-G193, G196, G197.
    """
    board, across = bench.board, _across(part)
    lines = [
        Line(fold.id, np.array(fold.from_mm), np.array(fold.to_mm), f"{part.id}.fold.{fold.id}")
        for fold in part.fold
    ]
    findings = [*_no_controls(part), *_angles(part)]
    divided = split(_outline(part), lines)
    findings += divided.findings
    if findings:
        return PartBuild(part.id, (), findings=tuple(findings))
    blank = _blank(part, board, divided if across > 0.0 else divided.turned_over())
    holes = {f"{part.id}.cutout.{hole.id}": _points(hole.polygon_mm, across) for hole in part.cutout}
    blank, findings = with_cutouts(blank, holes)
    blank, lost = with_marks(blank, [
        (mark.id, f"{part.id}.mark.{mark.id}", mark.face, _points(mark.points_mm, across))
        for mark in part.mark
    ])  # fmt: skip
    findings += lost
    twin = f"{part.id}/{_own_and_other(part)[1]}"
    blanks = (blank, mirror_blank(blank, twin)) if part.mirrored else (blank,)
    surface, missed = None, list[Finding]()
    if part.lifting and not any(one.verdict == "no-go" for one in findings):
        role: Role = "fin" if part.role == "fin" else "other"
        right = blanks[-1] if part.mirrored and _side(part) < 0.0 else blank
        surface, missed = lifting_surface(part.id, right, role, symmetric=part.mirrored)
    return PartBuild(
        part.id,
        blanks,
        surfaces=() if surface is None else (surface,),
        seams=tuple(seam for one in blanks for seam in _seams(one)),
        findings=(*findings, *missed),
        titles=_titles(part, blanks),
    )


def _seams(blank: Blank) -> list[Seam]:
    """Glue along every fold, on the skin that it hangs by."""
    places, t = transforms(blank), blank.thickness
    lines = (
        (fold, np.array([(*end, t if fold.hinge == "a" else 0.0) for end in (fold.p, fold.q)]))
        for fold in blank.folds
    )
    return [Seam(f"{blank.name}/{f.name}", "glue", apply(places[f.parent], ends)) for f, ends in lines]


def _titles(part: Plate, blanks: tuple[Blank, ...]) -> dict[str, str]:
    word = "Fin" if part.role == "fin" and part.lifting else "Shape"
    sides = [f", {blank.name.rpartition('/')[2]}" if part.mirrored else "" for blank in blanks]
    said = f" ({part.note})" if part.note else ""
    return {blank.name: word + side + said for blank, side in zip(blanks, sides, strict=True)}


def placement(part: Plate, t: float) -> FloatArray:
    """4x4 from the flat blank to the aeroplane. Lean and turns are about the form's origin."""
    origin = np.array([part.x_mm, part.y_mm, part.z_mm])
    side = _side(part)
    u = _AXES[1] if part.plane == "across" else _AXES[0]
    normal = {"level": _AXES[2], "upright": side * _AXES[1], "across": -_AXES[0]}[part.plane]
    place = frame(origin if part.plane == "level" else origin - t / 2.0 * normal, u, normal)
    if part.plane == "upright":
        # about x aft, right-handed, the top goes to the left
        place = turn(origin, _AXES[0], -side * radians(part.lean_deg)) @ place
    for axis, angle in zip(_AXES, part.turn_deg, strict=True):
        if angle:
            place = turn(origin, axis, radians(angle)) @ place
    return place


def _side(part: Plate) -> float:
    """+1 for a plate on the right or on the centre line, -1 on the left."""
    return -1.0 if part.y_mm < 0.0 else 1.0


def _own_and_other(part: Plate) -> tuple[str, str]:
    """The side that a mirrored shape stands on as it is given, and the side of its twin."""
    return ("right", "left") if _side(part) > 0.0 else ("left", "right")


def _across(part: Plate) -> float:
    """Sign of the blank's second axis against the form's: -1 where face A shows the form turned over."""
    if part.plane == "level":
        return 1.0
    return -1.0 if part.plane == "across" else -_side(part)


def _points(points: tuple[tuple[float, float], ...], across: float) -> FloatArray:
    """(n, 2) in the blank frame."""
    moved: FloatArray = np.array(points, dtype=np.float64) * np.array([1.0, across])
    return moved


def _outline(part: Plate) -> FloatArray:
    """(n, 2) outline in the form's axes, counter-clockwise, no corner twice in a row."""
    if part.taper is not None:
        form = part.taper
        aft = form.tip_aft_mm
        rows = [(0.0, 0.0), (form.root_mm, 0.0), (aft + form.tip_mm, form.height_mm), (aft, form.height_mm)]
    else:
        rows = [(float(x), float(y)) for x, y in part.polygon_mm or ()]
    points = np.array(rows)
    points = points[np.hypot(*(points - np.roll(points, 1, axis=0)).T) > _HAIR]
    ring: FloatArray = points if shapely.LinearRing(points).is_ccw else points[::-1].copy()
    return ring


def _no_controls(part: Plate) -> list[Finding]:
    """G196: controls and pivots are for plain plates."""
    keys = [f"control.{control.id}" for control in part.control] + ["pivot"] * (part.pivot is not None)
    return [Finding("G196", "no-go", f"{part.id}.{key}") for key in keys]


def _angles(part: Plate) -> list[Finding]:
    """G186: turns that a fold's method does not make."""
    found: list[Finding] = []
    for fold in part.fold:
        if fold.method == "rebate" and fold.angle_deg != 90.0:
            limit, words = 90.0, "by 90° and no other angle"
        elif fold.method in {"groove", "crush"} and fold.angle_deg > MITRE_LIMIT_DEG:
            limit, words = MITRE_LIMIT_DEG, f"by at most {MITRE_LIMIT_DEG:.0f}°"
        else:
            continue
        params: dict[str, Param] = {"method": fold.method, "angle": fold.angle_deg, "range": words}
        where = f"{part.id}.fold.{fold.id}.angle_deg"
        found.append(Finding("G186", "no-go", where, params, fold.angle_deg, limit, "deg"))
    return found


def _blank(part: Plate, board: Board, divided: Split) -> Blank:
    tree = _tree(divided)
    by_id = {fold.id: fold for fold in part.fold}
    made = {
        seam.id: _fold(by_id[seam.id], seam, links, tree, divided.points, board)
        for seam, *links in tree.links
    }
    edge_cuts = _edge_cuts(tree, made, board)
    order = [tree.root, *(child for _, _, child in tree.links)]
    panels = tuple(
        Panel(
            tree.names[piece],
            divided.ring(piece),
            tuple(edge_cuts.get((piece, edge), SQUARE) for edge in _edges(divided.pieces[piece])),
        )
        for piece in order
    )
    name = f"{part.id}/{_own_and_other(part)[0] if part.mirrored else 'main'}"
    folds = tuple(made[seam.id] for seam in divided.seams)
    return Blank(name, board.thickness, panels, folds, ROOT, placement(part, board.thickness))


def _edges(piece: tuple[int, ...]) -> list[tuple[int, int]]:
    return list(zip(piece, (*piece[1:], piece[0]), strict=True))


def _tree(divided: Split) -> _Tree:
    """Names and order of the pieces, breadth first from the root, folds in the author's order."""
    root = _root(divided)
    names, links, reached = {root: ROOT}, list[tuple[Seamed, int, int]](), [root]
    for here in reached:
        for seam in divided.seams:
            if here not in (seam.left, seam.right):
                continue
            other = seam.right if here == seam.left else seam.left
            if other not in names:
                names[other] = f"flap-{seam.id}"
                links.append((seam, here, other))
                reached.append(other)
    return _Tree(root, names, tuple(links))


def _root(divided: Split) -> int:
    """The piece that holds the form's origin (the largest of those that it lies at), else the largest."""
    shapes = [shapely.Polygon(divided.ring(piece)) for piece in range(len(divided.pieces))]
    origin = shapely.Point(0.0, 0.0)
    holders = [k for k, shape in enumerate(shapes) if shapely.distance(shape, origin) < 1e-6]
    return max(holders or range(len(shapes)), key=lambda k: (round(shapes[k].area, 6), -k))


def _fold(
    fold: FoldLine, seam: Seamed, links: list[int], tree: _Tree, points: FloatArray, board: Board
) -> Fold:
    """The fold in the blank, its child on the left of p→q; the skin outside the bend stays whole, a slit's
    inside.
    """
    parent, child = links
    start, stop = (seam.start, seam.stop) if seam.left == child else (seam.stop, seam.start)
    other: Face = "a" if fold.toward == "b" else "b"
    angle = radians(fold.angle_deg)
    crushed = fold.method == "crush"
    width = (fold.tool_width_mm or board.crush_width) if crushed else 0.0
    return Fold(
        fold.id, tree.names[parent], tree.names[child], points[start], points[stop], fold.method,
        fold.toward if fold.method == "slit" else other, fold.toward, angle,
        float(np.pi / 2 if fold.method == "rebate" else np.pi), width, fold.order,
        radius_gain(angle, board.radius) if crushed else 0.0,
    )  # fmt: skip


def _edge_cuts(
    tree: _Tree, made: dict[str, Fold], board: Board
) -> dict[tuple[int, tuple[int, int]], EdgeCut]:
    """What the edges along folds lack, by piece and edge."""
    result: dict[tuple[int, tuple[int, int]], EdgeCut] = {}
    for seam, parent, child in tree.links:
        fold = made[seam.id]
        pair = cuts(fold.method, fold.hinge, fold.angle, board.thickness, fold.tool_width)
        for piece, cut in zip((parent, child), pair, strict=True):
            edge = (seam.start, seam.stop) if piece == seam.left else (seam.stop, seam.start)
            result[piece, edge] = cut
    return result
