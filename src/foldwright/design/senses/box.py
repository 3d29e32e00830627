"""Checks between the keys of a box."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from foldwright.base.finding import Finding
from foldwright.design import words
from foldwright.design.keypath import Path, id_of
from foldwright.design.raw import Raw, join
from foldwright.design.sense_shared import same_ids, tool

KIND = "box"
OWN = ("main", "floor-fore", "floor-aft")
"""Blanks of the body itself; no former or deck may be called so."""
SHELL = ("floor", "left", "right", "both")
ROLLED = ("rolled", "rolled_nose")


def sense(raw: Raw, body: Path) -> Iterator[Finding]:
    """Findings between the keys of a box."""
    for key in ("former", "deck", "opening"):
        yield from same_ids(raw, join(body, key))
    yield from _blank_names(raw, body)
    yield from tool(raw, body, "corner")
    stations = [path for path, _ in raw.rows(join(body, "station"))]
    for before, after in pairwise(stations):
        yield from raw.order(join(after, "x_mm"), "more than", join(before, "x_mm"))
    for path in stations:
        yield from raw.order(join(path, "top_mm"), "more than", join(path, "bottom_mm"))
    places = [x for path in stations if (x := raw.number(join(path, "x_mm"))) is not None]
    low, high = (min(places), max(places)) if len(places) > 1 else (None, None)
    name = f"the body {raw.where(body)}"
    for path, _row in raw.rows(join(body, "former")):
        yield from raw.inside(join(path, "x_mm"), low, high, name)
        for hole, _ in raw.rows(join(path, "hole")):
            yield from height(raw, hole)
    for path, _row in raw.rows(join(body, "deck")):
        yield from raw.order(join(path, "from_mm"), "less than", join(path, "to_mm"))
        if raw.text(join(path, "role")) != "rolled_nose":
            yield from raw.inside(join(path, "from_mm"), low, high, name)
        yield from raw.inside(join(path, "to_mm"), low, high, name)
        yield from _deck(raw, path)
    for path, _row in raw.rows(join(body, "opening")):
        yield from raw.inside(join(path, "x_mm"), low, high, name)
        yield from height(raw, path)
        yield from _panel(raw, path, body)


def height(raw: Raw, hole: Path) -> Iterator[Finding]:
    """A height is needed for a rectangle and says nothing of a round hole."""
    shape = join(hole, "shape")
    if raw.text(shape) == "rectangle":
        yield from raw.missing(join(hole, "height_mm"), shape)
    else:
        yield from raw.idle(join(hole, "height_mm"), shape, '"rectangle"')


def _deck(raw: Raw, deck: Path) -> Iterator[Finding]:
    """Keys that only some roles of a deck, or ways to hold it, give a meaning."""
    role = join(deck, "role")
    said = raw.text(role)
    if said == "tray":
        yield from raw.missing(join(deck, "z_mm"), role)
    else:
        yield from raw.idle(join(deck, "z_mm"), role, '"tray"')
    if said == "rolled":
        yield from raw.missing(join(deck, "rise_mm"), role)
    else:
        yield from raw.idle(join(deck, "rise_mm"), role, '"rolled"')
    if said in ROLLED:
        for key in ("seat", "gap_mm"):
            yield from raw.idle(join(deck, key), role, "a flat deck or hatch")
    else:
        yield from raw.idle(join(deck, "facets"), role, '"rolled" or "rolled_nose"')
    hold = join(deck, "hold")
    if raw.text(hold) == "glued" or (not raw.has(hold) and said != "hatch"):
        yield from raw.idle(join(deck, "hold_mass_g"), hold, '"slid", "hinged" or "magnets"')


def _panel(raw: Raw, opening: Path, body: Path) -> Iterator[Finding]:
    """F15 for a panel that the body lacks; the coordinate that its panel has no use for (F32)."""
    key = join(opening, "panel")
    said = raw.text(key)
    if said is None:
        return
    decks = [name for _, row in raw.rows(join(body, "deck")) if (name := id_of(row)) is not None]
    known = (*SHELL, *decks)
    if said not in known:
        choices = words.listed(f'"{name}"' for name in known)
        nearest = words.nearest(said, known, 1)[0]
        yield raw.finding(
            "F15", key, got=words.got(said), expected=f"one of {choices}", nearest=f'"{nearest}"'
        )
    elif said in {"left", "right", "both"}:
        yield from raw.idle(join(opening, "y_mm"), key, "the floor or a deck")
    else:
        yield from raw.idle(join(opening, "z_mm"), key, '"left", "right" or "both"')


def _blank_names(raw: Raw, body: Path) -> Iterator[Finding]:
    """F19: a former or deck named as another blank of the body."""
    first = dict.fromkeys(OWN, "a blank of the body itself")
    for key in ("former", "deck"):
        for place, row in raw.rows(join(body, key)):
            name = id_of(row)
            if name is None:
                continue
            other = first.get(name)
            if other is not None and (key == "deck" or name in OWN):
                yield raw.finding("F19", join(place, "id"), got=f'"{name}"', other=other)
            if key == "former":
                first.setdefault(name, raw.where(join(place, "id")))
