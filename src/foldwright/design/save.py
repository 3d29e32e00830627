"""Change one value in the text of a file and leave comments, order and layout as they are."""

from __future__ import annotations

import copy
from pathlib import Path
from typing import Any

import tomlkit
from tomlkit import TOMLDocument
from tomlkit.exceptions import TOMLKitError
from tomlkit.items import AbstractTable, AoT, InlineTable, Item

from foldwright.base.finding import Finding
from foldwright.design import words
from foldwright.design.keypath import Path as Steps
from foldwright.design.keypath import locate
from foldwright.design.reading import Table, digest, parse, read_bytes
from foldwright.design.schema import Kind, schema_at

Value = str | bool | int | float | list[Any]


def set_value(text: str, key: str, value: Value, kind: Kind = "design") -> str | Finding:
    """The text with one value changed or added.

    key: path as findings write it: `wing.spar.height_mm`, `battery.x_mm`, `equipment.camera.x_mm`; entries
    of lists by id, or by number counted from 1. A key that the file leaves out is added, with its table if
    need be. A whole number put where a number with a point stands gets a point too.

    Returns F06 or F07 for a text that is no TOML, F36 for a path that leads nowhere or to a table. Whether
    the value itself makes sense is found by reading the new text.
    """
    table = parse(text, f"{kind} file")
    if isinstance(table, Finding):
        return table
    path = locate(key, table)
    fault = Finding("F36", "no-go", words.shorten(key), {"got": words.shorten(key)})
    if path is None or not _may_hold(path, table, kind):
        return fault
    value = _rounded(value, _old(path, table))
    try:
        result = _edited(text, path, value)
    except (TOMLKitError, KeyError, IndexError, TypeError, ValueError):
        return fault
    return result if parse(result, kind) == _wanted(path, table, value) else fault


def _may_hold(path: Steps, table: Table, kind: Kind) -> bool:
    """Whether the models know the key and a value, not a table, belongs there."""
    schema = schema_at(kind, path, table)
    inner = schema.get("items", {})
    tables = "properties" in schema or "oneOf" in schema or "oneOf" in inner or "$ref" in inner
    return bool(schema) and not tables and "additionalProperties" not in schema


def _old(path: Steps, table: Table) -> Any:
    """The value that stands at a path, or None."""
    here: Any = table
    for step in path:
        if isinstance(here, dict):
            here = here.get(str(step))
        elif isinstance(here, list) and isinstance(step, int):
            here = here[step]
        else:
            return None
    return here


def _rounded(value: Value, old: object) -> Value:
    """Ten significant digits are enough for a file; 12.0 is changed to 13.0, not to 13."""
    if isinstance(value, bool):
        return value
    if isinstance(value, int) and isinstance(old, float):
        return float(value)
    return float(f"{value:.10g}") if isinstance(value, float) else value


def _wanted(path: Steps, table: Table, value: Value) -> Table:
    """What the new text must read as: the old table with this one change and nothing else."""
    result = copy.deepcopy(table)
    here: Any = result
    for step in path[:-1]:
        here = here[step] if isinstance(step, int) else here.setdefault(step, {})
    here[path[-1]] = value
    return result


def _edited(text: str, path: Steps, value: Value) -> str:
    """The text with the value spliced in; tomlkit finds the place, so that not one other byte changes."""
    document = tomlkit.parse(text)
    around: Any = document
    for depth, step in enumerate(path[:-1]):
        if isinstance(step, str) and step not in around:
            return _with_table(text, document, around, path, depth, value)
        around = around[step]
    last = path[-1]
    written = tomlkit.item(value).as_string()
    if isinstance(last, int) or last in around:
        before, _, after = _splice(text, document, around, last)
        return before + written + after
    return _with_key(text, document, around, last, written)


def _splice(text: str, document: TOMLDocument, around: Any, key: str | int) -> tuple[str, str, str]:
    """The text cut into what stands before a value, the value as written, and what stands behind it.

    Raises ValueError where the text does not come apart so.
    """
    sign = "here"
    while sign in text:
        sign += "-here"
    sign = f'"{sign}"'
    old, new = around[key], tomlkit.item(sign[1:-1])
    if isinstance(old, Item):
        new.trivia.indent, new.trivia.trail = old.trivia.indent, old.trivia.trail
        new.trivia.comment_ws, new.trivia.comment = old.trivia.comment_ws, old.trivia.comment
    around[key] = new
    before, _, after = tomlkit.dumps(document).partition(sign)
    if not (text.startswith(before) and text.endswith(after)):
        raise ValueError("the place of the value was not found")
    return before, text[len(before) : len(text) - len(after)], after


def _with_key(text: str, document: TOMLDocument, around: Any, key: str, written: str) -> str:
    """The text with a new key behind the last plain value of its table."""
    plain = [str(k) for k, v in around.items() if not isinstance(v, (AbstractTable, AoT))]
    if not plain:
        around.add(key, tomlkit.item(tomlkit.value(written)))
        return tomlkit.dumps(document)
    before, value, after = _splice(text, document, around, plain[-1])
    if isinstance(around, InlineTable):
        return f"{before}{value}, {key} = {written}{after}"
    row = before.rsplit("\n", 1)[-1]
    indent = row[: len(row) - len(row.lstrip())]
    rest, end, tail = after.partition("\n")
    ending = "\r\n" if rest.endswith("\r") else "\n"
    return f"{before}{value}{rest}{end or ending}{indent}{key} = {written}{ending}{tail}"


def _with_table(text: str, document: TOMLDocument, around: Any, path: Steps, depth: int, value: Value) -> str:
    """The text with a new table for a key: at the end of the file, or inside its part on one line."""
    names = [str(step) for step in path[depth:]]
    inside = isinstance(around, InlineTable) or any(isinstance(step, int) for step in path)
    written = tomlkit.item(value).as_string()
    if not inside:
        ending = "\r\n" if "\r\n" in text else "\n"
        gap = "" if text.endswith("\n") else ending
        header = ".".join(str(step) for step in path[:-1])
        return f"{text}{gap}{ending}[{header}]{ending}{names[-1]} = {written}{ending}"
    for name in reversed(names[1:]):
        written = f"{{ {name} = {written} }}"
    return _with_key(text, document, around, names[0], written)


def changed_since(path: Path, sha256: str) -> Finding | None:
    """F35 where the file on disk is no longer the one that was read, F01 where it is gone, otherwise None.

    sha256: `Loaded.source.sha256` of the reading. Ask right before writing.
    """
    data = read_bytes(path, str(path))
    if isinstance(data, Finding):
        return data
    if digest(data) == sha256:
        return None
    name = words.shorten(str(path), 200)
    return Finding("F35", "no-go", name, {"file": name})
