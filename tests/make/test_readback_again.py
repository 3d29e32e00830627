"""A plan set made again from its own files: nobody changes a figure or a drawing of it unseen.

Every case has its manifest written anew, so that sizes and hashes agree. Regression: that the demo's set,
made in this process, is the one that it is compared with; all else follows from what was changed.
"""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import replace
from functools import cache
from importlib.metadata import PackageNotFoundError
from typing import Any

import numpy as np
import pytest

from foldwright.base.messages import words
from foldwright.design.load import starter
from foldwright.design.save import set_value
from foldwright.make.bundle import Bundle, Texts, make_bundle
from foldwright.make.libraries import libraries
from foldwright.make.manifest import NAME
from foldwright.make.plans import complete
from foldwright.make.readback_again import compared, made_again
from foldwright.make.readback_rows import ReadbackReport
from tests.make.evaluations import marram
from tests.world import EXAMPLES

Change = Callable[[dict[str, Any]], object]


@cache
def made() -> Bundle:
    workshop = (EXAMPLES / "workshops" / "school-laser.toml").read_text(encoding="utf-8")
    return make_bundle(marram(), Texts(starter(), workshop))


def again(**changed: bytes) -> dict[str, bytes]:
    return complete({**made().files, **changed}, made().about)


def codes(rows: tuple[Any, ...]) -> list[tuple[str, str]]:
    return [(one.code, one.verdict) for one in ReadbackReport(rows).findings]


def test_the_demo_is_made_again_as_it_is() -> None:
    told: list[str] = []
    report = ReadbackReport(made_again(again(), told.append))
    assert report.holds
    assert report.findings == ()
    assert [row.code for row in report.rows] == ["R15", "R15", "R16"]
    assert "making the plan set again" in told


CARD_CHANGES: tuple[Change, ...] = (
    lambda card: card["balance"]["point"].update(behind_le_mm=12.3),
    lambda card: card["battery"].update(front_behind_nose_mm=1.0),
    lambda card: card["weight"]["all_up_g"].update(value=card["weight"]["all_up_g"]["value"] + 1),
    lambda card: card["controls"][0].update(extra=1),
    lambda card: card.pop("cautions"),
    lambda card: card["design"].update(flown=""),
    lambda card: card["weight"].update(all_up_limit_g=True),
)


@pytest.mark.parametrize("change", CARD_CHANGES)
def test_a_changed_figure_of_the_card_is_seen(change: Change) -> None:
    card = json.loads(made().files["setup-card.json"])
    change(card)
    rows = compared(made().files, again(**{"setup-card.json": json.dumps(card).encode()}))
    assert codes(rows) == [("R15", "no-go")]
    assert "setup-card.json" in words(ReadbackReport(rows).findings[0]).says


def test_the_first_keys_that_differ_are_named_with_both_values() -> None:
    card = json.loads(made().files["setup-card.json"])
    was = card["battery"]["mass_g"]
    card["battery"]["mass_g"] = was + 3
    for row in card["reference"]["marks"]:
        row["face"] = "x"
    rows = compared(made().files, again(**{"setup-card.json": json.dumps(card).encode()}))
    says = words(ReadbackReport(rows).findings[0]).says
    assert f"battery.mass_g is {was + 3}, made again {was}; reference.marks[0].face is" in says
    assert " more" in says


def test_a_blank_changed_in_the_airframe_is_seen() -> None:
    data = json.loads(made().files["airframe.json"])
    data["blanks"][0]["panels"][0]["outline_mm"][0][0] += 0.02
    rows = compared(made().files, again(**{"airframe.json": json.dumps(data).encode()}))
    assert codes(rows) == [("R15", "no-go")]


def test_files_changed_over_are_seen() -> None:
    """One for the other, and one for another design's: sheets, tiles, card, a view."""
    files = made().files
    swapped = {"sheet-1.pdf": files["sheet-2.pdf"], "sheet-2.pdf": files["sheet-1.pdf"]}
    swapped["setup-card.pdf"] = files["views.pdf"]
    for name, data in swapped.items():
        assert codes(compared(files, again(**{name: data}))) == [("R16", "no-go")]
    rows = compared(files, again(**swapped))
    assert codes(rows) == [("R16", "no-go")]
    assert ReadbackReport(rows).findings[0].where == "setup-card.pdf, sheet-1.pdf, sheet-2.pdf"


def test_a_drawing_that_is_left_out_is_seen() -> None:
    files = {name: data for name, data in made().files.items() if name != "views.pdf"}
    found = ReadbackReport(compared(made().files, files)).findings
    assert [(one.code, one.where) for one in found] == [("R17", "views.pdf")]


def test_a_design_file_with_another_span_is_seen() -> None:
    text = set_value(starter(), "part.wing.span_mm", 664.0)
    assert isinstance(text, str)
    found = ReadbackReport(made_again(again(**{"design.toml": text.encode()}))).findings
    assert [one.code for one in found] == ["R15", "R15", "R16"]


@pytest.mark.parametrize(
    ("name", "data"),
    [("design.toml", b"format = 1\n"), ("stock.toml", b"[["), ("workshop.toml", b"\xff")],
)
def test_files_that_cannot_be_read_make_no_plan_set(name: str, data: bytes) -> None:
    assert codes(made_again(again(**{name: data}))) == [("R17", "no-go")]


def test_sources_that_are_missing_are_named() -> None:
    files = {name: data for name, data in again().items() if name != "stock.toml"}
    found = ReadbackReport(made_again(files)).findings
    assert [(one.code, one.where) for one in found] == [("R17", "stock.toml")]
    assert made_again({}) == ()
    assert made_again({NAME: b"{"}) == ()


def test_another_version_is_told_and_no_fault() -> None:
    about = replace(made().about, version="0.0.1")
    report = ReadbackReport(made_again(complete(made().files, about)))
    assert report.holds
    assert [(one.code, one.verdict) for one in report.findings] == [("R18", "watch")]
    assert "made by version 0.0.1" in words(report.findings[0]).says


def test_other_libraries_leave_the_card_to_its_last_place() -> None:
    """Letters and compression are the libraries' own; a figure may round the other way."""
    card = json.loads(made().files["setup-card.json"])
    card["battery"]["front_behind_nose_mm"] = round(card["battery"]["front_behind_nose_mm"] + 0.1, 1)
    near = again(**{"setup-card.json": json.dumps(card).encode(), "sheet-1.pdf": b"", "airframe.json": b""})
    rows = compared(made().files, near, ("typst 0.1",))
    assert codes(rows) == [("R18", "watch")]
    card["battery"]["front_behind_nose_mm"] += 0.2
    far = again(**{"setup-card.json": json.dumps(card).encode()})
    assert codes(compared(made().files, far, ("typst 0.1",))) == [("R15", "no-go"), ("R18", "watch")]
    about = replace(made().about, libraries={"typst": "0.1"})
    assert codes(made_again(complete(made().files, about))) == [("R18", "watch")]


def test_figures_that_cannot_be_read_are_left_to_the_folding() -> None:
    assert codes(compared(made().files, again(**{"setup-card.json": b"{"}))) == []


def test_a_design_with_a_no_go_is_not_made_again() -> None:
    text = set_value(starter(), "part.wing.spar.height_mm", 50.0)
    assert isinstance(text, str)
    found = ReadbackReport(made_again(again(**{"design.toml": text.encode()}))).findings
    assert [(one.code, one.where) for one in found] == [("R17", "design.toml and workshop.toml")]


def test_a_blank_that_finds_no_sheet_makes_no_plan_set() -> None:
    text = made().files["workshop.toml"].decode()
    small = text.replace("length_mm = 700.0", "length_mm = 400.0")
    assert small != text
    found = ReadbackReport(made_again(again(**{"workshop.toml": small.encode()}))).findings
    assert [(one.code, one.where) for one in found] == [("R17", "design.toml and workshop.toml")]


def test_a_library_that_is_not_installed_has_no_version(monkeypatch: pytest.MonkeyPatch) -> None:
    def gone(name: str) -> str:
        raise PackageNotFoundError(name)

    assert libraries()["numpy"] == np.__version__
    monkeypatch.setattr("foldwright.make.libraries.version", gone)
    assert libraries.__wrapped__()["numpy"] == "unknown"
