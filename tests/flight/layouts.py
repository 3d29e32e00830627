"""Aeroplanes of every layout, as the lattice sees them: flat plates made by hand from the room's own types.

The wing spans 1 m with a chord of 180 mm, quarter chord at x = 245; tails stand some 500 mm behind it.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import radians

import numpy as np

from foldwright.airframe.model import Airframe, Control, LiftingSurface, Role, Thrust
from foldwright.base.types import FloatArray
from tests.flight.plank import airframe, mass

HALF, CHORD, FRONT = 500.0, 180.0, 200.0
TRAVEL = radians(20.0)


def plate(
    name: str,
    le: Sequence[Sequence[float]] | FloatArray,
    chord: Sequence[float],
    role: Role,
    controls: tuple[Control, ...] = (),
    symmetric: bool = True,
    twist: Sequence[float] | None = None,
) -> LiftingSurface:
    """A flat surface from plain lists, mm."""
    k = len(chord)
    return LiftingSurface(
        id=name,
        le=np.asarray(le, dtype=np.float64),
        chord=np.asarray(chord, dtype=np.float64),
        twist=np.zeros(k) if twist is None else np.asarray(twist),
        xi=np.array([0.0, 1.0]),
        camber=np.zeros((k, 2)),
        thickness=0.05,
        step=0.0,
        trailing=5.0,
        symmetric=symmetric,
        main=role == "wing",
        controls=controls,
        role=role,
    )


def control(kind: str, chord: float, inner: float, outer: float, of: float, name: str = "") -> Control:
    """A control on a surface of constant chord `of`, mm."""
    hinge = 1.0 - chord / of
    return Control(name or kind, kind, (), chord, inner, outer, (hinge, hinge), TRAVEL, TRAVEL)


def wing(
    *controls: Control, dihedral: float = 0.0, sweep: float = 0.0, height: float = 0.0, tip: float = CHORD
) -> LiftingSurface:
    """Main wing; dihedral and sweep of the leading edge in radians."""
    end = [FRONT + HALF * np.tan(sweep), HALF, height + HALF * np.tan(dihedral)]
    return plate("wing", [[FRONT, 0.0, height], end], [CHORD, tip], "wing", controls)


def tailplane(
    *controls: Control, half: float = 200.0, chord: float = 110.0, x: float = 720.0, height: float = 0.0
) -> LiftingSurface:
    """Rectangular tailplane."""
    le = [[x, 0.0, height], [x, half, height]]
    return plate("tailplane", le, [chord, chord], "tailplane", controls)


def fin(
    *controls: Control, y: float = 0.0, root: float = 0.0, rise: float = 130.0, symmetric: bool = False
) -> LiftingSurface:
    """Fin at the tail; rise negative: it hangs."""
    le = [[720.0, y, root], [720.0, y, root + rise]]
    return plate("fin", le, [110.0, 110.0], "fin", controls, symmetric)


def v_tail(*controls: Control, angle: float = radians(35.0), half: float = 200.0) -> LiftingSurface:
    """V-tail, panels of a length `half` along themselves; angle negative: it hangs."""
    tip = [720.0, half * np.cos(angle), half * np.sin(angle)]
    return plate("v-tail", [[720.0, 0.0, 0.0], tip], [110.0, 110.0], "v_tail", controls)


def canard(
    *controls: Control, half: float = 180.0, chord: float = 100.0, height: float = 0.0
) -> LiftingSurface:
    """Rectangular foreplane."""
    return plate(
        "canard", [[-120.0, 0.0, height], [-120.0, half, height]], [chord, chord], "canard", controls
    )


AILERON = control("aileron", 40.0, 250.0, 480.0, CHORD)
ELEVON = control("elevon", 40.0, 60.0, 480.0, CHORD)
ELEVATOR = control("elevator", 40.0, 0.0, 200.0, 110.0)
RUDDER = control("rudder", 45.0, 0.0, 130.0, 110.0)
RUDDERVATOR = control("ruddervator", 40.0, 10.0, 200.0, 110.0)
FORE_ELEVATOR = control("elevator", 35.0, 0.0, 180.0, 100.0)


def trainer(height: float = 60.0, dihedral: float = radians(4.0)) -> Airframe:
    """High wing with dihedral and ailerons, tailplane, fin: a tractor."""
    return craft(wing(AILERON, dihedral=dihedral, height=height), tailplane(ELEVATOR), fin(RUDDER))


def craft(*surfaces: LiftingSurface, thrust: Thrust | None = None) -> Airframe:
    """An aeroplane of these surfaces, 400 g about x = 200 without its battery."""
    masses = (mass("front", 200.0, 100.0), mass("rear", 200.0, 300.0))
    return airframe(surfaces, masses=masses, thrust=thrust or Thrust(0.0, 0.0, 20.0, 0.0, 4.4, 203.0))
