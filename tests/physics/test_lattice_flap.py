"""Glauert's flap: the formulas against the table, the lattice against the formulas."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad

from foldwright.physics import flap as glauert
from foldwright.physics.lattice import Flap, Lattice, Reference, Shape, solve
from foldwright.physics.lattice.hinge import flat_hinge_slopes
from foldwright.physics.lattice.panels import chord_cover
from tests.physics.lattice_cases import plank, point, rectangle

# Houghton & Carpenter, eqs 4.49-4.57 (read), values recomputed: F, tau, c_m, b1, b2.
TABLE = [
    (0.10, 0.3958, -0.540, -0.3449, -0.8842),
    (0.20, 0.5498, -0.640, -0.4994, -0.9229),
    (0.25, 0.6090, -0.650, -0.5653, -0.9436),
    (0.30, 0.6608, -0.642, -0.6274, -0.9654),
    (0.50, 0.8183, -0.500, -0.8584, -1.0658),
]
PARTS = [0.20, 0.22, 0.25, 0.30, 0.35, 0.40, 0.45, 0.50]


@pytest.mark.parametrize(("part", "tau", "moment", "b1", "b2"), TABLE)
def test_formulas_give_the_published_table(
    part: float, tau: float, moment: float, b1: float, b2: float
) -> None:
    assert float(glauert.effectiveness(part)) == pytest.approx(tau, abs=6e-5)
    assert float(glauert.moment_slope(part)) == pytest.approx(moment, abs=6e-4)
    assert float(glauert.hinge_alpha_slope(part)) == pytest.approx(b1, abs=6e-5)
    assert float(glauert.hinge_flap_slope(part)) == pytest.approx(b2, abs=6e-5)


@given(st.floats(0.05, 0.95))
def test_hinge_slope_is_the_integral_of_the_flat_plate_load(part: float) -> None:
    """First principles: load 4 cot(theta/2) of a flat plate, taken about the hinge."""
    phi = float(glauert.hinge_angle(part))
    hinge = 1.0 - part

    def load(theta: float) -> float:
        return float(2.0 * (1.0 + np.cos(theta)) * (0.5 * (1.0 - np.cos(theta)) - hinge))

    moment = quad(load, phi, np.pi)[0]
    assert float(glauert.hinge_alpha_slope(part)) == pytest.approx(-moment / part**2, rel=1e-7)


def test_limits_and_arrays() -> None:
    assert glauert.effectiveness(np.array([1e-9, 1.0])) == pytest.approx([0.0, 1.0], abs=1e-4)
    assert float(glauert.moment_slope(1.0)) == pytest.approx(0.0, abs=1e-12)
    assert glauert.hinge_flap_slope(np.array([[0.2, 0.3]])).shape == (1, 2)


def two_dimensional(part: float, n_chord: int) -> tuple[float, float]:
    """Effectiveness and quarter-chord moment per flap angle of the middle strip at aspect ratio 2000."""
    shape = Shape("flap", "wing", Flap(1.0 - part, 1.0 - part))
    lattice = solve(
        [rectangle(2000.0, 1.0, 4, n_chord)], [shape], Reference(2000.0, 1.0, 2000.0, point(0.25))
    )
    strip, column = lattice.strip("wing"), lattice.index("flap")
    return float(strip.cl[0, column] / strip.cl[0, 1]), float(strip.cm[0, column])


@pytest.mark.parametrize("part", PARTS)
def test_two_dimensional_limit(part: float) -> None:
    """Published (Glauert): effectiveness to 1 %, moment to 2 %, 12 chordwise panels."""
    tau, moment = two_dimensional(part, 12)
    assert tau == pytest.approx(float(glauert.effectiveness(part)), rel=0.01)
    assert moment == pytest.approx(float(glauert.moment_slope(part)), rel=0.02)


def test_difference_of_ordinates_beats_the_slope_at_the_control_point() -> None:
    """The design's claim: some -0.2 % at 8 panels against -5 % with the collocation slope (F = 0.2)."""
    n, part = 8, 0.2
    place = np.arange(n) / n
    vortex, control = place + 0.25 / n, place + 0.75 / n
    wash = 1.0 / (2.0 * np.pi * (control[:, None] - vortex))
    expected = float(glauert.effectiveness(part))

    def error(turn: np.ndarray[tuple[int, ...], np.dtype[np.float64]]) -> float:
        lift = np.linalg.solve(wash, turn).sum() / np.linalg.solve(wash, np.ones(n)).sum()
        return float(lift) / expected - 1.0

    difference = error(chord_cover(n, np.array([1.0 - part]))[0])
    collocation = error((control > 1.0 - part).astype(np.float64))
    assert difference == pytest.approx(-0.0023, abs=5e-4)
    assert abs(collocation) > 0.03


@pytest.mark.parametrize("part", PARTS)
def test_plane_lattice_tends_to_the_hinge_slopes(part: float) -> None:
    b1, b2 = flat_hinge_slopes(200, part)
    assert b1 == pytest.approx(float(glauert.hinge_alpha_slope(part)), rel=0.01)
    assert b2 == pytest.approx(float(glauert.hinge_flap_slope(part)), rel=0.01)


def test_hinge_moment_of_a_long_wing_is_glauerts() -> None:
    """Glauert; what is lacking is the span that the quarter panel at the tip leaves out (1.5 % here)."""
    shape = Shape("flap", "wing", Flap(0.78, 0.78))
    lattice = solve([rectangle(2000.0, 1.0, 16, 8)], [shape], Reference(2000.0, 1.0, 2000.0, point(0.25)))
    moment = lattice.hinge("flap")
    assert moment.row[1] == pytest.approx(float(glauert.hinge_alpha_slope(0.22)), rel=0.025)
    assert moment.row[6] == pytest.approx(float(glauert.hinge_flap_slope(0.22)), rel=0.025)
    assert moment.area == pytest.approx(1000.0 * 0.22)
    assert moment.chord == pytest.approx(0.22)


def test_hinge_moment_of_the_plank_converges() -> None:
    """Own regression against 40 x 24: the design promises 10 % at 8 x 8."""
    shapes = (Shape("flap", "wing", Flap(0.78, 0.78)),)
    fine, coarse = plank(40, 24, shapes).hinge("flap").row, plank(8, 8, shapes).hinge("flap").row
    assert coarse[[1, 6]] == pytest.approx(fine[[1, 6]], rel=0.05)


def hinges(lattice: Lattice) -> list[str]:
    return [moment.shape for moment in lattice.hinges]


def test_a_flap_shorter_than_the_last_panel_has_no_moment_of_its_own() -> None:
    """No vortex lies behind the hinge: the lattice gives nothing, and no division by nothing."""
    lattice = plank(4, 4, (Shape("tab", "wing", Flap(0.97, 0.97)),))
    assert hinges(lattice) == ["tab"]
    assert np.all(lattice.hinge("tab").row == 0.0)
