"""Which of all prints are meant by the names of parts, and templates of single blanks laid anew."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

from foldwright.base.finding import Finding

if TYPE_CHECKING:
    from foldwright.evaluate import Evaluation
    from foldwright.make.print_job import Job
    from foldwright.make.print_set import PrintSet
    from foldwright.make.printing import Print

_MOST_NAMED = 2
"""Plates by whose names a file is called; more are "chosen"."""


@dataclass(frozen=True, slots=True, eq=False)
class Meant:
    """What one name means. jobs: whole beds. pieces: of templates. blanks: on paper. names: all blanks that
    it says something about.
    """

    jobs: tuple[Job, ...] = ()
    pieces: tuple[Print, ...] = ()
    blanks: tuple[str, ...] = ()
    names: tuple[str, ...] = ()

    def __bool__(self) -> bool:
        return bool(self.jobs or self.pieces or self.blanks)


def choose(
    made: PrintSet, parts: Sequence[str], evaluation: Evaluation
) -> tuple[PrintSet, tuple[Finding, ...]]:
    """What parts name, by the name of file, object, fitting, blank or tool; all for none.

    Of a blank its template's pieces alone, laid on beds anew, or its pages where it is on paper. P09 for a
    name that nothing has. Findings stay where they are about what is chosen.
    """
    if not parts:
        return made, ()
    meant = {part: meant_by_name(made, part) for part in parts}
    refused = {one.where.removeprefix("fitting.").partition("/")[0] for one in made.findings}
    blanks = _blanks(evaluation)
    unknown = [
        part
        for part, one in meant.items()
        if not one and part.partition("/")[0] not in refused and (made.plates or part not in blanks)
    ]
    known = sorted({*(name for job in made.jobs for name in _names(job)), *blanks})
    jobs = tuple(job for job in made.jobs if any(job in one.jobs for one in meant.values()))
    names = {name for one in meant.values() for name in one.names}
    keep = replace(
        made,
        jobs=(*_laid(made, meant, jobs), *jobs),
        findings=tuple(one for one in made.findings if _about(one, parts, names)),
        drawings=_paper(meant, evaluation),
        said=tuple(line for line in made.said if line.partition(":")[0].partition(",")[0] in names),
        plates=tuple(row for row in made.plates if row["blank"] in names),
    )
    return keep, tuple(_unknown(part, known) for part in unknown)


def _unknown(part: str, known: Sequence[str]) -> Finding:
    from foldwright.design.words import listed, nearest

    facts = {
        "why": f"nothing that is printed is called {part}",
        "expected": listed(nearest(part, known)) or listed(known) or "something to print",
        "got": part,
        "cure": "See what there is with: foldwright print DESIGN --list",
    }
    return Finding("P09", "no-go", part, facts)


def meant_by_name(made: PrintSet, part: str) -> Meant:
    """What a name means among all prints."""
    from foldwright.make.template_names import served

    beds = [job for job in made.jobs if job.group == "templates"]
    whole = [job for job in beds if part in (job.path, job.name)]
    others = [job for job in made.jobs if job.group != "templates" and part in _names(job)]
    pieces = [one for job in beds if not whole for one in job.prints if part == one.name]
    named = [job_print.of for job_print in (*pieces, *(one for job in whole for one in job.prints))]
    blanks = []
    for row in made.plates:
        own: Mapping[str, Any] = row
        slugs = {name.replace("/", "-"): name for name in served(own)}
        if part not in slugs and part not in slugs.values():
            continue
        named += [own["blank"], slugs.get(part, part)]
        if own["pieces"]:
            pieces += [one for job in beds for one in job.prints if one.of == own["blank"]]
        else:
            blanks.append(slugs.get(part, part))
    alone = {one.name: one for one in pieces}
    return Meant(
        (*whole, *others), tuple(alone.values()), tuple(blanks), tuple(dict.fromkeys(map(str, named)))
    )


def _laid(made: PrintSet, meant: Mapping[str, Meant], jobs: Sequence[Job]) -> tuple[Job, ...]:
    """Pieces of the templates that are named, on beds of their own."""
    from foldwright.make.print_job import FOLDERS
    from foldwright.make.templates.beds import beds

    there = {one.name for job in jobs for one in job.prints}
    pieces = {one.name: one for part in meant.values() for one in part.pieces if one.name not in there}
    if not pieces or made.printer is None:
        return ()
    bodies = {name: _covered(one) for name, one in pieces.items()}
    laid = beds(tuple(pieces.values()), bodies, made.printer)
    plates = list(dict.fromkeys(one.of for one in pieces.values()))
    few = len(plates) <= _MOST_NAMED
    stem = "-".join(name.replace("/", "-") for name in plates) if few else "chosen"
    title = f"templates: {', '.join(plates)}"
    return tuple(
        replace(
            job,
            path=f"{FOLDERS['templates']}/{stem}" + ("" if len(laid) == 1 else f"-bed-{number}"),
            title=title if len(laid) == 1 else f"{title}, bed {number} of {len(laid)}",
        )
        for number, job in enumerate(laid, 1)
    )


def _covered(one: Print) -> Any:  # noqa: ANN401 - shapely is imported late
    """What a piece covers in the frame of its blank."""
    import numpy as np
    import shapely

    from foldwright.geometry.transform import apply

    areas = shapely.get_parts(one.body.slice_at(float(one.body.size[2]) / 4.0))
    area = max(areas, key=lambda part: round(float(part.area), 6))
    if one.place is None:
        return area
    place = one.place
    return shapely.transform(
        area, lambda points: apply(place, np.column_stack([points, np.zeros(len(points))]))[:, :2]
    )


def _paper(meant: Mapping[str, Meant], evaluation: Evaluation) -> dict[str, bytes]:
    """Pages of the blanks that are named and have no plate."""
    names = list(dict.fromkeys(name for one in meant.values() for name in one.blanks))
    if not names or evaluation.results is None:
        return {}
    from foldwright.layout.as_cut import as_cut
    from foldwright.make.print_job import FOLDERS
    from foldwright.make.templates.paper import paper_files

    placed = evaluation.results.airframe.placed
    papers = [as_cut(one.blank) for one in placed if one.blank.name in names]
    stem = "-".join(name.replace("/", "-") for name in names) if len(names) <= _MOST_NAMED else "chosen"
    files = paper_files(papers, evaluation)
    return {f"{FOLDERS['templates']}/{stem}-sheet.pdf": data for data in files.values()}


def _about(one: Finding, parts: Sequence[str], names: set[str]) -> bool:
    """Whether a finding is about what is chosen; limits of all templates together are not."""
    heads = {part.partition("/")[0] for part in parts}
    if one.where.startswith("template."):
        return bool(names) and one.code not in ("P103", "P104")
    return one.where in names or one.where.removeprefix("fitting.").partition(".")[0] in heads


def _names(job: Job) -> set[str]:
    """What a job may be called."""
    found = {job.path, job.name}
    for lying in job.lying:
        one = lying.made
        found |= {one.name, one.of, one.of.partition("/")[0] if job.group != "templates" else one.of}
        found |= {name for name, _ in lying.belongs}
    return {name for name in found if name}


def _blanks(evaluation: Evaluation) -> tuple[str, ...]:
    if evaluation.results is None:
        return ()
    return tuple(one.blank.name for one in evaluation.results.airframe.placed)


def no_templates(
    chosen: PrintSet, parts: Sequence[str], group: str | None, evaluation: Evaluation
) -> tuple[Finding, ...]:
    """P03 where templates are asked for, by their group or by a blank, and none is printed: no-go where there
    are none on paper either.
    """
    from foldwright.make.templates.choice import wanted

    named = [part for part in parts if part in _blanks(evaluation)]
    whole = group == "templates" and not parts
    workshop = evaluation.workshop
    if not (named or whole) or any(job.group == "templates" for job in chosen.jobs):
        return ()
    make, what = workshop.template.make, ", ".join(named) or "any blank"
    paper = any(path.startswith("templates/") for path in chosen.drawings)
    if not wanted(workshop):
        why = "the cutter is a laser, which needs none (template.make is auto)"
        why = why if make == "auto" else f"template.make is {make}"
        cure = 'Set template.make = "always" in the workshop file, or give --kind rim, full or paper.'
        return (Finding("P03", "no-go", "template.make", {"what": what, "why": why, "cure": cure}),)
    if workshop.printer is None:
        cure = "Give the workshop a [printer] with its bed_mm, or --bed; on paper they are there."
        facts = {"what": what, "why": "the workshop has no [printer]", "cure": cure}
        return (Finding("P03", "watch" if paper else "no-go", "printer", facts),)
    return ()
