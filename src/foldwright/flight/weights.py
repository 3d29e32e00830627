"""What the aeroplane weighs without its battery, and what a battery, a moved item or ballast does to it.

Masses in g, lengths in mm, in the aeroplane's frame. n is the number of samples. Statics throughout: a
centre of gravity is the sum of the moments over the sum of the masses.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from foldwright.airframe.model import MassItem
from foldwright.base.types import FloatArray
from foldwright.design.resolve import FittedBattery
from foldwright.geometry.fold.mass import box_moments


@dataclass(frozen=True, slots=True, eq=False)
class Weights:
    """The aeroplane without its battery.

    moments (4, 4): centre values. mass, first (n,): mass [g] and moment about the datum's y axis, Σ m x
    [g·mm], with the board's scale of every sample. movable: items with a slide, as they stand.
    """

    moments: FloatArray
    mass: FloatArray
    first: FloatArray
    movable: tuple[MassItem, ...]


def weights(items: Iterable[MassItem], mass_scale: FloatArray) -> Weights:
    """Sum up mass items; mass_scale (n,) multiplies everything cut from board and nothing else."""
    board, rest = np.zeros((4, 4)), np.zeros((4, 4))
    movable = []
    for item in items:
        if item.group == "board":
            board = board + item.moments
        else:
            rest = rest + item.moments
        if item.slide is not None:
            movable.append(item)
    return Weights(
        moments=mass_scale[0] * board + rest,
        mass=np.asarray(mass_scale * board[3, 3] + rest[3, 3]),
        first=np.asarray(mass_scale * board[0, 3] + rest[0, 3]),
        movable=tuple(movable),
    )


def battery_moments(battery: FittedBattery, centre: FloatArray) -> FloatArray:
    """Moments (4, 4) of a battery taken as an even box, its centre at (3,) mm."""
    return box_moments(centre, np.asarray(battery.size_mm, dtype=np.float64), battery.mass_g)


def place_for(wanted: float, mass: float, first: float, battery: float) -> float:
    """Centre of a battery (x) that puts the centre of gravity at `wanted`.

    mass, first: of everything else (g, g·mm); battery: its mass. Statics: (first + m x)/(mass + m) = wanted.
    """
    return wanted + (wanted * mass - first) / battery


@dataclass(frozen=True, slots=True)
class Ballast:
    """Mass [g] at x [mm]; end: "nose" or "tail"."""

    mass: float
    x: float
    end: str

    @property
    def grams(self) -> int:
        """Whole grams, upwards, since less would not do."""
        return math.ceil(self.mass - 1e-9)


def least_ballast(
    mass: float, cg: float, limits: tuple[float, float], ends: tuple[float, float]
) -> Ballast | None:
    """Least mass at an end of the aeroplane that brings its centre of gravity within limits.

    mass [g] and cg [mm] without it; limits: foremost and aftmost centre of gravity; ends: x of the nose and
    of the tail. None where none is needed, or where the end lies on the wrong side of the limit and no mass
    would do. Statics: m (limit - x_end) = mass (cg - limit).
    """
    forward, aft = limits
    if forward <= cg <= aft:
        return None
    limit, x, end = (aft, ends[0], "nose") if cg > aft else (forward, ends[1], "tail")
    arm = limit - x
    needed = mass * (cg - limit) / arm if arm != 0.0 else -1.0
    return Ballast(needed, x, end) if needed > 0.0 else None


@dataclass(frozen=True, slots=True)
class Move:
    """An item moved along its slide: id, x of its centre before and after [mm]."""

    item: str
    before: float
    after: float


def moves_for(movable: Iterable[MassItem], needed: float) -> tuple[Move, ...]:
    """Fewest moves of items along their slides that change Σ m x by `needed` [g·mm]; empty if they cannot.

    The item that can give most goes first; the last one goes only as far as it must.
    """
    reach = []
    for item in movable:
        mass = float(item.moments[3, 3])
        if item.slide is None or mass <= 0.0:
            continue
        here = float(item.moments[0, 3]) / mass
        end = item.slide[1] if needed > 0.0 else item.slide[0]
        gain = mass * (end - here)
        if gain * needed > 0.0:
            reach.append((abs(gain), item.id, here, mass))
    left, found = needed, []
    for most, name, here, mass in sorted(reach, key=lambda row: (-row[0], row[1])):
        step = float(np.clip(left, -most, most))
        found.append(Move(name, here, here + step / mass))
        left -= step
        if abs(left) <= 1e-9 * abs(needed):
            return tuple(found)
    return ()
