"""The readback holds for what was written, and catches every kind of change, manifest rewritten or not."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from dataclasses import replace
from functools import partial
from pathlib import Path as FilePath
from zipfile import ZipFile

import numpy as np
import pytest

from foldwright.airframe.box import build_box
from foldwright.base.messages import words
from foldwright.geometry.fold.model import Blank, Method
from foldwright.make.drawing import Drawing, Path, Text
from foldwright.make.formats.dxf import read_dxf, read_header, to_dxf
from foldwright.make.formats.svg import to_svg
from foldwright.make.manifest import NAME
from foldwright.make.plans import complete, pack
from foldwright.make.readback import check_files, readback
from foldwright.make.readback_pages import check_svg
from foldwright.make.readback_rows import ReadbackReport, Table
from tests.airframe.boxes import random_box
from tests.make.plan_samples import ABOUT, bundle, sample
from tests.make.sheet_samples import NoseMethod, RidgeMethod, former, kit, plate, u_box, wing, workshop

Items = list[Path | Text]


def again(files: Mapping[str, bytes], **changed: bytes) -> dict[str, bytes]:
    """The files with some changed and a manifest that knows nothing of it."""
    return complete({**files, **changed}, ABOUT)


def codes(report: ReadbackReport) -> set[str]:
    return {finding.code for finding in report.findings}


def redrawn(data: bytes, change: Callable[[Items], Items]) -> bytes:
    """A DXF file with its items changed."""
    width, height = read_header(data).extents[1]
    return to_dxf(Drawing("changed", width, height, tuple(change(read_dxf(data)))))


def test_the_sample_agrees() -> None:
    report = check_files(sample())
    assert report.holds
    assert report.sentence == "files agree; flight not verified"
    assert report.findings == ()
    whats = " ".join(row.what for row in report.rows)
    for named in (
        "sheet-1-b.pdf: bar",
        "fold nose on face a",
        "mark balance-left",
        "balance point",
        "SHA-256",
    ):
        assert named in whats


@pytest.mark.parametrize("method", ["groove", "crush", "slit", "rebate"])
@pytest.mark.parametrize("kind", ["laser", "knife"])
@pytest.mark.parametrize("to_paper", ["to paper", "marks only"])
def test_every_fold_method_reads_back(method: Method, kind: str, to_paper: str) -> None:
    shop = workshop(cutter__kind=kind, cutter__to_paper=to_paper == "to paper", cutter__kerf_mm=0.2)
    report = check_files(complete(bundle((u_box(method),), shop), ABOUT))
    assert report.holds, report.findings


@pytest.mark.parametrize("ridge", ["groove", "crush", "slit"])
@pytest.mark.parametrize("nose", ["slit", "mitre", "two_fold"])
def test_every_wing_reads_back(ridge: RidgeMethod, nose: NoseMethod) -> None:
    report = check_files(complete(bundle(wing(ridge, nose), workshop()), ABOUT))
    assert report.holds, report.findings


@pytest.mark.parametrize(
    "changes",
    [
        {"cutter__dxf": "R12"},
        {"board__show_face": "both"},
        {"board__grain": "across", "board__sheet": ({"length_mm": 1400.0, "width_mm": 1000.0},)},
        {"cutter__bed_mm": (700.0, 330.0), "board__sheet": ({"length_mm": 1400.0, "width_mm": 1000.0},)},
        {"paper": "Letter", "board__border_mm": 0.0, "cutter__kerf_mm": 0.5},
    ],
)
def test_workshops_of_all_kinds_read_back(changes: dict[str, object]) -> None:
    report = check_files(complete(bundle(kit(), workshop(**changes)), ABOUT))
    assert report.holds, report.findings


@pytest.mark.parametrize("seed", [0, 1, 3, 6])
def test_random_bodies_read_back(seed: int) -> None:
    """Tapers, bends, corner folds that stop short of bends, formers and decks; kerf and rounding beside them.

    A plan set that is right must not be refused: what the readback takes for damage, nobody gets.
    """
    part, stuff, tilt = random_box(np.random.default_rng([seed, 77]))
    build = build_box(part, stuff, tilt)
    assert build.blanks
    assert not any(finding.verdict == "no-go" for finding in build.findings), build.findings
    kerf = (0.0, 0.1, 0.15, 0.2)[seed % 4]
    large = {"board__sheet": ({"length_mm": 1400.0, "width_mm": 1000.0},), "cutter__bed_mm": None}
    shop = workshop(cutter__kerf_mm=kerf, cutter__kind=("laser", "knife")[seed % 2], **large)
    report = check_files(complete(bundle(build.blanks, shop), ABOUT))
    assert report.holds, report.findings


def test_several_kits_read_back() -> None:
    blanks: tuple[Blank, ...] = (u_box(), plate(), former())
    report = check_files(complete(bundle(blanks, workshop(), kits=3), ABOUT))
    assert report.holds, report.findings
    assert any("fuselage/box #3: outline" in row.what for row in report.rows)


def test_a_changed_file_is_named() -> None:
    files = {**sample(), "CHANGES.md": b"something else\n"}
    report = check_files(files)
    assert [(f.code, f.where) for f in report.findings] == [("R01", "CHANGES.md")]
    assert words(report.findings[0]).says == "CHANGES.md should be as the manifest lists it; it is changed."


def test_a_missing_file_is_named() -> None:
    files = {k: v for k, v in sample().items() if k != "sheet-1.svg"}
    assert "sheet-1.svg" in {f.where for f in check_files(files).findings}


def test_files_of_the_users_own_are_one_watch() -> None:
    """Notes and pictures named in one finding; what a file manager leaves behind, in none."""
    litter = dict.fromkeys((".DS_Store", "views/Thumbs.db", "desktop.ini", ".git/config"), b"x")
    assert check_files({**sample(), **litter}).findings == ()
    own = {f"picture-{n}.jpg": b"x" for n in range(6)}
    report = check_files({**sample(), **litter, **own})
    assert report.holds
    assert [(f.code, f.verdict) for f in report.findings] == [("R14", "watch")]
    assert report.findings[0].where.endswith("picture-3.jpg and 2 more")
    assert [row.holds for row in report.rows if row.code == "R01"] == [True] * (len(sample()) - 1)


@pytest.mark.parametrize("name", sorted(sample()))
def test_no_file_can_be_cut_short(name: str) -> None:
    data = sample()[name]
    report = check_files({**sample(), name: data[: len(data) // 2]})
    assert not report.holds
    assert codes(report) & {"R01", "R02"}


@pytest.mark.parametrize(
    "name",
    [
        "sheet-1.dxf",
        "sheet-1.svg",
        "sheet-1.pdf",
        "sheet-1-tiled.pdf",
        "airframe.json",
        "layout.toml",
        "workshop.toml",
        "setup-card.json",
    ],
)
def test_a_file_cut_short_is_seen_even_if_the_manifest_agrees(name: str) -> None:
    data = sample()[name]
    report = check_files(again(sample(), **{name: data[: len(data) // 2]}))
    assert not report.holds


@pytest.mark.parametrize("corner", range(4))
def test_a_corner_moved_by_a_fifth_of_a_millimetre_is_seen(corner: int) -> None:
    def move(items: Items) -> Items:
        largest = max((i for i in items if isinstance(i, Path) and i.pen == "cut"), key=_extent)
        points = list(largest.points)
        x, y = points[corner]
        points[corner] = (x + 0.15, y + 0.13)
        return [Path("cut", "", tuple(points), closed=True) if i is largest else i for i in items]

    report = check_files(again(sample(), **{"sheet-1.dxf": redrawn(sample()["sheet-1.dxf"], move)}))
    assert "R03" in codes(report)


def _extent(path: Path) -> float:
    return float(np.ptp(np.array(path.points), axis=0).sum())


@pytest.mark.parametrize(
    ("name", "pen", "face"),
    [("sheet-1-b", "to_paper", "a"), ("sheet-1", "to_paper", "b"), ("sheet-1", "mark", "b")],
)
def test_every_line_that_is_left_out_is_seen(name: str, pen: str, face: str) -> None:
    """One line after the other is taken out of the file; each loss is found."""
    data = sample()[f"{name}.dxf"]
    chosen = [
        k for k, i in enumerate(read_dxf(data)) if isinstance(i, Path) and (i.pen, i.face) == (pen, face)
    ]
    assert chosen
    for index in chosen:
        items = read_dxf(data)
        del items[index]
        report = check_files(again(sample(), **{f"{name}.dxf": redrawn(data, partial(_instead, items))}))
        assert codes(report) & {"R04", "R05"}, f"{pen} {index}"


def _instead(items: Items, _: Items) -> Items:
    return items


def test_a_fold_line_moved_is_seen() -> None:
    def move(items: Items) -> Items:
        line = next(i for i in items if isinstance(i, Path) and i.pen == "to_paper")
        shifted = Path(line.pen, line.face, tuple((x, y + 0.2) for x, y in line.points))
        return [shifted if i is line else i for i in items]

    report = check_files(again(sample(), **{"sheet-1-b.dxf": redrawn(sample()["sheet-1-b.dxf"], move)}))
    assert "R04" in codes(report)


def test_a_mark_on_the_other_face_is_seen() -> None:
    def move(items: Items) -> Items:
        return [
            Path(i.pen, "b", i.points) if isinstance(i, Path) and (i.pen, i.face) == ("mark", "a") else i
            for i in items
        ]

    report = check_files(again(sample(), **{"sheet-1-b.dxf": redrawn(sample()["sheet-1-b.dxf"], move)}))
    missing = [f for f in report.findings if f.code == "R05"]
    assert any("balance-left on face a" in f.where for f in missing)


def test_words_that_say_something_else_are_seen() -> None:
    """The wrong face up, another angle, another method: the lines alone would still agree."""

    def say(old: str, new: str) -> set[str]:
        def change(items: Items) -> Items:
            assert any(isinstance(i, Text) and old in i.text for i in items)
            return [replace(i, text=i.text.replace(old, new)) if isinstance(i, Text) else i for i in items]

        return codes(
            check_files(again(sample(), **{"sheet-1.dxf": redrawn(sample()["sheet-1.dxf"], change)}))
        )

    assert say("face B up", "face A up") == {"R06"}
    assert say("ridge, groove ", "ridge, groove 9") == {"R04"}
    assert say("ridge, groove ", "ridge, crush ") == {"R04"}


def test_a_dxf_in_inches_is_seen() -> None:
    data = sample()["sheet-1.dxf"]
    old, new = b"$INSUNITS\n 70\n4\n", b"$INSUNITS\n 70\n1\n"
    assert data.count(old) == 1
    assert codes(check_files(again(sample(), **{"sheet-1.dxf": data.replace(old, new)}))) == {"R08"}


def test_a_line_more_is_seen() -> None:
    def add(items: Items) -> Items:
        line = next(i for i in items if isinstance(i, Path) and (i.pen, i.face) == ("to_paper", "b"))
        (x0, y0), (x1, y1) = line.points
        return [*items, Path("to_paper", "b", ((x0 + 5, y0 - 15), (x1 - 5, y1 - 15)))]

    report = check_files(again(sample(), **{"sheet-1.dxf": redrawn(sample()["sheet-1.dxf"], add)}))
    assert "R06" in codes(report)


@pytest.mark.parametrize(
    ("old", "new"),
    [
        (b'width="700mm"', b'width="705mm"'),
        (b'viewBox="0 0 700 500"', b'viewBox="0 0 705 500"'),
        (b'<g id="cut"', b'<g transform="scale(1.01)" id="cut"'),
    ],
)
def test_an_svg_that_is_scaled_is_seen(old: bytes, new: bytes) -> None:
    data = sample()["sheet-1.svg"]
    assert old in data
    report = check_files(again(sample(), **{"sheet-1.svg": data.replace(old, new)}))
    assert codes(report) == {"R08"}


def test_two_lines_whose_order_rounding_changes_agree() -> None:
    """SVG has three places, DXF six: 10.00049999 is 10.000 in the first and 10.000500 in the other."""
    places = ((10.00049999, 40.0), (10.0003, 20.0), (60.0, 9.0))
    lines = tuple(Path("crush", "b", ((x, y), (x, y + 5.0))) for x, y in places)
    drawing = Drawing("x", 100.0, 100.0, lines)
    table = Table()
    check_svg(table, "x", to_svg(drawing), 100.0, 100.0, read_dxf(to_dxf(drawing)))
    row = next(row for row in table.rows if row.what == "x: crush lines against the DXF")
    assert row.holds, row


def test_a_pdf_of_another_size_is_seen() -> None:
    data = sample()["sheet-1.pdf"].replace(b"/MediaBox[0 0 1984.252 ", b"/MediaBox[0 0 1994.252 ")
    report = check_files(again(sample(), **{"sheet-1.pdf": data}))
    assert codes(report) == {"R08"}


def test_a_card_that_says_something_else_is_seen() -> None:
    card = json.loads(sample()["setup-card.json"])
    card["reference"]["board_mass_g"] += 0.2
    card["reference"]["balance_mm_behind_le"] -= 0.2
    card["reference"]["marks"][0]["points_mm"][0][0] += 0.2
    report = check_files(again(sample(), **{"setup-card.json": json.dumps(card).encode()}))
    named = [(f.code, f.where) for f in report.findings]
    assert [code for code, _ in named] == ["R07", "R07", "R05"]


def test_an_angle_that_differs_moves_the_balance() -> None:
    data = json.loads(sample()["airframe.json"])
    blank = next(b for b in data["blanks"] if b["name"] == "fuselage/box")
    blank["folds"][0]["angle_deg"] = 80.0
    report = check_files(again(sample(), **{"airframe.json": json.dumps(data).encode()}))
    assert "R07" in codes(report)


def test_another_kerf_is_seen() -> None:
    data = sample()["workshop.toml"].replace(b"kerf_mm = 0.3", b"kerf_mm = 0.5")
    assert "R03" in codes(check_files(again(sample(), **{"workshop.toml": data})))


def test_without_a_manifest_nothing_holds() -> None:
    files = {k: v for k, v in sample().items() if k != NAME}
    assert ("R01", NAME) in [(f.code, f.where) for f in check_files(files).findings]


def test_a_zip_reads_like_its_folder(tmp_path: FilePath) -> None:
    archive = tmp_path / "set.zip"
    archive.write_bytes(pack(sample(), "set"))
    assert readback(archive).holds
    with ZipFile(archive, "a") as more:
        more.writestr("a note.txt", "x")
        more.writestr("__MACOSX/set/._manifest.json", "x")
    assert readback(archive).holds
    archive.write_bytes(archive.read_bytes()[:2000])
    assert codes(readback(archive)) == {"R02"}


def test_every_finding_has_its_sentence() -> None:
    report = check_files({k: v for k, v in sample().items() if k.endswith((".json", ".toml"))})
    assert report.findings
    for finding in report.findings:
        assert words(finding).says
