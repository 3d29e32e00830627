"""`foldwright new`: a design or workshop file to start from."""

from __future__ import annotations

from functools import cache
from importlib.resources import files
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Literal

import typer

from foldwright.cli.options import AsJson

if TYPE_CHECKING:
    from foldwright.base.finding import Finding

DEFAULT = "marram"
_WORKSHOP = "workshop"
_NAMES = 12


@cache
def starters() -> tuple[str, ...]:
    """Names of the designs that there are to start from, sorted."""
    folder = files("foldwright.design").joinpath("data/starters")
    names = (entry.name.removesuffix(".toml") for entry in folder.iterdir() if entry.name.endswith(".toml"))
    return tuple(sorted(name for name in names if name != _WORKSHOP))


def about(name: str) -> str:
    """What a starter is: the first line of comment in its file, without the name before its colon."""
    from foldwright.design.load import starter

    for line in starter(name).splitlines():
        words = line.lstrip("# ").rstrip()
        if line.startswith("#") and words:
            before, colon, rest = words.partition(": ")
            return rest if colon and before.lower() == name else words
    return ""


def new(
    out: Annotated[
        Path | None, typer.Argument(metavar="FILE", help="The file to write.", show_default=False)
    ] = None,
    like: Annotated[
        str,
        typer.Option(
            "--like",
            metavar="NAME",
            help=f"Layout to start from: {', '.join(starters())}; default {DEFAULT}.",
        ),
    ] = "",
    show: Annotated[bool, typer.Option("--list", help="Say what each layout is, and write nothing.")] = False,
    name: Annotated[
        str, typer.Option("--name", metavar="NAME", help="Name of the aeroplane, or of the workshop.")
    ] = "",
    workshop: Annotated[
        bool, typer.Option("--workshop", help="Write a workshop file: board, cutter, printer, paper.")
    ] = False,
    as_json: AsJson = False,
) -> None:
    """Write a design file, or a workshop file, to start from.

    A design that balances and trims, or a table of one builder's board and tools, with comments; a file that
    is there already stays as it is.
    """
    from foldwright.cli.show import answer, print_json, refuse, stop
    from foldwright.cli.streams import say_line

    if show:
        _list(as_json=as_json)
        stop(0)
    if out is None:
        raise typer.BadParameter("the file to write is missing", param_hint="FILE")
    if like and workshop:
        raise typer.BadParameter("a workshop file has one start only", param_hint="--like")
    chosen = _chosen(like.lower())
    text = chosen if isinstance(chosen, tuple) else _text(chosen, name, out, workshop=workshop)
    problems = text if isinstance(text, tuple) else _write(out, text)
    if problems:
        refuse("new", problems, as_json, written=None)
    if as_json:
        print_json(answer("new", (), written=str(out)))
    else:
        following = f"check DESIGN --workshop {out}" if workshop else f"check {out}"
        say_line(f"Wrote {out}. Next: foldwright {following}")
    stop(0)


def _list(*, as_json: bool) -> None:
    """Every starter with what it is."""
    from foldwright.cli.show import answer, print_json
    from foldwright.cli.streams import paragraph

    if as_json:
        rows = [{"name": name, "says": about(name)} for name in starters()]
        print_json(answer("new", (), starters=rows, written=None))
        return
    for name in starters():
        paragraph(about(name), name, _NAMES)


def _chosen(like: str) -> str | tuple[Finding, ...]:
    """The starter that is meant, or F56."""
    from foldwright.base.finding import Finding
    from foldwright.design.words import nearest, shorten

    if not like or like in starters():
        return like or DEFAULT
    params = {
        "got": shorten(like),
        "known": ", ".join(starters()),
        "nearest": nearest(like, starters(), 1)[0],
    }
    return (Finding("F56", "no-go", "--like", params),)


def _write(out: Path, text: str) -> tuple[Finding, ...]:
    """Write a file that is not there yet, or say why not."""
    from foldwright.base.atomic import write_text
    from foldwright.base.finding import Finding
    from foldwright.cli.show import cannot_write

    try:
        if out.exists():
            return (Finding("F50", "no-go", str(out), {"file": str(out)}),)
        write_text(out, text)
    except OSError as error:
        return (cannot_write(out, error),)
    return ()


def _text(like: str, name: str, out: Path, *, workshop: bool) -> str | tuple[Finding, ...]:
    """The file's text under the name wanted, or what is wrong with the name."""
    from foldwright.base.finding import Finding
    from foldwright.design.load import load_text, starter
    from foldwright.design.save import set_value

    kind: Literal["design", "workshop"] = "workshop" if workshop else "design"
    first = starter(_WORKSHOP if workshop else like)
    if not name:
        return first
    own = (
        {"name": name} if workshop else {"design.name": name, "design.author": "your name", "design.note": ""}
    )
    text: str | Finding = first
    for key, value in own.items():
        text = set_value(str(text), key, value, kind)
        if isinstance(text, Finding):
            return (text,)
    read = load_text(str(text), kind, str(out))
    return str(text) if read.value is not None else read.findings
