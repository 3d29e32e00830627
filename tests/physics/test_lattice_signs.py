"""Signs and sizes whose answer is known without a lattice."""

from __future__ import annotations

import numpy as np
import pytest

from foldwright.physics.lattice import Derivatives, Flap, Lattice, Reference, Shape, Surface, Twist, solve
from tests.physics.lattice_cases import PLANK, plank, rectangle, surface

WING = rectangle(0.66, 0.22, 8, 8)
FIN = surface("fin", [[0.30, 0.0, 0.02], [0.35, 0.0, 0.15]], [0.12, 0.08], 5, 6, symmetric=False)
TAIL = surface("tail", [[0.5, 0.0, 0.05], [0.5, 0.15, 0.05]], [0.12, 0.12], 5, 6)
TIP_FIN = surface("tip fin", [[0.15, 0.31, 0.0], [0.2, 0.31, 0.12]], [0.12, 0.08], 5, 6)
ELEVATOR = Shape("elevator", "wing", Flap(0.78, 0.78))
AILERON = Shape("aileron", "wing", Flap(0.78, 0.78, 0.4, 1.0), -1)


def at(lattice: Lattice, alpha: float = 0.0) -> Derivatives:
    return lattice.derivatives(lattice.state(alpha=alpha))


def craft(*extra: Surface, shapes: tuple[Shape, ...] = (ELEVATOR, AILERON)) -> Lattice:
    return solve([WING, *extra], shapes, PLANK)


def test_damping_opposes_every_turn() -> None:
    """First principles: Cl_p, Cm_q, Cn_r negative (Cn_r needs a fin)."""
    slope = at(craft(FIN))
    assert slope["Cl_p"] < -0.2
    assert slope["Cm_q"] < -0.5
    assert slope["Cn_r"] < -0.02
    assert slope["CL_q"] > 0.0


def test_roll_damping_of_a_slender_wing() -> None:
    """Slender-wing theory: Cl_p = -pi AR/32 (R. T. Jones / Ribner, published)."""
    delta = surface("w", [[0, 0, 0], [1.0, 0.025, 0.0]], [1.0, 1e-6], 16, 24)
    slope = solve([delta], [], Reference(0.025, 1.0, 0.05, np.zeros(3))).derivatives()
    assert slope["Cl_p"] == pytest.approx(-np.pi * 0.1 / 32.0, rel=0.03)


def test_dihedral_lifts_the_wing_that_the_wind_meets() -> None:
    """Wind from the right (beta > 0) lifts the right wing: left roll."""
    assert at(plank(8, 8, dihedral=0.1))["Cl_beta"] < -0.03
    assert at(plank(8, 8, dihedral=-0.1))["Cl_beta"] > 0.03
    assert at(plank(8, 8))["Cl_beta"] == pytest.approx(0.0, abs=1e-12)


def test_sideslip_at_lift_rolls_a_plank_through_its_chordwise_legs() -> None:
    """Without force on the chordwise pieces C_lβ of a plank is zero; sweep adds, forward sweep takes off."""
    straight = at(plank(8, 8), 0.1)["Cl_beta"]
    assert -0.15 < straight < -0.03
    assert at(plank(8, 8, sweep=0.4), 0.1)["Cl_beta"] < straight
    assert at(plank(8, 8, sweep=-0.4), 0.1)["Cl_beta"] > straight


def test_fin_behind_the_centre_is_a_weathercock() -> None:
    slope = at(craft(FIN))
    assert slope["CY_beta"] < -0.05
    assert slope["Cn_beta"] > 0.02
    assert slope["CY_r"] > 0.0
    assert slope["Cl_beta"] < 0.0  # it stands above the axis


def test_fin_ahead_of_the_centre_is_the_opposite() -> None:
    nose_fin = surface("fin", [[-0.3, 0.0, 0.02], [-0.25, 0.0, 0.15]], [0.12, 0.08], 5, 6, symmetric=False)
    assert at(craft(nose_fin))["Cn_beta"] < 0.0


def test_tip_fins_and_their_toe_in() -> None:
    """A fin that climbs has its normal towards -y: both noses turned inboard push inboard, CY cancels."""
    lattice = craft(TIP_FIN, shapes=(Shape("toe", "tip fin", Twist()), Shape("yaw", "tip fin", Twist(), -1)))
    slope = at(lattice)
    assert slope["CY_beta"] < 0.0
    assert slope["Cn_beta"] > 0.0
    assert slope["CY_toe"] == 0.0
    assert slope["CY_yaw"] < 0.0  # the right fin pushes left and so does the left one
    assert slope["Cn_yaw"] > 0.0


def test_rudder_to_the_right_turns_the_nose_right() -> None:
    """Positive = trailing edge away from the normal of a climbing line = to the right."""
    slope = at(craft(FIN, shapes=(Shape("rudder", "fin", Flap(0.6, 0.6)),)))
    assert slope["CY_rudder"] < 0.0
    assert slope["Cn_rudder"] > 0.0


def test_elevator_and_aileron() -> None:
    slope = at(craft())
    assert slope["CL_elevator"] > 0.0
    assert slope["Cm_elevator"] < 0.0
    assert slope["Cl_aileron"] < 0.0  # right trailing edge down lifts the right wing
    assert slope["CL_aileron"] == 0.0


def test_adverse_yaw() -> None:
    """The wing that an aileron lifts drags: nose towards it, in axes along the flight path.

    Lifting line for elliptic lift plus the first antisymmetric term: C_n = 3 C_L |C_l|/(pi AR)
    (Glauert series, recomputed); the lattice's plank comes within 10 %. In geometry axes the forward tilt
    of the extra lift hides it: C_n,path = C_n - alpha C_l.
    """
    lattice, alpha = craft(), 0.1
    slope = at(lattice, alpha)
    yaw = slope["Cn_aileron"] - alpha * slope["Cl_aileron"]
    lift = float(lattice.value("CL", lattice.state(alpha=alpha)))
    assert yaw > 0.0
    assert yaw == pytest.approx(3.0 * lift * -slope["Cl_aileron"] / (np.pi * 3.0), rel=0.1)


def test_roll_yaws_adversely_too() -> None:
    """Right roll (p > 0): lift tilts forward on the falling right wing, nose left."""
    assert at(craft(), 0.1)["Cn_p"] < 0.0


def test_yawing_nose_right_speeds_the_left_wing() -> None:
    assert at(craft(), 0.1)["Cl_r"] > 0.0


def test_camber_and_yaw_rate() -> None:
    """The base incidence meets the faster air of the left wing: Cl_r > 0 with twist alone, alpha 0."""
    wing = surface("wing", [[0, 0, 0], [0, 0.33, 0]], [0.22, 0.22], 8, 8, twist=[0.05, 0.05])
    assert at(solve([wing], [], PLANK))["Cl_r"] > 0.0


def test_tail_steadies_and_controls() -> None:
    lattice = craft(TAIL, shapes=(Shape("elevator", "tail", Flap(0.6, 0.6)),))
    bare = craft()
    assert lattice.neutral_point() > bare.neutral_point() + 0.02
    assert at(lattice)["Cm_q"] < 2.0 * at(bare)["Cm_q"]
    assert at(lattice)["Cm_elevator"] < -0.5


def test_twist_is_incidence_and_washout_is_not_lift_at_the_tip() -> None:
    """A whole wing turned by 1 rad per rad is alpha, but for the geometry that moves with it."""
    lattice = craft(
        shapes=(Shape("turn", "wing", Twist()), Shape("washout", "wing", Twist(0.0, 1.0, 0.0, -1.0)))
    )
    slope = at(lattice)
    assert slope["CL_turn"] == pytest.approx(slope["CL_alpha"], rel=1e-12)
    assert slope["CL_washout"] < 0.0
    loads = lattice.strip("wing").cl[:, lattice.index("washout")]
    assert loads[-1] < loads[0]


def test_left_and_right_of_a_shape() -> None:
    """Symmetric plus antisymmetric = twice the right flap: the left half is then hardly loaded."""
    right_only = craft(
        shapes=(
            Shape("a", "wing", Flap(0.78, 0.78, 0.5, 1.0)),
            Shape("b", "wing", Flap(0.78, 0.78, 0.5, 1.0), -1),
        )
    )
    cl = right_only.strip("wing").cl
    a, b = right_only.index("a"), right_only.index("b")
    right = cl[-1, a] * right_only.parity[a] * 0.5 + cl[-1, b] * 0.5
    left = 0.5 * cl[-1, a] * right_only.parity[a] + 0.5 * cl[-1, b] * right_only.parity[b]
    assert abs(left) < 0.05 * right
