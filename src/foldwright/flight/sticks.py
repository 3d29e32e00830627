"""What full stick and pedals turn, and what all of handling is worked out from.

Throws are the travels of the design file. They count from where the control is trimmed, as a transmitter has
it. Signs as in flight.controls: stick back and stick right are positive here, whatever the control does.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from foldwright.airframe.model import Airframe
from foldwright.base.types import FloatArray
from foldwright.design.model import Targets
from foldwright.flight.balance import Balance
from foldwright.flight.controls import Axis, Rigged, answering
from foldwright.flight.envelope import Envelope
from foldwright.flight.lift import Lift, Samples
from foldwright.flight.modes import Trimmed
from foldwright.flight.planform import M
from foldwright.flight.trim import Trims
from foldwright.physics.answer import acting


@dataclass(frozen=True, slots=True, eq=False)
class Case:
    """One aeroplane with its flight worked out. cruise: state and derivatives in level cruise; launch:
    derivatives at launch trim.
    """

    airframe: Airframe
    lift: Lift
    balance: Balance
    trims: Trims
    samples: Samples
    targets: Targets
    found: Envelope
    cruise: Trimmed
    launch: Mapping[str, float]

    @property
    def span(self) -> float:
        """Span, m."""
        return self.lift.mean.span * M

    @property
    def wing(self) -> float:
        """Reference area, m²."""
        return self.lift.mean.area * M * M

    @property
    def weight(self) -> FloatArray:
        """(n,) N."""
        return np.asarray(self.balance.mass_samples * M * 9.80665)

    @property
    def spread(self) -> FloatArray:
        """(n,) effectiveness of a flap over the centre's, which derivatives hold."""
        flap = self.samples["flap_effectiveness"]
        return np.asarray(flap / flap[0])

    @property
    def stall(self) -> FloatArray:
        """(n,) stall speed, level, no power [m/s]."""
        return np.asarray(np.sqrt(2.0 * self.weight / (self.found.density * self.wing * self.lift.cl_max)))


def travel(one: Rigged, axis: Axis) -> tuple[float, float]:
    """Own turn [rad] of a control at full stick: (where the stick is back, right or the rudder right; where
    it is the other way), both positive sizes. Of pieces that go opposite ways it is the mean of both, twice.
    """
    control, gain = one.control, one.gain(axis)
    if axis == "roll" or (axis == "yaw" and one.surface.symmetric and not one.surface.upright):
        mean = 0.5 * (control.up + control.down)
        return mean, mean
    ways = (control.up, control.down)  # stick back: trailing edge up where the gain is positive
    turned = gain < 0.0 if axis == "pitch" else gain > 0.0
    return ways[::-1] if turned else ways


def full(case: Case, axis: Axis) -> float:
    """Mixed deflection [rad] of full stick back or right (yaw: rudder right), a size.

    Of several controls each counts by its share in the axis' moment, as `Lift.shares` has it in pitch.
    """
    found = answering(case.lift.rigged, axis)
    weights = case.lift.shares if axis == "pitch" else _shares(case, axis, found)
    return float(np.sum(weights * [travel(one, axis)[0] for one in found])) if found else 0.0


def _shares(case: Case, axis: Axis, found: tuple[Rigged, ...]) -> FloatArray:
    name = "Cl" if axis == "roll" else "Cn"
    size = np.abs([one.gain(axis) * case.cruise.slopes[f"{name}_{one.state(axis)}"] for one in found])
    total = float(np.sum(size))
    return np.asarray(size / total if total > 0.0 else size)


def moment(case: Case, slopes: Mapping[str, float], name: str, axis: Axis) -> FloatArray:
    """Coefficient (n,) of full stick right (roll) or rudder right (yaw): "Cl", "Cn" or "CY", in body axes.

    Roll stick right turns the mixed roll state negative (right trailing edge up); rudder right is positive.
    """
    if f"{name}_{axis}" not in slopes:
        return np.zeros_like(case.weight)
    sign = -1.0 if axis == "roll" else 1.0
    return np.asarray(sign * slopes[f"{name}_{axis}"] * acting(full(case, axis)) * _certain(case, axis))


def _certain(case: Case, axis: Axis) -> FloatArray:
    """Spread (n,) of the effectiveness: none where whole surfaces turn."""
    hinged = [not one.control.all_moving for one in answering(case.lift.rigged, axis)]
    return case.spread if any(hinged) else np.ones_like(case.spread)
