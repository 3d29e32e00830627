"""Marram evaluated once, and variants of the evaluation, for the tests of what a builder receives."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Literal

from foldwright.design.load import built_in_stock, load_design, load_workshop, starter
from foldwright.evaluate import Evaluation, Results, evaluate
from foldwright.flight.trim import Condition, trim

_WORKSHOPS = Path(__file__).resolve().parents[2] / "examples" / "workshops"


@cache
def marram(workshop: str = "school-laser") -> Evaluation:
    stock = built_in_stock()
    design = load_design(starter().encode(), stock=stock).value
    bench = load_workshop(_WORKSHOPS / f"{workshop}.toml", stock=stock).value
    assert design is not None
    assert bench is not None
    return evaluate(design, bench, stock)


def results(evaluation: Evaluation) -> Results:
    assert evaluation.results is not None
    return evaluation.results


def named(evaluation: Evaluation, name: str) -> Evaluation:
    about = evaluation.design.design.model_copy(update={"name": name})
    return replace(evaluation, design=evaluation.design.model_copy(update={"design": about}))


def on_paper(evaluation: Evaluation, paper: Literal["A4", "A3", "Letter"]) -> Evaluation:
    return replace(evaluation, workshop=evaluation.workshop.model_copy(update={"paper": paper}))


def stalled_at_launch(evaluation: Evaluation) -> Evaluation:
    """Launched at 2 m/s, which needs far more than the greatest lift coefficient: no sample has a trim."""
    found = results(evaluation)
    samples = evaluation.assumptions.samples(256)
    density = evaluation.design.targets.field_density_kg_m3
    slow = trim(found.airframe, found.lift, found.balance, samples, Condition(2.0, density))
    return replace(evaluation, results=replace(found, trims=replace(found.trims, launch=slow)))
