"""Folded, flat and folded again; where unfolding refuses."""

from __future__ import annotations

from math import cos, pi, sin, tan

import numpy as np
import pytest
from hypothesis import given

from foldwright.base.types import FloatArray
from foldwright.geometry.fold.flat import (
    SpaceFold,
    SpacePanel,
    axis,
    fold_matrices,
    fold_matrix,
    stages,
    transforms,
    unfold,
)
from foldwright.geometry.fold.model import Blank, EdgeCut
from foldwright.geometry.fold.rings import inset, inset_all, inset_outline
from foldwright.geometry.transform import apply, inverse
from tests.strategies import (
    SECTION_FOLDS,
    X_AXIS,
    Box,
    Section,
    box_blank,
    box_folds,
    box_panels,
    random_box,
    random_strip,
    section_blank,
    section_panels,
    sections,
    seeds,
    space_panels,
)

ROUND_TRIP = 1e-9


def standing(blank: Blank, name: str, add: float = 0.0) -> FloatArray:
    """Corners of a folded panel `add` mm above its inner face."""
    polygon = blank.panel(name).polygon
    return apply(transforms(blank)[name], np.column_stack([polygon, np.full(len(polygon), add)]))


def off_panels(blank: Blank, panels: tuple[SpacePanel, ...]) -> float:
    """Farthest that any corner of the folded blank stands from where it was asked to be, mm."""
    worst = 0.0
    for panel in panels:
        drop = panel.offset - panel.corners @ panel.normal
        asked = panel.corners + drop[:, None] * panel.normal
        worst = max(worst, float(np.abs(standing(blank, panel.name) - asked).max()))
    return worst


def test_300_random_boxes_fold_back_to_themselves() -> None:
    rng = np.random.default_rng(2)
    for _ in range(300):
        box = random_box(rng)
        panels = box_panels(box)
        blank = unfold("box", box.thickness, panels, box_folds(box), X_AXIS)
        if box.radius == 0.0:
            assert off_panels(blank, panels) <= ROUND_TRIP
        else:  # a round corner's panels are shorter; what is left of them still stands in its planes
            for panel in panels:
                off = standing(blank, panel.name) @ panel.normal - panel.offset
                assert np.abs(off).max() <= ROUND_TRIP


@given(sections())
def test_sections_fold_back_to_themselves(section: Section) -> None:
    panels = section_panels(section)
    assert off_panels(section_blank(section), panels) <= ROUND_TRIP


@given(sections())
def test_sections_have_the_flat_widths_of_the_closed_forms(section: Section) -> None:
    # First principles: widths along the panels, from the slopes alone.
    t, a, m = section.thickness, section.slope, section.aft_slope
    e = t * tan((a + m) / 2.0)
    widths = {
        "strip": section.strip_end - t * sin(a),
        "front": (section.spar - t * sin(a)) / cos(a) + e,
        "aft": e + (section.strip_end - section.spar) / cos(m),
        "trailing": section.chord - section.strip_end,
    }
    blank = section_blank(section)
    for name, width in widths.items():
        assert np.ptp(blank.panel(name).polygon[:, 0]) == pytest.approx(width, abs=1e-9)
    turns = {fold.name: fold.angle for fold in blank.folds}
    assert turns["ridge"] == pytest.approx(a + m, abs=1e-12)
    assert turns["nose"] == pytest.approx(pi - a, abs=1e-12)
    assert turns["crease"] == pytest.approx(m, abs=1e-12)


@given(seeds())
def test_strips_unfold_to_what_they_were_folded_from(rng: np.random.Generator) -> None:
    blank = random_strip(rng)
    folds = tuple(
        SpaceFold(f.name, f.parent, f.child, 1, 3, f.method, f.hinge, f.tool_width, order=f.order)
        for f in blank.folds
    )
    again = unfold(blank.name, blank.thickness, space_panels(blank), folds, blank.placement[:3, 0])
    shift = blank.panels[0].polygon[0] - again.panels[0].polygon[0]
    for before, after in zip(blank.panels, again.panels, strict=True):
        assert np.abs(after.polygon + shift - before.polygon).max() <= ROUND_TRIP
        assert [c.a for c in after.cuts] == pytest.approx([c.a for c in before.cuts], abs=ROUND_TRIP)
        assert [c.b for c in after.cuts] == pytest.approx([c.b for c in before.cuts], abs=ROUND_TRIP)
    for was, now in zip(blank.folds, again.folds, strict=True):
        assert (was.toward, was.hinge, was.method) == (now.toward, now.hinge, now.method)
        assert now.angle == pytest.approx(was.angle, abs=1e-11)
        assert np.abs(now.p + shift - was.p).max() <= ROUND_TRIP


def test_unfolding_starts_flat_and_ends_folded() -> None:
    blank = box_blank(Box(80.0, 50.0, 300.0, 5.0))
    flat = transforms(blank, 0.0)
    assert all(np.allclose(place, blank.placement) for place in flat.values())
    half = stages(blank, {"to-left": 0.5})
    assert np.allclose(half["right"], blank.placement)
    turned = inverse(blank.placement) @ half["left"]
    assert np.arccos(turned[2, 2]) == pytest.approx(pi / 4, abs=1e-12)


def test_a_live_hinge_takes_its_deflection_only() -> None:
    panels = (
        SpacePanel("wing", np.array([0.0, 0.0, 1.0]), 0.0, _plate(0.0, 100.0)),
        SpacePanel("flap", np.array([0.0, 0.0, 1.0]), 0.0, _plate(100.0, 140.0)),
    )
    hinge = SpaceFold("hinge", "wing", "flap", 1, 3, "live", "a", limit=0.5)
    blank = unfold("tail", 5.0, panels, (hinge,), X_AXIS)
    fold = blank.folds[0]
    assert (fold.angle, fold.limit, fold.toward) == (0.0, 0.5, "b")
    assert np.allclose(transforms(blank)["flap"], blank.placement)
    down = transforms(blank, deflection={"hinge": 0.2})["flap"]
    trailing = apply(down @ inverse(blank.placement), np.array([140.0, 0.0, 5.0]))
    assert trailing[2] == pytest.approx(5.0 - 40.0 * sin(0.2), abs=1e-9)


def _plate(fore: float, aft: float, z: float = 0.0) -> FloatArray:
    return np.array([(fore, -50.0, z), (aft, -50.0, z), (aft, 50.0, z), (fore, 50.0, z)])


def test_edges_on_one_line_keep_their_cuts() -> None:
    """A round corner moves the fold's edge; its neighbour on the same line stays and keeps its own cut."""
    floor = SpacePanel(
        "floor", np.array([0.0, 0.0, -1.0]), -5.0,
        np.array([(0, -40, 0), (0, 40, 0), (100, 40, 0), (300, 40, 0), (300, -40, 0)], dtype=np.float64),
    )  # fmt: skip
    side = SpacePanel(
        "side", np.array([0.0, 1.0, 0.0]), 35.0,
        np.array([(100, 40, 0), (0, 40, 0), (0, 40, 60), (100, 40, 60)], dtype=np.float64),
    )  # fmt: skip
    fold = SpaceFold("f", "floor", "side", 1, 0, "crush", "a", 5.0, radius=2.0)
    far = EdgeCut(a=1.25)
    blank = unfold("half", 5.0, (floor, side), (fold,), X_AXIS, {("floor", 2): far})
    flat = blank.panel("floor")
    assert len(flat.polygon) == 6 == len(flat.cuts)
    assert flat.cuts[1] == EdgeCut(b=2.5, squeezed=True)
    assert flat.cuts[2] == EdgeCut()
    assert flat.cuts[3] == far
    plain = unfold(
        "half", 5.0, (floor, side), (SpaceFold("f", "floor", "side", 1, 0, "groove", "a"),), X_AXIS
    )
    assert len(plain.panel("floor").polygon) == 5


def test_a_slit_may_turn_by_a_half_turn() -> None:
    panels = (
        SpacePanel("over", np.array([0.0, 0.0, 1.0]), 0.0, _plate(0.0, 100.0)),
        SpacePanel("under", np.array([0.0, 0.0, -1.0]), 0.0, _plate(0.0, 60.0)[::-1]),
    )
    fold = SpaceFold("f", "over", "under", 3, 3, "slit", "b")
    blank = unfold("double", 5.0, panels, (fold,), X_AXIS)
    assert blank.folds[0].angle == pytest.approx(pi)
    assert blank.folds[0].toward == "b"
    assert off_panels(blank, panels) <= ROUND_TRIP
    assert np.ptp(np.concatenate([panel.polygon for panel in blank.panels])[:, 0]) == pytest.approx(160.0)


@given(seeds())
def test_many_fractions_of_a_fold_are_one_at_a_time(rng: np.random.Generator) -> None:
    box = box_blank(Box(80.0, 50.0, 300.0, 5.0, "crush", 5.0, float(rng.uniform(0.0, 3.0))))
    fractions = rng.uniform(0.0, 1.0, 5)
    for fold in (*box.folds, *random_strip(rng).folds):
        together = fold_matrices(fold, fractions, 5.0)
        for fraction, matrix in zip(fractions, together, strict=True):
            assert np.allclose(matrix, fold_matrix(fold, fold.angle * fraction, 5.0), atol=1e-10)


def test_what_cannot_be_unfolded_says_so() -> None:
    flat = SpacePanel("one", np.array([0.0, 0.0, 1.0]), 0.0, _plate(0.0, 100.0))
    step = SpacePanel("step", np.array([0.0, 0.0, 1.0]), 2.0, _plate(100.0, 140.0, 2.0))
    under = SpacePanel("under", np.array([0.0, 0.0, -1.0]), 0.0, _plate(0.0, 60.0)[::-1])
    astray = SpacePanel("astray", np.array([1.0, 0.0, 0.0]), 50.0, _plate(0.0, 60.0))
    with pytest.raises(ValueError, match="planes of one and step do not meet"):
        unfold("x", 5.0, (flat, step), (SpaceFold("f", "one", "step", 1, 3, "groove", "a"),), X_AXIS)
    with pytest.raises(ValueError, match="only a slit can"):
        unfold("x", 5.0, (flat, under), (SpaceFold("f", "one", "under", 3, 3, "groove", "b"),), X_AXIS)
    with pytest.raises(ValueError, match="off the fold's axis"):
        unfold("x", 5.0, (flat, astray), (SpaceFold("f", "one", "astray", 1, 3, "groove", "a"),), X_AXIS)
    with pytest.raises(ValueError, match="out of order"):
        unfold("x", 5.0, (flat, step), (SpaceFold("f", "step", "one", 1, 3, "groove", "a"),), X_AXIS)
    with pytest.raises(ValueError, match="planes of one and step do not meet"):
        axis(flat, step, 5.0, "a")


def test_panels_that_form_no_tree_cannot_be_placed() -> None:
    blank = section_blank(Section(0.3, 50.0, 130.0, 180.0, 300.0, 5.0))
    loose = Blank(blank.name, 5.0, blank.panels, blank.folds[1:], blank.root, blank.placement)
    with pytest.raises(ValueError, match="no tree"):
        transforms(loose)
    with pytest.raises(KeyError):
        blank.panel("lid")


@given(seeds())
def test_many_outlines_are_inset_as_one_is(rng: np.random.Generator) -> None:
    angles = np.sort((np.arange(6) + rng.uniform(0.1, 0.9, 6)) * pi / 3)
    ring = 50.0 * np.stack([np.cos(angles), np.sin(angles)], axis=1)
    steps = rng.uniform(0.0, 2.0, (3, 6))
    square = np.array([(0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0)])
    both, begins = inset_all((ring, square), np.column_stack([steps, np.ones((3, 4))]))
    assert list(begins) == [0, 12]
    assert np.allclose(both[:, 0:12:2], inset(ring, steps), atol=1e-12)
    assert np.allclose(both[:, 1:12:2], inset(ring, steps), atol=1e-12)
    assert np.allclose(both[0, 12::2], [(1, 1), (9, 1), (9, 9), (1, 9)], atol=1e-12)


def test_edges_on_one_line_that_move_by_different_distances_leave_a_step() -> None:
    ring = np.array([(0.0, 0.0), (5.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0)])
    steps = np.array([1.0, 3.0, 0.0, 0.0, 0.0])
    expected = [(0, 1), (5, 1), (5, 3), (10, 3), (10, 10), (0, 10)]
    assert np.allclose(inset(ring, steps), expected)
    points, source = inset_outline(ring, steps)
    assert np.allclose(points, expected)
    assert source == (0, -1, 1, 2, 3, 4)
    assert np.allclose(inset_outline(ring, np.zeros(5))[0], ring)


def test_an_outline_with_a_doubled_point_is_refused() -> None:
    doubled = np.array([(0.0, 0.0), (0.0, 0.0), (10.0, 0.0), (10.0, 10.0)])
    with pytest.raises(ValueError, match="neighbouring points"):
        inset(doubled, np.zeros(4))
    with pytest.raises(ValueError, match="neighbouring points"):
        inset_outline(doubled, np.zeros(4))


def test_section_folds_are_in_order() -> None:
    assert [fold.name for fold in SECTION_FOLDS] == ["ridge", "nose", "crease"]
