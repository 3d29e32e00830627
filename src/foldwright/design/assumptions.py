"""Judgement values: named distributions with source and meaning, and deterministic samples of them.

Every value that is judged rather than computed stands here once. The design file's `[assumptions]`
replaces single ones; the workshop's board gives the spread of the mass.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import lru_cache
from types import MappingProxyType
from typing import TYPE_CHECKING

import numpy as np

from foldwright.base.types import FloatArray
from foldwright.design.sequence import standard_normal

if TYPE_CHECKING:
    from foldwright.design.model import Design
    from foldwright.design.workshop import Workshop

TOLERANCE = "[judgement] building tolerance, one standard deviation"


@dataclass(frozen=True, slots=True)
class Distribution:
    """A normal distribution cut off at what is possible.

    name: key in the design file. value: centre. sd: one standard deviation. unit: of all four numbers.
    least, most: limits that no sample passes. source: where centre and spread come from.
    meaning: what the value is and which way it counts.
    """

    name: str
    value: float
    sd: float
    unit: str
    least: float
    most: float
    source: str
    meaning: str


# Order fixes which column of the sequence each quantity takes; new ones are added at the end.
_ALL = (
    Distribution(
        "cm0_shift", 0.0, 0.012, "", -0.1, 0.1,
        "[judgement] spread 0.010-0.015 for folded sections with a step behind the strip",
        "added to the wing's pitching-moment coefficient at zero lift; positive pitches nose-up",
    ),
    Distribution(
        "neutral_point_shift_pct", 0.0, 2.5, "% chord", -15.0, 15.0, TOLERANCE,
        "added to the neutral point in percent of the reference chord; positive moves it aft",
    ),
    Distribution(
        "cg_shift_mm", 0.0, 3.0, "mm", -30.0, 30.0, TOLERANCE,
        "added to the balance point; positive moves it aft",
    ),
    Distribution(
        "flap_effectiveness", 0.8, 0.07, "", 0.3, 1.0,
        "[judgement] viscous flap effectiveness of a taped foam hinge, about 0.8",
        "share of the inviscid lift and moment that a control gives",
    ),
    Distribution(
        "thrust_factor", 1.0, 0.1, "", 0.0, 2.0,
        "[judgement] static thrust of like motors and propellers differs by some 10 %",
        "multiplies the static thrust of the stock entry",
    ),
    Distribution(
        "tilt_shift_deg", 0.0, 1.0, "degrees", -10.0, 10.0, TOLERANCE,
        "added to the tilt of the thrust line; positive nose-up",
    ),
    Distribution(
        "motor_height_shift_mm", 0.0, 4.0, "mm", -30.0, 30.0, TOLERANCE,
        "added to the height of the thrust line; positive up",
    ),
    Distribution(
        "mass_scale", 1.0, 0.05, "", 0.5, 1.5,
        "[judgement] batches of board differ by 5-10 %; replaced by the workshop's areal_density_sd_pct",
        "multiplies the mass of everything cut from board",
    ),
    Distribution(
        "c_lmax", 1.0, 0.15, "", 0.4, 1.6,
        "[judgement] flat-bottomed folded section at Reynolds number 100,000",
        "highest section lift coefficient",
    ),
    Distribution(
        "body_cm_alpha_factor", 1.0, 0.3, "", 0.0, 3.0,
        "[judgement] slender-body volume method on a square box",
        "multiplies the body's destabilising moment slope",
    ),
    Distribution(
        "inflow_factor", 1.0, 0.3, "", 0.0, 2.0,
        "[judgement] actuator-disc velocity near the propeller",
        "multiplies the velocity that the propeller adds over the controls",
    ),
    Distribution(
        "section_drag_factor", 1.0, 0.15, "", 0.3, 3.0,
        "[judgement] drag of folded sections is known to some 25 %",
        "multiplies the drag of wing, tail and fins at zero lift",
    ),
    Distribution(
        "step_factor", 1.0, 0.2, "", 0.0, 2.5,
        "[judgement] a step across the flow taken as a base of its height",
        "multiplies the drag of the step behind the under strip",
    ),
    Distribution(
        "laminar_share", 0.4, 0.15, "", 0.0, 0.9,
        "[judgement] paper-faced board at Reynolds numbers around 100,000",
        "share of the chord over which the flow stays laminar",
    ),
    Distribution(
        "suction_share", 0.6, 0.15, "", 0.0, 1.0,
        "[judgement] 0.3-0.9 for sharp folded noses",
        "share of the leading-edge suction that is kept: the rest of the lift's drag is that of a plate",
    ),
    Distribution(
        "body_drag_factor", 1.0, 0.25, "", 0.2, 3.0,
        "[judgement] square bodies with flat ends (Hoerner 1965, ch. 3 and 6, from memory)",
        "multiplies the drag of bodies, legs and gaps",
    ),
    Distribution(
        "propeller_thrust_factor", 1.0, 0.08, "", 0.5, 1.6,
        "[judgement] blade elements with a typical blade; a static test narrows it",
        "multiplies the thrust that the propeller's blade elements give",
    ),
    Distribution(
        "propeller_power_factor", 1.0, 0.08, "", 0.5, 1.6,
        "[judgement] blade elements with a typical blade; a static test narrows it",
        "multiplies the power that the propeller's blade elements take",
    ),
    Distribution(
        "cell_resistance_factor", 1.0, 0.25, "", 0.3, 4.0,
        "[judgement] age and cold: an old or cold battery has two or three times as much",
        "multiplies the battery's resistance",
    ),
    Distribution(
        "controller_loss", 0.05, 0.02, "", 0.0, 0.3,
        "[judgement] switching losses of a small speed controller",
        "share of the drive's power that the controller turns into heat",
    ),
    Distribution(
        "throw_speed_shift_m_s", 0.0, 0.7, "m/s", -4.0, 4.0,
        "[judgement] one thrower's spread",
        "added to the launch speed of the targets",
    ),
    Distribution(
        "throw_pitch_deg", 5.0, 4.0, "degrees", -20.0, 45.0,
        "[judgement] a level to slightly rising throw",
        "nose above the horizon on leaving the hand",
    ),
    Distribution(
        "throw_bank_deg", 0.0, 5.0, "degrees", -40.0, 40.0,
        "[judgement] one thrower's spread",
        "right wing down on leaving the hand",
    ),
    Distribution(
        "trim_error_mm", 0.0, 0.7, "mm", -5.0, 5.0, TOLERANCE,
        "added to the trailing edge's trim; positive up",
    ),
    Distribution(
        "warp_deg", 0.0, 0.4, "degrees", -5.0, 5.0, TOLERANCE,
        "right tip turned nose-up against the left one, half of it each",
    ),
    Distribution(
        "hinge_moment_factor", 1.0, 0.15, "", 0.3, 2.0,
        "[judgement] thin-flap theory without friction, real moments are less; the lattice errs by 10 %",
        "multiplies the hinge moments of the controls",
    ),
    Distribution(
        "damping_factor", 1.0, 0.1, "", 0.3, 2.0,
        "[judgement] damping of a lattice without wakes of bodies and propeller",
        "multiplies the damping in roll, pitch and yaw",
    ),
    Distribution(
        "directional_factor", 1.0, 0.2, "", 0.2, 2.0,
        "[judgement] body, propeller and wing wake at the fins",
        "multiplies the yawing moment of a sideslip",
    ),
    Distribution(
        "dihedral_factor", 1.0, 0.15, "", 0.2, 2.0,
        "[judgement] body and folded tips",
        "multiplies the rolling moment of a sideslip",
    ),
    Distribution(
        "inertia_factor", 1.0, 0.08, "", 0.5, 2.0,
        "[judgement] places of glue, wires and loose equipment",
        "multiplies the moments of inertia",
    ),
    Distribution(
        "static_test_factor", 1.0, 0.03, "", 0.5, 1.5,
        "[judgement] scale, voltage and air of a static test",
        "multiplies the static thrust that was measured",
    ),
)  # fmt: skip

DEFAULTS: Mapping[str, Distribution] = MappingProxyType({d.name: d for d in _ALL})


@dataclass(frozen=True, slots=True)
class Assumptions:
    """All judgement values of one evaluation, in the order of `DEFAULTS`."""

    entries: tuple[Distribution, ...] = _ALL

    def __getitem__(self, name: str) -> Distribution:
        """One of them by name. Raises KeyError for a name that is none."""
        for entry in self.entries:
            if entry.name == name:
                return entry
        raise KeyError(name)

    def centre(self, name: str) -> float:
        """Centre value, in the unit of the entry. Raises KeyError for a name that is none."""
        return self[name].value

    def changed(self, name: str, value: float, sd: float, source: str) -> Assumptions:
        """These, with another centre and spread of one. Raises KeyError for a name that is none."""
        old = self[name]
        new = replace(old, value=value, sd=sd, source=source)
        return Assumptions(tuple(new if entry is old else entry for entry in self.entries))

    def samples(self, n: int) -> Mapping[str, FloatArray]:
        """Samples by name, each (n,), in the entry's unit; element 0 is the centre, exactly.

        The same assumptions and n always give the same numbers, and changing one entry leaves the samples
        of the others as they are. n: 1 or more. The arrays cannot be written to.
        """
        return _samples(self, n)


@lru_cache(maxsize=64)
def _samples(assumptions: Assumptions, n: int) -> Mapping[str, FloatArray]:
    z = standard_normal(n, len(assumptions.entries))
    columns: dict[str, FloatArray] = {}
    for j, d in enumerate(assumptions.entries):
        column = np.clip(d.value + d.sd * z[:, j], d.least, d.most)
        column[0] = d.value
        column.setflags(write=False)
        columns[d.name] = column
    return MappingProxyType(columns)


def assumptions_for(design: Design, workshop: Workshop | None = None) -> Assumptions:
    """The defaults, narrowed by the workshop's board and overridden by the design file.

    Names that the design file gives and that are none have been reported on reading; they are left out.
    """
    result = Assumptions()
    if workshop is not None:
        sd = workshop.board.areal_density_sd_pct / 100.0
        result = result.changed("mass_scale", 1.0, sd, "the workshop's areal_density_sd_pct")
    for name in sorted(set(design.assumptions) & set(DEFAULTS)):
        own = design.assumptions[name]
        result = result.changed(name, own.value, own.sd, own.source)
    return result
