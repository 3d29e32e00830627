"""`foldwright new`: a design file to start from."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from foldwright.cli.options import AsJson

if TYPE_CHECKING:
    from foldwright.base.finding import Finding


def new(
    out: Annotated[
        Path, typer.Argument(metavar="FILE", help="The design file to write.", show_default=False)
    ],
    name: Annotated[str, typer.Option("--name", metavar="NAME", help="Name of the aeroplane.")] = "",
    as_json: AsJson = False,
) -> None:
    """Write a design file to start from.

    A tailless pusher that balances and trims, with comments; a file that is there already stays as it is.
    """
    from foldwright.base.atomic import write_text
    from foldwright.base.finding import Finding
    from foldwright.cli.show import answer, cannot_write, print_json, refuse, stop
    from foldwright.cli.streams import say_line

    text = _text(name, out)
    problems = text if isinstance(text, tuple) else ()
    if isinstance(text, str):
        try:
            if out.exists():
                problems = (Finding("F50", "no-go", str(out), {"file": str(out)}),)
            else:
                write_text(out, text)
        except OSError as error:
            problems = (cannot_write(out, error),)
    if problems:
        refuse("new", problems, as_json, written=None)
    if as_json:
        print_json(answer("new", (), written=str(out)))
    else:
        say_line(f"Wrote {out}. Next: foldwright check {out}")
    stop(0)


def _text(name: str, out: Path) -> str | tuple[Finding, ...]:
    """The file's text under the name wanted, or what is wrong with the name."""
    from foldwright.base.finding import Finding
    from foldwright.design.load import load_text, starter
    from foldwright.design.save import set_value

    if not name:
        return starter("marram")
    text = set_value(starter("marram"), "design.name", name)
    if isinstance(text, Finding):
        return (text,)
    read = load_text(text, "design", str(out))
    return text if read.value is not None else read.findings
