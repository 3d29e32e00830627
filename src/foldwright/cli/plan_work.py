"""The work of `plans` and `demo`: from the files to a plan set on the disk, or the findings against it."""

from __future__ import annotations

import os
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from foldwright.base.finding import Finding, worst
from foldwright.cli.codes import UNUSABLE
from foldwright.cli.show import cannot_write, exit_code

if TYPE_CHECKING:
    from foldwright.cli.inputs import Inputs
    from foldwright.cli.progress import Say
    from foldwright.evaluate import Evaluation
    from foldwright.make.bundle import Bundle
    from foldwright.make.plans import Written


@dataclass(frozen=True, slots=True, eq=False)
class Outcome:
    """What became of one plan set.

    evaluation, bundle, written: as far as it came. findings: all of them. usable: False where a file could
    not be used or the disk did not take it.
    """

    findings: tuple[Finding, ...]
    usable: bool
    evaluation: Evaluation | None = None
    bundle: Bundle | None = None
    written: Written | None = None

    @property
    def folder(self) -> Path | None:
        """Where the plan set is, None if it was not written."""
        return None if self.written is None else self.written.folder

    @property
    def code(self) -> int:
        """Exit code."""
        return exit_code(worst(self.findings)) if self.usable else UNUSABLE


def make_plan_set(design: Path, workshop: Path, own_stock: Path | None, out: Path, say: Say) -> Outcome:
    """Read, judge, draw, read back and write; nothing is written for a no-go."""
    from foldwright.cli.inputs import read_inputs

    say("reading")
    inputs = read_inputs(design, workshop, own_stock)
    blocked = folder_problem(out)
    found = inputs.findings if blocked is None else (*inputs.findings, blocked)
    if inputs.usable is None or blocked is not None:
        return Outcome(found, usable=False)
    say("folding, balancing, trimming")
    from foldwright.evaluate import evaluate

    result = evaluate(*inputs.usable)
    found += result.findings
    if worst(found) == "no-go" or result.results is None:
        return Outcome(found, True, result)
    return _write(inputs, result, out, say)


def _write(inputs: Inputs, result: Evaluation, out: Path, say: Say) -> Outcome:
    from foldwright.make.bundle import Texts, make_bundle
    from foldwright.make.plans import write_plan_set

    texts = Texts(inputs.design_text, inputs.workshop_text, inputs.findings, inputs.drawings)
    bundle = make_bundle(result, texts, say)
    found = bundle.evaluation.findings
    if bundle.verdict == "no-go":
        return Outcome(found, True, result, bundle)
    say("reading the files back and writing them")
    try:
        written = write_plan_set(bundle.files, out, bundle.name, bundle.about, bundle.verdict)
    except OSError as error:
        return Outcome((*found, cannot_write(_place(error, out), error)), False, result, bundle)
    return Outcome((*found, *written.findings), True, result, bundle, written)


def _place(error: OSError, out: Path) -> Path:
    return Path(os.fsdecode(error.filename)) if isinstance(error.filename, str | bytes) else out


def folder_problem(out: Path) -> Finding | None:
    """F51 where a folder can neither be written to nor made, found before anything is worked out."""
    try:
        here = out
        while not here.exists() and here != here.parent:
            if here.is_symlink():
                return _blocked(out, f"{here} is a link to nothing")
            here = here.parent
        if not here.is_dir():
            return _blocked(out, f"{here} is a file, not a folder")
        if not os.access(here, os.W_OK | os.X_OK):
            return _blocked(out, f"{here} is not yours to write to")
    except OSError as error:
        return cannot_write(out, error)
    return None


def _blocked(out: Path, reason: str) -> Finding:
    return Finding("F51", "no-go", str(out), {"file": str(out), "reason": reason})


def plan_set_data(outcome: Outcome) -> dict[str, Any]:
    """What a plan set is, as JSON data."""
    written, bundle = outcome.written, outcome.bundle
    readback = None if written is None else written.readback
    archive = None if written is None else written.archive
    return {
        "written": outcome.folder is not None,
        "folder": outcome.folder,
        "zip": archive,
        "files": sorted(bundle.files) if bundle is not None and outcome.folder is not None else [],
        "readback": None if readback is None else readback.sentence,
        "sheets": None if bundle is None else sums_data(bundle),
    }


def sums_data(bundle: Bundle) -> dict[str, Any]:
    """Board, lengths, minutes and cost."""
    total = bundle.sums
    return {
        "cut_files": bundle.sheets,
        "boards": total.boards,
        "used_share": total.used_share,
        "cut_mm": total.cut_mm,
        "to_paper_mm": total.to_paper_mm,
        "cutter_minutes": total.minutes,
        "board_cost": total.cost,
        "currency": total.currency,
    }


def sums_text(bundle: Bundle) -> str:
    """Board, lengths, minutes and cost in words."""
    total = bundle.sums
    text = f"{total.boards} sheet{'s' if total.boards > 1 else ''} of board"
    text += f" ({100.0 * total.used_share:.0f} % used), {total.cut_mm / 1000.0:.1f} m cut through"
    text += f", {total.to_paper_mm / 1000.0:.1f} m cut to paper"
    text += f", about {total.minutes:.0f} min at the cutter's speed"
    if total.cost is not None:
        text += f", board {total.cost:.2f} {total.currency}".rstrip()
    return text
