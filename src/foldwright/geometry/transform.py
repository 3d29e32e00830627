"""Rigid transforms as 4x4 matrices, mm.

Single transforms are worked out in plain floats: for nine numbers that is several times faster than
array arithmetic.
"""

from __future__ import annotations

from math import cos, hypot, sin

import numpy as np

from foldwright.base.types import FloatArray


def shift(x: float, y: float, z: float) -> FloatArray:
    """Translation by (x, y, z) mm."""
    return np.array([[1.0, 0.0, 0.0, x], [0.0, 1.0, 0.0, y], [0.0, 0.0, 1.0, z], [0.0, 0.0, 0.0, 1.0]])


def turn(point: FloatArray, axis: FloatArray, angle: float) -> FloatArray:
    """Right-hand rotation by `angle` rad about the line through `point` along `axis` (need not be unit).

    Rodrigues' formula; see any text on rigid motion, e.g. Goldstein, Classical Mechanics, ch. 4.
    """
    ax, ay, az = axis.tolist()
    px, py, pz = point.tolist()
    length = hypot(ax, ay, az)
    x, y, z = ax / length, ay / length, az / length
    s, c = sin(angle), cos(angle)
    d = 1.0 - c
    rows = (
        (c + d * x * x, d * x * y - s * z, d * x * z + s * y),
        (d * y * x + s * z, c + d * y * y, d * y * z - s * x),
        (d * z * x - s * y, d * z * y + s * x, c + d * z * z),
    )
    home = (px, py, pz)
    return np.array([
        *((a, b, e, own - a * px - b * py - e * pz) for (a, b, e), own in zip(rows, home, strict=True)),
        (0.0, 0.0, 0.0, 1.0),
    ])  # fmt: skip


def cross(one: FloatArray, other: FloatArray) -> FloatArray:
    """Vector product of two vectors (3,)."""
    ax, ay, az = one.tolist()
    bx, by, bz = other.tolist()
    return np.array([ay * bz - az * by, az * bx - ax * bz, ax * by - ay * bx])


def frame(origin: FloatArray, u: FloatArray, normal: FloatArray) -> FloatArray:
    """Right-handed frame: local x along `u`, local z along `normal`, local origin at `origin`.

    `u` is made square to `normal`; both are normalised.
    """
    z = normal / np.linalg.norm(normal)
    x = u - (u @ z) * z
    x = x / np.linalg.norm(x)
    matrix = np.eye(4)
    matrix[:3, 0], matrix[:3, 1], matrix[:3, 2], matrix[:3, 3] = x, cross(z, x), z, origin
    return matrix


def inverse(matrix: FloatArray) -> FloatArray:
    """Inverse of a rigid transform (transpose of the rotation)."""
    result = np.eye(4)
    rotation = matrix[:3, :3]
    result[:3, :3] = rotation.T
    result[:3, 3] = -rotation.T @ matrix[:3, 3]
    return result


def apply(matrix: FloatArray, points: FloatArray) -> FloatArray:
    """Transform points (..., 3)."""
    moved: FloatArray = points @ matrix[:3, :3].T + matrix[:3, 3]
    return moved
