"""Sentences of the rules on what holds parts together and whether the battery is reached."""

from __future__ import annotations

from foldwright.base.message import Message

CATALOGUE: dict[str, Message] = {
    "G87": Message(
        "parts held",
        "{how}.",
        "each part in a joint, or a plain plate glued on, {limit_mm} mm from the next at most",
        "{got}",
        "{help}.",
    ),
    "B30": Message(
        "battery reached",
        "The battery {battery} {how}.",
        "a way out straight up, down or to a side, past board that comes off",
        "{got}",
        "{help}.",
    ),
}
