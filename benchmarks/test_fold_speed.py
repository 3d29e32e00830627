"""How long folding takes: a wing laid flat and folded, an aeroplane's masses, marks, checks."""

from __future__ import annotations

import itertools
from collections.abc import Callable

import numpy as np
from pytest_benchmark.fixture import BenchmarkFixture

from foldwright.base.types import FloatArray
from foldwright.geometry.fold.checks import FoldRules, check_blank
from foldwright.geometry.fold.flat import transforms
from foldwright.geometry.fold.flatcheck import fold_lines, outline
from foldwright.geometry.fold.marks import land
from foldwright.geometry.fold.mass import Material, board_moments, mass_properties
from foldwright.geometry.fold.model import Blank
from foldwright.geometry.fold.path import order_folds
from tests.strategies import Box, Section, box_blank, section_blank

Figures = Callable[[str, float, float, str], None]

WING = Section(0.3, 50.0, 130.0, 180.0, 650.0, 5.0)
BODY = Box(60.0, 55.0, 320.0, 5.0)
ROUNDS = 200
BOARD = Material(5.0, 4e-5, 1e-4)


def milliseconds(benchmark: BenchmarkFixture) -> float:
    assert benchmark.stats is not None
    return float(benchmark.stats.stats.median) * 1000.0


def test_unfold_a_wing(benchmark: BenchmarkFixture, figures: Figures) -> None:
    benchmark(section_blank, WING)
    figures("fold: lay a wing flat", milliseconds(benchmark), 1.0, "ms")


def test_fold_a_wing(benchmark: BenchmarkFixture, figures: Figures) -> None:
    blank = section_blank(WING)
    benchmark(transforms, blank, 0.7)
    figures("fold: one frame of a wing", milliseconds(benchmark), 0.1, "ms")


def test_weigh_an_aeroplane(benchmark: BenchmarkFixture, figures: Figures) -> None:
    blanks = [section_blank(WING)] * 4 + [box_blank(BODY)] * 3  # 25 panels
    parts: list[tuple[Blank, dict[str, FloatArray]]] = [(blank, transforms(blank)) for blank in blanks]
    assert sum(len(blank.panels) for blank in blanks) == 25

    def weigh() -> float:
        return mass_properties(board_moments(parts, BOARD)).mass

    benchmark(weigh)
    figures("fold: weigh 25 panels", milliseconds(benchmark), 2.0, "ms")


def test_mark_a_wing(benchmark: BenchmarkFixture, figures: Figures) -> None:
    blank = section_blank(WING)
    places = transforms(blank)
    origin, up = np.array([60.0, 100.0, -200.0]), np.array([0.0, 0.0, 1.0])
    benchmark(lambda: land(blank, origin, up, "m", transforms=places))
    figures("fold: land a mark on a wing", milliseconds(benchmark), 1.0, "ms")


def test_lines_of_a_wing(benchmark: BenchmarkFixture, figures: Figures) -> None:
    """Outline and fold lines of the flat blank, as the sheets draw them; median, ms."""
    # a new blank each time: what is known about a blank is remembered
    fresh = itertools.cycle([section_blank(WING) for _ in range(ROUNDS)])

    def run() -> None:
        blank = next(fresh)
        outline(blank)
        fold_lines(blank)

    benchmark.pedantic(run, rounds=ROUNDS)
    figures("fold: outline and lines of a wing", milliseconds(benchmark), 3.0, "ms")


def test_check_a_wing(benchmark: BenchmarkFixture, figures: Figures) -> None:
    fresh, rules = itertools.cycle([section_blank(WING) for _ in range(ROUNDS)]), FoldRules()
    benchmark.pedantic(lambda: check_blank(next(fresh), rules), rounds=ROUNDS)
    figures("fold: all checks of a wing", milliseconds(benchmark), 10.0, "ms")


def test_order_the_folds_of_a_wing(benchmark: BenchmarkFixture, figures: Figures) -> None:
    fresh = itertools.cycle([section_blank(WING) for _ in range(ROUNDS)])
    benchmark.pedantic(lambda: order_folds(next(fresh)), rounds=ROUNDS)
    figures("fold: find the order of a wing's folds", milliseconds(benchmark), 10.0, "ms")
