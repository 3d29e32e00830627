"""Public functions of more than eight lines say what they do."""

from __future__ import annotations

import ast

from tests.house.source import definitions, python_files, read, relative

LINES = 8


def silent(text: str, file: str) -> list[str]:
    """The public functions of a source text that are longer than eight lines and have no docstring."""
    return [
        f"{named.place}: {named.lines} lines and no docstring"
        for named in definitions(text, file)
        if named.public
        and not isinstance(named.node, ast.ClassDef)
        and named.lines > LINES
        and not ast.get_docstring(named.node)
    ]


def test_every_public_function_says_what_it_does() -> None:
    offenders = [line for path in python_files("src") for line in silent(read(path), relative(path))]
    assert not offenders, "\n".join(offenders)


def test_every_module_says_what_it_holds() -> None:
    offenders = [relative(p) for p in python_files("src") if not ast.get_docstring(ast.parse(read(p)))]
    assert not offenders, "\n".join(offenders)


def test_the_gate_names_a_silent_function() -> None:
    body = "    x = 1\n" * LINES
    assert silent("def speak():\n" + body, "a.py") == ["a.py:1 speak: 9 lines and no docstring"]
    assert silent('def speak():\n    """Says."""\n' + body, "a.py") == []
    assert silent("def _hidden():\n" + body, "a.py") == []
    assert silent("def short():\n" + "    x = 1\n" * (LINES - 1), "a.py") == []
