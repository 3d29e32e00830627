"""Sentences of the readback findings."""

from __future__ import annotations

from foldwright.base.message import Message

CATALOGUE: dict[str, Message] = {}
