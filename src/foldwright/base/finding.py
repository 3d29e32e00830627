"""One judged statement about a file, a design or a plan set."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Literal

Verdict = Literal["clear", "watch", "no-go"]
Param = str | float | int

_ORDER: dict[Verdict, int] = {"clear": 0, "watch": 1, "no-go": 2}


@dataclass(frozen=True, slots=True)
class Finding:
    """Code plus parameters; the sentence is made by `foldwright.base.messages.sentence`.

    code: stable code such as "G03" (F file, G geometry, B balance, T trim, P printed
    work, S sheets, R readback).
    verdict: "clear", "watch" or "no-go".
    where: key path ("wing.spar.height_mm") or part id ("wing/right/front") the statement is about.
    params: the numbers and words that the sentence needs.
    value, limit, unit: the judged number and the limit it was held against, where there is one.
    source: where the limit comes from.
    """

    code: str
    verdict: Verdict
    where: str
    params: Mapping[str, Param] = field(default_factory=dict)
    value: float | None = None
    limit: float | None = None
    unit: str = ""
    source: str = ""


def worst(findings: Iterable[Finding]) -> Verdict:
    """The gravest verdict among findings; "clear" where there is none."""
    verdict: Verdict = "clear"
    for finding in findings:
        if _ORDER[finding.verdict] > _ORDER[verdict]:
            verdict = finding.verdict
    return verdict


def severity(verdict: Verdict) -> int:
    """0 clear, 1 watch, 2 no-go: for sorting."""
    return _ORDER[verdict]
