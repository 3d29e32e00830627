"""STEP: its structure from the standard, and a CAD kernel as an independent reader where it is installed."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from foldwright.geometry.solid.core import Solid, box, rod
from foldwright.geometry.solid.letters import letters
from foldwright.geometry.solid.shape import hole, recess
from foldwright.make.formats.step import step_bytes


def cube() -> Solid:
    return box((0, 0, 0), (10, 10, 10))


def samples() -> list[Solid]:
    plate = recess(box((-3, -3, 0), (60, 12, 2.4)), letters("AB 8", 7, 0.9), 0.6)
    arm = hole(cube(), (5, 5, 5), 4, (1, 0.2, 0.3)).turned(0.3, 0.5, 0.7)
    return [cube(), plate, arm, cube() + rod((20, 0, 0), (21, 2, 3), 2)]


def entities(data: bytes) -> dict[int, str]:
    rows = re.findall(r"^#(\d+)=(.*);$", data.decode("ascii"), re.MULTILINE)
    return {int(number): text for number, text in rows}


@pytest.mark.parametrize("which", range(4))
def test_every_entity_named_is_there_and_edges_pair_up(which: int) -> None:
    solid = samples()[which]
    found = entities(step_bytes(solid, "part"))
    assert sorted(found) == list(range(1, len(found) + 1))
    assert all(int(n) in found for text in found.values() for n in re.findall(r"#(\d+)", text))
    # In a closed shell each edge is used once in each direction (ISO 10303-42, closed_shell).
    used = [re.findall(r"#(\d+),(\.[TF]\.)", t)[0] for t in found.values() if t.startswith("ORIENTED_EDGE")]
    edges = [n for n, text in found.items() if text.startswith("EDGE_CURVE")]
    assert sorted(used) == sorted((str(n), way) for n in edges for way in (".T.", ".F."))
    # Euler and Poincaré: V - E + F - (L - F) = 2 (S - G) for every shell.
    count = {
        kind: sum(text.startswith(kind) for text in found.values())
        for kind in ("VERTEX_POINT", "EDGE_CURVE", "ADVANCED_FACE", "EDGE_LOOP", "MANIFOLD_SOLID_BREP")
    }
    euler = count["VERTEX_POINT"] - count["EDGE_CURVE"] + 2 * count["ADVANCED_FACE"] - count["EDGE_LOOP"]
    genus = sum(body.form.genus() for body in solid.bodies())
    assert euler == 2 * (count["MANIFOLD_SOLID_BREP"] - genus)


def test_a_cube_is_a_cube() -> None:
    data = step_bytes(cube(), "it's Ø 3 \\ \U0001f600")
    text = data.decode("ascii")
    assert text.count("ADVANCED_FACE") == 6
    assert text.count("EDGE_CURVE") == 12
    assert "PRODUCT('it''s \\X2\\00D8\\X0\\ 3 \\\\ \\X4\\0001F600\\X0\\'" in text
    assert "SI_UNIT(.MILLI.,.METRE.)" in text
    assert "'1970-01-01T00:00:00'" in text
    assert data == step_bytes(cube(), "it's Ø 3 \\ \U0001f600")


def test_what_has_no_faces_or_a_hollow_is_refused() -> None:
    with pytest.raises(ValueError, match="empty"):
        step_bytes(cube() - cube(), "nothing")
    with pytest.raises(ValueError, match="hollow"):
        step_bytes(cube() - box((3, 3, 3), (7, 7, 7)), "hollow")


@pytest.mark.parametrize("which", range(4))
def test_a_cad_kernel_reads_it_as_valid_with_the_same_volume(which: int, tmp_path: Path) -> None:
    solid = samples()[which]
    pytest.importorskip("OCP")
    from OCP.BRepCheck import BRepCheck_Analyzer
    from OCP.BRepGProp import BRepGProp
    from OCP.GProp import GProp_GProps
    from OCP.STEPControl import STEPControl_Reader

    path = tmp_path / "part.step"
    path.write_bytes(step_bytes(solid, "part"))
    reader = STEPControl_Reader()
    reader.ReadFile(str(path))
    reader.TransferRoots()
    shape, about = reader.OneShape(), GProp_GProps()
    BRepGProp.VolumeProperties_s(shape, about)
    assert BRepCheck_Analyzer(shape).IsValid()
    assert about.Mass() == pytest.approx(solid.volume, rel=1e-6)
