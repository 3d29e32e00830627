"""Interference that must not depend on how near a vortex line passes: wakes of a bent wing, stubs of fins."""

from __future__ import annotations

from math import radians

import numpy as np
import pytest

from foldwright.airframe.model import LiftingSurface
from foldwright.flight.lift import lift
from foldwright.flight.planform import mean_chord, reference, surfaces
from foldwright.flight.strip_sums import strip_rows
from foldwright.flight.tail import tail_effect
from foldwright.physics.lattice import solve
from tests.flight.layouts import craft, plate, tailplane, v_tail, wing
from tests.flight.plank import EXACT, samples

BENT = radians(6.5)


def neutral(*parts: LiftingSurface) -> float:
    """Neutral point, % of the mean chord."""
    frame = craft(*parts)
    mean = mean_chord(frame.wing)
    lattice = solve(surfaces(frame, "final"), (), reference(mean))
    up, moment = strip_rows(lattice, parts).get("alpha")
    return 100.0 * (0.25 - moment / up)


def test_tail_may_pass_through_the_wake_of_a_wing_with_dihedral() -> None:
    """Separate sum, one row of 300 horseshoes a half: dε/dα is 0.416 at 10 mm below and 0.430 at 10 mm above
    the wing's root, which moves the neutral point by 0.7 % of the chord.
    """
    heights = np.arange(-12.0, 13.0, 4.0)
    points = np.array([neutral(wing(dihedral=BENT), tailplane(height=height)) for height in heights])
    assert np.ptp(points) < 1.0
    assert np.max(np.abs(np.diff(points))) < 0.3


@pytest.mark.parametrize("stub", [6.0, 8.0])
def test_a_short_stub_below_the_wing_is_no_stub(stub: float) -> None:
    """Regression and symmetry: a fin that reaches a few mm through the tip's plane rolls with sideslip as the
    same fin does that stands on it, within what its height gives.
    """

    def roll(foot: float) -> float:
        fin = plate("fin", [[430.0, 500.0, foot], [470.0, 500.0, foot + 120.0]], [110.0, 80.0], "fin")
        frame = craft(wing(sweep=radians(20.0)), fin)
        lattice = solve(surfaces(frame, "final"), (), reference(mean_chord(frame.wing)))
        return lattice.derivatives(lattice.state(alpha=0.08))["Cl_beta"]

    assert roll(-stub) == pytest.approx(roll(0.0), rel=0.1)


@pytest.mark.parametrize("angle", [20.0, 36.0, 50.0])
def test_a_v_tail_far_from_the_wing_stands_in_no_downwash(angle: float) -> None:
    """First principles: 20 m behind and 3 m above the wing there is next to none, however steep the V."""
    tail = v_tail(angle=radians(angle))
    away = plate("v-tail", tail.le + np.array([20_000.0, 0.0, 3_000.0]), tail.chord.tolist(), "v_tail")
    frame = craft(wing(), away)
    found = tail_effect(lift(frame, "final", samples(1, **EXACT)), frame, 245.0)
    assert abs(found.lying[0].downwash.value) < 0.02
