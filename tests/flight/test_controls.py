"""Which way controls turn the aeroplane: every kind on every layout, with the answer known beforehand.

First principles throughout. The steps: which way does the trailing edge go, where does the force point, on
which side of the centre of gravity does it act.
"""

from __future__ import annotations

from dataclasses import replace
from math import radians

import numpy as np
import pytest

from foldwright.airframe.model import Airframe
from foldwright.flight.controls import answering, mixed, rigged
from foldwright.flight.lift import derivatives, lift
from foldwright.flight.planform import shapes
from foldwright.physics.lattice import Twist
from tests.flight.layouts import (
    AILERON,
    ELEVATOR,
    ELEVON,
    FORE_ELEVATOR,
    RUDDER,
    RUDDERVATOR,
    canard,
    control,
    craft,
    fin,
    plate,
    tailplane,
    trainer,
    v_tail,
    wing,
)
from tests.flight.plank import EXACT, samples

CG = np.array([240.0, 0.0, 10.0])


def slopes(frame: Airframe, alpha: float = 0.05) -> dict[str, float]:
    """Derivatives about x = 240."""
    return dict(derivatives(lift(frame, "interactive", samples(1, **EXACT)), CG, alpha, 0.0))


def test_elevator_down_on_a_tail_pitches_nose_down() -> None:
    found = slopes(trainer())
    assert found["Cm_elevator/pitch"] < -0.3
    assert found["CL_elevator/pitch"] > 0.0
    assert found["Cm_pitch"] == found["Cm_elevator/pitch"]


def test_elevator_down_on_a_canard_pitches_nose_up() -> None:
    found = slopes(craft(wing(), canard(FORE_ELEVATOR), fin()))
    assert found["Cm_elevator/pitch"] > 0.3
    # positive pitch stick is nose-down on every layout: the canard's trailing edge goes up
    assert found["Cm_pitch"] == -found["Cm_elevator/pitch"]
    assert found["CL_pitch"] < 0.0


def test_a_foreplane_is_known_by_its_place_or_by_its_role() -> None:
    named = canard(FORE_ELEVATOR)
    for each in (named, replace(named, role="tailplane")):
        (only,) = rigged((wing(), each))
        assert only.sense == (-1.0, 1.0, -1.0)
    (aft,) = rigged((wing(), tailplane(ELEVATOR)))
    assert aft.sense == (1.0, 1.0, 1.0)


def test_canard_and_elevons_work_together() -> None:
    """Nose-down: canard up, elevons down; the mixed moment is the sum of both."""
    found = slopes(craft(wing(ELEVON), canard(FORE_ELEVATOR), fin()))
    assert found["Cm_pitch"] == pytest.approx(found["Cm_elevon/pitch"] - found["Cm_elevator/pitch"])
    assert found["Cm_pitch"] < found["Cm_elevon/pitch"] < 0.0
    assert found["Cl_roll"] == found["Cl_elevon/roll"] < 0.0


@pytest.mark.parametrize("kind", ["aileron", "elevon", "flaperon"])
def test_right_aileron_down_rolls_left(kind: str) -> None:
    found = slopes(craft(wing(control(kind, 40.0, 250.0, 480.0, 180.0)), tailplane(ELEVATOR)))
    assert found[f"Cl_{kind}/roll"] < -0.05
    assert found["Cl_roll"] == found[f"Cl_{kind}/roll"]


def test_ailerons_yaw_adversely_at_lift() -> None:
    """The wing that goes up drags more: right aileron down, left roll, nose right, along the flight path."""
    found = slopes(craft(wing(AILERON), tailplane(ELEVATOR)), 0.1)
    assert found["Cn_roll"] - 0.1 * found["Cl_roll"] > 0.0


def test_flaps_lift_and_answer_no_stick() -> None:
    flap = control("flap", 40.0, 60.0, 240.0, 180.0)
    frame = craft(wing(flap, AILERON), tailplane(ELEVATOR))
    found = slopes(frame)
    assert found["CL_flap/pitch"] > 0.2
    assert "CL_flap/roll" not in found
    assert mixed(rigged(frame.surfaces), "pitch") == {"elevator/pitch": 1.0}
    assert mixed(rigged(frame.surfaces), "roll") == {"aileron/roll": 1.0}


def test_rudder_to_the_right_yaws_nose_right() -> None:
    """Trailing edge right pushes the tail left."""
    found = slopes(trainer())
    assert found["CY_rudder/yaw"] < 0.0
    assert found["Cn_rudder/yaw"] > 0.02
    assert found["Cn_yaw"] == found["Cn_rudder/yaw"]
    assert found["Cl_yaw"] < 0.0  # pushed left above the axis: rolls left


def test_twin_rudders_go_the_same_way() -> None:
    """Both trailing edges right: one state, odd in the mirror, twice a single one's moment or so."""
    pair = slopes(craft(wing(), tailplane(ELEVATOR), fin(RUDDER, y=120.0, symmetric=True)))
    single = slopes(craft(wing(), tailplane(ELEVATOR), fin(RUDDER)))
    assert pair["Cn_yaw"] == pytest.approx(2.0 * single["Cn_yaw"], rel=0.25)
    assert pair["CL_rudder/yaw"] == 0.0


def test_a_rudder_that_hangs_answers_the_pedals_alike() -> None:
    """The line to the tip falls, so the lattice's positive is trailing edge left: the sense turns it."""
    frame = craft(wing(), tailplane(ELEVATOR), fin(RUDDER, rise=-130.0))
    found = slopes(frame)
    assert found["Cn_rudder/yaw"] < 0.0
    assert found["Cn_yaw"] > 0.02
    assert found["Cl_yaw"] > 0.0  # pushed left below the axis: rolls right


def test_rudder_on_the_nose() -> None:
    """Trailing edge right ahead of the balance point pushes the nose left: pedals work it the other way."""
    nose = plate("nose fin", [[-100, 0, 0], [-100, 0, 100]], [80, 80], "fin", (RUDDER,), symmetric=False)
    found = slopes(craft(wing(ELEVON), nose))
    assert found["Cn_rudder/yaw"] < 0.0
    assert found["Cn_yaw"] > 0.0


@pytest.mark.parametrize("angle", [35.0, 50.0, -35.0])
def test_ruddervators(angle: float) -> None:
    """Both down: lift at the tail, nose down. A V: right down, left up, tail to the left, nose right; a V
    that hangs does the opposite, and its pedals are reversed for it."""
    found = slopes(craft(wing(AILERON), v_tail(RUDDERVATOR, angle=radians(angle))))
    assert found["Cm_ruddervator/pitch"] < -0.1
    assert found["CL_ruddervator/pitch"] > 0.0
    assert found["CY_ruddervator/pitch"] == 0.0
    assert np.sign(found["Cn_ruddervator/yaw"]) == np.sign(angle)
    assert found["Cn_yaw"] == abs(found["Cn_ruddervator/yaw"])
    assert found["Cm_pitch"] == found["Cm_ruddervator/pitch"]


def test_ruddervators_roll_as_a_tall_fin_would() -> None:
    """Nose right on an upright V: the force to the left stands above the axis: rolls left."""
    assert slopes(craft(wing(AILERON), v_tail(RUDDERVATOR)))["Cl_yaw"] < 0.0


def test_an_all_moving_tail_is_its_own_incidence() -> None:
    """The whole section turns: more than a flap of 36 % chord, and no hinge in the lattice."""
    moving = replace(control("elevator", 82.0, 0.0, 200.0, 110.0), all_moving=True)
    frame = craft(wing(AILERON), tailplane(moving), fin())
    assert [type(each.kind) for each in shapes(frame) if each.surface == "tailplane"] == [Twist]
    whole, flap = slopes(frame), slopes(craft(wing(AILERON), tailplane(ELEVATOR), fin()))
    assert whole["Cm_elevator/pitch"] < 1.2 * flap["Cm_elevator/pitch"] < 0.0


def test_all_moving_canard_is_reversed_too() -> None:
    moving = replace(FORE_ELEVATOR, all_moving=True)
    found = slopes(craft(wing(AILERON), canard(moving), fin()))
    assert found["Cm_elevator/pitch"] > 0.0 > found["Cm_pitch"]


def test_elevons_on_a_tailplane_roll_as_well() -> None:
    found = slopes(craft(wing(), tailplane(control("elevon", 40.0, 0.0, 200.0, 110.0)), fin()))
    assert found["Cm_pitch"] < 0.0
    assert found["Cl_roll"] < 0.0


def test_two_controls_of_one_name_are_told_apart() -> None:
    frame = craft(wing(AILERON), tailplane(ELEVATOR), canard(FORE_ELEVATOR))
    names = [each.name for each in rigged(frame.surfaces)]
    assert names == ["aileron", "tailplane.elevator", "canard.elevator"]
    found = slopes(frame)
    assert found["Cm_pitch"] == pytest.approx(
        found["Cm_tailplane.elevator/pitch"] - found["Cm_canard.elevator/pitch"]
    )


def test_elevators_trim_before_elevons() -> None:
    frame = craft(wing(ELEVON), tailplane(ELEVATOR))
    assert [each.name for each in answering(rigged(frame.surfaces), "pitch")] == ["elevator", "elevon"]
    found = lift(frame, "interactive", samples(1))
    assert found.station is not None
    assert (found.station.control, found.station.surface, found.station.sense) == (
        "elevator",
        "tailplane",
        1.0,
    )
    assert [each.id for each in found.controls] == ["elevator", "elevon"]
    assert float(np.sum(found.shares)) == pytest.approx(1.0)
    assert [each.control for each in answering(found.rigged, "roll")] == [ELEVON]


def test_what_the_lattice_leaves_out_trims_nothing() -> None:
    """A single level surface to one side is not held (T04), and neither is its elevator."""
    one_sided = replace(tailplane(ELEVATOR), symmetric=False)
    found = lift(craft(wing(), one_sided), "interactive", samples(1))
    assert found.station is None
    assert found.controls == ()


def test_controls_are_measured_along_the_surface() -> None:
    """On a V-tail of 45 degrees a control over the outer half covers the outer half."""
    half = control("ruddervator", 40.0, 100.0, 200.0, 110.0)
    frame = craft(wing(), v_tail(half, angle=radians(45.0)))
    kinds = [each.kind for each in shapes(frame)]
    assert [(kind.eta0, kind.eta1) for kind in kinds] == [(0.5, 1.0), (0.5, 1.0)]


def test_viscosity_costs_flaps_but_not_whole_surfaces() -> None:
    """A flap keeps 0.8 of the sum; a tail that turns as a whole has no hinge line to lose anything at."""
    moving = replace(control("elevator", 82.0, 0.0, 200.0, 110.0), all_moving=True)
    full = samples(1, **{**EXACT, "flap_effectiveness": 1.0})
    for elevator, left in ((ELEVATOR, 0.8), (moving, 1.0)):
        frame = craft(wing(AILERON), tailplane(elevator), fin(RUDDER))
        lossy, clean = (lift(frame, "interactive", each) for each in (samples(1, **EXACT), full))
        assert float(lossy.eta[0]) == left
        one, other = (derivatives(each, CG, 0.0, 0.0) for each in (lossy, clean))
        assert one["Cm_pitch"] == pytest.approx(left * other["Cm_pitch"])
        for name in ("Cl_aileron/roll", "Cn_yaw", "CL_aileron/pitch"):
            assert one[name] == pytest.approx(0.8 * other[name])
