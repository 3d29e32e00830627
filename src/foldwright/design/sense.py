"""Checks between the keys of one file: ids, references, order of numbers, keys that go together.

Only what a file alone can tell; whether the board can be folded so is judged by the parts themselves.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

from foldwright.base.finding import Finding
from foldwright.design import words
from foldwright.design.assumptions import DEFAULTS
from foldwright.design.common import Sort
from foldwright.design.joints import ANY
from foldwright.design.keypath import Path, id_of
from foldwright.design.parts import JOINT_KINDS, PART_KINDS
from foldwright.design.raw import Raw, join
from foldwright.design.references import STOCK_KINDS, stock_finding
from foldwright.design.schema import Kind
from foldwright.design.sense_fittings import filament_places, fitting_senses
from foldwright.design.sense_shared import centre_line, same_ids
from foldwright.design.senses import senses as part_senses
from foldwright.design.usual import USUAL

if TYPE_CHECKING:
    from foldwright.design.stock import Stock


# Where an id of the stock stands, and the kinds of entry that may be named there.
Reference = tuple[Path, tuple[str, ...]]


def senses(kind: Kind, file: str, data: Any, stock: Stock | None) -> Iterator[Finding]:
    """All findings between the keys of a raw table (lists as tuples)."""
    raw = Raw(kind, file, data)
    yield from _format(raw)
    if kind == "design":
        yield from _design(raw)
        yield from fitting_senses(raw, stock)
        yield from _design_stock(raw, stock)
    elif kind == "workshop":
        yield from _workshop(raw)
        yield from _workshop_stock(raw, stock)
    else:
        yield from same_ids(raw, ("entry",))


def _design(raw: Raw) -> Iterator[Finding]:
    yield from same_ids(raw, ("part",))
    yield from same_ids(raw, ("joint",))
    yield from same_ids(raw, ("equipment",))
    for table in ("wire", "bay", "leg", "fitting"):
        yield from same_ids(raw, (table,))
    for place, _row in raw.rows(("leg",)):
        yield from centre_line(raw, place)
    yield from centre_line(raw, ("motor",))
    yield from _held(raw)
    yield from _reserved(raw)
    yield from _wing_count(raw)
    yield from _parts(raw)
    yield from _joints(raw)
    yield from _targets(raw)
    yield from _battery(raw)
    yield from _items(raw, ("equipment",))
    yield from _assumptions(raw)
    yield from _usual(raw)


def _parts(raw: Raw) -> Iterator[Finding]:
    """All findings between the keys of each part."""
    for path, row in raw.rows(("part",)):
        sense = part_senses().get(str(row.get("kind")))
        if sense is not None:
            yield from sense(raw, path)


def _held(raw: Raw) -> Iterator[Finding]:
    """F48: a payload bay that holds what is no piece of equipment."""
    known = {name: "" for _, row in raw.rows(("equipment",)) if (name := id_of(row))}
    for place, row in raw.rows(("bay",)):
        named = row.get("holds")
        for index, name in enumerate(named if isinstance(named, tuple) else ()):
            near = words.nearest(name, known) if isinstance(name, str) and name not in known else []
            if near:
                path = join(place, "holds", index)
                got = words.shorten(str(name))
                yield raw.finding("F48", path, got=got, known=words.listed(near), nearest=near[0])


def _workshop(raw: Raw) -> Iterator[Finding]:
    yield from same_ids(raw, ("fit", "equipment"))
    yield from _items(raw, ("fit", "equipment"))
    if raw.text(("cutter", "kind")) == "laser":
        yield from raw.missing(("cutter", "bed_mm"), ("cutter", "kind"))
    for path, _row in raw.rows(("board", "sheet")):
        for side in ("length_mm", "width_mm"):
            yield from raw.order(join(path, side), "more than", ("board", "border_mm"), 2.0)


def _format(raw: Raw) -> Iterator[Finding]:
    """F11: the models take 1.0 and true for 1, since they are equal."""
    value = raw.at(("format",))
    if isinstance(value, (bool, float)) and value == 1:
        yield raw.finding("F11", ("format",), expected="1", got=words.got(value) if value is True else "1.0")


# --- references -------------------------------------------------------------------------------


def _reserved(raw: Raw) -> Iterator[Finding]:
    """F20: a part called like a table of the file could not be told from it in a key path."""
    from foldwright.design.model import Design

    for place, row in raw.rows(("part",)):
        name = id_of(row)
        if name in Design.model_fields:
            yield raw.finding("F20", join(place, "id"), got=str(name))


def _wing_count(raw: Raw) -> Iterator[Finding]:
    """F40: an aeroplane has one main wing."""
    rows = [row for _, row in raw.rows(("part",))]
    kinds = [PART_KINDS.get(str(row.get("kind"))) for row in rows]
    count = sum(kind is not None and kind.is_main(row) for kind, row in zip(kinds, rows, strict=True))
    # where a kind is none of these, that is the mistake
    if kinds and None not in kinds and count != 1:
        yield raw.finding("F40", ("part",), got=count)


def _joints(raw: Raw) -> Iterator[Finding]:
    known = {name: str(row.get("kind")) for _, row in raw.rows(("part",)) if (name := id_of(row))}
    for place, row in raw.rows(("joint",)):
        named = raw.at(join(place, "parts"))
        if not (isinstance(named, tuple) and len(named) == 2 and all(isinstance(n, str) for n in named)):
            continue
        model = JOINT_KINDS.get(str(row.get("kind")))
        for index, name in enumerate(named):
            wanted = model.takes[index] if model is not None else ANY[index]
            yield from _named_part(raw, join(place, "parts", index), name, wanted, known)
        if named[0] == named[1]:
            yield raw.finding("F41", join(place, "parts"), got=words.shorten(named[0]))
        if row.get("kind") == "slot_tab":
            yield from raw.order(join(place, "from_mm"), "less than", join(place, "to_mm"))
        elif row.get("kind") == "band_on":
            yield from raw.order(join(place, "front_x_mm"), "less than", join(place, "rear_x_mm"))


def _named_part(
    raw: Raw, path: Path, name: str, wanted: tuple[Sort, ...], known: dict[str, str]
) -> Iterator[Finding]:
    got = words.shorten(name)
    near = words.nearest(name, known)
    kinds = [kind for kind, model in PART_KINDS.items() if model.sort in wanted]
    if name not in known:
        if near:
            yield raw.finding("F21", path, got=got, known=words.listed(near), nearest=near[0])
    elif known[name] in PART_KINDS and known[name] not in kinds:
        fitting = [n for n in near if known[n] in kinds]
        others = words.listed(fitting) or "none in this file"
        yield raw.finding("F23", path, got=got, found=known[name], wanted=" or ".join(kinds), known=others)


def _stock_ids(raw: Raw, stock: Stock | None, places: list[Reference]) -> Iterator[Finding]:
    """F22, F23: ids that are not in the stock, or are of another kind."""
    if stock is None:
        return
    for path, kinds in places:
        name = raw.at(path)
        if isinstance(name, str):
            found = stock_finding(name, raw.where(path), kinds, stock, raw.file)
            if found is not None:
                yield found


def _item_places(raw: Raw, path: Path) -> list[Reference]:
    return [(join(place, "stock"), STOCK_KINDS["item"]) for place, _ in raw.rows(path)]


def _design_stock(raw: Raw, stock: Stock | None) -> Iterator[Finding]:
    places: list[Reference] = [
        ((name, "stock"), STOCK_KINDS[name]) for name in ("motor", "propeller", "battery")
    ]
    others = raw.at(("battery", "alternatives"))
    count = len(others) if isinstance(others, tuple) else 0
    places += [(("battery", "alternatives", i), STOCK_KINDS["battery"]) for i in range(count)]
    places += _item_places(raw, ("equipment",))
    for place, row in raw.rows(("part",)):
        model = PART_KINDS.get(str(row.get("kind")))
        keys = model.stock_keys() if model is not None else ()
        places += [(join(place, *key), STOCK_KINDS["spar"]) for key in keys]
    for place, row in raw.rows(("joint",)):
        joint = JOINT_KINDS.get(str(row.get("kind")))
        if joint is not None and joint.stock_key is not None:
            places.append((join(place, joint.stock_key), STOCK_KINDS["spar"]))
    yield from _stock_ids(raw, stock, places + filament_places(raw))


def _workshop_stock(raw: Raw, stock: Stock | None) -> Iterator[Finding]:
    places: list[Reference] = [
        (("fit", name), STOCK_KINDS[name]) for name in ("motor", "propeller", "battery")
    ]
    places.append((("printer", "material"), STOCK_KINDS["filament"]))
    yield from _stock_ids(raw, stock, places + _item_places(raw, ("fit", "equipment")))


# --- equipment, targets, assumptions ------------------------------------------------------------------


def _items(raw: Raw, path: Path) -> Iterator[Finding]:
    for place, row in raw.rows(path):
        yield from centre_line(raw, place)
        if "stock" not in row:
            for key in ("mass_g", "size_mm"):
                yield from raw.missing(join(place, key), join(place, "stock"))
        movable = join(place, "movable")
        ends = [join(place, key) for key in ("slide_from_mm", "slide_to_mm")]
        if raw.at(movable) is True:
            for end in ends:
                yield from raw.missing(end, movable)
            yield from raw.order(ends[0], "at most", ends[1])
            low, high = raw.number(ends[0]), raw.number(ends[1])
            yield from raw.inside(join(place, "x_mm"), low, high, f"the slide of {raw.where(place)}")
        else:
            for end in ends:
                yield from raw.idle(end, movable, "true")


def _targets(raw: Raw) -> Iterator[Finding]:
    least, wanted, most = (f"static_margin{tail}_pct" for tail in ("_least", "", "_most"))
    yield from raw.order(("targets", least), "at most", ("targets", wanted))
    yield from raw.order(("targets", wanted), "at most", ("targets", most))
    yield from raw.order(("targets", "launch_speed_m_s"), "at most", ("targets", "cruise_speed_m_s"))


def _battery(raw: Raw) -> Iterator[Finding]:
    yield from raw.order(("battery", "slide_from_mm"), "less than", ("battery", "slide_to_mm"))
    low, high = raw.number(("battery", "slide_from_mm")), raw.number(("battery", "slide_to_mm"))
    yield from raw.inside(("battery", "x_mm"), low, high, "the battery's slide")
    others = raw.at(("battery", "alternatives"))
    named = [raw.at(("battery", "stock")), *(others if isinstance(others, tuple) else ())]
    for index, name in enumerate(named[1:]):
        if isinstance(name, str) and name in named[: index + 1]:
            first = named.index(name)
            other = ("battery", "stock") if first == 0 else ("battery", "alternatives", first - 1)
            path = ("battery", "alternatives", index)
            yield raw.finding(
                "F19", path, got=words.got(name).removeprefix("the text "), other=raw.where(other)
            )


def _assumptions(raw: Raw) -> Iterator[Finding]:
    """F33: a name that is none; F12, F42: a centre or spread outside what the quantity can be."""
    table = raw.at(("assumptions",))
    if not isinstance(table, dict):
        return
    for name in table:
        path = ("assumptions", name)
        if name not in DEFAULTS:
            near = words.nearest(name, DEFAULTS, 1)[0]
            known = words.listed(sorted(DEFAULTS), 24)
            yield raw.finding("F33", path, got=words.shorten(name), nearest=near, known=known)
            continue
        limits = DEFAULTS[name]
        meaning = f"the range of {name} ({limits.unit})" if limits.unit else f"the range of {name}"
        yield from raw.inside(join(path, "value"), limits.least, limits.most, meaning)
        yield from raw.inside(join(path, "sd"), 0.0, (limits.most - limits.least) / 2.0, meaning)


def _usual(raw: Raw) -> Iterator[Finding]:
    """F49: a range of a name that is none; F29: its ends in the wrong order."""
    table = raw.at(("usual",))
    if not isinstance(table, dict):
        return
    for name in table:
        path = ("usual", name)
        if name not in USUAL:
            near, known = words.nearest(name, USUAL, 1)[0], words.listed(sorted(USUAL), 24)
            yield raw.finding("F49", path, got=words.shorten(name), nearest=near, known=known)
            continue
        yield from raw.order(join(path, 0), "at most", join(path, 1))
