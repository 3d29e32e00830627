"""Every layout through trim: tailed, V-tail, canard, tailless; joints, polyhedral wings, two motors.

Sources
1. First principles.
2. Own regression, fine grids.
"""

from __future__ import annotations

from dataclasses import replace
from math import radians

import numpy as np
import pytest

from foldwright.airframe.model import Airframe, Thrust
from foldwright.base.messages import words
from foldwright.flight.balance import Balance, balance
from foldwright.flight.lift import Lift, Samples, derivatives, lift
from foldwright.flight.planform import crowded, placed, surfaces
from foldwright.flight.thrust_line import thrust_line
from foldwright.flight.trim import Condition, span_share, static_thrust, trim, trims
from foldwright.physics.stream import contraction
from tests.flight.layouts import (
    AILERON,
    CHORD,
    ELEVATOR,
    ELEVON,
    FORE_ELEVATOR,
    FRONT,
    HALF,
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
from tests.flight.plank import EXACT, equipment, samples, targets

LAYOUTS: dict[str, Airframe] = {
    "trainer": trainer(),
    "V-tail": craft(wing(AILERON), v_tail(RUDDERVATOR)),
    "hanging V": craft(wing(AILERON), v_tail(RUDDERVATOR, angle=radians(-35.0))),
    "canard": craft(wing(AILERON), canard(FORE_ELEVATOR), fin()),
    "canard and elevons": craft(wing(ELEVON), canard(FORE_ELEVATOR), fin()),
    "swept, tailless": craft(wing(ELEVON, sweep=radians(30.0), tip=130.0)),
    "twin fins": craft(wing(AILERON), tailplane(ELEVATOR), fin(RUDDER, y=200.0, symmetric=True)),
}


def state(frame: Airframe, margin: float = 8.0) -> tuple[Airframe, Lift, Balance, Samples]:
    drawn = samples(1, **EXACT)
    air = lift(frame, "final", drawn)
    goal = targets(static_margin_pct=margin, static_margin_most_pct=30.0)
    return frame, air, balance(frame, equipment(slide=(-2000.0, 2000.0)), goal, air, drawn), drawn


@pytest.mark.parametrize("name", LAYOUTS)
def test_every_layout_trims(name: str) -> None:
    """Source 1: the moments of the trimmed state about the balance vanish, by the lattice's strips."""
    frame, air, weighed, drawn = state(LAYOUTS[name])
    found = trim(frame, air, weighed, drawn, Condition(11.0, 1.225))
    assert found.below_stall
    delta, alpha = float(found.state.delta[0]), float(found.state.alpha[0])
    slope = derivatives(air, weighed.cg, alpha, delta)
    lifted = slope["CL_alpha"] * (alpha - air.pitch.alpha0) + slope["CL_pitch"] * delta
    moment = float(air.cm0[0]) + slope["Cm_alpha"] * (alpha - air.pitch.alpha0) + slope["Cm_pitch"] * delta
    assert lifted == pytest.approx(float(found.state.lift[0]), rel=1e-9)
    assert moment == pytest.approx(0.0, abs=1e-9)


@pytest.mark.parametrize("name", LAYOUTS)
def test_flying_slower_wants_nose_up_control(name: str) -> None:
    """Source 1: with a margin, up elevator on a tail, down elevator on a canard."""
    frame, air, weighed, drawn = state(LAYOUTS[name])
    fast, slow = (trim(frame, air, weighed, drawn, Condition(speed, 1.225)) for speed in (14.0, 10.0))
    assert air.station is not None
    assert (slow.up.value - fast.up.value) * air.station.sense > 0.0
    assert slow.state.delta[0] < fast.state.delta[0]
    assert float(slow.delta.value) == pytest.approx(
        air.station.sense * float(np.degrees(slow.state.delta[0]))
    )


def test_stations_of_the_layouts() -> None:
    wanted = {
        "trainer": ("elevator", "tailplane", 40.0, 1.0),
        "V-tail": ("ruddervator", "v-tail", 40.0, 1.0),
        "canard and elevons": ("elevator", "canard", 35.0, -1.0),
        "swept, tailless": ("elevon", "wing", 40.0, 1.0),
    }
    for name, expected in wanted.items():
        station = lift(LAYOUTS[name], "interactive", samples(1)).station
        assert station is not None
        assert (station.control, station.surface, station.chord, station.sense) == expected


def test_ailerons_alone_do_not_trim() -> None:
    """Source 1: T01, though the wing has controls."""
    frame, air, weighed, drawn = state(craft(wing(AILERON), tailplane()))
    found, findings = trims(frame, air, weighed, targets(), drawn)
    assert found is None
    assert [each.code for each in findings] == ["T01"]
    assert "ruddervator" in words(findings[0]).cure


def test_an_elevator_that_does_next_to_nothing_is_said() -> None:
    """A sliver of 3 mm over 20 mm of span."""
    frame, air, weighed, drawn = state(craft(wing(), tailplane(control("elevator", 3.0, 0.0, 20.0, 110.0))))
    found, findings = trims(frame, air, weighed, targets(), drawn)
    assert found is None
    assert [(each.code, each.verdict, each.where) for each in findings] == [
        ("T05", "no-go", "tailplane.control.elevator")
    ]
    assert words(findings[0]).says.startswith("All pitch controls together give 0.0")


def test_power_as_edge_travel_on_a_canard_goes_the_other_way() -> None:
    """Source 1: a thrust line below the balance point pitches the nose up, as a canard's edge DOWN does."""
    low = Thrust(-200.0, 0.0, -40.0, 0.0, 4.0, 200.0)
    frames = [replace(LAYOUTS[name], thrust=low) for name in ("trainer", "canard")]
    tail, fore = (thrust_line(*state(frame)[:3], targets(), samples(1, **EXACT)) for frame in frames)
    assert tail.direction == fore.direction == "up"
    assert tail.edge_cruise.value > 0.0 > fore.edge_cruise.value


# Geometry ------------------------------------------------------------------------------------------------


def test_halves_beside_a_body_meet_on_the_centre_line() -> None:
    """A V-tail whose panels start 8 mm out is drawn on along itself; a boom's tail far out is not."""
    tail = v_tail(RUDDERVATOR, angle=radians(45.0))
    away = replace(tail, le=tail.le + np.array([0.0, 8.0, 8.0]))
    assert placed(away, (wing(), away))[0] == pytest.approx([720.0, 0.0, 0.0], abs=1e-9)
    far = replace(tail, le=tail.le + np.array([0.0, 60.0, 60.0]))
    assert placed(far, (wing(), far))[0] == pytest.approx(far.le[0])


def test_fin_is_welded_to_the_tailplane_it_stands_on() -> None:
    """Source 1: root 4 mm over the tailplane's plane; no gap is left under it. One on the body stays free."""
    on, off = fin(root=64.0), fin(root=100.0)
    plane = tailplane(ELEVATOR, height=60.0)
    assert placed(on, (wing(), plane, on))[0, 2] == pytest.approx(60.0)
    held = {each.name: each for each in surfaces(craft(wing(), plane, on), "final")}
    assert held["fin"].root_inset == 0.0
    assert placed(off, (wing(), plane, off))[0, 2] == pytest.approx(100.0)


def test_fin_glued_to_the_end_of_a_tip_closes_it() -> None:
    """Half a board outside the tip: moved on to it, and both ends are tight."""
    outside = plate("fin", [[230, HALF + 2.5, 0], [260, HALF + 2.5, 110]], [120, 80], "fin")
    frame = craft(wing(ELEVON), outside)
    held = {each.name: each for each in surfaces(frame, "final")}
    assert held["wing"].tip_inset == held["fin"].root_inset == 0.0
    assert held["fin"].le[:, 1] == pytest.approx([0.5, 0.5])
    inside = plate("fin", [[230, HALF - 40.0, 0], [260, HALF - 40.0, 110]], [120, 80], "fin")
    assert surfaces(craft(wing(ELEVON), inside), "final")[0].tip_inset is None


def test_a_canted_tip_continues_the_wing() -> None:
    """A tip panel raised by 40 degrees is no fin, but its root is the wing's tip: tight, a trace of lift more
    than the wing alone and no jump from a polyhedral wing of the same shape."""
    rise = plate("tip", [[FRONT, HALF, 0], [FRONT + 20, HALF + 77.0, 64.0]], [CHORD, 100.0], "other")
    frame = craft(wing(ELEVON), rise)
    held = {each.name: each for each in surfaces(frame, "final")}
    assert held["wing"].tip_inset == held["tip"].root_inset == 0.0
    le = [[FRONT, 0, 0], [FRONT, HALF, 0], [FRONT + 20, HALF + 77.0, 64.0]]
    whole = lift(craft(plate("wing", le, [CHORD, CHORD, 100.0], "wing")), "final", samples(1))
    parts = lift(frame, "final", samples(1))
    areas = whole.mean.area / parts.mean.area
    assert parts.pitch.cl_alpha == pytest.approx(whole.pitch.cl_alpha * areas, rel=0.01)
    assert parts.neutral_lattice == pytest.approx(whole.neutral_lattice, abs=0.01 * CHORD)


def test_moving_a_fin_out_to_the_tip_is_steady() -> None:
    """Source 1: nothing jumps on the way from 30 mm inside to the tip's end."""
    points, slopes = [], []
    for y in (470.0, 480.0, 485.0, 490.0, 494.0, 497.0, 499.0, 500.0, 502.0):
        end = plate("fin", [[230, y, 0], [260, y, 110]], [120, 80], "fin")
        found = lift(craft(wing(ELEVON), end), "final", samples(1))
        points.append(found.neutral_pct.value)
        slopes.append(found.pitch.cl_alpha)
    assert np.all(np.diff(points) > -1e-9)
    assert np.max(np.diff(points)) < 0.25
    assert np.max(np.diff(slopes)) < 0.015 * slopes[0]


@pytest.mark.parametrize("name", LAYOUTS)
def test_final_grid_is_fine_enough(name: str) -> None:
    """Source 2: interactive against final, neutral point within 0.7 % chord, slope within 1 %."""
    coarse, fine = (lift(LAYOUTS[name], detail, samples(1)) for detail in ("interactive", "final"))
    assert coarse.neutral_pct.value == pytest.approx(fine.neutral_pct.value, abs=0.7)
    assert coarse.pitch.cl_alpha == pytest.approx(fine.pitch.cl_alpha, rel=0.01)


def test_polyhedral_wing_has_lines_at_its_bends() -> None:
    le = [[FRONT, 0, 0], [FRONT, 300, 0], [FRONT, 420, 40], [FRONT, 500, 100]]
    bent = plate("wing", le, [CHORD] * 4, "wing", (ELEVON,))
    (held,) = surfaces(craft(bent), "final")
    assert held.lines == pytest.approx(tuple(held.arc[1:3] / held.arc[3]))
    assert derivatives(lift(craft(bent), "final", samples(1)), np.zeros(3), 0.0, 0.0)["Cl_beta"] < -0.02
    straight = plate("wing", [[FRONT, 0, 0], [FRONT, 200, 0], [FRONT, 500, 0]], [CHORD] * 3, "wing")
    assert surfaces(craft(straight), "final")[0].lines == ()


def test_many_stations_do_not_use_up_the_panels() -> None:
    """A round tip in a dozen stations: at most half of the lines, and it solves."""
    angle = np.linspace(0.0, 0.5 * np.pi, 12)
    y, front = 400.0 + 100.0 * np.sin(angle), FRONT + 90.0 * (1.0 - np.cos(angle))
    le = np.stack((np.r_[FRONT, front], np.r_[0.0, y], np.zeros(13)), axis=1)
    chord = np.r_[CHORD, np.maximum(CHORD - 2.0 * (front - FRONT), 0.0)]
    frame = craft(plate("wing", le, chord.tolist(), "wing", (ELEVON,)))
    for held in surfaces(frame, "interactive"):
        assert len(held.lines) <= 4
    assert lift(frame, "final", samples(1)).pitch.cl_alpha > 3.0


def test_washout_reaches_the_lattice() -> None:
    """Source 1: nose-down tips want more incidence, and on a swept wing pitch the nose up."""
    swept = wing(ELEVON, sweep=radians(30.0))
    washed = replace(swept, twist=np.array([0.0, radians(-4.0)]))
    plain, found = (lift(craft(each), "final", samples(1)).pitch for each in (swept, washed))
    assert radians(1.0) < found.alpha0 - plain.alpha0 < radians(2.5)
    assert found.cm0 > 0.015
    assert plain.cm0 == pytest.approx(0.0, abs=1e-12)


def test_surfaces_in_one_place_are_said() -> None:
    near = tailplane(ELEVATOR, x=300.0, height=10.0)
    (found,) = crowded(craft(wing(), near))
    assert (found.code, found.where) == ("T06", "tailplane")
    assert words(found).says.startswith("tailplane lies within 5.6 % of a chord of wing")
    assert crowded(trainer()) == ()
    assert crowded(craft(wing(), tailplane(ELEVATOR, x=300.0, height=60.0))) == ()


# Motors --------------------------------------------------------------------------------------------------


def test_two_motors_pull_twice() -> None:
    one, two = (Thrust(0.0, 150.0, 20.0, 0.0, 4.0, 180.0, mirrored) for mirrored in (False, True))
    drawn = samples(1, **EXACT)
    assert static_thrust(two, drawn) == pytest.approx(2.0 * static_thrust(one, drawn))


def test_share_of_a_span_in_the_streams_of_two_discs() -> None:
    """Source 1: discs of radius 60 about y = 150 and -150, a control from 100 to 300."""

    def share(span: tuple[float, float], radius: float, y: float, height: float = 0.0) -> float:
        return float(span_share(span, np.array([radius]), height, y)[0])

    assert share((100.0, 300.0), 60.0, 150.0) == pytest.approx((210.0 - 100.0) / 200.0)
    assert share((100.0, 300.0), 60.0, 400.0) == 0.0
    # discs that overlap the centre line: both streams over the root, counted once
    assert share((0.0, 100.0), 60.0, 40.0) == pytest.approx(1.0)
    assert share((0.0, 100.0), 60.0, 30.0) == pytest.approx(0.9)
    assert share((0.0, 100.0), 30.0, 50.0) == pytest.approx(0.6)
    assert share((0.0, 100.0), 60.0, 0.0, height=60.0) == 0.0


def test_a_slipstream_narrows_behind_its_disc() -> None:
    """Source 1, continuity: far behind a static disc to 1/√2, unchanged at it, ahead of it and unpowered."""
    assert float(contraction(5.0, 1e-6, 1.225, 0.1, -50.0)) == pytest.approx(0.5**0.5, rel=1e-4)
    assert float(contraction(5.0, 8.0, 1.225, 0.1, 0.0)) == 1.0
    assert float(contraction(5.0, 8.0, 1.225, 0.1, 1.0)) == 1.0
    assert float(contraction(0.0, 8.0, 1.225, 0.1, -1.0)) == 1.0


def test_a_nose_propeller_blows_on_the_tail() -> None:
    """Source 1: level thrust through the balance point leaves the moment alone; the elevator in the stream
    works harder, so it turns less; a tail far above the stream does not notice."""
    frame = craft(wing(AILERON), tailplane(ELEVATOR))
    drawn = samples(1, **EXACT)
    ups = []
    for height in (0.0, 200.0):
        made = craft(wing(AILERON), tailplane(ELEVATOR, height=height))
        _, air, weighed, _ = state(made)
        line = Thrust(0.0, 0.0, float(weighed.cg[2]), 0.0, 5.0, 203.0)
        powered = replace(made, thrust=line)
        pair = [trim(powered, air, weighed, drawn, Condition(9.0, 1.225, power)) for power in (0.0, 1.0)]
        ups.append([abs(each.up.value) for each in pair])
    assert ups[0][1] < 0.9 * ups[0][0]
    assert ups[1][1] == pytest.approx(ups[1][0], rel=1e-6)
    assert frame.thrust.count == 1
