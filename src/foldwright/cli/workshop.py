"""`foldwright workshop`: set a key of the workshop file, also from what a coupon reads, and make the
coupons.
"""

from __future__ import annotations

from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from foldwright.cli.options import AsJson, StockFile

if TYPE_CHECKING:
    from foldwright.base.finding import Finding
    from foldwright.cli.workshop_work import Change

app = typer.Typer(
    help="Set a workshop file's keys, make its coupons.",
    no_args_is_help=True,
    rich_markup_mode=None,
    context_settings={"help_option_names": ["-h", "--help"]},
)

BenchFile = Annotated[
    Path, typer.Argument(metavar="WORKSHOP", help="The workshop file (TOML).", show_default=False)
]


class Measured(StrEnum):
    """What a coupon tells."""

    KERF = "kerf"
    RADIUS = "radius"
    SQUEEZE = "squeeze"
    CLEARANCE = "clearance"


@app.command("set")
def set_(
    file: BenchFile,
    key: Annotated[str, typer.Argument(metavar="KEY", help="Such as cutter.kerf_mm.", show_default=False)],
    value: Annotated[
        str,
        typer.Argument(
            metavar="VALUE", help="As in the file: 0.25, true, [4.7, 4.8], or words.", show_default=False
        ),
    ],
    own_stock: StockFile = None,
    as_json: AsJson = False,
) -> None:
    """Set one key of a workshop file.

    Comments and order stay. The new text is read first: what would break the file is refused with the reason,
    and nothing is written.
    """
    from foldwright.cli.workshop_work import change, plain_value

    _tell("set", change(file, key, lambda _bench: plain_value(key, value), own_stock), as_json)


@app.command()
def measure(
    file: BenchFile,
    what: Annotated[Measured, typer.Argument(help="What was measured.", show_default=False)],
    figure: Annotated[
        float | None,
        typer.Argument(
            metavar="[FIGURE]",
            help="Written beside the slot, hole or band that was right.",
            show_default=False,
        ),
    ] = None,
    flat: Annotated[
        float | None, typer.Option("--flat", metavar="MM", help="radius: the strip, measured flat.")
    ] = None,
    outside: Annotated[
        float | None,
        typer.Option(
            "--outside", metavar="MM", help="radius: both legs of the folded strip, outside, added."
        ),
    ] = None,
    angle: Annotated[
        float, typer.Option("--angle", metavar="DEG", help="radius, squeeze: how far the strip was folded.")
    ] = 90.0,
    band: Annotated[
        float | None,
        typer.Option("--band", metavar="MM", help="squeeze: narrowest band that folds well, for its share."),
    ] = None,
    own_stock: StockFile = None,
    as_json: AsJson = False,
) -> None:
    """Write what a coupon reads.

    kerf: cutter.kerf_mm from the kerf comb. radius: fold.outer_radius_mm from a fold strip, flat and folded.
    squeeze: fold.squeeze_share from the strips with bands in steps. clearance: printer.clearance_mm from the
    clearance gauge.
    """
    from foldwright.cli.workshop_work import change
    from foldwright.make.coupons.measure import KEYS, Reading, What, missing, value_of

    names: dict[Measured, What] = {
        Measured.KERF: "kerf", Measured.RADIUS: "radius", Measured.SQUEEZE: "squeeze",
        Measured.CLEARANCE: "clearance",
    }  # fmt: skip
    name, reading = names[what], Reading(figure, flat, outside, angle, band)
    lack = missing(name, reading)
    if lack:
        raise typer.BadParameter(f"{name} needs {lack}", param_hint="FIGURE")
    done = change(file, KEYS[name], lambda bench: value_of(name, reading, bench), own_stock)
    _tell("measure", done, as_json)


def _tell(command: str, done: Change, as_json: bool) -> None:
    """Old and new value, and what the file's findings are now."""
    from foldwright.base.finding import worst
    from foldwright.cli.show import answer, exit_code, print_findings, print_json, refuse, stop
    from foldwright.cli.streams import say_line

    name = f"workshop {command}"
    facts = {"key": done.key, "before": done.before, "after": done.after, "written": done.written}
    if done.refused:
        refuse(name, done.findings, as_json, **facts)
    if as_json:
        print_json(answer(name, done.findings, **facts))
    else:
        change = f"{done.key}: {done.told_before} -> {done.told_after}"
        say_line(
            f"{change} in {done.written}" if done.written else f"{done.key} is {done.told_after} already"
        )
        print_findings(done.findings)
    stop(exit_code(worst(done.findings)))


@app.command()
def coupons(
    file: BenchFile,
    out: Annotated[
        Path,
        typer.Option("--out", "-o", metavar="FOLDER", help="Folder for the files; made if it is not there."),
    ] = Path("coupons"),
    own_stock: StockFile = None,
    as_json: AsJson = False,
) -> None:
    """Make the coupons of a workshop.

    Kerf comb, fold strips and, for a laser, a power ladder as DXF, SVG and PDF without kerf; the clearance
    gauge for the printer as 3MF and STL. Each says on itself which key it tells.
    """
    from foldwright.base.finding import worst
    from foldwright.cli.plan_work import folder_problem
    from foldwright.cli.progress import progress
    from foldwright.cli.show import answer, exit_code, print_findings, print_json, refuse, stop
    from foldwright.cli.streams import say_line
    from foldwright.cli.workshop_work import made_coupons, written

    with progress() as say:
        say("reading")
        blocked = folder_problem(out)
        done = made_coupons(file, own_stock, say)
        found: tuple[Finding, ...] = done.findings if blocked is None else (*done.findings, blocked)
        problem = None
        if done.usable and blocked is None:
            say("writing")
            problem = written(out, done.files)
    if problem is not None:
        found = (*found, problem)
    if problem is not None or blocked is not None or not done.usable:
        refuse("workshop coupons", found, as_json, folder=None, files=[])
    if as_json:
        print_json(answer("workshop coupons", found, folder=str(out), files=sorted(done.files)))
    else:
        say_line(f"Wrote {len(done.files)} files into {out}")
        for line in done.said:
            say_line(line)
        print_findings(found)
    stop(exit_code(worst(found)))
