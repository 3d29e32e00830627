"""Tail volumes, downwash and shares in the stability.

Sources
1. Geometry, first principles.
2. B. Etkin, L. D. Reid, *Dynamics of Flight*, 3rd ed., sections 2.3 and 3.9.
3. P. E. Purser, J. P. Campbell, NACA Report 823, 1945.
"""

from __future__ import annotations

from dataclasses import replace
from math import cos, radians, sin

import numpy as np
import pytest

from foldwright.airframe.model import Airframe
from foldwright.flight.lift import Lift, derivatives, lift
from foldwright.flight.tail import TailEffect, shares, tail_effect
from tests.flight.layouts import (
    CHORD,
    ELEVATOR,
    ELEVON,
    FORE_ELEVATOR,
    HALF,
    RUDDER,
    RUDDERVATOR,
    canard,
    craft,
    fin,
    tailplane,
    trainer,
    v_tail,
    wing,
)
from tests.flight.plank import EXACT, samples

CG = 250.0
AREA = 2.0 * HALF * CHORD


def effect(frame: Airframe) -> tuple[Lift, TailEffect]:
    found = lift(frame, "final", samples(1, **EXACT))
    return found, tail_effect(found, frame, CG)


def test_volumes_of_a_trainer() -> None:
    """Source 1: 400 x 110 tail, its quarter chord at 747.5; fin 110 x 130."""
    _, found = effect(trainer())
    arm = 720.0 + 27.5 - CG
    assert found.lying[0].arm == pytest.approx(arm)
    assert found.volume == pytest.approx(400.0 * 110.0 * arm / (AREA * CHORD))
    assert found.fin_volume == pytest.approx(110.0 * 130.0 * arm / (AREA * 2.0 * HALF))
    assert 0.4 < found.volume < 0.8


def test_neutral_shift_is_what_the_neutral_point_loses_without_the_tail() -> None:
    """Source 1: the wing alone lacks the tail's load, and the little that the tail does to the wing."""
    whole, found = effect(craft(wing(), tailplane(ELEVATOR)))
    bare = lift(craft(wing()), "final", samples(1, **EXACT))
    lost = (whole.neutral_lattice - bare.neutral_lattice) / whole.mean.chord
    assert found.lying[0].neutral_shift == pytest.approx(lost, rel=0.02)


@pytest.mark.parametrize("frame", [trainer(), craft(wing(), v_tail(RUDDERVATOR)), craft(wing(), canard())])
def test_neutral_shift_is_the_handbooks_with_our_downwash_and_slope(frame: Airframe) -> None:
    """Source 2: a_t S_t/S (1 - dε/dα) times the arm between the lifts, over the whole slope; the arm is taken
    to the tail's quarter chord, from which its lift stands a few mm."""
    whole, found = effect(frame)
    (tail,) = found.lying
    part = tail.slope * tail.area / AREA * (1.0 - tail.downwash.value)
    rest = whole.pitch.cl_alpha - part
    x_rest = whole.neutral_lattice / whole.mean.chord - tail.neutral_shift
    arm = (tail.arm + CG) / whole.mean.chord - x_rest
    assert tail.neutral_shift == pytest.approx(part * arm / (part + rest), rel=0.02)


def test_downwash_at_a_tail_and_upwash_at_a_canard() -> None:
    _, behind = effect(trainer())
    assert behind.lying[0].downwash.value == pytest.approx(0.40, abs=0.05)
    assert behind.lying[0].downwash.low < behind.lying[0].downwash.value < behind.lying[0].downwash.high
    _, ahead = effect(craft(wing(ELEVON), canard(FORE_ELEVATOR)))
    (fore,) = ahead.lying
    assert fore.ahead
    assert fore.downwash.value < 0.0
    assert fore.arm < 0.0
    assert fore.neutral_shift < -0.1
    assert ahead.volume == 0.0  # a foreplane is no tail volume


def test_downwash_at_zero_is_what_the_wings_incidence_gives() -> None:
    """Source 1, linear: a wing set 3 degrees nose-up washes the tail as 3 degrees of incidence do, but for
    what the tail's own lift, which it has in the one case only, does to the wing."""
    set_up = replace(wing(), twist=np.full(2, radians(3.0)))
    _, found = effect(craft(set_up, tailplane(ELEVATOR)))
    (tail,) = found.lying
    assert tail.downwash_zero.value == pytest.approx(3.0 * tail.downwash.value, rel=0.03)
    _, level = effect(craft(wing(), tailplane(ELEVATOR)))
    assert level.lying[0].downwash_zero.value == pytest.approx(0.0, abs=1e-9)


def test_tails_own_incidence_is_no_downwash() -> None:
    turned = replace(tailplane(ELEVATOR), twist=np.full(2, radians(-2.0)))
    _, found = effect(craft(wing(), turned))
    # what the tail does to the wing comes back to it: a trace
    assert abs(found.lying[0].downwash_zero.value) < 0.03


@pytest.mark.parametrize("degrees", [30.0, 40.0, -35.0])
def test_v_tail_is_worth_cos_and_sin_squared(degrees: float) -> None:
    """Source 3."""
    angle = radians(degrees)
    surface = v_tail(RUDDERVATOR, angle=angle)
    assert shares(surface) == pytest.approx((cos(angle) ** 2, sin(angle) ** 2))
    _, found = effect(craft(wing(), surface))
    (tail,), (stands,) = found.lying, found.standing
    assert tail.area == pytest.approx(400.0 * 110.0)
    assert tail.level_area == pytest.approx(tail.area * cos(angle) ** 2)
    assert stands.area == pytest.approx(tail.area * sin(angle) ** 2)
    assert tail.upright_area == stands.area
    assert stands.cn_beta > 0.0


def test_fins_share_of_the_weathercock_is_all_there_is_of_a_flat_aeroplane() -> None:
    """Source 1: no dihedral, no lift, no body: C_nβ comes from the fin alone. Another sum, 2 %."""
    frame = craft(wing(), tailplane(ELEVATOR), fin(RUDDER))
    found, tails = effect(frame)
    whole = derivatives(found, np.array([CG, 0.0, 0.0]), 0.0, 0.0)["Cn_beta"]
    assert tails.standing[0].cn_beta == pytest.approx(whole, rel=0.02)


def test_pair_of_fins_counts_both() -> None:
    """Source 1."""
    _, found = effect(craft(wing(), tailplane(ELEVATOR), fin(RUDDER, y=200.0, symmetric=True)))
    assert found.standing[0].area == pytest.approx(2.0 * 110.0 * 130.0)


def test_a_bare_wing_has_none() -> None:
    _, found = effect(craft(wing(ELEVON)))
    assert found.lying == ()
    assert found.standing == ()
    assert found.volume == found.fin_volume == 0.0
