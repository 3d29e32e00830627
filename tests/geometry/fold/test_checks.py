"""Each finding of folding, with its numbers and its sentence; sound blanks have none."""

from __future__ import annotations

from dataclasses import replace
from math import pi, radians, tan

import numpy as np
import pytest
from hypothesis import given

from foldwright.base.finding import Finding
from foldwright.base.messages import words
from foldwright.base.types import FloatArray
from foldwright.geometry.fold.checks import (
    FoldRules,
    check_blank,
    check_folds,
    check_planes,
    cleared,
    crossed_edges,
    miss_finding,
)
from foldwright.geometry.fold.flat import SpaceFold, SpacePanel, unfold
from foldwright.geometry.fold.marks import MarkMiss, land
from foldwright.geometry.fold.methods import bevel
from foldwright.geometry.fold.model import Blank, EdgeCut, Face, Fold, Method, Panel
from tests.strategies import (
    X_AXIS,
    Box,
    Section,
    box_blank,
    chest,
    random_box,
    section_blank,
    sections,
    strip_blank,
)

RULES = FoldRules()


def two(method: Method, angle: float, t: float = 5.0, hinge: Face = "a") -> Blank:
    return strip_blank(np.array([70.0, 70.0]), np.zeros(3), np.array([angle]), (method,), (hinge,), t)


def with_fold(blank: Blank, fold: Fold) -> Blank:
    return replace(blank, folds=(fold, *blank.folds[1:]))


def only(findings: tuple[Finding, ...]) -> Finding:
    (finding,) = findings
    said = words(finding)
    assert said.title
    assert said.says.startswith(finding.where)
    assert said.cure.endswith(".")
    assert "{" not in f"{said.says}{said.expected}{said.got}{said.cure}"
    return finding


@given(sections())
def test_a_sound_section_has_no_findings(section: Section) -> None:
    assert check_blank(section_blank(section), RULES, path=False) == ()


def test_sound_boxes_have_no_findings() -> None:
    rng = np.random.default_rng(5)
    for _ in range(60):
        assert check_blank(box_blank(random_box(rng)), RULES) == ()


def test_g01_a_groove_cut_for_less_than_its_turn() -> None:
    # First principles: a groove of t*tan(15 degrees) on each side clears 30 degrees.
    blank = two("groove", radians(31.0))
    narrow = EdgeCut(b=bevel(radians(30.0), 5.0))
    panels = tuple(
        replace(panel, cuts=tuple(narrow if cut.b else cut for cut in panel.cuts)) for panel in blank.panels
    )
    bad = replace(blank, panels=panels)
    assert cleared(bad, bad.folds[0]) == pytest.approx(radians(30.0), abs=1e-12)
    finding = next(f for f in check_blank(bad, RULES) if f.code == "G01")
    assert finding.value == pytest.approx(31.0)
    assert finding.limit == pytest.approx(30.0)
    assert "31.0° asked, the groove clears 30.0°" in words(finding).says


def test_g02_is_silent_where_a_crush_turns_by_a_half_turn() -> None:
    """Nothing can be pressed that far: the fold's limit says so, the band has no least width."""
    blank = two("crush", 1.0)
    findings = check_blank(with_fold(blank, replace(blank.folds[0], angle=pi, limit=1.5)), RULES, path=False)
    assert "G01" in {finding.code for finding in findings}
    assert "G02" not in {finding.code for finding in findings}


def test_g01_a_fold_beyond_the_limit_it_was_given() -> None:
    blank = two("slit", 1.0)
    finding = only(check_blank(with_fold(blank, replace(blank.folds[0], limit=0.9)), RULES))
    assert finding.code == "G01"
    assert finding.where == "strip/f0"


def test_g02_a_crush_too_narrow() -> None:
    # First principles: 2*t*tan(theta/2)*(1 - share); 6.9 mm at t = 5, share 0.31 and 90 degrees.
    finding = only(check_blank(two("crush", pi / 2), FoldRules(squeeze_share=0.31)))
    assert finding.code == "G02"
    assert finding.limit == pytest.approx(6.9, abs=1e-9)
    assert words(finding).cure == "Crush at least 6.9 mm wide or cut a groove."
    assert check_blank(two("crush", pi / 2), FoldRules(squeeze_share=0.5)) == ()


def flap(limit_deg: float) -> Blank:
    wing = np.array([(0, -50, 0), (100, -50, 0), (100, 50, 0), (0, 50, 0)], dtype=np.float64)
    moving = wing + np.array([100.0, 0.0, 0.0])
    up = np.array([0.0, 0.0, 1.0])
    hinge = SpaceFold("hinge", "wing", "flap", 1, 3, "live", "a", limit=radians(limit_deg))
    return unfold(
        "tail",
        5.0,
        (SpacePanel("wing", up, 0.0, wing), SpacePanel("flap", up, 0.0, moving)),
        (hinge,),
        X_AXIS,
    )


def test_g03_a_hinge_asked_for_more_than_its_bevel() -> None:
    finding = only(check_blank(flap(30.0), FoldRules(live_deg={"hinge": 31.0})))
    assert finding.code == "G03"
    said = words(finding)
    assert "31.0° asked, the bevel clears 30.0°" in said.says
    assert f"{5.0 * tan(radians(31.0)):.1f} mm wide" in said.cure
    assert check_blank(flap(30.0), FoldRules(live_deg={"hinge": 30.0})) == ()


def test_g04_a_rebate_that_is_not_square() -> None:
    blank = two("rebate", pi / 2)
    finding = next(
        f for f in check_blank(with_fold(blank, replace(blank.folds[0], angle=1.0)), RULES) if f.code == "G04"
    )
    assert finding.value == pytest.approx(np.degrees(1.0))
    assert "90°" in words(finding).cure


def test_g05_mitres_that_cross() -> None:
    # First principles: two mitres of 5 mm want 10 mm; the middle panel has 8.
    blank = strip_blank(
        np.array([70.0, 8.0, 70.0]), np.zeros(4), np.full(2, pi / 2), ("groove",) * 2, ("a",) * 2, 5.0
    )
    finding = only(check_blank(blank, RULES))
    assert (finding.code, finding.where) == ("G05", "strip/p1")
    assert finding.value == pytest.approx(8.0)
    assert finding.limit == pytest.approx(10.0)
    said = words(finding).says
    assert "f0" in said
    assert "f1" in said


def test_g05_a_corner_that_vanishes() -> None:
    ring = np.array([(0.0, 0.0), (30.0, 0.0), (0.0, 4.0)])
    gone = crossed_edges(Panel("p", ring, (EdgeCut(b=5.0), EdgeCut(), EdgeCut())))
    assert gone is not None
    assert gone[0] == "b"
    assert crossed_edges(Panel("p", ring, (EdgeCut(b=1.0), EdgeCut(), EdgeCut()))) is None


def test_g06_panels_in_each_other() -> None:
    blank = strip_blank(
        np.array([60.0, 40.0, 30.0, 60.0]), np.zeros(5), np.full(3, pi / 2), ("groove",) * 3, ("a",) * 3, 5.0
    )
    finding = only(check_blank(blank, RULES))
    assert finding.code == "G06"
    assert {finding.params["panel"], finding.params["other"]} == {"p0", "p3"}


def test_g07_a_way_that_is_blocked(monkeypatch: pytest.MonkeyPatch) -> None:
    finding = only(check_blank(chest(2, 1), RULES))
    assert (finding.code, finding.verdict) == ("G07", "watch")
    assert "right-lid, left-lid" in str(finding.params["asked"])
    assert str(finding.params["order"]).index("right") < str(finding.params["order"]).index("left")
    assert check_blank(chest(1, 2), RULES) == ()
    assert check_blank(chest(2, 1), RULES, path=False) == ()
    monkeypatch.setattr("foldwright.geometry.fold.checks.order_folds", lambda *_, **__: None)
    stuck = only(check_blank(chest(2, 1), RULES))
    assert (stuck.verdict, stuck.params["order"]) == ("no-go", "none found")


def test_g08_a_blank_on_itself() -> None:
    blank = box_blank(Box(80.0, 50.0, 300.0, 5.0))
    floor, left, right = blank.panels
    inward = floor.polygon.mean(axis=0) - left.polygon.mean(axis=0)
    step = 10.0 * inward / np.hypot(*inward)
    pushed = replace(blank, panels=(floor, replace(left, polygon=left.polygon + step), right))
    found = check_blank(pushed, RULES)
    # pushed off its fold, too
    assert [finding.code for finding in found] == ["G08", "G14"]
    finding = found[0]
    assert finding.value == pytest.approx(3000.0, rel=1e-6)


def test_g08_an_outline_that_crosses_itself() -> None:
    bow = np.array([(0.0, 0.0), (50.0, 50.0), (50.0, 0.0), (0.0, 50.0)])
    blank = Blank("bow", 5.0, (Panel("p", bow, (EdgeCut(),) * 4),), (), "p", np.eye(4))
    codes = {finding.code for finding in check_blank(blank, RULES)}
    assert "G08" in codes


def _plate(fore: float, aft: float, z: float = 0.0) -> FloatArray:
    return np.array([(fore, -50.0, z), (aft, -50.0, z), (aft, 50.0, z), (fore, 50.0, z)])


def test_g09_planes_that_do_not_meet() -> None:
    up = np.array([0.0, 0.0, 1.0])
    one = SpacePanel("one", up, 0.0, _plate(0.0, 100.0))
    step = SpacePanel("step", up, 2.0, _plate(100.0, 140.0, 2.0))
    level = SpacePanel("level", up, 0.0, _plate(100.0, 140.0))
    under = SpacePanel("under", -up, 0.0, _plate(0.0, 60.0)[::-1])

    def joined(other: SpacePanel, method: Method) -> tuple[Finding, ...]:
        fold = SpaceFold("f", "one", other.name, 1, 3, method, "b")
        return check_planes("part", 5.0, (one, other), (fold,))

    finding = only(joined(step, "groove"))
    assert (finding.code, finding.where) == ("G09", "part/f")
    assert finding.value == pytest.approx(2.0)
    assert joined(level, "groove") == ()
    assert only(joined(under, "groove")).code == "G09"
    assert joined(under, "slit") == ()


def test_g10_and_g11_marks_without_a_place() -> None:
    blank = box_blank(Box(80.0, 50.0, 300.0, 5.0))
    up = np.array([0.0, 0.0, 1.0])
    off = land(blank, np.array([-12.0, 0.0, -99.0]), up, "balance")
    bevelled = land(blank, np.array([100.0, 37.0, -99.0]), up, "tray", "b")
    assert isinstance(off, MarkMiss)
    assert isinstance(bevelled, MarkMiss)
    first, second = only((miss_finding("box", off),)), only((miss_finding("box", bevelled),))
    assert (first.code, first.where) == ("G10", "box/balance")
    assert first.value == pytest.approx(12.0)
    assert second.code == "G11"
    assert second.value == pytest.approx(2.0)


@pytest.mark.parametrize(("t", "limit"), [(1.0, 2.0), (9.5, 8.0)])
def test_g12_board_out_of_range(t: float, limit: float) -> None:
    finding = only(check_blank(two("groove", 1.0, t), RULES))
    assert (finding.code, finding.value, finding.limit) == ("G12", t, limit)


@pytest.mark.parametrize("moved", ["parent", "child"])
def test_g14_a_fold_beside_the_edge_of_a_panel(moved: str) -> None:
    """The fold's line a micrometre off an outline: the sheets would cut the panel off there."""
    blank = two("groove", radians(60.0))
    fold = blank.folds[0]
    name = fold.parent if moved == "parent" else fold.child
    across = np.array([-(fold.q - fold.p)[1], (fold.q - fold.p)[0]]) / fold.length
    panels = tuple(
        replace(panel, polygon=panel.polygon + 2e-6 * across) if panel.name == name else panel
        for panel in blank.panels
    )
    found = only(tuple(check_folds(replace(blank, panels=panels), FoldRules())))
    assert (found.code, found.verdict, found.params["panel"]) == ("G14", "no-go", name)
    assert check_folds(blank, FoldRules()) == []


def test_findings_come_in_order() -> None:
    blank = two("crush", pi / 2, 9.5)
    codes = [finding.code for finding in check_blank(blank, FoldRules(squeeze_share=0.2))]
    assert codes == ["G02", "G12"]
