"""What the house tests read: the checkout's own text and its functions and classes."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
PACKAGE = ROOT / "src" / "foldwright"
CODE_FOLDERS = ("src", "tests", "benchmarks")
TEXT_SUFFIXES = frozenset({".cfg", ".json", ".md", ".py", ".sh", ".svg", ".toml", ".txt", ".typ", ".yml"})

Definition = ast.FunctionDef | ast.AsyncFunctionDef | ast.ClassDef


@dataclass(frozen=True, slots=True)
class Named:
    """A function or class with the place to name when it offends."""

    place: str  # "src/foldwright/base/band.py:37 Band.of"
    name: str
    public: bool  # neither it nor anything around it starts with an underscore or stands in a function
    node: Definition

    @property
    def lines(self) -> int:
        """Lines from the first of the definition to its last, the docstring not counted."""
        end = self.node.end_lineno or self.node.lineno
        return end - self.node.lineno + 1 - docstring_lines(self.node)


def docstring_lines(node: Definition) -> int:
    """Lines of a definition's docstring; 0 if it has none."""
    if ast.get_docstring(node, clean=False) is None:
        return 0
    first = node.body[0]
    return (first.end_lineno or first.lineno) - first.lineno + 1


def definitions(text: str, file: str) -> Iterator[Named]:
    """All functions and classes of a source text, outermost first."""

    def below(node: ast.AST, prefix: str, public: bool) -> Iterator[Named]:
        for child in ast.iter_child_nodes(node):
            if isinstance(child, Definition):
                name = prefix + child.name
                child_public = public and not child.name.startswith("_")
                yield Named(f"{file}:{child.lineno} {name}", name, child_public, child)
                inside = child_public and isinstance(child, ast.ClassDef)
                yield from below(child, name + ".", inside)
            else:
                yield from below(child, prefix, public)

    yield from below(ast.parse(text), "", public=True)


@cache
def python_files(*folders: str) -> tuple[Path, ...]:
    """All Python files below the named folders of the checkout, sorted."""
    return tuple(sorted(path for folder in folders for path in (ROOT / folder).rglob("*.py")))


def relative(path: Path) -> str:
    """A file's place as a reader of the checkout names it."""
    return path.relative_to(ROOT).as_posix()


def read(path: Path) -> str:
    """A file's text."""
    return path.read_text(encoding="utf-8")


@cache
def text_files() -> tuple[Path, ...]:
    """Every text file that belongs to the checkout: top level, and below the folders we write."""
    folders = (*CODE_FOLDERS, "examples", "docs", "changes", ".ci")
    below = [path for folder in folders for path in (ROOT / folder).rglob("*") if path.is_file()]
    top = [path for path in ROOT.iterdir() if path.is_file() and path.name != ".coverage"]
    return tuple(sorted(path for path in (*below, *top) if _is_text(path)))


def _is_text(path: Path) -> bool:
    if "__pycache__" in path.parts or path.name.startswith(".coverage"):
        return False
    return path.suffix in TEXT_SUFFIXES or path.name in {"Makefile", "run", ".gitignore", ".gitattributes"}
