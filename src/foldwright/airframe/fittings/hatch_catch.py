"""Hatch catches: a tongue under the hatch's rear edge that slides under the wing's leading edge.

Its own frame is the aeroplane's, moved: the origin in the middle of the hatch's rear edge on its under face,
x aft, y right, z up. The section in (x, z) is the same all across.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from math import ceil

import numpy as np
import shapely

from foldwright.airframe.fitting import FittingBuild, Site, given
from foldwright.airframe.fitting_model import SOLID, Fitting
from foldwright.airframe.fitting_places import BoardPiece, board, free_across, pieces_of, placed_named
from foldwright.airframe.model import MarkRequest, Note
from foldwright.base.finding import Finding, Param
from foldwright.base.types import FloatArray
from foldwright.design.fittings import HatchCatch
from foldwright.geometry.solid.core import Area, box
from foldwright.geometry.transform import shift

MODEL = HatchCatch

PAD_MM, PAD_THICK_MM = 16.0, 2.0
"""Glued under the hatch: length and thickness."""
REACH_MM = 40.0
"""[judgement] a leading edge further behind the hatch than this is not caught."""
LEAST_MM = 5.0
"""[judgement] a tongue shorter than this slips out."""
DEEP_MM = 30.0
"""How far below or above the hatch's under face the wing's under face may lie, mm."""
AIR_MM = 0.6
"""Between tongue and what stands behind or beside it, mm."""


@dataclass(frozen=True)
class HatchCatchShape:
    """Pad, riser and tongue, mm.

    wide: across. pad: length, thickness. thick: of tongue and riser. gap: from the hatch's rear edge to the
    leading edge; reach: of the tongue behind that; top: z of the tongue's upper face, below the hatch's under
    face negative.
    """

    wide: float
    pad: tuple[float, float]
    thick: float
    gap: float
    reach: float
    top: float

    @property
    def riser(self) -> tuple[float, float]:
        """X from and to of the riser: under the hatch's edge where the tongue lies lower, behind it where it
        lies higher.
        """
        wide = self.thick + 0.4
        return (-wide, 0.0) if self.top - self.thick < -self.pad[1] or self.top <= 0.0 else (0.3, 0.3 + wide)

    @cached_property
    def section(self) -> Area:
        """Seen from the left: x aft, z up."""
        long, high = self.pad
        start, stop = self.riser
        tip, top, low = self.gap + self.reach, self.top, self.top - self.thick
        lead = min(2.0, self.reach / 3.0)
        tongue = shapely.Polygon([
            (start, low), (tip, low), (tip, top - self.thick / 2.0), (tip - lead, top), (start, top),
        ])  # fmt: skip
        plate = shapely.box(-long, -high, max(0.0, stop), 0.0)
        upright = shapely.box(start, min(low, -high), stop, max(top, 0.0) if top > 0.0 else 0.0)
        found = shapely.union_all([tongue, plate, upright])
        return found if isinstance(found, shapely.Polygon) else shapely.MultiPolygon([])

    @property
    def volume(self) -> float:
        """Section times width, mm³."""
        return float(self.section.area) * self.wide

    @property
    def surface(self) -> float:
        """Both sections and what runs round them, mm²."""
        return float(2.0 * self.section.area + self.section.length * self.wide)

    @property
    def box(self) -> tuple[tuple[float, float, float], tuple[float, float, float]]:
        """Least and greatest corner."""
        x0, z0, x1, z1 = self.section.bounds
        return (x0, -self.wide / 2.0, z0), (x1, self.wide / 2.0, z1)


def build(fitting: HatchCatch, site: Site) -> FittingBuild:
    """One catch, or why there is none."""
    where = f"fitting.{fitting.id}"
    one = placed_named(site.airframe, fitting.deck.replace(".", "/"))
    if one is None:
        return FittingBuild(findings=(Finding("P24", "no-go", f"{where}.deck", {"deck": fitting.deck}),))
    rear = max(pieces_of(one), key=lambda piece: (round(float(piece.high[0]), 3), piece.panel))
    edge, under = float(rear.high[0]), _under_rear(rear)
    y = float(rear.low[1] + rear.high[1]) / 2.0
    lip = _leading_edge(site, (edge, y, under), fitting)
    if lip is None or lip[0] - edge > REACH_MM:
        params: dict[str, Param] = {
            "deck": fitting.deck, "most": REACH_MM, "x": round(edge, 1),
            "got": "no wing behind it"
            if lip is None
            else f"the wing begins {lip[0] - edge:.1f} mm behind it",
        }  # fmt: skip
        return FittingBuild(findings=(Finding("P25", "no-go", where, params),))
    return _made(fitting, site, one.blank.name, (edge, y, under), lip)


def _under_rear(piece: BoardPiece) -> float:
    """Z of a deck's under face at its rear edge, mm."""
    low, high = piece.low, piece.high
    slice_of = piece.solid & box(
        (high[0] - 0.5, low[1] - 1.0, low[2] - 1.0), (high[0] + 1.0, high[1] + 1.0, high[2] + 1.0)
    )
    return float(slice_of.bounds[0][2])


def _leading_edge(
    site: Site, at: tuple[float, float, float], fitting: HatchCatch
) -> tuple[float, float] | None:
    """Leading edge (x) of the wing behind a place and its under face (z) there, over the tongue, mm.

    The lowest board of the wing over the tongue counts, so that it clears halves that rise outward and a
    wing that is set nose-up.
    """
    x, y, z = at
    half = fitting.wide_mm / 2.0
    span = (y - half, z - DEEP_MM), (y + half, z + DEEP_MM)
    first = _wing_in(site, (x - 2.0, *span[0]), (x + REACH_MM + 20.0, *span[1]))
    if first is None:
        return None
    edge = float(first[0])
    over = _wing_in(site, (edge, *span[0]), (edge + fitting.tongue_mm, *span[1]))
    return None if over is None else (edge, float(over[2]))


def _wing_in(
    site: Site, low: tuple[float, float, float], high: tuple[float, float, float]
) -> FloatArray | None:
    """Least corner (3,) of what the main wing's board has of a block, None for nothing."""
    wings = {surface.id for surface in site.airframe.surfaces if surface.main}
    parts = {one.blank.name for one in site.airframe.placed if one.part in wings}
    probe = box(low, high)
    found = [
        common.bounds[0]
        for piece in board(site.airframe, np.array(low), np.array(high))
        if piece.blank in parts and (common := piece.solid & probe).volume > 1e-3
    ]
    if not found:
        return None
    least: FloatArray = np.min(found, axis=0)
    return least


def _made(
    fitting: HatchCatch, site: Site, deck: str, at: tuple[float, float, float], lip: tuple[float, float]
) -> FittingBuild:
    x, y, z = at
    thick, play = fitting.thick_mm, site.printer.clearance_mm
    gap, top = lip[0] - x, lip[1] - z - play
    shape = HatchCatchShape(fitting.wide_mm, (PAD_MM, PAD_THICK_MM), thick, gap, fitting.tongue_mm, top)
    if shape.riser[0] > 0.0 and shape.riser[1] > gap - AIR_MM:
        params: dict[str, Param] = {
            "rise": round(top, 1), "gap": round(gap, 1), "need": round(shape.riser[1] + AIR_MM, 1),
            "deck": fitting.deck,
        }  # fmt: skip
        return FittingBuild(findings=(Finding("P26", "no-go", f"fitting.{fitting.id}", params),))
    wide = _width(site, shape, at)
    stops = [piece for piece in _in_the_way(site, shape, at, wide) if piece.blank != deck]
    findings: list[Finding] = []
    guides: tuple[MarkRequest, ...] = ()
    behind = [piece for piece in stops if float(piece.low[0]) > lip[0] + LEAST_MM + AIR_MM]
    reach = min([fitting.tongue_mm, *(float(piece.low[0]) - lip[0] - AIR_MM for piece in behind)])
    notched = [piece for piece in stops if piece not in behind]
    shape = HatchCatchShape(wide, shape.pad, thick, gap, reach, top)
    if notched:
        findings.append(_notch_finding(fitting, notched[0], shape, at))
        guides = _notch_marks(notched, shape, at)
    findings += given(fitting, "tongue_mm", reach, "board stands behind it")
    findings += given(fitting, "wide_mm", wide, "the sides under the hatch leave no more")
    made = Fitting(
        fitting.id, fitting.kind, "hatch catch", shape, shift(x, y, z), site.printed(fitting, SOLID), 0.0,
        deck,
        {"drop_mm": -top, "tongue_mm": reach, "gap_mm": gap, "wide_mm": wide},
    )  # fmt: skip
    note = Note("P28", deck, {"id": fitting.id, "tongue": round(gap + reach, 1)})
    return FittingBuild((made,), tuple(findings), guides, (note,))


def _width(site: Site, shape: HatchCatchShape, at: tuple[float, float, float]) -> float:
    """Across, no wider than what is free between the sides below the hatch."""
    x, y, z = at
    low = (x - shape.pad[0], y - 0.5, z + min(-shape.pad[1], shape.top - shape.thick))
    left, right = free_across(site.airframe, low, (x - 1.0, y + 0.5, z - 0.1))
    return max(4.0, min(shape.wide, 2.0 * (y - left - AIR_MM), 2.0 * (right - y - AIR_MM)))


def _in_the_way(
    site: Site, shape: HatchCatchShape, at: tuple[float, float, float], wide: float
) -> list[BoardPiece]:
    """Board that the tongue would run into, front to back."""
    x, y, z = at
    start = shape.riser[0]
    low = np.array([x + start, y - wide / 2.0, z + shape.top - shape.thick])
    high = np.array([x + shape.gap + shape.reach + AIR_MM, y + wide / 2.0, z + shape.top])
    probe = box(low.tolist(), high.tolist())
    met = [piece for piece in board(site.airframe, low, high) if (piece.solid & probe).volume > 1e-3]
    return sorted(met, key=lambda piece: (round(float(piece.low[0]), 3), piece.blank, piece.panel))


def _notch(shape: HatchCatchShape) -> tuple[float, float]:
    """Width of the notch and z of its floor against the hatch's under face, whole half millimetres."""
    return float(ceil(shape.wide + 2.0)), float(np.floor((shape.top - shape.thick - AIR_MM) * 2.0) / 2.0)


def _notch_finding(
    fitting: HatchCatch, piece: BoardPiece, shape: HatchCatchShape, at: tuple[float, float, float]
) -> Finding:
    """P27: a former stands between hatch and wing; how large a notch lets the tongue through."""
    wide, floor = _notch(shape)
    figures: dict[str, Param] = {
        "blank": piece.blank, "wide": wide, "deep": round(float(piece.high[2]) - at[2] - floor, 1),
        "x": round(at[0] + shape.gap + shape.reach + AIR_MM, 1),
    }  # fmt: skip
    return Finding("P27", "watch", f"fitting.{fitting.id}", figures)


def _notch_marks(
    pieces: list[BoardPiece], shape: HatchCatchShape, at: tuple[float, float, float]
) -> tuple[MarkRequest, ...]:
    """The notch to be cut, drawn on the forward face of every former in the way."""
    wide, floor = _notch(shape)
    x, y, z = at
    found = []
    for name in dict.fromkeys(piece.blank for piece in pieces):
        top = max(float(piece.high[2]) for piece in pieces if piece.blank == name)
        half, low = wide / 2.0, z + floor
        corners: FloatArray = np.array(
            [(x, y - half, top), (x, y - half, low), (x, y + half, low), (x, y + half, top)]
        )
        points = tuple((float(a), float(b), float(c)) for a, b, c in corners)
        found.append(MarkRequest("catch-notch", name, "+x", points, None, 0.0, needs=name))
    return tuple(found)
