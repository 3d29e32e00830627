"""Sizes that a reader can hold: aim at 400 lines a file, 40 a function, 200 a class; well beyond fails."""

from __future__ import annotations

import ast

from tests.house.source import CODE_FOLDERS, Named, definitions, python_files, read, relative

FILE_LINES = 600
FUNCTION_LINES = 80  # without the docstring
CLASS_LINES = 300


def too_large(text: str, file: str) -> list[str]:
    """One sentence for each file, function or class of a source text that is well beyond its size."""
    count = len(text.splitlines())
    found = [f"{file}: {count} lines, at most {FILE_LINES}"] if count > FILE_LINES else []
    for named in definitions(text, file):
        limit = CLASS_LINES if isinstance(named.node, ast.ClassDef) else FUNCTION_LINES
        if named.lines > limit:
            found.append(f"{named.place}: {named.lines} lines, at most {limit}")
    return found


def _function(lines: int, docstring: int = 0) -> str:
    head = ["def long():"]
    doc = ['    """Says', *["    more"] * (docstring - 2), '    """'] if docstring else []
    return "\n".join([*head, *doc, *["    x = 1"] * (lines - 1)]) + "\n"


def test_nothing_is_well_beyond_its_size() -> None:
    offenders = [
        line for path in python_files(*CODE_FOLDERS) for line in too_large(read(path), relative(path))
    ]
    assert not offenders, "\n".join(offenders)


def test_the_gate_names_a_long_function() -> None:
    assert too_large(_function(80), "a.py") == []
    assert too_large(_function(81), "a.py") == ["a.py:1 long: 81 lines, at most 80"]


def test_a_docstring_does_not_count() -> None:
    assert too_large(_function(80, docstring=30), "a.py") == []
    assert too_large(_function(81, docstring=30), "a.py") == ["a.py:1 long: 81 lines, at most 80"]


def test_the_gate_names_a_long_class_and_its_long_method() -> None:
    body = "".join("    " + line + "\n" for line in _function(301).splitlines())
    assert too_large("class Big:\n" + body, "a.py") == [
        "a.py:1 Big: 302 lines, at most 300",
        "a.py:2 Big.long: 301 lines, at most 80",
    ]


def test_the_gate_names_a_long_file() -> None:
    assert too_large("x = 1\n" * 600, "a.py") == []
    assert too_large("x = 1\n" * 601, "a.py") == ["a.py: 601 lines, at most 600"]


def test_named_tells_public_from_private() -> None:
    text = "class A:\n    def b(self): ...\n    def _c(self): ...\ndef d():\n    def e(): ...\n"
    found: list[Named] = list(definitions(text, "a.py"))
    assert {named.name: named.public for named in found} == {
        "A": True, "A.b": True, "A._c": False, "d": True, "d.e": False,
    }  # fmt: skip
