"""`foldwright demo`: three aeroplanes in three workshops, from design file to plan sets read back."""

from __future__ import annotations

from itertools import product
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from foldwright.cli.codes import NO_GO, UNUSABLE
from foldwright.cli.options import AsJson

if TYPE_CHECKING:
    from foldwright.base.finding import Finding
    from foldwright.cli.plan_work import Outcome
    from foldwright.make.readback_rows import ReadbackReport

DESIGNS = ("marram.toml", "teasel.toml", "bracken.toml")
WORKSHOPS = ("school-laser", "home-knife", "club-sheets")
FOLDER = Path("foldwright-demo")


def demo(
    out: Annotated[
        Path, typer.Option("--out", "-o", metavar="FOLDER", help="The folder for the plan sets.")
    ] = FOLDER,
    as_json: AsJson = False,
) -> None:
    """Write and check the demo's plan sets.

    A tailless pusher, a trainer and a swept wing are judged in three workshops; their plan sets are written,
    and read back from the disk.
    """
    from foldwright.cli.plan_work import make_plan_set, plan_set_data
    from foldwright.cli.progress import progress
    from foldwright.cli.show import answer, print_json, refuse, stop

    home = demo_files()
    if not isinstance(home, Path):
        refuse("demo", [home], as_json, plan_sets=[])
    done: list[tuple[Outcome, ReadbackReport | None]] = []
    for file, name in product(DESIGNS, WORKSHOPS):
        with progress(f"{file.removesuffix('.toml')}, {name}: ") as say:
            outcome = make_plan_set(home / file, home / "workshops" / f"{name}.toml", None, out, say)
            report = _read_back(outcome)
        if not outcome.usable:
            refuse("demo", outcome.findings, as_json, plan_sets=[plan_set_data(one) for one, _ in done])
        done.append((outcome, report))
        if not as_json:
            _print_one(outcome, report, first=name == WORKSHOPS[0])
    if as_json:
        findings = [one for outcome, _ in done for one in outcome.findings]
        designs = [str(home / file) for file in DESIGNS]
        print_json(answer("demo", findings, designs=designs, plan_sets=[_data(*one) for one in done]))
    else:
        _print_end(done, home)
    stop(code_of(done))


def demo_files() -> Path | Finding:
    """The folder of the demo's files: in the installed package, else beside it in a checkout."""
    import foldwright
    from foldwright.base.finding import Finding

    package = Path(foldwright.__file__).resolve().parent
    for home in (package / "examples", package.parents[1] / "examples"):
        if (home / DESIGNS[0]).is_file():
            return home
    missing = str(package / "examples" / DESIGNS[0])
    return Finding("F54", "no-go", missing, {"file": missing})


def code_of(done: list[tuple[Outcome, ReadbackReport | None]]) -> int:
    """The gravest exit code; a plan set that does not read back is a no-go."""
    codes = [outcome.code for outcome, _ in done]
    codes += [NO_GO for _, report in done if report is not None and not report.holds]
    return UNUSABLE if UNUSABLE in codes else max(codes)


def _read_back(outcome: Outcome) -> ReadbackReport | None:
    """The plan set read from the disk, None where none was written."""
    if outcome.folder is None:
        return None
    from foldwright.make.readback import readback

    return readback(outcome.folder)


def _data(outcome: Outcome, report: ReadbackReport | None) -> dict[str, object]:
    from foldwright.base.finding import worst
    from foldwright.cli.plan_work import plan_set_data

    evaluation = outcome.evaluation
    return {
        **plan_set_data(outcome),
        "workshop": None if evaluation is None else evaluation.workshop.id,
        "verdict": worst(outcome.findings),
        "holds": report is not None and report.holds,
    }


def _print_one(outcome: Outcome, report: ReadbackReport | None, *, first: bool) -> None:
    """One workshop; the figures, which hardly differ between workshops, for the first one only."""
    from foldwright.cli.plan_work import sums_text
    from foldwright.cli.report import NAMES, figures, print_verdict
    from foldwright.cli.show import print_findings
    from foldwright.cli.streams import paragraph, say_line, styled

    evaluation, bundle = outcome.evaluation, outcome.bundle
    if evaluation is not None:
        about = evaluation.design.design
        say_line(styled(f"{about.name} {about.revision}, built in: {evaluation.workshop.name}", "strong"))
        for name, text in figures(evaluation.results) if first and evaluation.results else ():
            paragraph(text, f"  {name}", NAMES)
    print_findings(outcome.findings)
    print_verdict(outcome.findings)
    if bundle is not None and outcome.folder is not None:
        paragraph(f"{sums_text(bundle)}", "  ", 2)
    if report is not None:
        print_findings(report.findings)
        paragraph(f"{len(report.rows)} comparisons, {report.sentence}", "  read back: ", 2)
    say_line()


def _print_end(done: list[tuple[Outcome, ReadbackReport | None]], home: Path) -> None:
    from foldwright.cli.streams import say_line, styled

    folders = [outcome.folder for outcome, _ in done if outcome.folder is not None]
    if not folders:
        say_line(styled("No plan set was written.", "strong"))
        return
    say_line(styled("Look at:", "strong"))
    for folder in folders:
        say_line(f"  {folder / 'setup-card.pdf'}")
    say_line(f"  {folders[0] / 'sheet-1.pdf'}  the first sheet at 1:1 (also .dxf, .svg, and -tiled.pdf)")
    say_line(f"  {folders[0] / 'views.pdf'}  the folded aeroplane")
    for file in DESIGNS:
        say_line(f"  {home / file}  a design file, with comments")
    say_line(styled("Next: foldwright new my-plane.toml, then foldwright check my-plane.toml", "plain"))
