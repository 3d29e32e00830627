"""Tails, dihedral and controls: figures of hand-made surfaces against sums by hand (first principles)."""

from __future__ import annotations

from dataclasses import replace
from math import radians

import numpy as np
import pytest

from foldwright.airframe.model import LiftingSurface
from foldwright.base.messages import words
from foldwright.review.keys import pitch_control
from foldwright.review.rules import cure_keys
from foldwright.review.tails import (
    has_tail,
    largest_lying,
    largest_standing,
    mean_dihedral,
    nose_down_at_tip,
    quarter_sweep,
)
from tests.flight.layouts import control, fin, plate, tailplane, v_tail, wing
from tests.review.samples import judged, one, shaped

AILERON = control("aileron", 40.0, 200.0, 400.0, 180.0)
ELEVATOR = control("elevator", 40.0, 0.0, 160.0, 110.0)
ELEVON = control("elevon", 40.0, 100.0, 400.0, 180.0)
RUDDERVATOR = control("ruddervator", 40.0, 0.0, 200.0, 110.0)
RUDDER = control("rudder", 40.0, 0.0, 130.0, 110.0)


def trainer(
    main: LiftingSurface | None = None,
    tail: LiftingSurface | None = None,
    upright: LiftingSurface | None = None,
) -> tuple[LiftingSurface, ...]:
    """Wing 1000 x 180 mm with 5° of dihedral, tail 320 x 110 mm and fin 130 x 110 mm 502.5 mm behind it."""
    return (
        main or wing(AILERON, dihedral=radians(5.0)),
        tail or tailplane(ELEVATOR, half=160.0),
        upright or fin(RUDDER),
    )


def test_tail_volumes_by_hand() -> None:
    """320 x 110 x 502.5 / (180000 x 180) and 130 x 110 x 502.5 / (180000 x 1000), about x 245."""
    found = shaped("tailed trainer", *trainer())
    assert one(found, "T19").value == pytest.approx(35200.0 * 502.5 / (180000.0 * 180.0), abs=1e-4)
    assert one(found, "T20").value == pytest.approx(14300.0 * 502.5 / (180000.0 * 1000.0), abs=1e-4)
    assert (largest_lying(found.tail), largest_standing(found.tail)) == ("tailplane", "fin")


def test_a_v_tail_lies_and_stands() -> None:
    tail = shaped("v-tail", wing(), v_tail(RUDDERVATOR)).tail
    assert largest_lying(tail) == largest_standing(tail) != ""
    assert has_tail(tail)


def test_leaning_fins_are_no_tail() -> None:
    """Fins at the tips, 15° off upright: cos² 75° = 7 % of them lie."""
    lean = radians(15.0)
    top = [330.0, 500.0 + 120.0 * np.sin(lean), 120.0 * np.cos(lean)]
    leaning = plate("fin", [[300.0, 500.0, 0.0], top], [90.0, 60.0], "fin")
    assert not has_tail(shaped("tailless pusher", wing(ELEVON), leaning).tail)


def test_a_trainer_as_is_usual_is_clear() -> None:
    subject = shaped("tailed trainer", *trainer())
    for code in ("T19", "T20", "T21", "T22", "T23", "T24"):
        assert one(subject, code).verdict == "clear", code
    assert judged(subject, "T15") == judged(subject, "T25") == ()


@pytest.mark.parametrize(
    ("surfaces", "code", "where", "value", "says"),
    [
        (trainer(tail=tailplane(ELEVATOR, half=60.0)), "T19", "tailplane", 0.2047, "0.2"),
        (trainer(tail=tailplane(ELEVATOR, half=250.0)), "T19", "tailplane", 0.8530, "0.85"),
        (trainer()[::2], "T19", "part", 0.0, "no level tail"),
        (trainer(upright=fin(RUDDER, rise=50.0)), "T20", "fin", 0.01535, "0.015"),
        (trainer()[:2], "T20", "part", 0.0, "no fin"),
        (trainer(main=wing(AILERON)), "T21", "wing", 0.0, "rises by 0.0°"),
        (trainer(main=wing(dihedral=radians(5.0))), "T21", "wing", 5.0, "without a control that rolls"),
        (
            trainer(main=wing(control("aileron", 20.0, 200.0, 400.0, 180.0), dihedral=radians(5.0))),
            "T22", "wing.control.aileron.chord_mm", 4.4275, "4.4 %",
        ),
        (
            trainer(tail=tailplane(control("elevator", 22.0, 0.0, 160.0, 110.0), half=160.0)),
            "T23", "tailplane.control.elevator.chord_mm", 20.0, "20.0 %",
        ),
    ],
)  # fmt: skip
def test_what_is_unusual_is_watched(
    surfaces: tuple[LiftingSurface, ...], code: str, where: str, value: float, says: str
) -> None:
    """Values by hand: 13200, 55000 mm² of tail and 5500 mm² of fin at 502.5 mm; 2 x 200 x 20 mm² of a wing of
    180000 mm² seen from above, so of 180000 / cos 5° in its own planes."""
    finding = one(shaped("tailed trainer", *surfaces), code)
    assert (finding.code, finding.verdict, finding.where) == (code, "watch", where)
    assert finding.value == pytest.approx(value, abs=2e-4)
    assert says in words(finding).says


def test_dihedral_without_ailerons_is_more() -> None:
    assert one(shaped("tailed trainer", *trainer(main=wing(dihedral=radians(8.0)))), "T21").verdict == "clear"
    finding = one(shaped("tailed trainer", *trainer(main=wing(AILERON, dihedral=radians(8.0)))), "T21")
    assert (finding.verdict, finding.limit) == ("watch", 6.0)


def test_polyhedral_counts_as_the_tips_rise_over_the_half_span() -> None:
    """250 mm at 2° and 250 mm at 10°: atan((8.73 + 44.08) / 500) = 6.03°."""
    rise = 250.0 * np.tan(radians(2.0)), 250.0 * np.tan(radians(10.0))
    le = [[200.0, 0.0, 0.0], [200.0, 250.0, rise[0]], [200.0, 500.0, rise[0] + rise[1]]]
    assert mean_dihedral(plate("wing", le, [180.0] * 3, "wing")) == pytest.approx(6.03, abs=0.01)


@pytest.mark.parametrize(
    ("surfaces", "slope", "verdict", "says"),
    [
        (trainer(), 0.0, "clear", "the aileron rolls it"),
        ((wing(), tailplane(ELEVATOR), fin(RUDDER)), -0.08, "clear", "the rudder banks it by its dihedral"),
        ((wing(), tailplane(ELEVATOR), fin(RUDDER)), -0.04, "watch", "slowly"),
        ((wing(), tailplane(ELEVATOR), fin(RUDDER)), 0.0, "no-go", "hardly banks it"),
        ((wing(), tailplane(ELEVATOR), fin()), -0.2, "no-go", "no control rolls it and none yaws it"),
        (
            (wing(), v_tail(RUDDERVATOR)),
            -0.08,
            "clear",
            "ruddervator banks",
        ),
        ((wing(ELEVON),), 0.0, "clear", "the elevon rolls it"),
        ((wing(control("flap", 40.0, 0.0, 200.0, 180.0)), tailplane(ELEVATOR)), 0.0, "no-go", "no control"),
    ],
)
def test_there_is_a_way_to_bank(
    surfaces: tuple[LiftingSurface, ...], slope: float, verdict: str, says: str
) -> None:
    finding = one(shaped("other", *surfaces, slopes={"Cl_beta": slope}), "T24")
    assert (finding.verdict, finding.where, finding.value) == (verdict, "part", slope)
    assert says in words(finding).says


def swept(sweep_deg: float, nose_down_deg: float) -> LiftingSurface:
    main = wing(ELEVON, sweep=radians(sweep_deg))
    return replace(
        main, twist=np.array([0.0, -radians(nose_down_deg)]), folding_twist=np.array([0.0, radians(0.7)])
    )


@pytest.mark.parametrize(
    ("sweep", "turn", "verdict"), [(20.0, 2.0, "clear"), (20.0, 1.0, "watch"), (20.0, -0.7, "watch")]
)
def test_a_swept_tailless_wing_wants_washout(sweep: float, turn: float, verdict: str) -> None:
    finding = one(shaped("swept tailless", swept(sweep, turn), fin()), "T25")
    assert finding.verdict == verdict
    assert finding.value == pytest.approx(turn)
    assert "0.7° nose-up" in words(finding).says
    assert quarter_sweep(swept(sweep, turn)) == pytest.approx(sweep)
    assert nose_down_at_tip(swept(sweep, turn)) == pytest.approx(turn)


def test_washout_is_not_asked_of_little_sweep_nor_of_a_wing_with_a_tail() -> None:
    assert judged(shaped("swept tailless", swept(8.0, 0.0), fin()), "T25") == ()
    assert judged(shaped("swept tailless", swept(20.0, 0.0), tailplane()), "T25") == ()


def test_the_control_that_trims_is_found_on_its_own_surface() -> None:
    """Two controls of one id: the station says which surface it means; an elevator goes before elevons."""
    twice = (
        control("elevon", 40.0, 0.0, 100.0, 180.0, "edge"),
        control("elevator", 30.0, 0.0, 100.0, 110.0, "edge"),
    )
    subject = shaped("tailed trainer", wing(twice[0]), tailplane(twice[1]))
    assert pitch_control(subject) == (subject.airframe.surfaces[1], twice[1])
    station = subject.lift.station
    assert station is not None
    moved = replace(subject, lift=replace(subject.lift, station=replace(station, surface="wing")))
    assert pitch_control(moved) == (subject.airframe.surfaces[0], twice[0])


def test_keys_of_surfaces_that_the_file_does_not_have_are_not_offered() -> None:
    subject = shaped("tailed trainer", *trainer())
    assert cure_keys("T19", subject) == ()
    assert {key.key for key in cure_keys("T20", subject)} >= {"fin.taper.height_mm", "fin.taper.root_mm"}
    assert {key.key for key in cure_keys("T23", subject)} == {
        "tailplane.control.elevator.chord_mm", "tailplane.control.elevator.inner_mm"
    }  # fmt: skip


def test_canard_volume_counts_ahead_as_behind() -> None:
    """A canard 400 mm ahead: arm 245 - (-182.5) = 427.5 mm, 240 x 70 mm."""
    ahead = plate("canard", [[-200.0, 0.0, 0.0], [-200.0, 120.0, 0.0]], [70.0, 70.0], "canard",
                  (control("elevator", 30.0, 0.0, 120.0, 70.0),))  # fmt: skip
    found = one(shaped("canard", wing(AILERON), ahead), "T19")
    assert found.value == pytest.approx(240.0 * 70.0 * 427.5 / (180000.0 * 180.0), abs=1e-4)
    assert found.where == "canard"
