"""Hinge strips: two leaves and a thin web between them, glued over a hinge line.

Frame of a strip: x aft, z out of the face that the hinge line lies in, y along the line, the origin on it in
the middle of the strip. It is the same for both hands.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from foldwright.airframe.control_line import ControlLine, Side, control_lines
from foldwright.airframe.fitting import FittingBuild, Site
from foldwright.airframe.fitting_ground import Ground, ground_of
from foldwright.airframe.fitting_model import SOLID, Fitting
from foldwright.airframe.fittings.horn import horn_shape, outline_mark, round_mm2
from foldwright.airframe.horn_drive import drives
from foldwright.airframe.model import Note
from foldwright.base.finding import Finding, Param
from foldwright.design.fittings import ControlHorn, HingeStrip

MODEL = HingeStrip

USUAL = "tpu"
"""Filament where the printer's own does not bend."""
WEB_LONG_MM = 2.0
"""[judgement] width of the thin web; it bends over this, and the leaves' edges stay apart to 90°, mm."""
END_MM = 6.0
"""[judgement] strip to the end of the hinge line, at least, mm."""
BESIDE_MM = 2.0
"""[judgement] strip to whatever stands beside it, at least, mm."""
GLUE_HOLE_MM = 3.0
"""Holes through the leaves: the glue rises through them, mm."""


@dataclass(frozen=True, slots=True)
class HingeStripShape:
    """Numbers of one strip, mm. long: along the hinge. reach: to either side of it. thick: of the leaves;
    web: where it bends.
    """

    long: float
    reach: float
    thick: float
    web: float

    @property
    def leaf(self) -> float:
        """Width of one leaf."""
        return self.reach - WEB_LONG_MM / 2.0

    @property
    def glue_holes(self) -> tuple[tuple[float, float], ...]:
        """(x, y) of the holes, none in leaves too small for them."""
        if self.leaf < 2.0 * GLUE_HOLE_MM or self.long < 4.0 * GLUE_HOLE_MM:
            return ()
        x = WEB_LONG_MM / 2.0 + self.leaf / 2.0
        return tuple((sx * x, sy * self.long / 4.0) for sx in (-1.0, 1.0) for sy in (-1.0, 1.0))

    @property
    def volume(self) -> float:
        """Two leaves and the web, less the holes."""
        leaves = 2.0 * self.leaf * self.long - len(self.glue_holes) * round_mm2(GLUE_HOLE_MM)
        return leaves * self.thick + WEB_LONG_MM * self.long * self.web

    @property
    def surface(self) -> float:
        """Both sides and the edges."""
        flat = 2.0 * 2.0 * self.reach * self.long
        return flat + (4.0 * self.leaf + 4.0 * self.long) * self.thick

    @property
    def box(self) -> tuple[tuple[float, float, float], tuple[float, float, float]]:
        """Corners."""
        return (
            (-self.reach, -self.long / 2.0, 0.0),
            (self.reach, self.long / 2.0, max(self.thick, self.web)),
        )


def build(fitting: HingeStrip, site: Site) -> FittingBuild:
    """Strips on every piece of the control."""
    return _built(fitting, ground_of(site))


@lru_cache(maxsize=32)
def _built(fitting: HingeStrip, ground: Ground) -> FittingBuild:
    """The last ones are remembered."""
    site = ground.site
    lines = [one for one in control_lines(site.airframe, fitting.control) if one.hinge_side() is not None]
    if not lines:
        return FittingBuild(findings=(_unknown(fitting, site),))
    own = site.fitted.filaments[site.printer.material]
    printed = site.printed(fitting, SOLID, "" if own.bends else USUAL)
    findings = []
    if not printed.filament.bends:
        facts: dict[str, Param] = {"filament": printed.filament.name, "usual": USUAL}
        findings.append(Finding("P46", "watch", f"fitting.{fitting.id}.filament", facts))
    shape = HingeStripShape(
        fitting.long_mm,
        max(fitting.wing_mm, WEB_LONG_MM),
        fitting.thick_mm,
        min(fitting.web_mm, fitting.thick_mm),
    )
    fittings, guides, notes = [], [], []
    for line in lines:
        side = line.hinge_side() or "upper"
        taken = _taken(fitting, site, line, side)
        places = places_for(line.length, fitting.count, fitting.long_mm, taken)
        if len(places) < fitting.count and not findings:
            findings.append(_tight(fitting, line, len(places), bool(taken)))
        way = _way(line, lines)
        rect = (-shape.reach, shape.reach, -shape.long / 2.0, shape.long / 2.0)
        for number, along in enumerate(places, 1):
            name = f"{fitting.id}-{number}{way}"
            frame = line.frame(along, side)
            blank = line.placed.blank.name
            figures = {"at_mm": round(along, 3)}
            one = Fitting(name, fitting.kind, "hinge strip", shape, frame, printed, 0.0, blank, figures)
            fittings.append(one)
            guides.append(outline_mark(f"hinge-{line.control.id}", blank, line.face(side), frame, rect))
        notes.append(Note("P47", line.placed.blank.name, _told(line, side, len(places), way)))
    return FittingBuild(tuple(fittings), tuple(findings), tuple(guides), tuple(notes))


def places_for(
    length: float, count: int, long: float, taken: Sequence[tuple[float, float]] = ()
) -> tuple[float, ...]:
    """Middles of strips along a hinge line, mm from its inner end: both ends first, the rest even between.

    taken: stretches where something stands. Each strip goes to the nearest free place to where it would best
    be; as many as there is room for.
    """
    low, high = END_MM + long / 2.0, length - END_MM - long / 2.0
    if high < low:
        return ()
    wished = [(low + high) / 2.0] if count == 1 else np.linspace(low, high, count).tolist()
    blocked, found = [(a - BESIDE_MM, b + BESIDE_MM) for a, b in taken], []
    for place in wished:
        best = _free(place, (low, high), long, blocked)
        if best is not None:
            found.append(best)
            blocked.append((best - long / 2.0 - BESIDE_MM, best + long / 2.0 + BESIDE_MM))
    return tuple(sorted(round(x, 4) for x in found))


def _free(
    place: float, ends: tuple[float, float], long: float, blocked: Sequence[tuple[float, float]]
) -> float | None:
    """The nearest place to `place` that touches nothing, within the ends; None where there is none."""
    half = long / 2.0
    tried = [place, *(a - half for a, _ in blocked), *(b + half for _, b in blocked)]
    good = [
        x
        for x in tried
        if ends[0] - 1e-9 <= x <= ends[1] + 1e-9
        and all(x + half <= a + 1e-9 or x - half >= b - 1e-9 for a, b in blocked)
    ]
    return min(good, key=lambda x: (round(abs(x - place), 9), x), default=None)


def _taken(fitting: HingeStrip, site: Site, line: ControlLine, side: Side) -> list[tuple[float, float]]:
    """Stretches of the line where a horn's foot stands on the same face."""
    found = []
    for other in site.design.fitting:
        if not isinstance(other, ControlHorn) or other.control != fitting.control or other.face != side:
            continue
        for drive in drives(site, other):
            if drive.line.panel != line.panel or drive.line.placed is not line.placed:
                continue
            shape = horn_shape(other, drive)
            ends = np.array([[0.0, y, 0.0, 1.0] for y in shape.foot[2:]]) @ line.frame(drive.along, side).T
            low, high = sorted(line.along_of(point) for point in ends[:, :3])
            found.append((low, high))
    return found


def _way(line: ControlLine, lines: Sequence[ControlLine]) -> str:
    """Ending "/right" or "/left" where there is a piece on either side."""
    if len({one.side for one in lines}) < 2:
        return ""
    return "/right" if line.side > 0.0 else "/left"


def _told(line: ControlLine, side: Side, count: int, way: str) -> dict[str, float | int | str]:
    names = (
        {"upper": "right", "under": "left"} if line.surface.upright else {"upper": "upper", "under": "under"}
    )
    of = f"{way[1:]} {line.control.kind}".strip()
    return {"control": of, "count": count, "face": names[side]}


def _tight(fitting: HingeStrip, line: ControlLine, room: int, beside: bool) -> Finding:
    """P45: fewer fit than are wanted."""
    facts: dict[str, Param] = {
        "control": line.control.id, "room": room, "wanted": fitting.count, "long": fitting.long_mm,
        "line": round(line.length, 1), "why": ", less what the horn's foot takes" if beside else "",
    }  # fmt: skip
    return Finding("P45", "watch", f"fitting.{fitting.id}.count", facts, float(room), float(fitting.count))


def _unknown(fitting: HingeStrip, site: Site) -> Finding:
    """P36: no such control with a hinge."""
    names = sorted(f"{s.id}.{c.id}" for s in site.airframe.surfaces for c in s.controls if not c.all_moving)
    facts: dict[str, Param] = {"what": "control", "got": fitting.control, "known": ", ".join(names) or "none"}
    return Finding("P36", "no-go", f"fitting.{fitting.id}.control", facts)
