"""Checks and the canonical order of triangles: first principles, and trimesh as an independent reader."""

from __future__ import annotations

from math import radians

import numpy as np
import pytest
import shapely
import trimesh
from hypothesis import given, settings
from hypothesis import strategies as st

from foldwright.geometry.solid.check import (
    canonical,
    closed,
    faults,
    mesh_area,
    mesh_of,
    mesh_volume,
    solid_of,
)
from foldwright.geometry.solid.core import Mesh, Solid, area_of, box, extrude, rod, union
from foldwright.geometry.solid.letters import letters
from foldwright.geometry.solid.shape import hole, recess
from tests.examples import examples


def cube() -> Solid:
    return box((0, 0, 0), (10, 10, 10))


def lettered() -> Solid:
    return recess(box((-3, -3, 0), (80, 12, 3)), letters("THIS SIDE UP", 7, 0.9), 0.6)


def turned() -> Solid:
    return hole(lettered(), (40, 11, 1), 1.5, (0.1, 0.2, 1)).turned(radians(13), radians(-7), radians(31))


def same(one: Mesh, other: Mesh) -> bool:
    return one.vertices.tobytes() == other.vertices.tobytes() and one.faces.tobytes() == other.faces.tobytes()


def test_good_solids_have_no_faults() -> None:
    for solid in (cube(), lettered(), turned()):
        assert faults(solid) == ()
    assert faults(cube() + cube().moved(x=20), bodies=2) == ()


def test_faults_in_words() -> None:
    assert faults(cube() - cube()) == ("it is empty",)
    assert faults(cube() + cube().moved(x=20)) == ("it has 2 bodies, 1 was meant",)
    assert faults(cube(), bodies=2) == ("it has 1 body, 2 were meant",)
    crumb = box((20, 0, 0), (20.5, 0.5, 0.5))
    assert faults(cube() + crumb) == (
        "it has 2 bodies, 1 was meant",
        "1 body of it under 1 mm³, the least 0.12 mm³",
    )
    edge = union([cube(), cube().moved(10, 10)])
    assert any("touches itself" in line for line in faults(edge, bodies=len(edge.bodies())))


@pytest.mark.parametrize("make", [cube, lettered, turned, lambda: rod((0, 0, 0), (3, 4, 5), 2)])
def test_meshes_are_watertight_and_keep_their_volume(make: object) -> None:
    assert callable(make)
    solid = make()
    mesh = mesh_of(solid)
    assert closed(mesh)
    other = trimesh.Trimesh(mesh.vertices, mesh.faces, process=False)
    assert other.is_watertight
    assert other.is_winding_consistent
    assert mesh_volume(mesh) == pytest.approx(float(other.volume), rel=1e-6)
    assert mesh_area(mesh) == pytest.approx(float(other.area), rel=1e-6)
    assert mesh_volume(mesh) == pytest.approx(solid.volume, abs=solid.area * 1e-4)
    assert solid_of(mesh).volume == pytest.approx(mesh_volume(mesh), rel=1e-6)
    fine = mesh_of(solid, 1e-7)
    assert mesh_volume(fine) == pytest.approx(solid.volume, rel=1e-6)


@pytest.mark.parametrize("seed", range(5))
def test_the_order_is_the_same_whatever_order_comes_in(seed: int) -> None:
    mesh = mesh_of(lettered())
    draw = np.random.default_rng(seed)
    corners = draw.permutation(len(mesh.vertices))
    faces = np.argsort(corners)[mesh.faces][draw.permutation(len(mesh.faces))]
    faces[::2] = np.roll(faces[::2], 1, axis=1)
    assert same(canonical(Mesh(mesh.vertices[corners], faces)), mesh)
    jitter = draw.uniform(-2e-5, 2e-5, mesh.vertices.shape)
    assert same(canonical(Mesh(mesh.vertices + jitter, mesh.faces)), mesh)
    assert same(canonical(mesh), mesh)


def test_rounding_merges_and_drops_but_stays_closed() -> None:
    # A step of 1e-6 mm on a face vanishes on the grid.
    stepped = cube() + box((2, 2, 9), (8, 8, 10.000001))
    assert len(mesh_of(stepped).vertices) < len(mesh_of(stepped, 1e-7).vertices)
    assert closed(mesh_of(stepped))
    assert mesh_of(cube().moved(z=-1e-9)).vertices.min() == 0.0
    assert not np.signbit(mesh_of(cube().moved(z=-1e-9)).vertices).any()


def test_a_surface_that_rounding_would_break_keeps_a_finer_grid() -> None:
    # Two blocks 2e-5 mm apart along an edge would touch on the grid of 1e-4.
    close = cube() + cube().moved(10.00002, 10.00002)
    mesh = mesh_of(close)
    assert closed(mesh)
    assert mesh_volume(mesh) == pytest.approx(2000.0)
    # Touching for good: the corners that came stay apart, each body closed.
    assert closed(mesh_of(union([cube(), cube().moved(10, 10)])))


def test_open_and_odd_meshes_are_refused() -> None:
    mesh = mesh_of(cube())
    opened = Mesh(mesh.vertices, mesh.faces[1:])
    assert not closed(opened)
    assert not closed(Mesh(mesh.vertices, mesh.faces[:0]))
    for wrong, says in (
        (opened, "do not close"),
        (Mesh(mesh.vertices, mesh.faces[:0]), "no triangles"),
        (Mesh(mesh.vertices[:4], mesh.faces), "not there"),
        (Mesh(mesh.vertices, mesh.faces[:, ::-1]), "inside out"),
        (Mesh(mesh.vertices * np.nan, mesh.faces), "finite"),
    ):
        with pytest.raises(ValueError, match=says):
            solid_of(wrong)
    with pytest.raises(ValueError, match="do not close"):
        canonical(opened)
    with pytest.raises(ValueError, match="empty"):
        mesh_of(cube() - cube())


@settings(max_examples=examples(30))
@given(st.floats(1, 300), st.floats(1, 300), st.floats(0.4, 30), st.floats(-3, 3), st.floats(-3, 3))
def test_any_plate_however_turned_makes_a_closed_mesh(
    w: float, h: float, t: float, a: float, b: float
) -> None:
    opening = shapely.Point(w / 2, h / 2).buffer(min(w, h) / 3)
    plate = extrude(area_of(shapely.box(0, 0, w, h).difference(opening)), t)
    mesh = mesh_of(plate.turned(a, b))
    assert trimesh.Trimesh(mesh.vertices, mesh.faces, process=False).is_watertight
    assert mesh_volume(mesh) == pytest.approx(plate.volume, abs=plate.area * 1e-4)
