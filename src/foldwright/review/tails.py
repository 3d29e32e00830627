"""What the surfaces say by themselves: areas of surfaces and controls, dihedral, sweep, washout.

Volumes and shares in the stability are `flight.tail`'s. First principles: trapezoids between stations.
"""

from __future__ import annotations

from math import atan2, degrees

from foldwright.airframe.model import Control, LiftingSurface
from foldwright.flight.tail import TailEffect, area_of

TAIL_LEAST = 0.1
"""[judgement] volume from which lying surfaces are a tail: fins that lean have a little too."""


def lying_volume(tail: TailEffect) -> float:
    """Volume of all lying surfaces, ahead or behind alike."""
    return sum(abs(each.volume) for each in tail.lying)


def largest_lying(tail: TailEffect) -> str:
    """Id of the lying surface with the greatest volume, "" for none."""
    return max(((abs(each.volume), each.surface) for each in tail.lying), default=(0.0, ""))[1]


def largest_standing(tail: TailEffect) -> str:
    """Id of the standing surface with the greatest volume, "" for none."""
    return max(((abs(each.volume), each.surface) for each in tail.standing), default=(0.0, ""))[1]


def has_tail(tail: TailEffect) -> bool:
    """Whether something besides the wing keeps it level: a tailplane, a V-tail or a foreplane."""
    return lying_volume(tail) >= TAIL_LEAST


def control_area(surface: LiftingSurface, control: Control) -> float:
    """Area of a control behind its hinge, mm², both sides where the surface is symmetric."""
    sides = 2.0 if surface.symmetric else 1.0
    if control.all_moving:
        return area_of(surface)
    outer = control.chord if control.outer_chord is None else control.outer_chord
    return sides * (control.outer - control.inner) * (control.chord + outer) / 2.0


def mean_dihedral(surface: LiftingSurface) -> float:
    """Rise of the tip over the root by the half span, degrees: bays of different rise taken together."""
    rise, out = surface.le[-1, 2] - surface.le[0, 2], surface.le[-1, 1] - surface.le[0, 1]
    return degrees(atan2(float(rise), float(out))) if float(out) > 0.0 else 0.0


def quarter_sweep(surface: LiftingSurface) -> float:
    """Sweep of the line of quarter chords from root to tip, degrees, aft positive."""
    quarter = surface.le[:, 0] + 0.25 * surface.chord
    return degrees(atan2(float(quarter[-1] - quarter[0]), float(surface.arc[-1])))


def nose_down_at_tip(surface: LiftingSurface) -> float:
    """How far the tip is turned nose-down against the root, degrees: washout and folding twist together."""
    return degrees(float(surface.twist[0] - surface.twist[-1]))
