"""Folds that lie in line, and cuts that are as good as closed, read back."""

from __future__ import annotations

from pathlib import Path

import pytest

from foldwright.design.load import built_in_stock, load_design, starter
from foldwright.evaluate import evaluate
from foldwright.make.bundle import Texts, make_bundle
from foldwright.make.plans import complete
from foldwright.make.readback import check_files
from tests.world import EXAMPLES, workshop

TRAINER = Path(__file__).resolve().parents[1] / "review" / "trainer.toml"


def _holds(text: str, shop: str) -> bool:
    loaded = load_design(text.encode(), "design", built_in_stock())
    assert loaded.value is not None
    bench = (EXAMPLES / "workshops" / f"{shop}.toml").read_text()
    bundle = make_bundle(evaluate(loaded.value, workshop(shop), built_in_stock()), Texts(text, bench))
    return check_files(complete(bundle.files, bundle.about)).holds


@pytest.mark.parametrize("turn", ["4.4", "6.0"])
def test_a_break_whose_panels_all_but_touch(turn: str) -> None:
    """Incidence -4° and a camber fold of 4.4° leave gaps of 1 µm at the break: one cut, drawn once."""
    text = starter("samphire").replace("    { x_mm = 95.0, turn_deg = 6.0 },\n", "")
    text = text.replace("{ x_mm = 45.0, turn_deg = 6.0 }", f"{{ x_mm = 62.4, turn_deg = {turn} }}")
    assert _holds(text, "school-laser")


def test_camber_folds_of_both_halves_in_one_line() -> None:
    """The right half's fold goes on where the left half's ends."""
    text = TRAINER.read_text().replace("x_mm = 60.0, turn_deg", "x_mm = 52.7, turn_deg")
    text = text.replace("incidence_deg = 0.5", "incidence_deg = 2.8")
    assert _holds(text, "home-knife")
