"""The command line answers at once: what takes long to import is imported by the command that needs it."""

from __future__ import annotations

import subprocess
import sys

import pytest

HEAVY = ("ezdxf", "fontTools", "manifold3d", "numpy", "pydantic", "scipy", "shapely", "typst")


def loaded_after(code: str) -> set[str]:
    """Top-level modules present in a fresh interpreter after it has run some code."""
    script = f"import sys\n{code}\nprint('\\n'.join(sorted({{m.partition('.')[0] for m in sys.modules}})))"
    done = subprocess.run(
        [sys.executable, "-c", script], capture_output=True, text=True, encoding="utf-8", check=True
    )
    return set(done.stdout.split())


def test_importing_the_command_line_loads_nothing_heavy() -> None:
    assert loaded_after("import foldwright.cli").isdisjoint(HEAVY)


def test_help_loads_nothing_heavy() -> None:
    code = (
        "import contextlib, io\nfrom foldwright.cli import main\nsys.argv = ['foldwright', '--help']\n"
        "with contextlib.redirect_stdout(io.StringIO()), contextlib.suppress(SystemExit):\n    main()\n"
    )
    assert loaded_after(code).isdisjoint(HEAVY)


@pytest.mark.parametrize("name", HEAVY)
def test_the_check_sees_a_heavy_module(name: str) -> None:
    assert name in loaded_after(f"import {name}")
