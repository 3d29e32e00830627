"""`new`, `schema`, `stock`, help and usage."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

import foldwright
from foldwright.cli.new import about, starters
from foldwright.cli.stock import EntryKind
from foldwright.design.load import built_in_stock, starter
from foldwright.design.references import STOCK_KINDS
from tests.cli.commands import DESIGN, SCHOOL, design_file, run

COMMANDS = ("new", "check", "plans", "readback", "schema", "stock", "demo")


def test_help_names_every_command_and_the_exit_codes() -> None:
    said = run("--help")
    assert said.code == 0
    assert all(f"  {name} " in said.out for name in COMMANDS)
    assert "Exit code: 0 clear or watch, 1 no-go, 2 unusable input" in said.out
    assert "..." not in said.out.partition("Commands:")[2]


@pytest.mark.parametrize("name", COMMANDS)
def test_every_command_has_help_and_json(name: str) -> None:
    said = run(name, "-h")
    assert said.code == 0
    assert "--json" in said.out


def test_version() -> None:
    said = run("--version")
    assert (said.code, said.out) == (0, f"foldwright {foldwright.__version__}\n")


@pytest.mark.parametrize("words", [["bake"], ["check"], ["check", "--nonsense", "x"], ["stock", "wheel"], []])
def test_usage_errors_exit_with_2_and_keep_standard_output_clean(words: list[str]) -> None:
    said = run(*words)
    assert said.code == 2
    assert "Error" not in said.out


def test_new_writes_a_design_that_is_clear(tmp_path: Path) -> None:
    file = tmp_path / "mine.toml"
    said = run("new", file, "--name", "Sandpiper")
    assert said.code == 0
    assert str(file) in said.out
    assert 'name = "Sandpiper"' in file.read_text(encoding="utf-8")
    checked = run("check", file, "--json")
    assert (checked.code, checked.data["design"]["name"]) == (0, "Sandpiper")


def test_new_overwrites_nothing(tmp_path: Path) -> None:
    file = design_file(tmp_path)
    before = file.read_bytes()
    said = run("new", file, "--json")
    assert (said.code, said.codes, said.data["written"]) == (2, {"F50"}, None)
    assert file.read_bytes() == before


def test_new_in_a_folder_that_is_none(tmp_path: Path) -> None:
    said = run("new", tmp_path / "none" / "mine.toml", "--json")
    assert (said.code, said.codes) == (2, {"F51"})


def test_new_refuses_a_name_too_long(tmp_path: Path) -> None:
    file = tmp_path / "mine.toml"
    said = run("new", file, "--name", "x" * 81, "--json")
    assert (said.code, said.codes) == (2, {"F18"})
    assert not file.exists()


@pytest.mark.parametrize("kind", ["design", "workshop", "stock"])
def test_schema_is_json(kind: str, tmp_path: Path) -> None:
    printed = run("schema", kind)
    assert printed.code == 0
    assert printed.data["$schema"].startswith("https://json-schema.org/")
    file = tmp_path / "schema.json"
    assert run("schema", kind, "--out", file, "--json").data["written"] == str(file)
    assert json.loads(file.read_text(encoding="utf-8")) == printed.data


def test_schema_that_cannot_be_written(tmp_path: Path) -> None:
    said = run("schema", "--out", tmp_path / "none" / "schema.json", "--json")
    assert (said.code, said.codes) == (2, {"F51"})


def test_stock_lists_numbers_and_sources() -> None:
    said = run("stock", "motor")
    assert said.code == 0
    assert "static_thrust_n" in said.out
    assert "source: typical" in said.out
    assert "lipo" not in said.out
    rows = run("stock", "--json").data["entries"]
    assert len(rows) == len(built_in_stock().entry)
    assert {row["kind"] for row in run("stock", "battery", "--json").data["entries"]} == {"battery"}


def test_the_kinds_offered_are_the_kinds_there_are() -> None:
    assert {kind.value for kind in EntryKind} == {kind for kinds in STOCK_KINDS.values() for kind in kinds}


def test_own_stock_is_listed_and_its_mistakes_are_found(tmp_path: Path) -> None:
    own = tmp_path / "stock.toml"
    entry = (
        'kind = "spar"\nid = "our-spar"\nname = "pine"\nsource = "weighed"\nwidth_mm = 5.0\nheight_mm = 8.0\n'
    )
    own.write_text(f"format = 1\n[[entry]]\n{entry}mass_g_m = 20.0\n", encoding="utf-8")
    assert "our-spar" in run("stock", "spar", "--stock", own).out
    own.write_text(f"format = 1\n[[entry]]\n{entry}mass_g_m = -20.0\n", encoding="utf-8")
    said = run("stock", "--stock", own, "--json")
    assert (said.code, said.codes, said.data["entries"]) == (2, {"F12"}, [])


def test_new_writes_a_workshop_that_builds_the_demo(tmp_path: Path) -> None:
    file = tmp_path / "bench.toml"
    said = run("new", file, "--workshop", "--name", "Reed Street shed")
    assert said.code == 0
    assert 'name = "Reed Street shed"' in file.read_text(encoding="utf-8")
    assert run("check", DESIGN, "--workshop", file, "--no-cures").code == 0


def test_findings_of_files_say_which_file(tmp_path: Path) -> None:
    """`name`, `id` and `format` stand in several files, so the key alone says too little."""
    empty = tmp_path / "bench.toml"
    empty.write_text("format = 1\n", encoding="utf-8")
    said = run("check", DESIGN, "--workshop", empty)
    assert said.code == 2
    assert said.out.splitlines()[0].startswith(str(empty))
    rows = run("check", DESIGN, "--workshop", empty, "--json").data["findings"]
    assert {row["file"] for row in rows} == {str(empty)}


def test_check_lays_the_blanks_out(tmp_path: Path) -> None:
    """One small sheet only: every blank fits it, all of them together do not."""
    text = SCHOOL.read_text(encoding="utf-8").replace("price = 4.2", "price = 4.2\ncount = 1")
    bench = tmp_path / "bench.toml"
    bench.write_text(text, encoding="utf-8")
    said = run("check", DESIGN, "--workshop", bench, "--no-cures", "--json")
    grave = {row["code"] for row in said.data["findings"] if row["verdict"] != "clear"}
    assert any(code.startswith("S0") for code in grave)


def test_new_lists_the_starters_with_a_line_each() -> None:
    said = run("new", "--list")
    assert said.code == 0
    for name in starters():
        assert any(line.startswith(f"{name} ") for line in said.out.splitlines()), name
    rows = run("new", "--list", "--json").data["starters"]
    assert [row["name"] for row in rows] == list(starters())
    assert all(row["says"] for row in rows)
    assert about("marram") == "a tailless pusher folded from 5 mm paper-faced foam board."


def test_new_starts_from_any_of_them(tmp_path: Path) -> None:
    for name in starters():
        file = tmp_path / f"{name}.toml"
        assert run("new", file, "--like", name.upper()).code == 0
        assert file.read_text(encoding="utf-8") == starter(name)


def test_new_like_nothing_there_is(tmp_path: Path) -> None:
    file = tmp_path / "mine.toml"
    said = run("new", file, "--like", "maram", "--json")
    assert (said.code, said.codes) == (2, {"F56"})
    assert "--like marram" in said.data["findings"][0]["cure"]
    assert not file.exists()


@pytest.mark.parametrize("words", [["new"], ["new", "x.toml", "--workshop", "--like", "marram"]])
def test_new_needs_a_file_and_a_workshop_has_one_start(words: list[str]) -> None:
    said = run(*words)
    assert (said.code, said.out) == (2, "")
