"""`foldwright check`: does it balance, does it trim, can it be folded and cut."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from foldwright.cli.options import AsJson, DesignFile, StockFile, WorkshopFile

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

    from foldwright.base.finding import Finding
    from foldwright.cli.inputs import Inputs
    from foldwright.cli.progress import Say
    from foldwright.cure import Cure
    from foldwright.evaluate import Evaluation

    Cures = dict[int, tuple[Cure, ...]]


def check(
    design: DesignFile,
    workshop: WorkshopFile = None,
    own_stock: StockFile = None,
    cures: Annotated[
        bool,
        typer.Option("--cures/--no-cures", help="Work out the smallest change that clears each finding."),
    ] = True,
    show_all: Annotated[
        bool, typer.Option("--all", help="Show the clear findings and the judgement values too.")
    ] = False,
    apply: Annotated[
        str,
        typer.Option(
            "--apply",
            metavar="CODE",
            help="Save the best cure of this finding in the design file, comments kept, and check again.",
        ),
    ] = "",
    as_json: AsJson = False,
) -> None:
    """Fold, balance, trim and judge a design.

    Prints the figures with their bands and every finding that is not clear, with the smallest change that
    cures it. Exit code: 0 clear or watch, 1 no-go, 2 unusable input.
    """
    from foldwright.base.finding import worst
    from foldwright.cli.inputs import read_inputs
    from foldwright.cli.progress import progress
    from foldwright.cli.report import check_data, print_check
    from foldwright.cli.show import answer, exit_code, print_json, refuse, stop
    from foldwright.cli.streams import say_line

    saved: Cure | None = None
    with progress() as say:
        say("reading")
        inputs = read_inputs(design, workshop, own_stock)
        result, findings, found = _judge(inputs, say, cures or bool(apply))
        problem: Finding | None = None
        if apply and result is not None:
            saved, problem = _apply(design, inputs, findings, found, apply)
        if saved is not None:
            say("checking again")
            inputs = read_inputs(design, workshop, own_stock)
            result, findings, found = _judge(inputs, say, cures)
    if result is None or problem is not None:
        refuse("check", [problem] if problem is not None else findings, as_json)
    if as_json:
        data = answer("check", findings, applied=None if saved is None else saved.says)
        print_json({**data, **check_data(result, found, data["findings"])})
    else:
        if saved is not None:
            say_line(f"Saved in {design}: {saved.says}")
        print_check(result, findings, found, show_all=show_all)
    stop(exit_code(worst(findings)))


def _judge(
    inputs: Inputs, say: Say, with_cures: bool
) -> tuple[Evaluation | None, tuple[Finding, ...], Cures]:
    """The evaluation, all findings, and cures by the finding's place among them."""
    if inputs.usable is None:
        return None, inputs.findings, {}
    say("folding, balancing, trimming")
    from foldwright.evaluate import evaluate

    result = evaluate(*inputs.usable)
    findings = (*inputs.findings, *result.findings, *_sheets(result))
    graver = [index for index, one in enumerate(findings) if one.verdict != "clear"]
    if not with_cures or not graver:
        return result, findings, {}
    from foldwright.cure import find_cures

    return result, findings, {index: find_cures(result, findings[index], say) for index in graver}


def _sheets(result: Evaluation) -> tuple[Finding, ...]:
    """What laying the blanks out on this workshop's sheets finds; nothing where there are no blanks."""
    if result.results is None:
        return ()
    from foldwright.layout.from_airframe import lay_out

    return lay_out([one.blank for one in result.results.airframe.placed], result.workshop).findings


def _apply(
    design: Path, inputs: Inputs, findings: Sequence[Finding], found: Cures, code: str
) -> tuple[Cure | None, Finding | None]:
    """Write the best cure of a finding into the design file, unless it has changed since it was read."""
    from foldwright.base.atomic import write_text
    from foldwright.base.finding import Finding
    from foldwright.cli.show import cannot_write
    from foldwright.design.save import changed_since, set_value

    with_cure = {findings[index].code: cures[0] for index, cures in reversed(found.items()) if cures}
    cure = with_cure.get(code.upper())
    if cure is None:
        known = ", ".join(sorted(with_cure)) or "none has one"
        return None, Finding("F52", "no-go", str(design), {"got": code, "known": known})
    text = set_value(inputs.design_text, cure.key, cure.after)
    problem = text if isinstance(text, Finding) else changed_since(design, inputs.design_sha256)
    if problem is not None or isinstance(text, Finding):
        return None, problem
    try:
        write_text(design, text)
    except OSError as error:
        return None, cannot_write(design, error)
    return cure, None
