"""Thin-aerofoil theory of a plain hinged flap (Glauert).

Sources
1. H. Glauert, *Theoretical relationships for an aerofoil with hinged flap*, ARC R&M 1095, 1927.
2. E. L. Houghton, P. W. Carpenter, *Aerodynamics for Engineering Students*, eqs 4.49-4.57.

Everywhere F is the flap chord as a fraction of the section chord, 0 < F < 1, and cos(phi) = 2F - 1, so
that phi is the thin-aerofoil angle of the hinge. Angles in radians, deflection positive trailing edge
down. Inviscid and attached: a real small flap keeps roughly 0.8 of the effectiveness.
"""

from __future__ import annotations

import numpy as np

from foldwright.base.types import FloatArray


def hinge_angle(flap_chord: FloatArray | float) -> FloatArray:
    """Thin-aerofoil angle phi of the hinge [rad], from cos(phi) = 2F - 1 (source 2). Any shape."""
    return np.asarray(np.arccos(2.0 * np.asarray(flap_chord, dtype=np.float64) - 1.0))


def effectiveness(flap_chord: FloatArray | float) -> FloatArray:
    """Flap effectiveness tau = -d alpha / d delta at constant lift = 1 - (phi - sin phi)/pi [-].

    Sources 1, 2. Zero for no flap, one for a flap of the whole chord.
    """
    phi = hinge_angle(flap_chord)
    return np.asarray(1.0 - (phi - np.sin(phi)) / np.pi)


def moment_slope(flap_chord: FloatArray | float) -> FloatArray:
    """Quarter-chord moment per flap angle, sin(2 phi)/4 - sin(phi)/2 [1/rad], nose-up positive (source 2)."""
    phi = hinge_angle(flap_chord)
    return np.asarray(0.25 * np.sin(2.0 * phi) - 0.5 * np.sin(phi))


def hinge_alpha_slope(flap_chord: FloatArray | float) -> FloatArray:
    """b1: hinge moment coefficient per incidence [1/rad] at fixed flap (sources 1, 2).

    Coefficient on the flap chord squared, positive when the load pushes the trailing edge down; hence
    negative. b1 = -[2 (pi - phi)(2 cos phi - 1) + 4 sin phi - sin 2 phi] / (4 F^2).
    """
    part = np.asarray(flap_chord, dtype=np.float64)
    phi = hinge_angle(part)
    load = 2.0 * (np.pi - phi) * (2.0 * np.cos(phi) - 1.0) + 4.0 * np.sin(phi) - np.sin(2.0 * phi)
    return np.asarray(-load / (4.0 * part**2))


def hinge_flap_slope(flap_chord: FloatArray | float) -> FloatArray:
    """b2: hinge moment coefficient per flap angle [1/rad] at fixed incidence (sources 1, 2).

    b2 = -[1 - cos 2 phi - 2 (pi - phi)^2 (1 - 2 cos phi) + 4 (pi - phi) sin phi] / (4 pi F^2).
    """
    part = np.asarray(flap_chord, dtype=np.float64)
    phi = hinge_angle(part)
    rest = np.pi - phi
    load = 1.0 - np.cos(2.0 * phi) - 2.0 * rest**2 * (1.0 - 2.0 * np.cos(phi)) + 4.0 * rest * np.sin(phi)
    return np.asarray(-load / (4.0 * np.pi * part**2))
