"""Flat faces of a mesh, and pictures of solids: first principles; pictures were looked at."""

from __future__ import annotations

from itertools import pairwise
from math import cos, hypot, radians, sin

import numpy as np
import pytest
import shapely

from foldwright.geometry.solid import picture as pictures
from foldwright.geometry.solid.check import GRID, mesh_of
from foldwright.geometry.solid.core import Mesh, Solid, area_of, box, extrude, rod
from foldwright.geometry.solid.flat import flat_faces, twins
from foldwright.geometry.solid.letters import letters
from foldwright.geometry.solid.picture import SolidPicture, paper_size, solid_picture, view_of
from foldwright.geometry.solid.shape import hole, recess
from foldwright.geometry.views import View


def cube() -> Solid:
    return box((0, 0, 0), (10, 10, 10))


ABOVE = View((0.0, 0.0, 1.0), (0.0, 1.0, 0.0))
FRONT = View((0.0, -1.0, 0.0), (0.0, 0.0, 1.0))


def length(lines: tuple[pictures.Polyline, ...]) -> float:
    return sum(hypot(b[0] - a[0], b[1] - a[1]) for line in lines for a, b in pairwise(line))


def painted(shown: SolidPicture, x: float, y: float) -> float | None:
    """Shade of the last fill over a place."""
    at = shapely.Point(x, y)
    over = [f.shade for f in shown.fills if shapely.Polygon(f.rings[0], f.rings[1:]).contains(at)]
    return over[-1] if over else None


def test_a_cube_has_six_faces_and_a_hole_is_a_second_loop() -> None:
    faces = flat_faces(mesh_of(cube()))
    assert len(faces) == 6
    assert all(len(face.loops) == 1 and len(face.loops[0]) == 4 for face in faces)
    assert sum(face.normal for face in faces) == pytest.approx(np.zeros(3))
    pierced = mesh_of(hole(cube(), (5, 5, 0), 4, (0, 0, 1)))
    ends = [face for face in flat_faces(pierced) if abs(face.normal[2]) > 0.9]
    assert [len(face.loops) for face in ends] == [2, 2]
    for face in ends:
        rings = [pierced.vertices[list(loop), :2] for loop in face.loops]
        signed = [float(x @ np.roll(y, -1) - y @ np.roll(x, -1)) / 2 for x, y in (ring.T for ring in rings)]
        assert signed[0] * face.normal[2] == pytest.approx(100.0, rel=1e-6)
        assert signed[1] * face.normal[2] < 0.0


def test_faces_stay_whole_when_turned_and_open_meshes_are_refused() -> None:
    solid = recess(box((0, 0, 0), (60, 12, 3)), letters("ABE", 7, 0.9), 0.6).turned(0.3, 0.5, 0.7)
    mesh = mesh_of(solid, 1e-7)
    faces = flat_faces(mesh)
    areas = []
    for face in faces:
        total = np.zeros(3)
        for loop in face.loops:
            ring = mesh.vertices[list(loop)]
            total += np.cross(ring, np.roll(ring, -1, axis=0)).sum(axis=0) / 2
        areas.append(float(total @ face.normal))
    assert sum(areas) == pytest.approx(solid.area, rel=1e-6)
    assert max(areas) == pytest.approx(720.0, rel=1e-6)  # the underside, 60 × 12
    with pytest.raises(ValueError, match="do not close"):
        twins(mesh.faces[1:], len(mesh.vertices))


def test_a_cube_from_above_is_a_square() -> None:
    shown = solid_picture(mesh_of(cube()), ABOVE)
    assert (shown.width, shown.height) == pytest.approx((10, 10))
    assert length(shown.outlines) == pytest.approx(40, abs=0.1)
    assert length(shown.lines) == pytest.approx(0)
    assert len(shown.fills) == 1


def test_a_cube_from_a_corner_shows_nine_edges() -> None:
    view = View((1.0, -1.0, 1.0), (0.0, 0.0, 1.0))
    shown = solid_picture(mesh_of(cube()), view)
    edge = 10.0 * (2 / 3) ** 0.5  # an edge seen along the cube's diagonal
    assert length(shown.outlines) == pytest.approx(6 * edge, rel=0.01)
    assert length(shown.lines) == pytest.approx(3 * edge, rel=0.01)
    assert len(shown.fills) == 3
    half = solid_picture(mesh_of(cube()), view, 2.0)
    assert half.width == pytest.approx(shown.width / 2)
    assert length(half.outlines) == pytest.approx(3 * edge, rel=0.01)


def test_what_stands_before_hides() -> None:
    low, tall = box((0, 20, 0), (30, 30, 10)), box((10, 0, 0), (20, 5, 30))
    shown = solid_picture(mesh_of(low + tall), FRONT)
    # Tall block: 10 + 30 + 10 + 30. Low one behind it: all but the 10 mm hidden at top and bottom.
    assert length(shown.outlines) + length(shown.lines) == pytest.approx(80 + 20 + 40, abs=2.0)
    wall = cube() + box((-5, -10, 0), (15, -8, 20))
    assert length(solid_picture(mesh_of(wall), FRONT).outlines) == pytest.approx(80, abs=1.0)


def test_faces_are_painted_from_the_back() -> None:
    # A ring lies round a post: whichever is nearer is seen at every place.
    ring = extrude(area_of(shapely.Point(0, 0).buffer(20).difference(shapely.Point(0, 0).buffer(14))), 4.0)
    post = rod((0, 0, 0), (0, 0, 30), 8)
    solid = ring + post
    up = radians(40)
    view = View((0.0, -cos(up), sin(up)), (0.0, 0.0, 1.0))
    shown = solid_picture(mesh_of(solid), view)
    low = view.project(mesh_of(solid).vertices)[:, :2].min(axis=0)

    def at(x: float, y: float, z: float) -> float | None:
        return painted(shown, *(view.project(np.array([x, y, z]))[:2] - low).tolist())

    top = at(17, 0, 4)
    assert top == at(-17, 0, 4) == at(0, 0, 30) == at(0, -17, 4)
    # The post stands before the far side of the ring.
    front = at(0, -4, 22)
    assert front is not None
    assert front != top


def test_recessed_letters_show_their_outlines_only() -> None:
    area = letters("LT", 7, 0.9)
    plate = recess(box((-5, -5, 0), (95, 15, 3)), area, 0.6)
    shown = solid_picture(mesh_of(plate), View((0.0, -0.5, 1.0), (0.0, 1.0, 0.0)), 8.0)
    drawn = length(shown.lines) + length(shown.outlines)
    flat = solid_picture(mesh_of(box((-5, -5, 0), (95, 15, 3))), View((0.0, -0.5, 1.0), (0.0, 1.0, 0.0)), 8.0)
    more = drawn - length(flat.lines) - length(flat.outlines)
    assert 0.5 * area.length / 8.0 < more < 1.1 * area.length / 8.0


@pytest.mark.parametrize(
    ("size", "right"), [((100.0, 60.0, 30.0), 0), ((60.0, 100.0, 30.0), 1), ((90.0, 20.0, 2.0), 0)]
)
def test_the_long_side_lies_across_the_page(size: tuple[float, float, float], right: int) -> None:
    view = view_of(np.array(size))
    assert abs(view.axes[0, right]) > 0.8
    assert view.axes[2, 2] > sin(radians(30))
    flat = view_of(np.array([100.0, 60.0, 2.0]))
    assert flat.axes[2, 2] > view_of(np.array([100.0, 60.0, 50.0])).axes[2, 2]
    mesh = mesh_of(box((0, 0, 0), size))
    shown = solid_picture(mesh, view)
    assert paper_size(mesh, view) == pytest.approx((shown.width, shown.height))


def test_pictures_are_the_same_every_time() -> None:
    def make() -> SolidPicture:
        solid: Solid = recess(box((0, 0, 0), (60, 12, 3)), letters("ABE", 7, 0.9), 0.6)
        return solid_picture(mesh_of(solid, 1e-7), view_of(solid.size), 2.0)

    first = make()
    assert first == make()
    assert isinstance(mesh_of(cube()), Mesh)


@pytest.mark.parametrize("turn", [0.0, 0.123, 0.7])
def test_the_mesh_of_files_shows_what_a_finer_one_shows(turn: float) -> None:
    """Corners on a grid lie off the planes they are of; the picture allows for that."""
    solid = recess(box((0, 0, 0), (95, 22, 3)), letters("B control 6", 7, 0.9), 0.6).turned(z=turn)
    view = view_of(np.array([95.0, 22.0, 3.0]))
    fine = solid_picture(mesh_of(solid, 1e-7), view, 2.5)
    rough = solid_picture(mesh_of(solid, GRID), view, 2.5, GRID)
    for one, other in ((fine.lines, rough.lines), (fine.outlines, rough.outlines)):
        assert length(one) == pytest.approx(length(other), rel=2e-3)
        drawn = shapely.union_all([shapely.LineString(line) for line in other]).buffer(0.05)
        missing = shapely.union_all([shapely.LineString(line) for line in one]).difference(drawn)
        assert missing.length < 0.35  # no more than a sample of one square
    assert len(fine.fills) == pytest.approx(len(rough.fills), abs=2)


def test_a_ring_of_segments_is_one_closed_line_and_a_branch_ends_it() -> None:
    ring = solid_picture(mesh_of(rod((0, 0, 0), (0, 0, 5), 20)), ABOVE).outlines
    assert len(ring) == 1
    assert ring[0][0] == ring[0][-1]
    # Three edges meet in the middle of a cube seen from its corner, none goes through it.
    star = solid_picture(mesh_of(cube()), View((1.0, -1.0, 1.0), (0.0, 0.0, 1.0)))
    assert len(star.lines) == 3
    assert len(star.outlines) == 1
