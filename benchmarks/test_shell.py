"""How long a cold shell waits for the command line's first word."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Callable

from pytest_benchmark.fixture import BenchmarkFixture


def test_help_from_a_cold_shell(
    benchmark: BenchmarkFixture, figures: Callable[[str, float, float, str], None]
) -> None:
    code = "from foldwright.cli import main; main()"

    def run() -> None:
        subprocess.run([sys.executable, "-c", code, "--help"], check=True, capture_output=True)

    benchmark.pedantic(run, rounds=9, warmup_rounds=1)
    assert benchmark.stats is not None
    figures("foldwright --help, cold shell", benchmark.stats.stats.median, 0.3, "s")
