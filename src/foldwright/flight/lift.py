"""Lift, pitching moment and stability of this aeroplane, over the samples of the assumptions.

The lattice gives the lifting surfaces; the body's destabilising moment comes from the apparent mass of its
sections (physics.body_moment) and moves the neutral point forward by C_m,alpha,body/C_L,alpha · c.
Positions are in mm in the aeroplane's frame, everything else SI and radians.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from foldwright.airframe.model import Airframe, Body, Control, LiftingSurface
from foldwright.base.band import Band
from foldwright.base.finding import Finding
from foldwright.base.types import FloatArray
from foldwright.flight.controls import AXES, Axis, Rigged, answering, mixed, place, rigged
from foldwright.flight.planform import (
    Detail,
    M,
    MeanChord,
    crowded,
    mean_chord,
    one_sided,
    reference,
    shapes,
    surfaces,
)
from foldwright.flight.strip_sums import Rows, strip_rows
from foldwright.physics.body_moment import apparent_volume, flow_slope, moment_slope
from foldwright.physics.lattice import COEFFICIENTS, Lattice, solve

Samples = Mapping[str, FloatArray]
"""Samples of the assumptions by name, each (n,), element 0 the centre (design.assumptions)."""


@dataclass(frozen=True, slots=True)
class Pitch:
    """Longitudinal slopes of the lattice about the quarter point of the mean chord, linear in alpha, delta.

    alpha0: incidence of zero lift of the neutral aeroplane [rad], against the x axis. cl_alpha, cm_alpha,
    cl_delta, cm_delta [1/rad]: delta is the mixed pitch state (flight.controls): every pitch control alike,
    trailing edge down positive, those ahead of the wing trailing edge up; no viscous loss yet. cm0: moment
    at zero lift from the folded camber, nose-up positive.
    """

    alpha0: float
    cl_alpha: float
    cm_alpha: float
    cl_delta: float
    cm_delta: float
    cm0: float


@dataclass(frozen=True, slots=True)
class Station:
    """Where trailing-edge travel is measured: the control that trims, an elevator before elevons.

    control: id; y: of its inner end, mm; chord: from the hinge or pivot line to the trailing edge, mm.
    surface: id of what carries it. sense: +1, or -1 on a canard, which turns against the mixed pitch state.
    """

    control: str
    y: float
    chord: float
    surface: str = ""
    sense: float = 1.0


@dataclass(frozen=True, slots=True, eq=False)
class Lift:
    """What the air does to this aeroplane. n is the number of samples.

    lattice: about the quarter point of the mean chord, m. surfaces: the airframe's, mm. mean: reference of
    the main wing, mm. pitch: longitudinal slopes. body_cm_alpha, body_cn_beta: the bodies' share [1/rad],
    nose-up and nose-right positive, not in the lattice. neutral_lattice: neutral point (x) of the lattice,
    mm. neutral_point (n,): with body term and shift, mm. cm0 (n,): with its shift. eta (n,): effectiveness
    of the pitch controls, 1 where whole surfaces turn; flap_eta: of flaps, centre value. cl_max (n,): end of
    the attached branch. controls: those that trim, the station's first; station: where their travel is
    measured, None without any. shares (k,): part of every one of them in the mixed pitch moment about the
    neutral point, 0-1, sum 1. rigged: every control that the lattice holds, with its name, senses and
    states. findings: surfaces that the lattice holds otherwise than they stand, or not at all.
    """

    lattice: Lattice
    surfaces: tuple[LiftingSurface, ...]
    mean: MeanChord
    pitch: Pitch
    body_cm_alpha: float
    body_cn_beta: float
    neutral_lattice: float
    neutral_point: FloatArray
    cm0: FloatArray
    eta: FloatArray
    flap_eta: float
    cl_max: FloatArray
    controls: tuple[Control, ...]
    station: Station | None
    findings: tuple[Finding, ...]
    shares: FloatArray
    rigged: tuple[Rigged, ...]

    @property
    def neutral_band(self) -> Band:
        """Neutral point, mm aft of the nose datum."""
        return Band.of(self.neutral_point, "mm", "vortex lattice, body by apparent mass, shift assumed")

    @property
    def neutral_pct(self) -> Band:
        """Neutral point in percent of the mean aerodynamic chord."""
        share = (self.neutral_point - self.mean.leading) / self.mean.chord * 100.0
        return Band.of(share, "% chord", "vortex lattice, body by apparent mass, shift assumed")

    def share(self, x: FloatArray | float) -> FloatArray:
        """Fraction of the mean chord at which x [mm] lies."""
        return np.asarray((np.asarray(x) - self.mean.leading) / self.mean.chord)

    def margin(self, x: FloatArray | float) -> FloatArray:
        """Static margin (fraction of the mean chord) with the centre of gravity at x [mm], per sample."""
        return np.asarray((self.neutral_point - x) / self.mean.chord)


def lift(airframe: Airframe, detail: Detail, samples: Samples) -> Lift:
    """Solve the lattice of an airframe and add the body.

    detail: "interactive" or "final" (grids in flight.planform). Raises LookupError without a main wing.
    """
    mean = mean_chord(airframe.wing)
    lattice = solve(surfaces(airframe, detail), shapes(airframe), reference(mean))
    return lift_of(lattice, airframe, samples)


def lift_of(lattice: Lattice, airframe: Airframe, samples: Samples) -> Lift:
    """As `lift`, with the airframe's lattice already solved about its own reference point."""
    wing = airframe.wing
    mean = mean_chord(wing)
    held = tuple(each for each in rigged(airframe.surfaces) if each.surface.id in lattice.surfaces)
    pitching = answering(held, "pitch")
    rows = strip_rows(lattice, airframe.surfaces)
    pitch = _pitch(rows, mixed(pitching, "pitch"))
    body = sum(_body_cm_alpha(each, wing, mean, pitch.cl_alpha) for each in airframe.bodies)
    neutral = mean.leading + mean.chord * (0.25 - pitch.cm_alpha / pitch.cl_alpha)
    forward = body * samples["body_cm_alpha_factor"] / pitch.cl_alpha
    shift = samples["neutral_point_shift_pct"] / 100.0 - forward
    return Lift(
        lattice=lattice,
        surfaces=airframe.surfaces,
        mean=mean,
        pitch=pitch,
        body_cm_alpha=body,
        body_cn_beta=sum(_body_cn_beta(each, mean) for each in airframe.bodies),
        neutral_lattice=neutral,
        neutral_point=np.asarray(neutral + mean.chord * shift),
        cm0=np.asarray(pitch.cm0 + samples["cm0_shift"]),
        eta=_effectiveness(pitching, samples["flap_effectiveness"]),
        flap_eta=float(samples["flap_effectiveness"][0]),
        cl_max=samples["c_lmax"],
        controls=tuple(each.control for each in pitching),
        station=_station(pitching[0]) if pitching else None,
        findings=(*one_sided(airframe), *crowded(airframe)),
        shares=_shares(rows, pitch, pitching),
        rigged=held,
    )


def _effectiveness(controls: tuple[Rigged, ...], flap: FloatArray) -> FloatArray:
    """(n,) what viscosity leaves of the pitch controls: all of it where none of them has a hinge line."""
    whole = bool(controls) and all(each.control.all_moving for each in controls)
    return np.ones_like(flap) if whole else flap


def _station(first: Rigged) -> Station:
    control = first.control
    y = float(place(first.surface, control.inner)[1])
    return Station(control.id, y, control.chord, first.surface.id, first.sense[0])


def _shares(rows: Rows, pitch: Pitch, controls: tuple[Rigged, ...]) -> FloatArray:
    """(k,) share of every control in the mixed moment about the neutral point, as sizes."""
    margin = -pitch.cm_alpha / pitch.cl_alpha
    moments = [rows.get(each.state("pitch")) for each in controls]
    size = np.abs([moment + margin * lift for lift, moment in moments])
    total = float(np.sum(size))
    return np.asarray(size / total if total > 0.0 else size)


def _pitch(rows: Rows, weights: Mapping[str, float]) -> Pitch:
    (cl, cm), (cl_alpha, cm_alpha) = rows.get("one"), rows.get("alpha")
    turned = [[gain * value for value in rows.get(state)] for state, gain in weights.items()]
    alpha0 = -cl / cl_alpha
    return Pitch(
        alpha0=alpha0,
        cl_alpha=cl_alpha,
        cm_alpha=cm_alpha,
        cl_delta=sum(lift for lift, _ in turned),
        cm_delta=sum(moment for _, moment in turned),
        cm0=cm + cm_alpha * alpha0,
    )


def _body_cm_alpha(body: Body, wing: LiftingSurface, mean: MeanChord, cl_alpha: float) -> float:
    """C_m,alpha of one body [1/rad]; the sections under the wing's root chord take no part."""
    leading, chord = float(wing.le[0, 0]), float(wing.chord[0])
    x, width, height = _refined(body, (leading, leading + chord))
    slope = flow_slope(x, leading, leading + chord, cl_alpha, mean.area, mean.span)
    return moment_slope(apparent_volume(x, width, height, slope), mean.area, mean.chord)


def _body_cn_beta(body: Body, mean: MeanChord) -> float:
    """C_n,beta of one body [1/rad], negative (destabilising), nose-right positive: no wing in its way."""
    volume = apparent_volume(body.x, body.height, body.width, np.ones_like(body.x))
    return -moment_slope(volume, mean.area, mean.span)


REFINE = 96
"""Places along a body at which the flow direction is taken."""


def _refined(body: Body, edges: tuple[float, float]) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Body sections at many places; the wing's edges are met from both sides."""
    near = [edge + side for edge in edges for side in (-1e-6, 1e-6)]
    inside = [x for x in near if body.x[0] < x < body.x[-1]]
    even = np.linspace(body.x[0], body.x[-1], REFINE)
    x = np.unique(np.concatenate((even, body.x, inside)))
    return x, np.interp(x, body.x, body.width), np.interp(x, body.x, body.height)


def derivatives(lift: Lift, cg: FloatArray, alpha: float, delta: float) -> Mapping[str, float]:
    """All derivatives [1/rad] at a flight condition, about a centre of gravity.

    cg (3,): mm. alpha [rad]: incidence of the x axis; delta [rad]: mixed pitch state, trailing edge down aft
    of the wing. Names: "<coefficient>_<state>", coefficients CX aft, CY right, CZ up, CL, CD, Cl right wing
    down, Cm nose-up, Cn nose right; states alpha, beta, p, q, r (per p b/2V, q c/2V, r b/2V),
    "<control>/pitch", "/roll", "/yaw" (`controls.Rigged`) and the mixed "pitch", "roll", "yaw", where the
    aeroplane has such controls.
    Flaps carry their centre effectiveness, all-moving surfaces none; Cm_alpha and Cn_beta hold the body. CL
    and Cm are the strip sums that trim uses, so they agree with it; all others are the lattice's near-field
    forces at this condition.
    """
    left = {each.state(axis): _left(each, axis, lift) for each in lift.rigged for axis in each.axes}
    lattice = lift.lattice.about(np.array([cg[0], 0.0, cg[2]]) * M)
    deflected = {state: gain * left[state] * delta for state, gain in mixed(lift.rigged, "pitch").items()}
    table = dict(lattice.derivatives(lattice.state(alpha=alpha, **deflected)).named())
    table.update(_linear(strip_rows(lattice, lift.surfaces), lift.mean.chord * M))
    for name in table:
        table[name] *= left.get(name.partition("_")[2], 1.0)
    table["Cm_alpha"] += lift.body_cm_alpha
    table["Cn_beta"] += lift.body_cn_beta
    for axis in AXES:
        table.update(_mixed(table, axis, mixed(lift.rigged, axis)))
    return table


def _left(rigged: Rigged, axis: Axis, lift: Lift) -> float:
    """What viscosity leaves of a control's state, centre value; in pitch as trim has it."""
    if axis == "pitch" and rigged.gain("pitch"):
        return float(lift.eta[0])
    return 1.0 if rigged.control.all_moving else lift.flap_eta


def _mixed(table: Mapping[str, float], axis: Axis, weights: Mapping[str, float]) -> dict[str, float]:
    """Derivatives by the mixed state of one axis; none without a control that answers."""
    if not weights:
        return {}
    return {
        f"{name}_{axis}": sum(gain * table[f"{name}_{state}"] for state, gain in weights.items())
        for name in COEFFICIENTS
    }


def _linear(rows: Rows, chord: float) -> dict[str, float]:
    """CL, CZ and Cm by every state but "one", pitch rate per q c/2V; chord [m]."""
    table = {}
    for state in rows.states[1:]:
        cl, cm = (2.0 / chord * value if state == "q" else value for value in rows.get(state))
        table.update({f"CL_{state}": cl, f"CZ_{state}": cl, f"Cm_{state}": cm})
    return table
