"""Joints of kind "clamp": a part of board on a bought stick."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from foldwright.airframe.bench import Bench
from foldwright.airframe.box_shell import finding, up
from foldwright.airframe.joined import Joined
from foldwright.airframe.model import Bar, Direction, JointShown, MarkRequest, MassItem, PartBuild
from foldwright.airframe.saddle_cut import lowest
from foldwright.airframe.section import Prism, cut_panels, placed, prisms
from foldwright.base.finding import Finding
from foldwright.base.types import FloatArray
from foldwright.design.parts import Clamp, Part
from foldwright.geometry.fold.mass import point_moments

MODEL = Clamp
ORDER = 70

TOUCH_MM = 0.5  # judgement: glue and binding close less
PRESS_MM = 0.3  # judgement: foam gives way by this much under a stick
LEAST_LAND_MM = 1.0  # what faces the stick over less than this does not rest on it
STRUCK_MM2 = 1e-3
TINY_MM = 1e-6
HELP = 0.0


@dataclass(frozen=True, slots=True, eq=False)
class Meeting:
    """How a part and a stick lie to each other in one plane along the stick.

    axis: 2 where the part lies over or under the stick, 1 where beside it. side: +1 where the part lies
    above it (right of it), -1 below (left). gap: mm along that axis, negative where they overlap. span: x
    from and to where they face each other.
    """

    bar: Bar
    axis: int
    side: float
    gap: float
    span: tuple[float, float]


def join(parts: Mapping[str, Part], builds: Mapping[str, PartBuild], joint: Clamp, bench: Bench) -> Joined:
    """Check that the first part touches every stick of the second, weigh the clamp, mark its place."""
    del parts, bench
    part, stick = (builds[name] for name in joint.parts)
    if not part.blanks or not stick.bars:
        return Joined()
    solids = prisms(placed(part.id, blank) for blank in part.blanks)
    found: list[Finding] = []
    met: list[Meeting] = []
    for bar in stick.bars:
        meeting = _meeting(solids, bar)
        if meeting is None:
            found.append(_beside(solids, bar, joint))
            continue
        met.append(meeting)
        found += _gap_findings(meeting, joint)
    if not met:
        return Joined(findings=tuple(found))
    mass = joint.mass_g / len(met)
    items = tuple(_clamp_mass(one, number, joint, mass) for number, one in enumerate(met, start=1))
    guides = tuple(guide for one in met for guide in _guides(one, part.id))
    changed = {
        part.id: replace(part, guides=part.guides + guides),
        stick.id: replace(stick, masses=stick.masses + items),
    }
    return Joined(changed, tuple(found), _shown(joint, met))


def _planes(bar: Bar) -> tuple[tuple[int, FloatArray], tuple[int, FloatArray]]:
    """Planes along a bar's middle: (axis of the gap, 4x4), first upright (x, z), then level (x, y)."""
    y, z = bar.ends[:, 1].mean(), bar.ends[:, 2].mean()
    upright, level = np.eye(4), np.eye(4)
    upright[:3, 1], upright[:3, 2], upright[:3, 3] = (0.0, 0.0, 1.0), (0.0, -1.0, 0.0), (0.0, y, 0.0)
    level[:3, 3] = (0.0, 0.0, z)
    return (2, upright), (1, level)


def _outline(bar: Bar, axis: int) -> BaseGeometry:
    """The stick in such a plane."""
    ends = bar.ends[np.argsort(bar.ends[:, 0])]
    half = (bar.height if axis == 2 else bar.width) / 2.0
    (x0, v0), (x1, v1) = ends[:, [0, axis]]
    return shapely.Polygon([(x0, v0 - half), (x1, v1 - half), (x1, v1 + half), (x0, v0 + half)])


def _meeting(solids: Sequence[Prism], bar: Bar) -> Meeting | None:
    """The nearest of what two planes along the stick show; None where the part is in neither."""
    found: list[Meeting] = []
    for axis, plane in _planes(bar):
        shapes = list(cut_panels(solids, plane).values())
        if not shapes:
            continue
        stick = _outline(bar, axis)
        for side in (1.0, -1.0):
            one = _facing(shapes, stick, bar, axis, side)
            if one is not None:
                found.append(one)
    # an overlap has two ways out, the shorter one is meant
    return min(found, key=lambda one: abs(one.gap), default=None)


def _facing(
    shapes: Sequence[BaseGeometry], stick: BaseGeometry, bar: Bar, axis: int, side: float
) -> Meeting | None:
    """The part taken as lying on one side of the stick: least way from the stick's edge to the part's.

    What runs into the stick counts before what keeps clear of it; what lies on the other side does not.
    """
    flip = np.array([1.0, side])
    parts = [piece for shape in shapes for piece in shapely.get_parts(shape)]
    pieces = [piece for piece in parts if isinstance(piece, shapely.Polygon)]
    struck = [piece for piece in pieces if piece.intersection(stick).area > STRUCK_MM2]
    own = shapely.get_coordinates(stick)[:-1] * flip
    found: list[Meeting] = []
    for piece in struck or pieces:
        ring = shapely.get_coordinates(piece.exterior) * flip
        low, high = max(own[:, 0].min(), ring[:, 0].min()), min(own[:, 0].max(), ring[:, 0].max())
        if high - low < LEAST_LAND_MM:
            continue
        places = np.unique(np.concatenate([ring[:, 0], own[:, 0], [low, high]]))
        places = places[(places >= low) & (places <= high)]
        gaps = lowest([ring[:-1]], places) + lowest([own * [1.0, -1.0]], places)
        gap = float(gaps.min())
        if struck or gap > -TINY_MM:
            found.append(Meeting(bar, axis, side, gap, (float(low), float(high))))
    return min(found, key=lambda one: one.gap, default=None)


def _gap_findings(one: Meeting, joint: Clamp) -> list[Finding]:
    if -PRESS_MM - 1e-6 <= one.gap <= TOUCH_MM + 1e-6:
        return []
    apart = one.gap > 0.0
    ways = ("up", "down") if one.axis == 2 else ("to the right", "to the left")
    toward = ways[1] if one.side > 0.0 else ways[0]
    away = ways[0] if one.side > 0.0 else ways[1]
    return [
        finding(
            joint.parts[0], "G176", one.gap, TOUCH_MM if apart else -PRESS_MM, "mm", "no-go",
            other=joint.parts[1], how="stand apart" if apart else "overlap", gap=abs(one.gap),
            x=sum(one.span) / 2.0, what="of air" if apart else "in one place", shift=abs(one.gap),
            way=toward if apart else away,
        )
    ]  # fmt: skip


def _beside(solids: Sequence[Prism], bar: Bar, joint: Clamp) -> Finding:
    low = np.min([solid.span[0] for solid in solids], axis=0)
    high = np.max([solid.span[1] for solid in solids], axis=0)
    bar_low, bar_high = bar.ends.min(axis=0), bar.ends.max(axis=0)
    gap = float(np.linalg.norm(np.maximum(np.maximum(low - bar_high, bar_low - high), 0.0)))
    y, z = (float(value) for value in bar.ends[:, 1:].mean(axis=0))
    return finding(
        joint.parts[0], "G177", gap, 0.0, other=joint.parts[1], gap=up(gap), x0=float(bar_low[0]),
        x1=float(bar_high[0]), y=y, z=z,
    )  # fmt: skip


def _clamp_mass(one: Meeting, number: int, joint: Clamp, mass: float) -> MassItem:
    ends = one.bar.ends[np.argsort(one.bar.ends[:, 0])]
    x = sum(one.span) / 2.0
    share = (x - ends[0, 0]) / max(float(ends[1, 0] - ends[0, 0]), 1e-9)
    place = ends[0] + share * (ends[1] - ends[0])
    place[one.axis] += one.side * (one.bar.height if one.axis == 2 else one.bar.width) / 2.0
    return MassItem(f"{joint.id}/{number}", "joint", point_moments(place, mass))


def _guides(one: Meeting, part: str) -> list[MarkRequest]:
    """Both edges of the stick on the face of the part that lies on it."""
    directions: dict[tuple[int, float], Direction] = {
        (2, 1.0): "+z", (2, -1.0): "-z", (1, 1.0): "+y", (1, -1.0): "-y"
    }  # fmt: skip
    ends = one.bar.ends[np.argsort(one.bar.ends[:, 0])]
    across = 1 if one.axis == 2 else 2
    half = (one.bar.width if across == 1 else one.bar.height) / 2.0
    shares = (np.array(one.span) - ends[0, 0]) / max(float(ends[1, 0] - ends[0, 0]), 1e-9)
    line = ends[0] + shares[:, None] * (ends[1] - ends[0])
    marks = []
    for way in (1.0, -1.0):
        moved = line.copy()
        moved[:, across] += way * half
        points = tuple((float(x), float(y), float(z)) for x, y, z in moved)
        marks.append(MarkRequest("stick", part, directions[one.axis, one.side], points, None, HELP))
    return marks


def _shown(joint: Clamp, met: Sequence[Meeting]) -> JointShown:
    one = met[0]
    where = {(2, 1.0): "under", (2, -1.0): "over", (1, 1.0): "left of", (1, -1.0): "right of"}
    return JointShown(
        joint.id,
        joint.kind,
        joint.parts,
        tuple(f"{joint.parts[0]}: the stick lies {where[m.axis, m.side]} it, 2 lines" for m in met),
        tuple(f"{m.bar.id}: x = {m.span[0]:.1f} to {m.span[1]:.1f} mm" for m in met),
        joint.glued,
        {
            "gap_mm": round(one.gap, 2),
            "from_x_mm": round(one.span[0], 1),
            "to_x_mm": round(one.span[1], 1),
            "mass_g": joint.mass_g,
        },
    )
