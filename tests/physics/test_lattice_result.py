"""Forms, reference points, translation, strips, convergence and refusals."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from foldwright.base.types import FloatArray
from foldwright.physics.lattice import (
    COEFFICIENTS,
    Flap,
    Lattice,
    Reference,
    Shape,
    Surface,
    Twist,
    evaluate,
    gradient,
    solve,
)
from foldwright.physics.lattice.joints import joined
from tests.examples import examples
from tests.physics.lattice_cases import PLANK, plank, point, rectangle, surface

WING = surface(
    "wing",
    [[0.0, 0.0, 0.0], [0.1, 0.3, 0.03], [0.16, 0.45, 0.12]],
    [0.3, 0.25, 0.15],
    6,
    4,
    twist=[0.03, 0.02, -0.02],
)
TIP_FIN = surface("tip fin", [[0.2, 0.4, 0.09], [0.25, 0.42, 0.24]], [0.12, 0.08], 3, 3)
FIN = surface("fin", [[0.45, 0.0, 0.05], [0.52, 0.0, 0.2]], [0.15, 0.1], 3, 3, symmetric=False)
TAIL = surface("tail", [[0.6, 0.0, 0.0], [0.62, 0.2, 0.0]], [0.12, 0.1], 3, 3)
CRAFT = [WING, TIP_FIN, FIN, TAIL]
SHAPES = [
    Shape("elevon", "wing", Flap(0.75, 0.8, 0.2, 0.9)),
    Shape("difference", "wing", Flap(0.75, 0.8, 0.2, 0.9), -1),
    Shape("rudder", "fin", Flap(0.6, 0.6)),
]
REFERENCE = Reference(0.2, 0.25, 0.9, point(0.1, 0.0, 0.02))
SOLVED = solve(CRAFT, SHAPES, REFERENCE)
STATES = len(SOLVED.states)

coordinates = st.tuples(*(st.floats(-0.5, 0.5),) * 3)
samples = st.lists(st.lists(st.floats(-0.3, 0.3), min_size=STATES, max_size=STATES), min_size=1, max_size=5)


def assert_close(ours: FloatArray, expected: FloatArray, tolerance: float = 1e-10) -> None:
    assert np.max(np.abs(ours - expected)) <= tolerance * (1e-12 + np.max(np.abs(expected)))


def assert_same(ours: Lattice, expected: Lattice, tolerance: float = 1e-10) -> None:
    for row in range(len(COEFFICIENTS)):
        assert_close(ours.forms[row], expected.forms[row], tolerance)
    for one, two in zip(ours.strips, expected.strips, strict=True):
        assert_close(one.cl, two.cl, tolerance)
        assert_close(one.cm, two.cm, tolerance)
    for left, right in zip(ours.hinges, expected.hinges, strict=True):
        assert_close(left.row, right.row, tolerance)
    assert_close(ours.gamma, expected.gamma, tolerance)


@settings(max_examples=examples(15))
@given(coordinates)
def test_about_is_the_same_as_solving_there(at: tuple[float, float, float]) -> None:
    """First principles; a point off the plane of symmetry included."""
    moved = SOLVED.about(point(*at))
    assert_same(moved, solve(CRAFT, SHAPES, replace(REFERENCE, point=point(*at))), 1e-9)
    assert_same(moved.about(REFERENCE.point), SOLVED, 1e-9)


def test_neutral_point_does_not_move_with_the_reference() -> None:
    """At one height: what CX_alpha does about another height is another matter."""
    assert SOLVED.about(point(0.3, 0.0, 0.02)).neutral_point() == pytest.approx(
        SOLVED.neutral_point(), abs=1e-9
    )
    there = SOLVED.about(point(SOLVED.neutral_point(), 0.0, 0.02))
    assert there.derivatives()["Cm_alpha"] == pytest.approx(0.0, abs=1e-9)


def shifted(surfaces: list[Surface], by: FloatArray, scale: float = 1.0) -> list[Surface]:
    return [replace(s, le=(s.le + by) * scale, chord=s.chord * scale) for s in surfaces]


@settings(max_examples=examples(10))
@given(st.floats(-5.0, 5.0), st.floats(-5.0, 5.0))
def test_translation_changes_nothing(x: float, z: float) -> None:
    by = point(x, 0.0, z)
    moved = solve(shifted(CRAFT, by), SHAPES, replace(REFERENCE, point=REFERENCE.point + by))
    assert_same(moved, SOLVED, 1e-8)


def test_length_unit_does_not_matter() -> None:
    """Metres or millimetres: dimensionless derivatives are the same."""
    big = Reference(0.2e6, 250.0, 900.0, REFERENCE.point * 1000.0)
    scaled = solve(shifted(CRAFT, point(), 1000.0), SHAPES, big)
    assert_close(scaled.derivatives().table, SOLVED.derivatives().table, 1e-9)


@given(samples)
def test_values_over_samples_are_those_of_each(rows: list[list[float]]) -> None:
    u = np.array(rows)
    together = SOLVED.values(u)
    assert together.shape == (len(rows), len(COEFFICIENTS))
    for k, name in enumerate(COEFFICIENTS):
        each = [float(row @ SOLVED.forms[k] @ row) for row in u]
        assert SOLVED.value(name, u) == pytest.approx(each, abs=1e-12)
        assert together[:, k] == pytest.approx(each, abs=1e-12)


@given(samples)
def test_gradient_is_the_difference(rows: list[list[float]]) -> None:
    """First principles: a quadratic form's central difference is exact."""
    u, step = np.array(rows[0]), 0.01
    slope = gradient(SOLVED.forms, u)
    for column in range(STATES):
        ahead, behind = u.copy(), u.copy()
        ahead[column] += step
        behind[column] -= step
        difference = (evaluate(SOLVED.forms, ahead) - evaluate(SOLVED.forms, behind)) / (2.0 * step)
        assert slope[:, column] == pytest.approx(difference, abs=1e-9)


@given(samples)
def test_induced_drag_is_never_thrust(rows: list[list[float]]) -> None:
    """Munk: the wake's energy is not negative, whatever the state."""
    assert np.all(SOLVED.value("CD", np.array(rows)) > -1e-9)


def test_rates_in_derivatives_are_in_the_usual_form() -> None:
    slope = SOLVED.derivatives()
    raw = gradient(SOLVED.forms, SOLVED.state())
    roll, pitch = COEFFICIENTS.index("Cl"), COEFFICIENTS.index("Cm")
    assert slope["Cl_p"] == pytest.approx(raw[roll, 3] * 2.0 / 0.9)
    assert slope["Cm_q"] == pytest.approx(raw[pitch, 4] * 2.0 / 0.25)
    assert slope.named()["Cn_difference"] == slope.get("Cn", "difference")
    assert "CL_one" not in slope.named()


def test_lift_is_the_sum_of_the_strips() -> None:
    """First principles, Kutta-Joukowski in the plain stream: CZ = 2/S Σ c_l c Δs of a flat wing."""
    lattice = plank(8, 8, (Shape("flap", "wing", Flap(0.78, 0.78)),))
    loads, slope = lattice.strip("wing"), lattice.derivatives()
    for state in ("alpha", "flap"):
        column = lattice.index(state)
        lift = 2.0 * np.sum(loads.cl[:, column] * loads.chord * loads.width) / PLANK.area
        assert lift == pytest.approx(slope.get("CL", state), rel=1e-12)
        arm = 0.05 - 0.25 * 0.22
        moment = 2.0 * np.sum(loads.cm[:, column] * loads.chord**2 * loads.width) / PLANK.area / 0.22
        expected = moment + lift * arm / 0.22
        assert slope.get("Cm", state) == pytest.approx(expected, rel=1e-9)


def test_mirrored_states_give_no_side_force() -> None:
    """Symmetry: alpha, q and mirrored shapes make no CY, Cl, Cn; a centre fin none of CL in yaw."""
    slope = SOLVED.derivatives(SOLVED.state(alpha=0.1, q=0.1, elevon=-0.1))
    for state in ("alpha", "q", "elevon"):
        assert [slope.get(name, state) for name in ("CY", "Cl", "Cn")] == [0.0, 0.0, 0.0]
    for state in ("beta", "p", "r", "difference", "rudder"):
        assert [slope.get(name, state) for name in ("CX", "CL", "Cm", "CD")] == [0.0, 0.0, 0.0, 0.0]


# The design's convergence claims, held against a 40 x 24 grid (own regression).
SWEPT = [0.0, 0.4]
ELEVATOR = (Shape("e", "wing", Flap(0.78, 0.78)),)


@pytest.mark.parametrize("sweep", SWEPT)
def test_convergence_claims(sweep: float) -> None:
    fine = plank(40, 24, ELEVATOR, sweep)
    reference = fine.derivatives()
    at_4 = plank(4, 4, ELEVATOR, sweep).derivatives()
    assert at_4["CL_alpha"] == pytest.approx(reference["CL_alpha"], rel=0.01)
    at_8 = plank(8, 8, ELEVATOR, sweep)
    assert (at_8.neutral_point() - fine.neutral_point()) / 0.22 == pytest.approx(0.0, abs=0.0008)
    assert at_8.derivatives()["Cm_e"] == pytest.approx(reference["Cm_e"], rel=0.01)
    at_12 = plank(12, 10, ELEVATOR, sweep).derivatives()
    assert at_12["Cm_q"] == pytest.approx(reference["Cm_q"], rel=0.01)


def fin_slope(n_span: int, n_chord: int, **ends: Any) -> float:
    fin = surface(
        "fin", [[0.0, 0.0, 0.0], [0.05, 0.0, 0.2]], [0.2, 0.12], n_span, n_chord, symmetric=False, **ends
    )
    return solve([fin], [], Reference(0.032, 0.16, 0.2, point())).derivatives()["CY_beta"]


def test_quarter_inset_at_both_ends_of_a_fin_is_what_converges() -> None:
    """Own regression: 5 x 6 within 1 % of 40 x 24; flush ends are off by 17 %, and by 2 % still at 40."""
    fine = fin_slope(40, 24)
    assert fin_slope(5, 6) == pytest.approx(fine, rel=0.012)
    assert abs(fin_slope(5, 6, root_inset=0.0, tip_inset=0.0) / fine - 1.0) > 0.1


def on_wing(n_span: int, n_chord: int, at: float, z: float = 0.0) -> Lattice:
    wing = rectangle(0.66, 0.22, n_span, n_chord)
    fin = surface("fin", [[0.1, at, z], [0.145, at, 0.1 + z]], [0.115, 0.07], 5, 6)
    return solve([wing, fin], [], PLANK)


@pytest.mark.parametrize("at", [0.25, 0.28, 0.30, 0.312])
@pytest.mark.parametrize("grid", [(8, 8), (16, 12)])
def test_a_fin_on_the_wing_keeps_the_lift_slope_smooth(at: float, grid: tuple[int, int]) -> None:
    """Own regression: a line under the foot keeps CL_alpha near the fine grid wherever the fin stands.

    Without it 2.1 to 3.7 came out for the same wing, depending on where the foot fell between two lines.
    """
    fine = on_wing(32, 16, at).derivatives()["CL_alpha"]
    assert on_wing(*grid, at).derivatives()["CL_alpha"] == pytest.approx(fine, rel=0.035)


def test_lines_are_laid_under_feet_and_crossings_only() -> None:
    wing = rectangle(0.66, 0.22, 8, 8)
    fin = surface("fin", [[0.1, 0.2, -0.1], [0.1, 0.2, 0.1]], [0.1, 0.1], 4, 4)
    tail = surface("tail", [[0.5, 0.0, 0.0], [0.5, 0.2, 0.0]], [0.1, 0.1], 4, 4)
    high = surface("high", [[0.0, 0.2, 0.2], [0.0, 0.2, 0.3]], [0.1, 0.1], 4, 4)
    crossed, cut, behind, above = joined([wing, fin, tail, high])
    assert crossed.lines == pytest.approx((0.2 / 0.33,))
    assert cut.lines == pytest.approx((0.5,))
    assert behind is tail
    assert above is high


def test_a_break_in_the_wing_near_a_foot_does_not_take_its_line() -> None:
    le = [[0.0, 0.0, 0.0], [0.0, 0.30, 0.0], [0.0, 0.33, 0.0]]
    wing = surface("wing", le, [0.22] * 3, 8, 8)
    fin = surface("fin", [[0.1, 0.29, 0.005], [0.1, 0.29, 0.1]], [0.1, 0.1], 4, 4)
    assert joined([wing, fin])[0].lines == pytest.approx((0.29 / 0.33,))
    assert joined([fin, wing])[1].lines == pytest.approx((0.29 / 0.33,))


def test_a_tail_in_the_wings_own_wake_is_steady() -> None:
    """The core of a passing wake: moving the tail's panels sideways against the wing's changes little."""

    def slope(half: float) -> float:
        tail = surface("tail", [[0.6, 0.0, 0.0], [0.6, half, 0.0]], [0.1, 0.1], 5, 6)
        area = 2.0 * half * 0.1
        both = solve([rectangle(0.66, 0.22, 8, 8), tail], [], PLANK).derivatives()
        return (both["CL_alpha"] - 3.1395) * PLANK.area / area

    halves = np.linspace(0.14, 0.16, 9)
    lifts = np.array([slope(float(half)) for half in halves])
    trend = np.polynomial.polynomial.Polynomial.fit(halves, lifts, 1)(halves)
    assert np.max(np.abs(lifts / trend - 1.0)) < 0.03


def test_trim_row_of_the_design() -> None:
    """Design, trim table (own computation): c_m0 = 0, margin 8 % -> 2.4 and 4.2 mm up at 12 and 9 m/s.

    delta = SM C_L/(0.8 C_mδ,NP), since C_L includes the elevons' own lift. The third entry, 5.2 mm at 8 m/s,
    comes out as 5.3: the table there is 2 % below the square law of the other two.
    """
    lattice = plank(16, 12, ELEVATOR)
    control = -lattice.about(point(lattice.neutral_point())).derivatives()["Cm_e"]
    up = []
    for speed in (12.0, 9.0, 8.0):
        lift = 0.38 * 9.80665 / (0.5 * 1.225 * speed**2 * PLANK.area)
        up.append(48.4 * np.sin(0.08 * lift / (0.8 * control)))
    assert up == pytest.approx([2.4, 4.2, 5.3], abs=0.05)


def with_change(**change: Any) -> dict[str, Any]:
    base: dict[str, Any] = {
        "name": "w",
        "le": [[0, 0, 0], [0, 1, 0]],
        "chord": [1, 1],
        "n_span": 2,
        "n_chord": 2,
    }
    return {**base, **change}


@pytest.mark.parametrize(
    "change",
    [
        {"le": [[0, 0, 0]]},
        {"le": [[0, 0, 0], [1, 0, 0]]},
        {"chord": [1, 0]},
        {"xi": (0.0, 0.9)},
        {"xi": (0.0, 0.5, 0.5, 1.0)},
        {"n_span": 0},
        {"symmetric": False},
        {"le": [[0, 0, 0], [0, 0, 1]], "symmetric": False, "twist": [0.1, 0.0]},
        {"lines": (0.7, 0.3)},
        {"lines": (0.2, 0.4)},
    ],
)
def test_wrong_surfaces_are_refused(change: dict[str, Any]) -> None:
    with pytest.raises(ValueError, match="surface w"):
        surface(**with_change(**change))


def test_wrong_shapes_names_and_references_are_refused() -> None:
    wing = rectangle(1.0, 0.2, 2, 2)
    unit = Reference(1.0, 1.0, 1.0, point())
    with pytest.raises(ValueError, match="no surface"):
        solve([wing], [Shape("flap", "tail", Flap(0.7, 0.7))], unit)
    with pytest.raises(ValueError, match="names must differ"):
        solve([wing], [Shape("alpha", "wing", Flap(0.7, 0.7))], unit)
    with pytest.raises(ValueError, match="different names"):
        solve([wing, wing], [], unit)
    with pytest.raises(ValueError, match="hinge"):
        Flap(1.0, 0.7)
    with pytest.raises(ValueError, match="span range"):
        Twist(0.6, 0.4)
    with pytest.raises(ValueError, match="positive"):
        Reference(0.0, 1.0, 1.0, point())
    with pytest.raises(ValueError, match="shape"):
        Reference(1.0, 1.0, 1.0, np.zeros(2))
