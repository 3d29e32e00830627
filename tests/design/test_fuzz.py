"""Whatever is done to a file: a value or findings come of it, never an exception, and always in words."""

from __future__ import annotations

from typing import Any

import tomlkit
from hypothesis import given, settings
from hypothesis import strategies as st

from foldwright.design.load import Loaded, built_in_stock, load_design, load_text
from foldwright.design.resolve import fit
from foldwright.design.schema import Kind
from tests.design.samples import MARRAM, SMALL, WORKSHOP, spoken
from tests.examples import examples

KINDS: list[Kind] = ["design", "workshop", "stock"]
ODD = st.one_of(
    st.booleans(),
    st.integers(-(10**30), 10**30),
    st.floats(),
    st.text(max_size=100),
    st.dates(),
    st.sampled_from(["wing", "body", "fin", "motor", "lipo-3s-850", "box", "plate", "folded_wing", "saddle"]),
    st.lists(st.floats(), max_size=5),
    st.lists(st.lists(st.floats(), min_size=2, max_size=2), max_size=6),
    st.just({}),
    st.just([]),
    st.dictionaries(st.text(max_size=5), st.integers(0, 3), max_size=3),
)


def _places(table: object, path: tuple[str | int, ...] = ()) -> list[tuple[str | int, ...]]:
    """Paths of everything in a table."""
    items: Any = table.items() if isinstance(table, dict) else ()
    items = enumerate(table) if isinstance(table, list) else items
    return [p for key, value in items for p in ((*path, key), *_places(value, (*path, key)))]


def _sound(loaded: Loaded[Any]) -> None:
    """A value or a no-go, and every finding in words."""
    assert (loaded.value is None) == any(f.verdict == "no-go" for f in loaded.findings)
    for finding in loaded.findings:
        assert finding.where
        assert spoken(finding).replace("²", "").isprintable()


@st.composite
def mutated(draw: st.DrawFn, text: str) -> str:
    """A file with up to six values swapped, taken out, doubled or renamed."""
    table: Any = tomlkit.parse(text).unwrap()
    for _ in range(draw(st.integers(1, 6))):
        places = _places(table)
        if not places:
            break
        path = draw(st.sampled_from(places))
        around = table
        for step in path[:-1]:
            around = around[step]
        key = path[-1]
        deed = draw(st.sampled_from(["swap", "swap", "swap", "take", "double", "rename"]))
        if deed == "swap":
            around[key] = draw(ODD)
        elif deed == "take":
            del around[key]
        elif deed == "double" and isinstance(around, list):
            around.append(around[int(key)])
        elif isinstance(around, dict):
            around[draw(st.text(max_size=8))] = around.pop(key)
    return tomlkit.dumps(table)


@settings(max_examples=examples(150))
@given(mutated(SMALL))
def test_mutated_designs(text: str) -> None:
    loaded = load_design(text.encode("utf-8", "surrogatepass"), stock=built_in_stock())
    _sound(loaded)
    if loaded.value is not None:
        assert fit(loaded.value, None, built_in_stock()).value is not None


@settings(max_examples=examples(60))
@given(mutated(WORKSHOP))
def test_mutated_workshops(text: str) -> None:
    _sound(load_text(text, "workshop", stock=built_in_stock()))


@settings(max_examples=examples(150))
@given(st.integers(0, len(MARRAM)), st.integers(0, 40), st.text(max_size=20), st.sampled_from(KINDS))
def test_text_cut_and_pasted(at: int, length: int, new: str, kind: Kind) -> None:
    _sound(load_text(MARRAM[:at] + new + MARRAM[at + length :], kind, stock=built_in_stock()))


@settings(max_examples=examples(150))
@given(st.binary(max_size=300), st.sampled_from(KINDS))
def test_random_bytes(data: bytes, kind: Kind) -> None:
    _sound(load_text(data.decode("utf-8", "surrogateescape"), kind))
    _sound(load_design(data))


@settings(max_examples=examples(200))
@given(st.text(alphabet="[]{}=\"'.,#\\\n ab1_-+:eE", max_size=80), st.sampled_from(KINDS))
def test_random_punctuation(text: str, kind: Kind) -> None:
    _sound(load_text(text, kind))
