"""The one call that the command line, plan sets, cures and tests share."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from foldwright.airframe.build import build_airframe
from foldwright.airframe.marking import place_marks
from foldwright.airframe.model import Airframe
from foldwright.base.finding import Finding, Verdict, worst
from foldwright.design.assumptions import Assumptions, assumptions_for
from foldwright.design.model import Design
from foldwright.design.resolve import Resolved, fit
from foldwright.design.stock import Stock
from foldwright.design.workshop import Workshop
from foldwright.flight.air import Flown, Ready, fly
from foldwright.flight.balance import Balance, balance
from foldwright.flight.lift import Lift, derivatives, lift
from foldwright.flight.planform import Detail
from foldwright.flight.tail import TailEffect, tail_effect
from foldwright.flight.thrust_line import ThrustLine, thrust_line
from foldwright.flight.trim import Trims, trims
from foldwright.review.checks import folding_findings
from foldwright.review.marks import mark_requests
from foldwright.review.rules import review
from foldwright.review.subject import Subject

SAMPLES: dict[Detail, int] = {"interactive": 32, "final": 256}


@dataclass(frozen=True, slots=True, eq=False)
class Results:
    """Everything that was worked out, complete.

    airframe: with its marks in the final detail, without in the interactive one. slopes: derivatives at
    cruise trim about the balance, 1/rad. tail: downwash, volumes and shares of all but the wing. flown: what
    it does in the air. subject: what the rules have read (without marks).
    """

    fitted: Resolved
    airframe: Airframe
    lift: Lift
    balance: Balance
    trims: Trims
    thrust: ThrustLine
    slopes: Mapping[str, float]
    tail: TailEffect
    flown: Flown
    subject: Subject


@dataclass(frozen=True, slots=True, eq=False)
class Evaluation:
    """One design, built in one workshop, judged.

    results: complete, or None where a stage could not run (a finding says why). findings: all of them, the
    clear ones too.
    """

    design: Design
    workshop: Workshop
    stock: Stock
    assumptions: Assumptions
    detail: Detail
    results: Results | None
    findings: tuple[Finding, ...]

    @property
    def verdict(self) -> Verdict:
        """The gravest of all findings."""
        return worst(self.findings)


def evaluate(
    design: Design,
    workshop: Workshop,
    stock: Stock,
    assumptions: Assumptions | None = None,
    detail: Detail = "final",
) -> Evaluation:
    """Fold, balance, trim and judge a design as this workshop builds it.

    assumptions: judgement values; those of the files where left out. detail: "interactive" (coarse lattice,
    32 samples) or "final" (fine lattice, 256 samples, blanks tried as solids along their fold paths,
    marks placed).
    """
    judged = assumptions if assumptions is not None else assumptions_for(design, workshop)
    results, findings = _work(design, workshop, stock, judged, detail)
    return Evaluation(design, workshop, stock, judged, detail, results, findings)


def _work(
    design: Design, workshop: Workshop, stock: Stock, assumptions: Assumptions, detail: Detail
) -> tuple[Results | None, tuple[Finding, ...]]:
    read = fit(design, workshop, stock)
    fitted, findings = read.value, read.findings
    if fitted is None:
        return None, findings
    airframe = build_airframe(design, fitted, workshop)
    findings += airframe.findings
    if worst(airframe.findings) == "no-go":
        return None, findings
    findings += folding_findings(airframe, detail)
    samples = assumptions.samples(SAMPLES[detail])
    air = lift(airframe, detail, samples)
    weighed = balance(airframe, fitted, design.targets, air, samples)
    trimmed, missing = trims(airframe, air, weighed, design.targets, samples)
    findings += (*air.findings, *weighed.findings, *missing)
    if trimmed is None:
        return None, findings
    power = thrust_line(airframe, air, weighed, design.targets, samples)
    slopes = derivatives(air, weighed.cg, *_cruise(trimmed))
    tail = tail_effect(air, airframe, float(weighed.cg[0]))
    flown = fly(Ready(airframe, air, weighed, trimmed, samples), design, fitted, detail)
    subject = Subject(design, workshop, fitted, airframe, air, weighed, trimmed, power, slopes, tail, flown)
    findings += review(subject)
    marked = airframe
    if detail == "final":
        marked, lost = place_marks(airframe, mark_requests(subject))
        findings += lost
    return Results(fitted, marked, air, weighed, trimmed, power, slopes, tail, flown, subject), findings


def _cruise(trimmed: Trims) -> tuple[float, float]:
    """Incidence and deflection of the centre sample at cruise, rad; zero where there is no trim."""
    state = trimmed.cruise.state
    return float(np.nan_to_num(state.alpha[0])), float(np.nan_to_num(state.delta[0]))
