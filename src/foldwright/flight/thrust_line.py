"""What power does to the aeroplane's nose, with its direction in words.

The thrust line's moment about the centre of gravity is judged here alone; that an aeroplane climbs with
power at fixed elevon, whatever the thrust line, is another matter (and another chapter).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np

from foldwright.airframe.model import Airframe, Thrust
from foldwright.base.band import Band
from foldwright.base.types import FloatArray
from foldwright.design.model import Targets
from foldwright.flight.balance import Balance
from foldwright.flight.lift import Lift, Samples
from foldwright.flight.planform import M
from foldwright.flight.trim import Condition, pitch_of, slopes_at, static_thrust
from foldwright.physics.trim import control_power, edge_up

Direction = Literal["up", "down", "neither"]
Side = Literal["rear", "front"]

SMALL_MM = 0.2
"""Trailing-edge travel that nobody can see or set: a moment below it is called neither up nor down [mm]."""
BASIS = "static thrust of the stock entry, full throttle, building errors sampled"
TESTED_BASIS = "static test of the design file, full throttle, building errors sampled"


@dataclass(frozen=True, slots=True)
class ThrustLine:
    """Full static thrust about the centre of gravity.

    side: where the motor stands; thrust: N. moment: N·mm, nose-up positive; edge_launch, edge_cruise:
    mm of trailing edge UP that the same moment would take (positive: power acts like up elevon), without the
    stream's help. direction: "up", "down" or "neither" of the centre value; certain: share of the samples
    that pitch that way (for "neither": that stay small). tilt_deg: of the thrust vector, nose-up positive.
    passes: mm by which the thrust line passes above the centre of gravity (negative: below). side_deg: of the
    (right) motor's thrust vector, positive to the right; pair: the left one of two is its mirror image. What
    side thrust takes from the pull, 1 - cos, is under 1 % up to 8 degrees and not reckoned.
    """

    side: Side
    thrust: Band
    moment: Band
    edge_launch: Band
    edge_cruise: Band
    direction: Direction
    certain: float
    tilt_deg: float
    passes: float
    side_deg: float = 0.0
    pair: bool = False

    @property
    def says(self) -> str:
        """Direction in words."""
        return direction_words(self.direction)

    @property
    def tilt_says(self) -> str:
        """Tilt as the builder sees it at the propeller."""
        aside = side_words(self.side_deg, self.side, self.pair)
        return ", ".join(words for words in (tilt_words(self.tilt_deg, self.side), aside) if words)


def direction_words(direction: Direction) -> str:
    """Words of a direction."""
    return {
        "up": "power pitches the nose up",
        "down": "power pitches the nose down",
        "neither": "power pitches the nose neither up nor down",
    }[direction]


def tilt_words(tilt_deg: float, side: Side) -> str:
    """How the builder sees a tilt: which way the propeller end of the motor points.

    tilt_deg: of the thrust vector, positive nose-up. The vector runs along the shaft towards the nose. On a
    rear motor the propeller is the shaft's aft end, so a nose-up vector has it lower; on a front motor it is
    the forward end, so a nose-up vector has it higher.
    """
    size = round(abs(tilt_deg), 1)
    if size == 0.0:
        return "propeller end level"
    higher = (tilt_deg > 0.0) == (side == "front")
    return f"propeller end {size:g}° {'higher' if higher else 'lower'}"


def side_words(side_deg: float, side: Side, pair: bool) -> str:
    """Where the builder sees the propeller end point aside; "" for straight ahead.

    side_deg: of the thrust vector, positive to the right of the aeroplane, of the right motor of a pair. On
    a rear motor the propeller end points the other way.
    """
    size = round(abs(side_deg), 1)
    if size == 0.0:
        return ""
    right = (side_deg > 0.0) == (side == "front")
    if pair:
        return f"{size:g}° {'outward' if right else 'inward'}"
    return f"{size:g}° to the aeroplane's {'right' if right else 'left'}"


def side_of(thrust: Thrust, cg_x: float) -> Side:
    """Whether the propeller stands behind or ahead of the centre of gravity."""
    return "rear" if thrust.x > cg_x else "front"


def passes_above(thrust: Thrust, cg: FloatArray) -> float:
    """Distance by which the thrust line passes above the centre of gravity (3,) [mm], negative below.

    The moment is -T times this. First principles: z cos ε + l sin ε.
    """
    above, aft = thrust.z - float(cg[2]), thrust.x - float(cg[0])
    return float(above * np.cos(thrust.tilt) + aft * np.sin(thrust.tilt))


def edge_of(lift: Lift, cg: FloatArray, moment: FloatArray, condition: Condition) -> FloatArray:
    """Trailing edge up (n,) [mm] that would give as much as a moment (n,) [N m, nose-up].

    On a canard nose-up is trailing edge down, so the answer is negative there.
    Lift held: the control's moment about the neutral point counts. Zeros without a pitch control.
    """
    cm = moment / (condition.pressure * lift.mean.area * lift.mean.chord * M**3)
    if lift.station is None:
        return np.zeros_like(cm)
    delta = cm / (lift.eta * control_power(slopes_at(lift, cg)))
    return edge_up(lift.station.sense * delta, lift.station.chord)


def thrust_line(
    airframe: Airframe, lift: Lift, balance: Balance, targets: Targets, samples: Samples
) -> ThrustLine:
    """Moment of full static thrust, what it equals in trailing-edge travel, and its direction."""
    line, density = airframe.thrust, targets.field_density_kg_m3
    newton = static_thrust(line, samples)
    moment = pitch_of(line, newton, balance, samples)
    launch = edge_of(lift, balance.cg_samples, moment, Condition(targets.launch_speed_m_s, density))
    cruise = edge_of(lift, balance.cg_samples, moment, Condition(targets.cruise_speed_m_s, density))
    signs = np.where(np.abs(launch) < SMALL_MM, 0, np.sign(moment)).astype(np.int64)
    names: dict[int, Direction] = {1: "up", -1: "down", 0: "neither"}
    basis = TESTED_BASIS if line.tested else BASIS
    return ThrustLine(
        side=side_of(line, float(balance.cg[0])),
        thrust=Band.of(newton, "N", basis),
        moment=Band.of(moment / M, "N·mm", basis),
        edge_launch=Band.of(launch, "mm", basis),
        edge_cruise=Band.of(cruise, "mm", basis),
        direction=names[int(signs[0])],
        certain=float(np.mean(signs == signs[0])),
        tilt_deg=float(np.degrees(line.tilt)),
        passes=passes_above(line, balance.cg),
        side_deg=float(np.degrees(line.side)),
        pair=line.mirrored,
    )
