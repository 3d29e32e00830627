"""What power does to the nose: every sign and every face, with answers known from first principles.

Axes x aft, y right, z up. A force T along (-cos e, 0, sin e) at (l, 0, z) from the centre of gravity pitches
nose-up by -T (z cos e + l sin e). The relations between tilt, offset and travel are the notes'.
"""

from __future__ import annotations

import numpy as np
import pytest

from foldwright.airframe.model import Thrust
from foldwright.base.types import FloatArray
from foldwright.flight.balance import Balance, balance
from foldwright.flight.lift import Lift, Samples, lift
from foldwright.flight.thrust_line import (
    Side,
    ThrustLine,
    direction_words,
    passes_above,
    side_of,
    side_words,
    thrust_line,
    tilt_words,
)
from tests.flight.plank import EXACT, airframe, equipment, mass, samples, targets

MASSES = (mass("a", 140.0, 180.0), mass("b", 140.0, 60.0))
CG_Z = 20.0
ARM = 210.0


def line(
    tilt_deg: float, height: float, arm: float = ARM, n: int = 1, newton: float | None = 4.4
) -> ThrustLine:
    """Thrust line `height` above and `arm` behind the centre of gravity."""
    air, drawn, found = still(n)
    thrust = Thrust(float(found.cg[0]) + arm, 0.0, CG_Z + height, np.radians(tilt_deg), newton, 127.0)
    return thrust_line(airframe(masses=MASSES, thrust=thrust), air, found, targets(), drawn)


def still(n: int) -> tuple[Lift, Samples, Balance]:
    frame, drawn = airframe(masses=MASSES), samples(n)
    air = lift(frame, "final", drawn)
    return air, drawn, balance(frame, equipment(slide=(-300.0, 500.0)), targets(), air, drawn)


@pytest.mark.parametrize(
    ("tilt", "height", "arm", "direction", "tilt_says"),
    [
        # rear motor, level, above / below / through the centre of gravity
        (0.0, 20.0, ARM, "down", "propeller end level"),
        (0.0, -20.0, ARM, "up", "propeller end level"),
        (0.0, 0.0, ARM, "neither", "propeller end level"),
        # rear motor at the height of the centre of gravity, tilted: the propeller pushes its end
        (-2.9, 0.0, ARM, "up", "propeller end 2.9° higher"),
        (2.9, 0.0, ARM, "down", "propeller end 2.9° lower"),
        # front motor likewise: it pulls its end
        (0.0, 20.0, -ARM, "down", "propeller end level"),
        (0.0, -20.0, -ARM, "up", "propeller end level"),
        (2.9, 0.0, -ARM, "up", "propeller end 2.9° higher"),
        (-2.9, 0.0, -ARM, "down", "propeller end 2.9° lower"),
    ],
)
def test_every_face(tilt: float, height: float, arm: float, direction: str, tilt_says: str) -> None:
    found = line(tilt, height, arm)
    assert found.direction == direction
    assert found.tilt_says == tilt_says
    assert found.side == ("rear" if arm > 0 else "front")
    sign = {"up": 1.0, "down": -1.0, "neither": 0.0}[direction]
    for band in (found.moment, found.edge_launch, found.edge_cruise):
        assert np.sign(round(band.value, 9)) == sign


def test_the_line_that_passes_below_pitches_up() -> None:
    # Whatever the motor's side: the moment is thrust times the distance by which the line passes below.
    for tilt, height, arm in ((-2.9, 3.0, ARM), (4.0, -5.0, ARM), (2.0, 2.0, -ARM), (-3.0, 8.0, -ARM)):
        found = line(tilt, height, arm)
        assert found.moment.value == pytest.approx(-4.4 * found.passes)
        assert found.direction == ("up" if found.passes < 0 else "down")


def test_distance_to_the_line_by_plane_geometry() -> None:
    # Distance of a point from the line through P along d: the cross product (P - cg) x d in the x-z plane.
    thrust = Thrust(345.0, 0.0, 31.0, np.radians(-2.9), 4.4, 127.0)
    cg: FloatArray = np.array([132.0, 0.0, 24.0])
    arm, along = np.array([213.0, 7.0]), np.array([-np.cos(thrust.tilt), np.sin(thrust.tilt)])
    # a line that runs forward (-x) passes above where x·dz - z·dx > 0
    distance = arm[0] * along[1] - arm[1] * along[0]
    assert passes_above(thrust, cg) == pytest.approx(distance)


def test_tilt_offset_and_travel_of_the_notes() -> None:
    # Notes: 3 degrees = 11 mm = 4 mm of trailing edge at 8 m/s and 1.7 mm at 12 m/s, constant 4.4 N.
    tilted, lowered = line(-3.0, 0.0), line(0.0, -11.0)
    assert tilted.moment.value == pytest.approx(lowered.moment.value, rel=0.01)
    assert tilted.moment.value == pytest.approx(4.4 * 210.0 * np.sin(np.radians(3.0)))
    for found in (tilted, lowered):
        assert found.edge_launch.value == pytest.approx(4.0, abs=0.1)
        assert found.edge_cruise.value == pytest.approx(1.7, abs=0.1)


def test_direction_is_as_certain_as_the_building() -> None:
    strong, weak = line(-2.9, -10.0, n=256), line(-0.5, 0.0, n=256)
    assert strong.direction == weak.direction == "up"
    assert strong.certain == 1.0
    assert 0.3 < weak.certain < 0.9
    assert strong.moment.low < strong.moment.value < strong.moment.high


def test_no_static_thrust_pitches_neither_way() -> None:
    found = line(-2.9, -10.0, newton=None)
    assert found.direction == "neither"
    assert found.moment.value == found.thrust.value == 0.0
    assert found.says == "power pitches the nose neither up nor down"


def test_words() -> None:
    assert direction_words("up") == "power pitches the nose up"
    assert direction_words("down") == "power pitches the nose down"
    assert tilt_words(-3.0, "rear") == "propeller end 3° higher"
    assert tilt_words(0.04, "rear") == "propeller end level"


@pytest.mark.parametrize("side", ["front", "rear"])
@pytest.mark.parametrize("turn", [3.0, -3.0])
def test_side_thrust_is_told_by_where_the_propeller_end_points(side: Side, turn: float) -> None:
    """First principles: the vector looks ahead and sin(turn) to the right (y); a front motor's propeller is
    at the vector's head, a rear motor's at its tail.
    """
    head = 1.0 if side == "front" else -1.0
    y = head * np.sin(np.radians(turn))
    wanted = "right" if y > 0.0 else "left"
    assert side_words(turn, side, pair=False) == f"3° to the aeroplane's {wanted}"
    assert side_words(turn, side, pair=True) == f"3° {'outward' if y > 0.0 else 'inward'}"
    assert not side_words(0.04, side, pair=False)


def test_side() -> None:
    assert side_of(Thrust(300.0, 0.0, 0.0, 0.0, None, 0.0), 130.0) == "rear"
    assert side_of(Thrust(10.0, 0.0, 0.0, 0.0, None, 0.0), 130.0) == "front"


def test_without_spread_every_sample_agrees() -> None:
    frame = airframe(masses=MASSES, thrust=Thrust(345.0, 0.0, 10.0, -0.05, 4.4, 127.0))
    drawn = samples(8, **EXACT)
    air = lift(frame, "interactive", drawn)
    found = balance(frame, equipment(slide=(-300.0, 500.0)), targets(), air, drawn)
    result = thrust_line(frame, air, found, targets(), drawn)
    assert result.certain == 1.0
    assert result.moment.low == pytest.approx(result.moment.high)
