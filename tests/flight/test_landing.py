"""Approach and flare: against the envelope's glide, energy, and the ranges of the notes."""

from __future__ import annotations

from dataclasses import replace
from math import radians

import numpy as np
import pytest

from foldwright.flight.landing import APPROACH, landing
from tests.flight.test_handling import DESIGNS, case, flown


@pytest.mark.parametrize("name", DESIGNS)
def test_the_approach_is_a_glide(name: str) -> None:
    """It sinks no slower than the least sink and glides no flatter than the best glide of the envelope."""
    found, flying = flown(name).landing, flown(name).envelope
    assert found.approach.value == pytest.approx(APPROACH * flying.stall.value)
    assert found.approach.low == pytest.approx(APPROACH * flying.stall.low)
    assert found.sink.value >= 0.999 * flying.sink.value
    assert 1.0 / np.tan(radians(found.angle.value)) <= 1.001 * flying.glide.value
    assert found.sink.value == pytest.approx(found.approach.value * np.sin(radians(found.angle.value)))


@pytest.mark.parametrize("name", DESIGNS)
def test_the_flare_is_short(name: str) -> None:
    """At 1.3 times the stall speed the wing carries at most 1.3² = 1.69 times the weight (first principles).

    Common practice, no source: a small aeroplane of board sinks at 1-2.5 m/s and flares within a metre.
    """
    found = flown(name).landing
    assert 1.2 < found.load.value <= 1.69 + 1e-9
    assert 1.0 < found.sink.value < 2.5
    work = found.flare.value * 9.80665 * (found.load.value - 1.0)
    assert work == pytest.approx(0.5 * found.sink.value**2)
    assert found.flare.value < 1.0
    ratio = found.energy_down.value / found.energy.value
    assert ratio == pytest.approx((found.sink.value / found.approach.value) ** 2)


def test_without_up_elevator_there_is_no_flare() -> None:
    """Missing, never a number."""
    one = case("marram")
    stiff = tuple(replace(each, control=replace(each.control, up=0.0, down=0.0)) for each in one.lift.rigged)
    found = landing(replace(one, lift=replace(one.lift, rigged=stiff)))
    assert found.load.value < flown("marram").landing.load.value
    assert found.flare.missing > 0.0 or found.flare.value > flown("marram").landing.flare.value


def test_more_travel_never_flares_higher() -> None:
    one = case("bracken")
    wide = tuple(
        replace(each, control=replace(each.control, up=radians(30.0), down=radians(30.0)))
        for each in one.lift.rigged
    )
    found = landing(replace(one, lift=replace(one.lift, rigged=wide)))
    assert found.flare.value <= flown("bracken").landing.flare.value + 1e-12
