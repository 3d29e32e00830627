"""Templates of one finding's sentences."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Message:
    """Templates of one code: `str.format` strings over the finding's params, where, value, limit, unit.

    title: two to five words naming the rule.
    says: what is the matter, with its numbers.
    expected: what would be right; "" where the sentence already says so.
    got: what was found instead; "" likewise.
    cure: what to do.
    """

    title: str
    says: str
    expected: str = ""
    got: str = ""
    cure: str = ""
