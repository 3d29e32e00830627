"""Standard atmosphere against ISO 2533 and an independent library."""

from __future__ import annotations

import ambiance
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from foldwright.physics.atmosphere import (
    HEIGHT_RANGE,
    STANDARD_GRAVITY,
    density_height,
    standard_air,
    viscosity,
)

# ISO 2533:1975, geopotential height, recomputed from its formulas: m, K, Pa, kg/m3, 1e-5 Pa s.
TABLE = [
    (0.0, 288.15, 101325.0, 1.2250, 1.78938),
    (500.0, 284.90, 95460.8, 1.16727, 1.77366),
    (1000.0, 281.65, 89874.6, 1.11164, 1.75785),
    (2000.0, 275.15, 79495.2, 1.00649, 1.72596),
    (3000.0, 268.65, 70108.5, 0.909122, 1.69372),
]


@pytest.mark.parametrize(("height", "kelvin", "pascal", "density", "mu"), TABLE)
def test_table_of_iso_2533(height: float, kelvin: float, pascal: float, density: float, mu: float) -> None:
    air = standard_air(height)
    assert float(air.temperature) == pytest.approx(kelvin, rel=1e-6)
    assert float(air.pressure) == pytest.approx(pascal, rel=2e-6)
    assert float(air.density) == pytest.approx(density, rel=5e-6)
    assert float(air.viscosity) * 1e5 == pytest.approx(mu, rel=5e-6)


def test_agrees_with_another_library_at_geometric_height() -> None:
    """Other library: ambiance takes geometric height, 1000 m -> 281.6510 K, 89876.28 Pa."""
    other = ambiance.Atmosphere(1000.0)
    air = standard_air(float(other.H[0]))
    assert float(air.pressure) == pytest.approx(float(other.pressure[0]), rel=1e-6)
    assert float(air.pressure) == pytest.approx(89876.28, rel=1e-6)
    assert float(air.density) == pytest.approx(float(other.density[0]), rel=1e-6)
    assert float(air.viscosity) == pytest.approx(float(other.dynamic_viscosity[0]), rel=1e-5)


def test_array_is_the_same_as_scalars() -> None:
    heights = np.array([0.0, 700.0, 2500.0])
    together = standard_air(heights).density
    assert together.shape == (3,)
    assert together.tolist() == [float(standard_air(h).density) for h in heights]


@given(st.floats(0.0, 10_000.0))
def test_weight_of_the_air_is_the_fall_of_pressure(height: float) -> None:
    """First principles, hydrostatics: dp/dh = -rho g."""
    low, high = standard_air(height - 1.0).pressure, standard_air(height + 1.0).pressure
    expected = -float(standard_air(height).density) * STANDARD_GRAVITY
    assert float(high - low) / 2.0 == pytest.approx(expected, rel=1e-6)


@pytest.mark.parametrize("height", [HEIGHT_RANGE[0] - 1.0, HEIGHT_RANGE[1] + 1.0, float("nan")])
def test_outside_the_troposphere_is_refused(height: float) -> None:
    with pytest.raises(ValueError, match="height"):
        standard_air(height)


def test_viscosity_grows_with_temperature() -> None:
    kelvin = np.linspace(250.0, 320.0, 15)
    assert np.all(np.diff(viscosity(kelvin)) > 0.0)


@pytest.mark.parametrize("height", [0.0, 500.0, 1000.0, 3000.0])
def test_the_height_of_a_density_is_found_again(height: float) -> None:
    """The reverse of the table."""
    assert density_height(float(standard_air(height).density)) == pytest.approx(height, abs=1e-6)
