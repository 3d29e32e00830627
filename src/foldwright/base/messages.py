"""The one catalogue of sentences: a finding's code and parameters in, words out.

Each room that gives findings owns a module of entries in base/words, `CATALOGUE: dict[str, Message]`; a
module that is there is found. An entry's templates are `str.format` strings over the finding's `params` and
the names `where`, `value`, `limit`, `unit`.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from importlib import import_module
from pkgutil import iter_modules
from types import MappingProxyType
from typing import TYPE_CHECKING

import foldwright.base.words as rooms
from foldwright.base.message import Message

if TYPE_CHECKING:
    from collections.abc import Mapping

    from foldwright.base.finding import Finding


@dataclass(frozen=True, slots=True)
class Words:
    """A finding in words, ready to print."""

    title: str
    says: str
    expected: str
    got: str
    cure: str


@cache
def catalogue() -> Mapping[str, Message]:
    """All messages by code. Raises ValueError if two rooms claim one code."""
    merged: dict[str, Message] = {}
    for found in iter_modules(rooms.__path__):
        entries: dict[str, Message] = import_module(f"{rooms.__name__}.{found.name}").CATALOGUE
        for code, message in entries.items():
            if code in merged:
                raise ValueError(f"code {code} stands in the catalogue twice")
            merged[code] = message
    return MappingProxyType(merged)


def words(finding: Finding) -> Words:
    """The sentences of a finding. Raises KeyError for a code that is not in the catalogue."""
    names = {"value": finding.value, "limit": finding.limit, "unit": finding.unit, **finding.params}
    return told(finding.code, finding.where, names)


def told(code: str, where: str, params: Mapping[str, object]) -> Words:
    """The sentences of any code with its parameters, a note for the builder for one. Raises KeyError for a
    code that is not in the catalogue.
    """
    message = catalogue()[code]
    names = {"where": where, **params}
    return Words(
        message.title,
        message.says.format(**names),
        message.expected.format(**names),
        message.got.format(**names),
        message.cure.format(**names),
    )
