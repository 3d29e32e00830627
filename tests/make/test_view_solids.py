"""What pictures show beside the board: bars, legs, motors and propeller discs of other layouts."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from foldwright.airframe.model import Airframe, Bar, MassItem, Thrust
from foldwright.geometry.fold.mass import box_moments, line_moments
from foldwright.make.book_data import book_data
from foldwright.make.view_solids import bar_solids, is_outside, leg_solids, outside_solids, propeller_discs
from foldwright.make.views import Shown, gear_of, section_view, view
from tests.make.evaluations import marram, results


def _airframe() -> Airframe:
    return results(marram()).airframe


def _bar(*ends: tuple[float, float, float], form: str = "square") -> Bar:
    return Bar("stick", np.array(ends), 8.0, 10.0, "carbon", form)


def test_a_stick_is_as_long_wide_and_high_as_it_is() -> None:
    """Along x its width lies level and its height upright (first principles)."""
    bar = _bar((0.0, 0.0, -60.0), (700.0, 0.0, -60.0))
    (solid,) = bar_solids(replace(_airframe(), bars=(bar,)))
    assert np.ptp(solid.points, axis=0) == pytest.approx([700.0, 8.0, 10.0])
    assert solid.points.mean(axis=0) == pytest.approx([350.0, 0.0, -60.0])


def test_a_dowel_across_is_round_and_an_upright_one_stands() -> None:
    across = _bar((20.0, -50.0, 90.0), (20.0, 50.0, 90.0), form="rod")
    upright = _bar((20.0, 0.0, 90.0), (20.0, 0.0, 140.0))
    for bar, sizes in ((across, [8.0, 100.0, 10.0]), (upright, None)):
        (solid,) = bar_solids(replace(_airframe(), bars=(bar,)))
        if sizes is not None:
            assert np.ptp(solid.points, axis=0) == pytest.approx(sizes, rel=0.02)
        else:
            assert float(np.ptp(solid.points[:, 2])) == pytest.approx(50.0)


def test_a_spar_inside_the_wing_is_not_drawn_and_one_that_stands_out_is() -> None:
    wing = _airframe().wing
    x, z = float(wing.le[0, 0]) + 75.0, float(wing.le[0, 2]) + 8.0
    inside, out = _bar((x, -300.0, z), (x, 300.0, z)), _bar((x, -900.0, z), (x, 900.0, z))
    assert bar_solids(replace(_airframe(), bars=(inside,))) == ()
    assert len(bar_solids(replace(_airframe(), bars=(out,)))) == 1


def test_legs_are_found_from_their_line() -> None:
    ends = np.array([(200.0, 40.0, -25.0), (200.0, 40.0, -85.0)])
    leg = MassItem("leg/right", "fitting", line_moments(ends, 0.1))
    box = MassItem("plate", "fitting", box_moments(np.zeros(3), np.array([10.0, 20.0, 5.0]), 3.0))
    (solid,) = leg_solids(replace(_airframe(), masses=(leg, box)))
    assert float(solid.points[:, 2].max()) == pytest.approx(-25.0, abs=1e-6)
    assert float(solid.points[:, 2].min()) == pytest.approx(-85.0, abs=1e-6)
    assert solid.points[:, :2].mean(axis=0) == pytest.approx([200.0, 40.0])


def test_two_motors_have_two_discs_and_two_bodies() -> None:
    base = _airframe()
    line = base.thrust
    thrust = Thrust(line.x, 90.0, line.z, line.tilt, line.static_n, line.disc_diameter_mm, mirrored=True)
    motor = next(item for item in base.masses if item.id == "motor")
    pair = tuple(
        replace(
            motor, id=f"motor/{name}",
            moments=box_moments(np.array([line.x - 10.0, y, line.z]), np.array(motor.size), 28.0),
        )
        for name, y in (("right", 90.0), ("left", -90.0))
    )  # fmt: skip
    others = tuple(item for item in base.masses if item.id != "motor")
    made = replace(base, thrust=thrust, masses=(*others, *pair))
    assert [round(float(rim[:, 1].mean()), 6) for rim in propeller_discs(thrust)] == [90.0, -90.0]
    bodies = [solid for solid in outside_solids(made) if is_outside(solid.name)]
    assert [round(float(solid.points[:, 1].mean()), 6) for solid in bodies] == [90.0, -90.0]
    drawing = view(made, "top", 160.0, Shown(gear_of(made.masses)))
    assert drawing.width_mm <= 160.0


def test_without_a_propeller_there_is_no_disc() -> None:
    assert propeller_discs(Thrust(0.0, 0.0, 0.0, 0.0, None, 0.0)) == ()


def test_a_stick_shows_in_side_view_and_section() -> None:
    bar = _bar((0.0, 0.0, -60.0), (700.0, 0.0, -60.0))
    made = replace(_airframe(), bars=(bar,))
    assert len(section_view(made, 0.0, 160.0).items) > len(section_view(_airframe(), 0.0, 160.0).items)
    assert view(made, "side", 160.0) != view(_airframe(), "side", 160.0)


def test_the_books_data_hold_bars_surfaces_and_controls() -> None:
    made = replace(_airframe(), bars=(_bar((0.0, 0.0, -60.0), (700.0, 0.0, -60.0)),))
    data = book_data(made)
    assert data["bars"][0]["ends_mm"] == [[0.0, 0.0, -60.0], [700.0, 0.0, -60.0]]
    (wing,) = [row for row in data["surfaces"] if row["main"]]
    assert wing["controls"][0]["id"] == "elevon"
    assert wing["controls"][0]["up_deg"] == pytest.approx(15.0)
