"""What `check` says of the balance: where it ought to be, where it is, and about which axes it turns."""

from __future__ import annotations

import numpy as np
import pytest

from foldwright.cli.report import figures, figures_data
from foldwright.evaluate import Results
from tests.world import judge, with_values


def _results(**changes: float) -> Results:
    found = judge(with_values(**changes)).results
    assert found is not None
    return found


def test_a_battery_that_does_not_reach_the_balance_point_is_told() -> None:
    """The point that counts is where it balances; the one asked for stands beside it."""
    assert "asked for" not in dict(figures(_results()))["balance point"]
    tail_heavy = _results(motor__mount_mass_g=60.0)
    data = figures_data(tail_heavy)
    said = dict(figures(tail_heavy))["balance point"]
    assert said.startswith(f"{data['balance_mm_behind_le']:.1f} mm behind the leading edge")
    assert f"{data['balance_wanted_mm_behind_le']:.1f} mm asked for" in said


def test_centre_of_gravity_and_inertia_are_in_the_data() -> None:
    """A flat aeroplane: the greatest moment of inertia is about the vertical axis (first principles)."""
    data = figures_data(_results())
    inertia = np.array(data["inertia_about_cg_g_mm2"])
    assert inertia == pytest.approx(inertia.T, abs=1.0)
    assert max(inertia[0, 0], inertia[1, 1]) < inertia[2, 2] < inertia[0, 0] + inertia[1, 1]
    assert data["cg_x_from_masses_mm"]["value"] == pytest.approx(data["cg_mm"][0])
    leading = data["cg_mm"][0] - data["balance_mm_behind_le"]
    assert leading == pytest.approx(_results().airframe.wing.le[0, 0])


def test_the_moment_of_power_is_in_the_data() -> None:
    """First principles: nose-up is minus thrust times the height of its line above the centre of gravity."""
    results = _results()
    data, newton = figures_data(results), results.thrust.thrust.value
    moment = data["power_moment_n_mm_nose_up"]["value"]
    assert moment == pytest.approx(-newton * data["thrust_line_above_cg_mm"])
    assert moment > 0.0
    # the trailing edge that does as much is less at cruise, by the square of the speed
    launch, cruise = (data[f"power_mm_up_at_{name}"]["value"] for name in ("launch", "cruise"))
    assert cruise == pytest.approx(launch * (9.0 / 12.0) ** 2, rel=0.02)
