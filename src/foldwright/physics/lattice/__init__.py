"""Vortex lattice: lifting surfaces in, quadratic forms of force and moment out."""

from foldwright.physics.lattice.quadratic import evaluate, gradient
from foldwright.physics.lattice.result import (
    COEFFICIENTS,
    Derivatives,
    HingeMoment,
    Lattice,
    Loads,
    StripLoads,
)
from foldwright.physics.lattice.solve import loads, solve
from foldwright.physics.lattice.surface import Flap, Reference, Shape, Surface, Twist

__all__ = [
    "COEFFICIENTS",
    "Derivatives",
    "Flap",
    "HingeMoment",
    "Lattice",
    "Loads",
    "Reference",
    "Shape",
    "StripLoads",
    "Surface",
    "Twist",
    "evaluate",
    "gradient",
    "loads",
    "solve",
]
