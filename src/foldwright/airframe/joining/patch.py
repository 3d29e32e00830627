"""Joints of kind "patch": a plate glued face to face on a panel."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from math import acos, degrees

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from foldwright.airframe.area_glue import AREA_GLUE_G_M2, glue_film
from foldwright.airframe.bench import Bench
from foldwright.airframe.box_shell import finding, up
from foldwright.airframe.joined import Joined
from foldwright.airframe.model import Direction, JointShown, MarkRequest, MassItem, PartBuild
from foldwright.base.finding import Finding
from foldwright.base.types import FloatArray
from foldwright.design.parts import Part, Patch
from foldwright.geometry.fold.flat import transforms
from foldwright.geometry.fold.mass import moved, panels_moments
from foldwright.geometry.fold.model import SQUARE, Blank, Face, Panel
from foldwright.geometry.fold.rings import face_ring
from foldwright.geometry.transform import apply, cross, inverse, turn

MODEL = Patch
ORDER = 60

MOVED_MM = 3.0  # judgement: drawn further from its panel, a patch was meant for another place
TURNED_DEG = 5.0  # judgement, likewise
OVER_MM = 0.5  # judgement: a patch may reach this far beyond its panel, and is sanded back

_AXES: tuple[Direction, Direction, Direction] = ("+x", "+y", "+z")
_BACK: tuple[Direction, Direction, Direction] = ("-x", "-y", "-z")


@dataclass(frozen=True, slots=True, eq=False)
class Spot:
    """The face a patch lies on: blank, panel, 4x4 of the panel, outward normal, depth w of the face, mm."""

    blank: Blank
    panel: Panel
    matrix: FloatArray
    normal: FloatArray
    depth: float

    @property
    def name(self) -> str:
        """Blank and panel."""
        return f"{self.blank.name} {self.panel.name}"


@dataclass(frozen=True, slots=True, eq=False)
class Laid:
    """One blank of a patch on its face. outline (n, 2): in the other blank's frame, mm."""

    before: Blank
    after: Blank
    seat: FloatArray
    spot: Spot
    outline: FloatArray
    moved: FloatArray
    turned: float


def join(parts: Mapping[str, Part], builds: Mapping[str, PartBuild], joint: Patch, bench: Bench) -> Joined:
    """Lay the first part flush on a panel of the second, mark its outline there, weigh the glue."""
    del parts, bench
    patch, base = (builds[name] for name in joint.parts)
    if not patch.blanks or not base.blanks:
        return Joined()
    found: list[Finding] = []
    laid: list[Laid] = []
    for blank in patch.blanks:
        spots = _spots(base, joint, twin=bool(blank.mirror_of))
        if not spots:
            return Joined(findings=(_no_panel(base, joint),))
        one = _laid(blank, _nearest(blank, spots))
        laid.append(one)
        found += () if blank.mirror_of else _findings(one, joint)
    if any(reason.verdict == "no-go" for reason in found):
        return Joined(findings=tuple(found))
    seat = laid[0].seat
    first = replace(
        patch,
        blanks=tuple(one.after for one in laid),
        surfaces=tuple(replace(each, le=apply(seat, each.le)) for each in patch.surfaces),
        masses=(
            *(replace(item, moments=moved(item.moments, seat)) for item in patch.masses),
            *(_glue(one, joint) for one in laid),
        ),
    )
    second = replace(base, guides=(*base.guides, *(_guide(one, patch.id) for one in laid)))
    return Joined({patch.id: first, base.id: second}, tuple(found), _shown(joint, laid))


def _spots(base: PartBuild, joint: Patch, *, twin: bool) -> list[Spot]:
    """Faces that a name stands for: a panel's, or that of a blank of one panel; a twin's the other side's."""
    wanted = {joint.panel}
    if twin:
        wanted.add(_swapped(joint.panel))
    found = []
    for blank in base.blanks:
        places = transforms(blank)
        tail = blank.name.split("/", 1)[-1]
        for panel in blank.panels:
            names = {panel.name, f"{tail}/{panel.name}", f"{blank.name}/{panel.name}"}
            if len(blank.panels) == 1:
                names |= {tail, blank.name}
            if names & wanted:
                matrix = places[panel.name]
                on_a = joint.face == "a"
                normal = matrix[:3, 2] if on_a else -matrix[:3, 2]
                found.append(Spot(blank, panel, matrix, normal, blank.thickness if on_a else 0.0))
    return found


def _swapped(name: str) -> str:
    return name.replace("left", "right") if "left" in name else name.replace("right", "left")


def _no_panel(base: PartBuild, joint: Patch) -> Finding:
    names = sorted({panel.name for blank in base.blanks for panel in blank.panels})
    tails = {blank.name.split("/", 1)[-1] for blank in base.blanks if len(blank.panels) == 1}
    every = ", ".join(sorted({*names, *tails}))
    return Finding(
        "G172",
        "no-go",
        joint.parts[0],
        {"other": joint.parts[1], "panel": joint.panel, "names": every},
    )


def _nearest(blank: Blank, spots: Sequence[Spot]) -> Spot:
    """The face nearest to the middle of a patch."""
    middle = _middle(blank)

    def distance(spot: Spot) -> float:
        flat = apply(inverse(spot.matrix), middle) - [0.0, 0.0, spot.depth]
        beside = shapely.Polygon(spot.panel.polygon).distance(shapely.Point(flat[:2]))
        return float(np.hypot(beside, flat[2]))

    return min(spots, key=distance)


def _middle(blank: Blank) -> FloatArray:
    centre = shapely.Polygon(blank.panel(blank.root).polygon).centroid
    return apply(blank.placement, np.array([centre.x, centre.y, blank.thickness / 2.0]))


def _laid(blank: Blank, spot: Spot) -> Laid:
    """Turn a patch by the least angle on to its face and move it square to that face until it lies flush."""
    normal = blank.placement[:3, 2]
    facing = normal if normal @ spot.normal < 0.0 else -normal
    middle = _middle(blank)
    axis = cross(facing, -spot.normal)
    angle = acos(float(np.clip(facing @ -spot.normal, -1.0, 1.0)))
    seat = turn(middle, axis, angle) if float(np.linalg.norm(axis)) > 1e-12 else np.eye(4)
    face = apply(spot.matrix, np.array([0.0, 0.0, spot.depth]))
    gap = float((middle - face) @ spot.normal) - blank.thickness / 2.0
    seat = seat.copy()
    seat[:3, 3] -= gap * spot.normal
    after = replace(blank, placement=seat @ blank.placement)
    ring = after.panel(after.root).polygon
    space = apply(after.placement, np.column_stack([ring, np.zeros(len(ring))]))
    outline = apply(inverse(spot.matrix), space)[:, :2]
    return Laid(blank, after, seat, spot, outline, -gap * spot.normal, angle)


def _findings(one: Laid, joint: Patch) -> list[Finding]:
    found = []
    distance, turned = float(np.linalg.norm(one.moved)), degrees(one.turned)
    where, other = joint.parts
    if distance > MOVED_MM + 1e-6 or turned > TURNED_DEG + 1e-6:
        dx, dy, dz = (round(float(value), 1) + 0.0 for value in one.moved)  # no -0.0
        found.append(
            finding(
                where, "G175", distance, MOVED_MM, "mm", "watch", moved=distance, turned=turned,
                panel=joint.panel, other=other, within=MOVED_MM, within_deg=TURNED_DEG, dx=dx, dy=dy, dz=dz,
            )
        )  # fmt: skip
    shape = shapely.Polygon(one.outline)
    carrier = one.spot.blank
    neighbours = {
        fold.name: carrier.panel(fold.child if fold.parent == one.spot.panel.name else fold.parent)
        for fold in carrier.folds
        if one.spot.panel.name in (fold.parent, fold.child)
    }
    for name, panel in neighbours.items():
        beyond = shape.intersection(shapely.Polygon(panel.polygon))
        fold = next(fold for fold in carrier.folds if fold.name == name)
        line = (fold.q - fold.p) / fold.length
        across = np.array([-line[1], line[0]])
        over = float(np.abs((shapely.get_coordinates(beyond) - fold.p) @ across).max(initial=0.0))
        if beyond.area > 1e-6 and over > OVER_MM:
            found.append(
                finding(
                    where, "G174", over, 0.0, fold=name, other=other, over=over, need=up(over + OVER_MM)
                )
            )  # fmt: skip
    if any(reason.code == "G174" for reason in found):
        return found
    room = _without_holes(face_ring(one.spot.panel, joint.face), one.spot.panel)
    off = shape.difference(room)
    out = max((shapely.Point(p).distance(room) for p in shapely.get_coordinates(off)), default=0.0)
    share = 100.0 * (1.0 - off.area / shape.area)
    if out > OVER_MM or share < 95.0:
        found.append(
            finding(
                where, "G173", out, OVER_MM, "mm", "watch" if share >= 50.0 else "no-go",
                out=up(out), panel=joint.panel, other=other, share=round(share),
            )
        )  # fmt: skip
    return found


def _without_holes(ring: FloatArray, panel: Panel) -> BaseGeometry:
    return shapely.Polygon(ring).difference(
        shapely.union_all([shapely.Polygon(hole) for hole in panel.holes])
    )


def _contact(one: Laid) -> BaseGeometry:
    """Where the two faces lie on each other, in the panel's blank frame."""
    return shapely.Polygon(one.outline).intersection(_without_holes(one.spot.panel.polygon, one.spot.panel))


def _glue(one: Laid, joint: Patch) -> MassItem:
    """The layer of glue between the two, as thin as a sheet of paper."""
    sheet = glue_film()
    total = np.zeros((4, 4))
    place = one.spot.matrix.copy()
    place[:3, 3] += one.spot.depth * one.spot.matrix[:3, 2]
    for piece in shapely.get_parts(_contact(one)):
        if not isinstance(piece, shapely.Polygon) or piece.area < 1e-6:
            continue
        shape = shapely.geometry.polygon.orient(piece, 1.0)
        ring = np.asarray(shape.exterior.coords)[:-1]
        holes = tuple(np.asarray(hole.coords)[:-1] for hole in shape.interiors)
        panel = Panel("glue", ring, (SQUARE,) * len(ring), holes)
        total += moved(panels_moments([panel], sheet)[0], place)
    return MassItem(f"{joint.id}/glue/{one.after.name}", "joint", total)


def _guide(one: Laid, patch: str) -> MarkRequest:
    """The patch's outline on the panel, seen from outside (from there the wanted face is met first)."""
    spot = one.spot
    ring = np.concatenate([one.outline, one.outline[:1]])
    space = apply(spot.matrix, np.column_stack([ring, np.full(len(ring), spot.depth)]))
    outward = spot.matrix[:3, 2]
    axis = int(np.argmax(np.abs(outward)))
    direction = _BACK[axis] if outward[axis] > 0.0 else _AXES[axis]
    points = tuple((float(x), float(y), float(z)) for x, y, z in space)
    face: Face = "a" if spot.depth > 0.0 else "b"
    return MarkRequest(patch, spot.blank.name, direction, points, face, 0.0)


def _shown(joint: Patch, laid: Sequence[Laid]) -> JointShown:
    one = laid[0]
    return JointShown(
        joint.id,
        joint.kind,
        joint.parts,
        tuple(f"{each.after.name}: glued face to face" for each in laid),
        tuple(f"{each.spot.name}: outline on face {joint.face.upper()}" for each in laid),
        True,
        {
            "area_mm2": round(float(sum(_contact(each).area for each in laid)), 1),
            "glue_g_m2": AREA_GLUE_G_M2,
            "moved_mm": round(float(np.linalg.norm(one.moved)), 2),
            "turned_deg": round(degrees(one.turned), 2),
        },
    )
