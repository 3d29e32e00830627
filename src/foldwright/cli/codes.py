"""Exit codes."""

from __future__ import annotations

NO_GO = 1
UNUSABLE = 2
INTERRUPTED = 130
