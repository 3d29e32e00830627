"""The commands by name."""

from __future__ import annotations

from typing import Annotated

import typer

from foldwright.cli import check, demo, new, plans, print_, propellers, readback, schema, stock, workshop

app = typer.Typer(
    name="foldwright",
    help="Small aeroplanes folded from foam board: from one design file to the plan set.",
    no_args_is_help=True,
    pretty_exceptions_enable=False,
    # plain help: nothing to import, any terminal, any encoding
    rich_markup_mode=None,
    context_settings={"help_option_names": ["-h", "--help"]},
    epilog="Exit code: 0 clear or watch, 1 no-go, 2 unusable input, 130 interrupted.",
)


def _version(wanted: bool) -> None:
    if wanted:
        from foldwright import __version__

        typer.echo(f"foldwright {__version__}")
        raise typer.Exit


@app.callback()
def _root(
    _wanted: Annotated[
        bool, typer.Option("--version", callback=_version, is_eager=True, help="Print the version and leave.")
    ] = False,
) -> None:
    """The options before the command."""


app.command("new")(new.new)
app.command("check")(check.check)
app.command("plans")(plans.plans)
app.command("print")(print_.print_)
app.command("readback")(readback.readback)
app.command("schema")(schema.schema)
app.command("stock")(stock.stock)
app.command("propellers")(propellers.propellers)
app.add_typer(workshop.app, name="workshop")
app.command("demo")(demo.demo)
