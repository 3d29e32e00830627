"""Standard atmosphere of the troposphere.

Sources
1. ISO 2533:1975, *Standard Atmosphere* (same values as the US Standard Atmosphere 1976 in this range).

The height is geopotential. Within 0-3000 m it differs from the geometric height by less than 2 m.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from foldwright.base.types import FloatArray

SEA_LEVEL_TEMPERATURE = 288.15
"""Temperature at sea level [K], source 1."""
SEA_LEVEL_PRESSURE = 101_325.0
"""Pressure at sea level [Pa], source 1."""
LAPSE_RATE = 0.0065
"""Fall of temperature with geopotential height in the troposphere [K/m], source 1."""
GAS_CONSTANT = 287.05287
"""Specific gas constant of dry air [J/(kg K)], source 1."""
STANDARD_GRAVITY = 9.80665
"""Standard acceleration of free fall [m/s^2], source 1."""
SUTHERLAND_FACTOR = 1.458e-6
"""Sutherland's factor [kg/(m s K^0.5)], source 1."""
SUTHERLAND_TEMPERATURE = 110.4
"""Sutherland's temperature [K], source 1."""
HEIGHT_RANGE = (-500.0, 11_000.0)
"""Geopotential heights the formulas hold for [m]."""


@dataclass(frozen=True, slots=True)
class Air:
    """State of the air; every field has the shape of the height that was asked for.

    temperature [K], pressure [Pa], density [kg/m^3], viscosity (dynamic) [Pa s].
    """

    temperature: FloatArray
    pressure: FloatArray
    density: FloatArray
    viscosity: FloatArray


def viscosity(temperature: FloatArray | float) -> FloatArray:
    """Dynamic viscosity of air [Pa s] at a temperature [K] by Sutherland's formula (source 1)."""
    kelvin = np.asarray(temperature, dtype=np.float64)
    return np.asarray(SUTHERLAND_FACTOR * kelvin**1.5 / (kelvin + SUTHERLAND_TEMPERATURE))


def standard_air(height: FloatArray | float = 0.0) -> Air:
    """Standard air at a geopotential height [m], scalar or array.

    Raises ValueError outside HEIGHT_RANGE, where the constant lapse rate does not hold (source 1).
    """
    level = np.asarray(height, dtype=np.float64)
    low, high = HEIGHT_RANGE
    if not np.all((level >= low) & (level <= high)):
        raise ValueError(f"height must lie within {low:g} to {high:g} m")
    temperature = np.asarray(SEA_LEVEL_TEMPERATURE - LAPSE_RATE * level)
    exponent = STANDARD_GRAVITY / (GAS_CONSTANT * LAPSE_RATE)
    pressure = SEA_LEVEL_PRESSURE * (temperature / SEA_LEVEL_TEMPERATURE) ** exponent
    return Air(
        temperature,
        np.asarray(pressure),
        np.asarray(pressure / (GAS_CONSTANT * temperature)),
        viscosity(temperature),
    )


def density_height(density: float) -> float:
    """Geopotential height at which standard air has a density [kg/m^3], [m] (source 1).

    rho/rho0 = (T/T0)^(g/(R L) - 1). Heights past HEIGHT_RANGE are extrapolated.
    """
    base = SEA_LEVEL_PRESSURE / (GAS_CONSTANT * SEA_LEVEL_TEMPERATURE)
    power = STANDARD_GRAVITY / (GAS_CONSTANT * LAPSE_RATE) - 1.0
    return float(SEA_LEVEL_TEMPERATURE / LAPSE_RATE * (1.0 - (density / base) ** (1.0 / power)))
