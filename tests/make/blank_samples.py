"""Blanks with folds that lie askew, near together and in fans; dimensions invented.

Made from planes in space (`unfold`), so that their flat lines come from geometry and not from a table.
"""

from __future__ import annotations

from dataclasses import replace
from math import cos, pi, radians, sin

import numpy as np

from foldwright.airframe.mirror import mirror_blank
from foldwright.base.types import FloatArray
from foldwright.geometry.facets import ring_normal
from foldwright.geometry.fold.flat import SpaceFold, SpacePanel, unfold
from foldwright.geometry.fold.model import Blank, Mark, Method

T = 5.0


def _panel(name: str, *corners: tuple[float, float, float], inner: bool = False) -> SpacePanel:
    """A panel by its outer (or inner) face's corners, counter-clockwise seen from outside."""
    points = np.array(corners)
    normal = ring_normal(points)
    normal = normal / np.linalg.norm(normal)
    return SpacePanel(name, normal, float(normal @ points[0]) - (0.0 if inner else T), points)


def rolled(method: Method = "crush", facets: int = 8, radius: float = 38.0, length: float = 180.0) -> Blank:
    """A deck arched from side to side in facets: fold lines some 15 mm apart, alike."""
    turn = [pi * k / facets for k in range(facets + 1)]
    ring = [(radius * cos(a), radius * sin(a)) for a in turn]
    panels = tuple(
        _panel(
            f"facet-{k + 1}",
            (0.0, *ring[k]),
            (0.0, *ring[k + 1]),
            (length, *ring[k + 1]),
            (length, *ring[k]),
        )
        for k in range(facets)
    )
    folds = tuple(
        SpaceFold(f"bend-{k + 1}", f"facet-{k + 1}", f"facet-{k + 2}", 1, 3, method, "a", 4.0, order=k)
        for k in range(facets - 1)
    )
    return unfold("body/deck", T, panels, folds, np.array([1.0, 0.0, 0.0]))


def vee(dihedral_deg: float = 35.0, method: Method = "groove") -> Blank:
    """A tapered, swept V in one blank, folded at the centre line; the hinge paper is the lower one."""
    c, s = cos(radians(dihedral_deg)), sin(radians(dihedral_deg))
    tip = 150.0
    right = _panel(
        "right", (0.0, 0.0, 0.0), (100.0, 0.0, 0.0), (95.0, tip * c, tip * s), (30.0, tip * c, tip * s),
        inner=True,
    )  # fmt: skip
    left = _panel(
        "left", (0.0, 0.0, 0.0), (30.0, -tip * c, tip * s), (95.0, -tip * c, tip * s), (100.0, 0.0, 0.0),
        inner=True,
    )  # fmt: skip
    fold = SpaceFold("centre", "right", "left", 0, 3, method, "b", 4.0)
    blank = unfold("vee/main", T, (right, left), (fold,), np.array([1.0, 0.0, 0.0]))
    panel = blank.panel("right").polygon
    middle = panel.mean(axis=0)
    line = np.stack([middle - np.array([12.0, 3.0]), middle + np.array([14.0, 5.0])])
    return replace(blank, marks=(Mark("spar", "right", "b", line), Mark("horn", "right", "a", middle[None])))


def skew(method: Method = "groove") -> Blank:
    """A tapered panel with two bends, neither square to anything nor parallel, one to either face."""
    down, more = radians(9.0), radians(7.0)
    # lines on the flat part: ridge from (45, 0) to (70, 260), second from (90, 0) to (100, 260)
    aft = _panel("aft", (90.0, 0.0, 0.0), (180.0, 0.0, 0.0), (150.0, 260.0, 0.0), (100.0, 260.0, 0.0))
    middle = _turned("middle", [(45.0, 0.0), (90.0, 0.0), (100.0, 260.0), (70.0, 260.0)], (1, 2), down, None)
    front = _turned("front", [(0.0, 0.0), (45.0, 0.0), (70.0, 260.0), (40.0, 260.0)], (1, 2), more, middle)
    folds = (
        SpaceFold("second", "aft", "middle", 3, 1, method, "a", 4.0, order=1),
        SpaceFold("ridge", "middle", "front", 3, 1, method, "a", 4.0, order=0),
    )
    return unfold("wing/right", T, (aft, middle, front), folds, np.array([0.0, 1.0, 0.0]))


def _turned(
    name: str, flat: list[tuple[float, float]], edge: tuple[int, int], angle: float, after: SpacePanel | None
) -> SpacePanel:
    """A panel drawn level, then turned down by `angle` about one of its edges; after: about that of a panel
    that is turned already, whose outer face it hangs on.
    """
    points = np.array([(x, y, 0.0) for x, y in flat])
    if after is not None:
        # the level drawing of `after` mapped on to where it went
        points = _follow(points, after)
    p, q = points[edge[0]], points[edge[1]]
    turned = p + (points - p) @ _rotation(q - p, angle).T
    if turned[0][2] > p[2]:
        turned = p + (points - p) @ _rotation(q - p, -angle).T
    return _panel(name, *[(float(x), float(y), float(z)) for x, y, z in turned])


def _follow(points: FloatArray, after: SpacePanel) -> FloatArray:
    """Level points moved as the panel `after` was: its edge from corner 1 to corner 2 stayed."""
    p, q = after.corners[1], after.corners[2]
    axis = np.array([q[0] - p[0], q[1] - p[1], 0.0])
    tilt = float(np.arccos(np.clip(after.normal[2], -1.0, 1.0)))
    return min(
        (p + (points - p) @ _rotation(axis, sign * tilt).T for sign in (1.0, -1.0)),
        key=lambda moved: float(np.abs((moved - after.corners[0]) @ after.normal)[[1, 2]].max()),
    )


def _rotation(axis: FloatArray, angle: float) -> FloatArray:
    """Right-handed rotation (3, 3), Rodrigues."""
    k = axis / np.linalg.norm(axis)
    cross = np.array([[0.0, -k[2], k[1]], [k[2], 0.0, -k[0]], [-k[1], k[0], 0.0]])
    result: FloatArray = np.eye(3) + sin(angle) * cross + (1.0 - cos(angle)) * (cross @ cross)
    return result


def askew(method: Method = "groove") -> tuple[Blank, ...]:
    """All of them, the skew one with its mirror."""
    one = skew(method)
    return (rolled(method), vee(method=method), one, mirror_blank(one, "wing/left"))
