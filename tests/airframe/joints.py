"""Parts made by hand for the tests of joints: single boards anywhere, and what two parts have in common."""

from __future__ import annotations

from dataclasses import replace
from math import radians

import numpy as np

from foldwright.airframe.bench import Bench, Bought
from foldwright.airframe.mirror import mirror_blank
from foldwright.airframe.model import PartBuild
from foldwright.base.types import FloatArray
from foldwright.geometry.fold.flat import transforms
from foldwright.geometry.fold.model import SQUARE, Blank, Panel
from foldwright.geometry.transform import apply, frame, turn
from tests.airframe.parts import board
from tests.airframe.solids import OVERLAP, solids

X, Y, Z = np.eye(3)
T = 5.0


def sheet(part: str, ring: FloatArray, placement: FloatArray, blank: str = "main", t: float = T) -> PartBuild:
    """A part of one flat board; ring (n, 2) counter-clockwise seen from face A."""
    panel = Panel("plate", np.asarray(ring, dtype=np.float64), (SQUARE,) * len(ring))
    return PartBuild(part, (Blank(f"{part}/{blank}", t, (panel,), (), "plate", placement),))


def level(
    part: str = "tail", x0: float = 0.0, x1: float = 120.0, y: float = 150.0, z: float = 0.0, t: float = T
) -> PartBuild:
    """A level board from x0 to x1 and -y to y, its under face at z."""
    ring = np.array([(x0, -y), (x1, -y), (x1, y), (x0, y)])
    return sheet(part, ring, frame(np.array([0.0, 0.0, z]), X, Z), t=t)


def tilted(build: PartBuild, about_x: float, about_y: float, about_z: float = 0.0) -> PartBuild:
    """The part turned about x, then y, then z through the origin, degrees."""
    move = np.eye(4)
    for axis, angle in ((X, about_x), (Y, about_y), (Z, about_z)):
        move = turn(np.zeros(3), axis, radians(angle)) @ move
    return replace(
        build, blanks=tuple(replace(blank, placement=move @ blank.placement) for blank in build.blanks)
    )


def standing(
    x: float = 20.0,
    y: float = 0.0,
    z: float = 8.0,
    lean: float = 0.0,
    under: bool = False,
    root: float = 80.0,
    high: float = 60.0,
    t: float = T,
    part: str = "fin",
) -> PartBuild:
    """A fin whose root begins at x, its board's middle at y, its top leaning right by `lean` degrees.

    under: it hangs down instead; then its lower end leans right.
    """
    up = -1.0 if under else 1.0
    tip = np.array([0.0, np.sin(radians(lean)), up * np.cos(radians(lean))])
    normal = np.cross(X, tip)
    ring = np.array([(0.0, 0.0), (root, 0.0), (root, high), (0.3 * root, high)])
    origin = np.array([x, y, z]) - normal * t / 2.0
    return sheet(part, ring, frame(origin, X, normal), t=t)


def sideways(x: float, y: float, z: float, right: bool, root: float = 60.0, out: float = 80.0) -> PartBuild:
    """A level board whose root edge faces the centre line, its middle at height z."""
    way = Y if right else -Y
    normal = np.cross(X, way)
    ring = np.array([(0.0, 0.0), (root, 0.0), (root, out), (0.0, out)])
    origin = np.array([x, y, z]) - normal * T / 2.0
    return sheet("canard", ring, frame(origin, X, normal))


def shared(one: PartBuild, other: PartBuild) -> float:
    """Volume that the boards of two parts have in common, mm³; what is below the limit of statement is 0."""
    volumes = [(a ^ b).volume() for a in solids(one).values() for b in solids(other).values()]
    return float(sum(volume for volume in volumes if volume > OVERLAP))


def corners(build: PartBuild, w: float | None = None) -> FloatArray:
    """All corners of a part's boards, folded, on both faces or at depth w, (n, 3) mm."""
    found = []
    for blank in build.blanks:
        places = transforms(blank)
        for panel in blank.panels:
            for depth in (0.0, blank.thickness) if w is None else (w,):
                flat = np.column_stack([panel.polygon, np.full(len(panel.polygon), depth)])
                found.append(apply(places[panel.name], flat))
    return np.concatenate(found)


def bench(owner: str = "", bought: Bought | None = None, t: float = T) -> Bench:
    """A bench with one bought stick or dowel."""
    return Bench(board(t), () if bought is None else ((owner, bought),), 0.0)


def halves(
    x: float = 60.0,
    z: float = 15.0,
    chord: float = 100.0,
    tip: float = 70.0,
    aft: float = 0.0,
    rise: float = 0.0,
    half: float = 250.0,
    incidence: float = 0.0,
) -> PartBuild:
    """A single-board wing in two halves, tapered, its tips `aft` mm back, rising by `rise` degrees."""
    ring = np.array([(0.0, 0.0), (chord, 0.0), (aft + tip, half), (aft, half)])
    place = frame(np.array([x, 0.0, z]), X, Z)
    place = turn(np.array([x, 0.0, z]), X, radians(rise)) @ place
    place = turn(np.array([x, 0.0, z]), Y, radians(incidence)) @ place
    right = sheet("wing", ring, place, "right").blanks[0]
    return PartBuild("wing", (right, mirror_blank(right, "wing/left")))


def profile(
    ring: tuple[tuple[float, float], ...] = ((0.0, -30.0), (300.0, -30.0), (300.0, 40.0), (0.0, 40.0)),
) -> PartBuild:
    """A body of one upright sheet in the plane of symmetry; ring: x and z seen from the right."""
    return sheet("body", np.array(ring), frame(np.array([0.0, T / 2.0, 0.0]), X, -Y))
