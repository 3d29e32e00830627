"""A wing's planform as the file gives it: bays of a half made into stations from root to tip.

Frame of a half: x aft of the root's leading edge, y level from the centre line outward, z up from the
root, all before the wing's incidence is applied; mm and rad.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import atan2, cos, radians, tan

from foldwright.design.wings import Bay


@dataclass(frozen=True, slots=True)
class Station:
    """End of a bay (the first is the root).

    y: level distance from the centre line, mm. rise: height over the root that dihedral has gained, mm.
    aft: leading edge aft of the root's, mm. chord: mm. washout: nose-down turn against the root, rad.
    """

    y: float
    rise: float
    aft: float
    chord: float
    washout: float


@dataclass(frozen=True, slots=True)
class PlanBay:
    """One bay of a half between two stations, with the table it comes from (None: the file has no bays).

    number: from 0 outward.
    """

    number: int
    inner: Station
    outer: Station
    table: Bay | None

    @property
    def dihedral(self) -> float:
        """Rise of the bay, rad, positive tip up."""
        return radians(self.table.dihedral_deg) if self.table is not None else 0.0

    @property
    def length(self) -> float:
        """Along the bay seen from ahead, mm."""
        return (self.outer.y - self.inner.y) / cos(self.dihedral)

    @property
    def sweep(self) -> float:
        """Of the leading edge within the bay's own plane, rad, positive aft."""
        return atan2(self.outer.aft - self.inner.aft, self.length)


def stations(span_mm: float, chord_mm: float, bays: Sequence[Bay]) -> tuple[Station, ...]:
    """Stations of a half from root to tip: one more than there are bays, two where there are none.

    span_mm: tip to tip; chord_mm: at the root. Without bays: constant chord, unswept, level. The last bay
    ends at the tip, whatever its end_mm says. Ends rise outward and only the last may be left out; the file's
    own checks see to that.
    """
    half = span_mm / 2.0
    found = [Station(0.0, 0.0, 0.0, chord_mm, 0.0)]
    if not bays:
        return (found[0], Station(half, 0.0, 0.0, chord_mm, 0.0))
    for index, bay in enumerate(bays):
        last = index == len(bays) - 1
        y = half if last or bay.end_mm is None else bay.end_mm
        before = found[-1]
        rise = before.rise + (y - before.y) * tan(radians(bay.dihedral_deg))
        found.append(Station(y, rise, bay.aft_mm, bay.chord_mm, radians(bay.washout_deg)))
    return tuple(found)


def plan_bays(span_mm: float, chord_mm: float, bays: Sequence[Bay]) -> tuple[PlanBay, ...]:
    """The bays of a half between their stations, from the centre line outward (see `stations`)."""
    ends = pairwise(stations(span_mm, chord_mm, bays))
    return tuple(
        PlanBay(index, inner, outer, bays[index] if bays else None)
        for index, (inner, outer) in enumerate(ends)
    )
