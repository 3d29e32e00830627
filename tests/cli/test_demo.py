"""`foldwright demo`, from end to end."""

from __future__ import annotations

from pathlib import Path

import pytest

import foldwright
from foldwright.cli import demo
from foldwright.cli.demo import WORKSHOPS, demo_files
from tests.cli.commands import run
from tests.world import EXAMPLES


@pytest.mark.slow
def test_the_demo_writes_plan_sets_that_read_back(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """One design of the three; test_examples.py writes and reads the sets of all."""
    assert all((EXAMPLES / file).is_file() for file in demo.DESIGNS)
    monkeypatch.setattr(demo, "DESIGNS", ("marram.toml",))
    said = run("demo", "--out", tmp_path / "demo")
    assert said.code == 0, said.out + said.err
    assert said.out.count("files agree; flight not verified") == 3
    assert said.out.count("Verdict: clear (0 no-go, 0 watch") == 3
    for name in WORKSHOPS:
        folder = tmp_path / "demo" / f"marram-a-{name}"
        assert (folder / "manifest.json").is_file()
        assert str(folder / "setup-card.pdf") in said.out
    again = run("readback", tmp_path / "demo" / "marram-a-home-knife", "--json")
    assert (again.code, again.data["verdict"]) == (0, "clear")


def test_the_demo_in_json_where_it_cannot_write(tmp_path: Path) -> None:
    (tmp_path / "file").touch()
    said = run("demo", "--out", tmp_path / "file", "--json")
    assert (said.code, said.codes, said.data["plan_sets"]) == (2, {"F51"}, [])


def test_the_demo_files_of_the_package_come_first(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    assert demo_files() == EXAMPLES
    package = tmp_path / "somewhere" / "foldwright"
    (package / "examples").mkdir(parents=True)
    monkeypatch.setattr(foldwright, "__file__", str(package / "__init__.py"))
    missing = run("demo", "--json")
    assert (missing.code, missing.codes) == (2, {"F54"})
    (package / "examples" / "marram.toml").touch()
    assert demo_files() == package / "examples"
