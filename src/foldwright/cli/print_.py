"""`foldwright print`: templates, fittings, tools and coupons of a design, one or all, with wishes."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from foldwright.cli.options import AsJson, DesignFile, StockFile, WorkshopFile

if TYPE_CHECKING:
    from foldwright.cli.print_work import Printed

Parts = Annotated[
    list[str] | None,
    typer.Argument(
        metavar="[PART]...",
        help="What to print: a fitting, a blank, a tool, a coupon or a file. Left out: all.",
        show_default=False,
    ),
]


def print_(
    design: DesignFile,
    parts: Parts = None,
    workshop: WorkshopFile = None,
    own_stock: StockFile = None,
    out: Annotated[
        Path | None,
        typer.Option("--out", "-o", metavar="FOLDER", help="Folder for the files; left out: only a list."),
    ] = None,
    group: Annotated[
        str | None,
        typer.Option("--group", help="Only templates, fittings, tools or coupons.", show_default=False),
    ] = None,
    kind: Annotated[
        str | None,
        typer.Option("--kind", help="Templates as rim, full or paper.", show_default=False),
    ] = None,
    infill: Annotated[
        float | None,
        typer.Option("--infill", metavar="PERCENT", help="Infill in place of the usual one."),
    ] = None,
    bed: Annotated[
        str | None,
        typer.Option("--bed", metavar="LxWxH", help="The printer's bed in mm, such as 180x180x180."),
    ] = None,
    filament: Annotated[
        str | None,
        typer.Option("--filament", metavar="ID", help="Filament from the stock in place of the usual one."),
    ] = None,
    step: Annotated[bool, typer.Option("--step", help="STEP files too, for other programs.")] = False,
    gallery: Annotated[
        Path | None,
        typer.Option("--gallery", metavar="FILE", help="A picture of what is printed, .svg or .pdf."),
    ] = None,
    only_list: Annotated[
        bool, typer.Option("--list", help="Print the table; write nothing but a --gallery.")
    ] = False,
    as_json: AsJson = False,
) -> None:
    """Make the printed work of a design.

    Templates for tracing, fittings, tools and coupons as 3MF and STL with their settings, laid for your
    printer: one part, a group, or all. What is asked for here goes before the files; where it breaks a rule,
    such as legs that are not solid, it is refused with the reason.
    """
    from foldwright.cli.inputs import read_inputs
    from foldwright.cli.print_work import Wishes, make_prints, prints_data
    from foldwright.cli.progress import progress
    from foldwright.cli.show import answer, print_json, refuse, stop

    wishes = Wishes(tuple(parts or ()), group, kind, infill, bed, filament, step)
    with progress() as say:
        say("reading")
        inputs = read_inputs(design, workshop, own_stock)
        done = make_prints(inputs, wishes, None if only_list else out, gallery, say)
    if not done.usable:
        refuse("print", done.findings, as_json, **prints_data(done))
    if as_json:
        print_json(answer("print", done.findings, **prints_data(done)))
    else:
        print_done(done)
    stop(done.code)


def print_done(done: Printed) -> None:
    """The table, the findings, and where the files are."""
    from foldwright.cli.show import print_findings
    from foldwright.cli.streams import say_line, styled

    for line in table(done):
        say_line(line)
    print_findings(done.findings)
    if done.code:
        say_line(styled("Nothing was written.", "strong"))
    elif done.files:
        folders = sorted({str(path.parent) for path in done.files})
        say_line(styled(f"Wrote {len(done.files)} files into {', '.join(folders)}", "strong"))


def table(done: Printed) -> list[str]:
    """One line a bed: file, how often, time, grams, settings, title; and the sum."""
    from foldwright.make.print_text import hours, settings_words

    if done.prints is None:
        return []
    about = [f"  {path}" for path in sorted(done.prints.drawings)]
    about += [f"  {line}" for line in done.prints.said if done.named]
    if not done.prints.jobs:
        return about or ["Nothing to print."]
    jobs = done.prints.jobs
    wide = max(len(job.path) for job in jobs)
    lines = []
    for job in jobs:
        words = settings_words(job.prints[0].settings).rstrip(".")
        lines.append(
            f"  {job.path:<{wide}}  {job.copies:>2} x  {hours(job.minutes):>11}  {job.grams:>6.1f} g  "
            f"{job.title}; {words}"
        )
    beds, minutes = sum(job.copies for job in jobs), sum(job.minutes for job in jobs)
    grams = sum(job.grams for job in jobs)
    lines.append(f"  {'all':<{wide}}  {beds:>2} x  {hours(minutes):>11}  {grams:>6.1f} g")
    return [*lines, *about]
