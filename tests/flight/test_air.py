"""All of it from one call, and the modes of the demo aeroplanes against the ranges of the notes.

Typical plank at 12 m/s (flight notes): short period 0.4-0.7 s with damping about 0.5, phugoid
about 6 s with damping 0.1-0.2, Dutch roll 0.7-1 s with damping about 0.09, roll within 0.1 s.
"""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest

from foldwright.flight.air import Flown, Ready, field_air, fly
from foldwright.physics.atmosphere import density_height, standard_air
from foldwright.physics.modes import lanchester_period
from tests.flight.test_level import worked

DESIGNS = ["marram", "teasel", "bracken"]


@cache
def flown(name: str) -> Flown:
    done, results, samples = worked(name)
    ready = Ready(results.airframe, results.lift, results.balance, results.trims, samples)
    return fly(ready, done.design, results.fitted, "interactive")


def test_the_fields_air() -> None:
    """Standard air at sea level is what the files' defaults mean."""
    done, _, _ = worked("marram")
    air, standard = field_air(done.design), standard_air(0.0)
    assert float(air.density) == 1.225
    assert float(air.viscosity) == pytest.approx(float(standard.viscosity), rel=1e-9)
    assert flown("marram").density_height == pytest.approx(density_height(1.225))


def test_modes_of_marram_lie_where_the_notes_expect_them() -> None:
    modes = flown("marram").modes
    assert 0.35 <= modes.short_period.period.value <= 0.8
    assert 0.4 <= modes.short_period.damping.value <= 0.7
    assert 5.0 <= modes.phugoid.period.value <= 7.5
    assert 0.08 <= modes.phugoid.damping.value <= 0.25
    assert 0.6 <= modes.dutch_roll.period.value <= 1.1
    assert 0.05 <= modes.dutch_roll.damping.value <= 0.15
    assert 0.04 <= modes.roll.value <= 0.15


@pytest.mark.parametrize("name", DESIGNS)
def test_the_phugoid_is_near_lanchesters(name: str) -> None:
    """Lanchester's period holds for constant energy; drag, moments and thrust change it by a fifth or so."""
    modes = flown(name).modes
    assert modes.phugoid.period.value == pytest.approx(lanchester_period(modes.speed), rel=0.5)
    assert modes.phugoid.period.value > 5.0 * modes.short_period.period.value


@pytest.mark.parametrize("name", DESIGNS)
def test_bands_of_the_modes_hold_their_values(name: str) -> None:
    modes = flown(name).modes
    swings = (modes.short_period, modes.phugoid, modes.dutch_roll)
    for band in (modes.roll, modes.spiral, *(b for s in swings for b in (s.period, s.damping))):
        assert band.low <= band.value <= band.high
        assert np.isfinite(band.value)


def test_the_interactive_detail_throws_nothing() -> None:
    assert flown("teasel").throw is None
    assert flown("teasel").power.climb.value > 0.0
