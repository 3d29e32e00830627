"""Saying what is being done, on standard error, so that printed results stay clean."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager

Say = Callable[[str], None]


@contextmanager
def progress(quiet: bool) -> Iterator[Say]:
    """Yields `say(text)`: a live line on a terminal, a line a step elsewhere, nothing when quiet."""
    if quiet:
        yield lambda _text: None
        return
    if sys.stderr.isatty():
        from rich.console import Console

        with Console(stderr=True).status("reading") as status:
            yield status.update
        return
    yield lambda text: print(f"{text} …", file=sys.stderr, flush=True)
