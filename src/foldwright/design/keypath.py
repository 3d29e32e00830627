"""Key paths as people read and write them: `wing.spar.height_mm`, `equipment.camera.x_mm`.

A path names tables from the outside in. An entry of a list is named by its id where it has one that
stands there first, otherwise by its number counted from 1 (`body.station.2.x_mm`). The word `part` is
left out before the id of a part; before a number it stays (`part.3.kind`).
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from typing import Any

from foldwright.design.words import shorten

Step = str | int
Path = tuple[Step, ...]

_ID = re.compile(r"[a-z][a-z0-9-]{0,39}")
_BARE = re.compile(r"[A-Za-z0-9_-]{1,60}")
_PIECE = re.compile(r'"[^"]*"|[^."]+')
_PATH = re.compile(rf"(?:{_PIECE.pattern})(?:\.(?:{_PIECE.pattern}))*")
_MOST_NAMED = 2000  # in longer lists, which no model accepts, entries go by their number
TAGGED = ("part", "joint", "fitting", "entry")


def plain(loc: Sequence[Step]) -> Path:
    """A validator's location without the tags of unions and the sign for a dictionary's key."""
    tagged = len(loc) > 2 and loc[0] in TAGGED and isinstance(loc[1], int)
    steps = (*loc[:2], *loc[3:]) if tagged else tuple(loc)
    return steps[:-1] if steps and steps[-1] == "[key]" else steps


def id_of(entry: object) -> str | None:
    """A well-formed id of a table, or None."""
    name = entry.get("id") if isinstance(entry, Mapping) else None
    return str(name) if isinstance(name, str) and _ID.fullmatch(name) else None


def _entry(entries: Sequence[Any], index: int) -> str:
    """Name of one entry of a list: its id where it is the first with that id, else its number from 1."""
    name = id_of(entries[index]) if index < len(entries) <= _MOST_NAMED else None
    if name is None:
        return str(index + 1)
    first = next(i for i, entry in enumerate(entries) if id_of(entry) == name)
    return name if first == index else str(index + 1)


def render(path: Path, data: object) -> str:
    """A path into raw data in words. `data` is the file's outermost table."""
    words: list[str] = []
    here: Any = data
    for step in path:
        if isinstance(step, int):
            entries = here if isinstance(here, (list, tuple)) else ()
            word = _entry(entries, step)
            if words == ["part"] and not word.isdigit():
                words.clear()
            words.append(word)
            here = entries[step] if step < len(entries) else None
        else:
            words.append(step if _BARE.fullmatch(step) else f'"{shorten(step)}"')
            here = here.get(step) if isinstance(here, Mapping) else None
    return ".".join(words)


def split(path: str) -> list[str] | None:
    """The words of a written path, or None where it is not one."""
    if not _PATH.fullmatch(path):
        return None
    return [word.strip('"') for word in _PIECE.findall(path)]


def _index(entries: Sequence[Any], word: str) -> int | None:
    if word.isdigit():
        return int(word) - 1 if 1 <= int(word) <= len(entries) else None
    return next((i for i, entry in enumerate(entries) if id_of(entry) == word), None)


def locate(path: str, data: Mapping[str, Any]) -> Path | None:
    """The steps of a written path in raw data, or None where it leads nowhere.

    Keys of tables may be new (whether they are known is for the models to say); entries of lists may not.
    """
    words = split(path)
    if words is None:
        return None
    parts = data.get("part")
    if words[0] not in data and isinstance(parts, Sequence) and _index(parts, words[0]) is not None:
        words = ["part", *words]
    steps: list[Step] = []
    here: Any = data
    for word in words:
        if isinstance(here, Mapping):
            steps.append(word)
            here = here.get(word, {})
        elif isinstance(here, Sequence) and not isinstance(here, str):
            index = _index(here, word)
            if index is None:
                return None
            steps.append(index)
            here = here[index]
        else:
            return None
    return tuple(steps)
