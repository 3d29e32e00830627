"""Drive and launches in bulk, and against an integrator that takes one launch after the other."""

from __future__ import annotations

import time
from collections.abc import Callable
from functools import cache
from pathlib import Path

import numpy as np
import pytest
from pytest_benchmark.fixture import BenchmarkFixture
from scipy.integrate import solve_ivp

from foldwright.base.types import FloatArray
from foldwright.design.assumptions import assumptions_for
from foldwright.design.load import built_in_stock, load_design, load_workshop
from foldwright.evaluate import Evaluation, Results, evaluate
from foldwright.flight.air import field_air
from foldwright.flight.drag import drag
from foldwright.flight.launch import SECONDS, Thrower, Thrown, _push
from foldwright.flight.lift import Samples, derivatives
from foldwright.flight.shares import predictions, shares
from foldwright.make.charts import charts
from foldwright.physics.trajectory import HEIGHT, ROLL, rates, start

Figures = Callable[[str, float, float, str], None]
EXAMPLES = Path(__file__).parent.parent / "examples"
LAUNCHES = 1000
ALONE = 8
"""Launches that the one-by-one integrator flies."""


@cache
def judged() -> tuple[Evaluation, Results]:
    stock = built_in_stock()
    design = load_design(EXAMPLES / "marram.toml", stock=stock).value
    workshop = load_workshop(EXAMPLES / "workshops" / "school-laser.toml", stock=stock).value
    assert design is not None
    assert workshop is not None
    done = evaluate(design, workshop, stock)
    assert done.results is not None
    return done, done.results


def thrower() -> Thrower:
    """Marram ready to be thrown, the centre sample in every column."""
    done, results = judged()
    samples = assumptions_for(done.design, done.workshop).samples(256)
    air, speed = field_air(done.design), done.design.targets.launch_speed_m_s
    state = results.trims.launch.state
    slopes = derivatives(results.lift, results.balance.cg, float(state.alpha[0]), float(state.delta[0]))
    area = drag(results.airframe, done.design, samples, air, speed).area
    one = Thrower(
        results.airframe, results.lift, results.balance, results.flown.envelope.drive, samples,
        float(air.density), area, slopes,
    )  # fmt: skip
    return one.only(0, LAUNCHES)


def thrown(samples: Samples) -> Thrown:
    """A throw of each column: speeds, attitudes and trims all different."""
    spread = np.linspace(-1.0, 1.0, LAUNCHES)
    full = np.full_like(samples["warp_deg"], 1.0)
    return Thrown(
        9.0 * full + 0.7 * spread, np.radians(5.0 + 4.0 * spread), np.radians(5.0 * spread[::-1]), 0.6 * full,
        5.0 * full + 0.7 * spread[::-1], np.radians(0.2 * spread),
    )  # fmt: skip


def test_a_thousand_launches(benchmark: BenchmarkFixture, figures: Figures) -> None:
    plane = thrower()
    throw = thrown(plane.samples)
    benchmark.pedantic(lambda: plane.launches(throw), rounds=5, warmup_rounds=1)
    assert benchmark.stats is not None
    figures("1000 launches of 3 s", benchmark.stats.stats.median, 0.6, "s")


def test_against_one_launch_after_the_other(benchmark: BenchmarkFixture, figures: Figures) -> None:
    """The same right-hand side in scipy's solve_ivp (RK45 to 1 mm and 1e-4), one launch at a time."""
    plane, ones = thrower(), []
    throw = thrown(plane.samples)
    for column in range(0, LAUNCHES, LAUNCHES // ALONE):
        one = plane.only(column, 1)
        alone = Thrown(*(np.asarray(getattr(throw, key))[column : column + 1] for key in Thrown.__slots__))
        ones.append((one, alone))

    def run() -> list[float]:
        return [_alone(one, alone) for one, alone in ones]

    ends = benchmark.pedantic(run, rounds=3, warmup_rounds=1)
    began = time.perf_counter()
    many = plane.launches(throw)
    bulk = (time.perf_counter() - began) / LAUNCHES
    # both fly the same
    ours = many.track[-1, HEIGHT, :: LAUNCHES // ALONE]
    assert np.asarray(ends) == pytest.approx(ours, abs=0.02)
    assert benchmark.stats is not None
    each = benchmark.stats.stats.median / len(ones)
    figures("a launch in bulk over one by solve_ivp (at most 1/50)", bulk / each, 1.0 / 50.0, "")


def _alone(one: Thrower, alone: Thrown) -> float:
    """Height at the end of one launch."""
    push, body = _push(one, alone), one._rigid()  # noqa: SLF001 - the right-hand side itself
    first = start(1, alone.speed, alone.pitch)
    first[ROLL] = alone.bank

    def change(now: float, flat: FloatArray) -> FloatArray:
        state = flat[:, None]
        return np.asarray(rates(state, *push(state, now), body)[:, 0])

    done = solve_ivp(change, (0.0, SECONDS), first[:, 0], rtol=1e-4, atol=1e-3)
    return float(done.y[HEIGHT, -1])


def test_drive_equilibrium_in_bulk(benchmark: BenchmarkFixture, figures: Figures) -> None:
    """Speed of the propeller where motor and load agree, for 256 samples at 400 throttles and speeds."""
    _, results = judged()
    drive = results.flown.envelope.drive
    throttle = np.linspace(0.2, 1.0, 20)[:, None, None]
    speed = np.linspace(0.0, 20.0, 20)[None, :, None]
    points = 20 * 20 * 256
    benchmark.pedantic(lambda: drive.at(throttle, speed, 1.225), rounds=5, warmup_rounds=1)
    assert benchmark.stats is not None
    figures("drive equilibrium in bulk, a point", 1e6 * benchmark.stats.stats.median / points, 1.0, "µs")


def test_shares_of_all_predictions(benchmark: BenchmarkFixture, figures: Figures) -> None:
    done, results = judged()
    samples = done.assumptions.samples(256)

    def run() -> int:
        told = predictions(results.lift, results.balance, results.trims, results.flown)
        return len(shares(told, done.assumptions, samples))

    assert benchmark.pedantic(run, rounds=5, warmup_rounds=1) > 10
    assert benchmark.stats is not None
    figures("which input contributes most, all predictions", benchmark.stats.stats.median, 0.05, "s")


def test_all_charts(benchmark: BenchmarkFixture, figures: Figures) -> None:
    done, _ = judged()
    benchmark.pedantic(lambda: charts(done), rounds=5, warmup_rounds=1)
    assert benchmark.stats is not None
    figures("all charts drawn, before any format", benchmark.stats.stats.median, 0.25, "s")
