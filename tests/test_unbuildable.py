"""One design of each layout that cannot be built: the finding that says so, where, and a cure with numbers.

Each is a starter (or the twin-boom pusher beside this file) with single keys replaced. Codes and places are
those of the catalogue of findings; figures in cures, where one is given here, come from the geometry in its
comment.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from pathlib import Path

import pytest

from foldwright.base.finding import Finding
from foldwright.base.messages import words
from foldwright.design.load import built_in_stock, load_design
from foldwright.evaluate import evaluate
from tests.world import workshop

TESTS = Path(__file__).resolve().parent
STARTERS = TESTS.parent / "src" / "foldwright" / "design" / "data" / "starters"
BOARD = "club-sheets"  # sheets that hold every part: only the fault that is meant is found


@dataclass(frozen=True, slots=True)
class Case:
    """Keys of a design replaced: (part's id, key, new line or lines). A key that is not there is added."""

    name: str
    code: str
    where: str
    keys: tuple[tuple[str, str, str], ...] = ()
    more: str = ""
    cure: str = ""


COVER = """
[[part]]
kind = "plate"
id = "cover"
role = "plate"
plane = "upright"
x_mm = 100.0
y_mm = 60.0
z_mm = 0.0
lifting = false
polygon_mm = [[0.0, 0.0], [90.0, 0.0], [90.0, 60.0], [0.0, 60.0]]
fold = [{ id = "flap", from_mm = [60.0, 0.0], to_mm = [60.0, 50.0], angle_deg = 70.0 }]
"""

CASES = {
    # 60 mm high only 62 mm behind the leading edge: steeper than any nose folds
    "tailless": Case("marram", "G20", "wing.spar.height_mm", (("wing", "height_mm", "height_mm = 60.0"),)),
    # the tailplane hangs in the air above the body
    "tailed trainer": Case("teasel", "G70", "tail.z_mm", (("tail", "z_mm", "z_mm = 90.0"),)),
    # plane panels of a slit nose force the spar's height along a tapered bay
    "swept": Case(
        "bracken", "G100", "wing.bay.1.spar_height_mm",
        (("wing", "spar_x_mm", "spar_x_mm = 50.0\nspar_height_mm = 20.0"),),
    ),
    # the wing's slot breaks out of the sheet's upper edge
    "flat profile": Case("thrift", "G163", "body/main/plate", (("wing", "z_mm", "z_mm = 37.0"),)),
    # 40 mm above the stick that carries it
    "v-tail": Case("samphire", "G176", "tail", (("tail", "z_mm", "z_mm = 15.0"),)),
    # the canard's cut-out goes through the body's floor
    "canard": Case("sedge", "G59", "body/main/right", (("canard", "z_mm", "z_mm = -45.0"),)),
    # the booms stand 4 mm lower than in the file, where they touch the wing's underside: 4 mm of air
    "twin boom": Case(
        "twin_boom", "G176", "wing", (("boom", "z_mm", "z_mm = 12.0"),), cure="Move wing by 4.0 mm down."
    ),
    # 60 - 50 mm: the fold stops short of the far edge, so the flap could not turn
    "free shape": Case(
        "marram", "G183", "cover.fold.flap", more=COVER,
        cure="Put that end at (60.00, 60.00) mm, where the line meets the outline.",
    ),
}  # fmt: skip


def text_of(name: str) -> str:
    folder = STARTERS if (STARTERS / f"{name}.toml").exists() else TESTS
    return (folder / f"{name}.toml").read_text(encoding="utf-8")


def replaced(text: str, part: str, key: str, line: str) -> str:
    """The text with the first line of that key behind the part's id replaced."""
    head, mark, tail = text.partition(f'id = "{part}"')
    new, count = re.subn(rf"(?m)^{key} = .*$", line, tail, count=1)
    if not mark or not count:
        raise ValueError(f"{part} has no {key}")
    return head + mark + new


def findings(case: Case) -> tuple[Finding, ...]:
    text = text_of(case.name)
    for part, key, line in case.keys:
        text = replaced(text, part, key, line)
    if case.more:
        text = text.replace("[motor]\n", f"{case.more.lstrip()}\n[motor]\n", 1)
    read = load_design(text.encode(), case.name, built_in_stock())
    if read.value is None:
        return read.findings
    return evaluate(read.value, workshop(BOARD), built_in_stock(), None, "interactive").findings


@pytest.mark.parametrize("layout", CASES)
def test_an_unbuildable_version_of_each_layout_is_told_and_cured(layout: str) -> None:
    case = CASES[layout]
    found = [one for one in findings(case) if one.verdict == "no-go"]
    meant = [one for one in found if (one.code, one.where) == (case.code, case.where)]
    assert meant, [(one.code, one.where) for one in found]
    cure = words(meant[0]).cure
    assert re.search(r"\d", cure), cure
    assert case.cure in cure


@pytest.mark.parametrize("name", sorted({case.name for case in CASES.values()}))
def test_the_versions_they_come_from_can_be_built(name: str) -> None:
    assert [one.code for one in findings(Case(name, "", "")) if one.verdict == "no-go"] == []
