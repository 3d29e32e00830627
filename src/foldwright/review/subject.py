"""What the rules read, and how a rule is written."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Literal

from foldwright.airframe.model import Airframe
from foldwright.base.finding import Finding, Param, Verdict
from foldwright.design.model import Design
from foldwright.design.parts import WingPlan
from foldwright.design.resolve import Resolved
from foldwright.design.usual import USUAL
from foldwright.design.workshop import Workshop
from foldwright.flight.air import Flown
from foldwright.flight.balance import Balance
from foldwright.flight.lift import Lift
from foldwright.flight.tail import TailEffect
from foldwright.flight.thrust_line import ThrustLine
from foldwright.flight.trim import Trims
from foldwright.review.layouts import JUDGED, PRACTICE, Range, spoken, usual

SLACK = 0.005
"""[judgement] share of a usual limit that a value may be past it: what prints as the limit is not outside."""


@dataclass(frozen=True, slots=True, eq=False)
class Subject:
    """One aeroplane worked out: all that a rule may read. slopes: derivatives at cruise trim, 1/rad.

    tail: volumes and shares of all but the wing, about the balance point. flown: what it does in the air.
    """

    design: Design
    workshop: Workshop
    fitted: Resolved
    airframe: Airframe
    lift: Lift
    balance: Balance
    trims: Trims
    thrust: ThrustLine
    slopes: Mapping[str, float]
    tail: TailEffect
    flown: Flown

    @property
    def wing_part(self) -> WingPlan:
        """The design's main wing. Raises LookupError where the main surface is no wing of the file."""
        wanted = self.airframe.wing.id
        for part in self.design.part:
            if part.id == wanted and isinstance(part, WingPlan):
                return part
        raise LookupError("the main lifting surface is no wing of the design")

    def usual(self, name: str) -> Range | None:
        """What is usual of a quantity (names in design.usual), None where nothing is."""
        return usual(self.design, name)

    @property
    def spoken(self) -> str:
        """The layout as findings name it, with its article."""
        return spoken(self.design)

    def names(self, kind: Literal["motor", "propeller", "battery"]) -> str:
        """Key path that names what is fitted: the workshop's `fit` where it says, else the design's own."""
        own = getattr(self.workshop.fit, kind)
        return f"fit.{kind}" if own is not None else f"{kind}.stock"


@dataclass(frozen=True, slots=True)
class CureKey:
    """A key that could cure a finding, with the values it may take and the step a builder can hold."""

    key: str
    low: float
    high: float
    step: float
    unit: str = "mm"


@dataclass(frozen=True, slots=True)
class Rule:
    """One numbered rule.

    judge: the findings of this rule, clear ones too; none where the rule does not apply.
    cures: keys that could cure it, in the order to be tried.
    """

    code: str
    judge: Callable[[Subject], tuple[Finding, ...]]
    cures: Callable[[Subject], tuple[CureKey, ...]] = lambda _subject: ()


def judged(
    code: str,
    verdict: Verdict,
    where: str,
    value: float | None,
    limit: float,
    unit: str,
    source: str,
    **params: Param,
) -> tuple[Finding, ...]:
    """One finding with its numbers rounded for printing; value None where what is judged does not exist."""
    shown: dict[str, Param] = {
        name: (_rounded(item, 3) if isinstance(item, float) else item) for name, item in params.items()
    }
    got = None if value is None else _rounded(value, 4)
    return (Finding(code, verdict, where, shown, got, _rounded(limit, 4), unit, source),)


def _rounded(value: float, digits: int) -> float:
    """Rounded, zero without a sign."""
    return round(value, digits) + 0.0


def held(
    subject: Subject, code: str, name: str, where: str, value: float, **params: Param
) -> tuple[Finding, ...]:
    """A finding that holds a value against what is usual; none where nothing is.

    name: of the range in design.usual, which also gives the unit. params: further figures; `wanted` (the
    range in words) and `layout` are always there.
    """
    wanted = subject.usual(name)
    if wanted is None:
        return ()
    verdict: Verdict = "clear" if wanted.holds(value, SLACK * abs(wanted.passed(value))) else "watch"
    return judged(
        code, verdict, where, value, wanted.passed(value), USUAL[name].unit, wanted.source,
        wanted=wanted.says, layout=subject.spoken, **params,
    )  # fmt: skip


__all__ = ["JUDGED", "PRACTICE", "CureKey", "Rule", "Subject", "held", "judged"]
