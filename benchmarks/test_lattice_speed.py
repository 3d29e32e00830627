"""Time of the lattice, and its ratio to the bare linear solution in the same process.

Run with: pytest benchmarks/test_lattice_speed.py -s
Targets: 8 × 8 half wing, all derivatives, below 3 ms; the final lattice (16 × 12 a half and a pair of
5 × 6 tip fins) below 4 times numpy.linalg.solve of its full system, both halves, as many right-hand sides;
that of a tailed aeroplane (wing 16 × 12, tailplane 5 × 6, centre fin 5 × 6, four controls) below 10 ms, an
eighth of what its whole evaluation may take.
A busy second core upsets the threads of the linear algebra library; OPENBLAS_NUM_THREADS=1 is steadier.
"""

from __future__ import annotations

from collections.abc import Callable
from statistics import median
from time import perf_counter
from typing import Protocol

import numpy as np

from foldwright.physics.lattice import Derivatives, Flap, Reference, Shape, Surface, solve

REFERENCE = Reference(0.66 * 0.22, 0.22, 0.66, np.array([0.05, 0.0, 0.0]))
SHAPES = (
    Shape("pitch", "wing", Flap(0.78, 0.78, 0.1, 0.9)),
    Shape("roll", "wing", Flap(0.78, 0.78, 0.1, 0.9), -1),
)
ROUNDS = 60


class Benchmark(Protocol):
    """What is used of pytest-benchmark's fixture."""

    def pedantic(self, target: Callable[[], object], *, rounds: int, warmup_rounds: int) -> object: ...


def plate(
    name: str, le: list[list[float]], chord: list[float], n_span: int, n_chord: int, symmetric: bool = True
) -> Surface:
    """A flat, untwisted surface. le: (k, 3) leading edge, m; chord: (k,), m; panels along span and chord."""
    k = len(chord)
    return Surface(
        name=name,
        le=np.array(le),
        chord=np.array(chord),
        xi=np.array([0.0, 1.0]),
        camber=np.zeros((k, 2)),
        twist=np.zeros(k),
        symmetric=symmetric,
        n_chord=n_chord,
        n_span=n_span,
    )


def wing(n_span: int, n_chord: int) -> Surface:
    """Swept a little and with dihedral, so that no velocity component vanishes."""
    return plate("wing", [[0.0, 0.0, 0.0], [0.03, 0.33, 0.015]], [0.22, 0.22], n_span, n_chord)


def interactive() -> Derivatives:
    return solve([wing(8, 8)], SHAPES, REFERENCE).derivatives()


def final() -> Derivatives:
    """Everything: forms, derivatives, induced drag, strip loads, hinge moments."""
    fin = plate("fin", [[0.1, 0.33, 0.02], [0.145, 0.33, 0.14]], [0.115, 0.07], 5, 6)
    return solve([wing(16, 12), fin], SHAPES, REFERENCE).derivatives()


TAILED = (
    Shape("roll", "wing", Flap(0.78, 0.78, 0.5, 0.95), -1),
    Shape("droop", "wing", Flap(0.78, 0.78, 0.5, 0.95)),
    Shape("pitch", "tail", Flap(0.6, 0.6)),
    Shape("yaw", "fin", Flap(0.6, 0.6), -1),
)


def tailed() -> Derivatives:
    """Everything of a wing with dihedral, a tailplane behind and below it, and a fin on that."""
    tail = plate("tail", [[0.5, 0.0, -0.03], [0.5, 0.17, -0.03]], [0.11, 0.11], 5, 6)
    fin = plate("fin", [[0.5, 0.0, -0.03], [0.53, 0.0, 0.1]], [0.11, 0.08], 5, 6, symmetric=False)
    return solve([wing(16, 12), tail, fin], TAILED, REFERENCE).derivatives()


def bare() -> Callable[[], object]:
    """The full system of the final lattice without symmetry: 2 × (192 + 30) = 444 horseshoes."""
    size, sides = 2 * (16 * 12 + 5 * 6), len(interactive().states)
    rng = np.random.default_rng(1)
    matrix = rng.standard_normal((size, size)) + size * np.eye(size)
    right = rng.standard_normal((size, sides))
    return lambda: np.linalg.solve(matrix, right)


def times(*tasks: Callable[[], object]) -> list[float]:
    """Median time of every task [ms], taken in turn so that a slow spell hits all alike."""
    found: list[list[float]] = [[] for _ in tasks]
    for _ in range(ROUNDS + 5):
        for spent, task in zip(found, tasks, strict=True):
            start = perf_counter()
            task()
            spent.append((perf_counter() - start) * 1e3)
    return [median(spent[5:]) for spent in found]


def test_interactive(benchmark: Benchmark) -> None:
    benchmark.pedantic(interactive, rounds=ROUNDS, warmup_rounds=5)


def test_final(benchmark: Benchmark) -> None:
    benchmark.pedantic(final, rounds=ROUNDS, warmup_rounds=5)


def test_tailed(benchmark: Benchmark) -> None:
    benchmark.pedantic(tailed, rounds=ROUNDS, warmup_rounds=5)


def test_bare_solution(benchmark: Benchmark) -> None:
    benchmark.pedantic(bare(), rounds=ROUNDS, warmup_rounds=5)


def test_ratio(figures: Callable[[str, float, float, str], None]) -> None:
    """The best of three series: a machine busy with other work slows all tasks, not always alike."""
    series = [times(interactive, final, tailed, bare()) for _ in range(3)]
    figures("lattice, 8 x 8 half wing, all derivatives", min(row[0] for row in series), 3.0, "ms")
    figures("lattice, final over the bare solution", min(row[1] / row[3] for row in series), 4.0, "x")
    figures("lattice, final, wing, tail and fin", min(row[2] for row in series), 10.0, "ms")
    assert all(spent > 0.0 for one in series for spent in one)
