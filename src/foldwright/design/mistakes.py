"""What the models refuse, turned into findings of our own: no validator's text reaches a user."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import islice
from typing import Any

from pydantic import ValidationError
from pydantic_core import ErrorDetails

from foldwright.base.finding import Finding, Param
from foldwright.design import words
from foldwright.design.keypath import Path, plain, render
from foldwright.design.schema import Kind, schema_at, tags

# Error type of the validator → code of ours. What is not listed is a wrong kind of value.
CODES: Mapping[str, str] = {
    "missing": "F08",
    "extra_forbidden": "F09",
    "greater_than": "F12",
    "greater_than_equal": "F12",
    "less_than": "F12",
    "less_than_equal": "F12",
    "finite_number": "F13",
    "string_pattern_mismatch": "F14",
    "literal_error": "F15",
    "union_tag_invalid": "F16",
    "union_tag_not_found": "F16",
    "too_short": "F17",
    "too_long": "F17",
    "string_too_short": "F18",
    "string_too_long": "F18",
}
_WRONG_KIND = "F11"


@dataclass(frozen=True, slots=True)
class _Place:
    """One refused place: its path, its value and what may stand there."""

    kind: Kind
    file: str
    path: Path
    data: Any
    value: object

    @property
    def key(self) -> str:
        last = self.path[-1] if self.path else self.file
        return words.shorten(str(last)) if isinstance(last, str) else str(last + 1)

    @property
    def named(self) -> str:
        """The nearest key above, which carries the unit."""
        return next((s for s in reversed(self.path) if isinstance(s, str)), "")

    @property
    def expected(self) -> str:
        return words.expected(schema_at(self.kind, self.path, self.data), self.named)

    def finding(self, code: str, **params: Param) -> Finding:
        where = render(self.path, self.data) or self.file
        return Finding(code, "no-go", where, {"file": self.file, "key": self.key, **params})


def _unknown(place: _Place) -> Finding:
    """A key that no table of this kind has, with the nearest that it has."""
    around = schema_at(place.kind, place.path[:-1], place.data)
    known = list(around.get("properties", {})) or list(around.get("propertyNames", {}).get("enum", []))
    near = words.close(place.key, known)
    if near is None:
        return place.finding("F10", known=words.listed(known, 24))
    return place.finding("F09", nearest=near, known=words.listed(known, 24))


def _count(place: _Place) -> Finding:
    count = len(place.value) if isinstance(place.value, (list, tuple)) else 0
    return place.finding("F17", expected=place.expected, got=f"{count} values" if count != 1 else "1 value")


def _length(place: _Place) -> Finding:
    size = len(place.value) if isinstance(place.value, str) else 0
    got = "an empty text" if size == 0 else f"a text of {size} characters"
    return place.finding("F18", expected=place.expected, got=got)


def _choice(place: _Place) -> Finding:
    """A text that is none of the choices, or a value that is no text at all."""
    schema = schema_at(place.kind, place.path, place.data)
    choices = schema.get("enum", [schema.get("const")])
    if not isinstance(place.value, str) or not all(isinstance(choice, str) for choice in choices):
        return place.finding(_WRONG_KIND, expected=place.expected, got=words.got(place.value))
    near = words.nearest(place.value, choices, 1)[0]
    return place.finding("F15", expected=place.expected, got=words.got(place.value), nearest=f'"{near}"')


def _kind(place: _Place) -> Finding:
    """A table whose kind is missing or not known."""
    known = tags(schema_at(place.kind, place.path, place.data))
    tag = place.value.get("kind") if isinstance(place.value, dict) else None
    inner = _Place(place.kind, place.file, (*place.path, "kind"), place.data, tag)
    got = "missing" if tag is None else words.got(tag)
    return inner.finding("F16", expected="one of: " + ", ".join(known), got=got)


def _value(place: _Place, code: str) -> Finding:
    """A value of the wrong kind, form or size. A whole number too long for a float is out of range."""
    value = place.value
    if (
        code == _WRONG_KIND
        and isinstance(value, int)
        and not isinstance(value, bool)
        and value.bit_length() > 1000
    ):
        code = "F12"
    unit = words.unit_of(place.named)
    plain_number = isinstance(value, (int, float)) and not isinstance(value, bool) and code in ("F12", "F13")
    got = words.got(value) + (f" {unit}" if plain_number and unit else "")
    return place.finding(code, expected=place.expected, got=got)


def _translate(error: ErrorDetails, kind: Kind, file: str, data: Any) -> Finding | None:
    path = plain(error["loc"])
    code = CODES.get(error["type"], _WRONG_KIND)
    place = _Place(kind, file, path, data, error["input"])
    if code == "F08":
        if path and isinstance(path[-1], int):  # too few numbers in a list of fixed length
            outer = _Place(kind, file, path[:-1], data, error["input"])
            return _count(outer)
        return place.finding("F08", expected=place.expected)
    if code == "F09" or error["loc"][-1:] == ("[key]",):
        return _unknown(place)
    if code == "F17":
        least = schema_at(kind, path, data).get("minItems", 0)
        held = _held(path, data)
        if error["type"] == "too_short" and isinstance(held, (list, tuple)) and len(held) >= least:
            return None  # its entries are refused one by one
        return _count(_Place(kind, file, path, data, held))
    if code == "F18":
        return _length(place)
    if code == "F15":
        return _choice(place)
    if code == "F16":
        return _kind(place)
    return _value(place, code)


def _held(path: Path, data: Any) -> Any:
    """The value at a path of the raw data, or None."""
    here = data
    for step in path:
        try:
            here = here[step]
        except (KeyError, IndexError, TypeError):
            return None
    return here


def from_validation(error: ValidationError, kind: Kind, file: str, data: Any, most: int) -> list[Finding]:
    """Findings of a refused table, each once, at most `most`. data: the raw table, lists as tuples.

    A mistyped key is one mistake: where the nearest known key is the one that is missing beside it, the
    missing one is not said as well.
    """
    found = list(islice(_each(error, kind, file, data), most))
    meant = {(_around(f.where), f.params["nearest"]) for f in found if f.code == "F09"}
    return [f for f in found if f.code != "F08" or (_around(f.where), f.params["key"]) not in meant]


def _around(where: str) -> str:
    """The path of the table that a key stands in."""
    return where.rpartition(".")[0]


def _each(error: ValidationError, kind: Kind, file: str, data: Any) -> Iterator[Finding]:
    seen: set[tuple[str, str]] = set()
    for detail in error.errors(include_url=False, include_context=False):
        finding = _translate(detail, kind, file, data)
        if finding is not None and (finding.code, finding.where) not in seen:
            seen.add((finding.code, finding.where))
            yield finding


def is_number(value: object) -> bool:
    """Whether a raw value is a finite number (not a truth value) that fits a float."""
    if isinstance(value, bool) or not isinstance(value, (int, float)):
        return False
    return math.isfinite(value) if isinstance(value, float) else value.bit_length() < 1000
