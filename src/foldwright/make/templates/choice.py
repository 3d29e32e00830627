"""How each blank is traced: from paper, a rim frame or a full plate; by print time, grams and size.

Full plates for small parts, rims for large ones; where the set passes the workshop's hours or grams, the
plates that cost most for what they trace go on paper.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from itertools import product

import numpy as np

from foldwright.base.finding import Finding
from foldwright.design.resolve import FittedFilament
from foldwright.design.workshop import Printer, Template, TemplateKind, Workshop
from foldwright.evaluate import Evaluation, Results
from foldwright.geometry.solid.fill import filled_mm3
from foldwright.layout.as_cut import as_cut
from foldwright.make.print_job import Job
from foldwright.make.printing import Print, minutes_for
from foldwright.make.templates.beds import beds, print_of
from foldwright.make.templates.group import Group, groups
from foldwright.make.templates.model import Plate
from foldwright.make.templates.paper import paper_files
from foldwright.make.templates.piece_findings import LEAST_BED_MM, too_little
from foldwright.make.templates.piece_fit import room_of
from foldwright.make.templates.pieces import Split, split
from foldwright.make.templates.plate import plate_of, template_findings
from foldwright.make.templates.template_rows import notes_of, plate_row, reason_of

Say = Callable[[str], None]

SMALL_MM = 60.0
"""A plate no longer than this is a full one: a window would weaken it and save little [judgement]."""

WORTH_A_RIM = 0.8
"""A rim is made where it takes no more than this share of the full plate [judgement]."""

BLANK_WORTH_MM = 400.0
"""A blank traced from a plate saves gluing and pricking a page: worth as much as tracing so much line
[judgement].
"""

_NO_ROOM = "too little of the printer's bed can be used"
_MOST_TRIED = 12
_BED_SHARE = 0.4
"""Of a bed that pieces fill, before they are laid out: for the first estimate of minutes."""


@dataclass(frozen=True, slots=True)
class Row:
    """What was chosen for one blank, and why. use: whole, slide, turn over, "" on paper. with_: the blank
    whose plate serves it too, "" where it is its own. grams, minutes: of the plate, 0 where another row has
    it. notes: what is to be read on the plate, and what found no room on it.
    """

    blank: str
    title: str
    kind: TemplateKind
    use: str
    reason: str
    grams: float
    minutes: float
    pieces: int
    with_: str = ""
    notes: tuple[str, ...] = ()

    @property
    def said(self) -> tuple[str, ...]:
        """A line for the builder, and one for each note."""
        return (f"{self.blank}: {self.reason}", *(f"{self.blank}, {note}" for note in self.notes))


@dataclass(frozen=True, slots=True, eq=False)
class Templates:
    """All templates of an evaluated design in its workshop.

    made: False where the workshop makes none. rows: a line for each blank. prints: one for each piece, its
    place in the frame of its blank. beds: the prints on beds, a file each. splits: plates with their pieces.
    drawings: files of paper templates by their path in the plan set. plates: what a readback has to know of
    each printed template and of what is on paper, ready for JSON.
    """

    made: bool
    rows: tuple[Row, ...] = ()
    prints: tuple[Print, ...] = ()
    beds: tuple[Job, ...] = ()
    splits: tuple[Split, ...] = ()
    drawings: Mapping[str, bytes] = field(default_factory=dict)
    plates: tuple[Mapping[str, object], ...] = ()
    findings: tuple[Finding, ...] = ()

    @property
    def minutes(self) -> float:
        """Of all beds."""
        return sum(bed.minutes for bed in self.beds)

    @property
    def grams(self) -> float:
        """Of all pieces."""
        return sum(one.grams for one in self.prints)

    @property
    def said(self) -> tuple[str, ...]:
        """A line or more for each blank."""
        return tuple(line for row in self.rows for line in row.said)


@dataclass(frozen=True, slots=True, eq=False)
class Option:
    """The plate that a group of blanks would have. why: said where it is on paper. fixed: the workshop's file
    asks for this kind. minutes: of printing without heating up.
    """

    group: Group
    plate: Plate | None
    why: str
    fixed: bool
    filled: float = 0.0
    findings: tuple[Finding, ...] = ()

    @property
    def benefit(self) -> float:
        """What tracing it is worth, mm of line."""
        group = self.group
        lines = sum(
            float(np.hypot(*np.diff(trace.points, axis=0).T).sum())
            for trace in group.traces
            if len(trace.points) > 1
        )
        return (group.area.length + lines + BLANK_WORTH_MM) * (group.copies + group.turned_copies)


def templates(evaluation: Evaluation, say: Say = lambda _text: None) -> Templates:
    """The templates of an evaluated design. say: told what is being made.

    Raises ValueError for an evaluation without results.
    """
    results, workshop = evaluation.results, evaluation.workshop
    if results is None:
        raise ValueError("templates need complete results")
    if not wanted(workshop):
        return Templates(False)
    say("choosing templates")
    found = groups(results, workshop)
    findings = [*template_findings(workshop.template), *found.findings]
    options = [_option(group, workshop, say) for group in found.groups]
    printer = workshop.printer
    if printer is not None and any(option.why == _NO_ROOM for option in options):
        findings.append(too_little(printer))
    if printer is None:
        return _finished(evaluation, options, {}, (), findings, say)
    options = _within(options, workshop.template, printer, results.fitted.filaments[printer.material])
    return _printed(evaluation, options, printer, findings, say)


def wanted(workshop: Workshop) -> bool:
    """Whether this workshop makes templates: for a knife, unless its file says otherwise."""
    make = workshop.template.make
    return make == "always" or (make == "auto" and workshop.cutter.kind == "knife")


def kind_asked(group: Group, template: Template) -> TemplateKind | None:
    """The kind that the workshop's file asks for: of one of its blanks by name, or of all; None for auto."""
    named = [template.only[name] for name in group.names if name in template.only]
    if named:
        return named[0]
    return None if template.kind == "auto" else template.kind


def _option(group: Group, workshop: Workshop, say: Say) -> Option:
    """The plate a group would have, its cost not yet counted against the others'."""
    asked = kind_asked(group, workshop.template)
    if asked == "paper":
        return Option(group, None, "as the workshop's file asks", True)
    if workshop.printer is None:
        return Option(group, None, "the workshop has no printer", True)
    if room_of(workshop.printer).short < LEAST_BED_MM:
        return Option(group, None, _NO_ROOM, True)
    say(f"template of {group.blank.name}")
    x0, y0, x1, y1 = group.area.bounds
    small = max(x1 - x0, y1 - y0) <= SMALL_MM
    made = plate_of(group, asked or ("full" if small else "rim"), workshop)
    plate = made.plate
    if plate is None:
        return Option(group, None, "its plate would be too thin", True, 0.0, made.findings)
    if asked is None and plate.kind == "rim" and plate.body.area > WORTH_A_RIM * plate.edge.area:
        full = plate_of(group, "full", workshop)
        whole = full.plate is not None and full.plate.use == plate.use
        made, plate = (full, full.plate) if whole and full.plate is not None else (made, plate)
    return Option(group, plate, "", asked is not None, _filled(plate, workshop.printer), made.findings)


def _filled(plate: Plate, printer: Printer) -> float:
    """Plastic of a plate before it is split, mm³."""
    flat = plate.body.difference(plate.through)
    volume = flat.area * plate.thickness
    around = 2.0 * flat.area + flat.length * plate.thickness
    return filled_mm3(volume, around, printer.walls * printer.line_mm, printer.infill_pct / 100.0)


def _cost(options: Sequence[Option], printer: Printer, filament: FittedFilament) -> tuple[float, float]:
    """Hours and grams of all plates, beds estimated."""
    printed = [one for one in options if one.plate is not None]
    if not printed:
        return 0.0, 0.0
    filled = sum(one.filled for one in printed)
    bed = printer.bed_mm[0] * printer.bed_mm[1]
    area = sum(one.plate.edge.area for one in printed if one.plate is not None)
    count = max(1, round(area * _BED_SHARE / bed + 0.5))
    height = max(one.plate.thickness for one in printed if one.plate is not None)
    minutes = minutes_for(filled, height, printer) + (count - 1) * minutes_for(0.0, height, printer)
    return minutes / 60.0, filled * filament.density_g_cm3 / 1000.0


def _within(
    options: list[Option], template: Template, printer: Printer, filament: FittedFilament
) -> list[Option]:
    """Plates put on paper until the set keeps to hours and grams: those whose loss costs the builder least.

    The dearest for their benefit go first until few enough are left to try every choice among them.
    """

    def holds(some: Sequence[Option]) -> bool:
        hours, grams = _cost(some, printer, filament)
        return hours <= template.most_hours and grams <= template.most_g

    if holds(options):
        return options
    free = [n for n, one in enumerate(options) if one.plate is not None and not one.fixed]
    dropped: set[int] = set()
    while len(free) - len(dropped) > _MOST_TRIED:
        left = [one if n not in dropped else replace(one, plate=None) for n, one in enumerate(options)]
        dearest = _dearest(left)
        dropped |= set() if dearest is None else {dearest}
    tried = [n for n in free if n not in dropped]
    fixed = sum(one.filled for one in options if one.plate is not None and one.fixed)
    choices = np.array(list(product((False, True), repeat=len(tried))))
    filled = choices @ np.array([options[n].filled for n in tried]) + fixed
    worth = np.round(choices @ np.array([options[n].benefit for n in tried]), 3)
    light = np.flatnonzero(filled * filament.density_g_cm3 / 1000.0 <= template.most_g)
    for k in light[np.lexsort((light, -worth[light]))]:
        printed = {n for n, used in zip(tried, choices[k], strict=True) if used}
        gone = set(free) - printed
        left = [one if n not in gone else replace(one, plate=None) for n, one in enumerate(options)]
        if holds(left):
            dropped = gone
            break
    else:
        dropped = set(free)
    return [
        _on_paper(one, template, printer, filament) if n in dropped else one for n, one in enumerate(options)
    ]


def _dearest(options: Sequence[Option]) -> int | None:
    """Number of the plate that takes most plastic for what it traces; None where none may go on paper."""
    free = [n for n, one in enumerate(options) if one.plate is not None and not one.fixed]
    if not free:
        return None
    return max(free, key=lambda n: (round(options[n].filled / options[n].benefit, 6), -n))


def _on_paper(option: Option, template: Template, printer: Printer, filament: FittedFilament) -> Option:
    """With the reason: what it would take, and what the workshop allows."""
    grams = option.filled * filament.density_g_cm3 / 1000.0
    hours = option.filled / printer.flow_mm3_s / 3600.0
    why = (
        f"a plate would take {grams:.0f} g and {hours:.1f} h more, and the set keeps to "
        f"{template.most_g:g} g and {template.most_hours:g} h"
    )
    return replace(option, plate=None, why=why)


def _printed(
    evaluation: Evaluation, options: list[Option], printer: Printer, findings: list[Finding], say: Say
) -> Templates:
    """Plates split and laid on beds; one more goes on paper as long as the true minutes pass the limit."""
    workshop = evaluation.workshop
    results = _results(evaluation)
    filament = results.fitted.filaments[printer.material]
    template = workshop.template
    splits: dict[int, Split] = {}
    made: dict[str, Print] = {}
    while True:
        options = [_split(n, one, splits, printer, template, say) for n, one in enumerate(options)]
        live = {n: splits[n] for n, one in enumerate(options) if one.plate is not None}
        bodies = {piece.name: piece.body for done in live.values() for piece in done.pieces}
        for done in live.values():
            for piece in done.pieces:
                if piece.name not in made:
                    made[piece.name] = print_of(piece, done.plate.title, printer, filament)
        say("laying templates on beds")
        jobs = beds([made[name] for name in bodies], bodies, printer)
        hours, grams = sum(job.minutes for job in jobs) / 60.0, sum(job.grams for job in jobs)
        dearest = _dearest(options)
        over = hours > template.most_hours or grams > template.most_g
        if not over or dearest is None:
            findings = [*findings, *([_too_much(hours, grams, template)] if over else [])]
            return _finished(evaluation, options, live, jobs, findings, say)
        options[dearest] = _on_paper(options[dearest], template, printer, filament)


def _split(
    number: int, option: Option, splits: dict[int, Split], printer: Printer, template: Template, say: Say
) -> Option:
    """An option whose plate is split, once; on paper where it cannot be. That no cut is found (P100) is to be
    watched only where the workshop's file asks for the plate.
    """
    if option.plate is None:
        return option
    if number not in splits:
        say(f"splitting {option.plate.name}")
        splits[number] = split(option.plate, printer, template)
    done = splits[number]
    if done.pieces:
        return option
    why = "its plate finds no cut for this bed"
    told = [
        replace(one, verdict="clear") if one.code == "P100" and not option.fixed else one
        for one in done.findings
    ]
    return replace(option, plate=None, fixed=True, why=why, findings=(*option.findings, *told))


def _too_much(hours: float, grams: float, template: Template) -> Finding:
    """P103: what the file asks for passes what it allows."""
    params = {
        "hours": round(hours, 1),
        "grams": round(grams),
        "most_hours": template.most_hours,
        "most_g": template.most_g,
    }
    return Finding("P103", "watch", "template.kind", params, round(hours, 1), template.most_hours, "h")


def _results(evaluation: Evaluation) -> Results:
    if evaluation.results is None:
        raise ValueError("templates need complete results")
    return evaluation.results


def _finished(
    evaluation: Evaluation,
    options: Sequence[Option],
    splits: Mapping[int, Split],
    jobs: tuple[Job, ...],
    findings: Sequence[Finding],
    say: Say,
) -> Templates:
    """Rows, prints, paper and findings of what was decided."""
    workshop, results = evaluation.workshop, _results(evaluation)
    prints = tuple(lying.made for job in jobs for lying in job.lying)
    by_name = {one.name: one for one in prints}
    rows: list[Row] = []
    plates: list[Mapping[str, object]] = []
    said = [*findings]
    on_paper: list[str] = []
    for number, option in enumerate(options):
        done = splits.get(number)
        said += [*option.findings, *(done.findings if done else ())]
        rows += _rows(option, done, by_name, results, workshop.printer)
        plates.append(plate_row(option.group, done, workshop.template))
        on_paper += [] if done else option.group.names
    if splits and on_paper:
        said.append(Finding("P104", "clear", "template", {"blanks": ", ".join(on_paper)}))
    papers = [as_cut(one.blank) for one in results.airframe.placed if one.blank.name in on_paper]
    if papers:
        say("drawing templates on paper")
    drawings = paper_files(papers, evaluation) if papers else {}
    return Templates(
        True, tuple(rows), prints, jobs, tuple(splits.values()), drawings, tuple(plates), tuple(said)
    )


def _rows(
    option: Option,
    done: Split | None,
    made: Mapping[str, Print],
    results: Results,
    printer: Printer | None,
) -> list[Row]:
    """A row for each blank of a group; the plate's grams and minutes stand in the first."""
    titles = results.airframe.titles
    group = option.group
    names = group.names
    if done is None or printer is None:
        why = f"on paper: {option.why}"
        return [Row(n, titles.get(n, n), "paper", "", why, 0.0, 0.0, 0) for n in names]
    mine = [made[piece.name] for piece in done.pieces]
    grams = sum(one.grams for one in mine)
    minutes = sum(one.filled for one in mine) / printer.flow_mm3_s / 60.0
    plate = done.plate
    why = reason_of(plate, len(mine), grams, minutes)
    first = Row(
        names[0], titles.get(names[0], names[0]), plate.kind, plate.use, why, grams, minutes, len(mine),
        notes=notes_of(done, group.blank),
    )  # fmt: skip
    others = [
        Row(
            name, titles.get(name, name), plate.kind, plate.use,
            f"from the template of {names[0]}{', turned over' if name in group.turned else ''}",
            0.0, 0.0, 0, names[0],
        )
        for name in names[1:]
    ]  # fmt: skip
    return [first, *others]
