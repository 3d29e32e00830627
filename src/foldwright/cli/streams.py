"""Standard output and standard error as they are: any encoding, any width, colours only where wanted."""

from __future__ import annotations

import codecs
import io
import os
import shutil
import sys
import textwrap
import unicodedata
from typing import Literal

Tone = Literal["plain", "strong", "no-go", "watch", "clear"]

# Characters of our own sentences that an old terminal may lack.
_PLAIN = {
    "→": "->", "…": "...", "°": " deg", "×": "x", "−": "-", "–": "-", "—": "-", "±": "+/-", "·": ".",
    "≤": "<=", "≥": ">=", "’": "'", "‘": "'", "“": '"', "”": '"', "µ": "u",
}  # fmt: skip
_HANDLER = "foldwright-plain"
# Bold, and two hues that colour-blind readers can tell apart; the words say the same.
_SEQUENCES: dict[Tone, str] = {"strong": "1", "no-go": "1;35", "watch": "1;36", "clear": "0"}
_NARROWEST = 32
_WIDEST = 110


def plain_text(text: str) -> str:
    """The text in ASCII: arrows and the like spelled out, accents dropped, the rest a question mark."""
    return "".join(_plain_character(one) for one in text)


def _plain_character(one: str) -> str:
    if one in _PLAIN:
        return _PLAIN[one]
    if "\ud800" <= one <= "\udfff":  # a byte of a file's name that is no text
        return f"\\u{ord(one):04x}"
    near = unicodedata.normalize("NFKD", one).encode("ascii", "ignore").decode()
    return near or "?"


def _handler(error: UnicodeError) -> tuple[str, int]:
    if not isinstance(error, UnicodeEncodeError):
        raise error
    return plain_text(error.object[error.start : error.end]), error.end


def prepare() -> None:
    """Make standard output and error take every character, spelled out where their encoding lacks it."""
    codecs.register_error(_HANDLER, _handler)
    # closed by whoever started this: what is said goes nowhere, and the exit code still counts
    if sys.stdout is None:
        sys.stdout = io.StringIO()
    if sys.stderr is None:
        sys.stderr = io.StringIO()
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors=_HANDLER)


def takes_unicode() -> bool:
    """Whether standard output can take every character as it is."""
    return (getattr(sys.stdout, "encoding", None) or "utf-8").lower().replace("_", "-").startswith("utf")


def quiet_stdout() -> None:
    """Drop what is still to be printed: nobody reads it any more. The command goes on to its exit code."""
    null = os.open(os.devnull, os.O_WRONLY)
    os.dup2(null, 1)
    os.close(null)


def say_line(text: str = "") -> None:
    """Print a line on standard output, and go on in silence where its reader has left."""
    try:
        print(text)
    except BrokenPipeError:
        quiet_stdout()


def flush() -> None:
    """Send what has been printed on its way."""
    try:
        sys.stdout.flush()
    except BrokenPipeError:
        quiet_stdout()


def styled(text: str, tone: Tone) -> str:
    """The text in bold or in colour on a terminal that wants it; NO_COLOR and TERM=dumb are kept to."""
    sequence = _SEQUENCES.get(tone)
    if sequence is None or not _coloured():
        return text
    return f"\x1b[{sequence}m{text}\x1b[0m"


def _coloured() -> bool:
    return sys.stdout.isatty() and not os.environ.get("NO_COLOR") and os.environ.get("TERM") != "dumb"


def paragraph(text: str, first: str = "", indent: int = 0) -> None:
    """Print a text behind `first`, the next lines indented; broken into lines on a terminal only."""
    head = f"{first:<{indent}}"
    if not sys.stdout.isatty():
        say_line(f"{head}{text}".rstrip())
        return
    columns = min(max(shutil.get_terminal_size().columns - 1, _NARROWEST), _WIDEST)
    indent = indent if indent < columns // 2 else 2
    wrapped = textwrap.wrap(
        text,
        columns,
        initial_indent=head,
        subsequent_indent=" " * indent,
        break_long_words=False,
        break_on_hyphens=False,
    )
    for line in wrapped or [head.rstrip()]:
        say_line(line)
