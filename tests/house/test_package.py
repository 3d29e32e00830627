"""The package's own papers agree with each other."""

from __future__ import annotations

import ast
import re
import sys
import tomllib
from importlib import metadata
from typing import Any

import pytest
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

import foldwright
from tests.house.source import PACKAGE, ROOT, python_files, read


def project() -> dict[str, Any]:
    """The project table of pyproject.toml."""
    with (ROOT / "pyproject.toml").open("rb") as file:
        table: dict[str, Any] = tomllib.load(file)["project"]
    return table


def declared() -> list[Requirement]:
    """Every library that pyproject.toml asks for, extras included, ourselves left out."""
    table = project()
    lines = [*table["dependencies"], *(x for extra in table["optional-dependencies"].values() for x in extra)]
    wanted = [Requirement(line) for line in lines]
    return [requirement for requirement in wanted if requirement.name != "foldwright"]


def pinned() -> dict[str, str]:
    """Version by canonical name, from the constraints file."""
    lines = [
        line for line in read(ROOT / "constraints.txt").splitlines() if line and not line.startswith("#")
    ]
    return dict(line.split("==") for line in lines)


def imported(text: str) -> set[str]:
    """Top-level names of the modules that a source text imports, wherever in it."""
    found = set()
    for node in ast.walk(ast.parse(text)):
        if isinstance(node, ast.Import):
            found |= {alias.name.partition(".")[0] for alias in node.names}
        elif isinstance(node, ast.ImportFrom) and node.module and not node.level:
            found.add(node.module.partition(".")[0])
    return found


def test_the_package_runs_on_what_it_declares() -> None:
    """A library that only the tests ask for would be missing where a builder installs the wheel."""
    wanted = {canonicalize_name(Requirement(line).name) for line in project()["dependencies"]}
    owners = metadata.packages_distributions()
    modules = {name for path in python_files("src") for name in imported(read(path))}
    # pydantic_core is the half of pydantic that pydantic pins to itself.
    foreign = modules - set(sys.stdlib_module_names) - {"foldwright", "pydantic_core"}
    missing = {
        name
        for name in foreign
        if not wanted & {canonicalize_name(owner) for owner in owners.get(name, [name])}
    }
    assert not missing


def test_the_installed_version_is_the_sources_version() -> None:
    assert metadata.version("foldwright") == foldwright.__version__


def test_the_package_is_typed() -> None:
    assert (PACKAGE / "py.typed").is_file()


@pytest.mark.parametrize("requirement", declared(), ids=lambda requirement: requirement.name)
def test_every_library_is_pinned_within_its_range(requirement: Requirement) -> None:
    assert pinned()[canonicalize_name(requirement.name)] in requirement.specifier


def test_pins_are_exact_sorted_and_without_places() -> None:
    lines = [line for line in read(ROOT / "constraints.txt").splitlines() if not line.startswith("#")]
    assert all(re.fullmatch(r"[a-z0-9-]+==[0-9][0-9a-z.]*", line) for line in lines)
    names = [line.partition("==")[0] for line in lines]
    assert names == sorted(names)


def test_the_licence_is_the_one_declared() -> None:
    assert project()["license"] == "Apache-2.0"
    assert "Apache License\n                           Version 2.0" in read(ROOT / "LICENSE")


def test_the_changelog_has_a_place_for_what_is_new() -> None:
    assert "## Unreleased" in read(ROOT / "CHANGELOG.md")


def test_the_readme_names_the_two_commands() -> None:
    text = read(ROOT / "README.md")
    assert text.index("make demo") < text.index("make test")
