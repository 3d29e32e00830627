"""Arguments that several commands share."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

DesignFile = Annotated[
    Path, typer.Argument(metavar="DESIGN", help="The design file (TOML).", show_default=False)
]
WorkshopFile = Annotated[
    Path | None,
    typer.Option(
        "--workshop",
        "-w",
        metavar="WORKSHOP",
        help="The workshop file: your board, cutter, printer, battery. Left out: a plain workshop.",
    ),
]
StockFile = Annotated[
    Path | None,
    typer.Option("--stock", metavar="STOCK", help="Your own stock entries, added to the built-in ones."),
]
AsJson = Annotated[bool, typer.Option("--json", help="Print JSON instead of words.")]
