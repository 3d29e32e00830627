"""What fittings of controls are worked out from, so that the same question is answered once.

Studies and cures evaluate the same folded board again and again with other motors, batteries or targets; a
horn, its frame and its guides do not change with those.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from foldwright.airframe.coming_off import taken_off
from foldwright.airframe.fitting import Site
from foldwright.airframe.model import LiftingSurface, Placed
from foldwright.design.fittings import ControlHorn
from foldwright.design.resolve import FittedFilament, FittedItem
from foldwright.design.workshop import Printer


@dataclass(frozen=True, slots=True)
class Ground:
    """Equal to another where the same folded board (by identity), equipment, horns and printer are there.

    off: blanks that come off. site: any one with all that.
    """

    placed: tuple[Placed, ...]
    surfaces: tuple[LiftingSurface, ...]
    off: frozenset[str]
    items: tuple[FittedItem, ...]
    horns: tuple[ControlHorn, ...]
    printer: Printer
    filaments: tuple[FittedFilament, ...]
    site: Site = field(compare=False)


def ground_of(site: Site) -> Ground:
    """The ground of a site."""
    airframe, fitted = site.airframe, site.fitted
    return Ground(
        airframe.placed,
        airframe.surfaces,
        taken_off(airframe),
        fitted.items,
        tuple(one for one in site.design.fitting if isinstance(one, ControlHorn)),
        site.printer,
        tuple(fitted.filaments[name] for name in sorted(fitted.filaments)),
        site,
    )
