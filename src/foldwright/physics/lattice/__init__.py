"""Vortex lattice: lifting surfaces in, quadratic forms of force and moment out."""

from foldwright.physics.lattice.quadratic import evaluate, gradient
from foldwright.physics.lattice.result import COEFFICIENTS, Derivatives, HingeMoment, Lattice, StripLoads
from foldwright.physics.lattice.solve import solve
from foldwright.physics.lattice.surface import Flap, Reference, Shape, Surface, Twist

__all__ = [
    "COEFFICIENTS",
    "Derivatives",
    "Flap",
    "HingeMoment",
    "Lattice",
    "Reference",
    "Shape",
    "StripLoads",
    "Surface",
    "Twist",
    "evaluate",
    "gradient",
    "solve",
]
