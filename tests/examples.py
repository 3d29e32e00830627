"""How many examples a property test draws: the one flag for a longer search."""

from __future__ import annotations

import os

TIMES = int(os.environ.get("FOLDWRIGHT_EXAMPLES_TIMES", "1"))
"""FOLDWRIGHT_EXAMPLES_TIMES=10 pytest … draws ten times as many, and new ones each time."""


def examples(count: int) -> int:
    """Examples of a property test."""
    return count * TIMES
