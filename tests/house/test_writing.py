"""One atomic writer, used by the command line and the plan set only; everything else gives bytes back."""

from __future__ import annotations

import ast

import pytest

from tests.house.source import python_files, read, relative

WRITER = "src/foldwright/base/atomic.py"
MAY_USE_IT = ("src/foldwright/cli/", "src/foldwright/desk/", "src/foldwright/make/plans")
WRITING_METHODS = frozenset({"mkdir", "rmdir", "symlink_to", "touch", "unlink", "write_bytes", "write_text"})
# Lays typeface files into a temporary folder, for a library that reads folders only, and removes it.
TEMPORARY = "src/foldwright/make/formats/typeface.py"
FILLS_A_FILE = ("write_bytes", "write_text", "opens for writing")
WRITING_MODES = frozenset("wax+")


def writing(node: ast.AST) -> str | None:
    """How a node of a syntax tree writes to the disk; None if it does not."""
    match node:
        case ast.Call(func=ast.Attribute(value=ast.Name(id="shutil"), attr=name)):
            return f"calls shutil.{name}"
        case ast.Call(
            func=ast.Attribute(value=ast.Name(id="os"), attr="replace" | "rename" | "remove" as name)
        ):
            return f"calls os.{name}"
        case ast.Call(func=ast.Attribute(value=ast.Name(id="atomic"))):
            return None
        case ast.Call(func=ast.Attribute(attr=name)) if name in WRITING_METHODS:
            return f"calls {name}"
        case ast.Call(func=ast.Name(id="open") | ast.Attribute(attr="open")) if _mode(node) & WRITING_MODES:
            return "opens for writing"
    return None


def _mode(call: ast.Call) -> set[str]:
    """The letters of an open() call's mode, wherever it stands."""
    named = [keyword.value for keyword in call.keywords if keyword.arg == "mode"]
    placed = call.args[1:2] if isinstance(call.func, ast.Name) else call.args[:1]
    texts = [v.value for v in (*named, *placed) if isinstance(v, ast.Constant) and isinstance(v.value, str)]
    return {letter for text in texts if len(text) <= len("w+b") for letter in text}


def writes(text: str, file: str) -> list[str]:
    """Every place of a source text that writes to the disk."""
    return [
        f"{file}:{getattr(node, 'lineno', 0)} {how}"
        for node in ast.walk(ast.parse(text))
        if (how := writing(node)) is not None
    ]


def test_only_the_atomic_writer_writes_files() -> None:
    """The outer rooms may make and clear folders; what goes into a file goes through the writer."""
    offenders = []
    for path in python_files("src"):
        file = relative(path)
        found = [] if file in {WRITER, TEMPORARY} else writes(read(path), file)
        outer = file.startswith(MAY_USE_IT)
        offenders += [line for line in found if not outer or line.endswith(FILLS_A_FILE)]
    assert not offenders, "\n".join(offenders)


def test_only_the_outer_rooms_use_the_atomic_writer() -> None:
    users = [relative(path) for path in python_files("src") if "foldwright.base.atomic" in read(path)]
    offenders = [file for file in users if not file.startswith(MAY_USE_IT)]
    assert not offenders, "\n".join(offenders)


@pytest.mark.parametrize(
    ("line", "how"),
    [
        ("path.write_text('x')", "calls write_text"),
        ("folder.mkdir()", "calls mkdir"),
        ("os.replace(a, b)", "calls os.replace"),
        ("shutil.rmtree(a)", "calls shutil.rmtree"),
        ("open('a', 'w')", "opens for writing"),
        ("path.open(mode='ab')", "opens for writing"),
    ],
)
def test_the_check_names_what_it_finds(line: str, how: str) -> None:
    assert writes(line, "a.py") == [f"a.py:1 {how}"]


@pytest.mark.parametrize(
    "line",
    [
        "open('a')",
        "path.open('rb')",
        "text.replace('w', 'a')",
        "atomic.write_text(path, text)",
        "fonts.open('name')",
    ],
)
def test_reading_is_no_offence(line: str) -> None:
    assert writes(line, "a.py") == []
