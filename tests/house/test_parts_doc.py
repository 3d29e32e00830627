"""Every snippet of docs/parts.md is what a design file may hold, and every table of one has a snippet."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator
from functools import cache
from typing import get_args

import pytest
from pydantic import BaseModel

from foldwright.design.load import starter
from foldwright.design.model import Design
from foldwright.design.parts import JOINT_KINDS, PART_KINDS
from foldwright.design.raw import Raw
from foldwright.design.senses import senses
from tests.house.source import ROOT, read

PAGE = ROOT / "docs" / "parts.md"
BLOCK = re.compile(r"^```toml\n(.*?)^```$", re.MULTILINE | re.DOTALL)
ELSEWHERE = {"About", "Targets", "Build", "Spread", "Motor", "Propeller", "Battery"}
"""Tables that the guide shows, or that every design has."""


@cache
def snippets() -> tuple[str, ...]:
    """The page's snippets; one that begins below a part stands under the part shown before it."""
    found, part = [], ""
    for text in BLOCK.findall(read(PAGE)):
        first = text.splitlines()[0]
        if first.startswith("[[part]]"):
            part = text
        found.append(part + text if re.match(r"\[+part\.", first) else text)
    return tuple(found)


def frozen(value: object) -> object:
    """Lists as tuples, as the reader of files makes them."""
    if isinstance(value, dict):
        return {key: frozen(item) for key, item in value.items()}
    return tuple(frozen(item) for item in value) if isinstance(value, list) else value


def tables(text: str) -> dict[str, object]:
    """The raw tables of a text."""
    return {key: frozen(value) for key, value in tomllib.loads(text).items()}


def taken(text: str) -> tuple[Design, dict[str, object]]:
    """The snippet in place of a whole design's own tables; and its raw tables."""
    own = tables(text)
    whole = tables(starter("teasel")) | own
    return Design.model_validate(whole, strict=True), own


@pytest.mark.parametrize("text", snippets())
def test_a_snippet_is_what_a_design_file_may_hold(text: str) -> None:
    _design, own = taken(text)
    raw = Raw("design", "parts.md", own)
    for path, row in raw.rows(("part",)):
        sense = senses().get(str(row["kind"]))
        assert [(each.code, each.where) for each in (sense(raw, path) if sense else ())] == []


def test_a_key_that_is_not_one_is_noticed() -> None:
    with pytest.raises(ValueError, match="long_mm"):
        taken('[[wire]]\nid = "a"\nends = ["battery", "motor"]\nlong_mm = 3.0\n')


def used(value: object) -> Iterator[str]:
    """Names of the models in a validated value."""
    if isinstance(value, BaseModel):
        yield type(value).__name__
        for name in value.model_fields_set:
            yield from used(getattr(value, name))
    elif isinstance(value, tuple):
        for item in value:
            yield from used(item)


def named(annotation: object) -> Iterator[type[BaseModel]]:
    """Models that an annotation allows, and those inside them."""
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        yield annotation
        for field in annotation.model_fields.values():
            yield from named(field.annotation)
    for inner in get_args(annotation):
        yield from named(inner)


def test_every_table_of_a_part_joint_or_item_has_a_snippet() -> None:
    shown = set()
    for text in snippets():
        design, own = taken(text)
        shown |= {name for key in own for name in used(getattr(design, key))}
    assert {model.__name__ for model in named(Design)} - {"Design"} - ELSEWHERE - shown == set()
    assert {model.__name__ for model in (*PART_KINDS.values(), *JOINT_KINDS.values())} <= shown


def test_the_page_says_what_is_taken_where_nothing_is_written() -> None:
    """The defaults that its sentences name are the models' own."""
    page = " ".join(read(PAGE).split())
    assert 'on face "b", the inside, unless told' in page
    assert JOINT_KINDS["patch"].model_fields["face"].default == "b"
    assert 'Its `role` is "fin" unless told' in page
    assert PART_KINDS["plate"].model_fields["role"].default == "fin"
