"""Values and expectations in words: what a finding prints as "expected" and "got"."""

from __future__ import annotations

import difflib
import math
from collections.abc import Iterable, Sequence
from typing import Any

Schema = dict[str, Any]

# Ending of a key → unit as read aloud in a sentence; longest endings first.
UNITS = (
    ("_kg_m3", "kg/m³"),
    ("_rpm_v", "rpm/V"),
    ("_g_m2", "g/m²"),
    ("_mm_s", "mm/s"),
    ("_g_m", "g/m"),
    ("_m_s", "m/s"),
    ("_mah", "mAh"),
    ("_mm", "mm"),
    ("_deg", "degrees"),
    ("_pct", "%"),
    ("_g", "g"),
    ("_a", "A"),
    ("_n", "N"),
)


def unit_of(key: str) -> str:
    """Unit that the ending of a key names; "" where it names none."""
    return next((unit for ending, unit in UNITS if key.endswith(ending)), "")


def shorten(text: str, most: int = 60) -> str:
    """Text of at most `most` characters on one line, unprintable characters written by their number."""
    cut = text if len(text) <= most else text[: most - 1] + "…"
    return "".join(c if c.isprintable() else f"\\u{ord(c):04x}" for c in cut)


def number(value: float) -> str:
    """A number as one would write it: no trailing zeros, six significant digits."""
    if isinstance(value, int) and abs(value) < 10**15:
        return str(value)
    if isinstance(value, int) and value.bit_length() > 1000:
        return f"a whole number of some {round(value.bit_length() * math.log10(2))} digits"
    text = f"{value:.6g}"
    return "0" if text == "-0" else text


def got(value: object) -> str:
    """What stands in the file, in words."""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, (int, float)):
        return number(value)
    if isinstance(value, str):
        return f'the text "{shorten(value, 40)}"' if value else "an empty text"
    if isinstance(value, dict):
        return "a table"
    if isinstance(value, (list, tuple)):
        return f"a list of {len(value)}" if value else "an empty list"
    return f"the date or time {shorten(str(value), 40)}"


def nearest(word: str, known: Iterable[str], most: int = 5) -> list[str]:
    """Known words, most similar first, `most` of them; ties in alphabetical order."""
    short = word[:80]
    ranked = sorted(known, key=lambda k: (-difflib.SequenceMatcher(None, short, k).ratio(), k))
    return ranked[:most]


def close(word: str, known: Sequence[str]) -> str | None:
    """The one known word that a slip of the pen would explain, or None."""
    matches = difflib.get_close_matches(word[:80], known, n=1, cutoff=0.6)
    return matches[0] if matches else None


def listed(words: Iterable[str], most: int = 12) -> str:
    """Words in a row, the rest counted."""
    row = list(words)
    shown = ", ".join(row[:most])
    return shown if len(row) <= most else f"{shown} and {len(row) - most} more"


def _range(schema: Schema) -> str:
    low, high = schema.get("minimum"), schema.get("maximum")
    above, below = schema.get("exclusiveMinimum"), schema.get("exclusiveMaximum")
    start = f"from {number(low)}" if low is not None else ""
    if above is not None:
        start = f"above {number(above)}"
    if below is not None:
        end = f"below {number(below)}"
    elif high is not None:
        end = f"to {number(high)}" if low is not None else f"up to {number(high)}"
    else:
        end = ""
    return f"{start} and {end}" if above is not None and start and end else f"{start} {end}".strip()


def _count(schema: Schema) -> str:
    low, high = schema.get("minItems"), schema.get("maxItems")
    if low == high and low is not None:
        return str(low)
    if low is not None and high is not None:
        return f"{low} to {high}"
    return f"at least {low}" if low is not None else (f"at most {high}" if high is not None else "")


def _list(schema: Schema, unit: str) -> str:
    inner: Schema = schema.get("items") or next(iter(schema.get("prefixItems", [])), {})
    noun = {"number": "numbers", "integer": "whole numbers", "string": "texts", "object": "tables"}
    what = noun.get(inner.get("type", "object" if "oneOf" in inner or "$ref" in inner else "array"), "lists")
    words = f"a list of {_count(schema)} {what}".replace("  ", " ")
    span = _range(inner)
    tail = f" {unit}" if unit and what.endswith("numbers") else ""
    return f"{words}, each {span}{tail}" if span else f"{words}{tail and ' in' + tail}"


def _text(schema: Schema) -> str:
    if "pattern" in schema:
        return str(schema.get("x-form", f"text of the form {schema['pattern']}"))
    low, high = schema.get("minLength"), schema.get("maxLength")
    if low is not None and high is not None:
        return f"a text of {low} to {high} characters"
    return f"a text of at most {high} characters" if high is not None else "a text"


def expected(schema: Schema, key: str) -> str:
    """What a schema asks for, in words, with the unit that the key names."""
    unit = unit_of(key)
    if "const" in schema:
        return got(schema["const"]).removeprefix("the text ")
    if "enum" in schema:
        return "one of: " + listed(got(v).removeprefix("the text ") for v in schema["enum"])
    kind = schema.get("type")
    if kind in ("number", "integer"):
        noun = "a number" if kind == "number" else "a whole number"
        return " ".join(word for word in (noun, _range(schema), unit) if word)
    if kind == "boolean":
        return "true or false"
    if kind == "string":
        return _text(schema)
    if kind == "array":
        return _list(schema, unit)
    return "a table"
