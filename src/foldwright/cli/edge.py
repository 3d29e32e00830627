"""The outermost edge: interruption, a full disk, a vanished reader end in a sentence, not in a traceback."""

from __future__ import annotations

import signal
import sys
from types import FrameType
from typing import NoReturn

from foldwright.cli.codes import INTERRUPTED, UNUSABLE


class Stopped(SystemExit):
    """Ctrl-C: passes through everything that a command has open, so that it is put away."""


def _stop(_number: int, _frame: FrameType | None) -> NoReturn:
    # a second Ctrl-C must not disturb the putting away
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    raise Stopped(INTERRUPTED)


def run() -> None:
    """Run the command that the arguments name and leave with its exit code."""
    if signal.getsignal(signal.SIGINT) is not signal.SIG_IGN:
        signal.signal(signal.SIGINT, _stop)
    try:
        from foldwright.cli.streams import prepare

        prepare()
        from foldwright.cli.app import app

        app()
    except Stopped:
        print("Stopped. Files are written whole or not at all; nothing is half done.", file=sys.stderr)
        raise
    except OSError as error:
        print(f"This machine refused: {error}", file=sys.stderr)
        raise SystemExit(UNUSABLE) from None
