"""A plan set read back: its own DXF files folded into the aeroplane again, weighed, and compared with its
card; its printed work held against the same blanks and places.

Lines and faces come from the DXF alone; angles, methods and placements from airframe.json; places on the
sheets from layout.toml; kerf and cutter from workshop.toml. Says that files agree, never that anything flies.
"""

from __future__ import annotations

import json
import tomllib
import zlib
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path as FilePath
from typing import Any
from zipfile import BadZipFile, ZipFile

import numpy as np
from shapely.errors import ShapelyError

from foldwright.base.types import FloatArray
from foldwright.design.workshop import Cutter
from foldwright.geometry.fold.flat import transforms
from foldwright.geometry.fold.marks import station_of
from foldwright.geometry.fold.mass import Material, mass_properties, moved, panels_moments
from foldwright.geometry.fold.model import Blank
from foldwright.make.airframe_json import read_blanks, read_material
from foldwright.make.drawing import Path, Text
from foldwright.make.formats.dxf import read_dxf, read_header
from foldwright.make.layout_toml import SheetRow, read_layout
from foldwright.make.manifest import NAME as MANIFEST
from foldwright.make.manifest import compare
from foldwright.make.readback_blank import rebuild
from foldwright.make.readback_pages import check_dxf_bar, check_pdf, check_svg, check_tiled
from foldwright.make.readback_printed import check_printed
from foldwright.make.readback_rows import BALANCE_MM, MARK_MM, MASS_G, ReadbackReport, Table, some_of
from foldwright.make.readback_sheet import ReadPart, circles, take_apart

CARD = "setup-card.json"
_HOLE_MM = 0.05
_DATA = ("airframe.json", "layout.toml", "workshop.toml", CARD)

Items = list[Path | Text]


@dataclass(frozen=True, slots=True)
class _Data:
    """What the data files of a plan set say."""

    blanks: tuple[Blank, ...]
    material: Material
    leading_edge: float
    others: tuple[tuple[float, FloatArray], ...]
    sheets: tuple[SheetRow, ...]
    cutter: Cutter
    paper: str
    reference: Mapping[str, Any]
    airframe: Mapping[str, Any]


def read_folder(folder: FilePath) -> dict[str, bytes]:
    """Every file of a plan set by its path in it; from the folder that holds manifest.json, or from the zip,
    where what stands beside that folder is left out.

    Raises OSError where nothing can be read, ValueError for a zip that is damaged.
    """
    if folder.is_file():
        try:
            with ZipFile(folder) as archive:
                names = [n for n in archive.namelist() if not n.endswith("/")]
                top = _top(names)
                return {n.removeprefix(top): archive.read(n) for n in names if n.startswith(top)}
        except (BadZipFile, EOFError, NotImplementedError, RuntimeError, zlib.error) as fault:
            raise ValueError(f"{folder.name} is no zip that can be read: {fault}") from fault
    return {
        p.relative_to(folder).as_posix(): p.read_bytes() for p in sorted(folder.rglob("*")) if p.is_file()
    }


def _top(names: list[str]) -> str:
    """The folder in a zip, with its slash, that holds the plan set: the one with a manifest, the topmost
    where there are several; "" where there is none.
    """
    found = [name.removesuffix(MANIFEST) for name in names if name.rpartition("/")[2] == MANIFEST]
    return min(found, key=lambda top: (top.count("/"), top), default="")


def readback(folder: FilePath) -> ReadbackReport:
    """Fold a plan set's sheets again, from its folder or zip. Raises OSError where nothing can be read."""
    try:
        files = read_folder(folder)
    except ValueError as fault:
        table = Table()
        table.wrong("R02", folder.name, "a plan set", str(fault))
        return ReadbackReport(tuple(table.rows))
    return check_files(files)


def check_files(files: Mapping[str, bytes]) -> ReadbackReport:
    """Fold the sheets of a plan set again: its files by their path in it.

    `readback_again.made_again` holds the same files against the design file.
    """
    table = Table()
    _check_manifest(table, files)
    data = _read_data(table, files)
    if data is None:
        return ReadbackReport(tuple(table.rows))
    copies = {blank.name: 0 for blank in data.blanks}
    for sheet in data.sheets:
        for spot in sheet.spots:
            copies[spot.name] = copies.get(spot.name, 0) + 1
    parts: list[ReadPart] = []
    for sheet in data.sheets:
        with _damage(table, sheet.name):
            parts += _check_sheet(table, files, sheet, data, copies)
    with _damage(table, "the aeroplane"):
        _check_aeroplane(table, parts, copies, data)
    with _damage(table, "printed work"):
        check_printed(table, files, data.airframe, data.blanks, data.cutter)
    return ReadbackReport(tuple(table.rows))


@contextmanager
def _damage(table: Table, what: str) -> Iterator[None]:
    """Figures that no blank can be made of are a row that fails, not an exception."""
    try:
        yield
    except (ArithmeticError, LookupError, TypeError, ValueError, ShapelyError) as fault:
        table.wrong("R02", what, "figures that fold", f"{type(fault).__name__}: {fault}")


def _check_manifest(table: Table, files: Mapping[str, bytes]) -> None:
    if MANIFEST not in files:
        table.wrong("R01", MANIFEST, "there", "missing")
        return
    try:
        rows = compare(files[MANIFEST], files)
    except ValueError as fault:
        table.wrong("R02", MANIFEST, "a manifest", str(fault))
        return
    strange = [row.file for row in rows if row.state == "not listed"]
    for row in rows:
        if row.state == "as listed":
            table.same("R01", f"{row.file}: size and SHA-256", "as listed", "as listed")
        elif row.state != "not listed":
            table.wrong("R01", row.file, "as the manifest lists it", row.state)
    if strange:
        table.note("R14", some_of(strange), "the plan set's own files only", "not in the manifest")


def _read_data(table: Table, files: Mapping[str, bytes]) -> _Data | None:
    missing = [name for name in _DATA if name not in files]
    for name in missing:
        table.wrong("R01", name, "there", "missing")
    if missing:
        return None
    name = ""
    try:
        name = "airframe.json"
        airframe = json.loads(files[name])
        blanks = tuple(blank for blank, _ in read_blanks(airframe))
        others = tuple(
            (float(m["mass_g"]), np.array(m["cg_mm"], dtype=np.float64)) for m in airframe["other_masses"]
        )
        material, edge = read_material(airframe), float(airframe["leading_edge_x_mm"])
        name = "layout.toml"
        sheets = read_layout(files[name])
        name = "workshop.toml"
        workshop = tomllib.loads(files[name].decode("utf-8"))
        cutter = Cutter.model_validate(_tuples(workshop["cutter"]))
        name = CARD
        reference = json.loads(files[name])["reference"]
        return _Data(
            blanks, material, edge, others, sheets, cutter, str(workshop.get("paper", "A4")), reference,
            airframe,
        )  # fmt: skip
    except (ArithmeticError, AttributeError, LookupError, TypeError, ValueError) as fault:
        table.wrong("R02", name, "readable", f"{type(fault).__name__}: {fault}")
        return None


def _tuples(value: Any) -> Any:  # noqa: ANN401 - whatever stands in a file
    """Lists of a TOML file as the tuples that the models hold."""
    if isinstance(value, list):
        return tuple(_tuples(item) for item in value)
    if isinstance(value, dict):
        return {key: _tuples(item) for key, item in value.items()}
    return value


def _check_sheet(
    table: Table, files: Mapping[str, bytes], sheet: SheetRow, data: _Data, copies: Mapping[str, int]
) -> list[ReadPart]:
    """Scale of every file of a sheet, its registration holes, and its parts."""
    up = _side(table, files, sheet, sheet.name, data.paper)
    down = _side(table, files, sheet, f"{sheet.name}-b", data.paper) if sheet.both else []
    if up is None or down is None:
        return []
    taken = take_apart(sheet, up, down, copies)
    for words in taken.stray:
        table.wrong("R06", f"{sheet.name}: lines", "every line and label on a blank", words)
    _check_holes(table, sheet, taken.loose, down)
    return list(taken.parts)


def _side(table: Table, files: Mapping[str, bytes], sheet: SheetRow, name: str, paper: str) -> Items | None:
    """What a side's DXF holds, once its four files have been held against the sheet's size."""
    missing = [
        n for n in (f"{name}.dxf", f"{name}.svg", f"{name}.pdf", f"{name}-tiled.pdf") if n not in files
    ]
    for n in missing:
        table.wrong("R01", n, "there", "missing")
    if missing:
        return None
    try:
        items = read_dxf(files[f"{name}.dxf"])
        header = read_header(files[f"{name}.dxf"])
    except ValueError as fault:
        table.wrong("R02", f"{name}.dxf", "a DXF file", str(fault))
        return None
    low, high = header.extents
    if header.version != "R12":
        # other readers scale the drawing by this number; R12 has no units
        table.same("R08", f"{name}.dxf: unit", "mm", {4: "mm"}.get(header.units, f"$INSUNITS {header.units}"))
    off = max(abs(low[0]), abs(low[1]), abs(high[0] - sheet.width), abs(high[1] - sheet.height))
    table.near("R08", f"{name}.dxf: extents", 0.0, off, 1e-3, "mm")
    check_dxf_bar(table, name, items)
    check_svg(table, f"{name}.svg", files[f"{name}.svg"], sheet.width, sheet.height, items)
    check_pdf(table, f"{name}.pdf", files[f"{name}.pdf"], sheet.width, sheet.height)
    check_tiled(table, f"{name}-tiled.pdf", files[f"{name}-tiled.pdf"], paper)
    return items


def _check_holes(
    table: Table, sheet: SheetRow, loose: tuple[tuple[float, float, float], ...], down: Items
) -> None:
    """The holes of both sides lie on one another."""
    if not sheet.both:
        table.same("R12", f"{sheet.name}: cuts off the parts", "0", str(len(loose)))
        return
    below = sorted(circles(down, sheet, below=True))
    above = sorted(loose)
    if len(above) != len(below):
        table.wrong("R12", f"{sheet.name}: holes of both sides", str(len(above)), str(len(below)))
        return
    pairs = zip(above, below, strict=True)
    worst = max((abs(p - q) for one, other in pairs for p, q in zip(one, other, strict=True)), default=0.0)
    table.near("R12", f"{sheet.name}: {len(above)} holes of both sides", 0.0, worst, _HOLE_MM, "mm")


def _check_aeroplane(table: Table, parts: list[ReadPart], copies: Mapping[str, int], data: _Data) -> None:
    """Every blank rebuilt, folded, weighed and compared with the card."""
    whole = True
    total = np.zeros((4, 4))
    rebuilt: list[Blank] = []
    for record in data.blanks:
        mine = [part for part in parts if part.name == record.name]
        if len(mine) != copies[record.name] or not mine:
            table.wrong(
                "R09", record.name, f"{max(copies[record.name], record.copies)} on the sheets", str(len(mine))
            )
            whole = False
        for index, part in enumerate(sorted(mine, key=lambda p: p.copy)):
            made = rebuild(part, record, data.cutter)
            table.extend(made.table.rows)
            if made.blank is None:
                whole = False
            elif index == 0:
                rebuilt.append(made.blank)
                total += _weigh(table, made.blank, record, data.material)
    if whole and rebuilt:
        _check_card(table, rebuilt, total, data)
    else:
        table.wrong("R07", "mass and balance", "every blank rebuilt", "blanks missing or not to be rebuilt")


def _weigh(table: Table, blank: Blank, record: Blank, material: Material) -> FloatArray:
    """Moments of a rebuilt blank in the aeroplane; its mass compared with the record's."""
    places = transforms(blank)
    moments: FloatArray = moved(
        panels_moments(blank.panels, material), np.stack([places[panel.name] for panel in blank.panels])
    ).sum(axis=0)
    expected = float(panels_moments(record.panels, material)[:, 3, 3].sum())
    table.near("R07", f"{blank.name}: mass", expected, float(moments[3, 3]), MASS_G, "g")
    return moments


def _check_card(table: Table, rebuilt: list[Blank], total: FloatArray, data: _Data) -> None:
    """Mass of the board, its centre, the balance point and the marks against the setup card."""
    try:
        reference = data.reference
        board = mass_properties(total)
        table.near("R07", "board: mass", float(reference["board_mass_g"]), board.mass, MASS_G, "g", 2)
        for axis, want, got in zip("xyz", reference["board_cg_mm"], board.cg, strict=True):
            table.near("R07", f"board: centre {axis}", float(want), float(got), BALANCE_MM, "mm", 2)
        mass = board.mass + sum(m for m, _ in data.others)
        moment = float(total[0, 3]) + sum(m * float(cg[0]) for m, cg in data.others)
        behind = moment / mass - data.leading_edge
        want = float(reference["balance_mm_behind_le"])
        table.near("R07", "balance point behind the leading edge", want, behind, BALANCE_MM, "mm", 2)
        for blank in rebuilt:
            want = float(reference["blank_mass_g"][blank.name])
            got = float(panels_moments(blank.panels, data.material)[:, 3, 3].sum())
            table.near("R07", f"{blank.name}: mass on the card", want, got, MASS_G, "g")
        for mark in reference["marks"]:
            _check_mark(table, rebuilt, mark)
    except (KeyError, TypeError, ValueError) as fault:
        table.wrong("R02", CARD, "the reference of the readback", f"{type(fault).__name__}: {fault}")


def _check_mark(table: Table, rebuilt: list[Blank], wanted: Mapping[str, Any]) -> None:
    """A mark of the card against where it ends up on the folded blank, on its face."""
    name, panel, face = str(wanted["name"]), str(wanted["panel"]), str(wanted["face"])
    home = str(wanted["blank"])
    station = np.array(wanted["points_mm"], dtype=np.float64).reshape(-1, 3)
    what = f"{home}: mark {name} on {panel}, face {face}"
    found = [
        station_of(blank, mark)
        for blank in rebuilt
        for mark in blank.marks
        if blank.name == home and (mark.name, mark.panel, mark.face) == (name, panel, face)
    ]
    if not found:
        table.wrong("R05", what, "at its station", "not there")
        return
    off = min(float(np.linalg.norm(p[:, None] - station, axis=2).min(axis=0).max()) for p in found)
    table.off("R05", f"{what}: station", off, MARK_MM)
