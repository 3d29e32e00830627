"""The list of a plan set's files: size and SHA-256 of each, and what the set is; JSON, format 1."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path, PurePosixPath
from typing import Any

FORMAT = 1
NAME = "manifest.json"
# Written into folders by file managers, unasked.
_LITTER = frozenset({"Thumbs.db", "desktop.ini"})


@dataclass(frozen=True, slots=True)
class About:
    """What a plan set is.

    licence: of the plans, as the designer chose it. version: of the tool. libraries: version of those that
    show in the drawn files, by name.
    """

    design: str
    revision: str
    workshop: str
    licence: str
    flown: str
    version: str
    libraries: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class MadeBy:
    """What made a plan set: version of the tool, and of the libraries by name."""

    version: str
    libraries: Mapping[str, str]


def manifest(files: Mapping[str, bytes], about: About) -> bytes:
    """The manifest of files by their path in the plan set (itself left out)."""
    data = {
        "format": FORMAT,
        "tool": "foldwright",
        "version": about.version,
        "libraries": dict(about.libraries),
        "design": about.design,
        "revision": about.revision,
        "workshop": about.workshop,
        "licence": about.licence,
        "flown": about.flown,
        "files": {name: _entry(files[name]) for name in sorted(files) if name != NAME},
    }
    return (json.dumps(data, indent=1, sort_keys=True, ensure_ascii=False) + "\n").encode()


def _entry(data: bytes) -> dict[str, str | int]:
    return {"bytes": len(data), "sha256": hashlib.sha256(data).hexdigest()}


@dataclass(frozen=True, slots=True)
class Compared:
    """A file against its entry: "as listed", "changed", "missing" or "not listed"."""

    file: str
    state: str


def is_litter(path: str) -> bool:
    """Whether a file is one that file managers leave behind, by its path in the plan set."""
    steps = PurePosixPath(path).parts
    return any(step.startswith(".") for step in steps) or steps[-1] in _LITTER


def compare(data: bytes, files: Mapping[str, bytes]) -> tuple[Compared, ...]:
    """Every file that is listed or there, but for what file managers leave behind. Raises
    ValueError for a manifest that cannot be read.
    """
    table = _read(data)
    listed: dict[str, Any] = table["files"]
    rows: list[Compared] = []
    for name in sorted({*listed, *files} - {NAME}):
        if name not in files:
            state = "missing"
        elif name not in listed:
            if is_litter(name):
                continue
            state = "not listed"
        else:
            state = "as listed" if _entry(files[name]) == listed[name] else "changed"
        rows.append(Compared(name, state))
    return tuple(rows)


def made_by(data: bytes) -> MadeBy:
    """What made the plan set of a manifest. Raises ValueError for a manifest that cannot be read."""
    table = _read(data)
    found = table.get("libraries")
    libraries = {str(k): str(v) for k, v in found.items()} if isinstance(found, dict) else {}
    return MadeBy(str(table.get("version", "")), libraries)


def listed(path: Path) -> frozenset[str]:
    """The files that a manifest on the disk lists; none where there is no manifest that can be read."""
    try:
        return frozenset(_read(path.read_bytes())["files"])
    except (OSError, ValueError):
        return frozenset()


def _read(data: bytes) -> dict[str, Any]:
    try:
        table = json.loads(data)
    except (UnicodeDecodeError, json.JSONDecodeError) as fault:
        raise ValueError(f"not JSON: {fault}") from fault
    if (
        not isinstance(table, dict)
        or table.get("format") != FORMAT
        or not isinstance(table.get("files"), dict)
    ):
        raise ValueError(f"no manifest of format {FORMAT}")
    return table
