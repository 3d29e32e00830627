"""`foldwright schema`: JSON Schema for editors."""

from __future__ import annotations

from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

if TYPE_CHECKING:
    from foldwright.design.schema import Kind


class FileKind(StrEnum):
    """The files that people write."""

    DESIGN = "design"
    WORKSHOP = "workshop"
    STOCK = "stock"


def schema(
    kind: Annotated[FileKind, typer.Argument(help="Which file.")] = FileKind.DESIGN,
    out: Annotated[
        Path | None,
        typer.Option("--out", metavar="FILE", help="Write to this file, replacing it, instead of printing."),
    ] = None,
    as_json: Annotated[
        bool, typer.Option("--json", help="The schema is JSON in any case; with --out, say so in JSON.")
    ] = False,
) -> None:
    """Print the JSON Schema of a file.

    For editors that complete and check as you type.
    """
    import json

    from foldwright.base.atomic import write_text
    from foldwright.cli.show import answer, cannot_write, print_json, refuse, stop
    from foldwright.cli.streams import say_line, takes_unicode
    from foldwright.design.schema import json_schema

    kinds: dict[FileKind, Kind] = {
        FileKind.DESIGN: "design", FileKind.WORKSHOP: "workshop", FileKind.STOCK: "stock",
    }  # fmt: skip
    table = json_schema(kinds[kind])
    if out is None:
        say_line(json.dumps(table, indent=2, ensure_ascii=not takes_unicode(), sort_keys=True))
        stop(0)
    try:
        write_text(out, json.dumps(table, indent=2, ensure_ascii=False, sort_keys=True) + "\n")
    except OSError as error:
        refuse("schema", [cannot_write(out, error)], as_json, written=None)
    if as_json:
        print_json(answer("schema", (), written=str(out)))
    else:
        say_line(f"Wrote {out}")
    stop(0)
