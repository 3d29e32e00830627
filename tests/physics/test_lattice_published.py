"""The lattice against published and independently recomputed wings."""

from __future__ import annotations

import numpy as np
import pytest

from foldwright.physics.lattice import Lattice, Reference, solve
from tests.physics.lattice_cases import aspect, point, surface

# Bertin & Smith, Aerodynamics for Engineers, ex. 7.2 (memory): circulation/(4 pi b U alpha), slope.
BERTIN_GAMMA = (0.0273, 0.0287, 0.0286, 0.0250)
BERTIN_SLOPE = 3.443
# Weber & Brebner, ARC R&M 2882, 1958 (memory), the same wing measured: degrees, C_L.
WEBER = ((2.1, 0.121), (4.2, 0.238), (6.3, 0.350))
# Warren 12 planform (memory): C_L,alpha and C_m,alpha about the apex.
WARREN = (2.743, -3.10)
# Tuck (published): the square wing.
TUCK = 1.460227


def bertin() -> Lattice:
    """Swept 45 degrees, aspect ratio 5, one chordwise row, four horseshoes a side, edges up to the tip."""
    wing = surface("w", [[0, 0, 0], [0.5, 0.5, 0]], [0.2, 0.2], 4, 1, tip_inset=0.0)
    return solve([wing], [], Reference(0.2, 0.2, 1.0, point()))


def test_bertin_and_smith_example_7_2() -> None:
    """The published values, and C_L recomputed: 3.4442 alpha."""
    lattice = bertin()
    assert lattice.gamma[:, 1] / (4.0 * np.pi) == pytest.approx(BERTIN_GAMMA, rel=0.01)
    assert lattice.derivatives()["CL_alpha"] == pytest.approx(BERTIN_SLOPE, rel=0.005)
    assert lattice.derivatives()["CL_alpha"] == pytest.approx(3.4442, abs=1e-4)


def weber(degrees: float) -> float:
    """C_L of that wing at an incidence, on a fine grid."""
    wing = surface("w", [[0, 0, 0], [0.5, 0.5, 0]], [0.2, 0.2], 16, 8)
    lattice = solve([wing], [], Reference(0.2, 0.2, 1.0, point()))
    return float(lattice.value("CL", lattice.state(alpha=float(np.radians(degrees)))))


@pytest.mark.parametrize(("degrees", "lift"), WEBER)
def test_weber_and_brebner_experiment(degrees: float, lift: float) -> None:
    """The lattice stays within 4 % of the experiment up to 6.3 degrees."""
    assert weber(degrees) == pytest.approx(lift, rel=0.04)


def warren(n_span: int, n_chord: int) -> Lattice:
    half = np.sqrt(2.0)
    tip = [half * np.tan(np.radians(53.54)), half, 0.0]
    wing = surface("w", [[0, 0, 0], tip], [1.5, 0.5], n_span, n_chord)
    return solve([wing], [], Reference(2.0 * half, 1.0, 2.0 * half, point()))


def warren_extrapolated() -> tuple[float, float]:
    """C_L,alpha and C_m,alpha from two grids."""
    coarse, fine = warren(16, 8).derivatives(), warren(32, 16).derivatives()
    # The error of the swept wing's kink falls as 1/n: extrapolation 2 f(2n) - f(n).
    lift = 2.0 * fine["CL_alpha"] - coarse["CL_alpha"]
    return lift, 2.0 * fine["Cm_alpha"] - coarse["Cm_alpha"]


def test_warren_12() -> None:
    """The published values; 2.750, -3.109 (recomputed)."""
    lift, moment = warren_extrapolated()
    assert (lift, moment) == pytest.approx(WARREN, rel=0.01)
    assert lift == pytest.approx(2.750, abs=1e-3)
    assert moment == pytest.approx(-3.109, abs=1e-3)


# Flat rectangular wing, lifting surface, extrapolated (recomputed; AR 1 agrees with Tuck's 1.460227).
RECTANGLES = [
    (0.5, 0.7735, 0.110),
    (1.0, 1.4602, 0.167),
    (1.5, 2.0218, 0.194),
    (2.0, 2.4744, 0.209),
    (3.0, 3.1451, 0.225),
    (4.0, 3.612, 0.232),
    (6.0, 4.215, 0.239),
    (8.0, 4.586, 0.242),
]


@pytest.mark.parametrize(("ratio", "slope", "centre"), RECTANGLES)
def test_rectangular_wings(ratio: float, slope: float, centre: float) -> None:
    """Fine grid, 24 x 16 a half, not extrapolated: slope within 0.2 %, centre within 0.2 % of the chord."""
    lattice = aspect(ratio, 24, 16)
    assert lattice.derivatives()["CL_alpha"] == pytest.approx(slope, rel=0.002)
    assert lattice.neutral_point() == pytest.approx(centre, rel=0.011)
    assert lattice.neutral_point() == pytest.approx(centre, abs=0.002)


def square_wing() -> float:
    """Slope at aspect ratio 1, extrapolated, error as 1/n²."""
    coarse, fine = aspect(1.0, 16, 16).derivatives(), aspect(1.0, 32, 32).derivatives()
    return (4.0 * fine["CL_alpha"] - coarse["CL_alpha"]) / 3.0


def test_tucks_square_wing() -> None:
    assert square_wing() == pytest.approx(TUCK, rel=1e-4)


@pytest.mark.parametrize(
    ("ratio", "percent"), [(2.0, 21.0), (2.5, 21.9), (3.0, 22.5), (3.4, 22.9), (3.75, 23.1)]
)
def test_neutral_point_of_a_bare_plank(ratio: float, percent: float) -> None:
    """The design's table (own computation), at the interactive 8 x 8 grid, to its printed digit."""
    assert 100.0 * aspect(ratio, 8, 8).neutral_point() == pytest.approx(percent, abs=0.1)


@pytest.mark.parametrize("ratio", [0.05, 0.1])
def test_slender_wing(ratio: float) -> None:
    """R. T. Jones, NACA TR 835: pi/2 · AR. A pointed delta; the defect vanishes with AR."""
    tip = [1.0, 0.25 * ratio, 0.0]
    delta = surface("w", [[0, 0, 0], tip], [1.0, 1e-6], 12, 24)
    lattice = solve([delta], [], Reference(0.25 * ratio, 1.0, 0.5 * ratio, point()))
    assert lattice.derivatives()["CL_alpha"] == pytest.approx(0.5 * np.pi * ratio, rel=0.012 + 0.15 * ratio)
    assert lattice.neutral_point() == pytest.approx(2.0 / 3.0, abs=0.01)


def ellipse(n_span: int, n_chord: int) -> Lattice:
    """Elliptic planform of aspect ratio 7.64 with a straight quarter-chord line."""
    theta = np.linspace(0.0, 0.5 * np.pi, 41)
    chord = np.maximum(np.cos(theta), 1e-3)
    le = np.stack((-0.25 * chord, 3.0 * np.sin(theta), np.zeros(theta.size)), axis=1)
    wing = surface("w", le, chord, n_span, n_chord)
    return solve([wing], [], Reference(1.5 * np.pi, 1.0, 6.0, point()))


def test_elliptic_wing_has_least_drag() -> None:
    """Elliptic loading, e = 1 (Prandtl); the flat elliptic wing comes to at least 0.99 and not above 1."""
    lattice = ellipse(16, 8)
    u = lattice.state(alpha=0.1)
    ratio = 6.0**2 / lattice.reference.area
    efficiency = float(lattice.value("CL", u)) ** 2 / (np.pi * ratio * float(lattice.value("CD", u)))
    assert 0.99 <= efficiency <= 1.0


def test_drag_of_the_near_field_is_that_of_the_wake() -> None:
    """First principles: CX + alpha CL = CD to second order; the two come from different sums."""
    lattice = ellipse(16, 8)
    u = lattice.state(alpha=0.1)
    near = float(lattice.value("CX", u)) + 0.1 * float(lattice.value("CL", u))
    assert near == pytest.approx(float(lattice.value("CD", u)), rel=0.005)


@pytest.mark.parametrize(("ratio", "delta"), [(4.0, 0.0285), (6.0, 0.0483), (8.0, 0.0676)])
def test_lifting_line_bounds_the_drag_of_a_rectangular_wing(ratio: float, delta: float) -> None:
    """Lifting line, a_0 = 2 pi (recomputed): C_D = (1 + delta) C_L²/(pi AR).

    A lifting surface loads its tips more gently, so lifting line is the upper bound; 1 is the lower (Munk).
    """
    lattice = aspect(ratio, 24, 8)
    u = lattice.state(alpha=0.1)
    factor = float(lattice.value("CD", u)) * np.pi * ratio / float(lattice.value("CL", u)) ** 2
    assert 1.0 < factor < 1.0 + delta


@pytest.mark.parametrize(("n_chord", "tolerance"), [(12, 0.02), (48, 0.004)])
def test_camber_gives_thin_aerofoil_theory(n_chord: int, tolerance: float) -> None:
    """Thin-aerofoil theory, parabolic camber f = 4 h x (1 - x): alpha_0 = -2 h, c_m¼ = -pi h.

    The cell that ends at the trailing edge costs 1.4 % at 12 panels where the camber is curved up to the
    edge, falling as 1/n; on a straight rear part, as folded sections have, it costs nothing.
    """
    height = 0.03
    xi = np.linspace(0.0, 1.0, 201)
    camber = np.tile(4.0 * height * xi * (1.0 - xi), (2, 1))
    wing = surface("w", [[0, 0, 0], [0, 1000, 0]], [1, 1], 3, n_chord, xi=xi, camber=camber)
    strip = solve([wing], [], Reference(2000.0, 1.0, 2000.0, point())).strip("w")
    assert strip.cl[0, 0] / strip.cl[0, 1] == pytest.approx(2.0 * height, rel=tolerance)
    assert strip.cm[0, 0] == pytest.approx(-np.pi * height, rel=1.5 * tolerance)
