"""Balance by statics, worked by hand.

The aeroplane without its battery: 150 g of board at x = 200, 80 g at 300, 50 g at 60: 280 g, 57 000 g·mm.
Every expected number here comes from first principles unless it says otherwise.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from foldwright.airframe.model import Airframe, MassItem
from foldwright.base.messages import words
from foldwright.design.model import Targets
from foldwright.design.resolve import Resolved
from foldwright.flight.balance import Balance, balance, ends
from foldwright.flight.lift import Lift, lift
from foldwright.flight.weights import (
    Ballast,
    least_ballast,
    moves_for,
    place_for,
    weights,
)
from foldwright.geometry.fold.mass import box_moments, point_moments
from tests.flight.plank import (
    CHORD,
    EXACT,
    LEADING,
    airframe,
    battery,
    box,
    equipment,
    mass,
    samples,
    targets,
    wing,
)

LIGHT_TAIL = (
    MassItem("wing/main", "board", point_moments(np.array([160.0, 0.0, 30.0]), 150.0)),
    mass("motor", 60.0, 300.0),
    mass("nose", 60.0, 20.0),
)
"""270 g, 24 000 + 18 000 + 1 200 = 43 200 g·mm: centre of gravity at 160 without the battery."""


def done(
    frame: Airframe | None = None,
    fitted: Resolved | None = None,
    wanted: Targets | None = None,
    n: int = 1,
    exact: bool = False,
) -> tuple[Balance, Lift]:
    body = frame or airframe(masses=LIGHT_TAIL)
    drawn = samples(n, **EXACT) if exact else samples(n)
    air = lift(body, "interactive", drawn)
    return balance(body, fitted or equipment(), wanted or targets(), air, drawn), air


def low_of(found: Balance) -> float:
    assert found.battery.low is not None
    return found.battery.low


def high_of(found: Balance) -> float:
    assert found.battery.high is not None
    return found.battery.high


def test_mass_and_centre_of_gravity() -> None:
    # Battery of 100 g at x = 45: (57 000 + 4 500)/380.
    found, _ = done(airframe(), equipment(x=45.0))
    assert found.mass.value == pytest.approx(380.0)
    assert found.cg[0] == pytest.approx(61500.0 / 380.0)
    assert found.cg[1] == pytest.approx(0.0)
    assert found.cg[2] == pytest.approx((150.0 * 30.0 + 130.0 * 20.0 + 100.0 * 20.0) / 380.0)
    assert found.wing_loading.value == pytest.approx(380.0 / 14.52)


def test_battery_reaches_the_wanted_point_exactly() -> None:
    found, air = done()
    goal = float(air.neutral_point[0]) - 0.08 * CHORD
    assert found.wanted.x == pytest.approx(goal)
    assert found.cg[0] == pytest.approx(goal, abs=1e-9)
    assert found.battery.x == pytest.approx(goal + (goal * 270.0 - 43200.0) / 100.0)
    assert found.battery.static_margin == pytest.approx(0.08)
    assert found.static_margin.value == pytest.approx(8.0)
    assert found.battery.fits
    assert found.battery.moves == ()
    assert found.battery.ballast is None


def test_faces_of_the_battery() -> None:
    place = done()[0].battery
    assert (place.front, place.rear) == pytest.approx((place.x - 35.0, place.x + 35.0))


def test_range_of_places_ends_at_the_limits() -> None:
    found, _ = done(fitted=equipment(slide=(-200.0, 400.0)))
    for x, limit in zip((low_of(found), high_of(found)), (found.forward.x, found.aft.x), strict=True):
        assert (43200.0 + 100.0 * x) / 370.0 == pytest.approx(limit)
    assert found.forward.margin_pct == pytest.approx(12.0)
    assert found.aft.margin_pct == pytest.approx(5.0)


def test_range_is_clipped_to_the_slide() -> None:
    free = done(fitted=equipment(slide=(-200.0, 400.0)))[0]
    middle = 0.5 * (low_of(free) + high_of(free))
    found = done(fitted=equipment(slide=(-200.0, middle + 35.0)))[0].battery
    assert (found.low, found.high) == pytest.approx((low_of(free), middle))
    assert found.rear <= middle + 35.0 + 1e-9


def test_battery_stops_at_the_end_of_its_slide_and_says_so() -> None:
    # The bay ends 20 mm behind where the balance wants the rear face: x = bay's end less half its length.
    free = done()[0].battery
    found = done(fitted=equipment(slide=(free.x + 100.0, free.x + 300.0)))[0].battery
    assert found.x == pytest.approx(free.x + 135.0)
    assert found.front == pytest.approx(free.x + 100.0)
    assert not found.fits
    assert (found.low, found.high, found.first) == (None, None, None)
    assert found.ballast is not None
    assert found.ballast.end == "nose"


def test_ballast_and_moves_bring_the_window_of_the_first_flights() -> None:
    """A builder who does what the card says must not end behind the card's own first-flight limit."""
    movable = MassItem(
        "camera", "equipment", point_moments(np.array([200.0, 0.0, 20.0]), 60.0), slide=(0, 250)
    )
    frame = airframe(masses=(*LIGHT_TAIL, movable), bodies=(box(0.0, 330.0),))
    free = done(frame, n=256)[0].battery
    found, _ = done(frame, equipment(slide=(free.x + 20.0, free.x + 300.0)), n=256)
    place, ballast = found.battery, found.battery.ballast
    assert place.cg_x > found.aft.x > found.first_aft.x
    assert ballast is not None
    loaded = place.mass * place.cg_x + ballast.mass * ballast.x
    assert loaded / (place.mass + ballast.mass) == pytest.approx(found.first_aft.x)
    (move,) = place.moves
    moved = place.cg_x + 60.0 * (move.after - move.before) / place.mass
    assert moved == pytest.approx(found.first_aft.x)


def test_ballast_is_told_in_whole_grams_upwards() -> None:
    assert [Ballast(mass, 0.0, "nose").grams for mass in (0.01, 14.2, 15.0)] == [1, 15, 15]


def test_a_battery_fixed_beyond_its_slide_does_not_fit() -> None:
    free = done()[0].battery
    found, _ = done(fitted=equipment(x=free.x, slide=(free.x - 20.0, free.x + 200.0)))
    assert found.battery.static_margin == pytest.approx(0.08)
    assert not found.battery.fits


def test_ballast_brings_the_aft_limit() -> None:
    frame = airframe(masses=LIGHT_TAIL, bodies=(box(0.0, 330.0),))
    free = done(frame)[0].battery
    found, _ = done(frame, equipment(slide=(free.x + 100.0, free.x + 300.0)))
    ballast = found.battery.ballast
    assert ballast is not None
    assert ballast.x == 0.0
    loaded = found.battery.mass * found.battery.cg_x + ballast.mass * ballast.x
    assert loaded / (found.battery.mass + ballast.mass) == pytest.approx(found.aft.x)


def test_a_heavier_battery_stands_nearer_to_the_balance_point() -> None:
    fitted = equipment(alternatives=(battery("heavy", 150.0), battery("light", 70.0)), slide=(-200.0, 300.0))
    found, _ = done(fitted=fitted)
    heavy, light = found.alternatives
    assert [heavy.id, light.id] == ["heavy", "light"]
    away = [abs(place.x - found.wanted.x) for place in (heavy, found.battery, light)]
    assert away == sorted(away)
    assert heavy.mass == pytest.approx(420.0)


def test_a_battery_longer_than_its_bay() -> None:
    fitted = equipment(alternatives=(battery("long", 100.0, (250.0, 35.0, 22.0)),))
    found, _ = done(fitted=fitted, exact=True)
    assert found.alternatives[0].too_long
    assert not found.alternatives[0].fits
    assert [(finding.code, finding.verdict) for finding in found.findings] == [("B01", "watch")]
    assert "long is 250.0 mm long" in words(found.findings[0]).says
    own, _ = done(fitted=equipment(battery("long", 100.0, (250.0, 35.0, 22.0))), exact=True)
    assert [(finding.code, finding.verdict) for finding in own.findings] == [("B01", "no-go")]


def test_the_design_may_fix_the_battery() -> None:
    found, _ = done(fitted=equipment(x=100.0))
    assert found.battery.x == 100.0
    assert found.cg[0] == pytest.approx(53200.0 / 370.0)


def test_balance_point_behind_root_and_marks() -> None:
    # Leading edge swept back by 20 mm at the tip: 10 mm further aft at half the half span.
    surface = wing()
    le = surface.le.copy()
    le[1, 0] += 20.0
    frame = airframe((replace(surface, le=le),), masses=LIGHT_TAIL)
    drawn = samples(1)
    found = balance(frame, equipment(), targets(), lift(frame, "interactive", drawn), drawn, mark_y=165.0)
    assert found.wanted.behind_root == pytest.approx(found.wanted.x - LEADING)
    assert found.wanted.behind_marks == pytest.approx(found.wanted.x - LEADING - 10.0)


def test_first_flights_keep_the_neutral_points_band_off_the_aft_limit() -> None:
    found, air = done(n=256)
    low = float(np.percentile(air.neutral_point, 5.0))
    assert found.first_aft.x == pytest.approx(low - 0.05 * CHORD)
    assert found.first_aft.x < found.aft.x
    assert found.first_window
    assert found.battery.first is not None
    assert found.battery.first[0] == low_of(found)
    assert found.battery.first[1] < high_of(found)


def test_no_window_for_first_flights_is_a_finding() -> None:
    found, _ = done(n=256, wanted=targets(static_margin_most_pct=9.0))
    assert not found.first_window
    assert found.battery.first is None
    assert [finding.code for finding in found.findings] == ["B02"]
    assert "aft limit for first flights" in words(found.findings[0]).says


def test_without_uncertainty_the_window_is_the_allowed_range() -> None:
    found, _ = done(n=8, exact=True)
    assert found.first_aft.x == pytest.approx(found.aft.x)
    assert found.mass.low == found.mass.high


def test_only_the_boards_mass_is_scaled() -> None:
    base = weights(LIGHT_TAIL, np.array([1.0, 1.1]))
    assert base.mass == pytest.approx([270.0, 285.0])
    assert base.first == pytest.approx([43200.0, 43200.0 + 2400.0])


def test_bands_hold_their_centre_and_margin_spreads() -> None:
    found, _ = done(n=256)
    for band in (found.mass, found.static_margin, found.cg_from_masses, found.neutral_point):
        assert band.low < band.value < band.high
    assert found.cg_samples.shape == found.mass_samples.shape == (256,)
    assert found.cg_samples[0] == found.cg[0]
    assert found.mass_samples[0] == pytest.approx(370.0)


def test_inertia_by_the_parallel_axis_theorem() -> None:
    # Two point masses and the battery as an even box, about the common centre of gravity.
    masses = (mass("a", 100.0, 200.0, 50.0, 20.0), mass("b", 100.0, 200.0, -50.0, 20.0))
    found, _ = done(airframe(masses=masses), equipment(battery("p", 100.0, (60.0, 30.0, 20.0)), x=100.0))
    assert found.cg == pytest.approx([500.0 / 3.0, 0.0, 20.0])
    own = 100.0 / 12.0 * np.array([30.0**2 + 20.0**2, 60.0**2 + 20.0**2, 60.0**2 + 30.0**2])
    along = 2.0 * 100.0 * (100.0 / 3.0) ** 2 + 100.0 * (200.0 / 3.0) ** 2
    across = 2.0 * 100.0 * 50.0**2
    expected = own + np.array([across, along, along + across])
    assert np.diag(found.inertia) == pytest.approx(expected)
    assert found.inertia - np.diag(np.diag(found.inertia)) == pytest.approx(np.zeros((3, 3)), abs=1e-6)


@given(st.floats(50.0, 250.0), st.floats(50.0, 800.0), st.floats(20.0, 280.0), st.floats(20.0, 300.0))
def test_place_is_the_reverse_of_the_centre_of_gravity(
    wanted: float, rest: float, at: float, own: float
) -> None:
    x = place_for(wanted, rest, rest * at, own)
    assert (rest * at + own * x) / (rest + own) == pytest.approx(wanted, rel=1e-9)


@given(st.floats(100.0, 600.0), st.floats(0.0, 300.0))
def test_ballast_reaches_the_nearest_limit(total: float, cg: float) -> None:
    ballast = least_ballast(total, cg, (130.0, 140.0), (0.0, 330.0))
    if ballast is None:
        assert 130.0 <= cg <= 140.0
        return
    new = (total * cg + ballast.mass * ballast.x) / (total + ballast.mass)
    assert new == pytest.approx(140.0 if cg > 140.0 else 130.0)
    assert ballast.end == ("nose" if cg > 140.0 else "tail")


def test_ballast_that_cannot_help() -> None:
    # The nose lies behind the limit: no mass there moves the centre of gravity ahead of it.
    assert least_ballast(300.0, 150.0, (90.0, 100.0), (120.0, 330.0)) is None
    assert least_ballast(300.0, 95.0, (90.0, 100.0), (0.0, 330.0)) is None
    assert least_ballast(300.0, 110.0, (90.0, 100.0), (0.0, 330.0)) == Ballast(30.0, 0.0, "nose")


def movable(name: str, grams: float, x: float, slide: tuple[float, float]) -> MassItem:
    return MassItem(name, "equipment", point_moments(np.array([x, 0.0, 0.0]), grams), slide=slide)


def test_moves_take_the_item_that_gives_most_first() -> None:
    items = (movable("small", 10.0, 100.0, (50.0, 200.0)), movable("big", 40.0, 100.0, (60.0, 120.0)))
    # Forward by 1000 g·mm: the big item alone, 25 mm.
    (only,) = moves_for(items, -1000.0)
    assert (only.item, only.before, only.after) == ("big", 100.0, 75.0)
    # Forward by 2000: the big one to its stop (1600), the small one 40 mm.
    both = moves_for(items, -2000.0)
    assert [(move.item, move.after) for move in both] == [("big", 60.0), ("small", 60.0)]
    assert moves_for(items, -2200.0) == ()
    assert moves_for((movable("stuck", 10.0, 50.0, (50.0, 80.0)),), -100.0) == ()


def test_moved_items_help_a_battery_that_does_not_reach() -> None:
    camera = movable("camera", 60.0, 200.0, (40.0, 260.0))
    frame = airframe(masses=(*LIGHT_TAIL[:2], camera, mass("nose", 60.0, 20.0)))
    found, _ = done(frame, equipment(slide=(60.0, 140.0)))
    place = found.battery
    assert not place.fits
    (move,) = place.moves
    assert move.item == "camera"
    shifted = place.mass * place.cg_x + 60.0 * (move.after - move.before)
    assert shifted / place.mass == pytest.approx(found.aft.x)


def test_ends_of_an_aeroplane() -> None:
    assert ends(airframe(bodies=(box(-20.0, 330.0), box(50.0, 350.0)))) == (-20.0, 350.0)
    assert ends(airframe()) == (LEADING, LEADING + CHORD)


def test_boxes_of_equipment_keep_their_own_inertia() -> None:
    item = MassItem("camera", "equipment", box_moments(np.array([20.0, 0, 20.0]), np.full(3, 30.0), 60.0))
    point = airframe(masses=(*LIGHT_TAIL[:2], mass("camera", 60.0, 20.0)))
    solid = airframe(masses=(*LIGHT_TAIL[:2], item))
    difference = done(solid)[0].inertia - done(point)[0].inertia
    assert np.diag(difference) == pytest.approx(np.full(3, 60.0 * 30.0**2 / 6.0))


def test_marks_of_a_swept_wing_stand_behind_its_own_leading_edge() -> None:
    # First principles: at y = 200 a leading edge swept by 30 degrees lies 200 tan 30 further aft.
    swept = wing()
    le = swept.le.copy()
    le[1, 0] += le[1, 1] * np.tan(np.radians(30.0))
    frame = airframe((replace(swept, le=le),))
    drawn = samples(1, **EXACT)
    found = balance(frame, equipment(), targets(), lift(frame, "interactive", drawn), drawn, 200.0)
    assert found.placed.behind_root - found.placed.behind_marks == pytest.approx(
        200.0 * np.tan(np.radians(30.0))
    )
