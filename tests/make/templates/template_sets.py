"""The three designs evaluated in the three workshops, and their templates, each once."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import Literal

from foldwright.design.load import built_in_stock, load_design, load_workshop
from foldwright.evaluate import Evaluation, evaluate
from foldwright.make.templates.choice import Templates, templates

EXAMPLES = Path(__file__).resolve().parents[3] / "examples"
DESIGNS = ("marram", "teasel", "bracken")
WORKSHOPS = ("home-knife", "club-sheets", "school-laser")
Make = Literal["auto", "always", "never"]


@cache
def evaluated(design: str, workshop: str, make: Make = "always", bed: float | None = None) -> Evaluation:
    """A design in a workshop, coarse lattice; bed: side of the printer's bed in place of its own."""
    stock = built_in_stock()
    drawn = load_design((EXAMPLES / f"{design}.toml").read_bytes(), stock=stock).value
    bench = load_workshop(EXAMPLES / "workshops" / f"{workshop}.toml", stock=stock).value
    assert drawn is not None
    assert bench is not None
    assert bench.printer is not None
    printer = bench.printer if bed is None else bench.printer.model_copy(update={"bed_mm": (bed, bed, 180.0)})
    template = bench.template.model_copy(update={"make": make})
    changed = bench.model_copy(update={"template": template, "printer": printer})
    return evaluate(drawn, changed, stock)


@cache
def template_set(design: str, workshop: str, make: Make = "always", bed: float | None = None) -> Templates:
    return templates(evaluated(design, workshop, make, bed))


def with_template(evaluation: Evaluation, **changes: object) -> Evaluation:
    from dataclasses import replace

    bench = evaluation.workshop
    return replace(
        evaluation, workshop=bench.model_copy(update={"template": bench.template.model_copy(update=changes)})
    )
