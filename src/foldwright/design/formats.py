"""Formats of files over time: a newer one is refused, an older one brought forward step by step."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from types import MappingProxyType

from foldwright.base.finding import Finding, Param
from foldwright.design.reading import Table
from foldwright.design.schema import Kind
from foldwright.design.words import number

# A step takes a table of format n to format n + 1.
Step = Callable[[Table], Table]
Steps = Mapping[int, Step]

NEWEST: Mapping[Kind, int] = MappingProxyType({"design": 1, "workshop": 1, "stock": 1})
# Format 1 is the first of each kind, so there is no step yet; `bring_forward` runs whatever stands here.
MIGRATIONS: Mapping[Kind, Steps] = MappingProxyType(
    {"design": MappingProxyType({}), "workshop": MappingProxyType({}), "stock": MappingProxyType({})}
)


def bring_forward(table: Table, file: str, newest: int, steps: Steps) -> Table | Finding:
    """A table in format `newest`, or the finding that says why it cannot be read.

    A table whose `format` is missing or no whole number is passed on as it is: the models report it with
    the other mistakes. `steps` holds one step for every format from the oldest that can be read.
    """
    found = table.get("format")
    if isinstance(found, bool) or not isinstance(found, int):
        return table
    facts: dict[str, Param] = {"file": file, "got": number(found), "newest": newest}
    if found > newest:
        return Finding("F24", "no-go", "format", facts)
    for step in range(found, newest):
        if step not in steps:
            return Finding("F25", "no-go", "format", facts)
        table = {**steps[step](table), "format": step + 1}
    return table
