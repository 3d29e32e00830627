"""What no file of the checkout holds: unfinished business, and paths of the machine it was written on."""

from __future__ import annotations

import re

from tests.house.source import read, relative, text_files

# Each pattern is spelled in pieces, or this file would find itself.
UNFINISHED = re.compile(r"\b(?:" + "|".join(["TO" + "DO", "FIX" + "ME", "XX" + "X", "HA" + "CK"]) + r")\b")
MACHINE_PATH = re.compile(
    r"(?<![\w.$~}/-])/(?:"
    + "|".join(["wo" + "rk", "tm" + "p", "ro" + "ot", "ho" + "me", "Us" + "ers"])
    + r")/"
)


def offences(text: str, file: str) -> list[str]:
    """One sentence for each line of a text that holds a forbidden word or an absolute machine path."""
    found = []
    for number, line in enumerate(text.splitlines(), start=1):
        if match := UNFINISHED.search(line):
            found.append(f"{file}:{number} says {match.group()}")
        if match := MACHINE_PATH.search(line):
            found.append(f"{file}:{number} names the machine's folder {match.group()}")
    return found


def test_no_file_holds_unfinished_business_or_machine_paths() -> None:
    offenders = [line for path in text_files() for line in offences(read(path), relative(path))]
    assert not offenders, "\n".join(offenders)


def test_the_check_reads_the_whole_house() -> None:
    files = {relative(path) for path in text_files()}
    assert {"Makefile", "README.md", "pyproject.toml", ".ci/run", "src/foldwright/__init__.py"} <= files


def test_the_check_names_what_it_finds() -> None:
    folder = "/" + "tm" + "p/"
    assert offences("# TO" + "DO: later", "a.py") == ["a.py:1 says TO" + "DO"]
    assert offences(f'x = 1\npath = "{folder}x"', "a.py") == [f"a.py:2 names the machine's folder {folder}"]
    assert offences("src/work/part.py, https://example.org/home/page, todo list", "a.py") == []
