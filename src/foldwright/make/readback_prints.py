"""Printed work read back: the plan set's own 3MF and STL files against what its data say of them.

Every mesh is closed, of the bodies stated and inside the bed; 3MF and STL hold the same; a fitting's mesh,
put into the aeroplane, fills its box there, its hands mirror each other, its plastic weighs what the balance
reckons with; what a fitting promises by its figures (thrust axis, holes, a dummy's mass and centre) is
measured on the mesh.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from typing import Any

import numpy as np
from shapely.errors import ShapelyError

from foldwright.base.types import FloatArray
from foldwright.geometry.solid.check import closed, solid_of
from foldwright.geometry.solid.core import Mesh, Solid
from foldwright.geometry.solid.fill import filled_mm3
from foldwright.geometry.transform import apply, inverse
from foldwright.make.formats.stl import read_stl
from foldwright.make.formats.threemf_read import ReadObject, read_3mf
from foldwright.make.print_files import DATA, TEXT
from foldwright.make.readback_rows import MASS_G, Table

Json = Mapping[str, Any]

BOX_MM = 0.1
MIRROR_PCT = 2.0
"""Of the volume: letters that tell the two hands of a pair apart."""
SAME_G, SAME_SHARE = 0.5, 0.10
SETTINGS_G = 0.01
_BED_MM = 1e-3
_STL_MM = 1e-3


@dataclass(frozen=True, slots=True, eq=False)
class ReadPrint:
    """An object of a bed as read: its row in prints.json, mesh and solid in its own frame, metadata."""

    file: str
    group: str
    row: Json
    mesh: Mesh
    solid: Solid
    transform: FloatArray
    metadata: Mapping[str, str]

    @property
    def name(self) -> str:
        """As the object is called."""
        return str(self.row["name"])

    @property
    def what(self) -> str:
        """File and object."""
        return self.file if self.file.endswith(f"/{self.name}") else f"{self.file}: {self.name}"


@dataclass(frozen=True, slots=True, eq=False)
class PrintData:
    """prints.json, as far as everything printed is checked against it."""

    printer: Json | None
    jobs: tuple[Json, ...]
    templates: tuple[Json, ...]


def has_prints(files: Mapping[str, bytes]) -> bool:
    """Whether a plan set holds printed work, or was meant to."""
    return DATA in files or any(name.endswith((".3mf", ".stl")) for name in files)


def read_prints(table: Table, files: Mapping[str, bytes]) -> tuple[PrintData | None, list[ReadPrint]]:
    """Every object of every bed; rows for what is missing, not sound, over the bed, or other in the STL."""
    data = _data(table, files)
    if data is None:
        return None, []
    found: list[ReadPrint] = []
    for job in data.jobs:
        with damage(table, str(job.get("file", DATA))):
            found += _job(table, files, job, data.printer)
    known = {f"{job['file']}{end}" for job in data.jobs for end in (".3mf", ".stl")}
    strange = sorted(name for name in files if name.endswith((".3mf", ".stl")) and name not in known)
    for name in strange:
        table.wrong("R19", name, f"a bed that {DATA} lists", "not listed")
    return data, found


@contextmanager
def damage(table: Table, what: str) -> Iterator[None]:
    """Figures that no check can be made of are a row that fails, not an exception."""
    try:
        yield
    except (ArithmeticError, AttributeError, LookupError, TypeError, ValueError, ShapelyError) as fault:
        table.wrong("R02", what, "data that can be checked", f"{type(fault).__name__}: {fault}")


def _data(table: Table, files: Mapping[str, bytes]) -> PrintData | None:
    for name in (DATA, TEXT):
        if name not in files:
            table.wrong("R01", name, "there", "missing")
    if DATA not in files:
        return None
    try:
        return _parsed(json.loads(files[DATA]))
    except (AttributeError, KeyError, TypeError, ValueError) as fault:
        table.wrong("R02", DATA, "readable", f"{type(fault).__name__}: {fault}")
        return None


def _parsed(raw: Any) -> PrintData:  # noqa: ANN401 - whatever stands in a file
    jobs = tuple(raw["jobs"])
    if not all("file" in job and "objects" in job for job in jobs):
        raise ValueError("a bed without its file or its objects")
    return PrintData(raw["printer"], jobs, tuple(raw["templates"]))


def _job(table: Table, files: Mapping[str, bytes], job: Json, printer: Json | None) -> list[ReadPrint]:
    """One bed: its 3MF against its rows, the bed and its STL."""
    file = str(job["file"])
    missing = [f"{file}{end}" for end in (".3mf", ".stl") if f"{file}{end}" not in files]
    for name in missing:
        table.wrong("R01", name, "there", "missing")
    if missing:
        return []
    try:
        objects = read_3mf(files[f"{file}.3mf"])
    except ValueError as fault:
        table.wrong("R20", f"{file}.3mf", "closed solids", str(fault))
        return []
    names, wanted = [one.name for one in objects], [str(row["name"]) for row in job["objects"]]
    table.same("R19", f"{file}.3mf: objects", ", ".join(sorted(wanted)), ", ".join(sorted(names)))
    rows = {str(row["name"]): row for row in job["objects"]}
    found = [
        made
        for one in objects
        if one.name in rows and (made := _object(table, file, str(job["group"]), one, rows[one.name]))
    ]
    if found:
        _check_bed(table, file, found, printer)
        _check_stl(table, files[f"{file}.stl"], file, found)
    return found


def _object(table: Table, file: str, group: str, one: ReadObject, row: Json) -> ReadPrint | None:
    """One object: closed, of the bodies stated, where its row says, as large, as heavy."""
    what = file if file.endswith(f"/{one.name}") else f"{file}: {one.name}"
    try:
        solid = solid_of(one.mesh)
    except ValueError as fault:
        table.wrong("R20", what, "a closed solid", str(fault))
        return None
    table.same("R20", f"{what}: closed, bodies", str(int(row["bodies"])), str(len(solid.bodies())))
    wanted = np.array(row["at"], dtype=np.float64).reshape(4, 4)
    off = float(np.abs(apply(wanted, one.mesh.vertices) - apply(one.transform, one.mesh.vertices)).max())
    table.off("R19", f"{what}: place on the bed", off, _BED_MM)
    for axis, want, got in zip("xyz", row["size_mm"], solid.size.tolist(), strict=True):
        table.near("R19", f"{what}: size {axis}", float(want), float(got), 2.0 * _BED_MM, "mm")
    _check_settings(table, what, one, row, solid)
    return ReadPrint(file, group, row, one.mesh, solid, one.transform, one.metadata)


def _check_settings(table: Table, what: str, one: ReadObject, row: Json, solid: Solid) -> None:
    """Plastic reckoned from the mesh and its own metadata, against the metadata's grams and the row's."""
    said, settings = one.metadata, row["settings"]
    for key in ("filament", "walls", "layer_mm", "line_mm", "infill_pct"):
        got = said.get(key, "nothing")
        want = settings[key]
        same = got == str(want) if isinstance(want, str) else _number(got) == float(f"{float(want):g}")
        if not same:
            table.wrong("R27", f"{what}: {key} in the 3MF", f"{want}", got)
    shell = float(said["walls"]) * float(said["line_mm"])
    filled = filled_mm3(solid.volume, solid.area, shell, float(said["infill_pct"]) / 100.0)
    grams = filled * float(settings["density_g_cm3"]) / 1000.0
    allowed = SETTINGS_G + 1e-3 * grams
    table.near("R27", f"{what}: plastic", float(row["grams"]), grams, allowed, "g")
    table.near("R27", f"{what}: plastic in the 3MF", float(said["grams"]), grams, allowed, "g")


def _number(text: str) -> float:
    try:
        return float(text)
    except ValueError:
        return float("nan")


def _check_bed(table: Table, file: str, found: Sequence[ReadPrint], printer: Json | None) -> None:
    """All that lies on a bed, in every direction, margin left; nothing under the bed, nothing in another."""
    boxes = [apply(one.transform, one.mesh.vertices) for one in found]
    points = np.vstack(boxes)
    low, high = points.min(axis=0), points.max(axis=0)
    table.near("R21", f"{file}: stands on the bed", 0.0, float(low[2]), _BED_MM, "mm")
    if printer is not None:
        bed, margin = [float(value) for value in printer["bed_mm"]], float(printer["margin_mm"])
        room = np.array([bed[0] - 2.0 * margin, bed[1] - 2.0 * margin, bed[2]])
        over = float((high - low - room).max())
        shown = " x ".join(f"{value:.2f}" for value in (high - low).tolist())
        allowed = " x ".join(f"{value:g}" for value in room.tolist())
        if over > _BED_MM:
            table.wrong("R21", file, f"{allowed} mm", f"{shown} mm")
        else:
            table.same("R21", f"{file}: inside the bed, margin left", "inside", "inside")
    placed = [one.solid.placed(one.transform) for one in found]
    for k, one in enumerate(placed):
        for other, mate in zip(placed[:k], found[:k], strict=True):
            if bool((one.bounds[0] < other.bounds[1]).all() and (other.bounds[0] < one.bounds[1]).all()):
                shared = (one & other).volume
                if shared > 1e-3:
                    table.wrong(
                        "R21", f"{file}: {found[k].name}", f"clear of {mate.name}", "one in the other"
                    )


def _check_stl(table: Table, data: bytes, file: str, found: Sequence[ReadPrint]) -> None:
    """The STL is closed and holds the same triangles, corner by corner."""
    what = f"{file}.stl"
    try:
        mesh = read_stl(data)
    except ValueError as fault:
        table.wrong("R28", what, "triangles as in the 3MF", str(fault))
        return
    if not closed(mesh):
        table.wrong("R28", what, "a closed surface", "open: some edge lacks its other side")
        return
    corners = [apply(one.transform, one.mesh.vertices)[one.mesh.faces] for one in found]
    wanted, got = np.concatenate(corners), mesh.vertices[mesh.faces]
    table.same("R28", f"{what}: triangles", str(len(wanted)), str(len(got)))
    if len(wanted) == len(got):
        table.off("R28", f"{what}: corners", float(np.abs(wanted - got).max()), _STL_MM)


def check_fittings(table: Table, airframe: Json, found: Sequence[ReadPrint]) -> None:
    """Every fitting of the aeroplane is printed, fills its box in its place, mirrors its other hand, and
    weighs what the balance reckons with.
    """
    fittings = {str(row["id"]): row for row in airframe.get("fittings", ())}
    printed = [
        (str(each["id"]), np.array(each["place"], dtype=np.float64).reshape(4, 4), one)
        for one in found
        for each in one.row["belongs"]
    ]
    table.same(
        "R19", "fittings that are printed", ", ".join(sorted(fittings)) or "none",
        ", ".join(sorted(name for name, _, _ in printed)) or "none",
    )  # fmt: skip
    masses = {str(row["id"]): float(row["mass_g"]) for row in airframe.get("other_masses", ())}
    for name, place, one in printed:
        if name in fittings:
            _check_fitting(table, name, place, one, fittings[name], masses)
    for one in found:
        if mirror := str(one.row.get("mirror_of", "")):
            _check_mirror(table, one, next((other for other in found if other.name == mirror), None), mirror)


def _check_fitting(
    table: Table, name: str, place: FloatArray, one: ReadPrint, fitting: Json, masses: Mapping[str, float]
) -> None:
    home = np.array(fitting["placement"], dtype=np.float64).reshape(4, 4)
    own = apply(inverse(home) @ place, one.mesh.vertices)
    want = np.array(fitting["box_mm"], dtype=np.float64).reshape(2, 3)
    off = float(np.abs(np.stack([own.min(axis=0), own.max(axis=0)]) - want).max())
    table.off("R29", f"{name}: fills its box in the aeroplane", off, BOX_MM)
    plastic = float(fitting["plastic_g"])
    allowed = max(SAME_G, SAME_SHARE * plastic)
    got = float(one.metadata["grams"])
    table.near("R27", f"{name}: plastic reckoned with", plastic, got, allowed, "g", 2)
    if name in masses:
        whole = plastic + float(fitting["extra_g"])
        table.near("R27", f"{name}: mass in the balance", masses[name], whole, MASS_G, "g", 2)
    else:
        table.wrong("R27", f"{name}: mass in the balance", "there", "missing")
    same = one.metadata.get("filament") == str(fitting["filament"])
    if not same:
        got_filament = str(one.metadata.get("filament", "none"))
        table.wrong("R27", f"{name}: filament", str(fitting["filament"]), got_filament)


def _check_mirror(table: Table, one: ReadPrint, other: ReadPrint | None, mirror: str) -> None:
    """One hand of a pair, in the aeroplane, against the other mirrored in the middle plane y = 0."""
    if other is None:
        table.wrong("R19", f"{one.what}: other hand", mirror, "missing")
        return
    mine, theirs = (
        each.solid.placed(np.array(each.row["place"], dtype=np.float64).reshape(4, 4))
        for each in (one, other)
    )
    flipped = mine.mirrored((0.0, 1.0, 0.0))
    apart = (flipped - theirs).volume + (theirs - flipped).volume
    share = 100.0 * apart / max(theirs.volume, 1e-9)
    table.near("R29", f"{one.name}: mirror image of {mirror}, apart", 0.0, share, MIRROR_PCT, "%", 2)
