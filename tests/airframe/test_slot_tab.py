"""Tabs through slots on every side of a part, leaning and leaned on. Expected numbers: first principles."""

from __future__ import annotations

from dataclasses import replace
from math import cos, radians, tan

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from foldwright.airframe.box import build_box
from foldwright.airframe.joined import Joined
from foldwright.airframe.joining.slot_tab import join
from foldwright.airframe.kinds.plate import build
from foldwright.airframe.mirror import mirror_blank
from foldwright.airframe.model import PartBuild
from foldwright.airframe.slot_tab import join_slot_tab
from foldwright.airframe.slot_tab_target import moving, root_edge
from foldwright.airframe.wing import build_wing
from foldwright.base.messages import words
from foldwright.design.parts import Plate, SlotTab
from foldwright.geometry.fold.model import EdgeCut, Fold, Panel
from tests.airframe import boxes
from tests.airframe.joints import T, bench, corners, level, shared, sideways, standing, tilted
from tests.airframe.parts import board, wing
from tests.examples import examples


def joint(second: str = "tail", **changes: object) -> SlotTab:
    data = {"kind": "slot_tab", "id": "j", "parts": ("fin", second), "tab_length_mm": 15.0}
    return SlotTab.model_validate(data | changes)


def joined(one: PartBuild, other: PartBuild, **changes: object) -> tuple[PartBuild, PartBuild, Joined]:
    done = join_slot_tab(one, other, joint(other.id, **{"parts": (one.id, other.id), **changes}))
    return done.changed.get(one.id, one), done.changed.get(other.id, other), done


@pytest.mark.parametrize("z", [-20.0, 8.0, 40.0])
def test_a_fin_on_a_plate_tailplane(z: float) -> None:
    """Its root edge comes to the upper face (z = 5), its tabs end flush with the lower (z = 0)."""
    one, other, done = joined(standing(z=z), level())
    assert done.findings == ()
    heights = corners(one)[:, 2]
    assert heights.max() == pytest.approx(T + 60.0)
    assert heights.min() == pytest.approx(0.0, abs=1e-9)
    holes = other.blanks[0].panels[0].holes
    assert [tuple(np.ptp(hole, axis=0).round(6)) for hole in holes] == [(15.1, 5.1)] * 2
    # two tabs in the middle of each half of the root from x = 20 to 100, on the centre line
    assert [tuple(hole.mean(axis=0).round(6)) for hole in holes] == [(40.0, 0.0), (80.0, 0.0)]
    assert shared(one, other) == 0.0


@pytest.mark.parametrize("z", [-30.0, 2.0])
def test_a_fin_under_a_plate_tailplane(z: float) -> None:
    """Seen from below the lower face is met first: it hangs from z = 0, its tabs reach up to z = 5."""
    one, other, done = joined(standing(z=z, under=True), level())
    assert done.findings == ()
    heights = corners(one)[:, 2]
    assert heights.min() == pytest.approx(-60.0)
    assert heights.max() == pytest.approx(T)
    assert len(other.blanks[0].panels[0].holes) == 2
    assert shared(one, other) == 0.0


@pytest.mark.parametrize("right", [True, False])
def test_a_level_plate_into_the_side_of_a_body(right: bool) -> None:
    """The body is 56 mm wide outside: root edges at y = 28, tabs flush with the inner faces at y = 23."""
    body = build_box(boxes.plain(56.0, 50.0), board())
    side = 1.0 if right else -1.0
    one, other, done = joined(sideways(60.0, side * 32.0, 25.0, right), body)
    assert done.findings == ()
    y = corners(one)[:, 1] * side
    assert y.max() == pytest.approx(28.0 + 80.0)
    assert y.min() == pytest.approx(23.0)
    name = "right" if right else "left"
    assert {panel.name: len(panel.holes) for panel in other.blanks[0].panels}[name] == 2
    assert sum(len(panel.holes) for panel in other.blanks[0].panels) == 2
    assert shared(one, other) == 0.0
    assert done.shown is not None
    assert done.shown.second == (f"body/main {name}: 2 slots",)


def test_a_fin_through_the_deck_of_a_body() -> None:
    """A deck on the sides' edges: upper face at z = 22 + 5, tabs down to 22."""
    part = boxes.box(
        station=(boxes.station(0, 56, -30, 22), boxes.station(250, 56, -30, 22)),
        former=(),
        deck=({"id": "aft", "from_mm": 100, "to_mm": 240, "seat": "on"},),
    )
    one, other, done = joined(standing(x=120.0, z=25.0), build_box(part, board()))
    assert done.findings == ()
    assert corners(one)[:, 2].min() == pytest.approx(22.0)
    assert [blank.name for blank in other.blanks if blank.panels[0].holes] == ["body/aft"]
    assert shared(one, other) == 0.0


@pytest.mark.parametrize("lean", [-30.0, -12.0, -3.0, 3.0, 12.0, 30.0])
@pytest.mark.parametrize("under", [False, True])
def test_a_leaning_fin(lean: float, under: bool) -> None:
    """Slot: t/cos + t*tan across it, where the tab's section moves by t*tan between the two faces.

    Tabs are t/cos long. Beyond a gape of 0.5 mm (5.7 degrees) root edge and tab ends are bevelled.
    """
    one, other, done = joined(standing(lean=lean, under=under), level())
    assert done.findings == ()
    beta = radians(abs(lean))
    hole = other.blanks[0].panels[0].holes[0]
    length, width = np.ptp(hole, axis=0)
    assert (length, width) == pytest.approx((15.1, T / cos(beta) + T * tan(beta) + 0.1))
    assert done.shown is not None
    assert done.shown.figures["tab_depth_mm"] == pytest.approx(T / cos(beta), abs=1e-3)
    assert done.shown.figures["across_deg"] == pytest.approx(abs(lean), abs=1e-3)
    cuts = {cut for cut in one.blanks[0].panels[0].cuts if cut != EdgeCut()}
    if abs(lean) == 3.0:
        assert not cuts
    else:
        assert [max(cut.a, cut.b) for cut in cuts] == pytest.approx([T * tan(beta)])
        # two tabs: three stretches of root edge and two tab ends
        assert sum(cut != EdgeCut() for cut in one.blanks[0].panels[0].cuts) == 5
    assert shared(one, other) == 0.0


def test_the_bevel_closes_the_root() -> None:
    """With 12 degrees the solid root comes to the face on both skins: the gap's volume is none."""
    one, _, _ = joined(standing(lean=12.0), level(), tabs=1, tab_length_mm=10.0)
    panel = one.blanks[0].panels[0]
    bevelled = [(index, cut) for index, cut in enumerate(panel.cuts) if cut != EdgeCut()]
    # leaning right, the right skin (here B: the plate's face normal points left) bites first
    assert {("a" if cut.a else "b") for _, cut in bevelled} == {"b"}
    root_a = corners(one, T)
    assert root_a[np.argsort(root_a[:, 2])][2:4, 2] == pytest.approx([T, T], abs=1e-9)


@pytest.mark.parametrize("slope", [-15.0, -4.0, 4.0, 15.0])
def test_it_leans_with_a_slope_along_it(slope: float) -> None:
    """A board turned about y: the root lies on it at both ends, the tabs end flush with its far face."""
    other = tilted(level(), 0.0, slope)
    one, base, done = joined(standing(z=10.0), other)
    assert done.findings == ()
    local = np.linalg.inv(base.blanks[0].placement)
    points = corners(one)
    depth = points @ local[2, :3] + local[2, 3]
    assert depth.min() == pytest.approx(0.0, abs=1e-9)
    assert np.sum(np.abs(depth - T) < 1e-9) == 2 * 6  # root ends and both sides of two tabs, on both skins
    assert shared(one, base) == 0.0


def test_too_much_of_a_slope() -> None:
    for about_x, about_y, way in ((0.0, 25.0, "along it"), (50.0, 0.0, "across it")):
        _, base, done = joined(standing(z=10.0), tilted(level(), about_x, about_y))
        assert {(f.code, f.params["way"]) for f in done.findings} == {("G62", way)}
        assert done.changed == {}
        assert base.blanks[0].panels[0].holes == ()


def test_a_mirrored_pair_on_a_wing_with_dihedral() -> None:
    """Upright fins on halves that rise by 4 degrees: left is right mirrored, surfaces go with them."""
    right = tilted(level("wing", 0.0, 120.0, 150.0), 4.0, 0.0)
    half = replace(right.blanks[0], name="wing/right")
    half = replace(half, panels=(Panel("plate", np.clip(half.panels[0].polygon, [-1e3, 0], None),
                                       half.panels[0].cuts),))  # fmt: skip
    base = PartBuild("wing", (half, mirror_blank(half, "wing/left")))
    one = standing(y=100.0, z=30.0).blanks[0]
    pair = PartBuild("fin", (one, mirror_blank(one, "fin/left")))
    both, other, done = joined(pair, base)
    assert done.findings == ()
    a, b = (corners(PartBuild("x", (blank,))) for blank in both.blanks)
    mirrored = b * [1.0, -1.0, 1.0]
    assert np.sort(a.round(6), axis=0) == pytest.approx(np.sort(mirrored.round(6), axis=0), abs=1e-6)
    assert [len(blank.panels[0].holes) for blank in other.blanks] == [2, 2]
    # board's upper face at y = 100: 5/cos 4 + 100 tan 4, and up by what the square root needs at its side
    z = T / cos(radians(4)) + 100.0 * tan(radians(4)) + T / 2 * tan(radians(4))
    assert a[:, 2].max() == pytest.approx(z + 60.0, abs=1e-6)
    assert shared(both, other) == 0.0


def test_twin_fins_at_swept_tips() -> None:
    """A board swept by 30 degrees with washed-out tips (its outer part slopes both ways)."""
    half = tilted(level("wing", 0.0, 140.0, 60.0), 3.0, -4.0, 20.0)
    one, other, done = joined(standing(x=20.0, z=10.0), half)
    assert done.findings == ()
    assert shared(one, other) == 0.0
    assert len(other.blanks[0].panels[0].holes) == 2


@settings(max_examples=examples(60))
@given(
    lean=st.floats(-35.0, 35.0),
    about_x=st.floats(-8.0, 8.0),
    about_y=st.floats(-18.0, 18.0),
    turn_z=st.floats(-30.0, 30.0),
    under=st.booleans(),
    t=st.floats(3.0, 6.0),
    clearance=st.floats(0.0, 0.6),
    tabs=st.integers(1, 3),
)
def test_a_fin_never_cuts_into_what_it_stands_on(
    lean: float,
    about_x: float,
    about_y: float,
    turn_z: float,
    under: bool,
    t: float,
    clearance: float,
    tabs: int,
) -> None:
    other = tilted(level(t=t), about_x, about_y, turn_z)
    fin_part = standing(x=-20.0 + 60.0, z=-5.0 if under else 10.0, lean=lean, under=under, t=t)
    one, base, done = joined(fin_part, other, tabs=tabs, clearance_mm=clearance)
    if any(f.verdict == "no-go" for f in done.findings):
        assert done.changed == {}
    else:
        assert len(base.blanks[0].panels[0].holes) == tabs
        assert shared(one, base) < 0.05 * tabs
    for found in done.findings:
        assert words(found).says
        assert words(found).cure


@settings(max_examples=examples(25))
@given(
    x=st.floats(295.0, 312.0),
    y=st.floats(60.0, 314.0),
    z=st.floats(0.0, 50.0),
    lean=st.floats(-25.0, 25.0),
    straight=st.booleans(),
    t=st.floats(3.0, 6.0),
)
def test_fins_on_folded_wings(x: float, y: float, z: float, lean: float, straight: bool, t: float) -> None:
    """Wherever they stand: no board in common, or a finding."""
    part = wing(trailing={"kind": "straight" if straight else "level"}, control=())
    base = build_wing(part, board(t))
    made = standing(x=x, y=y, z=z, lean=lean, root=50.0, t=t)
    one, other, done = joined(made, base)
    if not done.findings:
        assert shared(one, other) < 0.1
    for found in done.findings:
        assert words(found).says


def test_a_slot_in_a_control() -> None:
    """The elevon's panel carries no fin."""
    made = standing(x=290.0, y=150.0, z=25.0, root=70.0)
    base = build_wing(wing(), board())
    _, _, done = joined(made, base)
    assert {f.code for f in done.findings} == {"G160"}
    assert "elevon" in str(done.findings[0].params["control"])


def test_a_slot_at_another_hole() -> None:
    first, second, _ = joined(standing(), level())
    del first
    _, _, done = joined(standing(y=7.0, part="other"), second)
    # slots 5.1 mm wide in the middle and 7 mm aside: 1.9 mm are left
    assert [(f.code, f.verdict, f.value) for f in done.findings] == [("G161", "watch", 1.9)] * 2
    _, _, done = joined(standing(y=3.0, part="other"), second)
    assert [(f.code, f.verdict) for f in done.findings] == [("G161", "no-go")] * 2


def test_a_root_that_runs_into_the_next_panel() -> None:
    """A level board and, from x = 70 on, one 4 mm higher: the root from 20 to 100 bites 4 mm deep."""
    step = level("tail", 70.0, 120.0, 150.0, 4.0).blanks[0]
    base = PartBuild("tail", (level(x1=70.0).blanks[0], replace(step, name="tail/step")))
    _, _, done = joined(standing(), base, tabs=1, to_mm=60.0, from_mm=0.0)
    assert [(f.code, f.verdict) for f in done.findings] == [("G162", "watch")]
    assert done.findings[0].value == pytest.approx(4.0, abs=0.01)


def test_a_rudder_carries_no_tabs() -> None:
    """A fin of 50 mm with a rudder of 30: the tabs keep to the fin."""
    blank = standing(root=80.0).blanks[0]
    front = Panel("fin", np.array([(0.0, 0), (50, 0), (50, 60), (0, 60)]), (EdgeCut(),) * 4)
    back = Panel("rudder", np.array([(50.0, 0), (80, 0), (80, 60), (50, 60)]), (EdgeCut(),) * 4)
    fold = Fold(
        "hinge", "fin", "rudder", np.array([50.0, 60]), np.array([50.0, 0]), "live", "a", "b", 0.0, 0.5
    )
    two = replace(blank, panels=(front, back), folds=(fold,), root="fin")
    assert moving(two) == {"rudder"}
    edge = root_edge(two)
    assert edge is not None
    assert edge.run == (0.0, 50.0)
    one, _, done = joined(PartBuild("fin", (two,)), level())
    assert done.findings == ()
    tabs = one.blanks[0].panel("fin").polygon
    assert tabs[tabs[:, 1] < -1.0][:, 0].max() == pytest.approx(37.5 + 7.5)
    assert len(one.blanks[0].panel("rudder").polygon) == 4


def test_nothing_is_met() -> None:
    _, _, done = joined(standing(y=200.0), level())
    assert [f.code for f in done.findings] == ["G60"]
    assert "y 200.0" in words(done.findings[0]).says


def test_the_first_part_must_be_a_plate() -> None:
    parts = {"fin": wing(id="fin"), "tail": wing(id="tail")}
    builds = {"fin": PartBuild("fin", ()), "tail": PartBuild("tail", ())}
    assert [f.code for f in join(parts, builds, joint(), bench()).findings] == ["G64"]


def test_both_parts_are_shown() -> None:
    _, _, done = joined(standing(), level())
    assert done.shown is not None
    assert done.shown.first == ("fin/main: 2 tabs",)
    assert done.shown.second == ("tail/main plate: 2 slots",)
    assert done.shown.glued
    assert done.shown.figures["moved_mm"] == pytest.approx(3.0)  # drawn at z = 8, the face is at 5


def test_what_hangs_on_the_plate_goes_with_it() -> None:
    part = Plate.model_validate(
        {
            "kind": "plate", "id": "fin", "x_mm": 20.0, "y_mm": 0.0, "z_mm": 12.0,
            "taper": {"root_mm": 80.0, "tip_mm": 50.0, "height_mm": 90.0, "tip_aft_mm": 30.0},
        }
    )  # fmt: skip
    made = build(part, bench())
    one, _, done = joined(made, level())
    assert done.findings == ()
    assert one.surfaces[0].le[0, 2] == pytest.approx(T)
    assert made.surfaces[0].le[0, 2] == pytest.approx(12.0)
    assert one.surfaces[0].le[-1, 2] - one.surfaces[0].le[0, 2] == pytest.approx(90.0)
