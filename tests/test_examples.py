"""The designs that come with the tool, each in every example workshop: clear, cut out and read back.

Regression of the designs themselves: a rule or a model that changes and leaves one of them other than clear
has to be looked at, and then either the rule or the design is put right.
"""

from __future__ import annotations

from functools import cache
from pathlib import Path

import pytest

from foldwright.cli.plan_work import make_plan_set
from foldwright.design.load import built_in_stock, load_design, load_workshop
from foldwright.evaluate import Evaluation, evaluate
from foldwright.flight.planform import Detail
from foldwright.geometry.fold.edges import fold_sides

ROOT = Path(__file__).resolve().parents[1]
EXAMPLES = tuple(sorted((ROOT / "examples").glob("*.toml")))
STARTERS = tuple(sorted((ROOT / "src" / "foldwright" / "design" / "data" / "starters").glob("*.toml")))
WORKSHOPS = tuple(sorted((ROOT / "examples" / "workshops").glob("*.toml")))
DESIGNS = tuple(path for path in STARTERS if path.stem != "workshop")

each_design = pytest.mark.parametrize("design", DESIGNS, ids=lambda path: path.stem)
each_workshop = pytest.mark.parametrize("workshop", WORKSHOPS, ids=lambda path: path.stem)


@cache
def _judged(design: Path, workshop: Path, detail: Detail) -> Evaluation:
    stock = built_in_stock()
    plane, bench = load_design(design, stock=stock), load_workshop(workshop, stock=stock)
    assert plane.value is not None, plane.findings
    assert bench.value is not None, bench.findings
    assert (*plane.findings, *bench.findings) == ()
    return evaluate(plane.value, bench.value, stock, detail=detail)


def test_there_are_examples_and_workshops() -> None:
    assert {path.stem for path in EXAMPLES} >= {"marram", "teasel", "bracken"}
    assert {path.stem for path in WORKSHOPS} >= {"school-laser", "home-knife", "club-sheets"}


@pytest.mark.parametrize("example", EXAMPLES, ids=lambda path: path.stem)
def test_an_example_is_its_starter(example: Path) -> None:
    """Both are the same file, byte by byte: what is shown is what `foldwright new --like` writes."""
    starter = next((path for path in STARTERS if path.name == example.name), None)
    assert starter is not None
    assert example.read_bytes() == starter.read_bytes()


@pytest.mark.parametrize("detail", ["interactive", "final"])
@each_workshop
@each_design
def test_it_is_clear_in_every_workshop(design: Path, workshop: Path, detail: Detail) -> None:
    judged = _judged(design, workshop, detail)
    against = [(each.code, each.where) for each in judged.findings if each.verdict != "clear"]
    assert against == []
    assert judged.verdict == "clear"
    assert judged.results is not None


@each_workshop
@each_design
def test_every_fold_lies_along_an_edge_of_both_its_panels(design: Path, workshop: Path) -> None:
    """Else the sheets cut the two apart where they hang together."""
    found = _judged(design, workshop, "interactive").results
    assert found is not None
    loose = [
        (one.blank.name, fold.name)
        for one in found.airframe.placed
        for fold in one.blank.folds
        if not all(fold_sides(one.blank, fold))
    ]
    assert loose == []


@pytest.mark.slow
@each_workshop
@each_design
def test_its_plan_set_is_written_and_reads_back(design: Path, workshop: Path, tmp_path: Path) -> None:
    """A plan set is written only where its readback holds; a failed one is a no-go."""
    made = make_plan_set(design, workshop, None, tmp_path, lambda _said: None)
    assert [(each.code, each.where) for each in made.findings if each.verdict != "clear"] == []
    assert made.code == 0
    assert made.folder is not None
    for name in (
        "setup-card.pdf",
        "folding.txt",
        "views.pdf",
        "sheet-1.dxf",
        "airframe.json",
        "manifest.json",
    ):
        assert (made.folder / name).stat().st_size > 0


def test_bracken_says_how_much_its_tips_are_turned() -> None:
    """Washout (nose-down positive) and folding twist (nose-up positive) apart, and both in the twist."""
    found = _judged(_starter("bracken"), _workshop("school-laser"), "interactive").results
    assert found is not None
    wing = found.airframe.wing
    assert wing.washout is not None
    assert wing.folding_twist is not None
    assert wing.washout[-1] > 0.0
    assert wing.twist[-1] - wing.twist[0] == pytest.approx(wing.folding_twist[-1] - wing.washout[-1])
    assert wing.twist[-1] < wing.twist[0]
    # elevons up (negative) raise the nose
    assert found.slopes["Cm_elevon/pitch"] < 0.0


def test_sedge_balances_ahead_of_its_wing_and_has_the_canard_set_steeper() -> None:
    """First principles: the foreplane of a stable canard carries more for its size than the wing."""
    found = _judged(_starter("sedge"), _workshop("school-laser"), "interactive").results
    assert found is not None
    wing = found.airframe.wing
    canard = next(each for each in found.airframe.surfaces if each.role == "canard")
    assert found.balance.cg[0] < wing.le[0, 0]
    assert found.balance.cg[0] > canard.le[0, 0] + canard.chord[0]
    assert canard.twist[0] > wing.twist[0]
    lying = {each.surface: each for each in found.tail.lying}
    assert lying["canard"].ahead
    assert lying["canard"].neutral_shift < 0.0


def test_teasel_with_the_ailerons_that_its_comments_offer() -> None:
    """What stands behind # is taken in as the comment says, and is clear as well."""
    lines: list[str] = []
    inside = False
    for line in _starter("teasel").read_text(encoding="utf-8").splitlines():
        inside = line.startswith("#") and (inside or line in {"# [[part.control]]", "# [[equipment]]"})
        lines.append(line.removeprefix("# ") if inside else line)
    text = "\n".join(lines).replace("dihedral_deg = 6.5", "dihedral_deg = 4.0")
    stock = built_in_stock()
    plane = load_design(text.encode(), "teasel with ailerons", stock)
    bench = load_workshop(_workshop("school-laser"), stock=stock)
    assert plane.findings == ()
    assert plane.value is not None
    assert bench.value is not None
    judged = evaluate(plane.value, bench.value, stock, detail="interactive")
    assert [(each.code, each.where) for each in judged.findings if each.verdict != "clear"] == []
    assert judged.results is not None
    assert [one.id for one in judged.results.airframe.wing.controls] == ["aileron"]


def test_samphire_is_steered_by_its_v_tail_alone() -> None:
    """Trailing edges down push the nose down; against each other they yaw it, and its wing then banks it."""
    found = _judged(_starter("samphire"), _workshop("school-laser"), "interactive").results
    assert found is not None
    (tail,) = (each for each in found.airframe.surfaces if each.controls)
    assert [(each.kind, each.gains) for each in tail.controls] == [("ruddervator", (1.0, 0.0, 1.0))]
    slopes = found.slopes
    assert slopes["Cm_pitch"] < 0.0
    assert slopes["Cn_yaw"] > 0.0
    assert slopes["Cl_beta"] < 0.0 < slopes["Cn_beta"]


def _starter(name: str) -> Path:
    return next(path for path in STARTERS if path.stem == name)


def _workshop(name: str) -> Path:
    return next(path for path in WORKSHOPS if path.stem == name)
