"""Every fitting of the aeroplane as a thing to print: its solid laid down, held against bed and mass.

Frame of a print: x right, y back, z up, the bed at z = 0, mm; `place` leads back into the aeroplane.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, fields, is_dataclass, replace
from itertools import takewhile

import numpy as np

from foldwright.airframe.fitting_model import SOLID, Fitting
from foldwright.base.finding import Finding
from foldwright.base.types import FloatArray
from foldwright.design.resolve import FittedFilament
from foldwright.design.workshop import Printer
from foldwright.evaluate import Results
from foldwright.geometry.solid.check import faults
from foldwright.geometry.solid.core import Solid
from foldwright.make.fittings import along, makers, told
from foldwright.make.print_bed import room_text, seated, size_text
from foldwright.make.printing import Extra, Made, Print, Settings

Say = Callable[[str], None]

SAME_G, SAME_SHARE = 0.5, 0.10
"""How far the plastic of a solid may be from its closed form: the greater of both."""
MOST_WALLS = 12
"""[judgement] a solid thing thicker than this many lines to either side is filled by infill instead."""
LETTERS = 0.02
"""[judgement] share of a volume that the letters on two hands of a pair may differ by."""
SLENDER = 4.0
"""[judgement] a thing this many times as high as its foot is wide wants a brim."""


@dataclass(frozen=True, slots=True, eq=False)
class FittingPrint:
    """One print and the fittings that it is: ids and the 4x4 of each from the print into the aeroplane."""

    made: Print
    ids: tuple[str, ...] = ()
    places: tuple[FloatArray, ...] = ()


@dataclass(frozen=True, slots=True, eq=False)
class Prints:
    """What was made, and what was found about it."""

    prints: tuple[FittingPrint, ...]
    findings: tuple[Finding, ...]


def fitting_prints(results: Results, printer: Printer, say: Say = lambda _text: None) -> Prints:
    """Prints of all fittings, and of what is printed along with them.

    Fittings of the same numbers are one print with copies; the two hands of a pair stay two prints.
    """
    made: list[FittingPrint] = []
    found: list[Finding] = []
    tables = tuple(one.id for one in results.subject.design.fitting)
    for group in _alike(results.airframe.fittings):
        say(f"making {group[0].title}")
        where = f"fitting.{table_of(group[0].id, tables)}"
        one, wrong = _fitting(group, made, printer, where)
        found += wrong
        if one is None:
            continue
        more_words = notes_for(group, results)
        one = replace(one, made=replace(one.made, notes=one.made.notes + more_words)) if more_words else one
        made.append(one)
        for extra in _extras(group[0], results, printer):
            along_with, more = _extra(extra, group[0], printer, where)
            found += more
            if along_with is not None and all(each.made.name != along_with.made.name for each in made):
                made.append(along_with)
    return Prints(tuple(made), tuple(found))


def _extras(fitting: Fitting, results: Results, printer: Printer) -> tuple[Extra, ...]:
    extras = along().get(type(fitting.shape))
    return () if extras is None else extras(fitting, results, printer)


def notes_for(group: Sequence[Fitting], results: Results) -> tuple[str, ...]:
    """What the flight's figures say to the builder of fittings that are one print, each sentence once."""
    say = told().get(type(group[0].shape))
    return () if say is None else tuple(dict.fromkeys(word for one in group for word in say(one, results)))


def _alike(fittings: Sequence[Fitting]) -> list[tuple[Fitting, ...]]:
    """Fittings with the same numbers and settings, together; in their order."""
    groups: dict[object, list[Fitting]] = {}
    for one in fittings:
        key = (type(one.shape), plain(one.shape), plain(one.printed))
        groups.setdefault(key, []).append(one)
    return [tuple(group) for group in groups.values()]


def table_of(name: str, tables: Sequence[str]) -> str:
    """The table that a fitting comes from: the longest id that its own begins with ("hinge-1/right" of
    "hinge"); its own without "/right" where there is none.
    """
    found = [one for one in tables if name == one or name.startswith((f"{one}/", f"{one}-"))]
    return max(found, key=len, default=name.partition("/")[0])


def common_name(ids: Sequence[str]) -> str:
    """What several fittings are called together: what their ids begin with, numbers and sides left out."""
    if len(ids) == 1:
        return file_name(ids[0])
    letters = zip(*(one.partition("/")[0] for one in ids), strict=False)
    shared = "".join(some[0] for some in takewhile(lambda some: len(set(some)) == 1, letters))
    shared = shared.rstrip("-0123456789")
    return shared or file_name(ids[0].partition("/")[0])


def plain(value: object) -> object:
    """A shape's numbers rounded to 1e-6 and nested in tuples, for comparing."""
    if is_dataclass(value) and not isinstance(value, type):
        return tuple(plain(getattr(value, each.name)) for each in fields(value))
    if isinstance(value, float):
        return round(value, 6) + 0.0
    if isinstance(value, np.ndarray):
        return plain(value.tolist())
    if isinstance(value, list | tuple):
        return tuple(plain(each) for each in value)
    return value


def handed(title: str, ids: Sequence[str]) -> str:
    """A title that says which hand of a pair it is, where it is one."""
    tail = ids[0].rpartition("/")[2]
    apart = len(ids) == 1 and tail in {"right", "left"} and tail not in title
    return f"{title}, {tail}" if apart else title


def file_name(name: str) -> str:
    """An id as the name of a file: "horn/right" gives "horn-right"."""
    return name.replace("/", "-")


def _fitting(
    group: tuple[Fitting, ...], before: Sequence[FittingPrint], printer: Printer, where: str
) -> tuple[FittingPrint | None, list[Finding]]:
    first = group[0]
    name = common_name([one.id for one in group])
    taken = {each.made.name for each in before}
    if name in taken:
        name = next(f"{name}-{n}" for n in range(2, len(taken) + 3) if f"{name}-{n}" not in taken)
    title = handed(first.title, [one.id for one in group])
    made = makers()[type(first.shape)](first.shape, printer)
    settings = settings_for(made, printer, first.printed.filament, first.printed.infill)
    one, found = to_print(made, printer, Print(
        name=name, title=title, group="fittings", body=made.body, settings=settings,
        orientation=made.orientation, support=made.support, notes=made.notes, copies=len(group),
        bodies=made.bodies, of=first.id, figures=first.figures,
    ), where)  # fmt: skip
    if one is None or one.place is None:
        return None, found
    found += _mass(one, first, where)
    back = one.place
    placed = replace(one, place=first.placement @ back, mirror_of=_mirror(one, first, before))
    return FittingPrint(
        placed, tuple(each.id for each in group), tuple(each.placement @ back for each in group)
    ), found


def _extra(
    extra: Extra, fitting: Fitting, printer: Printer, where: str
) -> tuple[FittingPrint | None, list[Finding]]:
    """A dummy or a drilling guide, of the same filament as the fitting it goes with and in its place."""
    infill = printer.infill_pct / 100.0 if extra.infill is None else extra.infill
    settings = settings_for(extra.made, printer, fitting.printed.filament, infill)
    made = extra.made
    one, found = to_print(made, printer, Print(
        name=file_name(extra.name), title=extra.title, group=extra.group, body=made.body, settings=settings,
        orientation=made.orientation, support=made.support, notes=made.notes, bodies=made.bodies,
        of=fitting.id, figures=extra.figures,
    ), where)  # fmt: skip
    if one is None or one.place is None:
        return None, found
    place = fitting.placement @ one.place
    return FittingPrint(replace(one, place=place), (), (place,)), found


def to_print(made: Made, printer: Printer, wanted: Print, where: str) -> tuple[Print | None, list[Finding]]:
    """A solid laid for printing and turned so that it lies on the bed; `place` leads back to its own frame.

    where: key that is named where it does not print. None with a finding for a solid that is not sound (P05)
    or larger than the bed (P06).
    """
    wrong = faults(made.body, made.bodies)
    if wrong:
        facts: dict[str, str | int | float] = {
            "title": wanted.title,
            "faults": "; ".join(wrong),
            "bodies": made.bodies,
        }
        return None, [Finding("P05", "no-go", where, facts)]
    body, back = made.laid
    seat = seated(body, printer)
    if seat is None:
        sizes = {"title": wanted.title, **_sizes(body, printer)}
        return None, [Finding("P06", "no-go", where, sizes)]
    body, turned = seat
    return replace(wanted, body=body, place=back @ turned), []


def _sizes(body: Solid, printer: Printer) -> dict[str, str | int | float]:
    size = [float(value) for value in body.size]
    margin = printer.margin_mm
    needs = [size[0] + 2.0 * margin, size[1] + 2.0 * margin, size[2]]
    return {
        "size": size_text(size),
        "room": room_text(printer),
        "margin": margin,
        "needs": size_text(needs),
    }


def settings_for(made: Made, printer: Printer, filament: FittedFilament, infill: float) -> Settings:
    """How a solid is printed. Where it must be solid, walls times line width fill its section as it is laid,
    up to `MOST_WALLS` of them.
    """
    body, _ = made.laid
    walls = printer.walls
    if infill >= SOLID:
        walls = max(walls, filling_walls(body, printer.line_mm))
    low = float(min(body.size[:2]))
    return Settings(
        filament=filament,
        layer_mm=printer.layer_mm,
        line_mm=printer.line_mm,
        walls=walls,
        infill=min(1.0, infill),
        brim=bool(body.size[2] > SLENDER * low),
    )


def filling_walls(body: Solid, line: float) -> int:
    """Least number of walls that fill a section at half its height: no more than `MOST_WALLS`.

    line: width of a printed line, mm.
    """
    section = body.slice_at(float(body.size[2]) / 2.0)
    for walls in range(1, MOST_WALLS):
        if section.buffer(-walls * line).is_empty:
            return walls
    return MOST_WALLS


def _mass(one: Print, fitting: Fitting, where: str) -> Iterator[Finding]:
    """P07 where the solid's plastic is not what the balance reckons with."""
    reckoned, taken = fitting.plastic_g, one.grams
    off = abs(reckoned - taken)
    if off > max(SAME_G, SAME_SHARE * reckoned):
        facts: dict[str, str | int | float] = {"title": fitting.title, "off": off}
        yield Finding("P07", "no-go", where, facts, reckoned, taken, "g")


def _mirror(one: Print, fitting: Fitting, before: Sequence[FittingPrint]) -> str:
    """Name of the other hand of a pair, where that is printed already."""
    start, _, tail = fitting.id.rpartition("/")
    mate = {"right": f"{start}/left", "left": f"{start}/right"}.get(tail, "")
    for each in before:
        other = each.made
        if mate in each.ids and abs(other.body.volume - one.body.volume) < LETTERS * one.body.volume:
            return other.name
    return ""
