"""3MF: read by lib3mf in strict mode without a warning (another library), and back by ourselves."""

from __future__ import annotations

import hashlib
import io
import json
import os
import subprocess
import sys
import zipfile
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import numpy as np
import pytest

from foldwright.base.types import FloatArray
from foldwright.geometry.solid.check import mesh_of, mesh_volume
from foldwright.geometry.solid.core import Solid, box, rod
from foldwright.geometry.solid.letters import letters
from foldwright.geometry.solid.shape import at_place, recess
from foldwright.geometry.transform import shift, turn
from foldwright.make.formats.step import step_bytes
from foldwright.make.formats.stl import to_stl
from foldwright.make.formats.threemf import MODEL, RELS, Object3mf, to_3mf
from foldwright.make.formats.threemf_read import read_3mf, read_about

_ROOT = Path(__file__).parents[3]
ABOUT = {"Title": "Marram, revision 1", "Application": "foldwright", "Designer": "Saltmere <dune> & co",
         "LicenseTerms": "as the design's", "minutes": "61.5", "grams": "12.20"}  # fmt: skip
PRINT = {"layer_mm": "0.2", "walls": "3", "infill_pct": "100", "filament": "PETG \"black\" & 'grey'"}


def plate() -> Solid:
    body = recess(box((0, 0, 0), (190, 20, 2.4)), at_place(letters("THIS SIDE UP 1/2", 7, 0.9), (5, 6)), 0.6)
    return body - rod((180, 10, -1), (180, 10, 4), 3.2)


def lying() -> FloatArray:
    matrix: FloatArray = shift(30.0, 40.0, 0.0) @ turn(np.zeros(3), np.array([0.0, 0.0, 1.0]), 0.5)
    return matrix


def sample() -> bytes:
    block = mesh_of(box((0, 0, 0), (1, 2, 3)))
    return to_3mf(
        [
            Object3mf("wing/right – plate", mesh_of(plate()), (lying(),), PRINT),
            Object3mf("block", block, (np.eye(4), shift(50, 0, 0)), {}),
        ],
        ABOUT,
    )


def test_lib3mf_reads_it_strictly_without_a_warning() -> None:
    lib3mf = pytest.importorskip("lib3mf")
    model = lib3mf.get_wrapper().CreateModel()
    reader = model.QueryReader("3mf")
    reader.SetStrictModeActive(True)
    reader.ReadFromBuffer(sample())
    assert [reader.GetWarning(k) for k in range(reader.GetWarningCount())] == []
    assert model.GetUnit() == lib3mf.ModelUnit.MilliMeter
    names, counts = [], []
    meshes = model.GetMeshObjects()
    while meshes.MoveNext():
        one = meshes.GetCurrentMeshObject()
        assert one.IsManifoldAndOriented()
        names.append(one.GetName())
        counts.append(one.GetTriangleCount())
        group = one.GetMetaDataGroup()
        rows = [group.GetMetaData(k) for k in range(group.GetMetaDataCount())]
        found = {row.GetName(): row.GetValue() for row in rows}
        assert found == (PRINT if one.GetName() != "block" else {})
    assert names == ["wing/right – plate", "block"]
    assert counts == [len(mesh_of(plate()).faces), 12]
    items, places = model.GetBuildItems(), []
    while items.MoveNext():
        fields = items.GetCurrent().GetObjectTransform().Fields
        places.append(np.array([[fields[row][k] for row in range(4)] for k in range(3)]))
    assert len(places) == 3
    np.testing.assert_allclose(places[0], lying()[:3], atol=1e-5)
    group = model.GetMetaDataGroup()
    rows = [group.GetMetaData(k) for k in range(group.GetMetaDataCount())]
    assert {row.GetName(): row.GetValue() for row in rows} == ABOUT


def test_it_comes_back_as_it_went() -> None:
    first, second, third = read_3mf(sample())
    assert first.name == "wing/right – plate"
    assert dict(first.metadata) == PRINT
    np.testing.assert_allclose(first.transform, lying(), atol=1e-9)
    mesh = mesh_of(plate())
    assert first.mesh.vertices.tobytes() == mesh.vertices.tobytes()
    assert first.mesh.faces.tobytes() == mesh.faces.tobytes()
    assert mesh_volume(first.mesh) == pytest.approx(plate().volume, rel=1e-6)
    assert (second.name, third.name) == ("block", "block")
    assert third.transform[0, 3] == 50.0
    assert dict(read_about(sample())) == ABOUT


def test_the_package_is_the_standards() -> None:
    with zipfile.ZipFile(io.BytesIO(sample())) as package:
        assert package.namelist() == ["[Content_Types].xml", RELS, MODEL]
        assert {info.date_time for info in package.infolist()} == {(1980, 1, 1, 0, 0, 0)}
        assert b'unit="millimeter"' in package.read(MODEL)


_PROGRAM = """
import hashlib, json
from tests.make.formats.test_threemf import hashes
print(json.dumps(hashes()))
"""


def hashes() -> list[str]:
    made = (sample(), to_stl(mesh_of(plate()), "plate"), step_bytes(plate(), "plate"))
    return [hashlib.sha256(data).hexdigest() for data in made]


def test_bytes_are_the_same_in_other_processes_and_threads() -> None:
    here = hashes()
    for seed in ("0", "4711"):
        path = os.pathsep.join([str(_ROOT), str(_ROOT / "src")])
        environment = {**os.environ, "PYTHONHASHSEED": seed, "PYTHONPATH": path}
        done = subprocess.run(
            [sys.executable, "-c", _PROGRAM], env=environment, capture_output=True, text=True, check=True
        )
        assert json.loads(done.stdout) == here
    with ThreadPoolExecutor(4) as pool:
        assert all(one == here for one in pool.map(lambda _: hashes(), range(8)))


def changed(part: str, old: str, new: str) -> bytes:
    """The sample with a text of one part replaced."""
    out = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(sample())) as package, zipfile.ZipFile(out, "w") as other:
        for name in package.namelist():
            text = package.read(name).decode()
            if name == part:
                assert old in text
                text = text.replace(old, new, 1)
            other.writestr(name, text)
    return out.getvalue()


BAD = [
    (MODEL, 'unit="millimeter"', 'unit="inch"', "is in inch"),
    (MODEL, "<resources>", "<resources", "not well-formed"),
    (MODEL, "<model ", "<!DOCTYPE x><model ", "document type"),
    (MODEL, 'unit="millimeter"', 'requiredextensions="p" unit="millimeter"', "needs extensions"),
    (MODEL, "3dmanufacturing/core/2015/02", "3dmanufacturing/core/2099/02", "does not hold a 3MF model"),
    (MODEL, 'object id="2"', 'object id="1"', "two objects"),
    (MODEL, 'object id="2"', "object", "lacks id"),
    (MODEL, 'objectid="2"', 'objectid="7"', "object 7, which is not there"),
    (MODEL, 'v1="0"', 'v1="99999999"', "names corner 99999999"),
    (MODEL, 'v1="0"', 'v1="-1"', "names corner -1"),
    (MODEL, 'v1="0"', "", "names corner None"),
    (MODEL, 'x="0"', 'x="nan"', "finite"),
    (MODEL, 'x="0"', 'x="zero"', "number was expected"),
    (MODEL, '<triangle v1="0"', '<other v1="0"', "do not close"),
    (MODEL, 'transform="', 'transform="1 ', "12 numbers"),
    (MODEL, 'transform="1 0 0 ', 'transform="-1 0 0 ', "mirrors"),
    (MODEL, "<metadata name=", "<metadata nom=", "lacks name"),
    (MODEL, '<metadata name="Designer"', '<metadata name="Title"', "stands twice"),
    (RELS, f"/{MODEL}", "/3D/other.model", "does not name"),
]  # fmt: skip


@pytest.mark.parametrize(("part", "old", "new", "says"), BAD)
def test_what_is_malformed_is_refused_with_a_sentence(part: str, old: str, new: str, says: str) -> None:
    data = changed(part, old, new)
    with pytest.raises(ValueError, match=says):
        (read_about if "metadata n" in old else read_3mf)(data)


def test_what_is_no_package_is_refused() -> None:
    for data in (b"", b"PK\x03\x04 nothing", sample()[:-30], to_stl(mesh_of(plate()))):
        with pytest.raises(ValueError, match="no 3MF file"):
            read_3mf(data)
    broken = bytearray(sample())
    broken[len(broken) // 2] ^= 0xFF
    with pytest.raises(ValueError, match=r"no 3MF file|well-formed|do not close"):
        read_3mf(bytes(broken))
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as package:
        package.writestr("a.txt", "nothing")
    with pytest.raises(ValueError, match="lacks"):
        read_3mf(out.getvalue())
    empty = changed(MODEL, "<build>", "<other>")
    with pytest.raises(ValueError, match="well-formed"):
        read_3mf(empty)


def test_what_cannot_be_written_is_refused() -> None:
    mesh = mesh_of(box((0, 0, 0), (1, 2, 3)))
    one = Object3mf("a", mesh)
    for objects, about, says in (
        ([], {}, "name of its own"),
        ([one, one], {}, "name of its own"),
        ([Object3mf("a", mesh, ())], {}, "no triangles or no place"),
        ([Object3mf("a", mesh, (np.diag([1.0, 1.0, -1.0, 1.0]),))], {}, "mirrored"),
        ([one], {"two words": "x"}, "no name for metadata"),
    ):
        with pytest.raises(ValueError, match=says):
            to_3mf(objects, about)
