"""Sentences of what may be wrong with a start from a starter (F56)."""

from __future__ import annotations

from foldwright.base.message import Message

CATALOGUE: dict[str, Message] = {
    "F56": Message(
        "No starter of that name",
        "There is no starter named {got}.",
        "one of {known}",
        "{got}",
        "Use --like {nearest}; `foldwright new --list` says what each of them is.",
    ),
}
