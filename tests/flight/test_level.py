"""Drag, drive and level flight of Marram and Teasel: balances that must hold, and the ranges of the notes.

Ranges (common practice, no source, from the flight notes): L/D 5-8, C_D 0.04-0.065 at 12 m/s, static thrust
4-5 N and 10-13 A of Marram's drive.
"""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from pathlib import Path

import numpy as np
import pytest

from foldwright.cli.inputs import read_inputs
from foldwright.design.equipment import Measured
from foldwright.evaluate import Evaluation, Results, evaluate
from foldwright.flight.drag import Drag, drag, drags
from foldwright.flight.drive import STATED, TESTED, drive_of, static
from foldwright.flight.level import Level, Plane, level
from foldwright.flight.lift import Samples
from foldwright.physics.atmosphere import standard_air
from foldwright.physics.friction import section_drag

EXAMPLES = Path(__file__).resolve().parents[2] / "examples"
SPEEDS = np.array([8.0, 10.0, 12.0, 16.0])


@cache
def worked(name: str) -> tuple[Evaluation, Results, Samples]:
    inputs = read_inputs(EXAMPLES / f"{name}.toml", EXAMPLES / "workshops" / "school-laser.toml", None)
    assert inputs.usable is not None
    done = evaluate(*inputs.usable, detail="interactive")
    assert done.results is not None
    return done, done.results, done.assumptions.samples(32)


def built_up(name: str, speed: float) -> Drag:
    done, results, samples = worked(name)
    return drag(results.airframe, done.design, samples, standard_air(0.0), speed)


@cache
def flown(name: str) -> tuple[Plane, Level]:
    done, results, samples = worked(name)
    plane = Plane(
        results.airframe,
        results.lift,
        results.balance,
        samples,
        drive_of(done.design, results.fitted, samples),
        1.225,
        SPEEDS,
        np.stack([built_up(name, float(v)).area for v in SPEEDS]),
    )
    return plane, level(plane)


def test_a_rectangular_wing_is_its_section_times_its_area() -> None:
    """First principles: one chord, one section: drag area = c_d S; Marram's wing is not tapered."""
    _, results, samples = worked("marram")
    wing = results.airframe.wing
    reynolds = 12.0 * 0.22 * 1.225 / float(standard_air(0.0).viscosity)
    wanted = 0.22 * 0.66 * section_drag(
        reynolds, wing.thickness, samples["laminar_share"], wing.trailing / 220.0, wing.step / 220.0,
        samples["step_factor"],
    ) * samples["section_drag_factor"]  # fmt: skip
    got = next(item.area for item in built_up("marram", 12.0).items if item.name == "wing")
    assert got == pytest.approx(wanted, rel=1e-8)


def test_build_ups_of_many_speeds_are_those_of_each() -> None:
    """Side by side equals one by one, for a tapered fin, legs and a body as well."""
    done, results, samples = worked("teasel")
    many = drags(results.airframe, done.design, samples, standard_air(0.0), SPEEDS)
    assert [each.speed for each in many] == SPEEDS.tolist()
    for each in many:
        alone = built_up("teasel", each.speed)
        assert [item.name for item in each.items] == [item.name for item in alone.items]
        for item, other in zip(each.items, alone.items, strict=True):
            assert item.area == pytest.approx(other.area, rel=1e-12)


def test_every_part_of_the_aeroplane_has_its_line() -> None:
    names = [item.name for item in built_up("teasel", 9.0).items]
    assert {"wing", "tail", "fin", "body", "main", "hinge lines", "junctions"} <= set(names)
    assert all(np.all(item.area > 0.0) for item in built_up("teasel", 9.0).items)


def test_drag_at_twelve_metres_a_second() -> None:
    plane, found = flown("marram")
    at = int(np.nonzero(SPEEDS == 12.0)[0][0])
    assert 0.04 <= found.drag[at, 0] <= 0.065
    assert 5.0 <= np.nanmax(found.lift[:, 0] / found.drag[:, 0]) <= 8.0
    assert plane.drag_area.shape == found.drag.shape


def test_thrust_carries_drag_and_lift_the_rest_of_the_weight() -> None:
    """First principles: along the path T cos = D, across it L + T sin = W, for every sample."""
    plane, found = flown("marram")
    lean = found.alpha + plane.airframe.thrust.tilt
    pressure = 0.5 * 1.225 * SPEEDS[:, None] ** 2 * plane.wing
    good = ~found.stalled
    across = found.lift * pressure + found.thrust * np.sin(lean)
    assert (found.thrust * np.cos(lean))[good] == pytest.approx(found.force[good], rel=2e-3)
    assert across[good] == pytest.approx(np.broadcast_to(plane.weight, good.shape)[good], rel=1e-3)


def test_the_drive_gives_the_thrust_at_the_throttle_found() -> None:
    plane, found = flown("marram")
    again = plane.drive.at(np.nan_to_num(found.throttle), SPEEDS[:, None], 1.225)
    good = np.isfinite(found.throttle)
    assert (again.thrust * plane.drive.count)[good] == pytest.approx(found.thrust[good], rel=1e-4)


def test_too_slow_stalls_and_too_fast_is_weak() -> None:
    """Teasel's two cells do not reach 16 m/s; nothing that has no answer shows a number."""
    _, found = flown("teasel")
    fast = int(np.nonzero(SPEEDS == 16.0)[0][0])
    assert found.weak[fast, 0]
    assert np.isnan(found.throttle[fast, 0])
    assert np.isnan(found.current[fast, 0])
    assert np.all(np.isnan(found.alpha[found.stalled]))


def test_a_sample_by_itself_is_what_it_is_among_others() -> None:
    """Vectorised equals one by one: the centre sample alone."""
    plane, found = flown("marram")
    one = {name: values[:1] for name, values in plane.samples.items()}
    done, results, _ = worked("marram")
    alone = level(
        replace(
            plane,
            lift=replace(results.lift, cm0=results.lift.cm0[:1], neutral_point=results.lift.neutral_point[:1],
                         eta=results.lift.eta[:1], cl_max=results.lift.cl_max[:1]),
            balance=replace(results.balance, cg_samples=results.balance.cg_samples[:1],
                            mass_samples=results.balance.mass_samples[:1]),
            samples=one, drive=drive_of(done.design, results.fitted, one), drag_area=plane.drag_area[:, :1],
        )
    )  # fmt: skip
    for name in ("thrust", "throttle", "current", "delta"):
        assert getattr(alone, name)[:, 0] == pytest.approx(getattr(found, name)[:, 0], rel=1e-9, nan_ok=True)


def test_static_thrust_and_what_it_rests_on() -> None:
    done, results, samples = worked("marram")
    stated = drive_of(done.design, results.fitted, samples)
    at_rest = static(stated)
    assert stated.basis == STATED
    assert at_rest.thrust.value == pytest.approx(4.4, rel=1e-6)  # the stock entry's figure
    assert 10.0 <= at_rest.current.value <= 13.0
    test = Measured(static_thrust_n=4.0, static_current_a=11.0)
    tested = drive_of(done.design.model_copy(update={"measured": test}), results.fitted, samples)
    assert tested.basis == TESTED
    assert static(tested).thrust.value == pytest.approx(4.0, rel=1e-6)
    assert static(tested).current.value == pytest.approx(11.0, rel=1e-3)
