"""Checks between the keys that all wings have."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from foldwright.base.finding import Finding
from foldwright.design import words
from foldwright.design.keypath import Path
from foldwright.design.raw import Raw, join


def controls(raw: Raw, wing: Path) -> Iterator[Finding]:
    """Ends and chords of the controls, and that none overlaps another."""
    spans: list[tuple[float, float, Path]] = []
    for path, _row in raw.rows(join(wing, "control")):
        inner, outer = raw.number(join(path, "inner_mm")), raw.number(join(path, "outer_mm"))
        yield from raw.order(join(path, "inner_mm"), "less than", join(path, "outer_mm"))
        yield from raw.order(join(path, "outer_mm"), "at most", join(wing, "span_mm"), 0.5)
        yield from raw.order(join(path, "chord_mm"), "less than", join(wing, "chord_mm"))
        yield from raw.order(join(path, "horn", "length_mm"), "less than", join(path, "outer_mm"))
        yield from raw.order(join(path, "horn", "ahead_mm"), "less than", join(wing, "chord_mm"))
        if inner is not None and outer is not None and inner < outer:
            spans.append((inner, outer, path))
    spans.sort(key=lambda s: (s[0], s[1]))
    for (a, b, first), (c, d, second) in pairwise(spans):
        if c < b:
            yield raw.finding(
                "F28", first, other=raw.where(second), first_from=words.number(a), first_to=words.number(b),
                second_from=words.number(c), second_to=words.number(d), overlap=words.number(min(b, d) - c),
            )  # fmt: skip


def bays(raw: Raw, wing: Path) -> Iterator[Finding]:
    """Ends of bays rise outward to the tip; only the last may be left out."""
    paths = [path for path, _ in raw.rows(join(wing, "bay"))]
    for before, after in pairwise(paths):
        yield from raw.missing(join(before, "end_mm"), join(after, "chord_mm"))
        yield from raw.order(join(after, "end_mm"), "more than", join(before, "end_mm"))
    for path in paths[:-1]:
        yield from raw.order(join(path, "end_mm"), "less than", join(wing, "span_mm"), 0.5)
    if paths and raw.has(join(paths[-1], "end_mm")):
        end = join(paths[-1], "end_mm")
        yield from raw.order(end, "at most", join(wing, "span_mm"), 0.5)
        yield from raw.order(end, "at least", join(wing, "span_mm"), 0.5)
