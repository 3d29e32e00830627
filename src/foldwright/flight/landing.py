"""Landing: speed of the approach, sinking without power, the flare, and what the ground has to take.

The slide or run on the ground, ground effect and the wind's gradient are not modelled.

Source: first principles (physics.answer.flare_height); 1.3 times the stall speed is common practice, no
source.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from foldwright.base.band import Band
from foldwright.base.types import FloatArray
from foldwright.flight.envelope import along
from foldwright.flight.level import Plane, drag_coefficient
from foldwright.flight.planform import M
from foldwright.flight.sticks import Case, full
from foldwright.flight.trim import Pull, slopes_at, trim_state
from foldwright.physics.answer import acting, flare_height
from foldwright.physics.trim import TrimState, control_power

APPROACH = 1.3
"""Approach speed over the stall speed; common practice, no source."""
BASIS = "drag item by item, lattice, no power, assumptions sampled"
FLARE_BASIS = "greatest lift that full up holds at approach speed, first principles"


@dataclass(frozen=True, slots=True, eq=False)
class Landing:
    """approach: speed, m/s; all else is told at its centre, which the card names. sink: without power, m/s;
    angle: of the path below the horizon, degrees. load: load factor that full up can pull; flare: height
    within which that ends the sinking, m (missing where it cannot). energy: of motion, J; energy_down: of the
    sinking alone, without a flare, J: what legs or belly take.
    """

    approach: Band
    sink: Band
    angle: Band
    load: Band
    flare: Band
    energy: Band
    energy_down: Band


def landing(case: Case) -> Landing:
    """All of it."""
    speed = APPROACH * float(case.stall[0])
    state, ratio = _glide(case, speed)
    path = np.arctan(1.0 / ratio)
    sink = speed * np.sin(path)
    load = _load(case, state)
    mass = case.balance.mass_samples * M
    return Landing(
        approach=Band.of(APPROACH * case.stall, "m/s", "1.3 times the stall speed (common practice)"),
        sink=Band.of(sink, "m/s", BASIS),
        angle=Band.of(np.degrees(path), "°", BASIS),
        load=Band.of(load, "", FLARE_BASIS),
        flare=Band.of(flare_height(sink, load), "m", FLARE_BASIS),
        energy=Band.of(0.5 * mass * speed**2, "J", "mass and approach speed"),
        energy_down=Band.of(0.5 * mass * sink**2, "J", "mass and sinking speed"),
    )


def _glide(case: Case, speed: float) -> tuple[TrimState, FloatArray]:
    """Trim without power at a speed, and lift over drag, (n,) each."""
    area = along(np.stack([each.area for each in case.found.drags]), case.found.level.speeds, speed)
    plane = Plane(
        case.airframe, case.lift, case.balance, case.samples, case.found.drive, case.found.density,
        np.array([speed]), area,
    )  # fmt: skip
    still = Pull(np.zeros_like(case.weight), speed, case.found.density)
    state = trim_state(case.airframe, case.lift, case.balance, case.samples, still)
    return state, np.asarray(state.lift / drag_coefficient(plane, state))


def _load(case: Case, state: TrimState) -> FloatArray:
    """Load factor (n,) of full up from the approach: to the stall, or to the lift that the control holds."""
    slopes = slopes_at(case.lift, case.balance.cg_samples)
    end = acting(case.trims.launch.state.delta - full(case, "pitch"))
    nose_up = slopes.cm0 + case.lift.eta * control_power(slopes) * end
    margin = np.asarray(slopes.margin)
    held = np.where(margin > 0.0, nose_up / np.where(margin > 0.0, margin, 1.0), np.inf)
    most = np.minimum(held, slopes.cl_max)
    return np.asarray(np.where(np.isfinite(end), most, np.nan) / state.lift)
