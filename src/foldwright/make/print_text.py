"""prints.txt: what to print, how often, how, how long; a page to work down at the printer."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Sequence

from foldwright.design.workshop import Printer
from foldwright.make.print_job import FOLDERS, Job
from foldwright.make.printing import Group, Print, Settings
from foldwright.make.template_text import Plates, use_lines

WIDE = 100
_HEADS: dict[Group, str] = {
    "templates": "Templates, for tracing blanks on to board",
    "fittings": "Fittings, which stay in the aeroplane",
    "dummies": "Dummies, for the first flights in place of the payload",
    "tools": "Tools, for setting up and for working board",
    "coupons": "Coupons, which tell the workshop its own figures",
}
_DRAWN: dict[Group, str] = {
    "templates": "On paper, printed at 100 %, never fitted to the page (measure the bar):",
    "coupons": "To be cut from board, as the sheets are:",
}
ORDER: tuple[Group, ...] = ("templates", "fittings", "dummies", "tools", "coupons")
_CAUTIONS = (
    (
        "Minutes and grams are reckoned from volume and the workshop's own rates; your slicer's figures go "
        "before them."
    ),
    "Print in the orientation given: layers come apart far more easily than a line breaks.",
    (
        "Look at mount, horns and legs before every flight and after every hard landing; a cracked one is "
        "replaced, not glued. Keep clear of the propeller's plane whenever the battery is in."
    ),
)


def prints_text(
    title: str,
    printer: Printer | None,
    jobs: Sequence[Job],
    extra: Sequence[str] = (),
    drawings: Sequence[str] = (),
    plates: Plates = (),
    border_mm: float = 0.0,
) -> bytes:
    """The file's bytes.

    title: of design and workshop. printer: None where the workshop has none. extra: what was chosen for each
    blank, a line each. drawings: paths of files that go on paper or to the cutter. plates: rows of the
    templates. border_mm: width of the board's edges that is not used.
    """
    lines = [f"What to print for {title}", "", *_wrapped(_printer_words(printer)), ""]
    for group in ORDER:
        mine = [job for job in jobs if job.group == group]
        drawn = [path for path in drawings if path.startswith(f"{FOLDERS[group]}/")]
        if not mine and not (group == "templates" and extra) and not (group in _DRAWN and drawn):
            continue
        lines += [_HEADS[group], "=" * len(_HEADS[group]), ""]
        for job in mine:
            lines += [*_job(job), ""]
        if group == "templates":
            lines += _chosen(extra)
            traced = [one for job in mine for one in job.prints]
            lines += _used(use_lines(plates, traced, border_mm))
        if group in _DRAWN and drawn:
            lines += [*_wrapped(_DRAWN[group], 2), *(f"    {path}" for path in sorted(drawn)), ""]
        if len(mine) > 1:
            lines += [f"  {_total(mine)}", ""]
    if jobs:
        lines += [f"All together: {_total(jobs)}.", ""]
    for words in _CAUTIONS:
        lines += _wrapped(words)
    return ("\n".join(lines) + "\n").encode()


def _chosen(extra: Sequence[str]) -> list[str]:
    """What each blank is traced with, and why."""
    if not extra:
        return []
    return ["  What each blank is traced with:", *(row for line in extra for row in _wrapped(line, 4, 2)), ""]


def _used(words: Sequence[str]) -> list[str]:
    """How the plates are used."""
    if not words:
        return []
    return ["  How they are used:", *(row for one in words for row in _wrapped(f"- {one}", 4, 2)), ""]


def _printer_words(printer: Printer | None) -> str:
    if printer is None:
        return "The workshop has no printer: fittings have usual settings, for whoever prints them."
    length, width, height = printer.bed_mm
    return (
        f"Printer: bed {length:g} x {width:g} x {height:g} mm, {printer.margin_mm:g} mm left free along its "
        f"edges; layers of {printer.layer_mm:g} mm, lines of {printer.line_mm:g} mm, sliding clearance "
        f"{printer.clearance_mm:g} mm."
    )


def _job(job: Job) -> Iterator[str]:
    often = "once" if job.copies == 1 else f"{job.copies} times"
    yield f"{job.path}.3mf, .stl: {often}, {hours(job.minutes)}, {grams_text(job.grams)}"
    first = job.prints[0]
    yield from _wrapped(f"{capital(job.title)}. {settings_words(first.settings)}", 4)
    if len(job.prints) > 1:
        for one in job.prints:
            yield from _wrapped(f"{one.name}: {one.title}, {_size(one)}", 6, 2)
    else:
        yield from _wrapped(f"Size as it lies: {_size(first)}.", 4)
    if job.group != "templates" or len(job.prints) == 1:
        yield from _wrapped(f"On the bed: {first.orientation}. {_support(first)}", 4)
    if first.mirror_of and len(job.prints) == 1:
        yield from _wrapped(f"The other hand of {first.mirror_of}: print both.", 4)
    for note in _notes(job):
        yield from _wrapped(f"- {note if job.group == 'templates' else capital(note)}", 4, 2)


def _support(one: Print) -> str:
    return f"Support: {one.support}." if one.support else "No support."


def _notes(job: Job) -> list[str]:
    """Each note once, in order; those of pieces of templates with the blank that they are of."""
    if job.group != "templates":
        return list(dict.fromkeys(note for one in job.prints for note in one.notes))
    return list(dict.fromkeys(f"{_piece(one)}: {note}" for one in job.prints for note in one.notes))


def _piece(one: Print) -> str:
    pieces = one.figures.get("pieces", 1.0)
    return f"{one.of}, piece {one.figures['piece']:.0f}" if pieces > 1.0 else one.of


def _size(one: Print) -> str:
    return " x ".join(f"{float(value):.1f}" for value in one.body.size) + " mm"


def settings_words(settings: Settings) -> str:
    """Filament, layer, walls and infill in words."""
    fill = "solid" if settings.infill >= 1.0 else f"infill {100.0 * settings.infill:.0f} %"
    brim = ", brim" if settings.brim else ""
    return (
        f"{settings.filament.name}, layer {settings.layer_mm:g} mm, "
        f"{settings.walls} walls of {settings.line_mm:g} mm, {fill}{brim}."
    )


def hours(minutes: float) -> str:
    """Such as "2 h 05 min" or "38 min"; never under a minute."""
    whole = max(1, round(minutes))
    return f"{whole // 60} h {whole % 60:02d} min" if whole >= 60 else f"{whole} min"


def grams_text(grams: float) -> str:
    """Whole grams, tenths below ten."""
    return f"{grams:.1f} g" if grams < 10.0 else f"{grams:.0f} g"


def capital(text: str) -> str:
    """With a capital letter first."""
    return text[:1].upper() + text[1:]


def _total(jobs: Sequence[Job]) -> str:
    beds = sum(job.copies for job in jobs)
    minutes, grams = sum(job.minutes for job in jobs), sum(job.grams for job in jobs)
    return f"{beds} bed{'s' if beds > 1 else ''}, {hours(minutes)}, {grams_text(grams)}"


def _wrapped(text: str, indent: int = 0, hang: int = 0) -> list[str]:
    """A paragraph in lines of at most `WIDE` signs."""
    return textwrap.wrap(
        text,
        WIDE,
        initial_indent=" " * indent,
        subsequent_indent=" " * (indent + hang),
        break_long_words=False,
        break_on_hyphens=False,
    )
