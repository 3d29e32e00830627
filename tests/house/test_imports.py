"""Which room may import which, and what the pure rooms must never touch."""

from __future__ import annotations

import ast
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest

from tests.house.source import PACKAGE, ROOT, read, relative

# Calls that the import contracts cannot see: built in, or inside a library that is otherwise allowed.
IMPURE_CALLS = frozenset({"open", "print", "input", "breakpoint", "exec", "eval", "__import__"})
IMPURE_ATTRIBUTES = frozenset(
    {"random", "tofile", "fromfile", "savetxt", "loadtxt", "save", "savez", "memmap", "genfromtxt"}
)


def impurity(node: ast.AST) -> str | None:
    """What a node of a syntax tree does that a pure room may not; None if nothing."""
    match node:
        case ast.Call(func=ast.Name(id=name)) if name in IMPURE_CALLS:
            return f"calls {name}"
        case ast.Attribute(value=ast.Name(id="np" | "numpy"), attr=name) if name in IMPURE_ATTRIBUTES:
            return f"uses numpy.{name}"
        case ast.ImportFrom(module=str(module)) if module.startswith("numpy.random"):
            return "imports numpy.random"
        case ast.ImportFrom(module="numpy", names=names) if any(a.name == "random" for a in names):
            return "imports numpy.random"
        case ast.Import(names=names) if any(a.name.startswith("numpy.random") for a in names):
            return "imports numpy.random"
    return None


def impure(text: str, file: str) -> list[str]:
    """Uses of files, output or numpy's random numbers in a source text, each with its line."""
    return [
        f"{file}:{getattr(node, 'lineno', 0)} {what}"
        for node in ast.walk(ast.parse(text))
        if (what := impurity(node)) is not None
    ]


def check_contracts(config: Path) -> subprocess.CompletedProcess[str]:
    """Runs the import contracts of a configuration file in a process of its own."""
    code = "import sys; from importlinter.cli import lint_imports_command as run; run(sys.argv[1:])"
    return subprocess.run(
        [sys.executable, "-c", code, "--no-cache", "--no-logo", str(config)],
        cwd=ROOT,
        capture_output=True,
        text=True,
        encoding="utf-8",
        check=False,
    )


def test_the_import_contracts_hold() -> None:
    done = check_contracts(ROOT / "pyproject.toml")
    assert done.returncode == 0, done.stdout + done.stderr
    assert "4 kept, 0 broken" in done.stdout


def test_a_broken_contract_fails(tmp_path: Path) -> None:
    """The same command on a contract that our code breaks: bands are made of arrays, so base needs numpy."""
    config = tmp_path / "contract.toml"
    config.write_text(
        '[tool.importlinter]\nroot_package = "foldwright"\ninclude_external_packages = true\n'
        "[[tool.importlinter.contracts]]\n"
        'name = "no arrays"\ntype = "forbidden"\n'
        'source_modules = ["foldwright.base"]\nforbidden_modules = ["numpy"]\n',
        encoding="utf-8",
    )
    done = check_contracts(config)
    assert done.returncode != 0
    assert "no arrays BROKEN" in done.stdout


def test_the_layers_name_every_room() -> None:
    with (ROOT / "pyproject.toml").open("rb") as file:
        contracts = tomllib.load(file)["tool"]["importlinter"]["contracts"]
    layers = next(c for c in contracts if c["id"] == "layers")
    assert layers["exhaustive"] is True
    named = {part.strip(" ()") for layer in layers["layers"] for part in layer.split("|")}
    rooms = {path.stem for path in PACKAGE.iterdir() if path.is_dir() or path.suffix == ".py"}
    assert {room for room in rooms if not room.startswith("__")} <= named


@pytest.mark.parametrize("room", ["physics", "geometry"])
def test_pure_rooms_touch_nothing_outside(room: str) -> None:
    offenders = [
        line for path in sorted((PACKAGE / room).rglob("*.py")) for line in impure(read(path), relative(path))
    ]
    assert not offenders, "\n".join(offenders)


def test_the_purity_check_names_what_it_finds() -> None:
    text = "import numpy as np\nfrom numpy.random import default_rng\nopen('x')\nnp.random.rand()\n"
    assert sorted(impure(text, "a.py")) == [
        "a.py:2 imports numpy.random",
        "a.py:3 calls open",
        "a.py:4 uses numpy.random",
    ]
    for line in ("import numpy.random\n", "from numpy import random\n"):
        assert impure(line, "a.py") == ["a.py:1 imports numpy.random"]
    assert impure("import numpy as np\nx = np.zeros(3)\n", "a.py") == []
