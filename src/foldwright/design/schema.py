"""JSON Schema (draft 2020-12) of the three files, for editors and for the words of findings."""

from __future__ import annotations

import copy
from collections.abc import Iterator, Mapping
from functools import cache
from types import MappingProxyType
from typing import Any, Literal

from pydantic import BaseModel

from foldwright.design.words import UNITS, unit_of

Kind = Literal["design", "workshop", "stock"]
Schema = dict[str, Any]


def model_of(kind: Kind) -> type[BaseModel]:
    """The model of a kind of file."""
    from foldwright.design.model import Design
    from foldwright.design.stock import Stock
    from foldwright.design.workshop import Workshop

    models: Mapping[Kind, type[BaseModel]] = {"design": Design, "workshop": Workshop, "stock": Stock}
    return models[kind]


def _tables(node: object) -> Iterator[Schema]:
    """Every schema with properties inside `node`, outermost first."""
    if isinstance(node, dict):
        if "properties" in node:
            yield node
        for value in node.values():
            yield from _tables(value)
    elif isinstance(node, list):
        for value in node:
            yield from _tables(value)


def _title(key: str) -> str:
    """`height_mm` → "Height, mm"."""
    unit = unit_of(key)
    ending = next((e for e, _ in UNITS if key.endswith(e)), "")
    words = key.removesuffix(ending).replace("_", " ").strip()
    words = words[:1].upper() + words[1:]
    return f"{words}, {unit}" if unit else words


@cache
def _cached(kind: Kind) -> Mapping[str, Any]:
    schema = model_of(kind).model_json_schema()
    for table in _tables(schema):
        for key, value in table["properties"].items():
            value["title"] = _title(key)
    head = {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "$id": f"urn:foldwright:{kind}:1",
        **schema,
        "title": f"Foldwright {kind} file, format 1",
    }
    return MappingProxyType(head)


def json_schema(kind: Kind) -> Schema:
    """JSON Schema of a kind of file: a fresh dictionary, keys in the order of the models.

    kind: "design", "workshop" or "stock". Titles carry the unit, descriptions what the value means.
    """
    return copy.deepcopy(dict(_cached(kind)))


def _follow(root: Mapping[str, Any], node: Schema, value: object) -> Schema:
    """Resolve references, optional values and tagged unions until a plain schema is left."""
    for _ in range(8):
        if "$ref" in node:
            outer = {k: v for k, v in node.items() if k != "$ref"}
            node = {**root["$defs"][node["$ref"].rsplit("/", 1)[-1]], **outer}
        elif "anyOf" in node:
            outer = {k: v for k, v in node.items() if k != "anyOf"}
            node = {**next(n for n in node["anyOf"] if n.get("type") != "null"), **outer}
        elif "oneOf" in node:
            mapping = node["discriminator"]["mapping"]
            tag = value.get("kind") if isinstance(value, dict) else None
            if not isinstance(tag, str) or tag not in mapping:
                return node
            node = {"$ref": mapping[tag]}
        else:
            break
    return node


def schema_at(kind: Kind, path: tuple[str | int, ...], data: object) -> Schema:
    """The schema that holds at a place of the raw data; {} where the file may hold nothing there."""
    root = _cached(kind)
    node = _follow(root, dict(root), data)
    value = data
    for step in path:
        if isinstance(step, int):
            fixed = node.get("prefixItems", [])
            inner = fixed[step] if step < len(fixed) else node.get("items", {})
            value = value[step] if isinstance(value, (list, tuple)) and step < len(value) else None
        else:
            inner = node.get("properties", {}).get(step)
            if inner is None:
                extra = node.get("additionalProperties", {})
                inner = extra if isinstance(extra, dict) else {}
            value = value.get(step) if isinstance(value, dict) else None
        node = _follow(root, dict(inner), value) if isinstance(inner, dict) else {}
    return node


def tags(schema: Schema) -> list[str]:
    """Kinds that a tagged union allows, in alphabetical order."""
    return list(schema.get("discriminator", {}).get("mapping", {}))
