"""What a part needs to know besides itself."""

from __future__ import annotations

from dataclasses import dataclass

from foldwright.airframe.model import Board


@dataclass(frozen=True, slots=True)
class Bought:
    """A bought spar, stick or dowel: mm, grams per metre, material and form as in the stock."""

    width: float
    height: float
    g_m: float
    material: str
    form: str


@dataclass(frozen=True, slots=True)
class Bench:
    """The board, bought spars by the part or joint they belong to, the motor's tilt (rad, nose-up +)."""

    board: Board
    spars: tuple[tuple[str, Bought], ...]
    motor_tilt: float

    def bought(self, owner: str) -> Bought | None:
        """What the part or joint of that id takes from the stock, or None."""
        return dict(self.spars).get(owner)
