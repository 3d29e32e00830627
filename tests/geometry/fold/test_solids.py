"""Closed meshes, overlaps, the separating-axis test, and the way from flat to folded."""

from __future__ import annotations

from dataclasses import replace
from math import pi

import numpy as np
import pytest
import trimesh
from hypothesis import given

from foldwright.base.types import FloatArray
from foldwright.geometry.fold.apart import body, gaps
from foldwright.geometry.fold.edges import fold_sides, hard_panels
from foldwright.geometry.fold.flat import transforms
from foldwright.geometry.fold.model import SQUARE, Blank, Face, Method, Panel
from foldwright.geometry.fold.path import folding_order, order_folds, path_overlaps
from foldwright.geometry.fold.solids import (
    Piece,
    loft,
    manifold,
    meeting,
    overlap,
    overlaps,
    placed,
    prism,
)
from foldwright.geometry.transform import frame, inverse, shift, turn
from tests.strategies import (
    Box,
    Section,
    box_blank,
    chest,
    random_box,
    random_panel,
    random_strip,
    section_blank,
    sections,
    seeds,
    strip_blank,
)

LEAST = 1e-3


def ell() -> FloatArray:
    return np.array([(0.0, 0.0), (60.0, 0.0), (60.0, 20.0), (20.0, 20.0), (20.0, 60.0), (0.0, 60.0)])


def plate(name: str, ring: FloatArray, placement: FloatArray) -> Blank:
    return Blank(name, 5.0, (Panel("p", ring, (SQUARE,) * len(ring)),), (), "p", placement)


@given(seeds())
def test_prisms_close_and_face_outward(rng: np.random.Generator) -> None:
    panel = random_panel(rng, 5.0)
    solid = prism(panel, 5.0)
    mesh = trimesh.Trimesh(solid.points, solid.triangles, process=False)
    assert mesh.is_watertight
    assert mesh.is_winding_consistent
    assert mesh.volume > 0.0
    assert float(manifold(solid).volume()) == pytest.approx(mesh.volume, rel=1e-9)


@pytest.mark.parametrize("order", [1, -1])
def test_a_hole_may_run_either_way(order: int) -> None:
    hole = np.array([(5.0, 5.0), (10.0, 5.0), (10.0, 10.0), (5.0, 10.0)])[::order]
    solid = loft(ell(), ell(), 5.0, (hole,))
    mesh = trimesh.Trimesh(solid.points, solid.triangles, process=False)
    assert mesh.is_watertight
    # First principles: an L of 60*20 + 20*40 mm² less 25 mm²
    assert mesh.volume == pytest.approx((2000.0 - 25.0) * 5.0, rel=1e-12)


def test_an_open_mesh_is_refused() -> None:
    solid = prism(Panel("p", ell(), (SQUARE,) * 6), 5.0)
    with pytest.raises(ValueError, match="does not close"):
        manifold(type(solid)(solid.points, solid.triangles[1:]))


def test_300_random_boxes_do_not_overlap() -> None:
    rng = np.random.default_rng(3)
    for _ in range(300):
        blank = box_blank(random_box(rng))
        assert overlap(blank, transforms(blank), LEAST) == ()


@given(sections())
def test_sections_do_not_overlap(section: Section) -> None:
    blank = section_blank(section)
    assert overlap(blank, transforms(blank), LEAST) == ()


@pytest.mark.parametrize("hinge", ["a", "b"])
@pytest.mark.parametrize("method", ["groove", "crush", "rebate", "slit"])
@pytest.mark.parametrize("angle", [0.3, 1.0, pi / 2, 2.0])
def test_folds_made_as_meant_do_not_overlap(method: Method, hinge: Face, angle: float) -> None:
    blank = strip_blank(np.array([70.0, 70.0]), np.full(3, 0.1), np.array([angle]), (method,), (hinge,), 5.0)
    assert overlap(blank, transforms(blank), LEAST) == ()
    assert path_overlaps(blank) == ()


@pytest.mark.parametrize("hinge", ["a", "b"])
def test_a_slit_turned_the_wrong_way_overlaps(hinge: Face) -> None:
    # First principles: two square edges turned into each other share a kite of area t²*tan(theta/2).
    blank = strip_blank(np.array([70.0, 70.0]), np.zeros(3), np.array([1.0]), ("slit",), (hinge,), 5.0)
    fold = blank.folds[0]
    wrong = type(fold)(
        fold.name,
        fold.parent,
        fold.child,
        fold.p,
        fold.q,
        fold.method,
        fold.hinge,
        fold.opened,
        fold.angle,
        pi,
    )
    bad = Blank(blank.name, 5.0, blank.panels, (wrong,), blank.root, blank.placement)
    (found,) = overlap(bad, transforms(bad))
    assert found.volume == pytest.approx(25.0 * np.tan(0.5) * 120.0, rel=1e-9)


def test_overlap_between_blanks() -> None:
    # First principles: two plates 5 mm thick, one 3 mm above the other, share 2 mm of the L's 2000 mm².
    one, other = plate("one", ell(), np.eye(4)), plate("other", ell(), shift(0.0, 0.0, 3.0))
    (found,) = overlaps([(one, transforms(one)), (other, transforms(other))])
    assert (found.blank, found.other_blank) == ("one", "other")
    assert found.volume == pytest.approx(4000.0, rel=1e-9)
    clear = plate("other", ell(), shift(0.0, 0.0, 5.0))
    assert overlaps([(one, transforms(one)), (clear, transforms(clear))]) == ()


def test_a_plate_in_the_bay_of_another_does_not_overlap() -> None:
    """The hulls meet, the solids do not: the L's bay holds a square."""
    square = np.array([(25.0, 25.0), (45.0, 25.0), (45.0, 45.0), (25.0, 45.0)])
    one, other = plate("one", ell(), np.eye(4)), plate("other", square, np.eye(4))
    panels = body(one.panels[0], 5.0), body(other.panels[0], 5.0)
    assert not panels[0].convex
    assert panels[1].convex
    hull = replace(panels[0], parts=None)
    assert gaps(hull, panels[1], np.eye(4)[None])[0] < 0.0
    assert gaps(*panels, np.eye(4)[None])[0] == pytest.approx(5.0, abs=1e-9)
    assert overlaps([(one, transforms(one)), (other, transforms(other))]) == ()


@pytest.mark.parametrize("order", [1, -1])
def test_a_plate_in_the_hole_of_another_does_not_overlap(order: int) -> None:
    ring = np.array([(0.0, 0.0), (60.0, 0.0), (60.0, 60.0), (0.0, 60.0)])
    hole, plug = 20.0 + ring / 3.0, 25.0 + ring / 6.0
    frame_ = Panel("p", ring, (SQUARE,) * 4, (hole[::order],))
    one = Blank("one", 5.0, (frame_,), (), "p", np.eye(4))
    pin, thick = plate("pin", plug, np.eye(4)), plate("thick", plug - 10.0, np.eye(4))
    assert not body(frame_, 5.0).convex
    assert gaps(body(frame_, 5.0), body(pin.panels[0], 5.0), np.eye(4)[None])[0] < 0.0
    assert overlaps([(one, transforms(one)), (pin, transforms(pin))]) == ()
    (found,) = overlaps([(one, transforms(one)), (thick, transforms(thick))])
    assert found.volume == pytest.approx((10.0**2 - 5.0**2) * 5.0, rel=1e-9)


@given(seeds())
def test_convex_bodies_apart_share_no_volume_and_others_do(rng: np.random.Generator) -> None:
    one, other = (random_panel(rng, 5.0, hole=False) for _ in range(2))
    relative = frame(rng.uniform(-150.0, 150.0, 3), rng.normal(size=3), rng.normal(size=3))
    gap = float(gaps(body(one, 5.0), body(other, 5.0), relative[None])[0])
    volume = (manifold(prism(one, 5.0)) ^ manifold(placed(prism(other, 5.0), relative))).volume()
    if gap >= 0.0:
        assert volume == 0.0
    elif gap < -1e-3:
        assert volume > 0.0


def test_edges_found_and_pressed_ones_cleared() -> None:
    blank = box_blank(Box(80.0, 50.0, 300.0, 5.0, "crush", 5.0, 1.0))
    for fold in blank.folds:
        parent, child = fold_sides(blank, fold)
        assert len(parent) == 1
        assert child == (0,)
    hard = hard_panels(blank)["floor"]
    assert max(cut.b for cut in hard.cuts) == pytest.approx(5.0, abs=1e-12)
    assert max(cut.b for cut in blank.panel("floor").cuts) == 2.5


def rolled() -> Blank:
    """A strip of four that runs round a box 60 mm wide and 40 mm high, its last panel short of the first."""
    widths = np.array([60.0, 40.0, 60.0, 30.0])
    return strip_blank(widths, np.zeros(5), np.full(3, pi / 2), ("groove",) * 3, ("a",) * 3, 5.0)


def test_a_roll_runs_into_itself() -> None:
    blank = strip_blank(
        np.array([60.0, 40.0, 90.0, 60.0]), np.zeros(5), np.full(3, pi / 2), ("groove",) * 3, ("a",) * 3, 5.0
    )
    assert overlap(blank, transforms(blank)) == ()
    short = strip_blank(
        np.array([60.0, 40.0, 30.0, 60.0]), np.zeros(5), np.full(3, pi / 2), ("groove",) * 3, ("a",) * 3, 5.0
    )
    (found,) = overlap(short, transforms(short))
    assert {found.panel, found.other_panel} == {"p0", "p3"}


def test_the_way_to_a_roll_is_free() -> None:
    blank = rolled()
    assert overlap(blank, transforms(blank)) == ()
    assert path_overlaps(blank) == ()
    assert order_folds(blank) == ("f0", "f1", "f2")


def test_the_lower_lid_goes_first() -> None:
    # First principles: with both lids bent already, the lower one swings in under the higher one's edge.
    good = chest(1, 2)
    assert overlap(good, transforms(good)) == ()
    assert path_overlaps(good) == ()
    bad = chest(2, 1)
    met = path_overlaps(bad)
    assert met
    assert {met[0].panel, met[0].other_panel} == {"left-lid", "right-lid"}
    assert met[0].fold == "right"
    order = order_folds(bad)
    assert order is not None
    assert path_overlaps(bad, order=order) == ()
    assert [fold.name for fold in folding_order(bad)] == ["right-lid", "left-lid", "left", "right"]


def test_boards_may_give_a_little() -> None:
    bad = chest(2, 1)
    deepest = max(met.depth for met in path_overlaps(bad))
    assert 1.0 < deepest < 50.0
    assert order_folds(bad, give=deepest) == ("right-lid", "left-lid", "left", "right")
    better = order_folds(bad)
    assert better is not None
    place = {name: index + 1 for index, name in enumerate(better)}
    again = replace(bad, folds=tuple(replace(fold, order=place[fold.name]) for fold in bad.folds))
    assert [fold.name for fold in folding_order(again)] == list(better)
    assert path_overlaps(again) == ()


def test_the_depth_of_a_bite() -> None:
    # First principles: plates of 5 mm, the second 3 mm above the first and 10 mm aside: 2 mm deep.
    one = Piece("one", Panel("p", ell(), (SQUARE,) * 6), 5.0, body(Panel("p", ell(), (SQUARE,) * 6), 5.0))
    bite = meeting(one, one, shift(10.0, 0.0, 3.0))
    assert bite.depth == pytest.approx(2.0, abs=1e-9)
    assert meeting(one, one, shift(0.0, 0.0, 5.0)).volume == 0.0
    assert meeting(one, one, shift(25.0, 25.0, 0.0)).volume == 0.0


def test_no_order_is_an_answer() -> None:
    """Two panels that overlap at full fold cannot be brought there in any order."""
    short = strip_blank(
        np.array([60.0, 40.0, 30.0, 60.0]), np.zeros(5), np.full(3, pi / 2), ("groove",) * 3, ("a",) * 3, 5.0
    )
    assert order_folds(short) is None


@given(sections())
def test_a_wing_section_can_be_folded(section: Section) -> None:
    blank = section_blank(section)
    assert path_overlaps(blank, 24) == ()
    assert order_folds(blank, 24) == ("crease", "nose", "ridge")


@given(seeds())
def test_stages_of_a_path_are_those_of_the_fold(rng: np.random.Generator) -> None:
    """The separating-axis test of many places at once agrees with one at a time."""
    blank = random_strip(rng)
    bodies = {panel.name: body(panel, blank.thickness) for panel in hard_panels(blank).values()}
    places = [transforms(blank, fraction) for fraction in (0.2, 0.7, 1.0)]
    relative = np.stack([inverse(place["p0"]) @ place["p3"] for place in places])
    together = gaps(bodies["p0"], bodies["p3"], relative)
    one_by_one = [float(gaps(bodies["p0"], bodies["p3"], each[None])[0]) for each in relative]
    assert np.allclose(together, one_by_one, atol=1e-9)


def test_a_turn_keeps_its_axis() -> None:
    point, axis = np.array([1.0, 2.0, 3.0]), np.array([0.0, 0.0, 2.0])
    matrix = turn(point, axis, pi / 2)
    assert np.allclose(matrix @ np.array([1.0, 2.0, 9.0, 1.0]), (1.0, 2.0, 9.0, 1.0))
    assert np.allclose(matrix @ np.array([2.0, 2.0, 3.0, 1.0]), (1.0, 3.0, 3.0, 1.0))
