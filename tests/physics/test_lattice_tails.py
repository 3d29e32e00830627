"""Several surfaces in one stream: downwash, dihedral, fins, V-tails, canards, tight joints.

Sources
1. L. Prandtl's lifting line: elliptic loading, downwash far behind 2 C_L/(pi A).
2. D. E. Hoak and others, *USAF Stability and Control Datcom*, 1960/1978: section 4.4.1
   (downwash gradient) and 5.1.2 (dihedral effect); both formula and chart value from memory.
3. B. Etkin, L. D. Reid, *Dynamics of Flight*, 3rd ed., 1996: sections 2.3 (neutral point with a tail), 3.9
   and 3.10 (fin in yaw), strip integrals of dihedral effect.
4. P. E. Purser, J. P. Campbell, NACA Report 823, 1945: V-tail.
5. Flat rectangular wings: the project's check values (recomputed, Tuck published), see the published tests.
6. First principles: a reciprocal theorem of linear lifting surfaces at one far wake (R. T. Jones; M. Munk).
"""

from __future__ import annotations

import numpy as np
import pytest

from foldwright.base.types import FloatArray
from foldwright.physics.lattice import Flap, Lattice, Reference, Shape, Surface, Twist, solve
from tests.physics.lattice_cases import PLANK, point, surface
from tests.physics.test_lattice_published import RECTANGLES

SLOPES = {ratio: slope for ratio, slope, _ in RECTANGLES}
ARM = 0.53
"""Leading edge of the tail behind the wing's, m."""


def published_slope(ratio: float) -> float:
    """Lift slope of a flat rectangle, source 5, between the tabulated aspect ratios."""
    return float(np.interp(ratio, list(SLOPES), list(SLOPES.values())))


# Downwash ------------------------------------------------------------------------------------------------


def elliptic_downwash(behind: float) -> tuple[float, float]:
    """dε/dα of a small tail `behind` an elliptic wing of aspect ratio 25, in its plane; 2 C_Lα/(pi A)."""
    theta = np.linspace(0.0, 0.5 * np.pi, 41)
    chord = np.maximum(np.cos(theta), 1e-3) * 0.3
    le = np.stack((-0.25 * chord, 3.0 * np.sin(theta), np.zeros(theta.size)), axis=1)
    wing = surface("wing", le, chord, 24, 4)
    tail = surface("tail", [[behind, 0, 0], [behind, 0.1, 0]], [0.05, 0.05], 4, 4)
    area = 0.45 * np.pi
    lattice = solve([wing, tail], [Shape("turn", "tail", Twist())], Reference(area, 0.3, 6.0, point()))
    return downwash(lattice), 2.0 * lift_of(lattice, "wing", "alpha") * area / (np.pi * 36.0)


def lift_of(lattice: Lattice, name: str, state: str) -> float:
    """C_L of one level surface per unit of a state, from its strips."""
    loads = lattice.strip(name)
    force = (loads.chord * loads.width) @ loads.cl[:, lattice.index(state)]
    return float(2.0 * force / lattice.reference.area)


def downwash(lattice: Lattice, name: str = "tail", turn: str = "turn") -> float:
    """dε/dα of a surface: what its load by incidence lacks of its load by its own turn."""
    return 1.0 - lift_of(lattice, name, "alpha") / lift_of(lattice, name, turn)


@pytest.mark.parametrize("behind", [60.0, 200.0])
def test_downwash_far_behind_an_elliptic_wing(behind: float) -> None:
    """Source 1; the tail's own span and the wake's core leave 1 %."""
    ours, theory = elliptic_downwash(behind)
    assert ours == pytest.approx(theory, rel=0.011)


def test_downwash_nearer_the_wing_is_stronger_in_its_plane() -> None:
    """First principles: the bound vortex adds to the wake's share behind it."""
    assert elliptic_downwash(3.0)[0] > elliptic_downwash(10.0)[0] > elliptic_downwash(60.0)[0]


def tailed(
    height: float = 0.0,
    half: float = 0.2,
    grid: tuple[int, int] = (16, 12),
    tail_grid: tuple[int, int] = (5, 6),
) -> Lattice:
    """Wing 1 m x 0.18 m and a tail of 0.11 m chord behind it."""
    wing = surface("wing", [[0, 0, 0], [0, 0.5, 0]], [0.18, 0.18], *grid)
    tail = surface("tail", [[ARM, 0, height], [ARM, half, height]], [0.11, 0.11], *tail_grid)
    shapes = [Shape("turn", "tail", Twist()), Shape("wing turn", "wing", Twist())]
    return solve([wing, tail], shapes, Reference(0.18, 0.18, 1.0, point(0.045)))


def datcom_downwash(aspect: float, arm: float, height: float, span: float) -> float:
    """Source 2, unswept untapered: 4.44 (K_A K_λ K_H)^1.19 with K_λ = 1."""
    k_a = 1.0 / aspect - 1.0 / (1.0 + aspect**1.7)
    k_h = (1.0 - abs(height / span)) / (2.0 * arm / span) ** (1.0 / 3.0)
    return float(4.44 * (k_a * k_h) ** 1.19)


def handbook_shift(height: float) -> tuple[float, float]:
    """Shift of the neutral point by the tail in chords: ours, and the tail-volume formula (source 3)."""
    wing_slope, tail_slope = published_slope(1.0 / 0.18), published_slope(0.4 / 0.11)
    area = 0.4 * 0.11 / 0.18
    arm = ARM + 0.25 * 0.11 - 0.25 * 0.18
    wash = datcom_downwash(1.0 / 0.18, arm, height, 1.0)
    part = tail_slope * area * (1.0 - wash)
    bare = solve([tailed_wing()], [], Reference(0.18, 0.18, 1.0, point(0.045)))
    ours = (tailed(height).neutral_point() - bare.neutral_point()) / 0.18
    return ours, part * arm / 0.18 / (wing_slope + part)


def tailed_wing() -> Surface:
    return surface("wing", [[0, 0, 0], [0, 0.5, 0]], [0.18, 0.18], 16, 12)


@pytest.mark.parametrize("height", [0.0, 0.06, -0.06])
def test_neutral_point_shift_by_the_tail_volume_formula(height: float) -> None:
    """Within 15 % of the handbook; the handbook's downwash is what differs most."""
    ours, handbook = handbook_shift(height)
    assert ours == pytest.approx(handbook, rel=0.15)


def test_neutral_point_is_exact_with_the_lattices_own_downwash() -> None:
    """Source 3 with the lattice's own slopes, downwash and places of the lift: an identity of the sums."""
    lattice = tailed(0.03)
    wing, tail = lift_of(lattice, "wing", "alpha"), lift_of(lattice, "tail", "turn")
    part = tail * (1.0 - downwash(lattice))
    places = [centre(lattice, name) for name in ("wing", "tail")]
    formula = (wing * places[0] + part * places[1]) / (wing + part)
    total = sum(lift_of(lattice, name, "alpha") for name in ("wing", "tail"))
    summed = sum(lift_of(lattice, name, "alpha") * centre(lattice, name) for name in ("wing", "tail")) / total
    assert formula == pytest.approx(summed, rel=1e-12)
    # the near-field forces are another sum: they hold second-order products and agree less closely
    assert formula == pytest.approx(lattice.neutral_point(), rel=2e-3)


def centre(lattice: Lattice, name: str) -> float:
    """x of a level, unswept surface's lift by incidence."""
    loads, column = lattice.strip(name), lattice.index("alpha")
    front = {"wing": 0.0, "tail": ARM}[name]
    weight = loads.chord * loads.width
    force = weight * loads.cl[:, column]
    moment = weight * loads.chord * loads.cm[:, column]
    return float(np.sum(force * (front + 0.25 * loads.chord) - moment) / np.sum(force))


@pytest.mark.parametrize("height", [0.0, 0.005, 0.02, 0.04, 0.08, -0.01])
def test_a_tail_in_or_near_the_wake_sheet_is_steady(height: float) -> None:
    """Own regression: final grid against 40 x 16 and 20 x 10 panels, dε/dα within 0.5 %, slope 0.2 %."""
    coarse, fine = tailed(height), tailed(height, grid=(40, 16), tail_grid=(20, 10))
    assert downwash(coarse) == pytest.approx(downwash(fine), rel=0.005)
    assert coarse.derivatives()["CL_alpha"] == pytest.approx(fine.derivatives()["CL_alpha"], rel=0.002)


def roughness(values: FloatArray) -> float:
    """Greatest distance from a smooth (cubic) curve, over the mean size."""
    x = np.arange(values.size)
    smooth = np.polyval(np.polyfit(x, values, 3), x)
    return float(np.max(np.abs(values - smooth)) / np.mean(np.abs(values)))


def test_downwash_varies_smoothly_with_the_tails_span_and_height() -> None:
    """However the tail's lines fall between the wing's: within 0.1 % of a smooth curve."""
    spans = [tailed(half=half) for half in np.arange(0.150, 0.250, 0.005)]
    assert roughness(np.array([downwash(each) for each in spans])) < 1e-3
    assert roughness(np.array([each.derivatives()["CL_alpha"] for each in spans])) < 1e-3
    heights = [tailed(height) for height in np.linspace(-0.01, 0.01, 9)]
    assert np.ptp([downwash(each) for each in heights]) < 0.01


def canard(half: float, height: float = 0.0) -> Lattice:
    wing = surface("wing", [[0, 0, 0], [0, 0.5, 0]], [0.18, 0.18], 16, 12)
    fore = surface("canard", [[-0.3, 0, height], [-0.3, half, height]], [0.1, 0.1], 5, 6)
    shapes = [Shape("turn", "canard", Twist())]
    return solve([wing, fore], shapes, Reference(0.18, 0.18, 1.0, point(0.045)))


def test_a_canards_tip_vortices_on_the_wing_are_steady() -> None:
    """The wing meets the wake of the canard's tips in its own plane: smooth within 0.2 % over the span."""
    spans = [canard(half) for half in np.arange(0.150, 0.250, 0.005)]
    assert roughness(np.array([each.derivatives()["CL_alpha"] for each in spans])) < 2e-3
    assert roughness(np.array([lift_of(each, "wing", "turn") for each in spans])) < 2e-2


def test_a_canard_costs_the_wing_lift_and_gains_upwash() -> None:
    """First principles: downwash on the wing behind it, upwash at the canard ahead of the wing."""
    lattice = canard(0.18)
    assert lift_of(lattice, "wing", "turn") < 0.0
    assert downwash(lattice, "canard") < 0.0


# Dihedral --------------------------------------------------------------------------------------------------


def dihedral(ratio: float, taper: float = 1.0, degrees: float = 5.0) -> Lattice:
    """Wing of unit span, straight quarter line, with dihedral."""
    chord = 1.0 / ratio
    root = 2.0 * chord / (1.0 + taper)
    tip = taper * root
    rise = 0.5 * np.tan(np.radians(degrees))
    wing = surface("wing", [[0, 0, 0], [0.25 * (root - tip), 0.5, rise]], [root, tip], 16, 8)
    return solve([wing], [], Reference(chord, chord, 1.0, point(0.25 * root)))


def roll_by_strips(lattice: Lattice, degrees: float) -> float:
    """C_lβ = -(2 Γ/(S b)) ∫ a(y) c y dy (source 3), a(y) the section slope of the wing in steady roll.

    Sideslip turns the halves of a wing with dihedral oppositely by βΓ; that the slopes of the rolling wing
    are the right ones for it is the reciprocal theorem (source 6).
    """
    loads = lattice.strip("wing")
    slope = loads.cl[:, lattice.index("p")] / loads.arc
    angle = np.radians(degrees)
    y, dy = loads.arc * np.cos(angle), loads.width * np.cos(angle)
    whole = float(np.sum(slope * loads.chord * y * dy))
    return float(-2.0 * angle * whole / (lattice.reference.area * lattice.reference.span))


@pytest.mark.parametrize(("ratio", "taper"), [(4.0, 1.0), (6.0, 1.0), (6.0, 0.5), (8.0, 0.5)])
@pytest.mark.parametrize("degrees", [3.0, 5.0])
def test_dihedral_effect_by_strips(ratio: float, taper: float, degrees: float) -> None:
    """Within 10 % is wanted; with the lattice's own section slopes it comes to 2 %."""
    lattice = dihedral(ratio, taper, degrees)
    assert lattice.derivatives()["Cl_beta"] == pytest.approx(roll_by_strips(lattice, degrees), rel=0.02)


@pytest.mark.parametrize("ratio", [4.0, 6.0, 8.0])
def test_dihedral_effect_from_published_slopes(ratio: float) -> None:
    """Strip formula -a Γ/4 of a rectangle (source 3), each half a wing of half the aspect ratio (source 5):
    in sideslip the load vanishes in the middle as it does at an end."""
    ours = dihedral(ratio).derivatives()["Cl_beta"]
    assert ours == pytest.approx(-published_slope(0.5 * ratio) / 4.0 * np.radians(5.0), rel=0.10)


DIHEDRAL_CHART = -0.00023
"""C_lβ per degree of sideslip and of dihedral, straight rectangle of aspect ratio 6 (source 2, chart)."""


def dihedral_per_degree() -> float:
    """C_lβ/Γ per degree² at aspect ratio 6."""
    return dihedral(6.0).derivatives()["Cl_beta"] * float(np.radians(1.0)) / 5.0


def test_dihedral_effect_of_the_chart() -> None:
    assert dihedral_per_degree() == pytest.approx(DIHEDRAL_CHART, rel=0.05)


def test_polyhedral_lies_between_its_bays() -> None:
    """First principles: outer bays have the longer arm, so the same rise does more there."""
    found = []
    for middle in (0.0, 0.04):  # the outer bay rises, the inner bay rises
        le = np.array([[0.0, 0.0, 0.0], [0.0, 0.25, middle], [0.0, 0.5, 0.04]])
        wing = surface("wing", le, [0.18] * 3, 8, 8, lines=(0.5,))
        lattice = solve([wing], [], Reference(0.18, 0.18, 1.0, point(0.045)))
        found.append(lattice.derivatives()["Cl_beta"])
    assert found[0] < found[1] < 0.0


def test_washout_moves_the_angle_of_zero_lift_up() -> None:
    """Linear washout ω of a rectangle: α_0 = ω ∫ a c y dy/(s ∫ a c dy) over the half span s, with the
    wing's own section slopes (source 6): nose-down tips want more incidence."""
    tip = -0.05
    wing = surface("wing", [[0, 0, 0], [0, 0.5, 0]], [0.18, 0.18], 16, 8, twist=[0.0, tip])
    lattice = solve([wing], [], Reference(0.18, 0.18, 1.0, point()))
    loads = lattice.strip("wing")
    slope = loads.cl[:, lattice.index("alpha")] * loads.width
    expected = -tip * float(np.sum(slope * loads.arc) / np.sum(slope)) / 0.5
    zero = -lift_of(lattice, "wing", "one") / lift_of(lattice, "wing", "alpha")
    assert zero == pytest.approx(expected, rel=0.01)
    assert 0.4 * 0.05 < zero < 0.5 * 0.05


# Fins ------------------------------------------------------------------------------------------------------


def finned(root: float, tail: bool) -> Lattice:
    """Wing, fin 0.11 x 0.13 m standing 0.53 m behind it, and a tailplane under it or none."""
    fin = surface(
        "fin",
        [[ARM, 0, root], [ARM, 0, root + 0.13]],
        [0.11, 0.11],
        5,
        6,
        symmetric=False,
        root_inset=0.0 if tail else None,
    )
    plane = [surface("tail", [[ARM, 0, root], [ARM, 0.2, root]], [0.11, 0.11], 5, 6)] if tail else []
    wing = surface("wing", [[0, 0, 0], [0, 0.5, 0]], [0.18, 0.18], 16, 8)
    shapes = [Shape("rudder", "fin", Flap(0.6, 0.6))]
    return solve([wing, fin, *plane], shapes, Reference(0.18, 0.18, 1.0, point(0.045)))


def fin_by_handbook(ratio: float) -> float:
    """C_nβ = a_F V_V, a_F of a rectangle of the given aspect ratio (sources 3, 5); no sidewash at no lift."""
    arm = ARM + 0.25 * 0.11 - 0.045
    return published_slope(ratio) * 0.11 * 0.13 * arm / 0.18


def test_free_fin_against_the_handbook() -> None:
    assert finned(0.05, tail=False).derivatives()["Cn_beta"] == pytest.approx(
        fin_by_handbook(0.13 / 0.11), rel=0.10
    )


def test_fin_on_a_tailplane_against_the_handbook() -> None:
    """The tailplane mirrors the fin: twice the aspect ratio (source 3's end plate), nearly."""
    assert finned(0.0, tail=True).derivatives()["Cn_beta"] == pytest.approx(
        fin_by_handbook(0.26 / 0.11), rel=0.10
    )


def test_fin_damps_yaw_by_its_arm() -> None:
    """Source 3: C_nr = -2 (l/b) C_nβ of the fin; l to its three-quarter point, where a turning plate feels
    its incidence (Pistolesi), while the handbook's quarter point would give 12 % less."""
    slope = finned(0.05, tail=False).derivatives()
    arm = ARM + 0.75 * 0.11 - 0.045
    assert slope["Cn_r"] == pytest.approx(-2.0 * arm * slope["Cn_beta"], rel=0.03)


@pytest.mark.parametrize("chords", [(12, 6), (12, 5), (10, 7), (14, 9), (8, 8)])
def test_a_tight_joint_does_not_mind_the_chordwise_panels(chords: tuple[int, int]) -> None:
    """Fins on a swept wing's tips, no gap: at lift, all rolling and yawing moments within 2 %.

    Own regression against 40 x 16 and 20 x 12 panels: C_Yβ -0.329, C_lβ -0.187, C_lp -0.506.
    """
    lattice = tip_finned((16, chords[0]), (5, chords[1]))
    slope = lattice.derivatives(lattice.state(alpha=0.1))
    assert slope["CY_beta"] == pytest.approx(-0.3289, rel=0.02)
    assert slope["Cl_beta"] == pytest.approx(-0.1875, rel=0.02)
    assert slope["Cl_p"] == pytest.approx(-0.5060, rel=0.02)
    assert slope["CL_alpha"] == pytest.approx(4.196, rel=0.005)


def tip_finned(grid: tuple[int, int], fin_grid: tuple[int, int]) -> Lattice:
    wing = surface("wing", [[0, 0, 0], [0.35, 0.5, 0]], [0.18, 0.13], *grid, tip_inset=0.0)
    fin = surface("fin", [[0.37, 0.5, 0], [0.41, 0.5, 0.12]], [0.11, 0.07], *fin_grid, root_inset=0.0)
    mean = 0.155
    return solve([wing, fin], [], Reference(mean, 0.1563, 1.0, point(0.045, 0.0, 0.02)))


# V-tail ----------------------------------------------------------------------------------------------------


def v_tail(degrees: float) -> tuple[float, float]:
    """Lift and side-force slope of an isolated V of aspect ratio 4 (developed), over a flat one's slope."""
    angle = np.radians(degrees)
    reference = Reference(4.0, 1.0, 4.0, point())
    flat = solve([surface("f", [[0, 0, 0], [0, 2, 0]], [1, 1], 10, 8)], [], reference)
    tip = [0.0, 2.0 * np.cos(angle), 2.0 * np.sin(angle)]
    bent = solve([surface("v", [[0, 0, 0], tip], [1, 1], 10, 8)], [], reference).derivatives()
    slope = flat.derivatives()["CL_alpha"]
    return bent["CL_alpha"] / slope, -bent["CY_beta"] / slope


V_ANGLES = (10.0, 20.0, 30.0, 35.0)


@pytest.mark.parametrize("degrees", V_ANGLES)
def test_v_tail_lifts_as_its_area_times_cos_squared(degrees: float) -> None:
    """Source 4. The panels help each other a little, the more the steeper: 0.5 % at 10, 6 % at 35 degrees."""
    lift, _ = v_tail(degrees)
    assert lift == pytest.approx(np.cos(np.radians(degrees)) ** 2, rel=0.07 if degrees > 25.0 else 0.02)


def test_v_tail_pushes_sideways_as_its_area_times_sin_squared() -> None:
    """Source 4: C_Yβ = -K a sin²Γ, K for opposite loads on the halves, the same at any angle."""
    factors = [v_tail(degrees)[1] / np.sin(np.radians(degrees)) ** 2 for degrees in V_ANGLES]
    assert np.ptp(factors) < 0.03 * np.mean(factors)
    assert 0.55 < np.mean(factors) < 0.75


def test_plank_with_a_fin_turns_into_the_wind() -> None:
    """First principles, as a guard of the signs above."""
    fin = surface("fin", [[0.3, 0, 0.02], [0.35, 0, 0.15]], [0.12, 0.08], 5, 6, symmetric=False)
    wing = surface("wing", [[0, 0, 0], [0, 0.33, 0]], [0.22, 0.22], 8, 8)
    assert solve([wing, fin], [], PLANK).derivatives()["Cn_beta"] > 0.0
