"""Control horns: one for each servo of a control, its hole over the hinge line.

Frame of a horn: x aft, z out of the control's face, the origin on that face over (or under) the hinge line;
the blade lies about y = 0, the foot runs from it to one side: +y for hand +1, -y for hand -1.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import lru_cache
from math import degrees, inf, isnan, pi, sin

import numpy as np
import shapely

from foldwright.airframe.coming_off import taken_off
from foldwright.airframe.control_line import SIDES, looking_at
from foldwright.airframe.fitting import FittingBuild, Site
from foldwright.airframe.fitting_ground import Ground, ground_of
from foldwright.airframe.fitting_model import SOLID, Fitting
from foldwright.airframe.fittings.horn_asked import asked, through
from foldwright.airframe.fittings.horn_words import notes_of
from foldwright.airframe.horn_drive import (
    BEHIND_MM,
    EDGE_MM,
    FOOT_MM,
    FOOT_THICK_MM,
    FOOT_WIDE_MM,
    HIGH_MM,
    LEAST_MM,
    LOW_MM,
    RESERVE,
    SPARE,
    Drive,
    drives,
    edge_mm,
    reserve_of,
    shown_deg,
)
from foldwright.airframe.model import MarkRequest
from foldwright.base.finding import Finding, Param
from foldwright.base.types import FloatArray
from foldwright.design.fittings import ControlHorn
from foldwright.geometry.fold.model import Face
from foldwright.geometry.solid.core import SIDES as ROUND
from foldwright.geometry.transform import apply
from foldwright.physics import linkage as rods

MODEL = ControlHorn
Point3 = tuple[float, float, float]

PLAY_MM = 0.2
"""Hole over the wire's diameter, mm: common practice, no source."""
BOSS_MM = 2.2
"""[judgement] plastic round the hole, mm."""
GLUE_HOLE_MM = 2.2
"""Holes in the foot: hot glue rises through them, or M2 screws go there, mm."""
SHORT_DEG = 0.3
"""A throw that is missed by less is not worth a word, degrees."""


@dataclass(frozen=True, slots=True)
class HornShape:
    """Numbers of one horn, mm. hand: side of the foot. height: of the hole. fore: where foot and blade begin
    behind the hinge line. long, wide, deep: of the foot. thick: of the blade. hole: diameter. mark: "R", "L"
    or "".
    """

    hand: int
    height: float
    fore: float
    long: float
    wide: float
    deep: float
    thick: float
    hole: float
    mark: str = ""

    @property
    def boss(self) -> float:
        """Radius of the eye round the hole."""
        return self.hole / 2.0 + BOSS_MM

    @property
    def blade(self) -> shapely.Polygon:
        """The blade seen from the right, (x, z): from the whole foot up to the eye."""
        eye = shapely.Point(0.0, self.height).buffer(self.boss, quad_segs=ROUND // 4)
        foot = shapely.box(self.fore, 0.0, self.fore + self.long, self.deep)
        found = shapely.union(eye, foot).convex_hull
        return shapely.Polygon(shapely.get_coordinates(found))

    @property
    def glue_holes(self) -> tuple[tuple[float, float], ...]:
        """(x, y) of the holes in the foot."""
        y = self.hand * (self.wide / 2.0)
        return tuple((self.fore + share * self.long, y) for share in (0.25, 0.75))

    @property
    def foot(self) -> tuple[float, float, float, float]:
        """Least and greatest x, least and greatest y of the foot."""
        one, other = -self.thick / 2.0, self.wide - self.thick / 2.0
        low, high = (one, other) if self.hand > 0 else (-other, -one)
        return self.fore, self.fore + self.long, low, high

    @property
    def volume(self) -> float:
        """Without the letter."""
        wing = (self.wide - self.thick) * self.long - len(self.glue_holes) * round_mm2(GLUE_HOLE_MM)
        return (self.blade.area - round_mm2(self.hole)) * self.thick + wing * self.deep

    @property
    def surface(self) -> float:
        """Blade, and what the foot adds."""
        blade = 2.0 * self.blade.area + self.blade.length * self.thick + pi * self.hole * self.thick
        beside = self.wide - self.thick
        return blade + 2.0 * self.long * beside + 2.0 * beside * self.deep

    @property
    def box(self) -> tuple[tuple[float, float, float], tuple[float, float, float]]:
        """Corners."""
        x0, _, x1, z1 = self.blade.bounds
        _, _, y0, y1 = self.foot
        return (x0, y0, 0.0), (x1, y1, z1)


def round_mm2(diameter: float) -> float:
    """Area of a circle as solids have it, mm²."""
    return ROUND / 2.0 * (diameter / 2.0) ** 2 * sin(2.0 * pi / ROUND)


def build(fitting: ControlHorn, site: Site) -> FittingBuild:
    """A horn for every servo that the control has."""
    return _built(fitting, ground_of(site))


@lru_cache(maxsize=32)
def _built(fitting: ControlHorn, ground: Ground) -> FittingBuild:
    """The last ones are remembered."""
    site = ground.site
    found = drives(site, fitting)
    if not found:
        return FittingBuild(findings=(_unknown(fitting, site),))
    off = taken_off(site.airframe, found[0].line.placed.part)
    fittings, findings, guides, notes = [], [], [], []
    for drive in found:
        one = _horn(fitting, site, drive)
        fittings.append(one)
        findings += [*_findings(fitting, drive, one), *asked(fitting, site, drive, one)]
        findings += through(fitting, drive, off)
        guides.append(_guide(drive, one))
        notes += list(notes_of(fitting, drive, one, off))
    return FittingBuild(tuple(fittings), tuple(_once(findings)), tuple(guides), tuple(notes))


def _once(findings: list[Finding]) -> list[Finding]:
    """The two of a mirrored pair say the same: once is enough."""
    kept: dict[tuple[str, str], Finding] = {}
    for one in findings:
        kept.setdefault((one.code, one.where), one)
    return list(kept.values())


def horn_shape(fitting: ControlHorn, drive: Drive) -> HornShape:
    """The horn of a drive: its foot turned to the middle of the control, so that it stays on it."""
    line, tail = drive.line, drive.tail
    inward = line.outward * (1.0 if drive.along <= line.length / 2.0 else -1.0)
    hand = 1 if float(np.cross(line.normal(drive.face), line.aft) @ inward) > 0.0 else -1
    fore = line.behind[drive.face] + BEHIND_MM
    low, high = FOOT_MM
    room = line.area(drive.face, drive.along).bounds[2] - EDGE_MM - fore
    long = max(min(1.3 * drive.height, high, room), low)
    mark = {"/right": "R", "/left": "L"}.get(tail, "")
    return HornShape(
        hand, round(drive.height, 4), round(fore, 4), round(long, 1), FOOT_WIDE_MM, FOOT_THICK_MM,
        fitting.thick_mm, round(fitting.rod_mm + PLAY_MM, 3), mark,
    )  # fmt: skip


def _horn(fitting: ControlHorn, site: Site, drive: Drive) -> Fitting:
    line = drive.line
    return Fitting(
        fitting.id + drive.tail,
        fitting.kind,
        f"control horn, {line.control.kind}",
        horn_shape(fitting, drive),
        line.frame(drive.along, drive.face),
        site.printed(fitting, SOLID),
        fitting.screws_g,
        line.placed.blank.name,
        figures_of(fitting, drive),
    )


def figures_of(fitting: ControlHorn, drive: Drive) -> Mapping[str, float]:
    """What a builder sets and a check reads. up_deg, down_deg: reached at the servo's full travel, as the
    control's own up and down; turn_…: of the servo for the wanted throws; rod_per_mm: by which the rod is
    longer for each mm that the trailing edge stands up (fins: left) at the servo's middle; pulled_up: 1
    where the arm's hole moving forward lifts the trailing edge (fins: turns it left), else 0.
    """
    line, chord = drive.line, drive.line.control.chord
    up, down = SIDES if not line.surface.upright else SIDES[::-1]
    shown = {
        "height_mm": drive.height,
        "above_hinge_mm": drive.height + line.depth[drive.face],
        "arm_mm": drive.arm,
        "hole_mm": fitting.rod_mm + PLAY_MM,
        "rod_mm": float(drive.linkage.rod),
        "at_mm": line.arc(line.at(drive.along)),
        "up_deg": degrees(drive.reached(up)),
        "down_deg": degrees(drive.reached(down)),
        "up_mm": edge_mm(chord, drive.reached(up)),
        "down_mm": edge_mm(chord, drive.reached(down)),
        "turn_up_deg": degrees(drive.turn_for(up)),
        "turn_down_deg": degrees(drive.turn_for(down)),
        "rod_per_mm": drive.longer(),
        "ratio": abs(float(rods.ratio(drive.linkage))),
        "slant_deg": degrees(float(rods.slant(drive.linkage))),
        "pulled_up": 1.0 if drive.pulled == up else 0.0,
    }
    return {name: round(value, 3) for name, value in shown.items() if not isnan(value)}


def _unknown(fitting: ControlHorn, site: Site) -> Finding:
    """P36: no such control, or nothing that drives it."""
    names = sorted(f"{s.id}.{c.id}" for s in site.airframe.surfaces for c in s.controls)
    servos = sorted({one.item for one in site.fitted.items if one.kind == "servo"})
    known = fitting.control in names
    facts: dict[str, Param] = {
        "what": "servo" if known else "control",
        "got": fitting.servo if known else fitting.control,
        "known": ", ".join(servos if known else names) or "none",
    }
    return Finding("P36", "no-go", f"fitting.{fitting.id}.{'servo' if known else 'control'}", facts)


def _findings(fitting: ControlHorn, drive: Drive, one: Fitting) -> Iterator[Finding]:
    where = f"fitting.{fitting.id}"
    yield from _short(where, drive)
    yield from _height(where, fitting, drive)
    if drive.own_board:
        hit = drive.own_board[0]
        other = "upper" if drive.face == "under" else "under"
        facts: dict[str, Param] = {"blank": hit.blank, "face": other, "now": drive.face}
        yield Finding("P34", "watch", f"{where}.face", facts)
    slant, most = float(rods.slant(drive.linkage)), float(rods.MOST_SLANT)
    if slant > most:
        place = drive.line.arc(drive.line.at(_straight(drive)))
        facts = {"slant": shown_deg(slant), "limit": shown_deg(most), "at": round(place, 1)}
        yield Finding("P38", "watch", f"{where}.at_mm", facts, shown_deg(slant), shown_deg(most), "deg")
    if drive.blocked:
        facts = {"arm": drive.arm, "what": ", ".join(drive.blocked), "servo": fitting.servo}
        yield Finding("P39", "watch", f"equipment.{fitting.servo}", facts)
    yield from _foot(where, drive, one)


def _straight(drive: Drive) -> float:
    """Where on the hinge line the arm's hole stands square, within the line, mm."""
    return min(max(drive.line.along_of(drive.rod[0]), 0.0), drive.line.length)


def _short(where: str, drive: Drive) -> Iterator[Finding]:
    """P30: it locks before the throw is reached; P31: the servo's travel is too small for it."""
    for side in SIDES:
        reached, wanted = degrees(drive.reached(side)), degrees(drive.wanted(side))
        if not isnan(reached) and reached >= wanted - SHORT_DEG:
            continue
        facts: dict[str, Param] = {
            "way": drive.line.ways[side], "wanted": round(wanted, 1), "height": round(drive.height, 1),
            "arm": drive.arm, "travel": shown_deg(drive.travel),
        }  # fmt: skip
        if isnan(reached):
            locks = [abs(float(x)) for x in rods.locks(drive.linkage)]
            facts["lock"] = round(degrees(min(locks)), 1)
            yield Finding("P30", "watch", f"{where}.height_mm", facts)
            return
        facts["reached"] = round(reached, 1)
        tallest = drive.tallest
        facts["cure"] = (
            f"Set height_mm to {tallest:.1f} or less, use" if LOW_MM <= tallest <= HIGH_MM else "Use"
        )
        yield Finding("P31", "watch", f"{where}.height_mm", facts, round(reached, 1), round(wanted, 1), "deg")
        return


def _height(where: str, fitting: ControlHorn, drive: Drive) -> Iterator[Finding]:
    """P32: no hole of the arm asks for a horn of a height that holds, or the file asks for another."""
    wished, said = drive.wished, fitting.height_mm
    facts: dict[str, Param] = {"low": LOW_MM, "high": HIGH_MM, "height": round(drive.height, 1)}
    if wished is None:
        if said is not None and not LEAST_MM <= said <= HIGH_MM:
            facts |= {
                "asks": f"The file asks for {said:g} mm", "wished": f"{said:g} mm",
                "cure": f"Set height_mm between {LOW_MM:g} and {HIGH_MM:g}, or leave it out",
            }  # fmt: skip
            yield Finding("P32", "watch", f"{where}.height_mm", facts, said, HIGH_MM, "mm")
        return
    if LOW_MM <= wished <= HIGH_MM:
        return
    if wished < LOW_MM and not list(_short(where, drive)):
        return  # what is spared of the servo's travel makes up for it
    shown = "no height" if wished == inf or wished <= 0.0 else f"{wished:.1f} mm"
    way = "nearer to" if wished > HIGH_MM else "further from"
    spare = f"{100.0 * (SPARE - 1.0):.0f} % of the servo's travel to spare"
    if reserve_of(fitting, drive.line) > 1.0:
        spare += f" and {100.0 * (RESERVE - 1.0):.0f} % more throw for a neutral not known (neutral_mm)"
    facts |= {
        "asks": f"With the arm's hole at {drive.arm:g} mm, and {spare}, the throws ask for {shown}",
        "wished": shown,
        "cure": f"Use a hole {way} the shaft than {drive.arm:g} mm (arm_mm), or change the control's up_deg"
        " and down_deg",
    }
    yield Finding("P32", "watch", f"{where}.arm_mm", facts)


def _foot(where: str, drive: Drive, one: Fitting) -> Iterator[Finding]:
    """P37: the foot does not find room on the control's face."""
    shape = one.shape
    if not isinstance(shape, HornShape):
        raise TypeError("a horn has a horn's shape")
    x0, x1, y0, y1 = shape.foot
    area = drive.line.area(drive.face, drive.along).buffer(-EDGE_MM, join_style="mitre")
    out = shapely.box(x0, y0, x1, y1).difference(area.buffer(1e-6))
    if out.area <= 1e-3:
        return
    room = area.intersection(shapely.box(-500.0, y0, 500.0, y1))
    facts: dict[str, Param] = {
        "long": round(x1 - x0, 1), "wide": round(y1 - y0, 1), "fore": round(x0, 1),
        "most": round(max(room.bounds[2], 0.0), 1) if not room.is_empty else 0.0,
        "needs": round(x1 + EDGE_MM, 1), "control": drive.line.control.id,
    }  # fmt: skip
    yield Finding("P37", "watch", f"{where}.at_mm", facts)


def foot_ring(placement: FloatArray, rect: tuple[float, float, float, float]) -> tuple[Point3, ...]:
    """Corners of a foot in the aeroplane as a closed line: least and greatest x and y in its own frame."""
    x0, x1, y0, y1 = rect
    ring = np.array([(x0, y0, 0.0), (x1, y0, 0.0), (x1, y1, 0.0), (x0, y1, 0.0), (x0, y0, 0.0)])
    return tuple((x, y, z) for x, y, z in np.round(apply(placement, ring), 6).tolist())


def outline_mark(
    name: str, blank: str, face: Face, placement: FloatArray, rect: tuple[float, float, float, float]
) -> MarkRequest:
    """The outline of a foot, drawn on the face it stands on."""
    return MarkRequest(name, blank, looking_at(placement[:3, 2]), foot_ring(placement, rect), face, 0.0)


def _guide(drive: Drive, one: Fitting) -> MarkRequest:
    shape = one.shape
    if not isinstance(shape, HornShape):
        raise TypeError("a horn has a horn's shape")
    return outline_mark(
        f"horn-{drive.line.control.id}", one.blank, drive.line.face(drive.face), one.placement, shape.foot
    )
