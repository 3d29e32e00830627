"""`foldwright new`: a design file to start from."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from foldwright.cli.options import UNUSABLE, AsJson


def new(
    out: Annotated[Path, typer.Argument(help="The design file to write.", show_default=False)],
    name: Annotated[str, typer.Option("--name", help="Name of the aeroplane.")] = "",
    as_json: AsJson = False,
) -> None:
    """Write a commented design file to start from: a tailless pusher that balances and trims."""
    from foldwright.base.atomic import write_text
    from foldwright.base.finding import Finding
    from foldwright.cli.show import finding_data, print_findings, print_json, stop
    from foldwright.design.load import starter
    from foldwright.design.save import set_value

    text: str | Finding = starter("marram")
    if name and isinstance(text, str):
        text = set_value(text, "design.name", name)
    if isinstance(text, str) and out.exists():
        text = Finding("F50", "no-go", str(out), {"file": str(out)})
    if isinstance(text, Finding):
        if as_json:
            print_json({"findings": [finding_data(text)], "written": None})
        else:
            print_findings([text])
        stop(UNUSABLE)
    try:
        write_text(out, str(text))
    except OSError as error:
        finding = Finding(
            "F51", "no-go", str(out), {"file": str(out), "reason": error.strerror or str(error)}
        )
        if as_json:
            print_json({"findings": [finding_data(finding)], "written": None})
        else:
            print_findings([finding])
        stop(UNUSABLE)
    if as_json:
        print_json({"findings": [], "written": str(out)})
    else:
        typer.echo(f"Wrote {out}. Next: foldwright check {out}")
