"""The smallest single change that clears a finding: computed, never canned.

For every key that the finding's rule offers, the change is bisected through `evaluate`, rounded outward
to a step that a builder can hold, and confirmed: the finding clears and no other gets worse.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from foldwright.base.finding import Finding, severity
from foldwright.design.keypath import locate
from foldwright.design.load import rebuilt
from foldwright.design.model import Design
from foldwright.evaluate import Evaluation, evaluate
from foldwright.flight.planform import Detail
from foldwright.review.own_keys import names_of, own_keys
from foldwright.review.rules import cure_keys
from foldwright.review.subject import CureKey

_EXTRA = 3
"""Steps beyond the coarse model's answer that the fine one may want."""
_PLACES = (0.06, 0.125, 0.25, 0.375, 0.5, 0.625, 0.75, 0.875, 1.0)
"""Shares of the way to a bound at which a cure is looked for first: what clears only between two of them is
not found."""


@dataclass(frozen=True, slots=True)
class Cure:
    """One change of one key that clears a finding.

    before, after: value of the key; share: size of the change against the key's own size, for ranking.
    """

    key: str
    before: float
    after: float
    unit: str
    share: float

    @property
    def says(self) -> str:
        """Key, before, after and how much, such as battery.x_mm 60 → 74 mm (14 more)."""
        more = self.after - self.before
        size = f"{abs(more):.4g} {'more' if more > 0 else 'less'}"
        return f"{self.key} {self.before:.6g} → {self.after:.6g} {self.unit} ({size})"


def find_cures(
    evaluation: Evaluation, finding: Finding, say: Callable[[str], None] = lambda _text: None
) -> tuple[Cure, ...]:
    """Cures of one finding, the smallest relative change first; empty where no single key clears it.

    say: told what is being tried. The search runs on the coarse detail where the finding shows there too;
    every cure is confirmed in the evaluation's own detail. A finding of the geometry is cured by the number
    that it is about; where it kept the aeroplane from being worked out, only geometry is held against a cure.
    """
    if finding.verdict == "clear":
        return ()
    coarse = _again(evaluation, evaluation.design, "interactive")
    search = coarse if _gravest(coarse.findings).get((finding.code, finding.where), 0) > 0 else evaluation
    found = []
    for key in _keys(evaluation, finding):
        say(f"{finding.code}: trying {key.key}")
        cure = _bisect(evaluation, search, finding, key)
        if cure is not None:
            found.append(cure)
    return tuple(sorted(found, key=lambda cure: (cure.share, cure.key)))


def _keys(evaluation: Evaluation, finding: Finding) -> tuple[CureKey, ...]:
    """Keys to be tried: those of the finding's rule, else those that a geometry finding is about."""
    results = evaluation.results
    of_rule = () if results is None else cure_keys(finding.code, results.subject)
    if of_rule or not finding.code.startswith("G"):
        return of_rule
    known = {name: value_of(evaluation.design, name) for name in names_of(finding)}
    return own_keys(finding, {name: value for name, value in known.items() if value is not None})


def _again(evaluation: Evaluation, design: Design, detail: Detail) -> Evaluation:
    return evaluate(design, evaluation.workshop, evaluation.stock, evaluation.assumptions, detail)


def changed(design: Design, key: str, value: float) -> Design | None:
    """The design with one number changed; None where the files' own checks refuse it."""
    data: dict[str, Any] = design.model_dump(mode="json", exclude_none=True)
    path = locate(key, data)
    if path is None:
        return None
    around: Any = data
    for step in path[:-1]:
        around = around[step]
    around[path[-1]] = value
    return rebuilt(data)


def value_of(design: Design, key: str) -> float | None:
    """The number at a key path, None where there is none."""
    here: Any = design.model_dump(mode="json", exclude_none=True)
    path = locate(key, here)
    if path is None:
        return None
    for step in path:
        if isinstance(here, Mapping) and step not in here:
            return None
        here = here[step]
    return float(here) if isinstance(here, int | float) and not isinstance(here, bool) else None


def _bisect(evaluation: Evaluation, search: Evaluation, finding: Finding, key: CureKey) -> Cure | None:
    """Smallest change of one key, toward either bound, that clears the finding."""
    before = value_of(evaluation.design, key.key)
    if before is None:
        return None
    best: Cure | None = None
    for bound in (key.low, key.high):
        steps = _toward(evaluation, search, finding, key, before, bound)
        if steps == 0:
            continue
        after = round(before + steps * key.step, 6)
        size = abs(after - before)
        cure = Cure(key.key, before, after, key.unit, size / max(abs(before), abs(key.high - key.low) / 2.0))
        if best is None or size < abs(best.after - best.before):
            best = cure
    return best


def _toward(
    evaluation: Evaluation, search: Evaluation, finding: Finding, key: CureKey, before: float, bound: float
) -> int:
    """Fewest steps (signed) from `before` toward `bound` that clear the finding, 0 where none do.

    First the finding alone is looked for, on a few places from near to far, and bisected; then the change
    is confirmed in the evaluation's own detail: cleared, and no other finding worse.
    """
    way = 1 if bound > before else -1
    most = int(abs(bound - before) / key.step + 1e-9)

    def at(steps: int) -> float:
        return before + way * steps * key.step

    places = sorted({max(1, round(most * share)) for share in _PLACES}) if most >= 1 else []
    low = 0
    for high in places:
        if _gone(search, finding, key.key, at(high)):
            break
        low = high
    else:
        return 0
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (low, middle) if _gone(search, finding, key.key, at(middle)) else (middle, high)
    tries = range(high, min(high + _EXTRA, most) + 1)
    return next((way * steps for steps in tries if _clears(evaluation, finding, key.key, at(steps))), 0)


def _gone(base: Evaluation, finding: Finding, key: str, value: float) -> bool:
    """Whether a value clears the finding itself, whatever else it does."""
    design = changed(base.design, key, round(value, 6))
    if design is None:
        return False
    tried = _again(base, design, base.detail)
    worked_out = tried.results is not None or base.results is None
    return worked_out and _gravest(tried.findings).get((finding.code, finding.where), 0) == 0


def _clears(base: Evaluation, finding: Finding, key: str, value: float) -> bool:
    """Whether a value clears the finding and makes none worse, judged in the detail of `base`."""
    design = changed(base.design, key, round(value, 6))
    if design is None:
        return False
    tried = _again(base, design, base.detail)
    if base.results is None:
        after = tuple(one for one in tried.findings if one.code.startswith("G"))
        return _better(base.findings, after, finding)
    return tried.results is not None and _better(base.findings, tried.findings, finding)


def _better(before: tuple[Finding, ...], after: tuple[Finding, ...], cured: Finding) -> bool:
    """Whether `cured` is gone and no other finding of the same code and place, or a new one, is graver."""
    gravest = _gravest(after)
    if gravest.get((cured.code, cured.where), 0) > 0:
        return False
    old = _gravest(before)
    return all(grade <= old.get(place, 0) for place, grade in gravest.items())


def _gravest(findings: tuple[Finding, ...]) -> dict[tuple[str, str], int]:
    result: dict[tuple[str, str], int] = {}
    for finding in findings:
        place = (finding.code, finding.where)
        result[place] = max(result.get(place, 0), severity(finding.verdict))
    return result
