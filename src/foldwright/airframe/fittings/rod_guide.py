"""Push rod guides: clips on a foot that hold a rod's tube in a straight line from servo arm to horn.

Frame of a guide: x along the tube as the board sees it, z out of the board's face, the origin on the face
under the tube's middle. It is the same for both hands; its bore leans as the rod does against the board.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache
from math import asin, ceil, cos, radians, tan

import numpy as np
import shapely

from foldwright.airframe.coming_off import taken_off
from foldwright.airframe.fitting import FittingBuild, Site
from foldwright.airframe.fitting_ground import Ground, ground_of
from foldwright.airframe.fitting_model import SOLID, Fitting
from foldwright.airframe.fitting_places import Stand, area_of, bites, face_area, panels_near
from foldwright.airframe.fittings.horn import outline_mark
from foldwright.airframe.horn_drive import Drive, drives
from foldwright.airframe.model import MarkRequest, Note
from foldwright.airframe.pierced import pierced
from foldwright.base.finding import Finding, Param
from foldwright.base.types import FloatArray
from foldwright.design.fittings import ControlHorn, RodGuide
from foldwright.geometry.solid.core import SIDES, Area, box
from foldwright.geometry.transform import apply, inverse

MODEL = RodGuide

REACH_MM = 35.0
"""[judgement] a guide higher than this above its board swings, mm."""
LONG_MM, FOOT_MM, FOOT_THICK_MM = 8.0, 9.0, 1.6
"""Along the rod, and across it at the foot; thickness of the foot, mm."""
WALL_MM = 1.4
"""Plastic round the tube, mm."""
LEAST_MM = 1.0
"""Plastic between the tube and the board, at least, mm."""
SNAP = 0.82
"""[judgement] mouth of the clip, share of the tube's diameter: it snaps in and stays."""
POST_MM = 3.0
"""[judgement] least width of the post, mm."""
STEEP_DEG = 30.0
"""[judgement] a rod that leaves the board steeper than this is not guided there, degrees."""
SHIFT_MM = 6.0
"""Steps in which a guide that finds no board is moved along the rod, mm."""
SLACK = 0.5
"""[judgement] share of every_mm that a piece may be longer where a guide had to be moved, without a word."""
_TRIES = 6
_ALIKE = 2


@dataclass(frozen=True, slots=True)
class RodGuideShape:
    """Numbers of one guide, mm and rad. height: of the tube's middle above the board. bore: diameter of the
    hole. mouth: width of its opening at the top. lean: of the bore, rising toward +x.
    """

    height: float
    bore: float
    mouth: float
    lean: float

    @property
    def round(self) -> float:
        """Radius of the plastic round the tube."""
        return self.bore / 2.0 + WALL_MM

    @property
    def rise(self) -> float:
        """How much more the bore rises at either end than in the middle."""
        return abs(tan(self.lean)) * LONG_MM / 2.0

    @property
    def solid_area(self) -> Area:
        """Section (y, z) before the bore: foot, post, ring (drawn out upward as far as the bore leans)."""
        foot = shapely.box(-FOOT_MM / 2.0, 0.0, FOOT_MM / 2.0, FOOT_THICK_MM)
        width = max(POST_MM, 2.0 * self.round * 0.75)
        post = shapely.box(-width / 2.0, 0.0, width / 2.0, self.height)
        eyes = [
            shapely.Point(0.0, self.height + way * self.rise).buffer(self.round, quad_segs=SIDES // 4)
            for way in (-1.0, 1.0)
        ]
        above = shapely.box(-FOOT_MM, 0.0, FOOT_MM, 10.0 * REACH_MM)
        return area_of(shapely.union_all([foot, post, shapely.union_all(eyes).convex_hull]) & above)

    @property
    def bore_area(self) -> Area:
        """Section (y, z) of bore and mouth in the middle; sheared along the lean elsewhere."""
        hole = shapely.Point(0.0, self.height).buffer(self.bore / 2.0, quad_segs=SIDES // 4)
        mouth = shapely.box(
            -self.mouth / 2.0, self.height, self.mouth / 2.0, self.height + self.round + 2.0 * self.rise + 1.0
        )
        return area_of(shapely.union(hole, mouth))

    @property
    def volume(self) -> float:
        """Section by length; the lean moves the bore, and hardly changes it."""
        return float(self.solid_area.difference(self.bore_area).area) * LONG_MM

    @property
    def surface(self) -> float:
        """Both ends and all round."""
        section = self.solid_area.difference(self.bore_area)
        return 2.0 * float(section.area) + float(section.length) * LONG_MM

    @property
    def box(self) -> tuple[tuple[float, float, float], tuple[float, float, float]]:
        """Corners."""
        _, _, _, top = self.solid_area.difference(self.bore_area).bounds
        return (-LONG_MM / 2.0, -FOOT_MM / 2.0, 0.0), (LONG_MM / 2.0, FOOT_MM / 2.0, top)


def build(fitting: RodGuide, site: Site) -> FittingBuild:
    """Guides along the push rods of a horn."""
    return _built(fitting, ground_of(site))


@lru_cache(maxsize=32)
def _built(fitting: RodGuide, ground: Ground) -> FittingBuild:
    """The last ones are remembered."""
    site = ground.site
    horns = {one.id: one for one in site.design.fitting if isinstance(one, ControlHorn)}
    found = drives(site, horns[fitting.horn]) if fitting.horn in horns else ()
    if not found:
        facts: dict[str, Param] = {"got": fitting.horn, "known": ", ".join(sorted(horns)) or "none"}
        return FittingBuild(findings=(Finding("P48", "no-go", f"fitting.{fitting.id}.horn", facts),))
    fittings: list[Fitting] = []
    findings: list[Finding] = []
    guides: list[MarkRequest] = []
    notes: list[Note] = []
    for drive in found:
        row, free = _along(fitting, site, drive)
        if free is not None and not findings:
            findings.append(_missing(fitting, len(row), free))
        for number, (placement, shape, stand) in enumerate(row, 1):
            one = Fitting(
                f"{fitting.id}-{number}{drive.tail}", fitting.kind, "push rod guide", shape, placement,
                site.printed(fitting, SOLID), 0.0, stand.blank, {"height_mm": round(shape.height, 3)},
            )  # fmt: skip
            fittings.append(one)
            rect = (-LONG_MM / 2.0, LONG_MM / 2.0, -FOOT_MM / 2.0, FOOT_MM / 2.0)
            guides.append(outline_mark("rod-guide", stand.blank, stand.face, placement, rect))
            params: dict[str, float | int | str] = {
                "guide": one.id, "blank": stand.blank, "x": round(float(placement[0, 3]), 1),
                "height": shape.height,
            }  # fmt: skip
            notes.append(Note("P44", stand.blank, params))
    return FittingBuild(tuple(fittings), tuple(findings), tuple(guides), tuple(notes))


_Placed = tuple[FloatArray, RodGuideShape, Stand]


@dataclass(frozen=True, slots=True)
class _Free:
    """wanted: guides; longest: piece of rod without one, mm."""

    wanted: int
    longest: float


def _along(fitting: RodGuide, site: Site, drive: Drive) -> tuple[list[_Placed], _Free | None]:
    """Guides in equal steps of what is left of the rod, each moved along it to where board is; and what is
    left without. Board that comes off carries none, but for the part that the horn itself comes off with.
    """
    start, end = drive.rod
    off = taken_off(site.airframe, drive.line.placed.part)
    length = float(np.linalg.norm(end - start))
    found: list[_Placed] = []
    places = [0.0]
    while length - places[-1] > fitting.every_mm + 1e-9:
        rest = length - places[-1]
        wished = places[-1] + rest / ceil(rest / fitting.every_mm - 1e-9)
        for step in _steps(rest):
            at = wished + step
            if at - places[-1] < LONG_MM or at > length - LONG_MM:
                continue
            one = _guide(fitting, site, (start, end), at / length, off)
            if one is not None:
                found.append(one)
                places.append(at)
                break
        else:
            break
    longest = float(np.diff([*places, length]).max())
    if longest <= fitting.every_mm * (1.0 + SLACK):
        return found, None
    return found, _Free(ceil(length / fitting.every_mm - 1e-9) - 1, longest)


def _steps(rest: float) -> Iterator[float]:
    """Where a guide is tried about its best place: near it to both sides, then further and further aft."""
    yield 0.0
    for count in range(1, _TRIES + 1):
        yield -count * SHIFT_MM
        yield count * SHIFT_MM
    yield from np.arange((_TRIES + 1) * SHIFT_MM, rest, 2.0 * SHIFT_MM).tolist()


def _guide(
    fitting: RodGuide, site: Site, rod: tuple[FloatArray, FloatArray], share: float, off: frozenset[str]
) -> _Placed | None:
    """A guide on the nearest board that has room for its foot; None where none has. off: blanks that carry
    none.
    """
    start, end = rod
    point = start + share * (end - start)
    along = (end - start) / np.linalg.norm(end - start)
    bore = round(fitting.tube_mm + site.printer.clearance_mm, 3)
    for gap, stand in panels_near(site.airframe, point.tolist(), REACH_MM):
        normal = stand.frame[:3, 2]
        lean = asin(float(np.clip(along @ normal, -1.0, 1.0)))
        height = round(gap, 1)
        low = bore / 2.0 + LEAST_MM + abs(tan(lean)) * LONG_MM / 2.0
        if stand.blank in off or abs(lean) > radians(STEEP_DEG) or height < low:
            continue
        x = (along - (along @ normal) * normal) / cos(lean)
        placement = np.eye(4)
        placement[:3, 0], placement[:3, 1], placement[:3, 2] = x, np.cross(normal, x), normal
        placement[:3, 3] = point - gap * normal
        shape = RodGuideShape(height, bore, round(SNAP * fitting.tube_mm, 3), round(lean, _ALIKE))
        if _fits(site, stand, placement, shape):
            return placement, shape, stand
    return None


def _fits(site: Site, stand: Stand, placement: FloatArray, shape: RodGuideShape) -> bool:
    """Whether its foot lies on sound board, nothing stands between board and tube, and it meets none."""
    half, side = LONG_MM / 2.0, FOOT_MM / 2.0
    ring = np.array([(-half, -side, 0.0), (half, -side, 0.0), (half, side, 0.0), (-half, side, 0.0)])
    flat = apply(inverse(stand.frame), apply(placement, ring))[:, :2]
    area = face_area(stand.placed, stand.panel.name, stand.face)
    if not area.buffer(0.01).covers(shapely.Polygon(flat)):
        return False
    low, high = shape.box
    block = box((low[0], low[1], 0.05), high).placed(placement)
    hits = pierced(
        site.airframe, np.array([apply(placement, np.array([(0, 0, 0.05), (0, 0, shape.height)]))])
    )
    return not hits[0] and not bites(site.airframe, block)


def _missing(fitting: RodGuide, count: int, free: _Free) -> Finding:
    """P43: a long piece of rod is without a guide."""
    facts: dict[str, Param] = {
        "count": count, "wanted": free.wanted, "horn": fitting.horn, "limit": REACH_MM,
        "free": ceil(free.longest), "every": fitting.every_mm,
    }  # fmt: skip
    where = f"fitting.{fitting.id}.every_mm"
    return Finding("P43", "watch", where, facts, round(free.longest, 1), fitting.every_mm, "mm")
