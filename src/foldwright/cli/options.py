"""Arguments that several commands share, and the exit codes."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

DesignFile = Annotated[Path, typer.Argument(help="The design file (TOML).", show_default=False)]
WorkshopFile = Annotated[
    Path | None,
    typer.Option(
        "--workshop",
        "-w",
        help="The workshop file: your board, cutter, printer, battery. Left out: a plain workshop.",
    ),
]
StockFile = Annotated[
    Path | None, typer.Option("--stock", help="Your own stock entries, added to the built-in ones.")
]
AsJson = Annotated[bool, typer.Option("--json", help="Print JSON instead of words.")]

NO_GO = 1
UNUSABLE = 2
INTERRUPTED = 130
