"""Bytes of a file to a plain TOML table, guarded: size, encoding, nesting, syntax."""

from __future__ import annotations

import codecs
import hashlib
import re
import stat
import tomllib
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from foldwright.base.finding import Finding
from foldwright.design.words import shorten

MOST_BYTES = 1_000_000
MOST_LEVELS = 32
MOST_VALUES = 50_000

Table = dict[str, Any]


@dataclass(frozen=True, slots=True)
class Source:
    """A file's text as it was read, for saving it again.

    name: as the user wrote it. text: decoded, without byte-order mark. sha256: of the bytes, hexadecimal.
    drawings: bytes of the drawings that it names, by file name, sorted.
    """

    name: str
    text: str
    sha256: str
    drawings: tuple[tuple[str, bytes], ...] = ()


def digest(data: bytes) -> str:
    """SHA-256 of a file's bytes, hexadecimal."""
    return hashlib.sha256(data).hexdigest()


def _fault(code: str, name: str, **params: str | int) -> Finding:
    return Finding(code, "no-go", shorten(name, 200), {"file": shorten(name, 200), **params})


_SORTS = (
    (stat.S_ISDIR, "a folder"),
    (stat.S_ISFIFO, "a pipe"),
    (stat.S_ISSOCK, "a socket"),
    (stat.S_ISCHR, "a device"),
    (stat.S_ISBLK, "a device"),
)


def read_bytes(path: Path, name: str, most: int = MOST_BYTES) -> bytes | Finding:
    """The bytes of a regular file of at most `most` bytes, or the finding that says why not."""
    try:
        state = path.stat()
        if not stat.S_ISREG(state.st_mode):
            found = next((word for test, word in _SORTS if test(state.st_mode)), "something else")
            return _fault("F02", name, found=found)
        if state.st_size > most:
            return _fault("F04", name, size=state.st_size, most=most)
        with path.open("rb") as stream:
            data = stream.read(most + 1)
    except FileNotFoundError:
        return _fault("F01", name)
    except PermissionError:
        return _fault("F03", name, reason="no permission to read it")
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or "the name cannot be used here"
        return _fault("F03", name, reason=str(reason).lower())
    return data


_MARKS = (
    (codecs.BOM_UTF32_LE, "it begins with the mark of UTF-32"),
    (codecs.BOM_UTF32_BE, "it begins with the mark of UTF-32"),
    (codecs.BOM_UTF16_LE, "it begins with the mark of UTF-16"),
    (codecs.BOM_UTF16_BE, "it begins with the mark of UTF-16"),
)


def decode(data: bytes, name: str) -> str | Finding:
    """Text of a file in UTF-8, with or without a byte-order mark, or the finding that says why not."""
    for mark, found in _MARKS:
        if data.startswith(mark):
            return _fault("F05", name, found=found)
    if data[:64].count(0) * 3 >= len(data[:64]) > 0:
        return _fault("F05", name, found="every second byte is empty, as in UTF-16, or it is not text")
    try:
        return data.removeprefix(codecs.BOM_UTF8).decode("utf-8")
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        return _fault("F05", name, found=f"byte 0x{data[error.start]:02x} on line {line}")


# Everything that can open, close or hide a bracket; each alternative matches to its end or the text's,
# so that the scan is linear in the length of the text.
_TOKEN = re.compile(
    r'"""(?:[^\\"]|\\.|"(?!""))*+(?:"""|\Z)?'
    r"|'''(?:[^']|'(?!''))*+(?:'''|\Z)?"
    r'|"(?:[^"\\\n]|\\.)*+"?'
    r"|'[^'\n]*+'?"
    r"|#[^\n]*+"
    r"|[\[\]{}.,=\n]",
    re.DOTALL,
)


def _too_deep(text: str) -> int | None:
    """Offset at which brackets or dotted names first go deeper than `MOST_LEVELS`, or None."""
    depth = dots = 0
    for match in _TOKEN.finditer(text):
        token = match.group()
        if token in "[{":
            depth += 1
            dots = 0
        elif token in "]}":
            depth = max(depth - 1, 0)
            dots = 0
        elif token == ".":
            dots += 1
        elif token in ",=\n":
            dots = 0
        if depth > MOST_LEVELS or dots > MOST_LEVELS:
            return match.start()
    return None


_PLACE = re.compile(
    r"^(?P<what>.*?) \(at (?:line (?P<line>\d+), column (?P<column>\d+)|end of document)\)$", re.DOTALL
)

# Opening words of the reader's complaint → our sentence.
_COMPLAINTS = (
    ("Expected '=' after a key", "a key is written here, but no = follows it"),
    ("Invalid initial character for a key", "a key cannot begin with this character"),
    ("Invalid statement", "this is neither a key nor a [table]"),
    ("Invalid value", "the value cannot be read; text must stand in quotes"),
    ("Unclosed array", "a list is not closed with ]"),
    ("Unclosed inline table", "an inline table is not closed with }"),
    ("Unterminated string", "a text is not closed with its quote"),
    ("Expected \"'", "a text is not closed with its quote"),
    ("Illegal character", "a character stands here that such a text cannot hold"),
    ("Found invalid character", "a character stands here that such a text cannot hold"),
    ("Unescaped '\\'", "a backslash stands alone; write \\\\ for one"),
    ("Invalid hex value", "\\u must be followed by four hexadecimal digits, \\U by eight"),
    ("Escaped character is not", "this \\U number is no character"),
    ("Cannot overwrite a value", "this key stands here for the second time"),
    ("Cannot declare", "this table stands here for the second time"),
    ("Cannot redefine", "this table stands here for the second time"),
    ("Cannot mutate immutable", "an inline table cannot be added to afterwards"),
    ("Duplicate inline table key", "this key stands in the inline table for the second time"),
    ("Expected ']'", "the name of a table must be closed with ]"),
    ("Expected newline or end", "something follows the value that does not belong on this line"),
    ("Invalid date or datetime", "this is no date; text must stand in quotes"),
)


def _complaint(said: str) -> str:
    return next(
        (ours for theirs, ours in _COMPLAINTS if said.startswith(theirs)), "this cannot be read as TOML"
    )


def _syntax(text: str, name: str, said: str) -> Finding:
    """First fault of syntax, with line and column counted from 1 and the line itself, shortened."""
    match = _PLACE.match(said)
    lines = text.replace("\r\n", "\n").split("\n")
    if match and match["line"]:
        line, column = int(match["line"]), int(match["column"])
    else:
        line = max((n for n, row in enumerate(lines, 1) if row.strip()), default=1)
        column = len(lines[line - 1]) + 1
    row = lines[line - 1] if line <= len(lines) else ""
    start = max(column - 60, 0) if column > 70 else 0
    what = _complaint(match["what"] if match else said)
    return _fault("F06", name, line=line, column=column, what=what, text=shorten(row[start:].strip(), 80))


def parse(text: str, name: str) -> Table | Finding:
    """The table in a TOML text, or the first fault; what is nested too deeply is refused unparsed."""
    deep = _too_deep(text)
    if deep is not None:
        return _fault("F07", name, line=text.count("\n", 0, deep) + 1, most=MOST_LEVELS)
    try:
        table = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        return _syntax(text, name, str(error))
    except (ValueError, OverflowError):
        # A whole number of thousands of digits, which Python refuses to convert.
        return _long_number(text, name)
    count = _values(table)
    return table if count <= MOST_VALUES else _fault("F44", name, count=count, most=MOST_VALUES)


def _values(table: Table) -> int:
    """Number of values in a table, tables and lists and what they hold included."""
    count, waiting = 0, list[Any]([table])
    while waiting:
        inner = waiting.pop()
        count += 1
        if isinstance(inner, dict):
            waiting.extend(inner.values())
        elif isinstance(inner, list):
            waiting.extend(inner)
    return count


def _long_number(text: str, name: str) -> Finding:
    match = re.search(r"\d[\d_]{999,}", text)
    at = match.start() if match else 0
    line = text.count("\n", 0, at) + 1
    column = at - (text.rfind("\n", 0, at) + 1) + 1
    row = text.split("\n")[line - 1]
    what = "a number of more than a thousand digits"
    return _fault("F06", name, line=line, column=column, what=what, text=shorten(row.strip(), 80))
