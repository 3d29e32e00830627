"""The same drawing gives the same bytes in every process, whatever its hash seed, time zone and clock."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from foldwright.make import drawing as drawn
from foldwright.make.formats import dxf, pdf, svg

_ROOT = Path(__file__).resolve().parents[2]
_PROGRAM = """
import hashlib, json
from foldwright.make.formats import dxf, pdf, svg, tiles
from tests.make.format_samples import all_pens, sheet
made = {
    "R2010": dxf.to_dxf(all_pens()),
    "R12": dxf.to_dxf(all_pens(), version="R12"),
    "svg": svg.to_svg(all_pens()),
    "pdf": pdf.to_pdf([all_pens(), sheet()]),
    "tiled": pdf.to_pdf(tiles.tile(sheet(), "A4")),
}
print(json.dumps({name: hashlib.sha256(data).hexdigest() for name, data in made.items()}))
"""


def _hashes(seed: str, zone: str, folder: Path) -> dict[str, str]:
    environment = {
        **os.environ,
        "PYTHONHASHSEED": seed,
        "TZ": zone,
        "PYTHONPATH": os.pathsep.join([str(_ROOT), str(_ROOT / "src")]),
    }
    done = subprocess.run(
        [sys.executable, "-c", _PROGRAM],
        env=environment,
        cwd=folder,
        capture_output=True,
        text=True,
        check=True,
    )
    assert done.stderr == ""
    return dict(json.loads(done.stdout))


@pytest.fixture(scope="module")
def runs(tmp_path_factory: pytest.TempPathFactory) -> tuple[dict[str, str], dict[str, str]]:
    """Two processes, one after the other, so that the clock has moved on as well."""
    folder = tmp_path_factory.mktemp("bytes")
    return _hashes("0", "Pacific/Kiritimati", folder), _hashes("4711", "America/Noronha", folder)


@pytest.mark.parametrize("kind", ["R2010", "R12", "svg", "pdf", "tiled"])
def test_bytes_are_the_same_in_two_processes(runs: tuple[dict[str, str], dict[str, str]], kind: str) -> None:
    first, second = runs
    assert first[kind] == second[kind]


def test_items_that_draw_nothing_are_left_out_of_every_format() -> None:
    nothing = (drawn.Path("cut", "", ()), drawn.Path("cut", "", (), closed=True), drawn.Fill(((),), 0.5))
    bare = drawn.Drawing("t", 10.0, 10.0, nothing)
    assert dxf.read_dxf(dxf.to_dxf(bare)) == []
    assert "M  " not in svg.to_svg(bare).decode()
    assert pdf.to_pdf([bare]).startswith(b"%PDF-")
