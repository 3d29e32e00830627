"""The fixed aeroplane of the trim table and equipment for it, made by hand from the room's own types."""

from __future__ import annotations

from collections.abc import Mapping
from math import radians

import numpy as np

from foldwright.airframe.model import Airframe, Board, Body, Control, LiftingSurface, MassItem, Thrust
from foldwright.base.types import FloatArray
from foldwright.design.assumptions import Assumptions
from foldwright.design.model import Targets
from foldwright.design.resolve import FittedBattery, FittedMotor, FittedPropeller, Resolved
from foldwright.geometry.fold.mass import Material, point_moments

SPAN, CHORD = 660.0, 220.0
LEADING = 100.0

Sizes = tuple[float, float, float]


def wing(controls: bool = True, camber: FloatArray | None = None) -> LiftingSurface:
    """Rectangular wing with a full-span elevon of 22 % chord, leading edge at x = 100, z = 30."""
    xi = np.linspace(0.0, 1.0, 41)
    line = np.zeros(41) if camber is None else camber
    elevon = Control(
        "elevon", "elevon", ("r", "l"), 0.22 * CHORD, 0.0, SPAN / 2, (0.78, 0.78), radians(15), radians(15)
    )
    return LiftingSurface(
        id="wing",
        le=np.array([[LEADING, 0.0, 30.0], [LEADING, SPAN / 2, 30.0]]),
        chord=np.full(2, CHORD),
        twist=np.zeros(2),
        xi=xi,
        camber=np.stack([line, line]),
        thickness=0.1,
        step=5.0,
        trailing=5.0,
        symmetric=True,
        main=True,
        controls=(elevon,) if controls else (),
    )


def fin(y: float = 0.0, symmetric: bool = False) -> LiftingSurface:
    """Upright fin 100 mm high on the wing's upper side, at the trailing edge."""
    return LiftingSurface(
        id="fin",
        le=np.array([[240.0, y, 30.0], [270.0, y, 130.0]]),
        chord=np.array([100.0, 70.0]),
        twist=np.zeros(2),
        xi=np.array([0.0, 1.0]),
        camber=np.zeros((2, 2)),
        thickness=0.05,
        step=0.0,
        trailing=5.0,
        symmetric=symmetric,
        main=False,
    )


def box(front: float = 0.0, rear: float = 330.0, side: float = 50.0) -> Body:
    """Square box body."""
    return Body("box", np.array([front, rear]), np.full(2, side), np.full(2, side))


def mass(name: str, grams: float, x: float, y: float = 0.0, z: float = 20.0) -> MassItem:
    """A point mass of equipment."""
    return MassItem(name, "equipment", point_moments(np.array([x, y, z]), grams))


def airframe(
    surfaces: tuple[LiftingSurface, ...] | None = None,
    bodies: tuple[Body, ...] = (),
    masses: tuple[MassItem, ...] | None = None,
    thrust: Thrust | None = None,
) -> Airframe:
    """The aeroplane: 280 g without its battery unless other masses are given."""
    board = Board(5.0, Material(5.0, 3e-5, 1e-4), 2.0, 8.0, 0.5)
    default = (
        MassItem("wing/main", "board", point_moments(np.array([200.0, 0.0, 30.0]), 150.0)),
        mass("motor", 80.0, 300.0),
        mass("rest", 50.0, 60.0),
    )
    return Airframe(
        board=board,
        placed=(),
        surfaces=(wing(),) if surfaces is None else surfaces,
        bodies=bodies,
        masses=default if masses is None else masses,
        thrust=thrust or Thrust(345.0, 0.0, 20.0, 0.0, 4.4, 127.0),
        findings=(),
    )


def battery(name: str = "pack-3s", grams: float = 100.0, size: Sizes = (70.0, 35.0, 22.0)) -> FittedBattery:
    """A battery."""
    return FittedBattery(name, name, "test", grams, size, 3, 1300.0)


def equipment(
    fitted: FittedBattery | None = None,
    alternatives: tuple[FittedBattery, ...] = (),
    slide: tuple[float, float] = (10.0, 200.0),
    x: float | None = None,
) -> Resolved:
    """Equipment whose battery slides between two x."""
    place = (345.0, 0.0, 20.0)
    return Resolved(
        motor=FittedMotor("m", "m", "test", 30, 5, 28, 30, 2300, 20, place, 0.0, 4.4, "p", 3, True),
        propeller=FittedPropeller("p", "p", "test", 5.0, 127.0, 114.0, 2),
        battery=fitted or battery(),
        alternatives=alternatives,
        battery_x_mm=x,
        battery_y_mm=0.0,
        battery_z_mm=20.0,
        battery_slide_mm=slide,
        items=(),
        spars=(),
    )


def targets(**values: float) -> Targets:
    """Targets: 12 m/s cruise, 8 m/s launch."""
    base = {"cruise_speed_m_s": 12.0, "launch_speed_m_s": 8.0, "all_up_limit_g": 600.0}
    return Targets.model_validate({**base, **values})


def samples(n: int = 256, **centres: float) -> Mapping[str, FloatArray]:
    """Samples of the default assumptions; centres replaces centre values and takes their spread away."""
    assumptions = Assumptions()
    for name, value in centres.items():
        assumptions = assumptions.changed(name, value, 0.0, "test")
    return assumptions.samples(n)


EXACT: Mapping[str, float] = {entry.name: entry.value for entry in Assumptions().entries}
"""Every assumption at its centre: samples(n, **EXACT) has no spread."""
