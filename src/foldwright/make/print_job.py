"""One bed to print, which is one file: what lies on it, where, how often, how long."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np

from foldwright.base.types import FloatArray
from foldwright.design.workshop import Printer
from foldwright.make.printing import Group, Print, minutes_for

Belongs = tuple[str, FloatArray]
"""Id of a fitting, and the 4x4 from the print into the aeroplane."""


@dataclass(frozen=True, slots=True, eq=False)
class Lying:
    """A print on a bed. at: 4x4 from the print's frame on to the bed. belongs: the fittings that it is."""

    made: Print
    at: FloatArray = field(default_factory=lambda: np.eye(4))
    belongs: tuple[Belongs, ...] = ()


@dataclass(frozen=True, slots=True, eq=False)
class Job:
    """One bed, and one file of the plan set.

    path: of its files without their endings ("fittings/motor-mount"). copies: the bed is printed that often.
    minutes, grams: of all copies together.
    """

    path: str
    title: str
    group: Group
    lying: tuple[Lying, ...]
    copies: int
    minutes: float

    @property
    def prints(self) -> tuple[Print, ...]:
        """What lies on the bed."""
        return tuple(one.made for one in self.lying)

    @property
    def grams(self) -> float:
        """Plastic of all copies, g."""
        return self.copies * sum(one.grams for one in self.prints)

    @property
    def name(self) -> str:
        """The last step of its path."""
        return self.path.rpartition("/")[2]


FOLDERS: dict[Group, str] = {
    "templates": "templates",
    "fittings": "fittings",
    "dummies": "fittings",
    "tools": "tools",
    "coupons": "coupons",
}
"""Folder of each group in the plan set."""


def alone(made: Print, printer: Printer, belongs: tuple[Belongs, ...] = ()) -> Job:
    """A print on a bed of its own, as often as it is wanted.

    Copies are laid on one bed where a builder likes; the minutes reckon each with its own layers, and with
    heating up once.
    """
    height = float(made.body.size[2])
    once = minutes_for(made.filled, height, printer)
    return Job(
        path=f"{FOLDERS[made.group]}/{made.name}",
        title=made.title,
        group=made.group,
        lying=(Lying(made, np.eye(4), belongs),),
        copies=made.copies,
        minutes=once + (made.copies - 1) * (once - printer.start_min),
    )
