"""`foldwright propellers`: every propeller of the stock, ranked."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from foldwright.cli.propellers import Rank, ranked
from foldwright.design.load import built_in_stock
from foldwright.design.stock import StockPropeller
from foldwright.flight.propellers import PropellerRow
from tests.cli.commands import DESIGN, SCHOOL, design_file, run

ORDERS: dict[str, Callable[[dict[str, Any]], float]] = {
    "endurance": lambda row: -(row["time_aloft_min"] or 0.0),
    "launch": lambda row: -row["spare_at_launch_n"],
    "current": lambda row: row["static_current_a"],
}


def table(*more: str) -> list[dict[str, Any]]:
    said = run("propellers", DESIGN, "--workshop", SCHOOL, "--json", *more)
    assert said.code == 0
    found: list[dict[str, Any]] = said.data["propellers"]
    return found


@pytest.mark.parametrize("rank", sorted(ORDERS))
def test_every_propeller_of_the_stock_in_the_order_wanted(rank: str) -> None:
    rows = table("--rank", rank)
    stock = {entry.id for entry in built_in_stock().entry if isinstance(entry, StockPropeller)}
    assert {row["id"] for row in rows} == stock
    assert [row["id"] for row in rows if row["fitted"]] == ["prop-5x45"]
    fine = [row for row in rows if not row["too_much_for"]]
    assert rows[: len(fine)] == fine
    for part in (fine, rows[len(fine) :]):
        level = [row for row in part if row["time_aloft_min"] is not None]
        assert part[: len(level)] == level
        values = [ORDERS[rank](row) for row in level]
        assert values == sorted(values)


def test_what_overloads_says_what_and_comes_last() -> None:
    """A propeller twice as large draws some times the current (power goes with the fifth power, textbook)."""
    rows = {row["id"]: row for row in table()}
    assert rows["prop-10x45"]["too_much_for"] == "motor and controller"
    assert rows["prop-10x45"]["static_current_a"] > 2.0 * rows["prop-5x45"]["static_current_a"]
    assert rows["prop-5x45"]["too_much_for"] == ""


def test_the_table_in_words() -> None:
    said = run("propellers", DESIGN, "--workshop", SCHOOL)
    assert said.code == 0
    lines = said.out.splitlines()
    head = next(line for line in lines if "time aloft" in line and "to spare" in line)
    fitted = next(line for line in lines if line.startswith("*"))
    assert "prop-5x45" in fitted
    assert head.index("time aloft") < head.index("too much for")
    assert "fit it and check" in said.out


def test_order_of_rows_made_by_hand() -> None:
    """Fast, frugal, overloading, not flying level: by hand."""
    rows = (
        PropellerRow("a", "a", 3.0, 9.0, 2.0, 2.0, 10.0, "", fitted=False),
        PropellerRow("b", "b", 4.0, 12.0, 3.0, 3.0, 8.0, "", fitted=True),
        PropellerRow("c", "c", 9.0, 40.0, 9.0, 1.0, 20.0, "motor", fitted=False),
        PropellerRow("d", "d", 1.0, 3.0, -1.0, None, None, "", fitted=False),
    )
    assert [row.id for row in ranked(rows, Rank.ENDURANCE)] == ["a", "b", "d", "c"]
    assert [row.id for row in ranked(rows, Rank.LAUNCH)] == ["b", "a", "d", "c"]
    assert [row.id for row in ranked(rows, Rank.CURRENT)] == ["a", "b", "d", "c"]


def test_one_that_does_not_reach_cruise_says_so(tmp_path: Path) -> None:
    """At 34 m/s no small propeller pulls any more: pitch speed of the 3 inch one is below it."""
    file = design_file(tmp_path, targets__cruise_speed_m_s=34.0)
    said = run("propellers", file)
    assert said.code == 0
    assert "does not fly" in said.out
    assert all(
        row["time_aloft_min"] is None
        for row in run("propellers", file, "--json").data["propellers"]
        if row["id"].startswith("prop-5x3")
    )


def test_an_unusable_design_is_refused(tmp_path: Path) -> None:
    file = design_file(tmp_path, propeller__stock="no-such-propeller")
    said = run("propellers", file, "--json")
    assert (said.code, said.data["verdict"]) == (2, "unusable")
    assert said.data["propellers"] == []
    missing = run("propellers", tmp_path / "none.toml")
    assert missing.code == 2
