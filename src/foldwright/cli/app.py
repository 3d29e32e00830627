"""The commands by name."""

from __future__ import annotations

import typer

from foldwright.cli import check, demo, new, plans, readback, schema, stock

app = typer.Typer(
    name="foldwright",
    help="Small aeroplanes folded from foam board: from one design file to the plan set.",
    no_args_is_help=True,
    pretty_exceptions_enable=False,
    epilog="Exit code: 0 clear or watch, 1 no-go, 2 unusable input.",
)


@app.callback(invoke_without_command=True)
def _root(version: bool = typer.Option(False, "--version", help="Print the version and leave.")) -> None:
    if version:
        from foldwright import __version__

        typer.echo(f"foldwright {__version__}")
        raise typer.Exit


app.command("new")(new.new)
app.command("check")(check.check)
app.command("plans")(plans.plans)
app.command("readback")(readback.readback)
app.command("schema")(schema.schema)
app.command("stock")(stock.stock)
app.command("demo")(demo.demo)
