"""Every propeller of the stock on this aeroplane: what it pulls, draws and how long it flies."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from foldwright.design.stock import StockPropeller
from foldwright.flight.drive import Drive
from foldwright.flight.envelope import AS_FLOWN, Envelope, along
from foldwright.flight.planform import M
from foldwright.physics.propeller import table

if TYPE_CHECKING:
    from foldwright.design.stock import Stock

OVER_CONTROLLER = 1.25
"""A controller is taken for this much more than the peak current (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class PropellerRow:
    """One propeller, centre values.

    static_n, static_a: full throttle at rest, fresh battery, all motors. spare_n: thrust at launch speed less
    the drag there. cruise_a, minutes: level at cruise, reserve kept, with climbs and turns; None where it
    does not fly level there. over: "" or what it overloads. fitted: the one that is on now.
    """

    id: str
    name: str
    static_n: float
    static_a: float
    spare_n: float
    cruise_a: float | None
    minutes: float | None
    over: str
    fitted: bool

    @property
    def order(self) -> tuple[bool, float]:
        """Longest flight first, those that overload something last."""
        return (bool(self.over), -(self.minutes or 0.0))


def propeller_table(
    flown: Envelope, stock: Stock, fitted: str, speeds: tuple[float, float]
) -> tuple[PropellerRow, ...]:
    """Rows of all propellers, longest flight first. speeds: launch and cruise [m/s].

    All are taken to be of the same make: factors that a static test gave the fitted one hold for all.
    """
    found = [
        _row(flown, entry, entry.id == fitted, speeds)
        for entry in stock.entry
        if isinstance(entry, StockPropeller)
    ]
    return tuple(sorted(found, key=lambda row: (*row.order, row.id)))


def with_propeller(drive: Drive, entry: StockPropeller) -> Drive:
    """The same drive with another propeller."""
    size = entry.diameter_mm * M
    blades = table(size, entry.pitch_mm * M, entry.blades)
    return replace(drive, screw=replace(drive.screw, table=blades, diameter=size))


def _row(flown: Envelope, entry: StockPropeller, fitted: bool, speeds: tuple[float, float]) -> PropellerRow:
    launch, cruise = speeds
    drive, density = _centre(with_propeller(flown.drive, entry)), flown.density
    at_rest = drive.fresh().at(1.0, 0.0, density)
    static_a = float(at_rest.cell_current[0]) * drive.count
    at_launch = float(drive.at(1.0, launch, density).thrust[0]) * drive.count
    drag = float(along(flown.level.force, flown.level.speeds, launch)[0])
    wanted = along(flown.level.thrust, flown.level.speeds, cruise)[:1]
    throttle = drive.throttle(wanted, cruise, density)
    current = None
    if np.isfinite(throttle[0]):
        current = float(drive.at(throttle, cruise, density).cell_current[0]) * drive.count
    minutes = None if current is None else 60.0 * flown.usable / current / AS_FLOWN
    return PropellerRow(
        entry.id, entry.name, float(at_rest.thrust[0]) * drive.count, static_a, at_launch - drag, current,
        minutes, _over(drive, static_a / drive.count), fitted,
    )  # fmt: skip


def _centre(drive: Drive) -> Drive:
    """The centre sample alone."""
    screw, chain = drive.screw, drive.chain
    return replace(
        drive,
        screw=replace(
            screw,
            thrust_factor=np.asarray(screw.thrust_factor)[:1],
            power_factor=np.asarray(screw.power_factor)[:1],
        ),
        chain=replace(
            chain,
            cells=np.asarray(chain.cells)[:1],
            loss=np.asarray(chain.loss)[:1],
            volt=np.asarray(chain.volt)[:1],
        ),
    )


def _over(drive: Drive, current: float) -> str:
    """What the current of one motor is too much for."""
    over = []
    if current > drive.motor_limit:
        over.append("motor")
    if drive.controller_limit is not None and OVER_CONTROLLER * current > drive.controller_limit:
        over.append("controller")
    return " and ".join(over)
