"""Closed forms of the fold methods: bend deduction, cut widths, which way folds turn."""

from __future__ import annotations

from math import atan, degrees, pi, radians, tan

import numpy as np
import pytest

from foldwright.base.types import FloatArray
from foldwright.geometry.fold.flat import fold_matrix, transforms
from foldwright.geometry.fold.methods import (
    bevel,
    crush_cut,
    crush_least_width,
    crush_squeezed,
    cuts,
    limit_of,
    live_cut,
    radius_gain,
)
from foldwright.geometry.fold.model import Blank, EdgeCut, Face, Fold, Method
from foldwright.geometry.transform import apply
from tests.strategies import Box, box_blank, natural_toward, strip_blank

METHODS: tuple[Method, ...] = ("groove", "crush", "rebate", "slit", "live")
FACES: tuple[Face, Face] = ("a", "b")


def flat_width(blank: Blank) -> float:
    corners = np.concatenate([panel.polygon for panel in blank.panels])
    return float(np.ptp(corners[:, 1]))


def bend_deduction(theta: float, t: float, radius: float, k: float) -> float:
    """Sheet-metal bend deduction, 2*(r + t)*tan(theta/2) - theta*(r + k*t), mm (handbook form)."""
    return 2.0 * (radius + t) * tan(theta / 2.0) - theta * (radius + k * t)


# Sheet-metal handbook form, sides of 50 mm: T, R, K, deduction at 90 degrees (recomputed from that form).
HANDBOOK = (2.0, 2.0, 0.44, 3.476)


def test_bend_deduction_of_the_handbook() -> None:
    # The same form: BA 4.524, setback 4.000, 50 + 50 -> 96.524.
    theta, (t, r, k, published) = pi / 2, HANDBOOK
    assert theta * (r + k * t) == pytest.approx(4.524, abs=5e-4)
    assert (r + t) * tan(theta / 2) == pytest.approx(4.0, abs=1e-12)
    deduction = bend_deduction(theta, t, r, k)
    assert deduction == pytest.approx(published, abs=5e-4)
    assert 50.0 + 50.0 - deduction == pytest.approx(96.524, abs=5e-4)


@pytest.mark.parametrize("t", [3.0, 4.7, 5.0])
def test_flat_width_is_the_bend_deduction_at_zero_inner_radius(t: float) -> None:
    """A slit is K = 0. K = 1 is the outer skin bent round its own thickness, R = 0 inside, r = t outside;
    a sharp outer corner (groove, rebate) takes the mould lines whole, which no K of the handbook gives."""
    lines = 80.0 + 2.0 * 50.0
    slit = flat_width(box_blank(Box(80.0, 50.0, 300.0, t, "slit")))
    assert slit == pytest.approx(lines - 2.0 * bend_deduction(pi / 2, t, 0.0, 0.0), abs=1e-9)
    rounded = flat_width(box_blank(Box(80.0, 50.0, 300.0, t, "crush", t, radius=t)))
    assert rounded == pytest.approx(lines - 2.0 * bend_deduction(pi / 2, t, 0.0, 1.0), abs=1e-9)
    for method in ("groove", "rebate"):
        assert flat_width(box_blank(Box(80.0, 50.0, 300.0, t, method))) == pytest.approx(lines, abs=1e-9)


@pytest.mark.parametrize("theta", [0.3, 1.0, pi / 2, 2.0])
def test_the_outer_neutral_line_is_a_corner_as_round_as_the_board_is_thick(theta: float) -> None:
    # First principles: R = 0, K = 1 in the handbook form is (2*tan(theta/2) - theta)*t.
    assert bend_deduction(theta, 5.0, 0.0, 1.0) == pytest.approx(radius_gain(theta, 5.0), abs=1e-12)


@pytest.mark.parametrize("theta", [0.3, 1.0, pi / 2, 2.0])
def test_slit_takes_the_deduction_of_the_inner_neutral_line(theta: float) -> None:
    # Handbook form with R = 0, K = 0: 2*t*tan(theta/2).
    assert bend_deduction(theta, 5.0, 0.0, 0.0) == pytest.approx(2.0 * bevel(theta, 5.0), abs=1e-12)


@pytest.mark.parametrize(
    ("method", "lost"), [("groove", 0.0), ("crush", 0.0), ("rebate", 0.0), ("slit", 4.0)]
)
def test_u_box_widths(method: Method, lost: float) -> None:
    # First principles: W + 2H on the outer skin, W + 2H - 4t on the inner skin.
    box = Box(70.0, 45.0, 250.0, 5.0, method, 5.0 if method == "crush" else 0.0)
    assert flat_width(box_blank(box)) == pytest.approx(70.0 + 90.0 - lost * 5.0, abs=1e-9)


@pytest.mark.parametrize("radius", [0.0, 1.0, 3.0])
def test_a_round_corner_takes_less_board(radius: float) -> None:
    # First principles: an arc of theta*r instead of two tangents of r*tan(theta/2); 0.43*r at 90 degrees.
    gain = radius_gain(pi / 2, radius)
    assert gain == pytest.approx((2.0 - pi / 2) * radius, abs=1e-12)
    assert gain == pytest.approx(0.43 * radius, abs=0.001 * radius + 1e-12)
    box = Box(70.0, 45.0, 250.0, 5.0, "crush", 5.0, radius)
    assert flat_width(box_blank(box)) == pytest.approx(160.0 - 2.0 * gain, abs=1e-9)


@pytest.mark.parametrize("radius", [0.0, 1.5, 3.0])
def test_a_round_corner_keeps_the_outer_size(radius: float) -> None:
    box = Box(70.0, 45.0, 250.0, 5.0, "crush", 5.0, radius)
    blank = box_blank(box)
    places = transforms(blank)
    side = blank.panel("right")
    outer = apply(places["right"], np.column_stack([side.polygon, np.full(len(side.polygon), 5.0)]))
    assert np.allclose(outer[:, 1], 35.0, atol=1e-9)
    assert outer[:, 2].max() == pytest.approx(45.0, abs=1e-9)


def test_crush_is_free_up_to_53_degrees() -> None:
    # First principles: with a band as wide as the board, t*tan(theta/2) = t/2 at 2*atan(1/2) = 53.13 degrees.
    free = 2.0 * atan(0.5)
    assert degrees(free) == pytest.approx(53.13, abs=0.01)
    assert crush_squeezed(free, 5.0, 5.0) == pytest.approx(0.0, abs=1e-12)
    assert crush_squeezed(free + 0.01, 5.0, 5.0) > 0.0
    # at 90 degrees half of the wedge t² is squeezed
    assert crush_squeezed(pi / 2, 5.0, 5.0) == pytest.approx(0.5 * 25.0, abs=1e-12)
    assert crush_least_width(pi / 2, 5.0, 0.5) == pytest.approx(5.0, abs=1e-12)
    assert crush_cut(pi / 2, 5.0, 5.0) == 2.5


def test_limits_undo_the_cuts() -> None:
    assert limit_of("groove", 5.0, bevel(1.1, 5.0)) == pytest.approx(1.1, abs=1e-12)
    assert limit_of("live", 5.0, live_cut(radians(30.0), 5.0)) == pytest.approx(radians(30.0), abs=1e-12)
    assert limit_of("slit", 5.0, 0.0) == np.inf


@pytest.mark.parametrize("hinge", FACES)
@pytest.mark.parametrize("method", METHODS)
def test_only_the_opened_face_is_cut(method: Method, hinge: Face) -> None:
    parent, child = cuts(method, hinge, pi / 2, 5.0, 5.0, 0.5)
    whole_a, whole_b = (hinge == "a", hinge == "b")
    for cut in (parent, child):
        if method == "rebate":
            continue
        assert cut.a == 0.0 or not whole_a
        assert cut.b == 0.0 or not whole_b
    if method == "rebate":
        assert parent == EdgeCut(a=5.0, b=5.0, paper_a=whole_a, paper_b=whole_b)
        assert child == EdgeCut()


@pytest.mark.parametrize("toward", FACES)
@pytest.mark.parametrize("hinge", FACES)
@pytest.mark.parametrize("method", METHODS)
@pytest.mark.parametrize("angle", [0.2, 1.0, pi / 2])
def test_a_fold_lifts_its_child_toward_its_face(
    method: Method, hinge: Face, toward: Face, angle: float
) -> None:
    # First principles: the hinge skin's edge stays; a point L beyond it rises L*sin(angle) toward face A.
    p, q = np.array([10.0, 0.0]), np.array([10.0, -40.0])  # the child lies to the left: at larger u
    fold = Fold("f", "x", "y", p, q, method, hinge, toward, angle, pi)
    skin = 5.0 if hinge == "a" else 0.0
    matrix = fold_matrix(fold, angle, 5.0)
    sign = 1.0 if toward == "a" else -1.0
    assert np.allclose(apply(matrix, np.array([10.0, -7.0, skin])), (10.0, -7.0, skin), atol=1e-12)
    far = apply(matrix, np.array([40.0, -7.0, skin]))
    assert np.allclose(
        far, (10.0 + 30.0 * np.cos(angle), -7.0, skin + sign * 30.0 * np.sin(angle)), atol=1e-12
    )
    normal = matrix[:3, :3] @ np.array([0.0, 0.0, 1.0])
    assert np.allclose(normal, (-sign * np.sin(angle), 0.0, np.cos(angle)), atol=1e-12)


@pytest.mark.parametrize("hinge", FACES)
@pytest.mark.parametrize("method", ["groove", "crush", "rebate", "slit"])
def test_unfolding_finds_the_turn_and_its_face(method: Method, hinge: Face) -> None:
    blank = strip_blank(np.array([60.0, 60.0]), np.zeros(3), np.array([pi / 2]), (method,), (hinge,), 5.0)
    fold = blank.folds[0]
    assert fold.toward == natural_toward(method, hinge)
    assert fold.opened == ("b" if hinge == "a" else "a")
    normal = transforms(blank)["p1"][:3, 2]
    expected: FloatArray = np.array([-1.0 if fold.toward == "a" else 1.0, 0.0, 0.0])
    assert np.allclose(normal, expected, atol=1e-12)
