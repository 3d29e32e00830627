"""What of the aeroplane stands in a camera's picture: rays from the lens against every board and disc."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

import numpy as np
import shapely

from foldwright.airframe.model import Thrust
from foldwright.base.types import FloatArray
from foldwright.design.equipment import Look
from foldwright.geometry.fold.rings import solid_ring
from foldwright.geometry.transform import apply, inverse
from foldwright.review.subject import Subject

RAYS = (31, 23)
"""Rays across and up: one is about 0.14 % of the picture."""
NEAR_MM = 1.0
"""Nearer to the lens nothing counts: the hole that the lens looks through."""


def hidden(subject: Subject, look: Look) -> tuple[float, str]:
    """Share (0-1) of a camera's picture that is hidden, and what hides most of it.

    The picture is sampled evenly in its plane; the propeller's disc counts as if it stood still everywhere.
    """
    lens, rays = np.array(look.lens_mm), directions(look)
    nearest, owner = np.full(len(rays), np.inf), np.zeros(len(rays), dtype=np.int64)
    names: list[str] = ["nothing"]
    for name, distance in _hits(subject, lens, rays):
        names.append(name)
        closer = distance < nearest
        nearest, owner = np.where(closer, distance, nearest), np.where(closer, len(names) - 1, owner)
    seen = owner[np.isfinite(nearest)]
    if not len(seen):
        return 0.0, ""
    most = Counter(names[int(index)] for index in seen)
    return len(seen) / len(rays), max(sorted(most), key=lambda name: most[name])


def directions(look: Look) -> FloatArray:
    """Unit vectors (n, 3) through the picture; forward is -x, right of a camera that looks forward is +y."""
    across, up = (
        np.tan(np.radians(angle) / 2.0) * np.linspace(-1.0, 1.0, count)
        for angle, count in ((look.wide_deg, RAYS[0]), (look.high_deg, RAYS[1]))
    )
    side, rise = np.meshgrid(across, up, indexing="ij")
    flat = np.column_stack([np.ones(side.size), side.ravel(), rise.ravel()])  # ahead, right, up
    down, turn = np.radians(look.down_deg), np.radians(look.side_deg)
    ahead = flat[:, 0] * np.cos(down) + flat[:, 2] * np.sin(down)
    height = flat[:, 2] * np.cos(down) - flat[:, 0] * np.sin(down)
    forward = ahead * np.cos(turn) - flat[:, 1] * np.sin(turn)
    right = ahead * np.sin(turn) + flat[:, 1] * np.cos(turn)
    rays = np.column_stack([-forward, right, height])
    return np.asarray(rays / np.linalg.norm(rays, axis=1)[:, None])


def _hits(subject: Subject, lens: FloatArray, rays: FloatArray) -> Iterator[tuple[str, FloatArray]]:
    """Distance (n,) along every ray to each board's two faces and each disc, infinite where it misses."""
    for one in subject.airframe.placed:
        for panel in one.blank.panels:
            matrix = one.transforms[panel.name]
            back = inverse(matrix)
            start, way = apply(back, lens[None])[0], rays @ back[:3, :3].T
            for height, cut in ((0.0, 0.0), (one.blank.thickness, 1.0)):
                ring = shapely.Polygon(solid_ring(panel, cut), list(panel.holes))
                yield f"{one.blank.name} {panel.name}", _meets(start, way, height, ring)
    line = subject.airframe.thrust
    for sign in (1.0, -1.0) if line.mirrored else (1.0,):
        yield "propeller", _disc(line, sign, lens, rays)


def _meets(start: FloatArray, way: FloatArray, height: float, ring: shapely.Polygon) -> FloatArray:
    with np.errstate(divide="ignore", invalid="ignore"):
        along = (height - start[2]) / way[:, 2]
    good = np.isfinite(along) & (along > NEAR_MM)
    distance = np.full(len(way), np.inf)
    if good.any():
        at = start[:2] + along[good, None] * way[good, :2]
        inside = shapely.contains_xy(ring, at[:, 0], at[:, 1])
        distance[np.flatnonzero(good)[inside]] = along[good][inside]
    return distance


def _disc(line: Thrust, sign: float, lens: FloatArray, rays: FloatArray) -> FloatArray:
    """Distance to the propeller's disc, square to the thrust line."""
    axis = np.array([-np.cos(line.tilt), 0.0, np.sin(line.tilt)])
    centre = np.array([line.x, sign * line.y, line.z])
    with np.errstate(divide="ignore", invalid="ignore"):
        along = ((centre - lens) @ axis) / (rays @ axis)
    at = lens + np.where(np.isfinite(along), along, 0.0)[:, None] * rays
    inside = (np.linalg.norm(at - centre, axis=1) <= line.disc_diameter_mm / 2.0) & (along > NEAR_MM)
    return np.where(inside & np.isfinite(along), along, np.inf)
