"""What stick and pedals do to the controls of any layout, and the names that the lattice knows them by.

Signs, for every layout (this is the one place that says so):

- A control's own deflection is positive trailing edge down, on a surface that stands upright trailing edge
  to the right. "Own" holds on a canard too.
- PITCH, mixed: positive pitches the nose DOWN, as an elevon or elevator with its trailing edge down does.
  A control ahead of the wing turns the other way (`Rigged.sense`), trailing edge up.
- ROLL, mixed: positive has the right trailing edge down and the left one up and rolls to the LEFT.
- YAW, mixed: positive swings the nose RIGHT: trailing edge to the right on fins; on a V-tail the right one
  down and the left one up, whose lifts along the panels' normals both lean to the left and push the tail
  left; on a V that hangs (anhedral), and on a fin ahead of the wing, the other way round.

Flaps, and flaperons used as flaps, move on a switch of their own: their state is "<control>/pitch".
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

import numpy as np

from foldwright.airframe.model import Control, LiftingSurface
from foldwright.base.types import FloatArray

Axis = Literal["pitch", "roll", "yaw"]
AXES: tuple[Axis, ...] = ("pitch", "roll", "yaw")


@dataclass(frozen=True, slots=True, eq=False)
class Rigged:
    """A control in its place in the aeroplane.

    name: of its lattice states before the "/": the control's id, with the surface's id ahead of it where
    another control has the same. sense: +1, or -1 where stick and pedals turn it against its own positive
    deflection: (pitch, roll, yaw). axes: the states that the lattice holds of it.
    """

    surface: LiftingSurface
    control: Control
    name: str
    sense: tuple[float, float, float]
    axes: tuple[Axis, ...]

    def state(self, axis: Axis) -> str:
        """Name of a lattice state: both halves alike ("pitch"), or oppositely ("roll", "yaw")."""
        return f"{self.name}/{axis}"

    def gain(self, axis: Axis) -> float:
        """Own deflection per unit of stick or pedals, sign included; 0 where it does not answer."""
        place = AXES.index(axis)
        return self.control.gains[place] * self.sense[place] if axis in self.axes else 0.0


def rigged(surfaces: tuple[LiftingSurface, ...]) -> tuple[Rigged, ...]:
    """Every control of the surfaces in their order, with senses judged against the main one."""
    own = [(surface, control) for surface in surfaces for control in surface.controls]
    ids = [control.id for _, control in own]
    senses = {surface.id: _sense(surface, surfaces) for surface in surfaces if surface.controls}
    return tuple(
        Rigged(
            surface,
            control,
            control.id if ids.count(control.id) == 1 else f"{surface.id}.{control.id}",
            senses[surface.id],
            _axes(surface, control),
        )
        for surface, control in own
    )


def answering(controls: tuple[Rigged, ...], axis: Axis) -> tuple[Rigged, ...]:
    """The controls that a stick or the pedals move; for pitch elevators first, then what else trims."""
    found = [each for each in controls if each.gain(axis) != 0.0]
    if axis == "pitch":
        found.sort(key=lambda each: each.control.gains[1] != 0.0)  # those that roll as well come after
    return tuple(found)


def mixed(controls: tuple[Rigged, ...], axis: Axis) -> Mapping[str, float]:
    """Weight of every lattice state in the mixed state of an axis: {"elevon/pitch": 1.0, ...}."""
    return {each.state(axis): each.gain(axis) for each in controls if each.gain(axis) != 0.0}


def ahead_of_wing(surface: LiftingSurface, surfaces: tuple[LiftingSurface, ...]) -> bool:
    """Whether a surface stands ahead of the main one: a canard, or its quarter chord is further forward."""
    if surface.main:
        return False
    if surface.role == "canard":
        return True
    main = next((each for each in surfaces if each.main), None)
    return main is not None and quarter_x(surface) < quarter_x(main)


def quarter_x(surface: LiftingSurface) -> float:
    """Mean x of the quarter-chord line, weighted by area, mm."""
    at = surface.le[:, 0] + 0.25 * surface.chord
    weight = np.diff(surface.arc) * (surface.chord[1:] + surface.chord[:-1])
    return float(np.sum(weight * 0.5 * (at[1:] + at[:-1])) / np.sum(weight))


def place(surface: LiftingSurface, along: float) -> FloatArray:
    """(3,) leading-edge point at a distance along the surface from its root, mm."""
    arc = surface.arc
    return np.array([np.interp(along, arc, surface.le[:, axis]) for axis in range(3)])


def _sense(surface: LiftingSurface, surfaces: tuple[LiftingSurface, ...]) -> tuple[float, float, float]:
    """See the module: pitch and yaw turn round ahead of the wing, yaw where the line to the tip falls."""
    fore = -1.0 if ahead_of_wing(surface, surfaces) else 1.0
    falls = -1.0 if surface.le[-1, 2] < surface.le[0, 2] else 1.0
    return fore, 1.0, fore * falls


def _axes(surface: LiftingSurface, control: Control) -> tuple[Axis, ...]:
    """A surface on the centre line yaws only; on others every control that does not yaw alone can droop.

    None for a control that lies beyond its surface's tip.
    """
    pitch, roll, yaw = control.gains
    if not control.inner < min(control.outer, float(surface.arc[-1])):
        return ()
    if not surface.symmetric:
        return ("yaw",) if yaw else ()
    wanted = (bool(pitch) or not yaw, bool(roll), bool(yaw))
    return tuple(axis for axis, has in zip(AXES, wanted, strict=True) if has)
