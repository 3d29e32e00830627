"""The step that the balance is felt from: where an under strip ends below, where a doubler ends on top."""

from __future__ import annotations

from pathlib import Path

import pytest

from foldwright.design.load import built_in_stock, load_design
from foldwright.evaluate import evaluate
from foldwright.make.card_data import card
from tests.world import workshop

STARTERS = Path(__file__).resolve().parents[2] / "src" / "foldwright" / "design" / "data" / "starters"


@pytest.mark.parametrize(("name", "on_top", "step"), [("marram", False, 132.0), ("thrift", True, 50.0)])
def test_the_step_is_named_by_the_side_it_is_on(name: str, on_top: bool, step: float) -> None:
    design = load_design(STARTERS / f"{name}.toml", stock=built_in_stock()).value
    assert design is not None
    balance = card(evaluate(design, workshop(), built_in_stock()))["balance"]
    assert balance["step_on_top"] is on_top
    # first principles: the strip ends 132 mm and the doubler 50 mm behind the leading edge, at the root; the
    # doubler tapers with the chord, by 0.4 mm as far out as the marks
    assert balance["step_behind_le_mm"] == pytest.approx(step, abs=0.5)
