"""`foldwright stock`: what can be named in a design."""

from __future__ import annotations

from enum import StrEnum
from typing import Annotated, Any

import typer

from foldwright.cli.options import AsJson, StockFile


class EntryKind(StrEnum):
    """The kinds of stock entry."""

    MOTOR = "motor"
    PROPELLER = "propeller"
    BATTERY = "battery"
    SERVO = "servo"
    RECEIVER = "receiver"
    CONTROLLER = "controller"
    CAMERA = "camera"
    VIDEO_TRANSMITTER = "video_transmitter"
    ITEM = "item"
    SPAR = "spar"
    FILAMENT = "filament"


def stock(
    kind: Annotated[EntryKind | None, typer.Argument(help="Only this kind.", show_default=False)] = None,
    own: StockFile = None,
    as_json: AsJson = False,
) -> None:
    """List what a design can name.

    Generic entries, your own among them, with their numbers and where those come from.
    """
    from foldwright.cli.show import answer, print_json, refuse, stop
    from foldwright.cli.streams import paragraph, styled
    from foldwright.design.load import load_stock

    read = load_stock(own)
    if read.value is None:
        refuse("stock", read.findings, as_json, entries=[])
    entries = [entry for entry in read.value.entry if kind is None or entry.kind == kind.value]
    entries.sort(key=lambda one: (one.kind, one.id))
    if as_json:
        rows = [entry.model_dump(mode="json") for entry in entries]
        print_json(answer("stock", read.findings, entries=rows))
        stop(0)
    for entry in entries:
        paragraph(entry.name, styled(f"{entry.kind:<10} {entry.id}", "strong") + "  ", 0)
        paragraph(_numbers(entry.model_dump(mode="json")), "", 11)
        paragraph(f"source: {entry.source}", "", 11)
    stop(0)


def _numbers(data: dict[str, Any]) -> str:
    shown = {key: value for key, value in data.items() if key not in {"id", "kind", "name", "source"}}
    return ", ".join(f"{key} {_plain(value)}" for key, value in shown.items() if value is not None)


def _plain(value: object) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, list):
        if any(isinstance(one, list) for one in value):
            return ", ".join(f"({_plain(one)})" for one in value)
        return " x ".join(f"{one:g}" for one in value)
    return f"{value:g}" if isinstance(value, float) else str(value)
