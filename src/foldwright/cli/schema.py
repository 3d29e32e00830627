"""`foldwright schema`: JSON Schema for editors."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Literal

import typer


def schema(
    kind: Annotated[Literal["design", "workshop", "stock"], typer.Argument(help="Which file.")] = "design",
    out: Annotated[Path | None, typer.Option("--out", help="Write to this file instead of printing.")] = None,
    _as_json: Annotated[bool, typer.Option("--json", help="The schema is JSON in any case.")] = False,
) -> None:
    """Print the JSON Schema of a file, for editors that complete and check as you type."""
    import json

    from foldwright.design.schema import json_schema

    text = json.dumps(json_schema(kind), indent=2, ensure_ascii=False, sort_keys=True) + "\n"
    if out is None:
        typer.echo(text, nl=False)
        return
    from foldwright.base.atomic import write_text

    write_text(out, text)
