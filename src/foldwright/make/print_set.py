"""All prints of one evaluated design for one printer: templates, fittings, dummies, tools, coupons."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field

from foldwright.base.finding import Finding, Verdict, worst
from foldwright.design.workshop import Printer
from foldwright.evaluate import Evaluation, Results
from foldwright.make.coupons.gather import coupons, drawing_files
from foldwright.make.coupons.prints import coupon_jobs
from foldwright.make.fitting_prints import fitting_prints
from foldwright.make.print_job import FOLDERS, Job, alone
from foldwright.make.printing import Group, Print
from foldwright.make.template_names import only_findings
from foldwright.make.templates.choice import templates
from foldwright.make.tool_prints import tool_prints

Say = Callable[[str], None]

GROUPS: tuple[Group, ...] = ("templates", "fittings", "tools", "coupons")
"""What may be asked for; dummies come with the fittings."""


@dataclass(frozen=True, slots=True, eq=False)
class PrintSet:
    """What is printed, bed by bed.

    printer: None where the workshop has none. jobs: beds in the order of the plan set. findings: about what
    is printed, those of the evaluation left out. drawings: files beside the prints by their path (templates
    on paper, drawings of coupons). said: lines about the templates for prints.txt. plates: what the readback
    has to know of each template, ready for JSON. border_mm: width of the board's edges that is not used.
    """

    printer: Printer | None
    jobs: tuple[Job, ...]
    findings: tuple[Finding, ...]
    drawings: Mapping[str, bytes] = field(default_factory=dict)
    said: tuple[str, ...] = ()
    plates: tuple[Mapping[str, object], ...] = ()
    border_mm: float = 0.0

    @property
    def prints(self) -> tuple[Print, ...]:
        """Everything that is printed, each once."""
        return tuple(one for job in self.jobs for one in job.prints)

    def __bool__(self) -> bool:
        """Whether there is anything to print or to trace from."""
        return bool(self.jobs or self.drawings)

    @property
    def verdict(self) -> Verdict:
        """The gravest finding about what is printed."""
        return worst(self.findings)


def print_set(
    evaluation: Evaluation, say: Say = lambda _text: None, groups: tuple[Group, ...] = GROUPS
) -> PrintSet:
    """Everything to print for an evaluated design in its workshop.

    say: told what is being made. groups: those that are made. Without a printer in the workshop fittings get
    usual settings, templates are on paper, and P04 says so. Raises ValueError for an evaluation without
    results.
    """
    results = evaluation.results
    if results is None:
        raise ValueError("prints need complete results")
    own = evaluation.workshop.printer
    printer = own or Printer()
    parts = []
    if "templates" in groups:
        parts.append(_template_set(evaluation, say))
    if "fittings" in groups:
        parts.append(_fitting_set(evaluation, results, printer, say))
    if "tools" in groups and own is not None:
        made, found = tool_prints(evaluation, results, printer, say)
        parts.append(PrintSet(own, tuple(alone(one, printer) for one in made), found))
    if "coupons" in groups:
        parts.append(_coupon_set(evaluation, results, printer, say))
    return PrintSet(
        own,
        tuple(job for part in parts for job in part.jobs),
        tuple(one for part in parts for one in part.findings),
        {name: part.drawings[name] for part in parts for name in part.drawings},
        tuple(line for part in parts for line in part.said),
        tuple(plate for part in parts for plate in part.plates),
        evaluation.workshop.board.border_mm,
    )


def _fitting_set(evaluation: Evaluation, results: Results, printer: Printer, say: Say) -> PrintSet:
    """Fittings and what goes with them, each on a bed of its own."""
    own = evaluation.workshop.printer
    found: list[Finding] = []
    if own is None and results.airframe.fittings:
        facts: dict[str, str | int | float] = {
            "count": len(results.airframe.fittings),
            "clearance": f"{printer.clearance_mm:g}",
        }
        found.append(Finding("P04", "watch", "printer", facts))
    made = fitting_prints(results, printer, say)
    jobs = tuple(
        alone(one.made, printer, tuple(zip(one.ids, one.places, strict=False))) for one in made.prints
    )
    return PrintSet(own, jobs, (*found, *made.findings))


def _template_set(evaluation: Evaluation, say: Say) -> PrintSet:
    """Plates on beds and templates on paper, with what was chosen for each blank, and why."""
    made = templates(evaluation, say)
    only = evaluation.workshop.template.only
    found = (*made.findings, *(only_findings(only, made.plates) if made.made else ()))
    return PrintSet(evaluation.workshop.printer, made.beds, found, made.drawings, made.said, made.plates)


def _coupon_set(evaluation: Evaluation, results: Results, printer: Printer, say: Say) -> PrintSet:
    """Test pieces to print, and drawings of those to cut from board."""
    say("making the coupons")
    workshop = evaluation.workshop
    found = coupons(workshop)
    jobs, told = coupon_jobs(found, printer, results.fitted.filaments[printer.material])
    drawn = drawing_files(found, workshop, say)
    files = {f"{FOLDERS['coupons']}/{name}": drawn[name] for name in sorted(drawn)}
    return PrintSet(workshop.printer, jobs, (*found.findings, *told), files)
