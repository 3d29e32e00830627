"""Marram's evaluation with other surfaces, controls and motors put in: what the card and the pictures have to
show of other layouts. Dimensions invented; the figures of balance and trim stay Marram's.
"""

from __future__ import annotations

from dataclasses import replace
from math import cos, radians, sin

import numpy as np

from foldwright.airframe.model import Control, LiftingSurface, Role, Thrust
from foldwright.evaluate import Evaluation
from foldwright.flight.lift import Station
from tests.make.evaluations import marram, results

XI = np.array([0.0, 0.5, 1.0])


def control(name: str, kind: str, inner: float, outer: float, chord: float, turn: float = 20.0) -> Control:
    """A control with equal travel either way, without folds."""
    way = radians(turn)
    return Control(name, kind, (), chord, inner, outer, (0.7, 0.7), way, way)


def surface(
    name: str, root: tuple[float, float, float], span: float, chord: float, role: Role, *controls: Control,
    rise_deg: float = 0.0, aft: float = 0.0, symmetric: bool = True,
) -> LiftingSurface:  # fmt: skip
    """A flat surface of one bay; rise_deg: 90 for a fin."""
    rise = radians(rise_deg)
    tip = np.array(root) + np.array([aft, span * cos(rise), span * sin(rise)])
    flat = np.zeros((2, 3))
    return LiftingSurface(
        name, np.array([root, tip]), np.full(2, chord), np.zeros(2), XI, flat, 0.05, 0.0, 5.0, symmetric,
        False, controls, role,
    )  # fmt: skip


def tailplane(*controls: Control) -> LiftingSurface:
    return surface("tail", (600.0, 0.0, 40.0), 150.0, 90.0, "tailplane", *controls)


def fin(*controls: Control, y: float = 0.0) -> LiftingSurface:
    return surface("fin", (590.0, y, 40.0), 120.0, 100.0, "fin", *controls, rise_deg=90.0, symmetric=y != 0.0)


def v_tail(*controls: Control, rise_deg: float = 40.0) -> LiftingSurface:
    return surface("vee", (600.0, 8.0, 40.0), 160.0, 90.0, "v_tail", *controls, rise_deg=rise_deg)


def canard(*controls: Control) -> LiftingSurface:
    return surface("canard", (10.0, 0.0, 30.0), 120.0, 70.0, "canard", *controls)


def layout(
    measured: str,
    *others: LiftingSurface,
    wing: tuple[Control, ...] = (),
    motors: int = 1,
    rear: bool = False,
) -> Evaluation:
    """An evaluation whose wing carries `wing` controls beside other surfaces; pitch is measured at one."""
    base = marram()
    found = results(base)
    main = replace(found.airframe.wing, controls=wing)
    surfaces = (main, *others)
    home, chosen = next((each, one) for each in surfaces for one in each.controls if one.id == measured)
    station = Station(measured, chosen.inner, chosen.chord, home.id, -1.0 if home.role == "canard" else 1.0)
    trims = replace(
        found.trims,
        launch=replace(found.trims.launch, station=station),
        cruise=replace(found.trims.cruise, station=station),
        launch_power=replace(found.trims.launch_power, station=station),
    )
    line = found.airframe.thrust
    thrust = Thrust(line.x, 90.0 if motors > 1 else 0.0, line.z, line.tilt, line.static_n,
                    line.disc_diameter_mm, motors > 1)  # fmt: skip
    airframe = replace(found.airframe, surfaces=surfaces, thrust=thrust)
    power = replace(found.thrust, side="rear" if rear else "front")
    return replace(base, results=replace(found, airframe=airframe, trims=trims, thrust=power))
