"""Printed work that is right reads back; every fault put into a file is found, by its code."""

from __future__ import annotations

import json
from typing import Any

import numpy as np
import pytest

from foldwright.base.messages import words
from foldwright.geometry.transform import apply, inverse, turn
from foldwright.make.formats.threemf import Object3mf, to_3mf
from foldwright.make.formats.threemf_read import read_3mf
from foldwright.make.print_files import DATA
from foldwright.make.readback_rows import ReadbackReport
from tests.make.print_samples import corners, dummy_files, failing, fitting_files, flipped, remade, rows

MOUNT, LEG, LEFT = "fittings/mount", "fittings/main-leg-right", "fittings/main-leg-left"


def changed(name: str, data: bytes) -> dict[str, bytes]:
    return {**fitting_files(), name: data}


def edited(change: Any) -> dict[str, bytes]:  # noqa: ANN401 - a function of the parsed file
    """The plan set with prints.json changed."""
    data = json.loads(fitting_files()[DATA])
    change(data)
    return changed(DATA, json.dumps(data).encode())


def row_of(data: Any, file: str) -> Any:  # noqa: ANN401 - parsed JSON
    return next(job for job in data["jobs"] if job["file"] == file)["objects"][0]


def test_files_that_are_right_agree() -> None:
    assert failing(fitting_files()) == set()
    assert {row.code for row in rows(fitting_files())} >= {
        "R19", "R20", "R21", "R24", "R25", "R27", "R28", "R29",
    }  # fmt: skip


def test_thrust_axis_and_holes_are_measured() -> None:
    found = {row.what: row for row in rows(fitting_files()) if row.code in {"R24", "R25"}}
    axis = found["mount: thrust axis"]
    assert axis.difference is not None
    assert axis.difference < 0.001
    assert axis.expected == axis.got
    assert sum("hole" in what for what in found) == 4
    assert all(row.difference is not None and row.difference < 1e-3 for row in found.values())


def test_a_corner_that_has_moved() -> None:
    points = corners(fitting_files()[f"{LEG}.3mf"])
    points[np.argmax(points[:, 0])] += (0.4, 0.0, 0.0)
    assert {"R19", "R28"} <= failing(changed(f"{LEG}.3mf", remade(fitting_files()[f"{LEG}.3mf"], points)))


def test_pieces_that_are_swapped() -> None:
    files = {**fitting_files()}
    files[f"{LEG}.3mf"], files[f"{LEFT}.3mf"] = files[f"{LEFT}.3mf"], files[f"{LEG}.3mf"]
    assert "R19" in failing(files)


@pytest.mark.parametrize("axis", [0, 1])
def test_a_leg_that_is_mirrored(axis: int) -> None:
    """Up and down, on its side, it is the same."""
    assert "R29" in failing(changed(f"{LEG}.3mf", flipped(fitting_files()[f"{LEG}.3mf"], axis)))


def test_hands_that_are_both_right() -> None:
    """The right leg twice: closed, on the bed, of the right mass, and wrong."""
    (right,) = read_3mf(fitting_files()[f"{LEG}.3mf"])

    def change(data: Any) -> None:  # noqa: ANN401 - parsed JSON
        row_of(data, LEFT)["size_mm"] = row_of(data, LEG)["size_mm"]

    files = edited(change)
    twice = Object3mf("main-leg-left", right.mesh, (right.transform,), right.metadata)
    files[f"{LEFT}.3mf"] = to_3mf([twice], {})
    assert "R29" in failing(files)


@pytest.mark.parametrize("degrees", [0.06, -0.06, 1.0])
def test_a_mount_with_another_tilt(degrees: float) -> None:
    place = np.array(row_of(json.loads(fitting_files()[DATA]), MOUNT)["place"])
    middle = np.array([-20.0, 0.0, 0.0])
    tilt = turn(middle, np.array([0.0, 1.0, 0.0]), np.radians(degrees))
    points = apply(inverse(place) @ tilt @ place, corners(fitting_files()[f"{MOUNT}.3mf"]))
    assert "R24" in failing(changed(f"{MOUNT}.3mf", remade(fitting_files()[f"{MOUNT}.3mf"], points)))


def test_a_mount_turned_round_the_shaft() -> None:
    """A tilt to the other side, and holes where none belong."""
    place = np.array(row_of(json.loads(fitting_files()[DATA]), MOUNT)["place"])
    points = corners(fitting_files()[f"{MOUNT}.3mf"])
    at = apply(place, points).mean(axis=0)
    quarter = turn(at, np.array([1.0, 0.0, 0.0]), np.radians(20.0))
    moved = apply(inverse(place) @ quarter @ place, points)
    assert "R25" in failing(changed(f"{MOUNT}.3mf", remade(fitting_files()[f"{MOUNT}.3mf"], moved)))


def test_a_solid_that_is_open() -> None:
    """The reader takes no surface that does not close, so the file is written over its triangles."""
    data = fitting_files()[f"{LEG}.stl"]
    count = int.from_bytes(data[80:84], "little")
    open_one = data[:80] + (count - 1).to_bytes(4, "little") + data[84:-50]
    assert "R28" in failing(changed(f"{LEG}.stl", open_one))


@pytest.mark.parametrize("ending", ["3mf", "stl"])
def test_a_file_that_is_cut_short(ending: str) -> None:
    name = f"{LEG}.{ending}"
    assert {"R20", "R28"} & failing(changed(name, fitting_files()[name][:900]))


def test_a_file_that_is_missing() -> None:
    files = {name: data for name, data in fitting_files().items() if name != f"{LEG}.stl"}
    assert "R01" in failing(files)


def test_a_print_that_nothing_lists() -> None:
    assert "R19" in failing(changed("fittings/spare.3mf", fitting_files()[f"{LEG}.3mf"]))


def test_a_bed_that_is_smaller_than_said() -> None:
    def change(data: Any) -> None:  # noqa: ANN401 - parsed JSON
        data["printer"]["bed_mm"] = [60.0, 60.0, 60.0]

    assert "R21" in failing(edited(change))


def test_settings_that_are_not_those_of_the_balance() -> None:
    thin = remade(fitting_files()[f"{LEG}.3mf"], infill_pct="15", walls="1")
    assert "R27" in failing(changed(f"{LEG}.3mf", thin))
    other = remade(fitting_files()[f"{LEG}.3mf"], filament="pla")
    assert "R27" in failing(changed(f"{LEG}.3mf", other))


def test_a_fitting_that_is_not_printed() -> None:
    def change(data: Any) -> None:  # noqa: ANN401 - parsed JSON
        data["jobs"] = [job for job in data["jobs"] if job["file"] != MOUNT]

    assert "R19" in failing(edited(change))


def test_a_place_elsewhere() -> None:
    def change(data: Any) -> None:  # noqa: ANN401 - parsed JSON
        for each in row_of(data, LEG)["belongs"]:
            each["place"][0][3] += 0.2

    assert "R29" in failing(edited(change))


@pytest.mark.parametrize("text", [b"{", b"[]", b'{"printer": null, "jobs": [{}], "templates": []}'])
def test_data_that_cannot_be_read_are_a_row(text: bytes) -> None:
    assert "R02" in failing(changed(DATA, text))


def dummy() -> str:
    """File of the dummy."""
    jobs = json.loads(dummy_files()[DATA])["jobs"]
    return str(next(job["file"] for job in jobs if "nuts" in job["objects"][0]["figures"]))


def test_a_dummy_weighs_its_payload() -> None:
    found = {row.what: row for row in rows(dummy_files()) if row.code == "R26"}
    assert all(row.holds for row in found.values())
    assert any("mass" in what for what in found)
    assert sum("centre" in what for what in found) == 3


@pytest.mark.parametrize("share", [0.94, 1.06])
def test_a_dummy_of_another_size(share: float) -> None:
    name = f"{dummy()}.3mf"
    points = corners(dummy_files()[name]) * np.array([1.0, 1.0, share])
    assert "R26" in failing({**dummy_files(), name: remade(dummy_files()[name], points)})


def test_a_dummy_with_its_nuts_elsewhere() -> None:
    """All pockets 6 mm to one side: ten nuts of 1.2 g in 40 g move the centre by more than 1 mm."""
    name = f"{dummy()}.3mf"
    points = corners(dummy_files()[name])
    low, high = points.min(axis=0), points.max(axis=0)
    inner = ((points[:, :2] > low[:2] + 1.0) & (points[:, :2] < high[:2] - 1.0)).all(axis=1)
    points[inner, 1] += 6.0
    assert "R26" in failing({**dummy_files(), name: remade(dummy_files()[name], points)})


@pytest.mark.parametrize("way", [(0.0, 0.0, 24.25), (1.5, 0.0, 0.0), (0.0, -1.5, 0.0)])
def test_a_dummy_in_another_place(way: tuple[float, float, float]) -> None:
    """Right as it lies on the bed, but said to be elsewhere in the aeroplane."""
    data = json.loads(dummy_files()[DATA])
    row = row_of(data, dummy())
    place = np.array(row["place"], dtype=float).reshape(4, 4)
    place[:3, 3] += way
    row["place"] = place.tolist()
    assert "R26" in failing({**dummy_files(), DATA: json.dumps(data).encode()})


def test_every_row_has_its_sentence() -> None:
    files = changed(f"{LEG}.3mf", flipped(fitting_files()[f"{LEG}.3mf"], 1))
    findings = ReadbackReport(tuple(rows(files))).findings
    assert findings
    for finding in findings:
        assert words(finding).says
