"""`foldwright stock`: what can be named in a design."""

from __future__ import annotations

from typing import Annotated, Any

import typer

from foldwright.cli.options import UNUSABLE, AsJson, StockFile


def stock(
    kind: Annotated[str, typer.Argument(help="Only this kind: motor, propeller, battery, servo …")] = "",
    own: StockFile = None,
    as_json: AsJson = False,
) -> None:
    """List the stock: generic entries with their numbers and where those come from."""
    from foldwright.cli.show import finding_data, print_findings, print_json, stop
    from foldwright.design.load import load_stock

    read = load_stock(own)
    if read.value is None:
        if as_json:
            print_json({"findings": [finding_data(one) for one in read.findings], "entries": []})
        else:
            print_findings(read.findings)
        stop(UNUSABLE)
        return
    kinds = sorted({entry.kind for entry in read.value.entry})
    if kind and kind not in kinds:
        typer.echo(f"There is no kind {kind!r}; kinds: {', '.join(kinds)}", err=True)
        stop(UNUSABLE)
    entries = [entry for entry in read.value.entry if not kind or entry.kind == kind]
    if as_json:
        print_json({"findings": [], "entries": [entry.model_dump(mode="json") for entry in entries]})
        return
    for entry in sorted(entries, key=lambda one: (one.kind, one.id)):
        typer.echo(f"{entry.kind:<10} {entry.id:<20} {_numbers(entry.model_dump(mode='json'))}")
        typer.echo(f"{'':<31} {entry.name}; {entry.source}")


def _numbers(data: dict[str, Any]) -> str:
    shown = {key: value for key, value in data.items() if key not in ("id", "kind", "name", "source")}
    return ", ".join(f"{key} {_plain(value)}" for key, value in shown.items() if value is not None)


def _plain(value: object) -> str:
    return (
        " x ".join(f"{one:g}" for one in value)
        if isinstance(value, list)
        else (f"{value:g}" if isinstance(value, float) else str(value))
    )
