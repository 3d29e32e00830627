"""A table of what was measured against what was aimed at, printed after the benchmarks.

A benchmark writes a row with the `figures` fixture; a figure beyond its goal is shown, not failed,
because a speed depends on the machine it is measured on.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import pytest


@dataclass(frozen=True, slots=True)
class Figure:
    """One measured value and the most it should be, in the same unit."""

    name: str
    value: float
    goal: float
    unit: str

    @property
    def verdict(self) -> str:
        """Whether the goal was met, in a word."""
        return "met" if self.value <= self.goal else "short"


ROWS = pytest.StashKey[list[Figure]]()


def pytest_configure(config: pytest.Config) -> None:
    config.stash[ROWS] = []


@pytest.fixture
def figures(pytestconfig: pytest.Config) -> Callable[[str, float, float, str], None]:
    """figures(name, value, goal, unit) adds a row to the table."""

    def add(name: str, value: float, goal: float, unit: str) -> None:
        pytestconfig.stash[ROWS].append(Figure(name, value, goal, unit))

    return add


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter, config: pytest.Config) -> None:
    rows = config.stash[ROWS]
    if not rows:
        return
    width = max(len(row.name) for row in rows)
    terminalreporter.section("measured against goal")
    for row in sorted(rows, key=lambda row: row.name):
        line = f"{row.name:<{width}}  {row.value:>10.3g} {row.unit:<4} goal {row.goal:>8.3g} {row.unit:<4}"
        terminalreporter.write_line(f"{line}  {row.verdict}")
