"""Saying what is being done, on standard error, so that printed results stay clean."""

from __future__ import annotations

import os
import shutil
import sys
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager

Say = Callable[[str], None]

PATIENCE_S = 0.5
"""What is done sooner is done without a word; steps that follow faster are not all listed in a log."""


class _Teller:
    """Tells the present step once there has been nothing to see for a while.

    On a terminal it keeps one line up to date and takes it away in the end; elsewhere it prints lines.
    """

    def __init__(self, what: str) -> None:
        self._what = what
        self._lock = threading.Lock()
        self._live = sys.stderr.isatty() and os.environ.get("TERM") != "dumb"
        self._text = ""
        self._told = ""
        self._open = False
        self._last = 0.0
        self._timer = threading.Timer(PATIENCE_S, self._begin)
        self._timer.daemon = True
        self._timer.start()

    def say(self, text: str) -> None:
        """The step that begins now."""
        with self._lock:
            self._text = f"{self._what}{text}"
            if self._open and (self._live or time.monotonic() - self._last >= PATIENCE_S):
                self._tell()

    def close(self) -> None:
        """No more steps."""
        self._timer.cancel()
        with self._lock:
            if self._open and self._live:
                self._write("\r\x1b[K")
            self._open = False

    def _begin(self) -> None:
        with self._lock:
            self._open = True
            self._tell()

    def _tell(self) -> None:
        if not self._text or self._text == self._told:
            return
        self._told, self._last = self._text, time.monotonic()
        if self._live:
            room = max(shutil.get_terminal_size().columns - 3, 8)
            self._write(f"\r{self._text[:room]} …\x1b[K")
        else:
            self._write(f"{self._text} …\n")

    def _write(self, text: str) -> None:
        # nobody to tell: the work matters more than the telling
        try:
            sys.stderr.write(text)
            sys.stderr.flush()
        except OSError:
            self._open = False


@contextmanager
def progress(what: str = "") -> Iterator[Say]:
    """Yields `say(text)`, which tells the step on standard error from half a second on, behind `what`."""
    teller = _Teller(what)
    try:
        yield teller.say
    finally:
        teller.close()
