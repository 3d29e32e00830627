"""Moment of a slender body.

Sources
1. First principles: exterior conformal map, apparent mass of a section m = rho (2 pi c^2 - A) where its
   first coefficient vanishes, c the conformal radius; the square's is Gamma(1/4)^2/(4 pi^1.5) of its side.
2. M. M. Munk, NACA TR 184, 1924: dM/d(alpha) = 2 q Vol of a body of revolution.
3. First principles: Biot-Savart integrals along a horseshoe vortex.
"""

from __future__ import annotations

from math import gamma, pi

import numpy as np
import pytest
from scipy.integrate import quad

from foldwright.physics.body_moment import (
    apparent_volume,
    flow_slope,
    moment_slope,
    rectangle_factor,
    upwash_slope,
)


def test_square_section_by_conformal_mapping() -> None:
    # Source 1: 4.754 rho a^2 for the half side a, over pi rho a^2.
    radius = gamma(0.25) ** 2 / (4.0 * pi**1.5)
    exact = (2.0 * pi * radius**2 - 1.0) / (pi / 4.0)
    assert float(rectangle_factor(np.array(1.0), np.array(1.0))) == pytest.approx(exact, abs=0.01)


def test_rectangles_lie_between_plate_and_box_and_fall_with_width() -> None:
    # First principles: a thin plate across the stream has factor 1, and depth along it adds.
    factors = rectangle_factor(np.array([0.01, 0.5, 1.0, 2.0, 10.0, 100.0]), np.ones(6))
    assert np.all(np.diff(factors) <= 0.0)
    assert np.all(factors > 1.0)


def test_body_alone_is_twice_its_apparent_volume() -> None:
    # Source 2 with the square's factor: 2 * 1.51 * pi/4 * w^2 * L/(S c).
    x = np.array([0.0, 300.0])
    side = np.full(2, 50.0)
    volume = apparent_volume(x, side, side, np.ones(2))
    assert volume == pytest.approx(1.51 * pi / 4.0 * 50.0**2 * 300.0)
    assert moment_slope(volume, 660.0 * 220.0, 220.0) == pytest.approx(2.0 * volume / (660.0 * 220.0**2))


@pytest.mark.parametrize("ahead", [0.02, 0.1, 0.5, -0.1, -0.5])
def test_upwash_against_biot_savart(ahead: float) -> None:
    # Source 3: bound vortex from -s to s at the quarter chord, legs to infinity behind.
    area, span, slope = 0.1452, 0.66, 3.1
    s = pi / 8.0 * span
    strength = area * slope / (4.0 * s)
    bound, _ = quad(lambda y: ahead / (ahead**2 + y**2) ** 1.5, -s, s, points=[0.0], limit=200)
    leg, _ = quad(lambda x: s / ((x + ahead) ** 2 + s**2) ** 1.5, 0.0, np.inf)
    expected = strength / (4.0 * pi) * (bound - 2.0 * leg)
    mine = float(upwash_slope(np.array([1.0 - ahead]), 1.0, slope, area, span)[0])
    assert mine == pytest.approx(expected, rel=1e-6)


def test_flow_along_a_body_with_a_wing() -> None:
    # Multhopp's picture: upwash ahead, growing towards the wing, nothing under it, less than 1 behind it.
    x = np.array([-5000.0, 0.0, 50.0, 99.0, 150.0, 300.0, 330.0, 400.0])
    slope = flow_slope(x, 100.0, 320.0, 3.1, 660.0 * 220.0, 660.0)
    assert float(slope[0]) == pytest.approx(1.0, abs=1e-3)
    assert 1.0 < slope[1] < slope[2] < slope[3] < 2.5
    assert slope[4] == slope[5] == 0.0
    assert 0.0 <= slope[6] <= slope[7] < 1.0


def test_no_wing_no_upwash() -> None:
    slope = flow_slope(np.array([0.0, 500.0]), 100.0, 100.0, 0.0, 1.0, 1.0)
    assert slope.tolist() == [1.0, 1.0]
