"""Binary STL: read back by ourselves and by trimesh; layout from the format's public description."""

from __future__ import annotations

import io

import numpy as np
import pytest
import trimesh

from foldwright.geometry.solid.check import closed, mesh_of, mesh_volume
from foldwright.geometry.solid.core import Mesh, Solid, box, rod
from foldwright.geometry.solid.letters import letters
from foldwright.geometry.solid.shape import at_place, recess
from foldwright.make.formats.stl import read_stl, to_stl


def plate() -> Solid:
    body = recess(box((0, 0, 0), (190, 20, 2.4)), at_place(letters("THIS SIDE UP 1/2", 7, 0.9), (5, 6)), 0.6)
    return body - rod((180, 10, -1), (180, 10, 4), 3.2)


def test_another_library_reads_it_watertight_with_the_same_volume() -> None:
    for solid in (plate(), plate().turned(0.2, -0.3, 1.1), box((0, 0, 0), (1, 2, 3))):
        mesh = mesh_of(solid)
        other = trimesh.load(io.BytesIO(to_stl(mesh, "plate")), file_type="stl")
        assert isinstance(other, trimesh.Trimesh)
        assert other.is_watertight
        assert other.is_winding_consistent
        assert len(other.faces) == len(mesh.faces)
        assert float(other.volume) == pytest.approx(mesh_volume(mesh), rel=1e-6)
        np.testing.assert_allclose(other.bounds, [mesh.vertices.min(0), mesh.vertices.max(0)], atol=2e-5)


def test_it_comes_back_as_it_went() -> None:
    mesh = mesh_of(plate())
    back = read_stl(to_stl(mesh))
    assert closed(back)
    assert len(back.vertices) == len(mesh.vertices)
    assert mesh_volume(back) == pytest.approx(mesh_volume(mesh), rel=1e-6)


def test_the_layout_is_that_of_the_format() -> None:
    mesh = mesh_of(box((0, 0, 0), (1, 2, 3)))
    data = to_stl(mesh, "größer")
    assert len(data) == 84 + 50 * 12
    assert data[:80] == b"foldwright, mm: gr??er".ljust(80)
    assert not data.startswith(b"solid")
    normal = np.frombuffer(data, "<f4", 3, 84)
    corners = np.frombuffer(data, "<f4", 9, 96).reshape(3, 3)
    across = np.cross(corners[1] - corners[0], corners[2] - corners[0])
    np.testing.assert_allclose(normal, across / np.linalg.norm(across), atol=1e-6)
    assert len(to_stl(mesh, "x" * 200)) == len(data)


def test_anything_else_is_refused_with_a_sentence() -> None:
    data = to_stl(mesh_of(box((0, 0, 0), (1, 2, 3))))
    wrong = bytearray(data)
    wrong[96:100] = np.float32(np.nan).tobytes()
    for bad, says in (
        (b"", "no binary STL"),
        (data[:-1], "no binary STL"),
        (data + b"\0", "no binary STL"),
        (b"solid cube\n" + b"facet normal 0 0 1\n" * 9, "text form"),
        (b"x" * 80 + bytes(4), "without triangles"),
        (bytes(wrong), "no finite number"),
    ):
        with pytest.raises(ValueError, match=says):
            read_stl(bad)
    with pytest.raises(ValueError, match="at least one triangle"):
        to_stl(Mesh(np.zeros((0, 3)), np.zeros((0, 3), dtype=np.int64)))
