"""Checks of the `[[fitting]]` tables against the rest of the file: what they name, and what must be solid."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import TYPE_CHECKING, Any

from foldwright.base.finding import Finding
from foldwright.design import words
from foldwright.design.keypath import Path, id_of
from foldwright.design.raw import Raw, join
from foldwright.design.references import STOCK_KINDS

if TYPE_CHECKING:
    from foldwright.design.stock import Stock

Row = dict[str, Any]


@dataclass(frozen=True, slots=True)
class Names:
    """A key that names something. what: in words; of: names it may take; sort: what those names stand for in
    the file (a role, a kind), asked for `wanted` where it says anything.
    """

    key: str
    what: str
    of: Callable[[Raw], Mapping[str, str]]
    wanted: tuple[str, ...] = ()


def _inside(key: str, sort: str) -> Callable[[Raw], Mapping[str, str]]:
    """Names "part.id" of the tables that every part has under a key, with what their key `sort` says."""

    def found(raw: Raw) -> Mapping[str, str]:
        return {
            f"{part}.{name}": str(row.get(sort, ""))
            for path, table in raw.rows(("part",))
            if (part := id_of(table))
            for row in _tables(raw, join(path, key))
            if (name := id_of(row))
        }

    return found


def _tables(raw: Raw, path: Path) -> Iterator[Row]:
    """Tables of a list, or the one table that stands there."""
    here = raw.at(path)
    if isinstance(here, dict):
        yield here
    else:
        yield from (row for _, row in raw.rows(path))


def _ids(*lists: str) -> Callable[[Raw], Mapping[str, str]]:
    """Ids of the tables of some lists, with their kind where they have one."""

    def found(raw: Raw) -> Mapping[str, str]:
        kinds: dict[str, str] = {}
        for table in lists:
            for _, row in raw.rows((table,)):
                if name := id_of(row):
                    kinds.setdefault(name, str(row.get("kind", "")))  # the same id twice: F19 says so
        return kinds

    return found


_CONTROL = Names("control", "control", _inside("control", "kind"))
_SERVO = Names("servo", "piece of equipment", _ids("equipment"))

NAMES: Mapping[str, tuple[Names, ...]] = MappingProxyType(
    {
        "motor_mount": (Names("former", "former", _inside("former", "role")),),
        "horn": (_CONTROL, _SERVO),
        "servo_frame": (_SERVO,),
        "rod_guide": (Names("horn", "fitting", _ids("fitting"), ("horn",)),),
        "hinge_strip": (_CONTROL,),
        "battery_stop": (),
        "hatch_catch": (Names("deck", "deck", _inside("deck", "role"), ("hatch",)),),
        "payload_carrier": (Names("holds", "piece of equipment or payload bay", _ids("equipment", "bay")),),
        "equipment_tray": (Names("holds", "piece of equipment", _ids("equipment")),),
        "landing_leg": (Names("leg", "leg", _ids("leg")),),
        "skid": (Names("part", "part", _ids("part")),),
    }
)
"""What the keys of each kind name."""

SOLID: Mapping[str, str] = MappingProxyType(
    {
        "landing_leg": "a landing leg that is hollow inside shatters at the first hard landing",
        "horn": "a control horn that is hollow inside breaks at its hole, and the control is lost",
    }
)
"""Kinds that are printed solid, and why. Common practice, no source."""

LEAST_INFILL: Mapping[str, tuple[float, str]] = MappingProxyType(
    {
        **{kind: (100.0, why) for kind, why in SOLID.items()},
        "motor_mount": (
            40.0,
            "a motor mount that is nearly hollow tears out at its screws, and the motor with it",
        ),
    }
)
"""Kinds that want a least infill, per cent, and why [judgement; common practice, no source]."""

ONE_EACH: Mapping[str, tuple[str, str]] = MappingProxyType(
    {
        "motor_mount": ("former", "carry the motor"),
        "servo_frame": ("servo", "hold the same servo"),
        "payload_carrier": ("holds", "carry the same payload"),
        "landing_leg": ("leg", "are the same leg"),
        "hatch_catch": ("deck", "hold the same hatch"),
        "rod_guide": ("horn", "guide the same push rod"),
    }
)
"""Kinds of which two may not do the same: the key that tells, and what both would do."""


def fitting_senses(raw: Raw, stock: Stock | None) -> Iterator[Finding]:
    """F70, F71: names that are none or name something else; F72: infill; F73: twice the same; F29."""
    first: dict[tuple[str, object], Path] = {}
    for path, row in raw.rows(("fitting",)):
        kind = str(row.get("kind"))
        for names in NAMES.get(kind, ()):
            yield from _named(raw, path, names)
            if names is _SERVO and stock is not None:
                yield from _servo(raw, join(path, names.key), stock)
        yield from _solid(raw, path, kind)
        yield from _twice(raw, path, kind, first)
        if kind == "skid":
            yield from raw.order(join(path, "from_mm"), "less than", join(path, "to_mm"))


def filament_places(raw: Raw) -> list[tuple[Path, tuple[str, ...]]]:
    """Where a design names filaments, for the check against the stock."""
    return [(join(path, "filament"), STOCK_KINDS["filament"]) for path, _ in raw.rows(("fitting",))]


def _named(raw: Raw, path: Path, names: Names) -> Iterator[Finding]:
    """F70 for a name that is none, F71 for one of something else."""
    value = raw.at(join(path, names.key))
    listed = isinstance(value, tuple)
    known = names.of(raw)
    for index, name in enumerate(value if isinstance(value, tuple) else (value,)):
        place = join(path, names.key, index) if listed else join(path, names.key)
        if not isinstance(name, str):
            continue
        right = [one for one, sort in known.items() if not names.wanted or sort in ("", *names.wanted)]
        near = words.nearest(name, right)
        facts = {
            "got": words.shorten(name), "what": names.what,
            "known": words.listed(near) or "none in this file",
            "cure": f'Write "{near[0]}"' if near else f"Add a {names.what} first, or leave the fitting out",
        }  # fmt: skip
        if name not in known:
            yield raw.finding("F70", place, "no-go", **facts)
        elif name not in right:
            wanted = " or ".join(names.wanted)
            yield raw.finding("F71", place, "no-go", **facts, found=known[name], wanted=wanted)


def _servo(raw: Raw, path: Path, stock: Stock) -> Iterator[Finding]:
    """F71 for equipment that the stock says is no servo; what has its own numbers is believed."""
    name = raw.at(path)
    kinds = {}
    for _, row in raw.rows(("equipment",)):
        entry = stock.by_id.get(str(row.get("stock")))
        if (item := id_of(row)) and entry is not None:
            kinds[item] = entry.kind
    if isinstance(name, str) and kinds.get(name, "servo") != "servo":
        near = words.nearest(name, [item for item, kind in kinds.items() if kind == "servo"])
        facts = {
            "got": words.shorten(name), "what": "piece of equipment", "found": kinds[name], "wanted": "servo",
            "known": words.listed(near) or "none in this file",
            "cure": f'Write "{near[0]}"' if near else "Add a servo to the equipment first",
        }  # fmt: skip
        yield raw.finding("F71", path, "no-go", **facts)


def _solid(raw: Raw, path: Path, kind: str) -> Iterator[Finding]:
    """F72: an infill under what holds: 100 per cent where only solid does."""
    infill = raw.number(join(path, "infill_pct"))
    if kind not in LEAST_INFILL or infill is None:
        return
    least, reason = LEAST_INFILL[kind]
    if infill < least:
        solid = "Leave infill_pct out: it is printed solid, walls times line width fill the section"
        cure = solid if kind in SOLID else f"Set infill_pct to {least:g} or more, or leave it out"
        yield raw.finding(
            "F72", join(path, "infill_pct"), got=words.number(infill), kind=kind, reason=reason, least=least,
            cure=cure,
        )  # fmt: skip


def _twice(raw: Raw, path: Path, kind: str, first: dict[tuple[str, object], Path]) -> Iterator[Finding]:
    """F73: two fittings that would stand in the same place."""
    if kind not in ONE_EACH:
        return
    key, does = ONE_EACH[kind]
    value = raw.at(join(path, key))
    if isinstance(value, tuple | dict):
        return  # a mistake of its own
    mine = (kind, value)
    if mine in first:
        yield raw.finding("F73", path, other=raw.where(first[mine]), does=does)
    first.setdefault(mine, path)
