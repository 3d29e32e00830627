"""`foldwright plans`: the plan set of a design for one workshop."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from foldwright.cli.options import AsJson, DesignFile, StockFile

if TYPE_CHECKING:
    from foldwright.cli.plan_work import Outcome


def plans(
    design: DesignFile,
    workshop: Annotated[
        Path,
        typer.Option(
            "--workshop",
            "-w",
            metavar="WORKSHOP",
            help="The workshop file: your board, cutter, printer.",
            show_default=False,
        ),
    ],
    out: Annotated[
        Path,
        typer.Option(
            "--out",
            "-o",
            metavar="FOLDER",
            help="The folder that the plan set is put into.",
            show_default=False,
        ),
    ],
    own_stock: StockFile = None,
    as_json: AsJson = False,
) -> None:
    """Write the plan set of a design.

    Sheets, setup card, views and data, read back before they are written: whole, or not at all. A design
    with a no-go gets none.
    """
    from foldwright.cli.plan_work import make_plan_set, plan_set_data
    from foldwright.cli.progress import progress
    from foldwright.cli.show import answer, print_json, refuse, stop

    with progress() as say:
        outcome = make_plan_set(design, workshop, own_stock, out, say)
    if not outcome.usable:
        refuse("plans", outcome.findings, as_json, **plan_set_data(outcome))
    if as_json:
        print_json(answer("plans", outcome.findings, **plan_set_data(outcome)))
    else:
        print_outcome(outcome)
    stop(outcome.code)


def print_outcome(outcome: Outcome) -> None:
    """The findings, and where the plan set is."""
    from foldwright.cli.plan_work import sums_text
    from foldwright.cli.report import print_verdict
    from foldwright.cli.show import print_findings
    from foldwright.cli.streams import paragraph, say_line, styled

    print_findings(outcome.findings)
    print_verdict(outcome.findings)
    bundle, written = outcome.bundle, outcome.written
    if bundle is None or written is None or written.folder is None:
        say_line(styled("No plan set was written.", "strong"))
        return
    readback = "" if written.readback is None else f"; read back: {written.readback.sentence}"
    count = len(bundle.files) + 1
    say_line(styled(f"Plan set {bundle.name}: {count} files{readback}", "strong"))
    paragraph(sums_text(bundle), "  ", 2)
    say_line(f"  folder: {written.folder}")
    say_line(f"  zip:    {written.archive}")
    say_line(f"  begin with: {written.folder / 'setup-card.pdf'}")
