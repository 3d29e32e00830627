"""Blanks that the workshop's file names for their templates, held against those of the design."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from foldwright.base.finding import Finding, Param
from foldwright.design.words import listed, nearest
from foldwright.design.workshop import TemplateKind

Row = Mapping[str, Any]


def served(row: Row) -> tuple[str, ...]:
    """Every blank that the template of a row traces, its own first."""
    return (str(row["blank"]), *map(str, row["same"]), *map(str, row["turned"]))


def only_findings(only: Mapping[str, TemplateKind], rows: tuple[Row, ...]) -> tuple[Finding, ...]:
    """P01 for a name in `template.only` that no blank has, P02 for a blank traced with another's plate."""
    return tuple(one for name in sorted(only) for one in _found(name, only, rows))


def _found(name: str, only: Mapping[str, TemplateKind], rows: tuple[Row, ...]) -> Iterator[Finding]:
    where, kind = f'template.only."{name}"', only[name]
    row = next((row for row in rows if name in served(row)), None)
    facts: dict[str, Param]
    if row is None:
        near = nearest(name, [one for row in rows for one in served(row)])
        if near:
            facts = {"kind": kind, "got": name, "nearest": listed(near), "first": near[0]}
            yield Finding("P01", "watch", where, facts)
        return
    blank = served(row)[0]
    if name == blank:
        return
    # the first of its names goes before the others
    first = next(one for one in served(row) if one in only)
    heeded = only[first] == kind
    facts = {
        "got": name,
        "blank": blank,
        "turned": ", turned over" if name in row["turned"] else "",
        "kind": kind,
        "heeded": "taken for that" if heeded else f"not heeded, since {first} asks for {only[first]}",
        "names": ", ".join(served(row)),
    }
    yield Finding("P02", "clear" if heeded else "watch", where, facts)
