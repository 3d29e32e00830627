"""Balance: mass, centre of gravity, inertia, balance point and its limits, the battery's place.

Lengths in mm in the aeroplane's frame, masses in g. The builder balances the aeroplane at the mark by
moving the battery, so the centre of gravity that flies is the placed one with the error of balancing
(assumption cg_shift_mm); what the masses alone would give stands beside it as a band.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from foldwright.airframe.model import Airframe
from foldwright.base.band import Band
from foldwright.base.finding import Finding, Param, Verdict
from foldwright.base.types import FloatArray
from foldwright.design.model import Targets
from foldwright.design.resolve import Resolved
from foldwright.flight.battery import BatteryPlace, Bay, Limits, place_battery
from foldwright.flight.lift import Lift, Samples
from foldwright.flight.weights import Weights, battery_moments, weights
from foldwright.geometry.fold.mass import mass_properties


@dataclass(frozen=True, slots=True)
class BalancePoint:
    """x [mm], distance behind the leading edge at the root and at the marks [mm], static margin [% chord].

    pct: percent of the mean aerodynamic chord behind its leading edge.
    """

    x: float
    behind_root: float
    behind_marks: float
    margin_pct: float
    pct: float


@dataclass(frozen=True, slots=True, eq=False)
class Balance:
    """How the aeroplane balances. n is the number of samples.

    mass: all-up, g; wing_loading: g/dm². cg (3,): centre of gravity, mm; cg_from_masses: band of its x
    before anyone balances it. inertia (3, 3): about it, g·mm², geometry axes (x aft, y right, z up),
    products with the minus sign; the body axes x forward, z down have the same numbers.
    neutral_point: band, mm. wanted: balance point of the wanted static margin; placed: where it
    balances with the battery in its place, as card, marks and trims have it. forward, aft: of the
    greatest and least allowed static margin about the expected neutral point. first_aft: aft limit of the
    first flights, from the 5th percentile of the neutral point; the window runs from `forward` to it and
    is empty where `first_window` is False. static_margin: reached, % chord, over all samples.
    battery: the fitted one in its place; alternatives: the others, each where the balance wants it.
    cg_samples, mass_samples (n,): x [mm] and all-up mass [g] that flight is worked out with.
    """

    mass: Band
    wing_loading: Band
    cg: FloatArray
    cg_from_masses: Band
    inertia: FloatArray
    neutral_point: Band
    wanted: BalancePoint
    placed: BalancePoint
    forward: BalancePoint
    aft: BalancePoint
    first_aft: BalancePoint
    static_margin: Band
    battery: BatteryPlace
    alternatives: tuple[BatteryPlace, ...]
    cg_samples: FloatArray
    mass_samples: FloatArray
    findings: tuple[Finding, ...]

    @property
    def placed_behind_marks(self) -> float:
        """Where it balances with the battery in its place, behind the leading edge at the marks, mm."""
        return self.placed.behind_marks

    @property
    def first_window(self) -> bool:
        """Whether any centre of gravity is right for the first flights."""
        return self.forward.x <= self.first_aft.x


def balance(
    airframe: Airframe,
    equipment: Resolved,
    targets: Targets,
    lift: Lift,
    samples: Samples,
    mark_y: float | None = None,
) -> Balance:
    """Balance an airframe with its equipment.

    airframe.masses holds everything but the battery. mark_y: distance of the balance marks from the centre
    line, mm; None: at the root.
    """
    base = weights(airframe.masses, samples["mass_scale"])
    points = _Points(airframe, lift, 0.0 if mark_y is None else mark_y)
    limits = _limits(lift, targets)
    bay, tips = Bay(*equipment.battery_slide_mm), ends(airframe)
    battery = place_battery(equipment.battery, bay, limits, base, tips, equipment.battery_x_mm)
    others = tuple(place_battery(other, bay, limits, base, tips) for other in equipment.alternatives)
    centre = np.array([battery.x, equipment.battery_y_mm, equipment.battery_z_mm])
    whole = mass_properties(base.moments + battery_moments(equipment.battery, centre))
    mass_samples, natural = _natural(base, battery)
    cg_samples = np.asarray(whole.cg[0] + samples["cg_shift_mm"])
    first_aft = points.at(limits.first_aft)
    forward = points.at(limits.forward)
    return Balance(
        mass=Band.of(mass_samples, "g", "folded panels, equipment, board's own spread"),
        wing_loading=Band.of(mass_samples / (lift.mean.area * 1e-4), "g/dm²", "mass over wing area"),
        cg=whole.cg,
        cg_from_masses=Band.of(natural, "mm", "folded panels, equipment, board's own spread"),
        inertia=whole.inertia,
        neutral_point=lift.neutral_band,
        wanted=points.at(limits.wanted),
        placed=points.at(float(whole.cg[0])),
        forward=forward,
        aft=points.at(limits.aft),
        first_aft=first_aft,
        static_margin=Band.of(
            lift.margin(cg_samples) * 100.0,
            "% chord",
            "neutral point with its band, balanced within its error",
        ),
        battery=battery,
        alternatives=others,
        cg_samples=cg_samples,
        mass_samples=mass_samples,
        findings=_findings(battery, others, forward, first_aft),
    )


def _limits(lift: Lift, targets: Targets) -> Limits:
    neutral, chord = float(lift.neutral_point[0]), lift.mean.chord
    wanted, forward, aft = (
        neutral - margin / 100.0 * chord
        for margin in (
            targets.static_margin_pct,
            targets.static_margin_most_pct,
            targets.static_margin_least_pct,
        )
    )
    careful = float(np.percentile(lift.neutral_point, 5.0))
    return Limits(wanted, forward, aft, aft - (neutral - careful), neutral, chord)


@dataclass(frozen=True, slots=True, eq=False)
class _Points:
    """Turns an x into a balance point."""

    airframe: Airframe
    lift: Lift
    mark_y: float

    def at(self, x: float) -> BalancePoint:
        """Balance point at x [mm]."""
        le = self.airframe.wing.le
        marks = float(np.interp(self.mark_y, le[:, 1], le[:, 0]))
        margin = float(self.lift.margin(x)[0]) * 100.0
        return BalancePoint(x, x - float(le[0, 0]), x - marks, margin, float(self.lift.share(x)) * 100.0)


def ends(airframe: Airframe) -> tuple[float, float]:
    """Foremost and aftmost practicable x for ballast: the ends of the bodies, or of the wing."""
    bodies = airframe.bodies
    if bodies:
        return float(min(body.x[0] for body in bodies)), float(max(body.x[-1] for body in bodies))
    wing = airframe.wing
    return float(np.min(wing.le[:, 0])), float(np.max(wing.le[:, 0] + wing.chord))


def _natural(base: Weights, battery: BatteryPlace) -> tuple[FloatArray, FloatArray]:
    """All-up mass (n,) and the centre of gravity (n,) that the masses give with the battery at its place."""
    mass = base.mass + battery.battery_mass
    return np.asarray(mass), np.asarray((base.first + battery.battery_mass * battery.x) / mass)


def _findings(
    battery: BatteryPlace, others: tuple[BatteryPlace, ...], forward: BalancePoint, first_aft: BalancePoint
) -> tuple[Finding, ...]:
    found: list[Finding] = []
    for place in (battery, *others):
        if place.too_long:
            params: dict[str, Param] = {"battery": place.id, "length": round(place.rear - place.front, 1)}
            verdict: Verdict = "no-go" if place is battery else "watch"
            found.append(Finding("B01", verdict, "battery.slide_to_mm", params, source="geometry"))
    if forward.x > first_aft.x:
        window = {"forward": round(forward.behind_root, 1), "aft": round(first_aft.behind_root, 1)}
        found.append(Finding("B02", "watch", "targets.static_margin_most_pct", window, source="statics"))
    return tuple(found)
