"""What the aeroplane takes up in a car: whole, and with everything off that comes off."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from foldwright.airframe.model import Airframe
from foldwright.review.extents import box_of

Size = tuple[float, float, float]


@dataclass(frozen=True, slots=True)
class Packed:
    """Parts that stay together, and the box that holds their board: along x, y, z, mm."""

    parts: tuple[str, ...]
    size: Size


@dataclass(frozen=True, slots=True)
class Transport:
    """whole: box of the aeroplane as it flies, along x, y, z, mm. parts: what it comes apart into, the
    largest first; one piece where nothing comes off. Board only: propeller and legs come off or turn away.
    """

    whole: Size
    parts: tuple[Packed, ...]

    @property
    def comes_apart(self) -> bool:
        """Whether anything comes off."""
        return len(self.parts) > 1

    @property
    def largest(self) -> Size:
        """Length, width and height that every piece stays within, each laid with its longest side first."""
        sides = np.array([sorted(piece.size, reverse=True) for piece in self.parts])
        longest, middle, shortest = sides.max(axis=0).tolist()
        return longest, middle, shortest


def transport(airframe: Airframe) -> Transport:
    """Boxes of the aeroplane whole and taken apart.

    Parts joined by a joint that is glued stay together; a part of which no joint tells stays with the main
    wing's piece. Every piece is measured as it lies in the aeroplane, square to its axes.
    """
    whole = _size(airframe, None)
    pieces = [Packed(names, _size(airframe, names)) for names in _groups(airframe)]
    with_board = [piece for piece in pieces if max(piece.size) > 0.0]
    with_board.sort(key=lambda piece: (sorted(piece.size, reverse=True), piece.parts), reverse=True)
    return Transport(whole, tuple(with_board))


def _size(airframe: Airframe, parts: tuple[str, ...] | None) -> Size:
    box = box_of(airframe, parts)
    if box is None:
        return 0.0, 0.0, 0.0
    x, y, z = (box[1] - box[0]).tolist()
    return x, y, z


def _groups(airframe: Airframe) -> tuple[tuple[str, ...], ...]:
    """Ids of parts that stay together, in the order of the aeroplane."""
    names = list(dict.fromkeys(one.part for one in airframe.placed))
    names += [name for joint in airframe.joints for name in joint.parts if name not in names]
    home = next((surface.id for surface in airframe.surfaces if surface.main), names[0] if names else "")
    piece = {name: name for name in names}
    told = {name for joint in airframe.joints for name in joint.parts}
    pairs = [joint.parts for joint in airframe.joints if joint.glued]
    pairs += [(name, home) for name in names if name not in told and home in piece]
    for one, other in pairs:
        old, new = piece[one], piece[other]
        piece = {name: (new if at == old else at) for name, at in piece.items()}
    ends = dict.fromkeys(piece.values())
    return tuple(tuple(name for name in piece if piece[name] == end) for end in ends)
