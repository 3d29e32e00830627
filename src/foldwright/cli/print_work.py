"""The work of `print`: wishes put over design and workshop, prints made, chosen and written."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from foldwright.base.finding import Finding, worst
from foldwright.cli.codes import UNUSABLE
from foldwright.cli.plan_work import folder_problem
from foldwright.cli.show import cannot_write, exit_code

if TYPE_CHECKING:
    from foldwright.cli.inputs import Inputs
    from foldwright.cli.progress import Say
    from foldwright.design.model import Design
    from foldwright.design.stock import Stock
    from foldwright.design.workshop import Workshop
    from foldwright.make.print_job import Job
    from foldwright.make.print_set import PrintSet

GROUPS = ("templates", "fittings", "tools", "coupons")
KINDS = ("rim", "full", "paper")
SAYS_ITSELF = ("landing_leg",)
"""Kinds whose own finding says that they are not to be hollow."""
_LEAST_BED, _MOST_BED = 20.0, 3000.0


@dataclass(frozen=True, slots=True)
class Wishes:
    """What the command line asks for beyond the files.

    parts: names of what is wanted, all where there are none. bed: "180x180x180", as typed. infill: per cent.
    """

    parts: tuple[str, ...] = ()
    group: str | None = None
    kind: str | None = None
    infill: float | None = None
    bed: str | None = None
    filament: str | None = None
    step: bool = False

    @property
    def changes(self) -> dict[str, str]:
        """What they change, and the keys that would keep it."""
        found = {}
        if self.kind is not None:
            found[f"templates as {self.kind}"] = "template.kind"
        if self.infill is not None:
            found[f"infill {self.infill:g} %"] = "infill_pct of the [[fitting]] or the [printer]"
        if self.bed is not None:
            found[f"a bed of {self.bed} mm"] = "printer.bed_mm"
        if self.filament is not None:
            found[f"filament {self.filament}"] = "filament of the [[fitting]] or printer.material"
        return found


@dataclass(frozen=True, slots=True, eq=False)
class Printed:
    """What became of it. prints: with the chosen jobs only; None where it did not come to that.

    files: those written, by their place. usable: False where the input or the disk could not be used. named:
    parts or templates were asked for by name.
    """

    findings: tuple[Finding, ...]
    usable: bool
    prints: PrintSet | None = None
    files: tuple[Path, ...] = ()
    named: bool = False

    @property
    def code(self) -> int:
        """Exit code."""
        return exit_code(worst(self.findings)) if self.usable else UNUSABLE


def make_prints(inputs: Inputs, wishes: Wishes, out: Path | None, picture: Path | None, say: Say) -> Printed:
    """Judge, make, choose and write; nothing for a no-go, nor where `out` and `picture` are None."""
    places = [one for one in (out, None if picture is None else picture.parent) if one is not None]
    blocked = [problem for one in places if (problem := folder_problem(one)) is not None]
    found = (*inputs.findings, *blocked)
    if inputs.usable is None or blocked:
        return Printed(found, usable=False)
    design, workshop, stock = inputs.usable
    wrong = mistakes(wishes, stock)
    if wrong:
        return Printed((*found, *wrong), usable=False)
    say("folding, balancing, trimming")
    from foldwright.cli.print_choice import choose, no_templates
    from foldwright.evaluate import evaluate
    from foldwright.make.print_set import print_set

    result = evaluate(*wished(design, workshop, wishes), stock)
    found += (*too_hollow(design, wishes), *(as_typed(one, design, wishes) for one in result.findings))
    if result.results is None:
        return Printed(found, usable=True)
    made = print_set(result, say, groups_of(wishes))
    chosen, unknown = choose(made, wishes.parts, result)
    missing = no_templates(chosen, wishes.parts, wishes.group, result)
    found += (*chosen.findings, *unknown, *_differs(wishes), *missing)
    if unknown:
        return Printed(found, usable=False)
    named = bool(wishes.parts) or wishes.group == "templates"
    if worst(found) == "no-go" or (out is None and picture is None):
        return Printed(found, True, chosen, named=named)
    done = _write(found, chosen, inputs.usable[0], Places(out, picture, wishes.step), say)
    return replace(done, named=named)


@dataclass(frozen=True, slots=True)
class Places:
    """Where things go: folder of the files, file of the picture, and whether STEP files are wanted too."""

    out: Path | None
    picture: Path | None
    step: bool


def _write(found: tuple[Finding, ...], chosen: PrintSet, design: Design, places: Places, say: Say) -> Printed:
    """All files are made before the first is written, each whole."""
    from foldwright.base.atomic import write_bytes
    from foldwright.make.print_files import gallery, print_files, step_files

    title = f"{design.design.name} {design.design.revision}"
    files: dict[Path, bytes] = {}
    if places.out is not None:
        made = print_files(chosen, title, say)
        made |= step_files(chosen, say) if places.step else {}
        files |= {places.out / path: data for path, data in made.items()}
    if places.picture is not None and chosen.jobs:
        say("drawing what is printed")
        files[places.picture] = gallery(chosen, title, places.picture.suffix)
    say("writing")
    place = places.out or places.picture or Path()
    try:
        for place, data in sorted(files.items()):
            place.parent.mkdir(parents=True, exist_ok=True)
            write_bytes(place, data)
    except OSError as error:
        return Printed((*found, cannot_write(place, error)), False, chosen)
    return Printed(found, True, chosen, tuple(sorted(files)))


def mistakes(wishes: Wishes, stock: Stock) -> list[Finding]:
    """P09 for options that cannot be meant; F22, F23 for a filament that is not one of the stock's."""
    from foldwright.design.references import stock_finding

    found = []
    if wishes.group is not None and wishes.group not in GROUPS:
        found.append(_option("--group", "there is no such group", " or ".join(GROUPS), wishes.group))
    if wishes.kind is not None and wishes.kind not in KINDS:
        found.append(_option("--kind", "there is no such kind of template", " or ".join(KINDS), wishes.kind))
    if wishes.infill is not None and not 0.0 <= wishes.infill <= 100.0:
        found.append(_option("--infill", "infill is a share", "0 to 100 per cent", f"{wishes.infill:g}"))
    if wishes.bed is not None and bed_of(wishes.bed) is None:
        sizes = f"length x width x height in mm, each {_LEAST_BED:g} to {_MOST_BED:g}, such as 180x180x180"
        found.append(_option("--bed", "that is no size of a bed", sizes, wishes.bed))
    if wishes.filament is not None:
        missing = stock_finding(wishes.filament, "--filament", ("filament",), stock, "")
        found += [] if missing is None else [missing]
    return found


def _option(option: str, why: str, expected: str, got: str) -> Finding:
    facts = {"why": why, "expected": expected, "got": got, "cure": f"Give {option} {expected}."}
    return Finding("P09", "no-go", option, facts)


def bed_of(text: str) -> tuple[float, float, float] | None:
    """A bed's size as typed, "180x180x180" or "180 x 180 x 180"; None for anything else."""
    parts = text.lower().replace("×", "x").replace("*", "x").split("x")
    if len(parts) != 3:
        return None
    try:
        length, width, height = (float(part) for part in parts)
    except ValueError:
        return None
    if not all(_LEAST_BED <= value <= _MOST_BED for value in (length, width, height)):
        return None
    return length, width, height


def groups_of(wishes: Wishes) -> tuple[Any, ...]:
    """The groups that are made; all of them where parts are named, which may be in any."""
    return GROUPS if wishes.group is None else (wishes.group,)


def wished(design: Design, workshop: Workshop, wishes: Wishes) -> tuple[Design, Workshop]:
    """Design and workshop with the wishes put over them: of the fittings named, or of all where none is."""
    from foldwright.design.workshop import Printer

    meant = meant_by(design, wishes)
    changes = {
        key: value
        for key, value in (("infill_pct", wishes.infill), ("filament", wishes.filament))
        if value is not None
    }
    if changes:
        fittings = tuple(one.model_copy(update=changes) if one.id in meant else one for one in design.fitting)
        design = design.model_copy(update={"fitting": fittings})
    return design, _workshop(workshop, wishes, workshop.printer or Printer())


def meant_by(design: Design, wishes: Wishes) -> frozenset[str]:
    """Fittings that the wishes are for: those named, or all where none is."""
    from foldwright.make.fitting_prints import table_of

    own = frozenset(one.id for one in design.fitting)
    named = frozenset(table_of(part, tuple(own)) for part in wishes.parts)
    return named & own or own


def too_hollow(design: Design, wishes: Wishes) -> tuple[Finding, ...]:
    """P116 for an infill typed that kinds of fittings do not hold at; legs say so themselves (P60)."""
    from foldwright.design.sense_fittings import LEAST_INFILL

    if wishes.infill is None or wishes.group not in (None, "fittings"):
        return ()
    meant = meant_by(design, wishes)
    found = []
    for kind, (least, reason) in LEAST_INFILL.items():
        mine = [one.id for one in design.fitting if one.kind == kind and one.id in meant]
        if mine and wishes.infill < least and kind not in SAYS_ITSELF:
            facts: dict[str, str | int | float] = {
                "fittings": ", ".join(mine), "got": f"{wishes.infill:g}", "least": least, "reason": reason,
                "kind": kind,
            }  # fmt: skip
            found.append(Finding("P116", "no-go", "--infill", facts, wishes.infill, least, "%"))
    return tuple(found)


def as_typed(finding: Finding, design: Design, wishes: Wishes) -> Finding:
    """A finding about the infill that was typed names the option, not a key of the file."""
    typed = {f"fitting.{name}.infill_pct" for name in meant_by(design, wishes)}
    if wishes.infill is None or finding.where not in typed:
        return finding
    cure = "Leave --infill out for it, or give --infill 100"
    return replace(finding, where="--infill", params={**finding.params, "cure": cure})


def _workshop(workshop: Workshop, wishes: Wishes, printer: Any) -> Workshop:  # noqa: ANN401 - imported late
    update: dict[str, Any] = {}
    if wishes.bed is not None:
        update["bed_mm"] = bed_of(wishes.bed)
    if wishes.infill is not None:
        update["infill_pct"] = wishes.infill
    if wishes.filament is not None:
        update["material"] = wishes.filament
    changes: dict[str, Any] = {}
    if update:
        changes["printer"] = printer.model_copy(update=update)
    if wishes.kind is not None:
        changes["template"] = workshop.template.model_copy(update={"make": "always", "kind": wishes.kind})
    return workshop.model_copy(update=changes) if changes else workshop


def _differs(wishes: Wishes) -> tuple[Finding, ...]:
    """P08 where the prints are not those of the plan set."""
    if not wishes.changes:
        return ()
    facts = {"says": ", ".join(wishes.changes), "keys": ", ".join(wishes.changes.values())}
    return (Finding("P08", "watch", "print", facts),)


def prints_data(done: Printed) -> dict[str, Any]:
    """What was printed, as JSON data."""
    prints = done.prints
    jobs: Sequence[Job] = () if prints is None else prints.jobs
    return {
        "written": bool(done.files),
        "files": [str(path) for path in done.files],
        "jobs": [job_data(job) for job in jobs],
        "drawings": [] if prints is None else sorted(prints.drawings),
        "templates": [] if prints is None else list(prints.said),
        "beds": sum(job.copies for job in jobs),
        "minutes": sum(job.minutes for job in jobs),
        "grams": sum(job.grams for job in jobs),
    }


def job_data(job: Job) -> Mapping[str, Any]:
    """One bed as JSON data."""
    settings = job.prints[0].settings
    return {
        "file": job.path,
        "group": job.group,
        "title": job.title,
        "objects": [one.name for one in job.prints],
        "copies": job.copies,
        "minutes": job.minutes,
        "grams": job.grams,
        "filament": settings.filament.id,
        "layer_mm": settings.layer_mm,
        "walls": settings.walls,
        "infill_pct": 100.0 * settings.infill,
        "orientation": job.prints[0].orientation,
    }
