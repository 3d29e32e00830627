"""Running the command line: in this process, or in one of its own where streams or signals count."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

from typer.testing import CliRunner

from foldwright.cli.app import app
from foldwright.design.save import set_value
from tests.world import EXAMPLES, without_fittings

DESIGN = EXAMPLES / "marram.toml"
WORKSHOPS = EXAMPLES / "workshops"
SCHOOL = WORKSHOPS / "school-laser.toml"


@dataclass(frozen=True, slots=True)
class Said:
    """What a command said, and its exit code."""

    code: int
    out: str
    err: str

    @property
    def data(self) -> dict[str, Any]:
        """Standard output, all of it, as one JSON document."""
        found: dict[str, Any] = json.loads(self.out)
        return found

    @property
    def codes(self) -> set[str]:
        """Codes of the findings in the JSON document."""
        return {row["code"] for row in self.data["findings"]}


def run(*arguments: str | Path) -> Said:
    """A command in this process; a fault of ours comes through as the exception it is."""
    result = CliRunner().invoke(app, [str(one) for one in arguments])
    if result.exception is not None and not isinstance(result.exception, SystemExit):
        raise result.exception
    return Said(result.exit_code, result.stdout, result.stderr)


def program(*arguments: str | Path) -> list[str]:
    """The command line as another process is started with it."""
    return [sys.executable, "-c", "from foldwright.cli import main; main()", *map(str, arguments)]


def start(*arguments: str | Path, **environment: str) -> Said:
    """A command in a process of its own."""
    done = subprocess.run(
        program(*arguments), capture_output=True, check=False, env={**os.environ, **environment}
    )
    return Said(done.returncode, done.stdout.decode(), done.stderr.decode())


@cache
def design_text() -> str:
    """The demo design."""
    return DESIGN.read_text(encoding="utf-8")


def changed_text(changes: Mapping[str, Any]) -> str:
    """The demo design with values put in, right or wrong."""
    text = design_text()
    for key, value in changes.items():
        new = set_value(text, key, value)
        if not isinstance(new, str):
            raise TypeError(f"{key} cannot be set")
        text = new
    return text


def design_file(folder: Path, **changes: object) -> Path:
    """A file with the demo design and changes; keys with dots written as double underscores.

    A changed one is without the printed fittings, so that none of them has a say in what the change does.
    """
    file = folder / "design.toml"
    text = changed_text({key.replace("__", "."): value for key, value in changes.items()})
    text = without_fittings(text) if changes else text
    file.write_text(text, encoding="utf-8")
    return file
