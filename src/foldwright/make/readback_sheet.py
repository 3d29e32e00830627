"""A sheet's DXF files taken apart again: which lines and words belong to which blank, in the blank's frame
[mm].
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from math import cos, radians, sin

import numpy as np
import shapely

from foldwright.base.types import FloatArray
from foldwright.geometry.fold.model import Face
from foldwright.layout.as_cut import signed_area, straightened
from foldwright.make.drawing import Path, Pen, Text
from foldwright.make.layout_toml import SheetRow, Spot


@dataclass(frozen=True, slots=True, eq=False)
class ReadLine:
    """An open or closed line on one face of a blank."""

    pen: Pen
    face: Face
    points: FloatArray
    closed: bool


@dataclass(frozen=True, slots=True, eq=False)
class ReadWords:
    """Words on one face: the place of their baseline, the direction of writing."""

    face: Face
    at: FloatArray
    along: FloatArray
    words: str


@dataclass(frozen=True, slots=True, eq=False)
class ReadPart:
    """What a sheet says of one copy of a blank, kerf still on: rings counter-clockwise, outer first."""

    name: str
    copy: int
    rings: tuple[FloatArray, ...]
    slits: tuple[FloatArray, ...]
    lines: tuple[ReadLine, ...]
    words: tuple[ReadWords, ...]


@dataclass(slots=True)
class _Ground:
    """An outer ring on the sheet and what lies on it."""

    outer: FloatArray
    shape: shapely.Polygon
    holes: list[FloatArray] = field(default_factory=list)
    slits: list[FloatArray] = field(default_factory=list)
    paths: list[tuple[Path, FloatArray]] = field(default_factory=list)
    texts: list[tuple[Text, FloatArray, FloatArray]] = field(default_factory=list)


@dataclass(frozen=True, slots=True)
class Taken:
    """A sheet taken apart.

    parts: one for each label found. loose: outer rings without a label (registration holes): middle and
    radius. stray: lines and labels that lie on no blank, in words.
    """

    parts: tuple[ReadPart, ...]
    loose: tuple[tuple[float, float, float], ...]
    stray: tuple[str, ...]


def take_apart(
    row: SheetRow, up: Sequence[Path | Text], down: Sequence[Path | Text], names: Mapping[str, int]
) -> Taken:
    """Take a sheet apart.

    up, down: what its two DXF files hold. names: copies of each blank over all sheets, by name.
    """
    grounds = _grounds([i for i in up if isinstance(i, Path) and i.pen == "cut"])
    stray: list[str] = []
    loose_rings: list[FloatArray] = []
    for items, below in ((up, False), (down, True)):
        for item in items:
            if isinstance(item, Path) and item.pen in {"to_paper", "crush", "mark"} and item.face:
                points = _up_view(item.points, row, below=below)
                _give_path(grounds, item, points, stray)
            elif isinstance(item, Text) and item.face:
                _give_text(grounds, item, row, below=below)
    parts: list[ReadPart] = []
    for ground in grounds:
        part, problem = _named(ground, row, names)
        if part is not None:
            parts.append(part)
        elif problem:
            stray.append(problem)
        else:
            loose_rings.append(ground.outer)
    return Taken(tuple(parts), tuple(_circle(ring) for ring in loose_rings), tuple(stray))


def _circle(ring: FloatArray) -> tuple[float, float, float]:
    middle = ring.mean(axis=0)
    return float(middle[0]), float(middle[1]), float(np.hypot(*(ring - middle).T).max())


def circles(items: Sequence[Path | Text], row: SheetRow, *, below: bool) -> list[tuple[float, float, float]]:
    """Closed cuts of a file as middle and radius in the view from above."""
    return [
        _circle(_up_view(item.points, row, below=below))
        for item in items
        if isinstance(item, Path) and item.pen == "cut" and item.closed
    ]


def _up_view(points: Sequence[tuple[float, float]], row: SheetRow, *, below: bool) -> FloatArray:
    array = np.array(points, dtype=np.float64).reshape(-1, 2)
    return array * np.array([1.0, -1.0]) + np.array([0.0, row.height]) if below else array


def _grounds(cuts: Sequence[Path]) -> list[_Ground]:
    """Closed cuts by how deep they lie in one another: even ones are outlines, odd ones holes in them."""
    rings = [np.array(path.points) for path in cuts if path.closed and len(path.points) > 2]
    shapes = [shapely.Polygon(ring) for ring in rings]
    inside = [
        [k for k, other in enumerate(shapes) if k != i and other.area > shape.area and _within(shape, other)]
        for i, shape in enumerate(shapes)
    ]
    grounds = {i: _Ground(rings[i], shapes[i]) for i in range(len(rings)) if len(inside[i]) % 2 == 0}
    for i, around in enumerate(inside):
        if len(around) % 2 == 1:
            owner = min(around, key=lambda k: shapes[k].area)
            grounds[owner].holes.append(rings[i])
    for path in cuts:
        if not path.closed:
            points = np.array(path.points)
            owners = _owners(list(grounds.values()), points.mean(axis=0))
            if owners:
                owners[0].slits.append(points)
    return list(grounds.values())


def _within(shape: shapely.Polygon, other: shapely.Polygon) -> bool:
    point = shape.representative_point()
    return bool(other.contains(point))


def _owners(grounds: Sequence[_Ground], point: FloatArray) -> list[_Ground]:
    """Outlines around a point, the smallest first."""
    spot = shapely.Point(point)
    return sorted((g for g in grounds if g.shape.distance(spot) < 1e-6), key=lambda g: g.shape.area)


def _give_path(grounds: Sequence[_Ground], path: Path, points: FloatArray, stray: list[str]) -> None:
    middle = points[:2].mean(axis=0) if len(points) > 1 else points[0]
    owners = _owners(grounds, middle)
    if owners:
        owners[0].paths.append((path, points))
    else:
        stray.append(f"a {path.pen} line on face {path.face} near ({middle[0]:.1f}, {middle[1]:.1f})")


def _give_text(grounds: Sequence[_Ground], text: Text, row: SheetRow, *, below: bool) -> None:
    angle = radians(text.angle_deg)
    along = np.array([cos(angle), sin(angle)])
    # the middle of the letters: half their height above the baseline
    middle = np.array(text.at) + 0.5 * text.height_mm * np.array([-along[1], along[0]])
    at = _up_view([(float(middle[0]), float(middle[1]))], row, below=below)[0]
    owners = _owners(grounds, at)
    if owners:
        owners[0].texts.append((text, at, along * np.array([1.0, -1.0 if below else 1.0])))


def _named(ground: _Ground, row: SheetRow, names: Mapping[str, int]) -> tuple[ReadPart | None, str]:
    """The part a ground is, by its label and the layout; or what is wrong with it."""
    labels = [found for text, _, _ in ground.texts if (found := _label(text.text, names)) is not None]
    if not labels:
        if ground.paths or ground.holes:
            x, y = ground.outer.mean(axis=0)
            return None, f"an outline without a name near ({x:.1f}, {y:.1f})"
        return None, ""
    if len(set(labels)) > 1:
        return None, f"an outline with several names: {', '.join(n for n, _ in sorted(set(labels)))}"
    name, copy = labels[0]
    spot = next((s for s in row.spots if (s.name, s.copy) == (name, copy)), None)
    if spot is None:
        return None, f"{name} #{copy} is not in the layout of {row.name}"
    return _in_blank(ground, row, spot), ""


def _label(words: str, names: Mapping[str, int]) -> tuple[str, int] | None:
    name, _, number = words.partition(" #")
    if name not in names:
        return None
    if not number:
        return (name, 1) if names[name] == 1 else None
    return (name, int(number)) if number.isdigit() else None


def _in_blank(ground: _Ground, row: SheetRow, spot: Spot) -> ReadPart:
    origin = np.array([row.from_x, row.from_y])

    def to(points: FloatArray) -> FloatArray:
        return spot.to_blank(points + origin)

    def direction(along: FloatArray) -> FloatArray:
        ends = to(np.stack([np.zeros(2), along]))
        turned: FloatArray = ends[1] - ends[0]
        return turned

    rings = tuple(_ccw(to(ring)) for ring in (ground.outer, *ground.holes))
    lines = tuple(
        ReadLine(path.pen, path.face, to(points), path.closed) for path, points in ground.paths if path.face
    )
    words = tuple(
        ReadWords(text.face, to(at[None])[0], direction(along), text.text)
        for text, at, along in ground.texts
        if text.face
    )
    return ReadPart(spot.name, spot.copy, rings, tuple(to(slit) for slit in ground.slits), lines, words)


def _ccw(ring: FloatArray) -> FloatArray:
    return straightened(ring if signed_area(ring) > 0.0 else ring[::-1])
