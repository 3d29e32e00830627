"""`foldwright check`: does it balance, does it trim, can it be folded and cut."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated, Any

import typer

from foldwright.cli.options import NO_GO, UNUSABLE, AsJson, DesignFile, StockFile, WorkshopFile

if TYPE_CHECKING:
    from pathlib import Path

    from foldwright.base.finding import Finding
    from foldwright.cli.inputs import Inputs
    from foldwright.cli.progress import Say
    from foldwright.cure import Cure
    from foldwright.evaluate import Evaluation

Cures = dict[int, "tuple[Cure, ...]"]


def check(
    design: DesignFile,
    workshop: WorkshopFile = None,
    own_stock: StockFile = None,
    cures: Annotated[
        bool, typer.Option(help="Work out the smallest change that clears each finding.")
    ] = True,
    show_clear: Annotated[bool, typer.Option("--all", help="Show the clear findings too.")] = False,
    apply: Annotated[
        str,
        typer.Option(
            "--apply", help="Save the best cure of this finding into the design file, comments kept."
        ),
    ] = "",
    as_json: AsJson = False,
) -> None:
    """Fold, balance, trim and judge a design; exit 0 clear or watch, 1 no-go, 2 unusable input."""
    from foldwright.cli.inputs import read_inputs
    from foldwright.cli.progress import progress
    from foldwright.cli.report import check_data, print_check
    from foldwright.cli.show import finding_data, print_findings, print_json, stop
    from foldwright.evaluate import evaluate

    with progress(as_json) as say:
        say("reading")
        inputs = read_inputs(design, workshop, own_stock)
        if inputs.usable is None:
            if as_json:
                print_json(
                    {"verdict": "unusable", "findings": [finding_data(one) for one in inputs.findings]}
                )
            else:
                print_findings(inputs.findings, clear=True)
            stop(UNUSABLE)
            return
        say("folding, balancing, trimming")
        result = evaluate(*inputs.usable)
        found = _cures(result, say) if cures or apply else {}
    findings = (*inputs.findings, *result.findings)
    if as_json:
        print_json(check_data(result, findings, found))
    else:
        print_check(result, findings, found, show_clear=show_clear)
    if apply:
        _apply(design, inputs, result, found, apply, as_json)
    stop(NO_GO if result.verdict == "no-go" else 0)


def _cures(result: Evaluation, say: Say) -> Cures:
    """Cures by the finding's place in the list, for what is not clear."""
    from foldwright.cure import find_cures

    return {
        index: find_cures(result, finding, say)
        for index, finding in enumerate(result.findings)
        if finding.verdict != "clear"
    }


def _apply(design: Path, inputs: Inputs, result: Evaluation, found: Cures, code: str, quiet: bool) -> None:
    """Write the first cure of a finding into the design file, unless it has changed since it was read."""
    from foldwright.base.atomic import write_text
    from foldwright.base.finding import Finding
    from foldwright.cli.show import print_findings, stop
    from foldwright.design.save import changed_since, set_value

    with_cure = {result.findings[index].code: cures[0] for index, cures in found.items() if cures}
    problem: Finding | None = None
    if code not in with_cure:
        known = ", ".join(sorted(with_cure)) or "none has one"
        problem = Finding("F52", "no-go", str(design), {"got": code, "known": known})
    problem = problem or changed_since(design, inputs.design_sha256)
    if problem is None:
        cure: Any = with_cure[code]
        text = set_value(inputs.design_text, cure.key, cure.after)
        if isinstance(text, Finding):
            problem = text
        else:
            write_text(design, text)
            if not quiet:
                typer.echo(f"Saved in {design}: {cure.says}")
    if problem is not None:
        print_findings([problem])
        stop(UNUSABLE)
