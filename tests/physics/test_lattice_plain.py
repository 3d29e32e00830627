"""The package's lattice against a plain full one that shares no code with it."""

from __future__ import annotations

import numpy as np
import pytest

from foldwright.base.types import FloatArray
from foldwright.physics.lattice import COEFFICIENTS, Flap, Reference, Shape, Surface, Twist, solve
from tests.physics.lattice_cases import point, surface
from tests.physics.plain_lattice import forms

XI = [0.0, 0.3, 1.0]
WING = surface(
    "wing",
    [[0.0, 0.0, 0.0], [0.1, 0.5, 0.06]],
    [0.3, 0.2],
    3,
    3,
    twist=[0.02, -0.03],
    xi=XI,
    camber=[[0.0, 0.03, 0.0], [0.0, 0.01, 0.0]],
)
TIP_FIN = surface("tip fin", [[0.2, 0.4, 0.22], [0.25, 0.42, 0.37]], [0.12, 0.08], 2, 2, twist=[0.01, 0.01])
FIN = surface("fin", [[0.15, 0.0, 0.05], [0.22, 0.0, 0.2]], [0.15, 0.1], 2, 3, symmetric=False)
SHAPES = [
    Shape("elevator", "wing", Flap(0.7, 0.75, 0.1, 0.8)),
    Shape("aileron", "wing", Flap(0.8, 0.75, 0.35, 1.0), -1),
    Shape("rudder", "fin", Flap(0.6, 0.6), -1),
    Shape("warp", "wing", Twist(0.2, 1.0, 0.0, 1.0), -1),
    Shape("toe", "tip fin", Twist(), 1),
]
CASES: dict[str, list[Surface]] = {
    "wing": [WING],
    "wing and tip fins": [WING, TIP_FIN],
    "all, centre fin first": [FIN, WING, TIP_FIN],
}


@pytest.mark.parametrize("case", CASES)
@pytest.mark.parametrize("at", [(0.1, 0.0, 0.02), (0.0, 0.07, -0.1)])
def test_split_solution_equals_a_full_one(case: str, at: tuple[float, float, float]) -> None:
    """Other computation: every form to 1e-10 of its largest entry."""
    surfaces = CASES[case]
    shapes = [shape for shape in SHAPES if shape.surface in {s.name for s in surfaces}]
    reference = Reference(0.25, 0.25, 1.0, point(*at))
    lattice = solve(surfaces, shapes, reference)
    expected, _ = forms(surfaces, shapes, reference)
    for row, name in enumerate(COEFFICIENTS):
        if name != "CD":
            close(lattice.forms[row], expected[row])


def test_circulations_and_parity() -> None:
    """Right half as stored, left half = parity times the same."""
    surfaces, reference = [WING, TIP_FIN], Reference(0.25, 0.25, 1.0, point())
    lattice = solve(surfaces, SHAPES[:2], reference)
    _, gamma = forms(surfaces, SHAPES[:2], reference)
    close(lattice.gamma, gamma[0::2])
    close(lattice.gamma * lattice.parity, gamma[1::2])


def close(ours: FloatArray, expected: FloatArray) -> None:
    scale = float(np.max(np.abs(expected)))
    assert np.max(np.abs(ours - expected)) < 1e-10 * scale
