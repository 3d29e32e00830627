"""How long printed work takes: templates and fittings of an aeroplane, one plate, files and readback."""

from __future__ import annotations

import json
from collections.abc import Callable
from functools import cache
from pathlib import Path

import pytest
from pytest_benchmark.fixture import BenchmarkFixture

from foldwright.design.load import built_in_stock, load_design, load_workshop
from foldwright.evaluate import Evaluation, Results, evaluate
from foldwright.make.airframe_json import airframe_json, read_blanks
from foldwright.make.print_files import print_files
from foldwright.make.print_set import PrintSet, print_set
from foldwright.make.readback_printed import check_printed
from foldwright.make.readback_rows import Table
from foldwright.make.templates.group import groups
from foldwright.make.templates.plate import plate_of
from foldwright.make.templates.plate_solid import plate_solid

Figures = Callable[[str, float, float, str], None]

EXAMPLES = Path(__file__).parent.parent / "examples"


@cache
def evaluated(name: str) -> Evaluation:
    """A demo design in the workshop that traces its blanks by hand."""
    stock = built_in_stock()
    design = load_design(EXAMPLES / f"{name}.toml", stock=stock).value
    bench = load_workshop(EXAMPLES / "workshops" / "home-knife.toml", stock=stock).value
    assert design is not None
    assert bench is not None
    return evaluate(design, bench, stock)


def results(name: str) -> Results:
    found = evaluated(name).results
    assert found is not None
    return found


@cache
def made(name: str) -> PrintSet:
    return print_set(evaluated(name))


@pytest.mark.parametrize("name", ["marram", "teasel", "bracken"])
def test_templates_and_fittings(benchmark: BenchmarkFixture, figures: Figures, name: str) -> None:
    evaluated(name)
    benchmark.pedantic(
        lambda: print_set(evaluated(name), groups=("templates", "fittings")), rounds=5, warmup_rounds=1
    )
    assert benchmark.stats is not None
    figures(f"templates and fittings of {name}", benchmark.stats.stats.median, 1.5, "s")


@pytest.mark.parametrize("name", ["marram", "teasel", "bracken"])
def test_the_slowest_plate(benchmark: BenchmarkFixture, figures: Figures, name: str) -> None:
    """The largest blank as a rim frame, with slots and letters, and its solid."""
    workshop = evaluated(name).workshop
    group = max(groups(results(name), workshop).groups, key=lambda one: one.area.area)

    def run() -> None:
        plate = plate_of(group, "rim", workshop).plate
        assert plate is not None
        assert plate_solid(plate).volume > 0.0

    benchmark.pedantic(run, rounds=5, warmup_rounds=1)
    assert benchmark.stats is not None
    figures(f"plate of {group.blank.name} of {name}", benchmark.stats.stats.median, 0.100, "s")


def test_files_and_readback(benchmark: BenchmarkFixture, figures: Figures) -> None:
    """3MF, STL and pictures of all that Marram prints, written and read back."""
    evaluation, found = evaluated("marram"), results("marram")
    airframe = airframe_json(found.airframe, 0.0)
    blanks = [blank for blank, _ in read_blanks(json.loads(airframe))]
    made("marram")

    def run() -> None:
        files = {**print_files(made("marram"), "Marram"), "airframe.json": airframe}
        check_printed(Table(), files, json.loads(airframe), blanks, evaluation.workshop.cutter)

    benchmark.pedantic(run, rounds=3, warmup_rounds=1)
    assert benchmark.stats is not None
    figures("files of all prints of marram, read back", benchmark.stats.stats.median, 2.0, "s")
