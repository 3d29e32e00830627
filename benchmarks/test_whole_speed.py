"""The figures of the whole tool: evaluation, folding, a check and a plan set from a cold shell, memory."""

from __future__ import annotations

import itertools
import resource
import shutil
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from pytest_benchmark.fixture import BenchmarkFixture

from foldwright.airframe.build import bench_of
from foldwright.airframe.kinds import builders
from foldwright.cure import changed
from foldwright.design.load import built_in_stock, load_design, load_workshop
from foldwright.design.model import Design
from foldwright.design.parts import FoldedWing
from foldwright.design.resolve import fit
from foldwright.design.stock import Stock
from foldwright.design.workshop import Workshop
from foldwright.evaluate import evaluate
from foldwright.flight.planform import Detail
from foldwright.geometry.fold import flat
from foldwright.geometry.fold.flat import transforms
from foldwright.geometry.fold.model import Blank

Figures = Callable[[str, float, float, str], None]

EXAMPLES = Path(__file__).parent.parent / "examples"
DESIGN, WORKSHOP = EXAMPLES / "marram.toml", EXAMPLES / "workshops" / "school-laser.toml"
DETAILS: list[tuple[str, Detail, float]] = [
    ("marram", "interactive", 0.040),
    ("marram", "final", 0.250),
    ("teasel", "final", 0.250),
]
"""Design, detail and the most that one evaluation may take, s."""
SHELL = "from foldwright.cli import main; main()"


def loaded(name: str) -> tuple[Design, Workshop, Stock]:
    stock = built_in_stock()
    design = load_design(EXAMPLES / f"{name}.toml", stock=stock).value
    workshop = load_workshop(WORKSHOP, stock=stock).value
    assert design is not None
    assert workshop is not None
    return design, workshop, stock


def thicker(workshop: Workshop, step: float) -> Workshop:
    """The workshop with board `step` mm thicker."""
    places = tuple(place + step for place in workshop.board.thickness_mm)
    board = workshop.board.model_copy(update={"thickness_mm": places})
    return workshop.model_copy(update={"board": board})


@pytest.mark.parametrize(("name", "detail", "goal"), DETAILS)
def test_one_evaluation_warm(
    benchmark: BenchmarkFixture, figures: Figures, name: str, detail: Detail, goal: float
) -> None:
    """Every round has another chord: the wing and what it is joined to are new, other parts as before."""
    design, workshop, stock = loaded(name)
    chord = next(part.chord_mm for part in design.part if part.id == "wing" and isinstance(part, FoldedWing))
    chords = itertools.count(0)
    made = [changed(design, "wing.chord_mm", chord - 2.0 + 0.1 * step) for step in range(40)]

    def run() -> None:
        now = made[next(chords) % len(made)]
        assert now is not None
        assert evaluate(now, workshop, stock, None, detail).results is not None

    benchmark.pedantic(run, rounds=15, warmup_rounds=3)
    assert benchmark.stats is not None
    figures(f"evaluate {name}, {detail}, warm", benchmark.stats.stats.median, goal, "s")


@pytest.mark.parametrize(("name", "detail", "goal"), DETAILS)
def test_one_evaluation_with_every_part_new(
    benchmark: BenchmarkFixture, figures: Figures, name: str, detail: Detail, goal: float
) -> None:
    """Every round has another board, so that nothing is remembered from the round before."""
    design, workshop, stock = loaded(name)
    boards = itertools.cycle([thicker(workshop, 0.0005 * step) for step in range(40)])

    def run() -> None:
        assert evaluate(design, next(boards), stock, None, detail).results is not None

    benchmark.pedantic(run, rounds=15, warmup_rounds=3)
    assert benchmark.stats is not None
    figures(f"evaluate {name}, {detail}, every part new", benchmark.stats.stats.median, goal, "s")


@pytest.mark.parametrize("name", ["marram", "teasel", "bracken"])
def test_solve_and_fold(benchmark: BenchmarkFixture, figures: Figures, name: str) -> None:
    """All parts solved, laid flat and folded, before they are joined; nothing is remembered."""
    design, workshop, stock = loaded(name)
    fitted = fit(design, workshop, stock).value
    assert fitted is not None
    bench, kinds = bench_of(fitted, workshop), builders()

    def run() -> None:
        for part in design.part:
            for blank in kinds[type(part)](part, bench).blanks:
                transforms(blank)

    benchmark.pedantic(run, rounds=15, warmup_rounds=3)
    assert benchmark.stats is not None
    figures(f"build and fold all parts of {name}", benchmark.stats.stats.median, 0.010, "s")


@pytest.mark.parametrize("name", ["marram", "teasel", "bracken"])
def test_solve_and_fold_alone(
    benchmark: BenchmarkFixture, figures: Figures, name: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Planes met, laid flat and folded again, without holes, formers' checks, sections and guides."""
    design, workshop, stock = loaded(name)
    fitted = fit(design, workshop, stock).value
    assert fitted is not None
    bench, kinds = bench_of(fitted, workshop), builders()
    asked: list[tuple[Any, ...]] = []
    lay = flat._unfold  # noqa: SLF001 - what every part lays flat with, to be timed by itself

    def record(*given: Any) -> Blank:
        asked.append(given)
        return lay(*given)

    monkeypatch.setattr(flat, "_unfold", record)
    blanks = [blank for part in design.part for blank in kinds[type(part)](part, bench).blanks]
    monkeypatch.undo()

    def run() -> None:
        for given in asked:
            lay(*given)
        for blank in blanks:
            transforms(blank)

    benchmark.pedantic(run, rounds=15, warmup_rounds=3)
    assert benchmark.stats is not None
    figures(f"solve and fold {name}", benchmark.stats.stats.median, 0.010, "s")


def test_teasel_once_more(benchmark: BenchmarkFixture, figures: Figures) -> None:
    """The same design again, and another place of the receiver each round: no board changes."""
    design, workshop, stock = loaded("teasel")
    places = itertools.count(0)
    made = [changed(design, "equipment.receiver.x_mm", 255.0 + 0.2 * step) for step in range(40)]

    def run() -> None:
        now = made[next(places) % len(made)]
        assert now is not None
        assert evaluate(now, workshop, stock, None, "final").results is not None

    benchmark.pedantic(run, rounds=15, warmup_rounds=3)
    assert benchmark.stats is not None
    figures("evaluate teasel, final, warm, no board changed", benchmark.stats.stats.median, 0.080, "s")


def test_check_from_a_cold_shell(benchmark: BenchmarkFixture, figures: Figures) -> None:
    command = [sys.executable, "-c", SHELL, "check", str(DESIGN), "--workshop", str(WORKSHOP)]
    benchmark.pedantic(
        lambda: subprocess.run(command, check=True, capture_output=True), rounds=5, warmup_rounds=1
    )
    assert benchmark.stats is not None
    figures("foldwright check, cold shell", benchmark.stats.stats.median, 1.5, "s")


def test_plan_set_and_memory(benchmark: BenchmarkFixture, figures: Figures, tmp_path: Path) -> None:
    command = [sys.executable, "-c", SHELL, "plans", str(DESIGN), "--workshop", str(WORKSHOP), "--out"]

    def run() -> None:
        subprocess.run([*command, str(tmp_path)], check=True, capture_output=True)

    benchmark.pedantic(
        run, setup=lambda: shutil.rmtree(tmp_path, ignore_errors=True), rounds=3, warmup_rounds=1
    )
    assert benchmark.stats is not None
    figures("plan set of Marram", benchmark.stats.stats.median, 6.0, "s")
    peak = resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss / 1024.0
    figures("largest process, peak memory", peak, 400.0, "MB")
