"""What is usual for each layout, and the design's own say over it.

The ranges are common practice without a source or judgement; the tests check that they are held, not that
they are right.
"""

from __future__ import annotations

from pathlib import Path
from typing import get_args

import pytest

from foldwright.base.messages import words
from foldwright.design.load import built_in_stock, load_design
from foldwright.design.model import Layout
from foldwright.design.usual import USUAL
from foldwright.review.layouts import JUDGED, LAYOUTS, OWN, PRACTICE, SPOKEN, Range, usual
from tests.design.samples import SMALL
from tests.review.samples import judged, one, subject_of, with_tables
from tests.world import judge, marram


def test_every_layout_has_ranges_and_a_name() -> None:
    assert set(LAYOUTS) == set(SPOKEN) == set(get_args(Layout))
    for ranges in LAYOUTS.values():
        assert set(ranges) <= set(USUAL)
        for one_range in ranges.values():
            assert one_range.low < one_range.high
            assert one_range.source.startswith((PRACTICE, JUDGED))


def test_every_name_is_usual_somewhere_and_says_what_it_is() -> None:
    assert {name for ranges in LAYOUTS.values() for name in ranges} == set(USUAL)
    assert all(one.meaning for one in USUAL.values())


@pytest.mark.parametrize(
    ("name", "low", "high"),
    [
        ("wing_loading_g_dm2", 12.0, 25.0), ("static_margin_pct", 10.0, 18.0), ("tail_volume", 0.4, 0.6),
        ("fin_volume", 0.025, 0.045), ("dihedral_deg", 3.0, 6.0), ("dihedral_alone_deg", 6.0, 10.0),
        ("aileron_area_pct", 8.0, 12.0), ("elevator_pct", 25.0, 40.0), ("thrust_to_weight", 0.5, 0.8),
    ],
)  # fmt: skip
def test_trainer_ranges_are_those_of_common_practice(name: str, low: float, high: float) -> None:
    """Common practice, no source, as handed down with the design of this tool."""
    found = LAYOUTS["tailed trainer"][name]
    assert (found.low, found.high, found.source) == (low, high, PRACTICE)


def test_the_designs_own_range_goes_first_and_says_so() -> None:
    own = with_tables(usual={"launch_trim_mm": [6.0, 9.0]})
    assert usual(own, "launch_trim_mm") == Range(6.0, 9.0, OWN)
    finding = one(subject_of(own), "T12")
    assert (finding.verdict, finding.limit, finding.source) == ("watch", 6.0, OWN)
    assert "from 6 to 9 mm" in words(finding).expected
    assert one(subject_of(marram()), "T12").verdict == "clear"


def test_a_range_can_be_given_where_the_layout_has_none() -> None:
    """A tailless aeroplane has no usual fin volume; a design may hold its fins to one all the same."""
    assert judged(subject_of(marram()), "T20") == ()
    assert one(subject_of(with_tables(usual={"fin_volume": [0.02, 0.06]})), "T20").code == "T20"


@pytest.mark.parametrize(
    ("range_", "value", "says", "end"),
    [
        (Range(1.0, 2.0), 0.5, "from 1 to 2", 1.0),
        (Range(1.0, 2.0), 2.5, "from 1 to 2", 2.0),
        (Range(1.0, 2.0), 1.2, "from 1 to 2", 1.0),
        (Range(15.0, 1e6), 99.0, "at least 15", 15.0),
        (Range(-1e6, 15.0), 9.0, "at most 15", 15.0),
    ],
)
def test_a_range_in_words_and_the_end_a_value_is_held_against(
    range_: Range, value: float, says: str, end: float
) -> None:
    assert range_.says == says
    assert range_.passed(value) == end


@pytest.mark.parametrize(
    ("lines", "code", "where", "says"),
    [
        ("launch_trim = [1, 2]", "F49", "usual.launch_trim", "launch_trim_mm comes nearest"),
        ("launch_trim_mm = [4, 2]", "F29", "usual.launch_trim_mm.1", "it must be at most"),
        ("launch_trim_mm = 4", "F11", "usual.launch_trim_mm", ""),
    ],
)
def test_mistakes_in_the_table_are_findings(
    tmp_path: Path, lines: str, code: str, where: str, says: str
) -> None:
    file = tmp_path / "small.toml"
    file.write_text(f"{SMALL}\n[usual]\n{lines}\n", encoding="utf-8")
    read = load_design(file, stock=built_in_stock())
    (finding,) = read.findings
    assert (finding.code, finding.where) == (code, where)
    assert says in words(finding).says
    assert words(finding).cure


def test_the_table_is_read_back_as_written(tmp_path: Path) -> None:
    file = tmp_path / "small.toml"
    file.write_text(f"{SMALL}\n[usual]\nlaunch_trim_mm = [2, 4.5]\n", encoding="utf-8")
    design = load_design(file, stock=built_in_stock()).value
    assert design is not None
    assert design.usual == {"launch_trim_mm": (2.0, 4.5)}


@pytest.mark.parametrize(
    ("layout", "codes"),
    [
        # Marram balances at 15 % of its chord, at 29 g/dm², without a tail and without dihedral; its fins are
        # as large as a trainer's
        ("tailless pusher", set()),
        ("tailed trainer", {"B14", "B15", "B18", "T16", "T19", "T21"}),
    ],
)
def test_the_layout_decides_what_is_usual(layout: str, codes: set[str]) -> None:
    found = judge(with_tables(design={"layout": layout})).findings
    assert {f.code for f in found if f.verdict != "clear"} == codes
    assert all(f.verdict == "watch" for f in found if f.code in codes)
