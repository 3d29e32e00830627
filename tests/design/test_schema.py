"""The JSON Schemas are valid, accept what we accept, and say what each key means."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from importlib.resources import files
from typing import Any

import jsonschema
import pytest

from foldwright.design.load import starter
from foldwright.design.schema import Kind, json_schema, schema_at
from foldwright.design.words import UNITS
from tests.design.samples import MARRAM, ROOT, SMALL, WORKSHOP, WORKSHOPS, changed

KINDS: list[Kind] = ["design", "workshop", "stock"]


def _check(kind: Kind, text: str) -> list[str]:
    validator = jsonschema.Draft202012Validator(json_schema(kind))
    return [error.json_path for error in validator.iter_errors(tomllib.loads(text))]


@pytest.mark.parametrize("kind", KINDS)
def test_each_is_a_schema_of_draft_2020_12(kind: Kind) -> None:
    schema = json_schema(kind)
    assert schema["$schema"].endswith("2020-12/schema")
    assert list(schema) == list(json_schema(kind))
    jsonschema.Draft202012Validator.check_schema(schema)


def test_the_examples_hold_against_the_schemas() -> None:
    assert _check("design", MARRAM) == []
    assert _check("design", SMALL) == []
    assert _check("workshop", WORKSHOP) == []
    for path in WORKSHOPS:
        assert _check("workshop", path.read_text(encoding="utf-8")) == []
    stock = files("foldwright.design").joinpath("data/stock.toml").read_text(encoding="utf-8")
    assert _check("stock", stock) == []


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("span_mm = 660.0", "span_mm = -1"),
        ("span_mm = 660.0", "spam_mm = 660.0"),
        ('kind = "box"', 'kind = "tube"'),
        ('id = "body"', 'id = "Body"'),
        ("format = 1", "format = 2"),
    ],
)
def test_the_schema_refuses_what_we_refuse(old: str, new: str) -> None:
    assert _check("design", changed(MARRAM, (old, new)))


def _keys(node: object) -> Iterator[tuple[str, Any]]:
    if isinstance(node, dict):
        inner = node.get("properties")
        yield from inner.items() if isinstance(inner, dict) else ()
        for value in node.values():
            yield from _keys(value)
    elif isinstance(node, list):
        for value in node:
            yield from _keys(value)


@pytest.mark.parametrize("kind", KINDS)
def test_titles_carry_the_unit(kind: Kind) -> None:
    units = dict(UNITS)
    for key, schema in _keys(json_schema(kind)):
        ending = next((e for e, _ in UNITS if key.endswith(e)), None)
        if ending is not None:
            assert schema["title"].endswith(f", {units[ending]}"), key


@pytest.mark.parametrize("kind", KINDS)
def test_numbers_have_limits(kind: Kind) -> None:
    """Absurd sizes are refused only where a limit stands; the centre of an assumption has its own."""
    for key, schema in _keys(json_schema(kind)):
        inner = next((s for s in schema.get("anyOf", [schema]) if s.get("type") != "null"), schema)
        if inner.get("type") in ("number", "integer") and key not in ("value", "format"):
            high = inner.get("maximum", inner.get("exclusiveMaximum"))
            assert high is not None or key == "sd", key


def test_a_place_in_the_schema() -> None:
    data = {"part": ({"kind": "plate", "taper": {}},), "equipment": ({"size_mm": (1,)},)}
    assert schema_at("design", ("part", 0, "taper", "root_mm"), data)["maximum"] == 3000
    assert schema_at("design", ("part", 0, "polygon_mm", 3, 1), data)["type"] == "number"
    assert schema_at("design", ("equipment", 0, "size_mm", 2), data)["type"] == "number"
    assert schema_at("design", ("assumptions", "c_lmax", "sd"), data)["minimum"] == 0
    assert schema_at("design", ("part", 5, "x"), data) == {}
    assert schema_at("design", ("format", "x"), data) == {}


def test_a_changed_copy_changes_nothing_else() -> None:
    json_schema("design")["properties"].clear()
    assert json_schema("design")["properties"]


def test_the_starter_is_the_example() -> None:
    example = ROOT / "examples" / "marram.toml"
    assert example.read_text(encoding="utf-8") == starter("marram")
