"""`foldwright new`: a design or workshop file to start from."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Literal

import typer

from foldwright.cli.options import AsJson

if TYPE_CHECKING:
    from foldwright.base.finding import Finding


def new(
    out: Annotated[Path, typer.Argument(metavar="FILE", help="The file to write.", show_default=False)],
    name: Annotated[
        str, typer.Option("--name", metavar="NAME", help="Name of the aeroplane, or of the workshop.")
    ] = "",
    workshop: Annotated[
        bool, typer.Option("--workshop", help="Write a workshop file: board, cutter, printer, paper.")
    ] = False,
    as_json: AsJson = False,
) -> None:
    """Write a design file, or a workshop file, to start from.

    A tailless pusher that balances and trims, or a table of one builder's board and tools, with comments; a
    file that is there already stays as it is.
    """
    from foldwright.base.atomic import write_text
    from foldwright.base.finding import Finding
    from foldwright.cli.show import answer, cannot_write, print_json, refuse, stop
    from foldwright.cli.streams import say_line

    text = _text("workshop" if workshop else "design", name, out)
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
        following = f"check DESIGN --workshop {out}" if workshop else f"check {out}"
        say_line(f"Wrote {out}. Next: foldwright {following}")
    stop(0)


def _text(kind: Literal["design", "workshop"], name: str, out: Path) -> str | tuple[Finding, ...]:
    """The file's text under the name wanted, or what is wrong with the name."""
    from foldwright.base.finding import Finding
    from foldwright.design.load import load_text, starter
    from foldwright.design.save import set_value

    first = starter("workshop" if kind == "workshop" else "marram")
    if not name:
        return first
    own = (
        {"name": name}
        if kind == "workshop"
        else {"design.name": name, "design.author": "your name", "design.note": ""}
    )
    text: str | Finding = first
    for key, value in own.items():
        text = set_value(str(text), key, value, kind)
        if isinstance(text, Finding):
            return (text,)
    read = load_text(str(text), kind, str(out))
    return str(text) if read.value is not None else read.findings
