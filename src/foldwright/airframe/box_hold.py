"""How decks and hatches are held: glued, slid, hinged by tape or by magnets; what that weighs and wants."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

import numpy as np

from foldwright.airframe.box_decks import DeckPlate, glued
from foldwright.airframe.box_shell import Shell
from foldwright.airframe.model import MassItem, Note, Seam
from foldwright.base.types import FloatArray
from foldwright.design.parts import Deck
from foldwright.geometry.fold.mass import line_moments, point_moments

USUAL_G: Mapping[str, float] = MappingProxyType({"glued": 0.0, "slid": 1.0, "hinged": 0.0, "magnets": 2.0})
"""Typical, no source: two card rails; two pairs of 6 mm magnets with their glue. Tape is a seam."""
MAGNET_IN = 6.0  # mm: common practice, no source; middle of a magnet from the end of its hatch
_NOTES = MappingProxyType({"hinged": "G154", "magnets": "G155", "slid": "G156"})


def comes_off(deck: Deck) -> bool:
    """Whether a deck opens by hand: it is held by something else than glue, or is a hatch."""
    return not glued(deck)


def hold_mass(plate: DeckPlate) -> float:
    """Grams that the hold of a deck adds: as written, else the usual figure where the hold is written.

    A hatch that says nothing of its hold adds nothing: its magnets are then among the equipment.
    """
    deck = plate.deck
    if glued(deck):
        return 0.0
    if deck.hold_mass_g is not None:
        return deck.hold_mass_g
    return USUAL_G[deck.hold] if deck.hold is not None else 0.0


def hold_items(shell: Shell, plate: DeckPlate) -> tuple[MassItem, ...]:
    """The mass of magnets (near both ends), rails (along both edges) or a latch (in the middle)."""
    mass = hold_mass(plate)
    if mass == 0.0:
        return ()
    return (MassItem(f"{plate.blank.name}/hold", "fitting", _moments(shell, plate, mass)),)


def _moments(shell: Shell, plate: DeckPlate, mass: float) -> FloatArray:
    start, stop = plate.reach
    if plate.deck.hold == "slid":
        length = sum(float(np.linalg.norm(np.diff(edge, axis=0), axis=1).sum()) for edge in plate.edges)
        rails: FloatArray = sum((line_moments(edge, mass / length) for edge in plate.edges), np.zeros((4, 4)))
        return rails
    under = plate.face.offset(-shell.t) or plate.face
    inset = min(MAGNET_IN, (stop - start) / 4.0)
    places = [np.array([x, 0.0, under.at(x)]) for x in (start + inset, stop - inset)]
    pair: FloatArray = sum((point_moments(place, mass / 2.0) for place in places), np.zeros((4, 4)))
    return pair


def tape_hinges(plate: DeckPlate) -> tuple[Seam, ...]:
    """A hinged deck hangs on tape across its front edge, so that the wind holds it shut."""
    if plate.deck.hold != "hinged":
        return ()
    x = plate.reach[0]
    half, z = float(abs(plate.edges[0][0][1])), plate.face.at(x)
    return (Seam(f"{plate.blank.name}/hinge", "tape", np.array([(x, half, z), (x, -half, z)])),)


def hold_notes(plate: DeckPlate) -> tuple[Note, ...]:
    """What the builder has to know of a hold that is written in the design."""
    hold = plate.deck.hold
    if hold is None or hold not in _NOTES:
        return ()
    width = 2.0 * float(abs(plate.edges[0][0][1]))
    params: dict[str, float | int | str] = {
        "name": plate.deck.id,
        "width": round(width, 1),
        "mass": round(hold_mass(plate), 1),
    }
    return (Note(_NOTES[hold], plate.blank.name, params),)
