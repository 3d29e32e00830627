"""Subjects for the rules: the demo with tables added, and the demo's figures with other surfaces put in."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from foldwright.airframe.model import LiftingSurface
from foldwright.base.finding import Finding
from foldwright.base.messages import words
from foldwright.design.assumptions import assumptions_for
from foldwright.design.load import rebuilt
from foldwright.design.model import Design
from foldwright.flight.lift import lift
from foldwright.flight.tail import tail_effect
from foldwright.review.rules import RULES
from foldwright.review.subject import Subject
from tests.world import judge, plain


def with_tables(base: Design | None = None, **tables: Any) -> Design:
    """A design, the plain demo where left out, with whole tables put in or changed; keys go to the ends."""
    data: dict[str, Any] = (base or plain()).model_dump(mode="json", exclude_none=True)
    for name, table in tables.items():
        held = data.get(name)
        data[name] = {**held, **table} if isinstance(held, dict) and isinstance(table, dict) else table
    found = rebuilt(data)
    if found is None:
        raise ValueError(f"refused on reading: {tables}")
    return found


def subject_of(design: Design) -> Subject:
    """What the rules read of a design, coarse."""
    found = judge(design)
    if found.results is None:
        raise ValueError([words(f).says for f in found.findings if f.verdict == "no-go"])
    return found.results.subject


CG_X = 245.0
"""Where hand-made aeroplanes balance: the quarter chord of tests.flight.layouts' wing, mm."""


def shaped(layout: str, *surfaces: LiftingSurface, slopes: Mapping[str, float] | None = None) -> Subject:
    """The demo's subject with another layout and other surfaces, which fly in the coarse lattice.

    Figures of balance and trim stay the demo's; tails are worked out about CG_X.
    """
    subject = subject_of(with_tables(design={"layout": layout}))
    airframe = replace(subject.airframe, surfaces=surfaces, bodies=())
    air = lift(airframe, "interactive", assumptions_for(subject.design, subject.workshop).samples(4))
    return replace(
        subject,
        airframe=airframe,
        lift=air,
        tail=tail_effect(air, airframe, CG_X),
        slopes={**subject.slopes, **(slopes or {})},
    )


def judged(subject: Subject, code: str) -> tuple[Finding, ...]:
    """Findings of the rule of that code; its sentences are made too, so that a missing figure shows."""
    (rule,) = [rule for rule in RULES if rule.code == code]
    found = rule.judge(subject)
    for finding in found:
        said = words(finding)
        if not all((said.title, said.says, said.cure)):
            raise ValueError(f"{code} says nothing")
    return found


def one(subject: Subject, code: str) -> Finding:
    """The one finding of that rule."""
    (finding,) = judged(subject, code)
    return finding
