"""What a body's blanks are called, where they stand, and what may stand on them: guides, floors, mounts."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from types import MappingProxyType

import numpy as np

from foldwright.airframe.box_decks import DeckPlate
from foldwright.airframe.box_formers import FormerPlate
from foldwright.airframe.box_shell import CLEAR, Shell
from foldwright.airframe.model import Direction, Floor, MarkRequest, Mount
from foldwright.geometry.fold.model import Blank
from foldwright.geometry.transform import apply

HELP = 0.0
"""Share of a guide that must land: it may fall away where it finds no good face."""
LOWEST = 0.5  # mm: corners of a former no higher than this above its lowest one are its lower edge
_SIDEWAYS: tuple[Direction, Direction] = ("+y", "-y")
_FORMERS = MappingProxyType(
    {
        "nose": "nose former (bulkhead)",
        "former": "former (bulkhead)",
        "motor": "motor former (bulkhead)",
        "tail": "tail former (bulkhead)",
    }
)
_DECKS = MappingProxyType(
    {"deck": "deck", "hatch": "hatch", "tray": "tray", "rolled": "rolled deck", "rolled_nose": "rolled nose"}
)
_BODY = MappingProxyType(
    {
        "main": "the body: floor and sides in one blank",
        "floor-fore": "the body's floor ahead of its folded corners",
        "floor-aft": "the body's floor behind its folded corners",
    }
)


def guides_of(
    shell: Shell, formers: Sequence[FormerPlate], decks: Sequence[DeckPlate]
) -> tuple[MarkRequest, ...]:
    """Where formers stand on the floor's inner face and trays meet the sides' inner faces.

    Of a former the lower edge of both its faces; of a tray its under face, to the right and to the left. A
    guide needs its blank: it is not drawn where a joint has taken the former away.
    """
    return (*_former_lines(shell, formers), *_tray_lines(shell, decks))


def _former_lines(shell: Shell, formers: Sequence[FormerPlate]) -> list[MarkRequest]:
    found = []
    for plate in formers:
        flat = plate.blank.panels[0].polygon
        for w in (0.0, shell.t):
            points = apply(plate.blank.placement, np.column_stack([flat, np.full(len(flat), w)]))
            low = points[points[:, 2] < points[:, 2].min() + LOWEST]
            x, y = float(low[:, 0].mean()), float(np.abs(low[:, 1]).max())
            line = ((x, -y, 0.0), (x, y, 0.0))
            name = plate.former.id
            found.append(
                MarkRequest(name, f"{shell.part.id}/main", "-z", line, "b", HELP, needs=plate.blank.name)
            )
    return found


def _tray_lines(shell: Shell, decks: Sequence[DeckPlate]) -> list[MarkRequest]:
    found = []
    for plate in decks:
        deck = plate.deck
        if deck.role != "tray" or deck.z_mm is None:
            continue
        under = deck.z_mm - shell.t
        line = ((deck.from_mm, 0.0, under), (deck.to_mm, 0.0, under))
        found += [
            MarkRequest(deck.id, f"{shell.part.id}/main", way, line, "b", HELP, needs=plate.blank.name)
            for way in _SIDEWAYS
        ]
    return found


def floors_of(shell: Shell, blanks: Sequence[Blank], decks: Sequence[DeckPlate]) -> tuple[Floor, ...]:
    """Trays first (their upper face), then the inner faces of the floor and of its separate pieces."""
    name = shell.part.id
    trays = [
        Floor(plate.blank.name, "a", plate.deck.from_mm, plate.deck.to_mm, first=True)
        for plate in decks
        if plate.deck.role == "tray"
    ]
    fore, aft = shell.start, shell.stop
    pieces = []
    names = {blank.name for blank in blanks}
    if f"{name}/floor-fore" in names:
        fore = shell.run[0]
        pieces.append(Floor(f"{name}/floor-fore", "b", shell.start, fore - CLEAR))
    if f"{name}/floor-aft" in names:
        aft = shell.run[1]
        pieces.append(Floor(f"{name}/floor-aft", "b", aft + CLEAR, shell.stop))
    return (*trays, Floor(f"{name}/main", "b", fore, aft), *pieces)


def mounts_of(shell: Shell, formers: Sequence[FormerPlate]) -> tuple[Mount, ...]:
    """Formers that carry a motor: role motor, at the nose of a tractor as at the tail of a pusher."""
    return tuple(
        Mount(plate.blank.name, plate.former.x_mm, plate.former.x_mm + shell.t)
        for plate in formers
        if plate.former.role == "motor"
    )


def titles_of(shell: Shell) -> Mapping[str, str]:
    """What each blank is, by its name, in the trade's words."""
    part = shell.part
    own = {**_BODY, **{former.id: _FORMERS[former.role] for former in part.former}}
    own |= {deck.id: _DECKS[deck.role] for deck in part.deck}
    for deck in part.deck:
        if deck.role == "rolled_nose":
            own |= {f"{deck.id}-{side}": f"{side} cheek of the rolled nose" for side in ("right", "left")}
    return {f"{part.id}/{blank}": title for blank, title in own.items()}
