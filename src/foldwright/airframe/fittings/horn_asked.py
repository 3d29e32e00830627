"""What a horn's own numbers and its rod conflict with: ground, the hinge's bevel, what comes off."""

from __future__ import annotations

from collections.abc import Iterator
from math import asin, pi

import numpy as np

from foldwright.airframe.control_line import SIDES, ControlLine, Side
from foldwright.airframe.fitting import Site
from foldwright.airframe.fitting_model import Fitting
from foldwright.airframe.fitting_places import pieces_of
from foldwright.airframe.fittings.horn_words import up_down
from foldwright.airframe.horn_drive import HIGH_MM, LOW_MM, Drive, up_sign
from foldwright.base.finding import Finding, Param
from foldwright.design.fittings import ControlHorn

BENDS_MM = 40.0
"""[judgement] a horn of a few mm of plastic that is higher than this bends under a push rod."""


def asked(fitting: ControlHorn, site: Site, drive: Drive, one: Fitting) -> Iterator[Finding]:
    """P114: a height of the file that bends or strikes the ground; P117: a neutral that the hinge does not
    turn to, or none.
    """
    where = f"fitting.{fitting.id}"
    if fitting.height_mm is not None:
        ways = list(_too_high(site, drive, one))
        if ways:
            facts: dict[str, Param] = {"got": f"{drive.height:g} mm", "how": " and ".join(ways),
                                       "low": LOW_MM, "high": HIGH_MM}  # fmt: skip
            yield Finding("P114", "watch", f"{where}.height_mm", facts, drive.height, HIGH_MM, "mm")
    if fitting.neutral_mm is None:
        return
    up, down = up_down(drive)
    chord, line = drive.line.control.chord, drive.line
    side: Side = "under" if fitting.neutral_mm * up_sign(line) > 0.0 else "upper"
    most = chord * np.sin(min(clearance(line, side), asin(0.5)))
    if abs(fitting.neutral_mm) > most:
        way = up if fitting.neutral_mm > 0.0 else down
        shown = round(float(np.floor(most * 10.0) / 10.0), 1)
        facts = {"got": abs(fitting.neutral_mm), "way": way, "most": shown, "chord": round(chord, 1)}
        yield Finding("P117", "no-go", f"{where}.neutral_mm", facts, abs(fitting.neutral_mm), shown, "mm")


def clearance(line: ControlLine, side: Side) -> float:
    """How far a control turns toward a face before its bevel closes, rad; a right angle where none is."""
    fold = next((one for one in line.placed.blank.folds if one.child == line.panel), None)
    if fold is None or fold.name not in line.control.fold_names:
        return pi / 2.0
    return float(fold.limit) if line.face(side) == fold.opened else pi / 2.0


def through(fitting: ControlHorn, drive: Drive, off: frozenset[str]) -> list[Finding]:
    """P111: the rod passes through board that comes off."""
    found = []
    for hit in drive.other_board:
        if hit.blank in off:
            x, y, z = (round(float(value), 1) for value in hit.place)
            facts: dict[str, Param] = {"horn": fitting.id, "blank": hit.blank, "x": x, "y": y, "z": z}
            found.append(Finding("P111", "watch", f"fitting.{fitting.id}", facts))
    return found


def _too_high(site: Site, drive: Drive, one: Fitting) -> Iterator[str]:
    if drive.height > BENDS_MM:
        yield f"bends under its push rod beyond {BENDS_MM:g} mm"
    lowest = min([_low(site), *(leg.z_mm - leg.long_mm for leg in site.design.leg)])
    foot = min(_swung(drive, one, side) for side in SIDES)
    if foot < lowest - 1e-6:
        yield f"reaches {lowest - foot:.0f} mm below all else, so it strikes the ground first"


def _low(site: Site) -> float:
    """Z of the lowest board."""
    return min(float(piece.low[2]) for one in site.airframe.placed for piece in pieces_of(one))


def _swung(drive: Drive, one: Fitting, side: Side) -> float:
    """Z of the horn's lowest corner with the control turned to a face by its whole travel."""
    turn = drive.wanted(side) * (1.0 if side == "under" else -1.0)
    return float(drive.line.turned(one.corners, turn)[:, 2].min())
