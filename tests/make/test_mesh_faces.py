"""Flat faces, round holes and the middle of meshes, against solids whose figures are known."""

from __future__ import annotations

from math import cos, radians, sin

import numpy as np
import pytest

from foldwright.geometry.solid.check import mesh_of
from foldwright.geometry.solid.core import box, rod
from foldwright.make.mesh_faces import flats, holes, section_frame
from foldwright.make.readback_dummies import centroid, pockets
from foldwright.make.readback_mounts import motor_face, motor_way, thrust_line

THRUST = {"point_mm": [-30.0, 0.0, 5.0], "tilt_deg": -3.0, "side_deg": 2.0, "mirrored": False}


def test_faces_of_a_block() -> None:
    found = flats(mesh_of(box((0, 0, 0), (20, 10, 5))), 1.0)
    assert [round(one.area) for one in found] == [200, 200, 100, 100, 50, 50]
    assert sorted(tuple(np.round(one.normal).astype(int)) for one in found) == sorted(
        [(1, 0, 0), (-1, 0, 0), (0, 1, 0), (0, -1, 0), (0, 0, 1), (0, 0, -1)]
    )


def test_holes_where_they_are() -> None:
    plate = box((0, 0, 0), (40, 30, 4)) - rod((10, 8, -1), (10, 8, 9), 3.3)
    section = section_frame(np.array([0.0, 0.0, 2.0]), np.array([0.0, 0.0, 1.0]), np.array([0.0, 1.0, 0.0]))
    (hole,) = holes(mesh_of(plate), section)
    assert (hole.x, hole.y) == pytest.approx((10.0, 8.0), abs=1e-4)
    # 48 sides: their middles lie 0.0035 mm inside the circle
    assert hole.diameter == pytest.approx(3.3, abs=5e-3)


def test_a_square_hole_is_none() -> None:
    plate = box((0, 0, 0), (40, 30, 4)) - box((10, 10, -1), (14, 14, 9))
    section = section_frame(np.array([0.0, 0.0, 2.0]), np.array([0.0, 0.0, 1.0]), np.array([0.0, 1.0, 0.0]))
    assert holes(mesh_of(plate), section) == []


def test_middle_of_a_step() -> None:
    """Two blocks of 1000 and 500 mm³: (1000·5 + 500·15)/1500 = 8.333 along x."""
    made = box((0, 0, 0), (10, 10, 10)) + box((10, 0, 0), (20, 10, 5))
    assert centroid(mesh_of(made)) == pytest.approx((8.3333, 5.0, (1000 * 5 + 500 * 2.5) / 1500), abs=1e-3)


def test_the_thrust_points_forward_down_and_right() -> None:
    point, vector = thrust_line(THRUST, "mount")
    assert point.tolist() == [-30.0, 0.0, 5.0]
    t, s = radians(-3.0), radians(2.0)
    assert vector == pytest.approx((-cos(t) * cos(s), sin(s), sin(t) * cos(s)))
    assert vector[0] < 0.0 < vector[1]
    assert vector[2] < 0.0


def test_the_left_motor_of_a_pair_mirrors_the_right() -> None:
    pair = {**THRUST, "mirrored": True, "point_mm": [-30.0, 120.0, 5.0]}
    right, left = thrust_line(pair, "mount/right"), thrust_line(pair, "mount/left")
    flip = np.array([1.0, -1.0, 1.0])
    assert left[0] == pytest.approx(right[0] * flip)
    assert left[1] == pytest.approx(right[1] * flip)


@pytest.mark.parametrize(("behind", "sign"), [(True, 1.0), (False, -1.0)])
def test_which_way_the_propeller_is(behind: bool, sign: float) -> None:
    """A mount behind the propeller looks along the thrust, one ahead of it (a pusher) against it."""
    thrust = thrust_line({**THRUST, "side_deg": 0.0, "tilt_deg": 0.0}, "mount")
    middle = np.array([0.0 if behind else -60.0, 0.0, 5.0])
    assert motor_way(thrust, middle) == pytest.approx(sign * thrust[1])


def test_the_motor_face_is_the_outermost_that_looks_there() -> None:
    mount = box((0, -15, -15), (10, 15, 15)) + box((-6, -10, -10), (0, 10, 10))
    face = motor_face(flats(mesh_of(mount), 40.0), np.array([-1.0, 0.0, 0.0]))
    assert face is not None
    assert face.middle[0] == pytest.approx(-6.0)


def test_pockets_of_nuts() -> None:
    block = box((0, 0, 0), (60, 40, 30))
    for x in (15.0, 45.0):
        block = block - rod((x, 20, 10), (x, 20, 40), 8.3 / cos(radians(30)), 6)
    found = pockets(mesh_of(block), 8.0)
    assert sorted(round(float(one.middle[0])) for one in found) == [15, 45]
    assert [round(float(one.middle[2])) for one in found] == [10, 10]
