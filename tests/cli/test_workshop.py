"""`foldwright workshop`: set, measure, coupons."""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any

import pytest

from foldwright.cli import workshop_work
from foldwright.cli.workshop_work import keys, plain_value
from foldwright.make.formats.threemf_read import read_3mf
from tests.cli.commands import SCHOOL, WORKSHOPS, run

HOME = WORKSHOPS / "home-knife.toml"


@pytest.fixture
def bench(tmp_path: Path) -> Path:
    file = tmp_path / "bench.toml"
    file.write_bytes(HOME.read_bytes())
    return file


def _table(file: Path) -> dict[str, Any]:
    return tomllib.loads(file.read_text(encoding="utf-8"))


def test_help_names_all_three() -> None:
    said = run("workshop", "-h")
    assert said.code == 0
    assert all(f"  {name} " in said.out for name in ("set", "measure", "coupons"))
    for name in ("set", "measure", "coupons"):
        assert "--json" in run("workshop", name, "-h").out


def test_set_changes_one_value_and_keeps_the_rest(bench: Path) -> None:
    before = bench.read_text(encoding="utf-8")
    said = run("workshop", "set", bench, "cutter.kerf_mm", "0.25")
    assert said.code == 0
    assert "cutter.kerf_mm: 0 -> 0.25" in said.out
    after = bench.read_text(encoding="utf-8")
    changed = [
        pair for pair in zip(before.splitlines(), after.splitlines(), strict=True) if pair[0] != pair[1]
    ]
    assert changed == [
        (
            "kerf_mm = 0.0         # a blade takes nothing away",
            "kerf_mm = 0.25         # a blade takes nothing away",
        )
    ]


@pytest.mark.parametrize(
    ("key", "value", "wanted"),
    [
        ("cutter.to_paper", "false", False),
        ("board.thickness_mm", "[4.9, 5.1]", [4.9, 5.1]),
        ("name", "12", "12"),
        ("paper", "Letter", "Letter"),
        ("spacing_mm", "6", 6.0),
        ("printer.material", "pla", "pla"),
        ("template.plate_mm", "2.5", 2.5),
        ("board.sheet.1.count", "3", 3),
        ("cutter.pens.cut.colour", "#117733", "#117733"),
    ],
)
def test_values_of_every_sort(bench: Path, key: str, value: str, wanted: object) -> None:
    said = run("workshop", "set", bench, key, value, "--json")
    assert said.code == 0, said.out
    assert (said.data["key"], said.data["written"]) == (key, str(bench))
    here: Any = _table(bench)
    for step in key.split("."):
        here = here[int(step) - 1] if isinstance(here, list) else here[step]
    assert here == wanted


def test_a_key_left_out_tells_its_default(bench: Path) -> None:
    said = run("workshop", "set", bench, "fold.squeeze_share", "0.6")
    assert "left out (0.5) -> 0.6" in said.out
    again = run("workshop", "set", bench, "fold.squeeze_share", "0.6", "--json")
    assert (again.code, again.data["written"]) == (0, "")
    assert "already" in run("workshop", "set", bench, "fold.squeeze_share", "0.6").out


@pytest.mark.parametrize(
    ("key", "value", "code"),
    [
        ("cutter.kerf", "0.2", "P83"),
        ("cutter", "0.2", "P83"),
        ("..", "0.2", "P83"),
        ("board.sheet.9.count", "3", "P83"),
        ("cutter.kerf_mm", "9", "F12"),
        ("cutter.kerf_mm", "-1", "F12"),
        ("printer.material", "birch", "F22"),
        ("format", "2", "F"),
        ("board.thickness_mm", "[]", "F"),
        ("cutter.kerf_mm", "wide", "F"),
        ("cutter.kerf_mm", "nan", "F"),
    ],
)
def test_what_would_break_the_file_is_refused(bench: Path, key: str, value: str, code: str) -> None:
    before = bench.read_bytes()
    said = run("workshop", "set", bench, "--json", "--", key, value)
    assert said.code == 2
    assert any(found.startswith(code) for found in said.codes)
    assert all(row["cure"] for row in said.data["findings"])
    assert (said.data["written"], bench.read_bytes()) == ("", before)


def test_an_unknown_key_names_the_nearest(bench: Path) -> None:
    said = run("workshop", "set", bench, "cutter.kerf", "0.2")
    assert "cutter.kerf_mm comes nearest" in said.out
    assert {"cutter.kerf_mm", "fold.outer_radius_mm", "printer.clearance_mm", "board.thickness_mm"} <= set(
        keys()
    )
    assert "board.sheet" not in keys()


def test_files_that_cannot_be_used(tmp_path: Path) -> None:
    assert run("workshop", "set", tmp_path / "none.toml", "name", "x", "--json").codes == {"F01"}
    file = tmp_path / "broken.toml"
    file.write_text("format = 1\nname = \n", encoding="utf-8")
    said = run("workshop", "set", file, "name", "x", "--json")
    assert (said.code, said.codes) == (2, {"F06"})


def test_a_file_that_cannot_be_written_stays(bench: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def full(_path: Path, _text: str) -> None:
        raise OSError(28, "No space left on device")

    before = bench.read_bytes()
    monkeypatch.setattr("foldwright.base.atomic.write_text", full)
    said = run("workshop", "set", bench, "cutter.kerf_mm", "0.2", "--json")
    assert (said.code, said.codes) == (2, {"F51"})
    assert bench.read_bytes() == before


def test_a_file_changed_meanwhile_stays(bench: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def meddled(key: str, text: str) -> object:
        bench.write_text(bench.read_text(encoding="utf-8") + "# mine\n", encoding="utf-8")
        return plain_value(key, text)

    monkeypatch.setattr(workshop_work, "plain_value", meddled)
    said = run("workshop", "set", bench, "cutter.kerf_mm", "0.2", "--json")
    assert (said.code, said.codes) == (2, {"F35"})
    assert "kerf_mm = 0.0 " in bench.read_text(encoding="utf-8")


@pytest.mark.parametrize(
    ("words", "key", "wanted"),
    [
        (["kerf", "0.25"], "cutter.kerf_mm", 0.25),
        (["radius", "--flat", "160", "--outside", "161.2"], "fold.outer_radius_mm", 2.8),
        (["squeeze", "0.65"], "fold.squeeze_share", 0.65),
        (["squeeze", "--band", "4.8"], "fold.squeeze_share", 0.49),
        (["clearance", "0.25"], "printer.clearance_mm", 0.25),
    ],
)
def test_measure_writes_what_the_coupon_reads(bench: Path, words: list[str], key: str, wanted: float) -> None:
    said = run("workshop", "measure", bench, *words, "--json")
    assert (said.code, said.data["key"], said.data["after"]) == (0, key, wanted)
    table, name = key.split(".")
    assert _table(bench)[table][name] == wanted
    assert "# Dune Lane kitchen table" in bench.read_text(encoding="utf-8")


def test_measure_refuses_what_cannot_be(bench: Path) -> None:
    before = bench.read_bytes()
    said = run("workshop", "measure", bench, "radius", "--flat", "160", "--outside", "150", "--json")
    assert (said.code, said.codes) == (2, {"P82"})
    assert run(
        "workshop", "measure", bench, "radius", "--flat", "160", "--outside", "190", "--json"
    ).codes == {"F12"}
    missing = run("workshop", "measure", bench, "radius", "--flat", "160")
    assert (missing.code, missing.out) == (2, "")
    assert "--flat and --outside" in missing.err
    assert bench.read_bytes() == before


def test_clearance_needs_a_printer(tmp_path: Path) -> None:
    text = HOME.read_text(encoding="utf-8")
    start = text.index("[printer]")
    file = tmp_path / "bare.toml"
    file.write_text(text[:start] + text[text.index("# For the first flights") :], encoding="utf-8")
    said = run("workshop", "measure", file, "clearance", "0.3", "--json")
    assert (said.code, said.codes) == (2, {"P84"})
    made = run("workshop", "coupons", file, "--out", tmp_path / "out", "--json")
    assert (made.code, made.codes) == (0, {"P80"})
    assert not list((tmp_path / "out").glob("*.3mf"))


def test_coupons_of_a_laser(tmp_path: Path) -> None:
    out = tmp_path / "new" / "coupons"
    said = run("workshop", "coupons", SCHOOL, "--out", out, "--json")
    assert said.code == 0
    names = {"kerf-comb", "fold-strips", "power-ladder"}
    wanted = {f"{name}.{ending}" for name in names for ending in ("dxf", "svg", "pdf")}
    if "printer" in _table(SCHOOL):
        wanted |= {
            f"clearance-gauge-{name}.{ending}" for name in ("plate", "pin") for ending in ("3mf", "stl")
        }
    assert set(said.data["files"]) == wanted == {one.name for one in out.iterdir()}
    assert f"Wrote {len(wanted)} files" in run("workshop", "coupons", SCHOOL, "--out", out).out


def test_coupons_solids_read_back(tmp_path: Path) -> None:
    assert run("workshop", "coupons", HOME, "--out", tmp_path).code == 0
    assert read_3mf((tmp_path / "clearance-gauge-pin.3mf").read_bytes())
    assert not (tmp_path / "power-ladder.dxf").exists()


def test_coupons_where_nothing_can_be_written(tmp_path: Path) -> None:
    file = tmp_path / "file"
    file.write_text("here", encoding="utf-8")
    said = run("workshop", "coupons", HOME, "--out", file, "--json")
    assert (said.code, said.codes, said.data["files"]) == (2, {"F51"}, [])
    assert run("workshop", "coupons", tmp_path / "none.toml", "--json").codes == {"F01"}
