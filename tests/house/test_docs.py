"""The documents agree with the code, and their links lead somewhere."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from foldwright.base.messages import catalogue
from foldwright.review.rules import RULES
from tests import docs_tables, validation_table
from tests.house.source import ROOT, read, relative

DOCUMENTS = sorted([*ROOT.glob("*.md"), *(ROOT / "docs").glob("*.md")])
LINK = re.compile(r"\[[^\]]*\]\(([^)\s]+)\)")
NUMBER = re.compile(r"[-+]?\d+\.?(\d*)")


def near(new: str, old: str) -> bool:
    """Whether two lines of a table differ by at most one unit of the last digit in our value.

    The last digit printed may fall either way on another processor; the difference follows from it.
    """
    cells, before = new.split("|"), old.split("|")
    if new == old:
        return True
    if len(cells) != 6 or cells[:3] != before[:3]:
        return False
    ours, theirs = list(NUMBER.finditer(cells[3])), list(NUMBER.finditer(before[3]))
    return len(ours) == len(theirs) and all(
        abs(float(a[0]) - float(b[0])) <= 1.01 * 10.0 ** -len(a[1]) for a, b in zip(ours, theirs, strict=True)
    )


def test_validation_is_what_the_code_gives() -> None:
    new, old = validation_table.text().splitlines(), read(validation_table.FILE).splitlines()
    off = [line for line, before in zip(new, old, strict=False) if not near(line, before)]
    assert len(new) == len(old), "docs/validation.md is out of date: make docs"
    assert not off, "docs/validation.md is out of date: make docs\n" + "\n".join(off)


@pytest.mark.parametrize(
    ("new", "old", "same"),
    [
        ("| a | 1.0 | 1.1 | +10 % |", "| a | 1.0 | 1.2 | +20 % |", True),
        ("| a | 1.0 | 1.1 | +10 % |", "| a | 1.0 | 1.3 | +30 % |", False),
        ("| a | 1.0 | 1.1 | +10 % |", "| b | 1.0 | 1.1 | +10 % |", False),
        ("a word", "another", False),
    ],
)
def test_one_unit_of_the_last_digit_is_near(new: str, old: str, same: bool) -> None:
    assert near(new, old) is same


def test_the_lists_are_what_the_code_gives() -> None:
    assert docs_tables.findings() == read(docs_tables.FINDINGS), "docs/findings.md is out of date: make docs"
    assert docs_tables.assumptions() == read(docs_tables.ASSUMPTIONS), (
        "assumptions.md is out of date: make docs"
    )


def test_every_finding_has_a_family_and_every_rule_says_what_it_checks() -> None:
    assert {code[0] for code in catalogue()} == set(docs_tables.FAMILIES)
    silent = [rule.code for rule in RULES if not (rule.judge.__doc__ or "").startswith(f"{rule.code}: ")]
    assert not silent


def anchors(text: str) -> set[str]:
    """Anchors of a document's headings."""
    titles = re.findall(r"^#+ (.+)$", text, flags=re.MULTILINE)
    return {re.sub(r"[^\w\- ]", "", title.lower()).replace(" ", "-") for title in titles}


@pytest.mark.parametrize("document", DOCUMENTS, ids=relative)
def test_links_lead_somewhere(document: Path) -> None:
    for link in LINK.findall(read(document)):
        if link.startswith("https://"):
            continue
        file, _, anchor = link.partition("#")
        target = document.parent / file if file else document
        assert target.exists(), f"{relative(document)} links to {link}"
        assert not anchor or anchor in anchors(read(target)), f"{relative(document)} links to {link}"
