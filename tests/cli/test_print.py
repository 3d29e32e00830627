"""`foldwright print`: a list, one part, wishes, what is refused, and what is written."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import pytest

from foldwright.cli.print_work import bed_of
from foldwright.design.load import built_in_stock, load_design
from foldwright.design.save import set_value
from foldwright.make.formats.threemf_read import read_3mf
from tests.cli.commands import WORKSHOPS, Said, run
from tests.world import EXAMPLES

HOME = WORKSHOPS / "home-knife.toml"
TABLES = """
[[fitting]]
kind = "battery_stop"
id = "battery-stop"

[[fitting]]
kind = "landing_leg"
id = "main-leg"
leg = "main"
"""


@cache
def text() -> str:
    """Teasel with a stop and legs, and no other fittings."""
    kept, skipping = [], False
    for line in (EXAMPLES / "teasel.toml").read_text(encoding="utf-8").splitlines():
        if line.startswith("["):
            skipping = line.startswith("[[fitting]]")
        if not skipping:
            kept.append(line)
    return "\n".join(kept) + TABLES


@pytest.fixture
def design(tmp_path: Path) -> Path:
    file = tmp_path / "teasel.toml"
    file.write_text(text(), encoding="utf-8")
    return file


def printed(design: Path, *more: str | Path) -> Said:
    return run("print", design, *more, "--workshop", HOME, "--json")


def test_the_sample_is_a_design(design: Path) -> None:
    assert load_design(design, stock=built_in_stock()).value is not None


def test_a_list_writes_nothing(design: Path, tmp_path: Path) -> None:
    said = run(
        "print", design, "--workshop", HOME, "--group", "fittings", "--list", "--out", tmp_path / "out"
    )
    assert said.code == 0
    assert "fittings/main-leg-left" in said.out
    assert not (tmp_path / "out").exists()


def test_one_part_is_written_whole(design: Path, tmp_path: Path) -> None:
    out = tmp_path / "out"
    said = printed(design, "battery-stop", "--group", "fittings", "--out", out)
    assert said.code == 0
    assert [row["file"] for row in said.data["jobs"]] == ["fittings/battery-stop"]
    names = sorted(path.relative_to(out).as_posix() for path in out.rglob("*") if path.is_file())
    assert names == [
        "fittings/battery-stop.3mf", "fittings/battery-stop.stl", "prints.json", "prints.pdf", "prints.txt",
    ]  # fmt: skip
    (one,) = read_3mf((out / "fittings" / "battery-stop.3mf").read_bytes())
    assert one.name == "battery-stop"


def test_step_files_are_for_other_programs(design: Path, tmp_path: Path) -> None:
    out = tmp_path / "out"
    assert printed(design, "battery-stop", "--group", "fittings", "--out", out, "--step").code == 0
    assert (out / "fittings" / "battery-stop.step").read_bytes().startswith(b"ISO-10303-21;")


@pytest.mark.parametrize("ending", ["svg", "pdf"])
def test_a_picture(design: Path, tmp_path: Path, ending: str) -> None:
    file = tmp_path / f"parts.{ending}"
    assert printed(design, "--group", "fittings", "--gallery", file).code == 0
    assert file.read_bytes()[:5] == {"svg": b"<?xml", "pdf": b"%PDF-"}[ending]


def test_both_hands_go_by_the_name_of_their_table(design: Path) -> None:
    said = printed(design, "main-leg", "--group", "fittings")
    assert [row["file"] for row in said.data["jobs"]] == ["fittings/main-leg-right", "fittings/main-leg-left"]


def test_wishes_go_before_the_files_and_are_said(design: Path) -> None:
    said = printed(
        design, "battery-stop", "--group", "fittings", "--filament", "asa", "--bed", "120 x 120 x 90"
    )
    assert said.code == 0
    assert "P08" in said.codes
    assert said.data["jobs"][0]["filament"] == "asa"


def test_legs_that_are_not_solid_are_refused(design: Path, tmp_path: Path) -> None:
    said = printed(design, "main-leg", "--group", "fittings", "--infill", "15", "--out", tmp_path / "out")
    assert said.code == 1
    reasons = [row for row in said.data["findings"] if row["verdict"] == "no-go"]
    assert [(row["code"], row["where"]) for row in reasons] == [("P60", "--infill")]
    assert "--infill" in reasons[0]["cure"]
    assert "infill_pct" not in reasons[0]["cure"]
    assert not (tmp_path / "out").exists()


def test_legs_of_the_file_that_are_not_solid_name_the_key(design: Path) -> None:
    design.write_text(text() + "infill_pct = 15.0\n", encoding="utf-8")
    said = printed(design, "--group", "fittings", "--list")
    rows = [row for row in said.data["findings"] if row["where"] == "fitting.main-leg.infill_pct"]
    assert rows
    assert all("infill_pct" in row["cure"] and "--infill" not in row["cure"] for row in rows)


def test_horns_and_mounts_that_are_not_solid_are_refused(tmp_path: Path) -> None:
    said = run(
        "print", EXAMPLES / "marram.toml", "--workshop", HOME, "--group", "fittings", "--infill", "0",
        "--out", tmp_path / "out", "--json",
    )  # fmt: skip
    assert said.code == 1
    rows = [row for row in said.data["findings"] if row["code"] == "P116"]
    assert {row["where"] for row in rows} == {"--infill"}
    assert any("tears out" in row["says"] for row in rows)
    assert any("breaks at its hole" in row["says"] for row in rows)
    assert not (tmp_path / "out").exists()


def test_what_does_not_go_on_the_bed(design: Path, tmp_path: Path) -> None:
    said = printed(design, "main-leg", "--group", "fittings", "--bed", "40x40x40", "--out", tmp_path / "out")
    assert said.code == 1
    assert "P06" in said.codes
    assert not (tmp_path / "out").exists()


@pytest.mark.parametrize(
    ("more", "where", "code"),
    [
        (["--bed", "180x180"], "--bed", "P09"),
        (["--bed", "axbxc"], "--bed", "P09"),
        (["--infill", "101"], "--infill", "P09"),
        (["--infill", "nan"], "--infill", "P09"),
        (["--kind", "thin"], "--kind", "P09"),
        (["--group", "wings"], "--group", "P09"),
        (["--filament", "petk"], "--filament", "F22"),
        (["main-lig", "--group", "fittings"], "main-lig", "P09"),
    ],
)
def test_options_that_cannot_be_meant(design: Path, more: list[str], where: str, code: str) -> None:
    said = printed(design, *more)
    assert said.code == 2
    row = next(row for row in said.data["findings"] if row["code"] == code)
    assert row["where"] == where
    assert row["cure"]


def test_all_mistakes_come_in_one_run(design: Path) -> None:
    said = printed(design, "--bed", "1x1x1", "--infill", "-1", "--kind", "thin", "--filament", "x")
    assert {row["where"] for row in said.data["findings"]} >= {"--bed", "--infill", "--kind", "--filament"}


def test_a_folder_that_is_a_file(design: Path) -> None:
    said = printed(design, "--out", design)
    assert said.code == 2
    assert "F51" in said.codes


def test_a_design_that_cannot_be_read(tmp_path: Path) -> None:
    broken = tmp_path / "broken.toml"
    changed = set_value(text(), "battery.z_mm", "low")
    assert isinstance(changed, str)
    broken.write_text(changed, encoding="utf-8")
    assert printed(broken).code == 2


@pytest.mark.parametrize(
    ("typed", "size"),
    [("180x170x160", (180.0, 170.0, 160.0)), ("180 × 170.5 × 160", (180.0, 170.5, 160.0)), ("5x5x5", None)],
)
def test_sizes_of_a_bed(typed: str, size: tuple[float, float, float] | None) -> None:
    assert bed_of(typed) == size


def templates_of(*more: str | Path, workshop: str = "home-knife") -> Said:
    return run(
        "print", EXAMPLES / "marram.toml", *more, "--workshop", WORKSHOPS / f"{workshop}.toml", "--json"
    )


def test_one_plate_is_laid_without_the_others() -> None:
    said = templates_of("wing/main", "--group", "templates")
    assert said.code == 0
    names = sorted(name for row in said.data["jobs"] for name in row["objects"])
    assert names
    assert all(name.startswith("wing-main") for name in names)
    whole = templates_of("--group", "templates")
    every = [name for row in whole.data["jobs"] for name in row["objects"]]
    assert names == sorted(name for name in every if name.startswith("wing-main"))
    assert said.data["grams"] < whole.data["grams"] / 2
    assert all(row["file"].startswith("templates/wing-main") for row in said.data["jobs"])


def test_one_piece_and_one_bed() -> None:
    piece = templates_of("wing-main-2", "--group", "templates")
    assert [row["objects"] for row in piece.data["jobs"]] == [["wing-main-2"]]
    bed = templates_of("templates-bed-1", "--group", "templates")
    assert [row["file"] for row in bed.data["jobs"]] == ["templates/templates-bed-1"]


def test_the_other_of_a_pair_comes_from_its_partners_plate() -> None:
    said = templates_of("fin/left", "--group", "templates")
    assert [row["objects"] for row in said.data["jobs"]] == [["fin-right"]]
    assert any("turned over for fin/left" in line for line in said.data["templates"])


def test_one_blank_on_paper(tmp_path: Path) -> None:
    out = tmp_path / "out"
    said = templates_of("wing/main", "--kind", "paper", "--group", "templates", "--out", out)
    assert said.code == 0
    assert said.data["drawings"] == ["templates/wing-main-sheet.pdf"]
    assert (out / "templates" / "wing-main-sheet.pdf").read_bytes().startswith(b"%PDF-")


def test_a_plate_without_a_cut_says_why_and_is_on_paper() -> None:
    said = templates_of("wing/main", "--kind", "full", "--group", "templates")
    assert "P100" in said.codes
    assert said.data["jobs"] == []
    assert said.data["drawings"] == ["templates/wing-main-sheet.pdf"]


@pytest.mark.parametrize("part", [[], ["wing/main"]])
def test_a_laser_has_no_templates_and_says_why(part: list[str]) -> None:
    said = templates_of(*part, "--group", "templates", "--list", workshop="school-laser")
    assert said.code == 1
    (row,) = [row for row in said.data["findings"] if row["code"] == "P03"]
    assert (row["verdict"], row["where"]) == ("no-go", "template.make")
    assert "laser" in row["says"]
    assert 'template.make = "always"' in row["cure"]


def test_without_a_printer_templates_are_on_paper_and_it_says_why(tmp_path: Path) -> None:
    lines, skipping = [], False
    for line in HOME.read_text(encoding="utf-8").splitlines():
        if line.startswith("["):
            skipping = line.startswith("[printer]")
        if not skipping:
            lines.append(line)
    bench = tmp_path / "bench.toml"
    bench.write_text("\n".join(lines), encoding="utf-8")
    said = run(
        "print", EXAMPLES / "marram.toml", "--group", "templates", "--list", "--workshop", bench, "--json"
    )
    assert said.code == 0
    assert [(row["verdict"], row["where"]) for row in said.data["findings"] if row["code"] == "P03"] == [
        ("watch", "printer")
    ]


def test_a_list_with_a_gallery_writes_the_gallery_alone(design: Path, tmp_path: Path) -> None:
    file, out = tmp_path / "stop.svg", tmp_path / "out"
    said = printed(design, "battery-stop", "--group", "fittings", "--list", "--gallery", file, "--out", out)
    assert said.code == 0
    assert file.exists()
    assert not out.exists()
