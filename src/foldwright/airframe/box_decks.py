"""Decks, hatches and trays of a body: plates along it, blanks of their own. Face A is up."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from foldwright.airframe.box_main import AFT, between_half, bevel_reaches
from foldwright.airframe.box_shell import Shell
from foldwright.airframe.box_strips import strip
from foldwright.airframe.model import Seam
from foldwright.airframe.profile import Profile, secant
from foldwright.base.types import FloatArray
from foldwright.design.parts import Deck
from foldwright.geometry.fold.flat import unfold
from foldwright.geometry.fold.model import Blank


@dataclass(frozen=True, slots=True, eq=False)
class DeckPlate:
    """A deck as a blank. reach: x from and to; face: z of its upper face; edges: lines along it, (n, 3)."""

    deck: Deck
    blank: Blank
    reach: tuple[float, float]
    face: Profile
    edges: tuple[FloatArray, FloatArray]

    def seams(self) -> tuple[Seam, ...]:
        """Glue lines along the right and left edge; one that comes off has none."""
        if not glued(self.deck):
            return ()
        right, left = self.edges
        return (
            Seam(f"{self.blank.name}/right", "glue", right),
            Seam(f"{self.blank.name}/left", "glue", left),
        )


def glued(deck: Deck) -> bool:
    """Whether a deck is glued in: as its hold says; hatches that do not say come off, all else stays."""
    return deck.hold == "glued" if deck.hold is not None else deck.role != "hatch"


def reach_of(deck: Deck) -> tuple[float, float]:
    """From and to of a deck, x; a hatch ends its gap short of both."""
    gap = deck.gap_mm if deck.role == "hatch" else 0.0
    return deck.from_mm + gap, deck.to_mm - gap


def sits_on(deck: Deck) -> bool:
    """Whether a deck lies on the sides' upper edges, not between the sides. A tray never does."""
    return deck.seat == "on" and deck.role != "tray"


def face_of(shell: Shell, deck: Deck) -> Profile:
    """Height z of a deck's upper face.

    Between the sides a deck or hatch is flush with their upper edges; on them it lies a board higher. A
    tray is level at its own z.
    """
    if deck.role == "tray":
        z = 0.0 if deck.z_mm is None else deck.z_mm
        return Profile((shell.start, shell.stop), (z, z))
    if not sits_on(deck):
        return shell.top
    rise = slant(shell, *reach_of(deck))
    upper = shell.top.offset(shell.t)
    if upper is None:
        upper = shell.top.shifted(shell.t * secant(shell.top.steepest(shell.start, shell.stop)))
    return upper.shifted(rise)


def slant(shell: Shell, start: float, stop: float) -> float:
    """How much higher than its outer line a tapered side's sloping upper edge may stand, mm.

    The edge is square to the side, so it stands t*sin(tau)*slope higher inside; up to t*tan(tau)*slope more
    where a bend's fold line lies off the station.
    """
    near = (start - 2.0 * shell.t, stop + 2.0 * shell.t)
    tau = shell.half.steepest(*near)
    return shell.t * (tau / secant(tau) + tau) * shell.top.steepest(*near)


def deck_plate(shell: Shell, deck: Deck) -> DeckPlate:
    """A deck, hatch or tray; bent where the upper edges of the sides bend."""
    start, stop = reach_of(deck)
    face = face_of(shell, deck)
    if sits_on(deck):
        half = shell.half.gathered(bevel_reaches(shell, face, (start, stop)))
    else:
        half = between_half(shell, deck.gap_mm, face, (start, stop))
    chain = strip(shell, deck.role, face, half.between(start, stop), start, facing_up=True, ends_upright=True)
    blank = unfold(f"{shell.part.id}/{deck.id}", shell.t, chain.panels, chain.folds, AFT, chain.cuts)
    return DeckPlate(deck, blank, (start, stop), face, _edges(face, half, (start, stop), shell.t))


def _edges(
    face: Profile, half: Profile, reach: tuple[float, float], t: float
) -> tuple[FloatArray, FloatArray]:
    """The right and left edge of a deck's under face, from front to back."""
    under = face.offset(-t) or face
    places = sorted({x for line in (half, under) for x, _ in line.between(*reach)})
    right = np.array([(x, half.at(x), under.at(x)) for x in places])
    return right, right * np.array([1.0, -1.0, 1.0])
