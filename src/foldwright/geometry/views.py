"""Orthographic cameras: from points in the aeroplane's frame to the picture's frame, all in mm.

Frame of the aeroplane: x aft from the nose datum, y to the right wing, z up. Frame of a picture: x to the
right, y up, z towards the eye, so the greater z of two points that coincide on paper is the one that is seen.
Scale is always 1:1.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import cos, radians, sin
from typing import TYPE_CHECKING, Literal

import numpy as np

if TYPE_CHECKING:
    from foldwright.base.types import FloatArray

Vector = tuple[float, float, float]

_PARALLEL = 1e-9


@dataclass(frozen=True, slots=True)
class View:
    """An orthographic camera.

    towards_eye: direction from the scene to the eye; any length above zero.
    up: direction that points up on paper; it is squared to `towards_eye`.
    Raises ValueError where the two are parallel or one has no length.
    """

    towards_eye: Vector
    up: Vector

    def __post_init__(self) -> None:
        """Refuse a camera that has no direction or no upright."""
        across = np.linalg.norm(np.cross(self.up, self.towards_eye))
        if across <= _PARALLEL * np.linalg.norm(self.up) * np.linalg.norm(self.towards_eye):
            raise ValueError("a view needs an upright that is not parallel to the direction of the eye")

    @property
    def axes(self) -> FloatArray:
        """Rotation 3 x 3 with determinant +1: rows are the picture's right, up and towards-the-eye axes."""
        toward = np.asarray(self.towards_eye, dtype=np.float64)
        toward = toward / np.linalg.norm(toward)
        right = np.cross(np.asarray(self.up, dtype=np.float64), toward)
        right = right / np.linalg.norm(right)
        return np.stack([right, np.cross(toward, right), toward])

    def project(self, points: FloatArray) -> FloatArray:
        """Points (..., 3) in mm seen by this camera: (..., 3), right, up and height towards the eye in mm."""
        seen: FloatArray = np.asarray(points, dtype=np.float64) @ self.axes.T
        return seen


def three_quarter(
    side: Literal["left", "right"] = "left", azimuth_deg: float = 40.0, elevation_deg: float = 30.0
) -> View:
    """Seen from ahead, above and the named side of the aeroplane (the pilot's left or right).

    azimuth_deg: how far the eye stands to that side of straight ahead, 0 to 180; beyond 90 it is behind.
    elevation_deg: how far the eye stands above the horizon, -90 to 90; below zero it looks at the underside.
    On paper z points up; from the left the nose is at the left, from the right at the right (below 180).
    """
    azimuth, elevation = radians(azimuth_deg), radians(elevation_deg)
    beside = -1.0 if side == "left" else 1.0
    eye = (
        -cos(elevation) * cos(azimuth),
        beside * cos(elevation) * sin(azimuth),
        sin(elevation),
    )
    return View(eye, (0.0, 0.0, 1.0))


def top() -> View:
    """Seen from above (eye at +z); the nose points up on paper, the right wing lies to the right."""
    return View((0.0, 0.0, 1.0), (-1.0, 0.0, 0.0))


def bottom() -> View:
    """Seen from below (eye at -z); the nose points up on paper, the right wing lies to the left."""
    return View((0.0, 0.0, -1.0), (-1.0, 0.0, 0.0))


def side(seen_from: Literal["left", "right"] = "left") -> View:
    """Seen from the named side, by default the left (eye at -y): z up on paper and the nose at the left.

    From the right (eye at +y) the nose is at the right.
    """
    return View((0.0, -1.0 if seen_from == "left" else 1.0, 0.0), (0.0, 0.0, 1.0))


def front() -> View:
    """Seen from ahead (eye at -x): z up on paper, the right wing at the left."""
    return View((-1.0, 0.0, 0.0), (0.0, 0.0, 1.0))


def rear() -> View:
    """Seen from behind (eye at +x): z up on paper, the right wing at the right."""
    return View((1.0, 0.0, 0.0), (0.0, 0.0, 1.0))
