"""Plates, their mirror images, and tabs through slots. Expected numbers: first principles."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
import shapely

from foldwright.airframe import slot_tab
from foldwright.airframe.mirror import mirror_blank, mirror_matrix
from foldwright.airframe.model import Board, PartBuild
from foldwright.airframe.plate import build_plate, outline
from foldwright.airframe.wing import build_wing
from foldwright.base.finding import Finding
from foldwright.base.messages import words
from foldwright.base.types import FloatArray
from foldwright.design.parts import Plate, SlotTab
from foldwright.geometry.fold.flat import transforms
from foldwright.geometry.fold.model import Blank
from foldwright.geometry.transform import apply, inverse
from tests.airframe.parts import board, fin, wing


def in_space(blank: Blank, w: float) -> FloatArray:
    """Outline of a flat plate in the aeroplane at depth w."""
    ring = blank.panels[0].polygon
    return apply(transforms(blank)[blank.root], np.column_stack([ring, np.full(len(ring), w)]))


def joint(**changes: object) -> SlotTab:
    data = {"kind": "slot_tab", "id": "fin-wing", "parts": ("fin", "wing"), "tab_length_mm": 18.0}
    return SlotTab.model_validate(data | changes)


def join_slot_tab(
    made: PartBuild, base: PartBuild, part: Plate, how: SlotTab, sheet: Board
) -> tuple[PartBuild, PartBuild, tuple[Finding, ...]]:
    """Both parts as the joint leaves them, and its findings."""
    del part, sheet
    done = slot_tab.join_slot_tab(made, base, how)
    return done.changed.get(made.id, made), done.changed.get(base.id, base), done.findings


@pytest.mark.parametrize("y", [312.0, -312.0])
def test_face_a_of_an_upright_plate_is_outside(y: float) -> None:
    blank = build_plate(fin(y_mm=y, mirrored=False), board()).blanks[0]
    a, b = in_space(blank, 5.0)[:, 1], in_space(blank, 0.0)[:, 1]
    side = np.sign(y)
    assert a == pytest.approx(y + side * 2.5)
    assert b == pytest.approx(y - side * 2.5)
    assert in_space(blank, 0.0)[:, 2].max() == pytest.approx(110.0)


def test_the_other_side_is_the_mirror_image() -> None:
    right, left = build_plate(fin(), board()).blanks
    assert left.mirror_of == right.name
    assert np.linalg.det(left.placement) == pytest.approx(1.0)
    for w in (0.0, 5.0):
        one, other = in_space(right, w) * [1.0, -1.0, 1.0], in_space(left, w)
        assert {tuple(p) for p in one.round(9)} == {tuple(p) for p in other.round(9)}
    area = shapely.Polygon(left.panels[0].polygon).exterior
    assert area.is_ccw


def test_mirroring_twice_gives_the_same_folded_wing() -> None:
    """A folded wing is its own mirror image: every panel of the mirrored blank lands on its opposite."""
    main = build_wing(wing(), board()).blanks[0]
    other = mirror_blank(main, "wing/mirrored")
    swap = {"elevon-left": "elevon-right", "elevon-right": "elevon-left"}
    there, here = transforms(main), transforms(other)
    for panel in other.panels:
        mine = apply(here[panel.name], np.column_stack([panel.polygon, np.zeros(len(panel.polygon))]))
        twin = main.panel(swap.get(panel.name, panel.name))
        theirs = apply(there[twin.name], np.column_stack([twin.polygon, np.zeros(len(twin.polygon))]))
        assert np.sort(mine.round(9), axis=0) == pytest.approx(np.sort(theirs.round(9), axis=0), abs=1e-9)
    assert mirror_matrix(mirror_matrix(main.placement)) == pytest.approx(main.placement)


def test_a_clockwise_polygon_is_turned_round() -> None:
    part = Plate.model_validate(
        {
            "kind": "plate", "id": "p", "plane": "level", "x_mm": 0.0, "z_mm": 0.0,
            "polygon_mm": ((0.0, 0.0), (0.0, 40.0), (60.0, 40.0), (60.0, 0.0)),
        }
    )  # fmt: skip
    assert shapely.Polygon(outline(part)).exterior.is_ccw
    blank = build_plate(part, board()).blanks[0]
    assert in_space(blank, 5.0)[:, 2] == pytest.approx(5.0)  # face A up


@pytest.mark.parametrize("t", [4.5, 5.0, 5.4])
def test_fin_is_seated_on_the_wing_whatever_the_board(t: float) -> None:
    """The level trailing part's upper face lies at z + 2t (one strip, one trailing part above it)."""
    base, made = build_wing(wing(), board(t)), build_plate(fin(), board(t))
    tabbed, slotted, findings = join_slot_tab(made, base, fin(), joint(), board(t))
    assert findings == ()
    for blank in tabbed.blanks:
        z = in_space(blank, 0.0)[:, 2]
        assert z.max() == pytest.approx(10.0 + 2.0 * t + 90.0)
        assert z.min() == pytest.approx(10.0 + t)  # tabs end flush with the under face
    assert tabbed.surfaces[0].le[0, 2] == pytest.approx(10.0 + 2.0 * t)
    holes = slotted.blanks[0].panel("trailing").holes
    assert len(holes) == 4
    for hole in holes:
        length, width = np.ptp(hole, axis=0)
        assert length == pytest.approx(18.1)
        assert width == pytest.approx(t + 0.1)


def test_tabs_go_through_the_middle_of_their_slots() -> None:
    base, made = build_wing(wing(), board()), build_plate(fin(), board())
    tabbed, slotted, _ = join_slot_tab(made, base, fin(), joint(), board())
    main = slotted.blanks[0]
    place = transforms(main)["trailing"]
    centres = sorted(
        tuple(apply(place, np.append(hole.mean(axis=0), 0.0))[:2].round(6))
        for hole in main.panel("trailing").holes
    )
    expected = sorted(
        (round(285.0 + (start + stop) / 2.0, 6), side * 312.0)
        for start, stop in slot_tab.tab_runs((0.0, 80.0), joint())
        for side in (1, -1)
    )
    assert np.array(centres) == pytest.approx(np.array(expected))
    assert len(tabbed.blanks) == 2


@pytest.mark.parametrize(
    ("part", "how", "code"),
    [
        ({"x_mm": 500.0}, {}, "G60"),
        ({"y_mm": 328.0}, {}, "G61"),
        ({}, {"tab_length_mm": 40.0}, "G63"),
    ],
)
def test_tabs_that_cannot_be(part: dict[str, float], how: dict[str, float], code: str) -> None:
    plate = fin(**part)
    base, made = build_wing(wing(), board()), build_plate(plate, board())
    _, slotted, findings = join_slot_tab(made, base, plate, joint(**how), board())
    assert code in {finding.code for finding in findings}
    assert all(words(finding).cure for finding in findings)
    assert not slotted.blanks[0].panel("trailing").holes


def test_slots_are_cut_before_masses() -> None:
    base, made = build_wing(wing(), board()), build_plate(fin(), board())
    _, slotted, _ = join_slot_tab(made, base, fin(), joint(), board())
    assert replace(slotted.blanks[0], panels=base.blanks[0].panels).panel("trailing").holes == ()
    assert slotted.blanks[0].panel("trailing").holes != ()


@pytest.mark.parametrize("t", [4.5, 5.0, 5.4])
def test_a_fin_leans_with_a_straight_aft_panel(t: float) -> None:
    """Its root edge lies on the sloping face at both ends, its tabs square to it (first principles)."""
    part = wing(trailing={"kind": "straight"})
    base, made = build_wing(part, board(t)), build_plate(fin(), board(t))
    tabbed, slotted, findings = join_slot_tab(made, base, fin(), joint(), board(t))
    assert findings == ()
    main = slotted.blanks[0]
    place = transforms(main)["aft"]
    back = inverse(place)
    for blank in tabbed.blanks:
        root = apply(blank.placement, np.array([(0.0, 0.0, t / 2.0), (80.0, 0.0, t / 2.0)]))
        assert apply(back, root)[:, 2] == pytest.approx([t, t], abs=1e-9)
        ring = blank.panels[0].polygon
        deep = apply(back, apply(blank.placement, np.column_stack([ring, np.full(len(ring), t / 2.0)])))[:, 2]
        assert deep.min() == pytest.approx(0.0, abs=1e-9)  # tabs end flush with the under face
    # the panel falls aft, so the top leans aft: its surface's tip moves back by the height's share
    lean = np.arctan2(place[0, 2], place[2, 2])
    before, after = made.surfaces[0].le, tabbed.surfaces[0].le
    assert lean > 0.0
    assert np.diff(after[:, 0])[0] - np.diff(before[:, 0])[0] == pytest.approx(
        90.0 * np.sin(lean) - 30.0 * (1.0 - np.cos(lean)), abs=1e-6
    )
    assert len(main.panel("aft").holes) == 4


def test_a_steep_panel_carries_no_fin() -> None:
    steep = wing(spar={"x_mm": 62.0, "height_mm": 24.0}, strip={"aft_mm": 112.0})
    plate = fin(x_mm=217.0, taper={"root_mm": 40.0, "tip_mm": 30.0, "height_mm": 60.0})
    base, made = build_wing(steep, board()), build_plate(plate, board())
    _, _, findings = join_slot_tab(made, base, plate, joint(tabs=1), board())
    assert {finding.code for finding in findings} == {"G62"}
    assert "along it" in words(findings[0]).says
